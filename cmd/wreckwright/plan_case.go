package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"wreckwright/casefile"
	"wreckwright/plan"
	"wreckwright/uncertain"
)

// planCase is a plan's case file: the problem, and where everything stands in
// the file, for what only the engine can find wrong.
type planCase struct {
	problem plan.Problem
	search  plan.Search
	effort  float64 // seconds

	root      *casefile.Mapping
	placed    map[string]casefile.Value // of the problem, by key
	people    []casefile.Value
	tasks     []planPlace
	milestone []planPlace
}

// planPlace is where the keys of a task or milestone stand.
type planPlace struct {
	whole casefile.Value
	keys  map[string]casefile.Value
	items map[string][]casefile.Value // of lists and of uses
}

var (
	planDays  = uncertain.Bounds{Max: plan.MaxDays}
	planHours = uncertain.Bounds{Max: 24 * plan.MaxDays}
)

// readPlanCase reads the case file of the plan. The error is a
// [*casefile.Error].
func readPlanCase(file *casefile.File) (*planCase, error) {
	c := &planCase{root: file.Root(), placed: map[string]casefile.Value{}, effort: 1}
	p := &c.problem
	p.Start = c.root.Need("start").Date()
	p.Seed = 1
	c.readFigures()
	c.readTimes()
	if v, ok := c.root.May("people"); ok {
		c.readPeople(v)
	}
	c.placed["tasks"] = c.root.Need("tasks")
	for _, v := range c.placed["tasks"].List() {
		c.readTask(v)
	}
	if v, ok := c.root.May("milestones"); ok {
		for _, m := range v.List() {
			c.readMilestone(m)
		}
	}
	if err := file.Err(); err != nil {
		return nil, err
	}
	if err := p.Check(); err != nil {
		return nil, c.place(file, err)
	}
	nodes := len(p.Tasks) + len(p.Milestones)
	if c.search.Schedules == 0 {
		c.search.Schedules = plan.SchedulesFor(c.effort, nodes)
	}
	return c, nil
}

func (c *planCase) readFigures() {
	p := &c.problem
	if v, ok := c.root.May("effort"); ok {
		c.effort = v.Number(uncertain.Bounds{Max: 3600})
	}
	if v, ok := c.root.May("schedules"); ok {
		c.search.Schedules = v.Whole(1, 10_000_000)
	}
	if v, ok := c.root.May("seed"); ok {
		p.Seed = uint64(v.Whole(0, 1<<53))
	}
	if v, ok := c.root.May("trials"); ok {
		p.Trials = v.Whole(1, plan.MaxTrials)
	}
	if v, ok := c.root.May("correlation"); ok {
		p.Correlation = v.Number(uncertain.Bounds{Max: uncertain.MaxCorrelation})
	}
	if v, ok := c.root.May("cost_per_day"); ok {
		p.CostPerDay = v.Number(uncertain.MoneyBounds)
		p.Currency = readCurrency(c.root)
	} else if _, ok := c.root.May("currency"); ok {
		p.Currency = readCurrency(c.root)
	}
}

// readTimes reads the working time: hours in a week, hours with their place in
// it, or plain days.
func (c *planCase) readTimes() {
	p := &c.problem
	given := ""
	if v, ok := c.root.May("days"); ok && v.Bool() {
		given = "days"
	}
	if v, ok := c.root.May("hours_per_week"); ok {
		c.placed["hours_per_week"] = v
		p.HoursPerWeek = v.Number(uncertain.Bounds{Max: 168})
		if p.HoursPerWeek == 0 {
			v.Fail("is 0: no work would ever be done", "hours above 0, at most 168")
		}
		given = c.once(v, given, "hours_per_week")
	}
	if v, ok := c.root.May("week"); ok {
		c.placed["week"] = v
		p.Week = readWeek(v)
		c.once(v, given, "week")
	}
	if v, ok := c.root.May("today"); ok {
		p.TodayDay = c.day(v)
	}
	if v, ok := c.root.May("closed"); ok {
		c.placed["closed"] = v
		p.Closed = c.readSpans(v)
	}
}

func (c *planCase) once(v casefile.Value, before, now string) string {
	if before != "" {
		v.Fail("is given beside "+before, "one of days, hours_per_week and week")
	}
	return now
}

// day is a date as days from the start.
func (c *planCase) day(v casefile.Value) float64 {
	date := v.Date()
	if date.IsZero() || c.problem.Start.IsZero() {
		return 0
	}
	return date.Sub(c.problem.Start).Hours() / 24
}

// dayFromStart is a date that may not lie before the start.
func (c *planCase) dayFromStart(v casefile.Value) float64 {
	day := c.day(v)
	if day < 0 {
		v.Fail(fmt.Sprintf("is %s, before the start (%s)", v.Date().Format(time.DateOnly), c.problem.Start.Format(time.DateOnly)), "a date from the start on")
	}
	return max(0, day)
}

// readSpans reads dates and stretches {from, to}, both ends included.
func (c *planCase) readSpans(list casefile.Value) []plan.Span {
	var out []plan.Span
	for _, v := range list.List() {
		if !v.IsMapping() {
			day := c.day(v)
			out = append(out, plan.Span{FromDay: day, ToDay: day + 1})
			continue
		}
		m := v.Mapping()
		from, to := m.Need("from"), m.Need("to")
		span := plan.Span{FromDay: c.day(from), ToDay: c.day(to) + 1}
		if span.ToDay <= span.FromDay {
			to.Fail("is before from", "a last day no earlier than the first")
			continue
		}
		out = append(out, span)
	}
	return out
}

var weekKeys = [7]string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// readWeek reads the hours of each weekday: a stretch "18:00-20:30", or a list
// of them.
func readWeek(v casefile.Value) *plan.Week {
	var week plan.Week
	m := v.Mapping()
	for day, key := range weekKeys {
		hours, ok := m.May(key)
		if !ok {
			continue
		}
		list := []casefile.Value{hours}
		if hours.IsList() {
			list = hours.List()
		}
		for _, one := range list {
			week[day] = append(week[day], readHoursOfDay(one))
		}
	}
	return &week
}

func readHoursOfDay(v casefile.Value) plan.Hours {
	text := v.Text()
	if text == "" {
		return plan.Hours{From: 0, To: 1}
	}
	from, to, found := strings.Cut(text, "-")
	a, okA := clock(from)
	b, okB := clock(to)
	if !found || !okA || !okB || a >= b {
		v.Fail(fmt.Sprintf("is %q", text), `hours such as "18:00-20:30"`)
		return plan.Hours{From: 0, To: 1}
	}
	return plan.Hours{From: a, To: b}
}

// clock reads 18:30 or 18 as hours after midnight.
func clock(text string) (float64, bool) {
	hours, minutes, found := strings.Cut(strings.TrimSpace(text), ":")
	h, err := strconv.Atoi(hours)
	if err != nil || h < 0 || h > 24 {
		return 0, false
	}
	if !found {
		return float64(h), true
	}
	m, err := strconv.Atoi(minutes)
	if err != nil || m < 0 || m > 59 || len(minutes) != 2 || h == 24 && m > 0 {
		return 0, false
	}
	return float64(h) + float64(m)/60, true
}

// readPeople reads the resources: how many, or {count, week, away, always}.
func (c *planCase) readPeople(v casefile.Value) {
	m := v.Mapping()
	for _, name := range m.Keys() {
		one, _ := m.May(name)
		r := plan.Resource{ID: name}
		place := one
		if one.IsMapping() {
			keys := one.Mapping()
			place = keys.Need("count")
			if w, ok := keys.May("week"); ok {
				r.Week = readWeek(w)
			}
			if a, ok := keys.May("away"); ok {
				r.Away = c.readSpans(a)
			}
			if a, ok := keys.May("always"); ok {
				r.Always = a.Bool()
			}
		}
		r.Capacity = place.Whole(-plan.MaxCapacity, plan.MaxCapacity)
		c.people = append(c.people, place)
		c.problem.Resources = append(c.problem.Resources, r)
	}
}
