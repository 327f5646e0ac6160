package chart

import (
	"html/template"
	"strings"
)

// BodyMap is the plan and the side of a body to tap on: the figure, and how a tap
// becomes a place.
type BodyMap struct {
	SVG template.HTML
	// Of each view its box in the drawing, and how many mm a unit of it is. In the
	// plan x falls downwards from XTopMm and y falls to the right from YLeftMm; in
	// the side x falls to the right and z falls downwards.
	Plan, Side BodyMapView
	Width      float64
	Height     float64
}

// BodyMapView is one view of a map.
type BodyMapView struct {
	X0, Y0, X1, Y1 float64
	AcrossMm       float64 // place at the left edge
	DownMm         float64 // place at the upper edge
	MmPerUnit      float64
}

// NewBodyMap draws the plan with the front at the top and the side below it.
func NewBodyMap(v BodyView) BodyMap {
	v = v.somewhere()
	looks, _ := v.looks(Phone)
	b := v.bounds()
	view := func(l bodyLook, across, down float64) BodyMapView {
		return BodyMapView{l.area.x0, l.area.y0, l.area.x1, l.area.y1, across, down, 1 / l.scale}
	}
	m := BodyMap{Plan: view(looks[0], b.y, b.x1), Side: view(looks[1], b.x1, b.z1), Width: Phone.width(), Height: looks[1].area.y1 + 14}
	draw := func(Size) *drawing {
		g := &drawing{width: m.Width, height: m.Height}
		for i, l := range looks[:2] {
			words := l.name
			if i == 0 {
				words += ", front at the top"
			}
			g.add(textShape{class: "fig-text fig-small fig-muted", at: point{4, l.area.y0 - 10}, size: smallSize, text: words})
			for _, line := range l.sketch {
				g.add(l.poly("fig-body-outline", line))
			}
			v.drawPoints(g, l, 0, i > 0)
		}
		return g
	}
	f := Figure{head: Head{ID: v.ID, Title: v.Title, Desc: strings.TrimSpace(v.Desc + " Plan and side of the car with the points named so far.")}, role: "img", draw: draw, fixed: "fig-plan"}
	m.SVG = f.SVG(Phone)
	return m
}
