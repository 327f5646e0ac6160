package chart

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// svgWriter writes elements with escaped attributes and text.
type svgWriter struct {
	b     strings.Builder
	hatch string // id of the hatching pattern
}

func (w *svgWriter) raw(s string) { w.b.WriteString(s) }

func (w *svgWriter) open(name string, attrs ...string) {
	w.raw("<" + name)
	for i := 0; i+1 < len(attrs); i += 2 {
		if attrs[i+1] != "" {
			w.raw(" " + attrs[i] + `="` + escape(attrs[i+1]) + `"`)
		}
	}
}

func (w *svgWriter) element(name, title string, attrs ...string) {
	w.open(name, attrs...)
	if title == "" {
		w.raw("/>")
		return
	}
	w.raw("><title>" + escape(title) + "</title></" + name + ">")
}

// escape makes s safe in text and attributes and drops what XML does not allow.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == 0xFFFD || r == 0xFFFE || r == 0xFFFF || (r < 0x20 && r != '\n' && r != '\t') {
			return ' '
		}
		return r
	}, s)
	return html.EscapeString(s)
}

// num writes a coordinate to a hundredth of a unit.
func num(v float64) string {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // no "-0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func (s lineShape) writeSVG(w *svgWriter) {
	w.element("line", "", "class", s.class, "x1", num(s.a.x), "y1", num(s.a.y), "x2", num(s.b.x), "y2", num(s.b.y))
}

func (s polyShape) writeSVG(w *svgWriter) {
	coords := make([]string, len(s.points))
	for i, p := range s.points {
		coords[i] = num(p.x) + "," + num(p.y)
	}
	name := "polyline"
	if s.closed {
		name = "polygon"
	}
	w.element(name, "", "class", s.class, "points", strings.Join(coords, " "), "fill", w.fill(s.hatch))
}

func (s rectShape) writeSVG(w *svgWriter) {
	round := ""
	if s.round > 0 {
		round = num(s.round)
	}
	w.element("rect", s.title, "class", s.class, "x", num(s.x), "y", num(s.y), "width", num(s.w), "height", num(s.h),
		"rx", round, "fill", w.fill(s.hatch))
}

// fill names the hatching; a style sheet of its own file could not point into the page.
func (w *svgWriter) fill(hatch bool) string {
	if !hatch {
		return ""
	}
	return "url(#" + w.hatch + ")"
}

func (s circleShape) writeSVG(w *svgWriter) {
	w.element("circle", "", "class", s.class, "cx", num(s.centre.x), "cy", num(s.centre.y), "r", num(s.r))
}

func (s pathShape) writeSVG(w *svgWriter) {
	w.element("path", "", "class", s.class, "d", s.data)
}

func (s textShape) writeSVG(w *svgWriter) {
	turn := ""
	if s.upward {
		turn = "rotate(-90 " + num(s.at.x) + " " + num(s.at.y) + ")"
	}
	w.open("text", "class", s.class, "x", num(s.at.x), "y", num(s.at.y),
		"text-anchor", []string{"", "middle", "end"}[s.anchor], "transform", turn)
	w.raw(">")
	if s.title != "" {
		w.raw("<title>" + escape(s.title) + "</title>")
	}
	w.raw(escape(s.text) + "</text>")
}

func (s linkShape) writeSVG(w *svgWriter) {
	w.open("a", "class", s.class, "href", safeHref(s.href))
	w.raw("><title>" + escape(s.name) + "</title>")
	for _, c := range s.children {
		c.writeSVG(w)
	}
	w.raw("</a>")
}

// safeHref lets only paths, queries and fragments of the own site through.
func safeHref(href string) string {
	clean := !strings.ContainsAny(href, "\\\t\r\n") && !strings.HasPrefix(href, "//")
	if clean && href != "" && strings.ContainsRune("/#?.", rune(href[0])) {
		return href
	}
	return "#"
}

// pathPoints lists the points of path data, control points included: they bound the curve.
func pathPoints(data string) []point {
	fields := strings.Fields(strings.NewReplacer("M", " ", "L", " ", "C", " ", "Q", " ", "Z", " ", ",", " ").Replace(data))
	var out []point
	for i := 0; i+1 < len(fields); i += 2 {
		x, errX := strconv.ParseFloat(fields[i], 64)
		y, errY := strconv.ParseFloat(fields[i+1], 64)
		if errX == nil && errY == nil {
			out = append(out, point{x, y})
		}
	}
	return out
}
