package chart

import (
	"html/template"
	"strconv"
	"strings"
)

// BagLabel is what stands on the bag of what came off.
type BagLabel struct {
	Code    string   // "B17": to be read from a step away
	What    string   // the thing that came off
	Lines   []string // the fasteners in it: "4 × M8x1.25 · 13 mm socket"
	Foot    string   // the car
	Renew   bool     // holds fasteners that must not be used again
	Modules [][]bool // of the QR code; none: it is left out
}

// A sheet of labels is an A4 page cut into three columns and eight rows, in mm.
// LabelsPerSheet is how many that makes.
const (
	LabelsPerSheet = 24
	labelColumns   = 3
	labelWidth     = 70.0
	labelHeight    = 37.0
	sheetWidth     = 210.0
	sheetHeight    = 297.0
	labelQR        = 27.0 // side of the code with its quiet zone
	labelEdge      = 4.0  // kept free: printers leave a border, and the cut is never true
)

// Drawn is the label by itself, for a page.
func (l BagLabel) Drawn() template.HTML {
	w := &svgWriter{}
	w.open("svg", "class", "fig-label", "viewBox", "0 0 "+num(labelWidth)+" "+num(labelHeight), "role", "img", "aria-label", l.spoken())
	w.raw(">")
	l.write(w)
	w.raw("</svg>")
	return template.HTML(w.b.String())
}

// BagLabelSheet is one A4 sheet of labels as a file of its own, to be printed at
// its full size. The first skip places stay empty, for a sheet that is begun;
// what does not fit on it is left out.
func BagLabelSheet(labels []BagLabel, skip int) string {
	w := &svgWriter{}
	w.raw(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	w.open("svg", "xmlns", "http://www.w3.org/2000/svg", "width", num(sheetWidth)+"mm", "height", num(sheetHeight)+"mm", "viewBox", "0 0 "+num(sheetWidth)+" "+num(sheetHeight))
	w.raw(">")
	w.element("rect", "", "width", num(sheetWidth), "height", num(sheetHeight), "fill", "#fff")
	top := (sheetHeight - labelHeight*LabelsPerSheet/labelColumns) / 2
	for i, l := range labels {
		place := skip + i
		if place >= LabelsPerSheet {
			break
		}
		w.open("g", "transform", "translate("+num(float64(place%labelColumns)*labelWidth)+" "+num(top+float64(place/labelColumns)*labelHeight)+")")
		w.raw(">")
		l.write(w)
		w.raw("</g>")
	}
	w.raw("</svg>\n")
	return w.b.String()
}

func (l BagLabel) spoken() string {
	words := append([]string{"Bag " + l.Code + ": " + l.What}, l.Lines...)
	if l.Renew {
		words = append(words, "not to be used again")
	}
	return strings.Join(words, "; ")
}

// Sizes of the words on a label, in mm.
const (
	codeSize  = 8.6
	whatSize  = 3.3
	linesSize = 2.9
	footSize  = 2.5
)

func (l BagLabel) write(w *svgWriter) {
	w.element("rect", "", "x", "0.1", "y", "0.1", "width", num(labelWidth-0.2), "height", num(labelHeight-0.2), "fill", "#fff", "stroke", "#bbb", "stroke-width", "0.2", "stroke-dasharray", "1 1.5")
	room := labelWidth - 2*labelEdge
	if len(l.Modules) > 0 {
		scale := labelQR / float64(len(l.Modules)+2*quietZone)
		w.open("g", "transform", "translate("+num(labelWidth-labelEdge-labelQR+1.5)+" "+num(labelEdge-1.5)+") scale("+strconv.FormatFloat(scale, 'f', 5, 64)+")", "shape-rendering", "crispEdges")
		w.raw(">")
		writeQR(w, l.Modules)
		w.raw("</g>")
		room -= labelQR - 1
	}
	code, _ := cut(l.Code, codeSize*boldWider, room)
	labelText(w, code, labelEdge, 11.2, codeSize, "bold")
	y := 16.2
	for _, line := range l.what(room) {
		labelText(w, line, labelEdge, y, whatSize, "bold")
		y += whatSize + 0.5
	}
	for _, line := range l.body(room) {
		labelText(w, line, labelEdge, y, linesSize, "")
		y += linesSize + 0.5
	}
	foot, _ := cut(l.Foot, footSize, labelWidth-2*labelEdge-20)
	labelText(w, foot, labelEdge, labelHeight-2.8, footSize, "")
	if l.Renew {
		w.element("rect", "", "x", num(labelWidth-labelEdge-23), "y", num(labelHeight-7.2), "width", "23", "height", "4.6", "fill", "none", "stroke", "#000", "stroke-width", "0.4")
		labelText(w, "do not use again", labelWidth-labelEdge-22, labelHeight-3.9, footSize, "bold")
	}
}

// what is the name of the thing, on two lines at most.
func (l BagLabel) what(room float64) []string {
	lines, _ := wrap(l.What, whatSize*boldWider, room, 2)
	return lines
}

// body is the lines of the fasteners, as many as there is room for.
func (l BagLabel) body(room float64) []string {
	most := 5 - len(l.what(room))
	var lines []string
	for _, line := range l.Lines {
		broken, _ := wrap(line, linesSize, room, 2)
		lines = append(lines, broken...)
	}
	if len(lines) > most {
		lines = append(lines[:most-1], "and more")
	}
	return lines
}

func labelText(w *svgWriter, text string, x, y, size float64, weight string) {
	w.open("text", "x", num(x), "y", num(y), "font-family", "sans-serif", "font-size", num(size), "font-weight", weight, "fill", "#000")
	w.raw(">" + escape(text) + "</text>")
}
