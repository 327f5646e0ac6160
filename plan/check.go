package plan

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"wreckwright/uncertain"
)

var (
	dayBounds  = uncertain.Bounds{Min: 0, Max: MaxDays}
	hourBounds = uncertain.Bounds{Min: 0, Max: 24 * MaxDays}
	costBounds = uncertain.MoneyBounds
)

// Check reports the first thing that cannot be, as an [*InputError].
func (p Problem) Check() error {
	for _, check := range []func() error{
		p.checkFigures, p.checkResources, p.checkIDs, p.checkTasks, p.checkMilestones, p.checkCycles, p.checkTimes,
	} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

// wrong makes a mistake of the complaint of a bounds check.
func wrong(e InputError, err error) error {
	if err == nil {
		return nil
	}
	var out *uncertain.RangeError
	if errors.As(err, &out) {
		e.Problem, e.Expected = number(out.Value)+" "+out.Problem, out.Expected
		if out.Number != "value" {
			e.Problem = out.Number + " " + e.Problem
		}
	}
	return &e
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (p Problem) checkFigures() error {
	for _, f := range []struct {
		key    string
		value  float64
		bounds uncertain.Bounds
	}{
		{"today", p.TodayDay, dayBounds},
		{"hours_per_week", p.HoursPerWeek, uncertain.Bounds{Max: 168}},
		{"cost_per_day", p.CostPerDay, costBounds},
		{"correlation", p.Correlation, uncertain.Bounds{Max: uncertain.MaxCorrelation}},
		{"bias shift", p.Bias.Shift, uncertain.Bounds{Min: -uncertain.MaxScore, Max: uncertain.MaxScore}},
		{"bias spread", p.Bias.Spread, uncertain.Bounds{Max: 2 * uncertain.MaxScore}},
		{"trials", float64(p.Trials), uncertain.Bounds{Max: MaxTrials}},
	} {
		if err := f.bounds.Check(f.value); err != nil {
			return wrong(InputError{Key: f.key, Item: -1}, err)
		}
	}
	switch {
	case p.Start.IsZero():
		return &InputError{Key: "start", Item: -1, Problem: "is missing", Expected: "the date of day 0"}
	case len(p.Tasks) == 0:
		return &InputError{Key: "tasks", Item: -1, Problem: "lists nothing", Expected: "at least one task"}
	case len(p.Resources) > MaxResources:
		return &InputError{
			Key: "people", Item: -1, Problem: fmt.Sprintf("are of %d kinds", len(p.Resources)), Expected: fmt.Sprintf("%d kinds at most", MaxResources),
		}
	case len(p.Tasks)+len(p.Milestones) > MaxTasks:
		return &InputError{
			Key: "tasks", Item: -1, Problem: fmt.Sprintf("are %d with the milestones", len(p.Tasks)+len(p.Milestones)),
			Expected: fmt.Sprintf("%d at most", MaxTasks),
		}
	}
	return nil
}

func (p Problem) checkResources() error {
	seen := map[string]bool{}
	for i, r := range p.Resources {
		e := InputError{Part: InResource, Index: i, ID: r.ID, Item: -1}
		switch {
		case strings.TrimSpace(r.ID) == "":
			e.Problem, e.Expected = "has no id", "a name"
		case seen[r.ID]:
			e.Problem, e.Expected = "is given twice", "each name once"
		case r.Capacity == 0:
			e.Problem, e.Expected = "is 0: there is nobody to do its tasks", "a whole number from 1 to "+strconv.Itoa(MaxCapacity)
		case r.Capacity < 0:
			e.Problem, e.Expected = fmt.Sprintf("%d is negative", r.Capacity), "a whole number from 1 to "+strconv.Itoa(MaxCapacity)
		case r.Capacity > MaxCapacity:
			e.Problem, e.Expected = fmt.Sprintf("is %d, too large", r.Capacity), "a whole number from 1 to "+strconv.Itoa(MaxCapacity)
		case r.Week != nil && p.Week == nil:
			e.Key, e.Problem, e.Expected = "week", "has working hours although the plan has none", "week: for everybody too"
		}
		if e.Problem != "" {
			return &e
		}
		seen[r.ID] = true
	}
	return nil
}

func (p Problem) checkIDs() error {
	seen := map[string]string{}
	one := func(part Part, i int, id string) error {
		e := InputError{Part: part, Index: i, ID: id, Key: "id", Item: -1}
		if strings.TrimSpace(id) == "" {
			e.Problem, e.Expected = "is missing", "a short name, each its own"
			return &e
		}
		if first, twice := seen[id]; twice {
			e.Problem, e.Expected = fmt.Sprintf("%q is the id of %s already", id, first), "each id once"
			return &e
		}
		seen[id] = fmt.Sprintf("%s %d", part, i+1)
		return nil
	}
	for i, t := range p.Tasks {
		if err := one(InTask, i, t.ID); err != nil {
			return err
		}
	}
	for i, m := range p.Milestones {
		if err := one(InMilestone, i, m.ID); err != nil {
			return err
		}
	}
	return nil
}

func (p Problem) checkTasks() error {
	known := p.ids()
	for i, t := range p.Tasks {
		at := func(key string) InputError { return InputError{Part: InTask, Index: i, ID: t.ID, Key: key, Item: -1} }
		if err := p.checkLength(t, at); err != nil {
			return err
		}
		if err := t.checkChances(at); err != nil {
			return err
		}
		if t.SkipAs != "" && !known[t.SkipAs] {
			e := at("skip_as")
			e.Problem, e.Expected = fmt.Sprintf("%q is no task", t.SkipAs), "the id of one"
			return &e
		}
		if err := checkLinks(t.After, known, at); err != nil {
			return err
		}
		if err := p.checkUses(t, at); err != nil {
			return err
		}
		if err := p.checkDates(t, at); err != nil {
			return err
		}
	}
	return nil
}

func (p Problem) checkLength(t Task, at func(string) InputError) error {
	switch {
	case t.Days != nil && t.Hours != nil:
		e := at("hours")
		e.Problem, e.Expected = "is given beside days", "days or hours, not both"
		return &e
	case t.Days != nil:
		return wrong(at("days"), t.Days.Validate(dayBounds))
	case t.Hours == nil:
		e := at("days")
		e.Problem, e.Expected = "is missing", "days: or hours: with a number or {low, likely, high}"
		return &e
	case t.Wait || t.Outside:
		e := at("hours")
		e.Problem, e.Expected = "cannot be the length of what runs on calendar days", "days"
		return &e
	case p.hoursPerWeek() == 0:
		e := at("hours")
		e.Problem, e.Expected = "needs to know how many hours a week has", "hours_per_week or week in the plan, or days here"
		return &e
	}
	return wrong(at("hours"), t.Hours.Validate(hourBounds))
}

// checkChances looks at what may turn out not to be needed, or to fail at first.
func (t Task) checkChances(at func(string) InputError) error {
	chance := uncertain.Bounds{Max: 1}
	if err := chance.Check(t.Skip); err != nil {
		return wrong(at("skip"), err)
	}
	if t.Again == nil {
		return nil
	}
	if err := chance.Check(t.Again.Chance); err != nil {
		return wrong(at("again"), err)
	}
	unit, bounds, same := "days", dayBounds, t.Again.Days
	if t.Hours != nil {
		unit, bounds, same = "hours", hourBounds, t.Again.Hours
	}
	if same == nil || t.Again.Days != nil && t.Again.Hours != nil {
		e := at("again")
		e.Problem, e.Expected = "does not say in "+unit+" how much more work follows", unit+", as for the task, with a number or {low, likely, high}"
		return &e
	}
	return wrong(at("again"), same.Validate(bounds))
}

func checkLinks(links []Link, known map[string]bool, at func(string) InputError) error {
	for k, l := range links {
		e := at("after")
		e.Item = k
		if !known[l.ID] {
			e.Problem, e.Expected = fmt.Sprintf("%q is no task or milestone", l.ID), "the id of one"
			if near := nearest(l.ID, known); near != "" {
				e.Expected = near + ", if that was meant"
			}
			return &e
		}
		if err := dayBounds.Check(l.LagDays); err != nil {
			return wrong(e, err)
		}
	}
	return nil
}

func (p Problem) checkUses(t Task, at func(string) InputError) error {
	capacity, names := map[string]int{}, map[string]bool{}
	for _, r := range p.Resources {
		capacity[r.ID], names[r.ID] = r.Capacity, true
	}
	total := map[string]int{}
	for k, u := range t.Uses {
		e := at("uses")
		e.Item = k
		total[u.Resource] += u.Count
		switch {
		case !names[u.Resource]:
			e.Problem, e.Expected = fmt.Sprintf("%q is not among people", u.Resource), "one of "+strings.Join(p.resourceIDs(), ", ")
			if len(names) == 0 {
				e.Expected = "people: that names it"
			}
			if near := nearest(u.Resource, names); near != "" {
				e.Expected = near + ", if that was meant"
			}
		case u.Count < 0:
			e.Problem, e.Expected = fmt.Sprintf("%d %s is negative", u.Count, u.Resource), "a whole number from 0 to "+strconv.Itoa(capacity[u.Resource])
		case total[u.Resource] > capacity[u.Resource]:
			e.Problem = fmt.Sprintf("needs %d %s, but there is %d", total[u.Resource], u.Resource, capacity[u.Resource])
			e.Expected = fmt.Sprintf("%d at most", capacity[u.Resource])
		default:
			continue
		}
		return &e
	}
	return nil
}

func (p Problem) resourceIDs() []string {
	out := make([]string, len(p.Resources))
	for i, r := range p.Resources {
		out[i] = r.ID
	}
	return out
}

func (p Problem) checkDates(t Task, at func(string) InputError) error {
	for _, d := range []struct {
		key   string
		value *float64
	}{{"not_before", &t.NotBeforeDay}, {"slot_every", &t.SlotEvery}, {"started", t.StartedDay}, {"done", t.DoneDay}} {
		if d.value == nil {
			continue
		}
		if err := dayBounds.Check(*d.value); err != nil {
			return wrong(at(d.key), err)
		}
		if (d.key == "started" || d.key == "done") && *d.value > p.TodayDay {
			e := at(d.key)
			e.Problem, e.Expected = fmt.Sprintf("day %s lies after today (day %s)", number(*d.value), number(p.TodayDay)), "what has happened already"
			return &e
		}
	}
	if t.StartedDay != nil && t.DoneDay != nil && *t.DoneDay < *t.StartedDay {
		e := at("done")
		e.Problem, e.Expected = "is before it was started", "a day from then on"
		return &e
	}
	for k, d := range t.SlotDays {
		if err := dayBounds.Check(d); err != nil {
			e := at("slots")
			e.Item = k
			return wrong(e, err)
		}
	}
	return nil
}

func (p Problem) checkMilestones() error {
	known := p.ids()
	for i, m := range p.Milestones {
		at := func(key string) InputError {
			return InputError{Part: InMilestone, Index: i, ID: m.ID, Key: key, Item: -1}
		}
		if len(m.After) == 0 {
			e := at("after")
			e.Problem, e.Expected = "lists nothing", "the tasks that it stands for"
			return &e
		}
		if err := checkLinks(m.After, known, at); err != nil {
			return err
		}
		if m.ByDay != nil && (*m.ByDay < 0 || math.IsNaN(*m.ByDay)) {
			e := at("by")
			e.Problem = fmt.Sprintf("is %s, before the start (%s)", p.date(*m.ByDay), p.date(0))
			e.Expected = "a date from the start on"
			return &e
		}
		if m.ByDay != nil {
			if err := dayBounds.Check(*m.ByDay); err != nil {
				return wrong(at("by"), err)
			}
		}
		if err := costBounds.Check(m.LateCost); err != nil {
			return wrong(at("late_cost"), err)
		}
		if err := costBounds.Check(m.LateCostPerDay); err != nil {
			return wrong(at("late_cost_per_day"), err)
		}
	}
	return nil
}

func (p Problem) ids() map[string]bool {
	out := map[string]bool{}
	for _, t := range p.Tasks {
		out[t.ID] = true
	}
	for _, m := range p.Milestones {
		out[m.ID] = true
	}
	return out
}
