package chart

import (
	"math"
	"strconv"
)

// Measures of the numbered marks.
const (
	markHalf  = 10.0 // half the height of a mark, and half the width of one with one or two figures
	markRow   = 27.0 // from mark to mark in a column
	markHit   = 13.1 // half the target for a finger: 24 px also where the figure is shown smaller by a twelfth
	markGap   = 2.0  // between columns
	markReach = 10.0 // how much higher a figure may grow to bring its marks one unit closer to their days, in the mean
)

// storyMark is an event that can be drawn, with its number and place on the axis.
type storyMark struct {
	TimelineEvent
	number int
	at     float64
}

// marks are the dated events by date.
func (t Timeline) marks(x Scale) []storyMark {
	var out []storyMark
	for i, e := range t.InOrder() {
		if !e.Date.IsZero() {
			out = append(out, storyMark{e, i + 1, x.At(dayNumber(e.Date))})
		}
	}
	return out
}

// halfWidth is half the width of the mark with its number inside.
func (m storyMark) halfWidth() float64 {
	half := max(markHalf, textWidth(strconv.Itoa(m.number), smallSize)/2+3)
	if m.weight() == EventQuestion {
		half += 6 // a lozenge has less room in its corners
	}
	return half
}

// storyColumn is a pile of marks whose days lie close together.
type storyColumn struct {
	marks  []storyMark
	centre float64
}

func (c storyColumn) width() float64 {
	w := 2 * markHit
	for _, m := range c.marks {
		w = max(w, 2*m.halfWidth()+2)
	}
	return w
}

func (c storyColumn) wish() float64 {
	sum := 0.0
	for _, m := range c.marks {
		sum += m.at
	}
	return sum / float64(len(c.marks))
}

// pile puts marks, rising in date, into columns of at most rows marks that lie within near of the first.
func pile(marks []storyMark, rows int, near float64) []storyColumn {
	var out []storyColumn
	for _, m := range marks {
		last := len(out) - 1
		if last < 0 || len(out[last].marks) >= rows || m.at-out[last].marks[0].at > near {
			out = append(out, storyColumn{})
			last++
		}
		out[last].marks = append(out[last].marks, m)
	}
	return out
}

// placeColumns weighs the height of the columns against the way from the marks to their days. shift is the way of the
// mark that stands farthest off. Columns of any height whose
// days lie further apart than the widest mark always find room.
func placeColumns(marks []storyMark, width float64) (best []storyColumn, shift float64) {
	if len(marks) == 0 {
		return nil, 0
	}
	widest := storyColumn{marks: marks}.width() + markGap
	least := math.Inf(1)
	for _, rows := range []int{1, 2, 3, 4, 5, 6, 8, 10, 12, 16, len(marks)} {
		for _, near := range []float64{4, 12, widest, 2 * widest, 4 * widest} {
			columns, ok := setApart(pile(marks, rows, near), width)
			if !ok {
				continue
			}
			mean, most := ways(columns)
			if cost := markRow*highest(columns) + markReach*mean; cost < least {
				best, shift, least = columns, most, cost
			}
		}
	}
	return best, shift
}

func highest(columns []storyColumn) float64 {
	n := 0
	for _, c := range columns {
		n = max(n, len(c.marks))
	}
	return float64(n)
}

// setApart places columns side by side, each as near as it can be to its days; false when there is no room.
func setApart(columns []storyColumn, width float64) ([]storyColumn, bool) {
	wishes, sizes := make([]float64, len(columns)), make([]float64, len(columns))
	for i, c := range columns {
		wishes[i], sizes[i] = c.wish(), c.width()
	}
	centres, ok := spread(wishes, sizes, 1, width-1, markGap)
	for i := range centres {
		columns[i].centre = centres[i]
	}
	return columns, ok
}

// ways are how far the marks stand from their days, in the mean and at most.
func ways(columns []storyColumn) (mean, most float64) {
	n := 0.0
	for _, c := range columns {
		for _, m := range c.marks {
			way := math.Abs(m.at - c.centre)
			mean, most = mean+way, max(most, way)
			n++
		}
	}
	return mean / n, most
}

// eventShape is the shape of a weight around a centre: circle, square, lozenge or, for a stop, a filled octagon.
func eventShape(w EventWeight, c point, half float64) shape {
	return weightShape(w, c, half, half)
}

func weightShape(w EventWeight, c point, halfWidth, half float64) shape {
	class := "fig-story fig-story-" + string(w)
	switch w {
	case EventStop:
		a, b := halfWidth*0.45, half*0.45
		return polyShape{class: class, closed: true, points: []point{
			{c.x - a, c.y - half},
			{c.x + a, c.y - half},
			{c.x + halfWidth, c.y - b},
			{c.x + halfWidth, c.y + b},
			{c.x + a, c.y + half},
			{c.x - a, c.y + half},
			{c.x - halfWidth, c.y + b},
			{c.x - halfWidth, c.y - b},
		}}
	case EventQuestion:
		return polyShape{class: class, closed: true, points: []point{
			{c.x, c.y - half - 2}, {c.x + halfWidth, c.y}, {c.x, c.y + half + 2}, {c.x - halfWidth, c.y},
		}}
	case EventNote:
		return rectShape{class: class, x: c.x - halfWidth, y: c.y - half + 1, w: 2 * halfWidth, h: 2*half - 2}
	}
	return rectShape{class: class, x: c.x - halfWidth, y: c.y - half, w: 2 * halfWidth, h: 2 * half, round: half}
}

// drawColumns draws the marks under the rail, lower where threads must reach far to the side, and returns where the
// lowest mark ends.
func (t Timeline) drawColumns(g *drawing, columns []storyColumn, shift, rail float64) float64 {
	bottom := rail
	top := rail + 28 + min(shift*0.2, 20)
	for _, c := range columns {
		for _, m := range c.marks {
			g.add(upright("fig-tick", m.at, rail-3, rail+3))
			g.add(lineShape{"fig-leader", point{m.at, rail + 3}, point{c.centre, top - markHalf - 4}})
		}
		g.add(upright("fig-leader", c.centre, top-markHalf-4, top+markRow*float64(len(c.marks)-1)))
		for i, m := range c.marks {
			y := top + markRow*float64(i)
			g.add(t.drawMark(m, point{c.centre, y})...)
			bottom = max(bottom, y+markHalf+4)
		}
	}
	return bottom
}

func (t Timeline) drawMark(m storyMark, at point) []shape {
	name := strconv.Itoa(m.number) + ": " + m.words() + ", " + dayWords(m.Date)
	if words := m.weight().words(); words != "" {
		name += ", " + words
	}
	class := "fig-text fig-small fig-story-number"
	if m.weight() == EventStop {
		class += " fig-story-number-stop"
	}
	number := textShape{class: class, at: point{at.x, at.y + 4.3}, anchor: atMiddle, size: smallSize, text: strconv.Itoa(m.number)}
	mark := weightShape(m.weight(), at, m.halfWidth(), markHalf)
	if t.Linked {
		half := max(markHit, m.halfWidth())
		hit := rectShape{class: "fig-story-target", x: at.x - half, y: at.y - markHit, w: 2 * half, h: 2 * markHit}
		return []shape{linkShape{class: "fig-story-link", href: "#" + t.EventID(m.number), name: name, children: []shape{hit, mark, number}}}
	}
	number.title = name
	return []shape{mark, number}
}
