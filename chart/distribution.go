package chart

import "fmt"

// Bin is one class of a histogram: Share of all outcomes lie from Low to High.
type Bin struct{ Low, High, Share float64 }

// Distribution is what the whole may come to. Sums are in units of the currency. Ceiling 0 means none was set.
type Distribution struct {
	Head
	Money   Money
	Bins    []Bin // rising, touching
	P10     float64
	P50     float64
	P80     float64
	P90     float64
	Ceiling float64
	Spent   float64
}

// NewDistribution draws the likely total: the heap of outcomes, the points from one chance in ten to nine, the part above the ceiling
// hatched, and the money spent so far as the start.
func NewDistribution(d Distribution) Figure {
	if d.Desc == "" {
		d.Desc = d.describe()
	}
	return Figure{head: d.Head, role: "img", draw: d.draw, table: d.twin()}
}

func (d Distribution) describe() string {
	s := fmt.Sprintf("One chance in ten that the total stays under %s, as likely over as under %s, four in five under %s, nine in ten under %s. Spent so far: %s.",
		d.Money.Text(d.P10), d.Money.Text(d.P50), d.Money.Text(d.P80), d.Money.Text(d.P90), d.Money.Text(d.Spent))
	if d.Ceiling > 0 {
		s += " The ceiling is " + d.Money.Text(d.Ceiling) + "; the outcomes above it are hatched."
	}
	return s
}

func (d Distribution) twin() Table {
	t := Table{Columns: []string{"Point", "Total"}}
	add := func(name string, v float64) { t.Rows = append(t.Rows, []string{name, d.Money.Text(v)}) }
	add("spent so far", d.Spent)
	add("one chance in ten that it is less", d.P10)
	add("as likely over as under", d.P50)
	add("four chances in five that it is less", d.P80)
	add("nine chances in ten that it is less", d.P90)
	if d.Ceiling > 0 {
		add("ceiling", d.Ceiling)
	}
	for _, b := range d.Bins {
		t.Rows = append(t.Rows, []string{"share from " + d.Money.Text(b.Low) + " to " + d.Money.Text(b.High), percent(b.Share)})
	}
	return t
}

// pin is a value on an axis with words.
type pin struct {
	at    float64
	lines []string
	class string
	rank  int // the highest is dropped first when there is no room
}

func (d Distribution) points() []pin {
	return []pin{
		{d.P10, []string{"1 in 10", d.Money.Text(d.P10)}, "fig-mark", 3},
		{d.P50, []string{"even", d.Money.Text(d.P50)}, "fig-mark fig-mark-main", 0},
		{d.P80, []string{"4 in 5", d.Money.Text(d.P80)}, "fig-mark", 1},
		{d.P90, []string{"9 in 10", d.Money.Text(d.P90)}, "fig-mark", 2},
	}
}

func (d Distribution) facts() []pin {
	out := []pin{{d.Spent, []string{"spent " + d.Money.Text(d.Spent)}, "fig-spent", 1}}
	if d.Ceiling > 0 {
		out = append(out, pin{d.Ceiling, []string{"ceiling " + d.Money.Text(d.Ceiling)}, "fig-ceiling", 0})
	}
	return out
}

// dense reports whether the numbers can be drawn.
func (d Distribution) dense() bool {
	sum := 0.0
	for _, b := range d.Bins {
		if !finite(b.Low, b.High, b.Share) || b.High <= b.Low || b.Share < 0 {
			return false
		}
		sum += b.Share
	}
	return sum > 0 && finite(d.P10, d.P50, d.P80, d.P90, d.Ceiling, d.Spent)
}

// Rows of the figure from the top: names of the points, their leaders, the heap, ticks, the two facts.
const (
	distName   = 20.0
	distTop    = 54.0
	distFoot   = 66.0
	edge       = 10.0
	breakWidth = 34.0
)

func (d Distribution) draw(size Size) *drawing {
	if !d.dense() {
		return message(size, "No forecast yet: enter a job with a range of cost.")
	}
	g := &drawing{width: size.width(), height: 250}
	if !size.narrow() {
		g.height = 310
	}
	bottom := g.height - distFoot
	x := d.scale(g.width)
	y := Scale{Low: 0, High: d.peak() * 1.06, From: bottom, To: distTop}
	outline := d.outline(x, y)
	g.add(polyShape{class: "fig-area", points: under(outline, bottom), closed: true})
	if d.Ceiling > 0 {
		over := rightOf(outline, x.At(d.Ceiling))
		if len(over) > 1 {
			g.add(polyShape{class: "fig-over", points: under(over, bottom), closed: true, hatch: true})
		}
	}
	g.add(polyShape{class: "fig-line", points: outline}, level("fig-axis", bottom, x.From, x.To))
	d.drawPoints(g, x, bottom)
	d.drawFacts(g, x, bottom)
	return g
}

// scale spans what is drawn. A sum spent far below all outcomes would squeeze them into a corner: then the axis is
// broken, and the sum spent stands before the break.
func (d Distribution) scale(width float64) Scale {
	var s span
	s.take(d.P10, d.P90)
	for _, b := range d.Bins {
		if b.Share > 0 {
			s.take(b.Low, b.High)
		}
	}
	if d.Ceiling > 0 {
		s.take(d.Ceiling)
	}
	x := Scale{From: edge, To: width - edge}
	if d.Spent < s.low-0.8*(s.high-s.low) {
		x.From += breakWidth
	} else {
		s.take(d.Spent)
	}
	x.Low, x.High = s.padded(0.03)
	return x
}

// spentAt is the place of the sum spent, before the break where there is one.
func (d Distribution) spentAt(x Scale) float64 {
	if d.Spent < x.Low {
		return edge
	}
	return x.At(d.Spent)
}

// density is share per unit of money, so that classes of unequal width show equal areas.
func (b Bin) density() float64 { return b.Share / (b.High - b.Low) }

func (d Distribution) peak() float64 {
	top := 0.0
	for _, b := range d.Bins {
		top = max(top, b.density())
	}
	return top
}

// outline joins the middles of the classes and comes down to nothing at both ends.
func (d Distribution) outline(x, y Scale) []point {
	first, last := 0, len(d.Bins)-1
	for first < last && d.Bins[first].Share == 0 {
		first++
	}
	for last > first && d.Bins[last].Share == 0 {
		last--
	}
	out := []point{{x.At(d.Bins[first].Low), y.At(0)}}
	for _, b := range d.Bins[first : last+1] {
		out = append(out, point{x.At((b.Low + b.High) / 2), y.At(b.density())})
	}
	return append(out, point{x.At(d.Bins[last].High), y.At(0)})
}

// under closes a line down to the level y.
func under(line []point, y float64) []point {
	out := append([]point{}, line...)
	return append(out, point{line[len(line)-1].x, y}, point{line[0].x, y})
}

// rightOf is the part of a line, rising in x, at and beyond x0.
func rightOf(line []point, x0 float64) []point {
	var out []point
	for i, p := range line {
		if p.x < x0 {
			continue
		}
		if i > 0 && line[i-1].x < x0 {
			q := line[i-1]
			f := (x0 - q.x) / (p.x - q.x)
			out = append(out, point{x0, q.y + f*(p.y-q.y)})
		}
		out = append(out, p)
	}
	return out
}

func (d Distribution) drawPoints(g *drawing, x Scale, bottom float64) {
	for _, l := range placePins(d.points(), x, g.width) {
		foot := x.At(l.at)
		g.add(upright(l.class, foot, distTop, bottom))
		g.add(lineShape{"fig-leader", point{foot, distTop}, point{l.centre, distName + 20}})
		for i, s := range l.lines {
			class := "fig-name"
			if i > 0 {
				class = "fig-value"
			}
			row := float64(2 - len(l.lines) + i) // a name alone stands in the lower row, next to its leader
			g.add(label(class, l.centre, distName+16*row, atMiddle, s))
		}
	}
}

func (d Distribution) drawFacts(g *drawing, x Scale, bottom float64) {
	var stops []float64
	for _, l := range placePins(d.facts(), x, g.width) {
		foot, top := x.At(l.at), distTop
		if l.class == "fig-spent" {
			foot, top = d.spentAt(x), bottom-9
			g.add(circleShape{"fig-spent-dot", point{foot, bottom}, 4.5})
		}
		stops = append(stops, foot)
		g.add(upright(l.class, foot, top, bottom+28))
		g.add(lineShape{"fig-leader", point{foot, bottom + 28}, point{l.centre, bottom + 42}})
		g.add(label("fig-fact", l.centre, bottom+56, atMiddle, l.lines[0]))
	}
	drawMoneyTicks(g, x, bottom, d.Money, stops)
	if x.From > edge {
		middle := edge + breakWidth/2
		g.add(level("fig-axis", bottom, edge, middle-4), level("fig-axis", bottom, middle+4, x.From))
		g.add(lineShape{"fig-axis", point{middle - 7, bottom + 5}, point{middle - 1, bottom - 5}})
		g.add(lineShape{"fig-axis", point{middle + 1, bottom + 5}, point{middle + 7, bottom - 5}})
	}
}

// drawMoneyTicks writes the ticks under an axis; names that would touch a line at one of stops are left out.
func drawMoneyTicks(g *drawing, x Scale, y float64, m Money, stops []float64) {
	wide := textWidth(m.Text(max(x.High, -x.Low)), textSize) + 14
	ticks := Ticks(x.Low, x.High, max(int((x.To-x.From)/wide), 1))
	for _, v := range ticks {
		at := x.At(v)
		g.add(upright("fig-tick", at, y, y+5))
		t := label("fig-tick-name", at, y+20, atMiddle, m.Text(v))
		b := t.bounds()
		if b.x0 < 1 || b.x1 > g.width-1 || hit(b, stops) {
			continue
		}
		g.add(t)
	}
}

func hit(b box, stops []float64) bool {
	for _, s := range stops {
		if s > b.x0-4 && s < b.x1+4 {
			return true
		}
	}
	return false
}
