package chart

import (
	"html/template"
	"strings"
)

// Head names a figure. ID must be unique in the page and is cut to letters, digits and hyphens.
// An empty Desc is written from the data.
type Head struct {
	ID    string
	Title string
	Desc  string
}

// Size is a width that a figure is laid out for, in CSS pixels.
type Size struct {
	Name    string
	WidthPx float64
}

// Phone is a column of a phone 360 px wide; Desk a column of a laptop.
var (
	Phone = Size{Name: "phone", WidthPx: 328}
	Desk  = Size{Name: "desk", WidthPx: 720}
)

// narrow says that words must be saved.
func (s Size) narrow() bool { return s.WidthPx < 500 }

// width holds the layout to widths the figures are made for.
func (s Size) width() float64 {
	if !finite(s.WidthPx) {
		return Desk.WidthPx
	}
	return min(max(s.WidthPx, 280), 2000)
}

// Figure is a figure that can be written at any size, and its table twin.
type Figure struct {
	head  Head
	role  string // "img", or "group" where the figure holds links
	draw  func(Size) *drawing
	table Table
	fixed string // class of a figure whose one layout serves all widths
}

// HTML returns the whole figure element: the layout for phones, the one for laptops (chart.css shows one), and the
// table twin folded under it.
func (f Figure) HTML() template.HTML {
	var b strings.Builder
	b.WriteString(`<figure class="fig">`)
	if f.fixed != "" {
		b.WriteString(string(f.SVG(Phone)))
	} else {
		b.WriteString(`<div class="fig-at-phone">` + string(f.SVG(Phone)) + `</div>`)
		b.WriteString(`<div class="fig-at-desk">` + string(f.SVG(Desk)) + `</div>`)
	}
	b.WriteString(`<details class="fig-twin"><summary>The same as a table</summary>`)
	b.WriteString(string(f.Table()) + `</details></figure>`)
	return template.HTML(b.String())
}

// SVG returns the figure laid out for one size.
func (f Figure) SVG(size Size) template.HTML {
	id := cleanID(f.head.ID)
	class := f.fixed
	if class == "" {
		class = "fig-" + cleanID(size.Name)
		id += "-" + cleanID(size.Name)
	}
	d := f.draw(size)
	w := &svgWriter{hatch: id + "-hatch"}
	w.open("svg", "class", "fig-svg "+class, "viewBox", "0 0 "+num(d.width)+" "+num(d.height),
		"role", f.role, "aria-labelledby", id+"-title "+id+"-desc", "xmlns", "http://www.w3.org/2000/svg")
	w.raw(">")
	w.open("title", "id", id+"-title")
	w.raw(">" + escape(f.head.Title) + "</title>")
	w.open("desc", "id", id+"-desc")
	w.raw(">" + escape(f.head.Desc) + "</desc>")
	if hatched(d.shapes) {
		w.hatching(d.muted)
	}
	for _, s := range d.shapes {
		s.writeSVG(w)
	}
	w.raw("</svg>")
	return template.HTML(w.b.String())
}

// Table returns the table twin.
func (f Figure) Table() template.HTML { return f.table.html(f.head.Title) }

func hatched(shapes []shape) bool {
	for _, s := range shapes {
		switch s := s.(type) {
		case polyShape:
			if s.hatch {
				return true
			}
		case rectShape:
			if s.hatch {
				return true
			}
		case linkShape:
			if hatched(s.children) {
				return true
			}
		}
	}
	return false
}

// hatching defines the pattern: a warning, or muted where it only tells a kind.
func (w *svgWriter) hatching(muted bool) {
	class := "fig-hatch-line"
	if muted {
		class += " fig-hatch-muted"
	}
	w.open("pattern", "id", w.hatch, "width", "6", "height", "6", "patternUnits", "userSpaceOnUse",
		"patternTransform", "rotate(45)")
	w.raw(">")
	w.element("rect", "", "class", "fig-hatch-ground", "width", "6", "height", "6")
	w.element("line", "", "class", class, "x1", "0", "y1", "0", "x2", "0", "y2", "6")
	w.raw("</pattern>")
}

func cleanID(id string) string {
	clean := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-':
			return r
		}
		return '-'
	}, id)
	if clean == "" || (clean[0] >= '0' && clean[0] <= '9') || clean[0] == '-' {
		return "fig" + clean
	}
	return clean
}

// message is the drawing of a figure that has nothing to show.
func message(size Size, words string) *drawing {
	d := &drawing{width: size.width(), height: 64}
	lines, short := wrap(words, textSize, d.width-24, 3)
	for i, l := range lines {
		t := label("fig-muted", d.width/2, 24+float64(i)*17, atMiddle, l)
		if short {
			t.title = words
		}
		d.add(t)
	}
	return d
}
