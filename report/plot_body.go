package report

import (
	"fmt"
	"math"

	"codeberg.org/go-pdf/fpdf"

	"wreckwright/prove/buildfile"
)

// spread is the least and the greatest of some figures.
type spread struct{ low, high float64 }

func spreadOf(n int, at func(int) (float64, bool)) spread {
	s := spread{math.Inf(1), math.Inf(-1)}
	for i := range n {
		if v, ok := at(i); ok {
			s.low, s.high = min(s.low, v), max(s.high, v)
		}
	}
	return s
}

func (s spread) wide() float64 { return max(0, s.high-s.low) }

// The room for the drawing of a body, in millimetres of paper.
const (
	bodyWide  = textWidth - 44 // words and arrows need the rest
	bodyHigh  = 90.0
	bodyEdge  = 8.0
	arrowMost = 13.0 // how long the longest arrow gets
)

// bodyPlot sets the points of a body survey from above and, where heights were
// measured, from the side; what moved has an arrow, drawn longer than it is.
func (s *sheet) bodyPlot(b buildfile.BodyPlot) {
	if len(b.Points) == 0 {
		return
	}
	x := spreadOf(len(b.Points), func(i int) (float64, bool) { return b.Points[i].X, true })
	y := spreadOf(len(b.Points), func(i int) (float64, bool) { return b.Points[i].Y, true })
	z := spreadOf(len(b.Points), func(i int) (float64, bool) {
		if b.Points[i].Z == nil {
			return 0, false
		}
		return *b.Points[i].Z, true
	})
	scale := min(bodyWide/max(x.wide(), 1), bodyHigh/max(y.wide(), z.wide(), 1))
	longer := exaggeration(b, scale)
	s.bodyView("From above, the front to the right", b, x, y, scale, longer, 1)
	if z.wide() > 0 || !math.IsInf(z.low, 0) {
		s.bodyView("From the right side, the front to the right", b, x, z, scale, longer, 2)
	}
	s.flow(note, marginLeft, textWidth, bodyWords(b, longer))
	s.y += 2
}

// exaggeration is by how much arrows are longer than what moved: a round number.
func exaggeration(b buildfile.BodyPlot, scale float64) float64 {
	most := 0.0
	for _, p := range b.Points {
		if p.Moved != nil {
			most = max(most, math.Hypot(math.Hypot(p.Moved[0], p.Moved[1]), p.Moved[2]))
		}
	}
	longer := 1.0
	for _, step := range []float64{2, 5, 10, 20, 50, 100, 200} {
		if most > 0 && most*scale*step <= arrowMost {
			longer = step
		}
	}
	return longer
}

func bodyWords(b buildfile.BodyPlot, longer float64) string {
	moved := 0
	for _, p := range b.Points {
		if p.Moved != nil {
			moved++
		}
	}
	if b.Untold != "" && moved == 0 {
		return b.Untold
	}
	if moved == 0 {
		return "Nothing shows that a point has moved. That holds for the points that were measured, within their doubt."
	}
	return fmt.Sprintf("Arrows: from where a point should be to where it is, drawn %.0f times as long as they are against the body. Points without one show no move beyond their doubt.", longer)
}

// bodyView sets one view; up says which axis goes up: 1 is y, 2 is z.
func (s *sheet) bodyView(title string, b buildfile.BodyPlot, x, v spread, scale, longer float64, up int) {
	high := v.wide()*scale + 2*bodyEdge + arrowMost
	s.room(high + note.leading + 2)
	s.put(note, marginLeft, s.y, title)
	s.y += note.leading + 1
	s.fill(marginLeft, s.y, textWidth, high, tint)
	foot := s.y + high - bodyEdge - arrowMost/2
	left := marginLeft + (textWidth-x.wide()*scale)/2
	for _, p := range b.Points {
		at := [3]float64{p.X, p.Y, 0}
		if p.Z != nil {
			at[2] = *p.Z
		} else if up == 2 {
			continue
		}
		px, py := left+(p.X-x.low)*scale, foot-(at[up]-v.low)*scale
		c := ink
		if p.Moved != nil {
			c = bad
			dx, dy := p.Moved[0]*scale*longer, -p.Moved[up]*scale*longer
			s.arrow(px-dx, py-dy, px, py, c)
		}
		s.pdf.SetFillColor(c[0], c[1], c[2])
		s.pdf.Circle(px, py, 0.7, "F")
		s.pointWords(px, py, p)
	}
	s.y += high + 2
}

// pointWords sets the name of a point beside it: where its arrow is not, and those
// of the right side below, so that a pair can be told apart from the side.
func (s *sheet) pointWords(x, y float64, p buildfile.BodyPoint) {
	at := y - note.leading
	if p.Y < 0 {
		at = y + 0.3
	}
	if p.Moved != nil && p.Moved[0] < 0 {
		s.putRight(note, x-1.2, at, printable(p.ID))
		return
	}
	s.put(note, x+1.2, at, printable(p.ID))
}

// arrow is a line with a head at its end; where it is a speck only the line.
func (s *sheet) arrow(x1, y1, x2, y2 float64, c colour) {
	s.line(x1, y1, x2, y2, 0.5, c)
	long := math.Hypot(x2-x1, y2-y1)
	if long < 1.5 {
		return
	}
	ux, uy := (x2-x1)/long*1.8, (y2-y1)/long*1.8
	s.pdf.SetFillColor(c[0], c[1], c[2])
	s.pdf.Polygon([]fpdf.PointType{{X: x2, Y: y2}, {X: x2 - ux - uy/2, Y: y2 - uy + ux/2}, {X: x2 - ux + uy/2, Y: y2 - uy - ux/2}}, "F")
}
