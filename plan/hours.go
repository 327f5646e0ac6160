package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// hoursPerWeek is the own work in a week, 0 where nothing is said of it.
func (p Problem) hoursPerWeek() float64 {
	if p.Week == nil {
		return p.HoursPerWeek
	}
	sum := 0.0
	for _, day := range p.Week {
		for _, h := range day {
			sum += h.To - h.From
		}
	}
	return sum
}

// ticks are a length in the units of a task, as open time of its calendar. A
// day of own work is a seventh of the week's hours; where the hours have no
// place in the week they are spread evenly over it.
//
// ref: DESIGN_PLAN
func (p Problem) ticks(t Task, length float64) int64 {
	inHours := t.Hours != nil
	switch {
	case !t.ownWork() || p.Week == nil && !inHours:
		return toTicks(length)
	case p.Week == nil:
		return toTicks(length * 7 / p.HoursPerWeek)
	case inHours:
		return hourTick(length)
	}
	return hourTick(length * p.hoursPerWeek() / 7)
}

func (t Task) ownWork() bool { return !t.Wait && !t.Outside }

// calendars makes the calendar of each task; nil: all time is open.
func (p Problem) calendars() ([]*calendar, error) {
	weeks := p.weeksListed()
	made := map[string]*calendar{}
	out := make([]*calendar, len(p.Tasks))
	for i, t := range p.Tasks {
		key := p.calendarKey(t)
		if key == allOpen {
			continue
		}
		c, known := made[key]
		if !known {
			list := p.workingTime(t, weeks)
			var err error
			if c, err = calendarOf(list, weeks); err != nil {
				return nil, &InputError{
					Part: InTask, Index: i, ID: t.ID, Key: "uses", Item: -1,
					Problem: "never comes about: " + p.whoNever(t), Expected: "people who share some working time in a week",
				}
			}
			made[key] = c
		}
		out[i] = c
	}
	return out, nil
}

// workingTime is when all people of a task can work on it. Outside work and waits
// ask nobody's hours, but what they hold must be there.
func (p Problem) workingTime(t Task, weeks int) []stretch {
	people := p.people(t)
	if !t.ownWork() {
		var gone []Span
		for _, r := range people {
			gone = append(gone, r.Away...)
		}
		return openStretches(p.Start, nil, gone, weeks)
	}
	if len(people) == 0 {
		return openStretches(p.Start, p.Week, p.Closed, weeks)
	}
	list := p.presence(people[0], weeks)
	for _, r := range people[1:] {
		list = both(list, p.presence(r, weeks))
	}
	return list
}

// presence is when a resource can work: its own hours or else everybody's, less
// the days on which all is closed or it is away, and what was arranged besides.
func (p Problem) presence(r Resource, weeks int) []stretch {
	week := r.Week
	if week == nil {
		week = p.Week
	}
	list := openStretches(p.Start, week, slices.Concat(p.Closed, r.Away), weeks)
	for _, o := range r.Extra {
		from := int64(o.Day) * tickDay
		list = append(list, stretch{from + hourTick(o.Hours.From), from + hourTick(o.Hours.To)})
	}
	return merged(list)
}

// merged sorts stretches and joins those that touch or overlap.
func merged(list []stretch) []stretch {
	slices.SortFunc(list, func(a, b stretch) int { return cmp.Compare(a.from, b.from) })
	var out []stretch
	for _, s := range list {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}

// people are the resources of a task that are not there day and night.
func (p Problem) people(t Task) []Resource {
	var out []Resource
	for _, u := range t.Uses {
		i := slices.IndexFunc(p.Resources, func(r Resource) bool { return r.ID == u.Resource })
		if u.Count > 0 && !p.Resources[i].Always {
			out = append(out, p.Resources[i])
		}
	}
	return out
}

// allOpen is the key of tasks without a calendar.
const allOpen = ""

// calendarKey is the same for tasks that have the same calendar. Those who keep
// everybody's hours are one in it, and yet they are in it: a helper with hours of
// his own who works alone has another calendar than one who works with them.
func (p Problem) calendarKey(t Task) string {
	var names []string
	everybody := "everybody"
	for _, r := range p.people(t) {
		switch {
		case !t.ownWork() && len(r.Away) == 0:
		case r.Week != nil || len(r.Away) > 0 || len(r.Extra) > 0:
			names = append(names, fmt.Sprintf("%q", r.ID))
		default:
			names = append(names, everybody)
		}
	}
	switch {
	case !t.ownWork() && len(names) == 0:
		return allOpen
	case !t.ownWork():
		names = append(names, "outside")
	case len(names) == 0:
		names = append(names, everybody)
	}
	slices.Sort(names)
	return strings.Join(slices.Compact(names), " ")
}

func (p Problem) whoNever(t Task) string {
	var names []string
	for _, r := range p.people(t) {
		names = append(names, r.ID)
	}
	if len(names) < 2 {
		return "there is no working time in a week"
	}
	return fmt.Sprintf("%s and %s share no working time", joinWords(names[:len(names)-1]), names[len(names)-1])
}

func joinWords(words []string) string {
	out := words[0]
	for _, w := range words[1:] {
		out += ", " + w
	}
	return out
}

// weeksListed is how many weeks a calendar lists: all with an exception, and
// one without.
func (p Problem) weeksListed() int {
	last := 0.0
	spans := slices.Clone(p.Closed)
	for _, r := range p.Resources {
		spans = append(spans, r.Away...)
		for _, o := range r.Extra {
			spans = append(spans, Span{float64(o.Day), float64(o.Day + 1)})
		}
	}
	for _, s := range spans {
		last = max(last, s.ToDay)
	}
	return int(math.Ceil(last/7)) + 1
}

// checkTimes reports working hours that cannot be.
func (p Problem) checkTimes() error {
	if p.Week != nil {
		if err := checkWeek(*p.Week, InputError{Key: "week", Item: -1}); err != nil {
			return err
		}
	}
	if err := checkSpans(p.Closed, InputError{Key: "closed"}); err != nil {
		return err
	}
	for i, r := range p.Resources {
		at := InputError{Part: InResource, Index: i, ID: r.ID, Key: "away"}
		if err := checkSpans(r.Away, at); err != nil {
			return err
		}
		if err := p.checkExtra(r, at); err != nil {
			return err
		}
		if r.Week == nil {
			continue
		}
		at.Key, at.Item = "week", -1
		if err := checkWeek(*r.Week, at); err != nil {
			return err
		}
	}
	_, err := newNetwork(p)
	return err
}

func (p Problem) checkExtra(r Resource, e InputError) error {
	e.Key = "extra"
	for k, o := range r.Extra {
		e.Item = k
		switch {
		case p.Week == nil:
			e.Problem, e.Expected = "has no effect where the hours of a week have no place in it", "week: in the plan too"
		case o.Day < 0 || o.Day >= MaxDays:
			e.Problem, e.Expected = fmt.Sprintf("is on day %d", o.Day), "a date from the start on"
		case !(o.Hours.From >= 0 && o.Hours.From < o.Hours.To && o.Hours.To <= 24):
			e.Problem, e.Expected = fmt.Sprintf("goes from %g to %g", o.Hours.From, o.Hours.To), "hours from 0 to 24"
		default:
			continue
		}
		return &e
	}
	return nil
}

func checkWeek(w Week, e InputError) error {
	sum := 0.0
	for day, hours := range w {
		last := 0.0
		for _, h := range hours {
			if !(h.From >= last && h.From < h.To && h.To <= 24) {
				e.Problem = fmt.Sprintf("has %g to %g on %s", h.From, h.To, dayNames[day])
				e.Expected = "hours from 0 to 24, each stretch after the one before"
				return &e
			}
			last, sum = h.To, sum+h.To-h.From
		}
	}
	if sum == 0 {
		e.Problem, e.Expected = "has no working time", "some hours on at least one day"
		return &e
	}
	return nil
}

var dayNames = [7]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"}

func checkSpans(spans []Span, e InputError) error {
	for k, s := range spans {
		if e.Item = k; !(s.FromDay < s.ToDay) || s.ToDay > MaxDays {
			e.Problem = fmt.Sprintf("goes from day %s to day %s", number(s.FromDay), number(s.ToDay))
			e.Expected = "a first day and a last day no earlier"
			return &e
		}
	}
	return nil
}
