package demo

import (
	"fmt"
	"html"
	"strings"
)

// svg is the whole drawing as SVG. Colours stand in attributes, not in styles, so
// that they show under a strict content security policy.
func (s *sketch) svg(title string, width, height float64) []byte {
	s.finish(height)
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f" role="img"><title>%s</title>`, width*2, height*2, width, height, html.EscapeString(title))
	fmt.Fprintf(&out, `<rect width="%.0f" height="%.0f" fill="%s"/>`, width, height, paper)
	for _, m := range s.marks {
		if w := m.words; w != nil {
			fmt.Fprintf(&out, `<text x="%.1f" y="%.1f" font-size="%.0f" font-family="Georgia, serif" text-anchor="%s" fill="%s">%s</text>`, w.x, w.y, w.size, w.anchor, w.colour, html.EscapeString(w.text))
			continue
		}
		fmt.Fprintf(&out, `<path d="%s" fill="%s" stroke="%s" stroke-width="%.1f" stroke-linecap="round" stroke-linejoin="round"`, m.trail.data(), m.fill, m.stroke, m.width)
		if m.dashed {
			out.WriteString(` stroke-dasharray="11 6"`)
		}
		out.WriteString("/>")
	}
	out.WriteString("</svg>")
	return []byte(out.String())
}

// data is the path data of a trail.
func (t trail) data() string {
	var d strings.Builder
	fmt.Fprintf(&d, "M%.1f %.1f", t.x, t.y)
	for _, b := range t.bends {
		fmt.Fprintf(&d, "Q%.1f %.1f %.1f %.1f", b.cx, b.cy, b.x, b.y)
	}
	if t.closed {
		d.WriteByte('Z')
	}
	return d.String()
}
