package chart

// CeilingBar is the money in one bar. Sums are in units of the currency; Ceiling 0 means none was set.
type CeilingBar struct {
	Head
	Money   Money
	Spent   float64
	P50     float64 // of the total
	P80     float64
	Ceiling float64
}

// NewCeilingBar draws what is spent, what is to come and what is left under the ceiling (or lies over it).
func NewCeilingBar(c CeilingBar) Figure {
	t := Table{Columns: []string{"Part", "Sum"}}
	for _, p := range c.parts() {
		t.Rows = append(t.Rows, []string{p.name, c.Money.Text(p.to - p.from)})
	}
	t.Rows = append(t.Rows, []string{"total, even chance", c.Money.Text(c.P50)}, []string{"total, four chances in five that it is less", c.Money.Text(c.P80)})
	if c.Ceiling > 0 {
		t.Rows = append(t.Rows, []string{"ceiling", c.Money.Text(c.Ceiling)})
	}
	if c.Desc == "" {
		for i, r := range t.Rows {
			if i > 0 {
				c.Desc += "; "
			}
			c.Desc += r[0] + " " + r[1]
		}
	}
	return Figure{head: c.Head, role: "img", draw: c.draw, table: t}
}

type part struct {
	name, class string
	from, to    float64
	hatch       bool
}

func (c CeilingBar) parts() []part {
	out := []part{{name: "spent", class: "fig-part-spent", from: 0, to: c.Spent}}
	if c.P50 > c.Spent {
		out = append(out, part{name: "to come", class: "fig-part-to-come", from: c.Spent, to: c.P50})
	}
	total := max(c.P50, c.Spent)
	switch {
	case c.Ceiling <= 0:
	case total < c.Ceiling:
		out = append(out, part{name: "left", class: "fig-part-left", from: total, to: c.Ceiling})
	case total > c.Ceiling:
		out = append(out, part{name: "over", class: "fig-over", from: c.Ceiling, to: total, hatch: true})
	}
	return out
}

func (c CeilingBar) draw(size Size) *drawing {
	if !finite(c.Spent, c.P50, c.P80, c.Ceiling) || c.Spent < 0 || max(c.Spent, c.P50, c.P80, c.Ceiling) <= 0 {
		return message(size, "Nothing spent and nothing expected yet.")
	}
	g := &drawing{width: size.width(), height: 108}
	x := Scale{Low: 0, High: max(c.Spent, c.P50, c.P80, c.Ceiling) * 1.02, From: 6, To: g.width - 6}
	const top, bottom = 36.0, 66.0
	var keys []pin
	for _, p := range c.parts() {
		a, b := x.At(p.from), x.At(p.to)
		g.add(rectShape{class: p.class, x: a, y: top, w: b - a, h: bottom - top, hatch: p.hatch})
		keys = append(keys, pin{(p.from + p.to) / 2, []string{p.name + " " + c.Money.Text(p.to-p.from)}, p.class, 1})
	}
	for _, l := range placePins(keys, x, g.width) {
		g.add(lineShape{"fig-leader", point{x.At(l.at), bottom + 2}, point{l.centre, bottom + 14}})
		g.add(label("fig-fact", l.centre, bottom+28, atMiddle, l.lines[0]))
	}
	marks := []pin{{c.P80, []string{"4 in 5 under " + c.Money.Text(c.P80)}, "fig-mark fig-mark-main", 2}}
	if c.Ceiling > 0 {
		marks = append(marks, pin{c.Ceiling, []string{"ceiling " + c.Money.Text(c.Ceiling)}, "fig-ceiling", 1})
	}
	for _, l := range placePins(marks, x, g.width) {
		g.add(upright(l.class, x.At(l.at), top-5, bottom+5))
		g.add(lineShape{"fig-leader", point{x.At(l.at), top - 5}, point{l.centre, 18}})
		g.add(label("fig-fact", l.centre, 14, atMiddle, l.lines[0]))
	}
	return g
}
