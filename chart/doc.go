// Package chart draws the figures of the pages: it answers "what does this look like" for money, time, doubt and the car.
//
// Inputs are plain structs of numbers, dates and words; outputs are SVG and HTML that are safe to put into a page
// (template.HTML, all text escaped, links limited to the own site). Nothing is read, no clock is asked: the date of
// today is an input.
//
// A figure is made in three layers that can be tested apart: scales and ticks (nice.go, months.go, scale.go), a
// drawing of shapes in user units (drawing.go), and its writing as SVG (svg.go). A colour never appears here: shapes
// carry classes, chart.css (Stylesheet) gives them the colours of the page through --ink, --paper, --muted, --accent,
// --warn and --good, so that light, dark and print follow by themselves.
//
// Width: one user unit is one CSS pixel at the width a Size was laid out for. A figure shrunk from a laptop's width to
// a phone's would have text of 6 px, therefore Figure.HTML lays every figure out twice (Phone, Desk) and a container
// query of chart.css shows the one that fits the column it stands in. Text is not shown under 11 px in a column of
// 302 px or more (a phone 360 px wide leaves 328).
//
// Every figure has a title, a description and a table twin with the same data (Figure.Table) for those who cannot see
// it or want the numbers.
//
// Ticks follow the 1-2-5 rule (common practice, no source); widths of text are estimated on the wide side, since no
// font is at hand here.
package chart
