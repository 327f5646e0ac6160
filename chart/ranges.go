package chart

import "fmt"

// Range is a cost that is not known: Low, Likely and High are its 10 %, 50 % and 90 % points, Expected its mean with
// the chance of failing counted. Reference is what the trade would have charged; 0 means unknown.
type Range struct {
	Name      string
	Low       float64
	Likely    float64
	High      float64
	Expected  float64
	Reference float64
	Chosen    bool
}

func (r Range) sound() bool {
	return finite(r.Low, r.Likely, r.High, r.Expected, r.Reference) && r.Low <= r.High
}

func (r Range) words(m Money) string {
	s := fmt.Sprintf("%s to %s, likely %s, expected %s", m.Text(r.Low), m.Text(r.High), m.Text(r.Likely), m.Text(r.Expected))
	if r.Reference > 0 {
		s += ", reference price " + m.Text(r.Reference)
	}
	return s
}

// SharedScale spans all ranges from nought, so that bars side by side can be compared.
func SharedScale(ranges []Range) (low, high float64) {
	var s span
	s.take(0)
	for _, r := range ranges {
		if r.sound() {
			s.take(r.Low, r.High, r.Likely, r.Expected, r.Reference)
		}
	}
	if s.high == s.low {
		return s.low, s.low + 1
	}
	return s.low, s.high + 0.02*(s.high-s.low)
}

// NewRangeBar draws one range without words, small enough for a table cell: low and high are those of SharedScale.
func NewRangeBar(head Head, m Money, r Range, low, high float64) Figure {
	if head.Desc == "" {
		head.Desc = r.words(m)
	}
	draw := func(Size) *drawing {
		g := &drawing{width: 240, height: 28}
		x := Scale{Low: low, High: high, From: 8, To: 232}
		g.add(level("fig-axis", 14, x.From, x.To))
		r.drawOn(g, x, 14)
		return g
	}
	return Figure{head: head, role: "img", draw: draw, table: rangeTwin(m, []Range{r}), fixed: "fig-range-bar"}
}

// drawOn draws the bar from low to high, the tick of likely, the dot of the expected and the fork of the reference.
func (r Range) drawOn(g *drawing, x Scale, y float64) {
	if !r.sound() {
		return
	}
	class := "fig-range"
	if r.Chosen {
		class += " fig-chosen"
	}
	g.add(rectShape{class: class, x: x.At(r.Low), y: y - 6, w: x.At(r.High) - x.At(r.Low), h: 12, round: 2})
	g.add(upright("fig-likely", x.At(r.Likely), y-6, y+6))
	if r.Reference > 0 {
		at := x.At(r.Reference)
		g.add(upright("fig-reference", at, y-11, y+11))
		g.add(level("fig-reference", y-11, at-3.5, at+3.5), level("fig-reference", y+11, at-3.5, at+3.5))
	}
	g.add(circleShape{"fig-expected", point{x.At(r.Expected), y}, 4.5})
}

// Ranges is a set of routes on one shared scale.
type Ranges struct {
	Head
	Money Money
	Items []Range
}

// NewRanges draws a row for each range over one axis, with a key to the marks.
func NewRanges(r Ranges) Figure {
	if r.Desc == "" {
		for _, i := range r.Items {
			r.Desc += i.Name + ": " + i.words(r.Money) + ". "
		}
	}
	return Figure{head: r.Head, role: "img", draw: r.draw, table: rangeTwin(r.Money, r.Items)}
}

func rangeTwin(m Money, items []Range) Table {
	t := Table{Columns: []string{"Route", "Low", "Likely", "High", "Expected", "Reference price"}}
	for _, r := range items {
		reference := ""
		if r.Reference > 0 {
			reference = m.Text(r.Reference)
		}
		name := r.Name
		if r.Chosen {
			name += " (chosen)"
		}
		t.Rows = append(t.Rows, []string{name, m.Text(r.Low), m.Text(r.Likely), m.Text(r.High), m.Text(r.Expected), reference})
	}
	return t
}

func (r Ranges) draw(size Size) *drawing {
	if len(r.Items) == 0 {
		return message(size, "No route has a cost yet.")
	}
	g := &drawing{width: size.width()}
	row, left, barY := 46.0, 12.0, 30.0
	if !size.narrow() {
		row, left, barY = 36, g.width*0.34, 16
	}
	x := Scale{From: left, To: g.width - 14}
	x.Low, x.High = SharedScale(r.Items)
	for n, i := range r.Items {
		y := 2 + float64(n)*row
		r.drawName(g, i, size, x, y)
		g.add(level("fig-grid", y+barY, x.From, x.To))
		i.drawOn(g, x, y+barY)
	}
	bottom := 6 + float64(len(r.Items))*row
	g.add(level("fig-axis", bottom, x.From, x.To))
	g.height = bottom + 26
	drawMoneyTicks(g, x, bottom, r.Money, nil)
	drawRangeKey(g, left)
	return g
}

func (r Ranges) drawName(g *drawing, i Range, size Size, x Scale, y float64) {
	room, baseline := g.width-4, y+14
	if !size.narrow() {
		room, baseline = x.From-16, y+21
	}
	words, short := cut(i.Name, textSize, room/boldWider)
	name := label("fig-name", 2, baseline, atStart, words)
	if i.Chosen {
		name.class += " fig-chosen-name"
	}
	if short {
		name.title = i.Name
	}
	g.add(name)
}

// drawRangeKey explains the marks under the axis.
func drawRangeKey(g *drawing, left float64) {
	drawKey(g, left, []keyEntry{
		{"low to high", func(p point) []shape {
			return []shape{rectShape{class: "fig-range", x: p.x, y: p.y - 5, w: 14, h: 10, round: 2}}
		}},
		{"likely", func(p point) []shape { return []shape{upright("fig-likely", p.x+7, p.y-6, p.y+6)} }},
		{"expected", func(p point) []shape { return []shape{circleShape{"fig-expected", point{p.x + 7, p.y}, 4.5}} }},
		{"reference price", func(p point) []shape {
			return []shape{
				upright("fig-reference", p.x+7, p.y-7, p.y+7),
				level("fig-reference", p.y-7, p.x+3.5, p.x+10.5), level("fig-reference", p.y+7, p.x+3.5, p.x+10.5),
			}
		}},
	})
}
