package chart

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// EventWeight says how heavily an event of a car's story weighs for one who would buy the car.
type EventWeight string

// The weights of an event, from the lightest.
const (
	EventPlain    EventWeight = "plain"
	EventNote     EventWeight = "note"
	EventQuestion EventWeight = "question" // to be asked before buying
	EventStop     EventWeight = "stop"     // stops the purchase
)

var eventWeights = []EventWeight{EventStop, EventQuestion, EventNote, EventPlain}

// words name the weight to the reader; a plain event has none.
func (w EventWeight) words() string {
	switch w {
	case EventStop:
		return "stops the purchase"
	case EventQuestion:
		return "to ask"
	case EventNote:
		return "to note"
	}
	return ""
}

// TimelineEvent is one event of the story. A zero Date means that the day is not known: the event is listed last and
// not drawn. Kind ("inspection") or Label ("failed on corrosion") may be empty.
type TimelineEvent struct {
	Date   time.Time
	Kind   string
	Label  string
	Weight EventWeight
}

func (e TimelineEvent) words() string {
	if e.Kind == "" || e.Label == "" {
		return e.Kind + e.Label
	}
	return e.Kind + ": " + e.Label
}

func (e TimelineEvent) weight() EventWeight {
	if slices.Contains(eventWeights, e.Weight) {
		return e.Weight
	}
	return EventPlain
}

// ReadingDoubt says what is wrong with a reading of the odometer.
type ReadingDoubt string

// The doubts about a reading.
const (
	ReadingSound   ReadingDoubt = ""
	ReadingFalls   ReadingDoubt = "falls"
	ReadingOffPace ReadingDoubt = "pace" // much more or much less than the car's pace would give
)

func (d ReadingDoubt) words() string {
	switch d {
	case ReadingFalls:
		return "falls"
	case ReadingOffPace:
		return "off its pace"
	}
	return ""
}

// OdometerReading is a reading on a day, in the Timeline's unit.
type OdometerReading struct {
	Date     time.Time
	Distance float64
	Doubt    ReadingDoubt
}

// TimelineGap is a time without a record. An empty Label means "gap".
type TimelineGap struct {
	From, To time.Time
	Label    string
}

func (g TimelineGap) words() string {
	if g.Label == "" {
		return "gap"
	}
	return g.Label
}

// Timeline is the story of a car. Events, readings and gaps may come in any order; a zero Today draws no mark of today.
type Timeline struct {
	Head
	Events   []TimelineEvent
	Readings []OdometerReading
	Unit     string // of the readings: "km" or "mi"
	Gaps     []TimelineGap
	Today    time.Time
	Months   MonthNames
	Group    string // between thousands of a reading; empty means ","
	Linked   bool   // every mark leads to the entry with the id EventID, as List writes them
}

// NewTimeline draws the events as numbered marks under a date axis, the shape of a mark telling its weight, and the
// odometer as a line above. The numbers are those of InOrder.
func NewTimeline(t Timeline) Figure {
	if t.Desc == "" {
		t.Desc = t.describe()
	}
	role := "img"
	if t.Linked && len(t.marks(Scale{})) > 0 {
		role = "group"
	}
	return Figure{head: t.Head, role: role, draw: t.draw, table: t.twin()}
}

// InOrder returns the events as the figure numbers them from 1: by date, those of one day as given, undated ones last.
func (t Timeline) InOrder() []TimelineEvent {
	out := slices.Clone(t.Events)
	slices.SortStableFunc(out, func(a, b TimelineEvent) int { return compareDays(a.Date, b.Date) })
	return out
}

// compareDays orders days, unknown ones last.
func compareDays(a, b time.Time) int {
	if a.IsZero() || b.IsZero() {
		return cmp.Compare(btoi(a.IsZero()), btoi(b.IsZero()))
	}
	return dayOf(a).Compare(dayOf(b))
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// EventID is the id of the list entry with a number of InOrder, counted from 1.
func (t Timeline) EventID(number int) string {
	return cleanID(t.ID) + "-event-" + strconv.Itoa(number)
}

// farthest is beyond the reading of any car: a slip of the keys must not squeeze all other readings into the axis.
const farthest = 1e7

// readings are those that can be drawn, by date.
func (t Timeline) readings() []OdometerReading {
	var out []OdometerReading
	for _, r := range t.Readings {
		if finite(r.Distance) && r.Distance >= 0 && r.Distance <= farthest && !r.Date.IsZero() {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b OdometerReading) int { return dayOf(a.Date).Compare(dayOf(b.Date)) })
	return out
}

// gaps are those that can be drawn.
func (t Timeline) gaps() []TimelineGap {
	var out []TimelineGap
	for _, g := range t.Gaps {
		if !g.From.IsZero() && g.From.Before(g.To) {
			out = append(out, g)
		}
	}
	return out
}

func (t Timeline) distance(v float64) string {
	return strings.TrimSpace(Money{Group: t.Group}.Text(v) + " " + t.Unit)
}

func (t Timeline) describe() string {
	s := fmt.Sprintf("Events: %d.", len(t.Events))
	for _, w := range eventWeights {
		n := 0
		for _, e := range t.Events {
			n += btoi(e.weight() == w && w != EventPlain)
		}
		if n > 0 {
			s += fmt.Sprintf(" %s: %d.", sentence(w.words()), n)
		}
	}
	if r := t.readings(); len(r) > 0 {
		first, last := r[0], r[len(r)-1]
		s += fmt.Sprintf(" Odometer from %s on %s to %s on %s.", t.distance(first.Distance), first.Date.Format(dayForm),
			t.distance(last.Distance), last.Date.Format(dayForm))
	}
	for _, d := range []ReadingDoubt{ReadingFalls, ReadingOffPace} {
		n := 0
		for _, r := range t.readings() {
			n += btoi(r.Doubt == d)
		}
		if n > 0 {
			s += fmt.Sprintf(" Readings marked %q: %d.", d.words(), n)
		}
	}
	if n := len(t.gaps()); n > 0 {
		s += fmt.Sprintf(" Gaps in the record: %d.", n)
	}
	return s
}

func sentence(words string) string { return strings.ToUpper(words[:1]) + words[1:] }

// twin lists events, readings and gaps together by date.
func (t Timeline) twin() Table {
	type row struct {
		at    time.Time
		cells []string
	}
	var rows []row
	for i, e := range t.InOrder() {
		rows = append(rows, row{e.Date, []string{strconv.Itoa(i+1) + " " + e.words(), dayWords(e.Date), e.weight().words(), ""}})
	}
	for _, r := range t.Readings {
		rows = append(rows, row{r.Date, []string{"odometer", dayWords(r.Date), r.Doubt.words(), t.distance(r.Distance)}})
	}
	for _, g := range t.Gaps {
		rows = append(rows, row{g.From, []string{g.words(), dayWords(g.From) + " to " + dayWords(g.To), "", ""}})
	}
	if !t.Today.IsZero() {
		rows = append(rows, row{t.Today, []string{"today", dayWords(t.Today), "", ""}})
	}
	slices.SortStableFunc(rows, func(a, b row) int { return compareDays(a.at, b.at) })
	out := Table{Columns: []string{"What", "Date", "Mark", "Odometer"}}
	for _, r := range rows {
		out.Rows = append(out.Rows, r.cells)
	}
	return out
}

func dayWords(day time.Time) string {
	if day.IsZero() {
		return "not known"
	}
	return day.Format(dayForm)
}
