package chart

import (
	"math"
	"strings"
)

// drawing is a figure as shapes in user units, before it becomes SVG.
type drawing struct {
	width, height float64
	shapes        []shape
	muted         bool // its hatching tells a kind and warns of nothing
}

func (d *drawing) add(s ...shape) { d.shapes = append(d.shapes, s...) }

// shape is something drawn: it knows the room it takes and how it is written.
type shape interface {
	bounds() box
	writeSVG(w *svgWriter)
}

type point struct{ x, y float64 }

type box struct{ x0, y0, x1, y1 float64 }

func (b box) overlaps(o box) bool {
	return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1
}

func boxOf(points []point) box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		b.x0, b.x1 = min(b.x0, p.x), max(b.x1, p.x)
		b.y0, b.y1 = min(b.y0, p.y), max(b.y1, p.y)
	}
	return b
}

type lineShape struct {
	class string
	a, b  point
}

func (s lineShape) bounds() box { return boxOf([]point{s.a, s.b}) }

// polyShape is a line through points or, closed, an area. hatch fills it with the hatching of its drawing.
type polyShape struct {
	class  string
	points []point
	closed bool
	hatch  bool
}

func (s polyShape) bounds() box { return boxOf(s.points) }

type rectShape struct {
	class      string
	x, y, w, h float64
	round      float64
	hatch      bool
	title      string
}

func (s rectShape) bounds() box { return box{s.x, s.y, s.x + s.w, s.y + s.h} }

type circleShape struct {
	class  string
	centre point
	r      float64
}

func (s circleShape) bounds() box {
	return box{s.centre.x - s.r, s.centre.y - s.r, s.centre.x + s.r, s.centre.y + s.r}
}

type anchor int

const (
	atStart anchor = iota
	atMiddle
	atEnd
)

// textShape is one line of text; at is its baseline. upward turns it to read from bottom to top.
type textShape struct {
	class  string
	at     point
	anchor anchor
	size   float64
	text   string
	title  string // the full words when text was cut
	upward bool
}

func (s textShape) bounds() box {
	w := textWidth(s.text, s.size)
	if strings.Contains(s.class, "fig-value") || strings.Contains(s.class, "fig-chosen-name") || strings.Contains(s.class, "fig-stage-") {
		w *= boldWider
	}
	back := w * float64(s.anchor) / 2
	if s.upward {
		return box{s.at.x - 0.78*s.size, s.at.y - w + back, s.at.x + 0.24*s.size, s.at.y + back}
	}
	return box{s.at.x - back, s.at.y - 0.78*s.size, s.at.x - back + w, s.at.y + 0.24*s.size}
}

// pathShape is a curve given in path data with absolute M, L, C, Q and Z only.
type pathShape struct {
	class string
	data  string
}

func (s pathShape) bounds() box { return boxOf(pathPoints(s.data)) }

// linkShape makes its children one target for finger, mouse and keyboard.
type linkShape struct {
	class    string
	href     string
	name     string
	children []shape
}

func (s linkShape) bounds() box {
	var corners []point
	for _, c := range s.children {
		b := c.bounds()
		corners = append(corners, point{b.x0, b.y0}, point{b.x1, b.y1})
	}
	return boxOf(corners)
}

func label(class string, x, y float64, a anchor, s string) textShape {
	return textShape{class: "fig-text " + class, at: point{x, y}, anchor: a, size: textSize, text: s}
}

func upright(class string, x, y0, y1 float64) lineShape {
	return lineShape{class, point{x, y0}, point{x, y1}}
}

func level(class string, y, x0, x1 float64) lineShape {
	return lineShape{class, point{x0, y}, point{x1, y}}
}
