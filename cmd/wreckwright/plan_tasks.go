package main

import (
	"errors"

	"wreckwright/casefile"
	"wreckwright/plan"
	"wreckwright/uncertain"
)

// readTask reads one task.
func (c *planCase) readTask(v casefile.Value) {
	m := v.Mapping()
	at := planPlace{whole: v, keys: map[string]casefile.Value{}, items: map[string][]casefile.Value{}}
	at.keys["id"] = m.Need("id")
	t := plan.Task{ID: at.keys["id"].Text(), Name: optionalText(m, "name")}
	c.readLength(m, &t, at)
	readChances(m, &t, at)
	t.Wait, t.Outside = optionalBool(m, "wait"), optionalBool(m, "outside")
	t.Noisy, t.Daylight = optionalBool(m, "noisy"), optionalBool(m, "daylight")
	t.Zone, t.Tool = optionalText(m, "zone"), optionalText(m, "tool")
	if after, ok := m.May("after"); ok {
		t.After = readLinks(after, at)
	}
	if uses, ok := m.May("uses"); ok {
		t.Uses = readUses(uses, at)
	}
	c.readDates(m, &t, at)
	c.problem.Tasks = append(c.problem.Tasks, t)
	c.tasks = append(c.tasks, at)
}

func (c *planCase) readLength(m *casefile.Mapping, t *plan.Task, at planPlace) {
	if days, ok := m.May("days"); ok {
		at.keys["days"] = days
		t.Days = new(days.Range(planDays))
	}
	hours, ok := m.May("hours")
	if ok {
		at.keys["hours"] = hours
		t.Hours = new(hours.Range(planHours))
	}
	if t.Days == nil && t.Hours == nil {
		m.Need("days")
	}
}

// readChances reads whether a task is needed at all, and whether its first way
// works: the same keys as for the jobs of a forecast.
func readChances(m *casefile.Mapping, t *plan.Task, at planPlace) {
	chance := uncertain.Bounds{Max: 1}
	if v, ok := m.May("needed"); ok {
		at.keys["skip"] = v
		t.Skip = 1 - v.Number(chance)
	}
	works, given := m.May("works")
	if given {
		t.Again = &plan.Again{Chance: 1 - works.Number(chance)}
	}
	v, ok := m.May("fallback")
	switch {
	case ok && !given:
		v.Fail("is what follows where the task does not work, yet nothing says with what chance it works", "works: with a chance beside it")
	case ok:
		at.keys["again"] = v
		fallback := v.Mapping()
		if days, ok := fallback.May("days"); ok {
			t.Again.Days = new(days.Range(planDays))
		}
		if hours, ok := fallback.May("hours"); ok {
			t.Again.Hours = new(hours.Range(planHours))
		}
	case given && t.Again.Chance > 0:
		works.Fail("does not say what follows where it does not work", "fallback: {days: ...} or {hours: ...} beside it")
		t.Again = nil
	default:
		t.Again = nil
	}
}

func (c *planCase) readDates(m *casefile.Mapping, t *plan.Task, at planPlace) {
	if v, ok := m.May("not_before"); ok {
		at.keys["not_before"] = v
		t.NotBeforeDay = max(0, c.day(v))
	}
	if v, ok := m.May("slots"); ok {
		at.keys["slots"] = v
		for _, slot := range v.List() {
			at.items["slots"] = append(at.items["slots"], slot)
			t.SlotDays = append(t.SlotDays, c.dayFromStart(slot))
		}
	}
	if v, ok := m.May("slot_every"); ok {
		at.keys["slot_every"] = v
		t.SlotEvery = v.Number(planDays)
	}
	if v, ok := m.May("started"); ok {
		at.keys["started"] = v
		t.StartedDay = new(c.dayFromStart(v))
	}
	if v, ok := m.May("done"); ok {
		at.keys["done"] = v
		t.DoneDay = new(c.dayFromStart(v))
	}
}

// readLinks reads what comes before: ids, or {id, lag_days}.
func readLinks(v casefile.Value, at planPlace) []plan.Link {
	var out []plan.Link
	at.keys["after"] = v
	for _, item := range v.List() {
		at.items["after"] = append(at.items["after"], item)
		if !item.IsMapping() {
			out = append(out, plan.Link{ID: item.Text()})
			continue
		}
		m := item.Mapping()
		link := plan.Link{ID: m.Need("id").Text()}
		if lag, ok := m.May("lag_days"); ok {
			link.LagDays = lag.Number(planDays)
		}
		out = append(out, link)
	}
	return out
}

func readUses(v casefile.Value, at planPlace) []plan.Use {
	var out []plan.Use
	at.keys["uses"] = v
	m := v.Mapping()
	for _, name := range m.Keys() {
		count, _ := m.May(name)
		at.items["uses"] = append(at.items["uses"], count)
		out = append(out, plan.Use{Resource: name, Count: count.Whole(0, plan.MaxCapacity)})
	}
	return out
}

// readMilestone reads one milestone.
func (c *planCase) readMilestone(v casefile.Value) {
	m := v.Mapping()
	at := planPlace{whole: v, keys: map[string]casefile.Value{}, items: map[string][]casefile.Value{}}
	at.keys["id"] = m.Need("id")
	s := plan.Milestone{ID: at.keys["id"].Text(), Name: optionalText(m, "name")}
	s.After = readLinks(m.Need("after"), at)
	if by, ok := m.May("by"); ok {
		at.keys["by"] = by
		s.ByDay = new(c.day(by))
	}
	if cost, ok := m.May("late_cost"); ok {
		s.LateCost = cost.Number(uncertain.MoneyBounds)
	}
	if cost, ok := m.May("late_cost_per_day"); ok {
		s.LateCostPerDay = cost.Number(uncertain.MoneyBounds)
	}
	c.problem.Milestones = append(c.problem.Milestones, s)
	c.milestone = append(c.milestone, at)
}

func optionalText(m *casefile.Mapping, key string) string {
	if v, ok := m.May(key); ok {
		return v.Text()
	}
	return ""
}

func optionalBool(m *casefile.Mapping, key string) bool {
	if v, ok := m.May(key); ok {
		return v.Bool()
	}
	return false
}

// place notes what the engine found wrong where it stands in the file.
func (c *planCase) place(file *casefile.File, err error) error {
	var wrong *plan.InputError
	if !errors.As(err, &wrong) {
		return err
	}
	at, ok := c.root, false
	var v casefile.Value
	switch {
	case wrong.Part == plan.InResource && wrong.Index < len(c.people):
		v, ok = c.people[wrong.Index], true
	case wrong.Part == plan.InTask && wrong.Index < len(c.tasks):
		v, ok = c.tasks[wrong.Index].of(wrong), true
	case wrong.Part == plan.InMilestone && wrong.Index < len(c.milestone):
		v, ok = c.milestone[wrong.Index].of(wrong), true
	default:
		v, ok = c.placed[wrong.Key]
	}
	if ok {
		v.Fail(wrong.Problem, wrong.Expected)
	} else {
		at.Fail(wrong.Key+" "+wrong.Problem, wrong.Expected)
	}
	return file.Err()
}

// of is the value that a mistake is about: the item, the key, or the whole.
func (p planPlace) of(wrong *plan.InputError) casefile.Value {
	if items := p.items[wrong.Key]; wrong.Item >= 0 && wrong.Item < len(items) {
		return items[wrong.Item]
	}
	if v, ok := p.keys[wrong.Key]; ok {
		return v
	}
	return p.whole
}
