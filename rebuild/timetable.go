package rebuild

import (
	"fmt"

	"wreckwright/money/amount"
)

// Timetable is what holds for the whole plan. A rebuild has one at most: until
// something is entered there is none.
type Timetable struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Closed []DaySpan `json:"closed"` // nobody works: holidays, weeks away
	// QuietFrom and QuietTo are the hours without noise, in minutes after
	// midnight; over midnight where the end is the earlier. Equal: none.
	QuietFrom int           `json:"quiet_from"`
	QuietTo   int           `json:"quiet_to"`
	Costs     []RunningCost `json:"costs"` // as long as the car stands there
	Kept      *PlanStand    `json:"kept"`  // the plan that later ones are held against; nil: the first of the marks
	Note      string        `json:"note"`
}

// RunningCost is paid as time goes by: storage, insurance, hire.
type RunningCost struct {
	Name   string        `json:"name"`
	Amount amount.Amount `json:"amount"`
	Per    Period        `json:"per"`
}

// Period is how often something is paid.
type Period string

// The periods.
const (
	PerDay   Period = "day"
	PerWeek  Period = "week"
	PerMonth Period = "month"
)

// Periods lists them.
var Periods = []Period{PerDay, PerWeek, PerMonth}

// daysOf is how many days a period has: a month a twelfth of 365.25.
var daysOf = map[Period]float64{PerDay: 1, PerWeek: 7, PerMonth: 365.25 / 12}

// PlanStand is a plan as it stood on a day.
type PlanStand struct {
	On      string         `json:"on"` // ISO date
	P10     string         `json:"p10"`
	P50     string         `json:"p50"` // ISO date by which all is done with that chance
	P80     string         `json:"p80"`
	P90     string         `json:"p90"`
	Reached []ReachedStand `json:"reached"` // milestones
}

// ReachedStand is a milestone of a plan as it stood.
type ReachedStand struct {
	Key    string   `json:"key"` // the gate, or "milestone-" and its number
	Name   string   `json:"name"`
	P50    string   `json:"p50"`
	P80    string   `json:"p80"`
	Wished string   `json:"wished"` // ISO date; empty: none
	Chance *float64 `json:"chance"` // of the wished date; nil without one
}

// ItemKind is part of [Item].
func (t Timetable) ItemKind() Kind { return KindTimetable }

// ItemID is part of [Item].
func (t Timetable) ItemID() int64 { return t.ID }

// Revision is part of [Item].
func (t Timetable) Revision() int { return t.Rev }

// Label is part of [Item].
func (t Timetable) Label() string { return "the timetable" }

// maxCosts bounds the running costs.
const maxCosts = 50

// Validate checks the timetable by itself.
func (t Timetable) Validate(currency string) error {
	var c checks
	c.spans(t.Closed, "closed", "without work")
	for _, m := range []struct {
		minutes     int
		field, name string
	}{{t.QuietFrom, "quiet_from", "the start of the quiet hours"}, {t.QuietTo, "quiet_to", "the end of the quiet hours"}} {
		c.that(m.minutes >= 0 && m.minutes <= minutesOfDay, m.field, "%s must be a time of the day", m.name)
	}
	c.that(len(t.Costs) <= maxCosts, "costs", "there are %d running costs; at most %d fit", len(t.Costs), maxCosts)
	for i, k := range t.Costs {
		at := fmt.Sprintf("costs.%d.", i+1)
		c.text(k.Name, at+"name", "what is paid for", 1, 120)
		c.sumFromZero(k.Amount, currency, at+"amount", "what "+short(k.Name)+" costs")
		c.oneOf(string(k.Per), at+"per", "how often it is paid", names(Periods)...)
	}
	if t.Kept != nil {
		t.Kept.check(&c, "kept.")
	}
	c.text(t.Note, "note", "the note", 0, 2000)
	return c.err()
}

// Validate checks a plan as it stood by itself.
func (s PlanStand) Validate() error {
	var c checks
	s.check(&c, "")
	return c.err()
}

func (s PlanStand) check(c *checks, at string) {
	for _, d := range []struct{ day, field, name string }{
		{s.On, "on", "the day of the plan"},
		{s.P10, "p10", "its early end"},
		{s.P50, "p50", "its middle end"},
		{s.P80, "p80", "its safe end"},
		{s.P90, "p90", "its late end"},
	} {
		c.date(d.day, at+d.field, d.name, true)
	}
	c.that(len(s.Reached) <= maxNamed, at+"reached", "it has %d milestones; at most %d fit", len(s.Reached), maxNamed)
	for i, m := range s.Reached {
		here := fmt.Sprintf("%sreached.%d.", at, i+1)
		c.text(m.Key, here+"key", "which milestone", 1, 60)
		c.text(m.Name, here+"name", "the milestone's name", 1, 200)
		c.date(m.P50, here+"p50", "its middle date", true)
		c.date(m.P80, here+"p80", "its safe date", true)
		c.date(m.Wished, here+"wished", "its wished date", false)
		if m.Chance != nil {
			c.chance(*m.Chance, here+"chance", "the chance of its wished date")
		}
	}
}

// Timetable is the one there is; one with nothing in it and no number where there
// is none yet.
func (r *Rebuild) Timetable() Timetable {
	if len(r.Timetables) == 0 {
		return Timetable{}
	}
	return r.Timetables[0]
}

// CostPerDay is what every day costs that the car stands there, in major units.
func (t Timetable) CostPerDay() float64 {
	sum := 0.0
	for _, k := range t.Costs {
		if days := daysOf[k.Per]; days > 0 {
			sum += k.Amount.Float() / days
		}
	}
	return sum
}

// QuietAt reports whether that minute of a day is in the quiet hours.
func (t Timetable) QuietAt(minute int) bool {
	if t.QuietFrom <= t.QuietTo {
		return minute >= t.QuietFrom && minute < t.QuietTo
	}
	return minute >= t.QuietFrom || minute < t.QuietTo
}
