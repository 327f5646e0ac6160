package chart

import (
	"fmt"
	"math"
)

func (v BodyView) drawn(size Size) *drawing {
	if len(v.Points) == 0 {
		return message(size, "There are no points yet.")
	}
	looks, height := v.looks(size)
	g := &drawing{width: size.width(), height: height}
	k := v.Exaggeration()
	for i, look := range looks {
		l := look
		words := l.name
		if i == 0 && k > 0 {
			words += fmt.Sprintf("; arrows %g times as long", k)
		}
		words, _ = cut(words, smallSize, g.width-8)
		heading := textShape{class: "fig-text fig-small fig-muted", at: point{math.Max(4, l.area.x0-22), l.area.y0 - 10}, size: smallSize, text: words}
		if w := textWidth(words, smallSize); heading.at.x+w > g.width-2 {
			heading.at.x = math.Max(2, g.width-2-w)
		}
		g.add(heading)
		for _, line := range l.sketch {
			g.add(l.poly("fig-body-outline", line))
		}
		v.drawLines(g, l, i > 0)
		v.drawPoints(g, l, k, i > 0)
	}
	return g
}

func (l bodyLook) poly(class string, places []bodyPlace) polyShape {
	s := polyShape{class: class}
	for _, p := range places {
		s.points = append(s.points, l.at(p.x, p.y, p.z))
	}
	return s
}

// drawLines draws the lines that were read and the next one; in the smaller views
// only what is next or wrong.
func (v BodyView) drawLines(g *drawing, l bodyLook, small bool) {
	at := map[string]BodyPoint{}
	for _, p := range v.Points {
		at[p.ID] = p
	}
	for _, kind := range []string{"read", "wrong", "next"} {
		if small && kind == "read" {
			continue
		}
		for _, line := range v.Lines {
			p, ok := at[line.From]
			q, also := at[line.To]
			if line.Kind == kind && ok && also {
				g.add(lineShape{"fig-body-" + kind, l.of(p), l.of(q)})
			}
		}
	}
}

func (l bodyLook) of(p BodyPoint) point { return l.at(p.XMm, p.YMm, p.ZMm) }

func (v BodyView) drawPoints(g *drawing, l bodyLook, k float64, small bool) {
	next := map[string]bool{}
	for _, line := range v.Lines {
		if line.Kind == "next" {
			next[line.From], next[line.To] = true, true
		}
	}
	var taken []box
	for _, p := range v.Points {
		l.arrow(g, p, k, !small || p.Strong)
		taken = append(taken, l.mark(g, p, next[p.ID]))
	}
	// The names of what moved come first, and those of the next line.
	for _, first := range []bool{true, false} {
		for _, p := range v.Points {
			if (p.Strong || next[p.ID]) != first || small && !first {
				continue
			}
			if t, ok := l.named(p, g.width, taken); ok {
				g.add(t)
				taken = append(taken, t.bounds())
			}
		}
	}
}

// arrow leads from where the point belongs to where it is, its doubt around the tip
// where that is asked for: in the smaller views all doubts would hide the points.
func (l bodyLook) arrow(g *drawing, p BodyPoint, k float64, doubt bool) {
	if k == 0 || len(p.MoveMm) == 0 || !finite(p.MoveMm...) || !finite(p.HalfMm...) {
		return
	}
	for _, axis := range l.axes {
		if axis >= len(p.MoveMm) {
			return // nothing is known of heights
		}
	}
	d := [3]float64{}
	copy(d[:], p.MoveMm)
	from := l.of(p)
	tip := l.at(p.XMm+k*d[0], p.YMm+k*d[1], p.ZMm+k*d[2])
	class := "fig-body-move"
	if p.Strong {
		class += " fig-body-strong"
	}
	if doubt && len(p.HalfMm) > l.axes[0] && len(p.HalfMm) > l.axes[1] {
		rx, ry := p.HalfMm[l.axes[0]]*k*l.scale, p.HalfMm[l.axes[1]]*k*l.scale
		if most := 60.0; rx <= most && ry <= most {
			g.add(ellipseShape{"fig-body-doubt", tip, rx, ry})
		}
	}
	size := math.Hypot(tip.x-from.x, tip.y-from.y)
	if size < 1.5 {
		return
	}
	g.add(lineShape{class, from, tip})
	if size > 5 {
		g.add(head(class, from, tip, math.Min(7, size/2)))
	}
}

// head is the head of an arrow.
func head(class string, from, tip point, size float64) polyShape {
	a := math.Atan2(tip.y-from.y, tip.x-from.x)
	at := func(turn float64) point {
		return point{tip.x - size*math.Cos(a+turn), tip.y - size*math.Sin(a+turn)}
	}
	return polyShape{class: class, points: []point{at(.42), tip, at(-.42)}}
}

// mark draws the point itself: its form tells its state, not the colour alone.
func (l bodyLook) mark(g *drawing, p BodyPoint, next bool) box {
	at := l.of(p)
	class := "fig-body-point"
	if p.State != BodyPlain && bodyStates[p.State] != "" {
		class += " fig-body-" + string(p.State)
	}
	switch {
	case p.Floor:
		g.add(lineShape{class, point{at.x - 4, at.y - 4}, point{at.x + 4, at.y + 4}}, lineShape{class, point{at.x - 4, at.y + 4}, point{at.x + 4, at.y - 4}})
	case p.State == BodyBeyond:
		r := 5.5
		g.add(polyShape{class: class, points: []point{{at.x, at.y - r}, {at.x + r, at.y}, {at.x, at.y + r}, {at.x - r, at.y}}, closed: true})
	default:
		g.add(circleShape{class, at, 3.6})
	}
	if next {
		g.add(circleShape{"fig-body-ring", at, 9})
	}
	return box{at.x - 4, at.y - 4, at.x + 4, at.y + 4}
}

// named finds a place for the point's name on one of four sides of it, outwards
// first; false where there is no room.
func (l bodyLook) named(p BodyPoint, width float64, taken []box) (textShape, bool) {
	at := l.of(p)
	t := textShape{class: "fig-text fig-small", size: smallSize, text: p.ID}
	if p.Strong {
		t.class += " fig-value"
	}
	middle := (l.area.x0 + l.area.x1) / 2
	var sides []int
	switch {
	case l.axes == [2]int{0, 1} && at.y < (l.area.y0+l.area.y1)/2:
		sides = []int{2, 1, 0, 3}
	case l.axes == [2]int{0, 1}:
		sides = []int{3, 1, 0, 2}
	case at.x < middle:
		sides = []int{0, 2, 3, 1}
	default:
		sides = []int{1, 2, 3, 0}
	}
	for _, side := range sides {
		switch side {
		case 0:
			t.at, t.anchor = point{at.x - 8, at.y + 4}, atEnd
		case 1:
			t.at, t.anchor = point{at.x + 8, at.y + 4}, atStart
		case 2:
			t.at, t.anchor = point{at.x, at.y - 8}, atMiddle
		case 3:
			t.at, t.anchor = point{at.x, at.y + 16}, atMiddle
		}
		b := t.bounds()
		free := b.x0 >= 1 && b.x1 <= width-1
		for _, o := range taken {
			free = free && !b.overlaps(o)
		}
		if free {
			return t, true
		}
	}
	return t, false
}

type ellipseShape struct {
	class  string
	centre point
	rx, ry float64
}

func (s ellipseShape) bounds() box {
	return box{s.centre.x - s.rx, s.centre.y - s.ry, s.centre.x + s.rx, s.centre.y + s.ry}
}

func (s ellipseShape) writeSVG(w *svgWriter) {
	w.element("ellipse", "", "class", s.class, "cx", num(s.centre.x), "cy", num(s.centre.y), "rx", num(s.rx), "ry", num(s.ry))
}
