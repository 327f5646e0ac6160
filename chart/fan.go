package chart

import (
	"fmt"
	"time"
)

// SpentPoint is the sum spent up to and with a day.
type SpentPoint struct {
	Date  time.Time
	Total float64
}

// Outlook is a forecast made on a day.
type Outlook struct {
	Date          time.Time
	P10, P50, P90 float64
}

// Fan is money over time: what was spent, what was expected to be the total on earlier days, and the way from today's
// sum to the total at the finish. Points are in rising order of date. Ceiling 0 means none; a zero date of finish
// means that none is known, and no fan is drawn.
type Fan struct {
	Head
	Money                           Money
	Spent                           []SpentPoint
	Earlier                         []Outlook
	Today                           time.Time
	P10, P50, P90                   float64 // of the total, as seen today
	FinishP10, FinishP50, FinishP90 time.Time
	Ceiling                         float64
	Months                          MonthNames
}

const isoDate = "2006-01-02"

// dayForm is how a day is written for reading: "29 Dec 2026".
const dayForm = "2 Jan 2006"

// NewFan draws money over time.
func NewFan(f Fan) Figure {
	if f.Desc == "" {
		f.Desc = f.describe()
	}
	return Figure{head: f.Head, role: "img", draw: f.draw, table: f.twin()}
}

func (f Fan) spentNow() float64 {
	if len(f.Spent) == 0 {
		return 0
	}
	return f.Spent[len(f.Spent)-1].Total
}

func (f Fan) describe() string {
	s := fmt.Sprintf("Spent up to %s: %s.", f.Today.Format(dayForm), f.Money.Text(f.spentNow()))
	if !f.FinishP50.IsZero() {
		s += fmt.Sprintf(" Expected at the finish about %s: %s, from %s to %s.", f.FinishP50.Format(dayForm),
			f.Money.Text(f.P50), f.Money.Text(f.P10), f.Money.Text(f.P90))
	}
	if f.Ceiling > 0 {
		s += " The ceiling is " + f.Money.Text(f.Ceiling) + "."
	}
	return s
}

func (f Fan) twin() Table {
	t := Table{Columns: []string{"Date", "Spent", "Total, 1 in 10", "Total, even chance", "Total, 9 in 10"}}
	for _, p := range f.Spent {
		t.Rows = append(t.Rows, []string{p.Date.Format(dayForm), f.Money.Text(p.Total), "", "", ""})
	}
	for _, o := range f.Earlier {
		t.Rows = append(t.Rows, []string{o.Date.Format(dayForm) + ", as seen then", "", f.Money.Text(o.P10), f.Money.Text(o.P50), f.Money.Text(o.P90)})
	}
	if !f.FinishP50.IsZero() {
		name := "finish " + f.FinishP50.Format(dayForm)
		if !f.FinishP10.IsZero() && !f.FinishP90.IsZero() {
			name += " (" + f.FinishP10.Format(dayForm) + " to " + f.FinishP90.Format(dayForm) + ")"
		}
		t.Rows = append(t.Rows, []string{name, "", f.Money.Text(f.P10), f.Money.Text(f.P50), f.Money.Text(f.P90)})
	}
	if f.Ceiling > 0 {
		t.Rows = append(t.Rows, []string{"ceiling", f.Money.Text(f.Ceiling), "", "", ""})
	}
	return t
}

func (f Fan) sound() bool {
	if f.Today.IsZero() || !finite(f.P10, f.P50, f.P90, f.Ceiling) {
		return false
	}
	for _, p := range f.Spent {
		if !finite(p.Total) {
			return false
		}
	}
	for _, o := range f.Earlier {
		if !finite(o.P10, o.P50, o.P90) {
			return false
		}
	}
	return len(f.Spent)+len(f.Earlier) > 0 || !f.FinishP50.IsZero()
}

func (f Fan) draw(size Size) *drawing {
	if !f.sound() {
		return message(size, "Nothing spent and nothing expected yet.")
	}
	g := &drawing{width: size.width(), height: 270}
	if !size.narrow() {
		g.height = 340
	}
	x, y := f.scales(g, size)
	f.drawAxes(g, x, y)
	f.drawEarlier(g, x, y)
	f.drawAhead(g, x, y)
	f.drawSpent(g, x, y)
	f.drawCeiling(g, x, y)
	f.drawDays(g, x, y)
	g.height -= 4
	drawKey(g, edge, f.key())
	return g
}

// key explains what is drawn, and nothing else.
func (f Fan) key() []keyEntry {
	var out []keyEntry
	if len(f.Spent) > 0 {
		out = append(out, keyEntry{"spent", keyLine("fig-line fig-line-spent")})
	}
	if len(f.Earlier) > 0 {
		out = append(out, keyEntry{"total as seen then", keyLine("fig-line fig-line-past")})
	}
	if len(f.Earlier) > 0 || !f.FinishP50.IsZero() {
		out = append(out, keyEntry{"1 in 10 to 9 in 10", keyBand("fig-band")})
	}
	if !f.FinishP50.IsZero() {
		out = append(out, keyEntry{"way to the finish", keyLine("fig-line fig-line-ahead")})
	}
	return out
}

func (f Fan) scales(g *drawing, size Size) (x, y Scale) {
	var days, sums span
	sums.take(0, f.Ceiling)
	days.take(dayNumber(f.Today))
	for _, p := range f.Spent {
		days.take(dayNumber(p.Date))
		sums.take(p.Total)
	}
	for _, o := range f.Earlier {
		days.take(dayNumber(o.Date))
		sums.take(o.P10, o.P50, o.P90)
	}
	right := edge
	for _, t := range []time.Time{f.FinishP10, f.FinishP50, f.FinishP90} {
		if !t.IsZero() {
			days.take(dayNumber(t))
			sums.take(f.P10, f.P50, f.P90)
			right = f.endWidth(size) + 14
		}
	}
	if days.high-days.low < 14 {
		days.take(days.low + 28)
	}
	y = Scale{Low: sums.low, High: sums.low + max((sums.high-sums.low)*1.14, 1), From: g.height - 44, To: 30}
	left := max(textWidth(f.Money.Text(y.High), textSize), textWidth(f.Money.Text(y.Low), textSize)) + 10
	return Scale{Low: days.low, High: days.high, From: left, To: g.width - right}, y
}

// endWords names an end of the fan: with its sum where there is room.
func (f Fan) endWords(name string, v float64, size Size) string {
	if size.narrow() {
		return name
	}
	return name + " " + f.Money.Text(v)
}

func (f Fan) endWidth(size Size) float64 {
	w := 0.0
	for _, v := range []float64{f.P10, f.P50, f.P90} {
		w = max(w, textWidth(f.endWords("9 in 10", v, size), textSize))
	}
	return w
}

func (f Fan) drawAxes(g *drawing, x, y Scale) {
	for _, v := range Ticks(y.Low, y.High, int((y.From-y.To)/42)) {
		g.add(level("fig-grid", y.At(v), x.From, x.To))
		g.add(label("fig-tick-name", x.From-6, y.At(v)+4, atEnd, f.Money.Text(v)))
	}
	g.add(level("fig-axis", y.From, x.From, x.To))
	last := -1.0
	for _, t := range TimeTicks(dayTime(x.Low), dayTime(x.High), max(int((x.To-x.From)/46), 1), f.Months) {
		at := x.At(dayNumber(t.At))
		g.add(upright("fig-tick", at, y.From, y.From+5))
		name := label("fig-tick-name", at, y.From+19, atMiddle, t.Name)
		if b := name.bounds(); b.x0 < last+4 || b.x1 > g.width-1 || b.x0 < 1 {
			continue
		}
		g.add(name)
		last = name.bounds().x1
		year := label("fig-tick-name", at, y.From+35, atMiddle, t.Year)
		if t.Year != "" && year.bounds().x0 > 1 && year.bounds().x1 < g.width-1 {
			last = max(last, year.bounds().x1)
			g.add(year)
		}
	}
}

func dayTime(n float64) time.Time { return time.Unix(int64(n)*86400, 0).UTC() }

// drawEarlier draws the total as it was expected on earlier days, led on to today's view.
func (f Fan) drawEarlier(g *drawing, x, y Scale) {
	if len(f.Earlier) == 0 {
		return
	}
	seen := f.Earlier
	if last := seen[len(seen)-1].Date; last.Before(f.Today) && (f.P10 != 0 || f.P90 != 0) {
		seen = append(append([]Outlook{}, seen...), Outlook{f.Today, f.P10, f.P50, f.P90})
	}
	var band, middle []point
	for _, o := range seen {
		at := x.At(dayNumber(o.Date))
		band = append(band, point{at, y.At(o.P90)})
		middle = append(middle, point{at, y.At(o.P50)})
	}
	for i := len(seen) - 1; i >= 0; i-- {
		band = append(band, point{x.At(dayNumber(seen[i].Date)), y.At(seen[i].P10)})
	}
	g.add(polyShape{class: "fig-band fig-band-past", points: band, closed: true})
	g.add(polyShape{class: "fig-line fig-line-past", points: middle})
}

func (f Fan) drawAhead(g *drawing, x, y Scale) {
	if f.FinishP50.IsZero() {
		return
	}
	start := point{x.At(dayNumber(f.Today)), y.At(f.spentNow())}
	end := x.At(dayNumber(f.FinishP50))
	low, mid, high := y.At(f.P10), y.At(f.P50), y.At(f.P90)
	g.add(polyShape{class: "fig-band", points: []point{start, {end, high}, {end, low}}, closed: true})
	g.add(lineShape{"fig-line fig-line-ahead", start, point{end, mid}})
	if !f.FinishP10.IsZero() && !f.FinishP90.IsZero() {
		a, b := x.At(dayNumber(f.FinishP10)), x.At(dayNumber(f.FinishP90))
		g.add(level("fig-whisker", mid, a, b), upright("fig-whisker", a, mid-4, mid+4), upright("fig-whisker", b, mid-4, mid+4))
	}
	f.drawEnds(g, x, y, end)
}

// drawEnds names the three ends of the fan in the right margin, apart from one another.
func (f Fan) drawEnds(g *drawing, x, y Scale, end float64) {
	size := Size{WidthPx: g.width}
	names := []string{"1 in 10", "even", "9 in 10"}
	sums := []float64{f.P10, f.P50, f.P90}
	wishes := []float64{y.At(f.P10), y.At(f.P50), y.At(f.P90)}
	centres, ok := spread(wishes, []float64{15, 15, 15}, y.To-8, y.From, 1)
	if !ok {
		return
	}
	for i := range names {
		g.add(lineShape{"fig-leader", point{end, wishes[i]}, point{x.To + 6, centres[i]}})
		g.add(label("fig-end", x.To+9, centres[i]+4, atStart, f.endWords(names[i], sums[i], size)))
	}
}

// drawSpent draws the sum spent as steps: it changes on the day of a bill, not between bills.
func (f Fan) drawSpent(g *drawing, x, y Scale) {
	if len(f.Spent) == 0 {
		return
	}
	first := f.Spent[0]
	line := []point{{x.At(dayNumber(first.Date)), y.At(0)}}
	for _, p := range f.Spent {
		at := x.At(dayNumber(p.Date))
		line = append(line, point{at, line[len(line)-1].y}, point{at, y.At(p.Total)})
	}
	if last := f.Spent[len(f.Spent)-1].Date; last.Before(f.Today) {
		line = append(line, point{x.At(dayNumber(f.Today)), line[len(line)-1].y})
	}
	g.add(polyShape{class: "fig-line fig-line-spent", points: line})
	g.add(circleShape{"fig-spent-dot", line[len(line)-1], 4})
}

func (f Fan) drawCeiling(g *drawing, x, y Scale) {
	if f.Ceiling <= 0 {
		return
	}
	at := y.At(f.Ceiling)
	g.add(level("fig-ceiling", at, x.From, x.To))
	words, short := cut("ceiling "+f.Money.Text(f.Ceiling), textSize, x.To-x.From-8)
	t := label("fig-fact", x.From+4, at-6, atStart, words)
	if short {
		t.title = "ceiling " + f.Money.Text(f.Ceiling)
	}
	g.add(t)
}

// drawDays marks today and the finish on top.
func (f Fan) drawDays(g *drawing, x, y Scale) {
	pins := []pin{{dayNumber(f.Today), []string{"today"}, "fig-today", 1}}
	if !f.FinishP50.IsZero() {
		pins = append(pins, pin{dayNumber(f.FinishP50), []string{"finish " + f.FinishP50.Format(dayForm)}, "fig-finish", 2})
	}
	for _, l := range placePins(pins, x, g.width) {
		at := x.At(l.at)
		g.add(upright(l.class, at, y.To, y.From))
		g.add(lineShape{"fig-leader", point{at, y.To}, point{l.centre, 18}})
		g.add(label("fig-fact", l.centre, 14, atMiddle, l.lines[0]))
	}
}
