package chart

import (
	"fmt"
	"slices"
	"time"
)

// BarKind says what goes on during a bar of a schedule.
type BarKind string

// The kinds of a bar.
const (
	BarWork    BarKind = "work"
	BarWait    BarKind = "wait"    // a lead time, a cure: nobody works
	BarOutside BarKind = "outside" // somebody else works
)

func (k BarKind) words() string {
	switch k {
	case BarWait:
		return "waiting"
	case BarOutside:
		return "done by somebody else"
	}
	return "own work"
}

// ScheduleBar is one piece of work or one wait. Days count from midnight of the schedule's Start. Early and Late are
// the 10 % and 90 % points of its end; where they are equal no doubt is drawn.
type ScheduleBar struct {
	Name        string
	Href        string // where it leads; empty: nowhere
	Kind        BarKind
	From, To    float64
	Early, Late float64
	Chain       int // its place in the critical chain, from 1; 0: it is not in it
	Done        bool
}

// ScheduleMark is a milestone: its likely day with the 10 % and 90 % points, the day it is wished by (nil: none) and
// the chance of that in words.
type ScheduleMark struct {
	Name        string
	Href        string
	Day         float64
	Early, Late float64
	By          *float64
	Chance      string
}

// Schedule is a plan over time. Bars come in the order in which they are shown.
type Schedule struct {
	Head
	Start  time.Time // only its date counts
	Today  float64
	Bars   []ScheduleBar
	Marks  []ScheduleMark
	Weeks  int // most blocks of weeks on a phone; 0: all
	Months MonthNames
}

// NewSchedule draws a plan: on a laptop as bars under one axis of dates, on a phone week by week. Critical bars have a
// strong outline and are joined by a line, waits are hatched, doubt is a faded tail.
func NewSchedule(s Schedule) Figure {
	if s.Desc == "" {
		s.Desc = s.describe()
	}
	role := "img"
	linked := slices.ContainsFunc(s.bars(), func(b ScheduleBar) bool { return b.Href != "" }) ||
		slices.ContainsFunc(s.marks(), func(m ScheduleMark) bool { return m.Href != "" })
	if linked {
		role = "group"
	}
	return Figure{head: s.Head, role: role, draw: s.draw, table: s.twin()}
}

// farthestDay is beyond any plan: a slip of the keys must not squeeze all other bars into the axis.
const farthestDay = 20_000.0

func (s Schedule) inside(days ...float64) bool {
	for _, d := range days {
		if !finite(d) || d < -farthestDay || d > farthestDay {
			return false
		}
	}
	return true
}

// bars are those that can be drawn.
func (s Schedule) bars() []ScheduleBar {
	var out []ScheduleBar
	for _, b := range s.Bars {
		if !s.inside(b.From, b.To) || b.To < b.From {
			continue
		}
		if !s.inside(b.Early, b.Late) || b.Late < b.Early || b.Done {
			b.Early, b.Late = b.To, b.To
		}
		out = append(out, b)
	}
	return out
}

// marks are those that can be drawn.
func (s Schedule) marks() []ScheduleMark {
	var out []ScheduleMark
	for _, m := range s.Marks {
		if !s.inside(m.Day) {
			continue
		}
		if !s.inside(m.Early, m.Late) || m.Late < m.Early {
			m.Early, m.Late = m.Day, m.Day
		}
		if m.By != nil && !s.inside(*m.By) {
			m.By = nil
		}
		out = append(out, m)
	}
	return out
}

// date is the calendar day within which a day of the schedule lies; a millionth is allowed for rounding.
func (s Schedule) date(day float64) time.Time {
	return dayOf(s.Start).AddDate(0, 0, floorInt(day+1e-6))
}

func floorInt(v float64) int {
	n := int(v)
	if float64(n) > v {
		n--
	}
	return n
}

// words say of a bar what its link leads to and what cannot be seen.
func (s Schedule) words(b ScheduleBar) string {
	out := fmt.Sprintf("%s: %s, %s to %s", b.Name, b.Kind.words(), dayWords(s.date(b.From)), dayWords(s.date(b.To)))
	switch {
	case b.Done:
		return out + ", done"
	case s.late(b):
		out += ", in 9 of 10 cases by " + dayWords(s.date(b.Late))
	}
	if b.Chain > 0 {
		out += ", in the critical chain"
	}
	return out
}

// late reports that a bar may well end on a later day than is likely.
func (s Schedule) late(b ScheduleBar) bool { return s.date(b.Late).After(s.date(b.To)) }

func (s Schedule) markWords(m ScheduleMark) string {
	out := fmt.Sprintf("%s: %s", m.Name, dayWords(s.date(m.Day)))
	if m.Late > m.Early {
		out += fmt.Sprintf(", in 8 of 10 cases from %s to %s", dayWords(s.date(m.Early)), dayWords(s.date(m.Late)))
	}
	if m.By != nil {
		out += ", wished by " + dayWords(s.date(*m.By))
	}
	if m.Chance != "" {
		out += ", chance " + m.Chance
	}
	return out
}

func (s Schedule) describe() string {
	bars, chain := s.bars(), 0
	out := fmt.Sprintf("Tasks: %d.", len(bars))
	var days span
	for _, b := range bars {
		days.take(b.From, b.To)
		chain += btoi(b.Chain > 0)
	}
	if days.some {
		out += fmt.Sprintf(" From %s to %s.", dayWords(s.date(days.low)), dayWords(s.date(days.high)))
	}
	if chain > 0 {
		out += fmt.Sprintf(" In the critical chain: %d.", chain)
	}
	for _, m := range s.marks() {
		out += " " + s.markWords(m) + "."
	}
	return out
}

func (s Schedule) twin() Table {
	t := Table{Columns: []string{"What", "From", "To", "In 9 of 10 cases by", "Kind"}}
	for _, m := range s.marks() {
		kind := "milestone"
		if m.By != nil {
			kind += ", wished by " + dayWords(s.date(*m.By))
		}
		if m.Chance != "" {
			kind += ", chance " + m.Chance
		}
		t.Rows = append(t.Rows, []string{m.Name, "", dayWords(s.date(m.Day)), dayWords(s.date(m.Late)), kind})
	}
	for _, b := range s.bars() {
		kind, late := b.Kind.words(), dayWords(s.date(b.Late))
		switch {
		case b.Done:
			kind, late = kind+", done", ""
		case b.Chain > 0:
			kind += ", in the critical chain"
		}
		t.Rows = append(t.Rows, []string{b.Name, dayWords(s.date(b.From)), dayWords(s.date(b.To)), late, kind})
	}
	return t
}

func (s Schedule) draw(size Size) *drawing {
	switch {
	case len(s.bars()) == 0 && len(s.marks()) == 0:
		return message(size, "Nothing is planned yet.")
	case size.narrow():
		return s.drawWeeks(size)
	}
	return s.drawAcross(size)
}

// class of a bar.
func (b ScheduleBar) class() string {
	class := "fig-job"
	switch {
	case b.Done:
		class += " fig-job-done"
	case b.Kind == BarWait:
		class += " fig-job-wait"
	case b.Kind == BarOutside:
		class += " fig-job-outside"
	}
	if b.Chain > 0 {
		class += " fig-job-chain"
	}
	return class
}

// leading makes shapes a link where there is one.
func leading(href, name string, shapes ...shape) []shape {
	if href == "" {
		return shapes
	}
	return []shape{linkShape{class: "fig-job-link", href: href, name: name, children: shapes}}
}

// diamond is the mark of a milestone.
func diamond(c point, half float64) shape {
	return polyShape{class: "fig-goal", closed: true, points: []point{{c.x, c.y - half}, {c.x + half, c.y}, {c.x, c.y + half}, {c.x - half, c.y}}}
}

// wishFlag stands at a wished day.
func wishFlag(at point, half float64) []shape {
	return []shape{
		upright("fig-wish", at.x, at.y-half, at.y+half),
		polyShape{class: "fig-wish-flag", closed: true, points: []point{{at.x, at.y - half}, {at.x - 7, at.y - half + 3.5}, {at.x, at.y - half + 7}}},
	}
}
