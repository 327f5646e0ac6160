package chart

import (
	"slices"
	"strings"
)

// Measures of the weeks one below the other.
const (
	weekHead = 24.0
	weekRow  = 38.0 // name and bar
	weekGap  = 12.0 // between weeks
)

// week is a stretch of whole weeks in which the same goes on: one with work or a milestone, or several in which
// everybody waits.
type week struct {
	from, to float64 // days, from a Monday on
	bars     []ScheduleBar
	marks    []ScheduleMark
	waits    []string // what goes on all the time
}

// weeks lists the weeks from today's on. What is over is left out.
func (s Schedule) weeks() []week {
	var days span
	for _, b := range s.bars() {
		if !b.Done {
			days.take(b.From, b.To)
		}
	}
	for _, m := range s.marks() {
		days.take(m.Day)
	}
	if !days.some {
		return nil
	}
	first := days.low
	if s.inside(s.Today) {
		first = max(first, s.Today)
	}
	after := float64((int(dayOf(s.Start).Weekday()) + 6) % 7) // days since Monday
	monday := 7*float64(floorInt((first+after)/7)) - after
	var out []week
	for ; monday <= max(days.high, first); monday += 7 {
		out = s.addWeek(out, monday)
	}
	return out
}

// addWeek adds a week; one in which only the same waits go on as before makes the last one longer.
func (s Schedule) addWeek(weeks []week, monday float64) []week {
	w := week{from: monday, to: monday + 7}
	for _, b := range s.bars() {
		switch {
		case b.Done || b.From >= w.to || b.To < w.from || b.To == w.from && b.From < b.To:
		case b.Kind != BarWork && b.From <= w.from && b.To >= w.to:
			w.waits = append(w.waits, b.Name)
		default:
			w.bars = append(w.bars, b)
		}
	}
	for _, m := range s.marks() {
		if m.Day >= w.from && m.Day < w.to {
			w.marks = append(w.marks, m)
		}
	}
	if n := len(weeks); n > 0 && w.quiet() && weeks[n-1].quiet() && slices.Equal(w.waits, weeks[n-1].waits) {
		weeks[n-1].to = w.to
		return weeks
	}
	return append(weeks, w)
}

func (w week) quiet() bool { return len(w.bars) == 0 && len(w.marks) == 0 }

// drawWeeks draws week under week.
func (s Schedule) drawWeeks(size Size) *drawing {
	g := &drawing{width: size.width(), height: 4, muted: true}
	weeks := s.weeks()
	if len(weeks) == 0 {
		return message(size, "Everything that was planned is done.")
	}
	shown := len(weeks)
	if s.Weeks > 0 {
		shown = min(shown, s.Weeks)
	}
	for i, w := range weeks[:shown] {
		s.drawWeek(g, w, i == 0)
	}
	if shown < len(weeks) {
		last := weeks[len(weeks)-1]
		g.height += 16
		g.add(label("fig-muted", edge, g.height, atStart, "… and on until "+dayWords(s.date(last.to-1))))
		g.height += 6
	}
	drawKey(g, edge, s.key(true))
	return g
}

// drawWeek draws one stretch below what is there and makes the drawing higher.
func (s Schedule) drawWeek(g *drawing, w week, first bool) {
	top := g.height
	x := Scale{Low: w.from, High: w.to, From: edge, To: g.width - edge}
	head := label("fig-chosen-name", edge, top+15, atStart, s.datesWords(s.date(w.from), s.date(w.to-1)))
	g.add(head, level("fig-axis", top+weekHead-3, x.From, x.To))
	y := top + weekHead
	if w.quiet() {
		g.height = s.drawQuiet(g, w, y) + weekGap
		return
	}
	if first {
		y = drawLetters(g, x, y)
	}
	threads := len(g.shapes)
	begin := y
	for _, m := range w.marks {
		y = s.drawGoal(g, m, y)
	}
	for _, b := range w.bars {
		s.drawWeekBar(g, b, x, y)
		y += weekRow
	}
	if len(w.waits) > 0 {
		words := "Meanwhile: " + strings.Join(w.waits, ", ")
		t := label("fig-muted", edge, y+14, atStart, "")
		t.text, _ = cut(words, textSize, g.width-2*edge)
		t.title = words
		g.add(t)
		y += 20
	}
	var lines []shape
	for day := range 8 {
		lines = append(lines, upright("fig-grid", x.At(w.from+float64(day)), begin, y))
	}
	if s.inside(s.Today) && s.Today >= w.from && s.Today < w.to {
		lines = append(lines, upright("fig-today fig-today-strong", x.At(s.Today), begin-2, y))
	}
	g.shapes = slices.Insert(g.shapes, threads, lines...)
	g.height = y + weekGap
}

// drawLetters names the days of a week.
func drawLetters(g *drawing, x Scale, y float64) float64 {
	for day, name := range []string{"Mo", "Tu", "We", "Th", "Fr", "Sa", "Su"} {
		g.add(textShape{class: "fig-text fig-small fig-tick-name", at: point{x.At(x.Low + float64(day) + 0.5), y + 11}, anchor: atMiddle, size: smallSize, text: name})
	}
	return y + 17
}

// drawQuiet says what everybody waits for.
func (s Schedule) drawQuiet(g *drawing, w week, y float64) float64 {
	words := "Nothing is planned."
	if len(w.waits) > 0 {
		words = "Only waiting: " + strings.Join(w.waits, ", ")
	}
	lines, short := wrap(words, textSize, g.width-2*edge, 3)
	for _, l := range lines {
		t := label("fig-muted", edge, y+14, atStart, l)
		if short {
			t.title = words
		}
		g.add(t)
		y += 17
	}
	return y
}

// drawGoal writes a milestone with its diamond.
func (s Schedule) drawGoal(g *drawing, m ScheduleMark, y float64) float64 {
	words := m.Name + ", likely " + s.dayMonth(s.date(m.Day))
	if m.By != nil {
		words += "; wished by " + s.dayMonth(s.date(*m.By))
	}
	if m.Chance != "" {
		words += ", chance " + m.Chance
	}
	lines, short := wrap(words, textSize, (g.width-2*edge-20)/boldWider, 3)
	bottom := y + max(10+17*float64(len(lines)), jobRow)
	shapes := []shape{
		rectShape{class: "fig-job-target", x: edge, y: y, w: g.width - 2*edge, h: bottom - y},
		diamond(point{edge + 8, y + 13}, 6),
	}
	for i, l := range lines {
		t := label("fig-chosen-name", edge+20, y+17+17*float64(i), atStart, l)
		if short {
			t.title = words
		}
		shapes = append(shapes, t)
	}
	g.add(leading(m.Href, s.markWords(m), shapes...)...)
	return bottom
}

// drawWeekBar draws the part of a bar that lies in a week under its name; arrows say that it goes on.
func (s Schedule) drawWeekBar(g *drawing, b ScheduleBar, x Scale, y float64) {
	room := x.To - x.From
	class := "fig-fact"
	if b.Chain > 0 {
		class, room = "fig-chosen-name", room/boldWider
	}
	shapes := []shape{rectShape{class: "fig-job-target", x: x.From, y: y, w: x.To - x.From, h: weekRow}}
	if s.late(b) && b.To < x.High {
		late := "9 of 10: " + s.dayMonth(s.date(b.Late))
		t := textShape{class: "fig-text fig-small fig-muted", at: point{x.To, y + 14}, anchor: atEnd, size: smallSize, text: late}
		shapes = append(shapes, t)
		room -= textWidth(late, smallSize) + 8
	}
	name := label(class, x.From, y+14, atStart, "")
	var short bool
	if name.text, short = cut(b.Name, textSize, room); short {
		name.title = b.Name
	}
	shapes = append(shapes, name)
	middle := y + 27
	if b.Late > b.Early && b.Early < x.High && b.Late > x.Low {
		shapes = append(shapes, rectShape{class: "fig-tail", x: x.At(max(b.Early, b.From)), y: middle - 3, w: x.At(b.Late) - x.At(max(b.Early, b.From)), h: 6})
	}
	shapes = append(shapes, barShape(b, x, middle, 6))
	if b.From < x.Low {
		shapes = append(shapes, arrow(point{x.From, middle}, -1))
	}
	if b.To > x.High {
		shapes = append(shapes, arrow(point{x.To, middle}, 1))
	}
	g.add(leading(b.Href, s.words(b), shapes...)...)
}

// arrow points out of the week to one side.
func arrow(at point, side float64) shape {
	return polyShape{class: "fig-job-on", closed: true, points: []point{{at.x + 2*side, at.y - 5}, {at.x + 9*side, at.y}, {at.x + 2*side, at.y + 5}}}
}
