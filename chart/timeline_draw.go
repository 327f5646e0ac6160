package chart

import (
	"slices"
	"strconv"
	"strings"
)

// Rows of the timeline from the top: words over the days, the odometer, names of the dates, the rail of the events.
const (
	storyTop  = 30.0
	storyRail = 50.0 // under the axis
)

func (t Timeline) draw(size Size) *drawing {
	if len(t.readings()) == 0 && len(t.marks(Scale{})) == 0 {
		return message(size, "No event and no reading with a date yet.")
	}
	g := &drawing{width: size.width()}
	axis := storyTop + t.plotHeight(size)
	y := t.distances(axis)
	x := t.days(g.width, y)
	rail := axis + storyRail
	t.drawGaps(g, x, storyTop, rail)
	t.drawDates(g, x, axis, rail)
	t.drawOdometer(g, x, y)
	g.height = axis + 44
	if columns, shift := placeColumns(t.marks(x), g.width); len(columns) > 0 {
		g.add(level("fig-axis", rail, x.From, x.To))
		g.height = t.drawColumns(g, columns, shift, rail) + 4
	}
	t.drawWords(g, x, rail)
	drawKey(g, edge, t.key())
	return g
}

// plotHeight is the room of the odometer, little where there is no reading.
func (t Timeline) plotHeight(size Size) float64 {
	switch {
	case len(t.readings()) == 0:
		return 6
	case size.narrow():
		return 130
	}
	return 170
}

// distances scales the odometer, from nought unless all readings are high.
func (t Timeline) distances(axis float64) Scale {
	var s span
	for _, r := range t.readings() {
		s.take(r.Distance)
	}
	if s.low < s.high/2 || s.low == s.high {
		s.take(0)
	}
	low, high := s.padded(0.06)
	if s.low == 0 {
		low = 0
	}
	return Scale{Low: low, High: high, From: axis, To: storyTop}
}

// days scales the dates of all that is shown, at least four weeks.
func (t Timeline) days(width float64, y Scale) Scale {
	var s span
	for _, e := range t.Events {
		if !e.Date.IsZero() {
			s.take(dayNumber(e.Date))
		}
	}
	for _, r := range t.readings() {
		s.take(dayNumber(r.Date))
	}
	for _, g := range t.gaps() {
		s.take(dayNumber(g.From), dayNumber(g.To))
	}
	if !t.Today.IsZero() {
		s.take(dayNumber(t.Today))
	}
	if s.high-s.low < 28 {
		s.take(s.low-14, s.low+14)
	}
	left := edge
	for _, v := range t.distanceTicks(y) {
		left = max(left, textWidth(Money{Group: t.Group}.Text(v), textSize)+10)
	}
	return Scale{Low: s.low, High: s.high, From: left, To: width - edge}
}

func (t Timeline) distanceTicks(y Scale) []float64 {
	if len(t.readings()) == 0 {
		return nil
	}
	return Ticks(y.Low, y.High, int((y.From-y.To)/36))
}

func (t Timeline) drawGaps(g *drawing, x Scale, top, bottom float64) {
	for _, gap := range t.gaps() {
		a, b := x.At(dayNumber(gap.From)), x.At(dayNumber(gap.To))
		g.add(rectShape{class: "fig-gap", x: a, y: top, w: b - a, h: bottom - top})
		g.add(upright("fig-gap-end", a, top, bottom), upright("fig-gap-end", b, top, bottom))
	}
}

// drawDates draws the date axis, its names under it and a thread from each on to the rail of the events.
func (t Timeline) drawDates(g *drawing, x Scale, axis, rail float64) {
	g.add(level("fig-axis", axis, x.From, x.To))
	last := 0.0
	for _, tick := range t.dateTicks(x) {
		at := x.At(dayNumber(tick.At))
		g.add(upright("fig-tick", at, axis, axis+5))
		name := label("fig-tick-name", at, axis+19, atMiddle, tick.Name)
		year := label("fig-tick-name", at, axis+35, atMiddle, tick.Year)
		left, right := min(name.bounds().x0, year.bounds().x0), max(name.bounds().x1, year.bounds().x1)
		if left < last+4 || left < 1 || right > g.width-1 {
			continue
		}
		last = right
		g.add(name)
		if tick.Year != "" {
			g.add(year)
		}
	}
}

// dateTicks are the ticks of the dates; where each is a new year the year alone is the name.
func (t Timeline) dateTicks(x Scale) []TimeTick {
	ticks := TimeTicks(dayTime(x.Low), dayTime(x.High), max(int((x.To-x.From)/48), 1), t.Months)
	for _, tick := range ticks {
		if tick.At.YearDay() != 1 {
			return ticks
		}
	}
	for i := range ticks {
		ticks[i].Name, ticks[i].Year = strconv.Itoa(ticks[i].At.Year()), ""
	}
	return ticks
}

// drawOdometer draws the readings; the way to a doubtful one is broken and its dot has a shape of its own.
func (t Timeline) drawOdometer(g *drawing, x, y Scale) {
	for _, v := range t.distanceTicks(y) {
		g.add(level("fig-grid", y.At(v), x.From, x.To))
		g.add(label("fig-tick-name", x.From-6, y.At(v)+4, atEnd, Money{Group: t.Group}.Text(v)))
	}
	var dots []shape
	var before point
	for i, r := range t.readings() {
		at := point{x.At(dayNumber(r.Date)), y.At(r.Distance)}
		class := "fig-line"
		if r.Doubt != ReadingSound {
			class = "fig-line fig-line-doubt"
		}
		if i > 0 {
			g.add(lineShape{class, before, at})
		}
		dots = append(dots, readingShape(r.Doubt, at))
		before = at
	}
	g.add(dots...)
}

// readingShape is a dot, a triangle pointing down for a reading that falls, a ring for one off its pace.
func readingShape(d ReadingDoubt, at point) shape {
	switch d {
	case ReadingFalls:
		return polyShape{class: "fig-reading-falls", closed: true, points: []point{{at.x - 6, at.y - 5}, {at.x + 6, at.y - 5}, {at.x, at.y + 6}}}
	case ReadingOffPace:
		return circleShape{"fig-reading-pace", at, 4.5}
	}
	return circleShape{"fig-reading", at, 3}
}

// drawWords names today, the gaps and the doubtful readings on top.
func (t Timeline) drawWords(g *drawing, x Scale, rail float64) {
	var pins []pin
	whole := map[string]string{} // what was cut
	for _, r := range t.readings() {
		switch r.Doubt {
		case ReadingFalls:
			pins = append(pins, pin{dayNumber(r.Date), []string{"falls"}, "fig-doubt", 0})
		case ReadingOffPace:
			pins = append(pins, pin{dayNumber(r.Date), []string{"pace"}, "fig-doubt", 2})
		}
	}
	for _, gap := range t.gaps() {
		words, short := cut(gap.words(), textSize, 0.56*g.width)
		pins = append(pins, pin{(dayNumber(gap.From) + dayNumber(gap.To)) / 2, []string{words}, "fig-gap-name", 3})
		if short {
			whole[words] = gap.words()
		}
	}
	if !t.Today.IsZero() {
		g.add(upright("fig-today", x.At(dayNumber(t.Today)), storyTop-4, rail))
		pins = append(pins, pin{dayNumber(t.Today), []string{"today"}, "fig-fact", 1})
	}
	for _, l := range placePins(pins, x, g.width) {
		g.add(lineShape{"fig-leader", point{x.At(l.at), storyTop - 4}, point{l.centre, 18}})
		words := label(l.class, l.centre, 14, atMiddle, l.lines[0])
		words.title = whole[l.lines[0]]
		g.add(words)
	}
}

// key explains what is drawn, and nothing else.
func (t Timeline) key() []keyEntry {
	var out []keyEntry
	for _, w := range eventWeights {
		if !slices.ContainsFunc(t.marks(Scale{}), func(m storyMark) bool { return m.weight() == w }) {
			continue
		}
		words := w.words()
		if w == EventPlain {
			words = "event"
		}
		out = append(out, keyEntry{words, func(p point) []shape { return []shape{eventShape(w, point{p.x + 7, p.y}, 5.5)} }})
	}
	if len(t.readings()) > 0 {
		out = append(out, keyEntry{strings.TrimSuffix("odometer, "+t.Unit, ", "), keyLine("fig-line")})
	}
	for _, d := range []ReadingDoubt{ReadingFalls, ReadingOffPace} {
		if slices.ContainsFunc(t.readings(), func(r OdometerReading) bool { return r.Doubt == d }) {
			out = append(out, keyEntry{"reading " + d.words(), func(p point) []shape { return []shape{readingShape(d, point{p.x + 7, p.y})} }})
		}
	}
	if len(t.gaps()) > 0 {
		out = append(out, keyEntry{"gap in the record", keyBand("fig-gap")})
	}
	return out
}
