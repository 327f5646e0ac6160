package chart

import (
	"slices"
	"time"
)

// Measures of the bars side by side.
const (
	jobRow    = 28.0 // of a row: room for a finger
	jobHalf   = 7.0  // half the height of a bar
	jobTop    = 52.0 // above the first row: names of dates, today
	chanceW   = 52.0 // column of the chances
	leastWide = 3.0  // of a bar
)

// drawAcross draws milestones and bars as rows under one axis of dates.
func (s Schedule) drawAcross(size Size) *drawing {
	g := &drawing{width: size.width(), muted: true}
	bars, marks := s.bars(), s.marks()
	left := 0.36 * g.width
	x := s.across(left, g.width-chanceW)
	bottom := jobTop + jobRow*float64(len(bars)+len(marks))
	s.drawDays(g, x, bottom)
	y := jobTop + jobRow/2
	for _, m := range marks {
		s.drawMark(g, m, x, left, y)
		y += jobRow
	}
	s.drawChain(g, bars, x, y)
	for _, b := range bars {
		s.drawBar(g, b, x, left, y)
		y += jobRow
	}
	g.height = bottom + 6
	drawKey(g, edge, s.key(false))
	return g
}

// across scales all days that are shown, at least a week.
func (s Schedule) across(from, to float64) Scale {
	var days span
	for _, b := range s.bars() {
		days.take(b.From, b.To, b.Late)
	}
	for _, m := range s.marks() {
		days.take(m.Day, m.Late)
		if m.By != nil {
			days.take(*m.By)
		}
	}
	if s.inside(s.Today) {
		days.take(s.Today)
	}
	if days.high-days.low < 7 {
		days.take(days.low + 7)
	}
	return Scale{Low: days.low, High: days.high, From: from, To: to}
}

// drawDays draws the dates on top, a thread down from each, and today.
func (s Schedule) drawDays(g *drawing, x Scale, bottom float64) {
	start := dayNumber(s.Start)
	last := 0.0
	for _, tick := range TimeTicks(s.date(x.Low), s.date(x.High), max(int((x.To-x.From)/56), 1), s.Months) {
		day := dayNumber(tick.At) - start
		if day < x.Low {
			continue
		}
		at := x.At(day)
		g.add(upright("fig-grid", at, 34, bottom))
		name := label("fig-tick-name", at, 14, atMiddle, tick.Name)
		year := label("fig-tick-name", at, 29, atMiddle, tick.Year)
		low, high := min(name.bounds().x0, year.bounds().x0), max(name.bounds().x1, year.bounds().x1)
		if low < last+4 || low < 1 || high > g.width-1 {
			continue
		}
		last = high
		g.add(name)
		if tick.Year != "" {
			g.add(year)
		}
	}
	g.add(level("fig-axis", jobTop, x.From, x.To))
	if s.inside(s.Today) {
		at := x.At(s.Today)
		g.add(upright("fig-today", at, jobTop-6, bottom))
		half := textWidth("today", textSize) / 2
		g.add(label("fig-fact", min(max(at, half+1), g.width-half-1), jobTop-8, atMiddle, "today"))
	}
}

// rowName is the name at the left of a row, cut to its column.
func rowName(class, name string, left, y float64) textShape {
	words, short := cut(name, textSize, (left-14)/boldWider)
	t := label(class, 4, y+4.5, atStart, words)
	if short {
		t.title = name
	}
	return t
}

func (s Schedule) drawMark(g *drawing, m ScheduleMark, x Scale, left, y float64) {
	at := point{x.At(m.Day), y}
	shapes := []shape{rowTarget(x, y), rowName("fig-chosen-name", m.Name, left, y)}
	if m.Late > m.Early {
		shapes = append(shapes, tail(x, m.Early, m.Late, y)...)
	}
	if m.By != nil {
		shapes = append(shapes, wishFlag(point{x.At(*m.By), y}, 11)...)
	}
	shapes = append(shapes, diamond(at, 6))
	if chance, _ := cut(m.Chance, textSize, chanceW-10); m.Chance != "" {
		shapes = append(shapes, label("fig-fact", g.width-2, y+4.5, atEnd, chance))
	}
	g.add(leading(m.Href, s.markWords(m), shapes...)...)
}

// rowTarget takes taps anywhere in a row.
func rowTarget(x Scale, y float64) shape {
	return rectShape{class: "fig-job-target", x: 0, y: y - jobRow/2, w: x.To, h: jobRow}
}

// tail is the doubt about an end: a faded band from its 10 % to its 90 % point, closed by a tick.
func tail(x Scale, early, late, y float64) []shape {
	a, b := x.At(early), x.At(late)
	return []shape{
		rectShape{class: "fig-tail", x: a, y: y - 3.5, w: b - a, h: 7},
		upright("fig-tail-end", b, y-5, y+5),
	}
}

func (s Schedule) drawBar(g *drawing, b ScheduleBar, x Scale, left, y float64) {
	class := "fig-fact"
	if b.Chain > 0 {
		class = "fig-chosen-name"
	}
	shapes := []shape{rowTarget(x, y), rowName(class, b.Name, left, y)}
	if b.Late > b.Early {
		shapes = append(shapes, tail(x, max(b.Early, b.From), b.Late, y)...)
	}
	shapes = append(shapes, barShape(b, x, y, jobHalf))
	g.add(leading(b.Href, s.words(b), shapes...)...)
}

// barShape is the bar itself, wide enough to be seen.
func barShape(b ScheduleBar, x Scale, y, half float64) shape {
	from, to := x.At(b.From), x.At(b.To)
	wide := max(to-from, leastWide)
	return rectShape{class: b.class(), x: min(from, x.To-wide), y: y - half, w: wide, h: 2 * half, hatch: b.Kind == BarWait && !b.Done}
}

// drawChain joins the critical bars in the order of the chain; y is the middle of the first row.
func (s Schedule) drawChain(g *drawing, bars []ScheduleBar, x Scale, y float64) {
	var chain []int
	for i, b := range bars {
		if b.Chain > 0 {
			chain = append(chain, i)
		}
	}
	slices.SortStableFunc(chain, func(i, j int) int { return bars[i].Chain - bars[j].Chain })
	for k := 1; k < len(chain); k++ {
		i, j := chain[k-1], chain[k]
		from, to := x.At(bars[i].To), x.At(bars[j].From)
		g.add(polyShape{class: "fig-chain", points: []point{{from, y + jobRow*float64(i)}, {from, y + jobRow*float64(j)}, {to, y + jobRow*float64(j)}}})
	}
}

// key explains what is drawn, and nothing else. Weeks show nothing that is done
// and write wished dates out.
func (s Schedule) key(weeks bool) []keyEntry {
	var out []keyEntry
	bars, marks := s.bars(), s.marks()
	if weeks {
		bars = slices.DeleteFunc(bars, func(b ScheduleBar) bool { return b.Done })
	}
	some := func(what func(ScheduleBar) bool) bool { return slices.ContainsFunc(bars, what) }
	swatch := func(name string, b ScheduleBar) {
		out = append(out, keyEntry{name, func(p point) []shape {
			return []shape{rectShape{class: b.class(), x: p.x, y: p.y - 5, w: 14, h: 10, hatch: b.Kind == BarWait && !b.Done}}
		}})
	}
	for _, k := range []BarKind{BarWork, BarWait, BarOutside} {
		if some(func(b ScheduleBar) bool { return b.Kind == k && !b.Done }) {
			swatch(k.words(), ScheduleBar{Kind: k})
		}
	}
	if some(func(b ScheduleBar) bool { return b.Done }) {
		swatch("done", ScheduleBar{Done: true})
	}
	if some(func(b ScheduleBar) bool { return b.Chain > 0 }) {
		swatch("critical chain: the finish hangs on it", ScheduleBar{Kind: BarWork, Chain: 1})
	}
	if some(func(b ScheduleBar) bool { return b.Late > b.Early }) || slices.ContainsFunc(marks, func(m ScheduleMark) bool { return m.Late > m.Early }) {
		out = append(out, keyEntry{"end in 8 of 10 cases", func(p point) []shape {
			return []shape{rectShape{class: "fig-tail", x: p.x, y: p.y - 3.5, w: 14, h: 7}, upright("fig-tail-end", p.x+14, p.y-5, p.y+5)}
		}})
	}
	if len(marks) > 0 {
		out = append(out, keyEntry{"milestone", func(p point) []shape { return []shape{diamond(point{p.x + 7, p.y}, 6)} }})
	}
	if !weeks && slices.ContainsFunc(marks, func(m ScheduleMark) bool { return m.By != nil }) {
		out = append(out, keyEntry{"wished date", func(p point) []shape { return wishFlag(point{p.x + 9, p.y}, 7) }})
	}
	return out
}

// datesWords are dates in words: "4 – 10 Jan", "28 Dec – 3 Jan".
func (s Schedule) datesWords(from, to time.Time) string {
	if from.Month() == to.Month() && from.Year() == to.Year() {
		return from.Format("2") + " – " + s.dayMonth(to)
	}
	return s.dayMonth(from) + " – " + s.dayMonth(to)
}

func (s Schedule) dayMonth(t time.Time) string { return t.Format("2 ") + s.Months.name(t.Month()) }
