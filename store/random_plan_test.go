package store_test

import (
	"fmt"

	"pgregory.net/rapid"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// anyPlanChange draws something that a person could do about measuring sheets and
// the plan.
func anyPlanChange(t *rapid.T, r *rebuild.Rebuild) (rebuild.Change, error) {
	switch rapid.SampledFrom([]string{"sheet", "person", "thing", "milestone", "job", "job", "delivery", "whole"}).Draw(t, "of the plan") {
	case "sheet":
		return addEditDelete(t, r.Sheets, anySheet(t, r), r.AddSheet, r.EditSheet, r.DeleteSheet, func(s *rebuild.Sheet) (*int64, *int) { return &s.ID, &s.Rev })
	case "person":
		return addEditDelete(t, r.People, anyPerson(t), r.AddPerson, r.EditPerson, r.DeletePerson, func(p *rebuild.Person) (*int64, *int) { return &p.ID, &p.Rev })
	case "thing":
		return addEditDelete(t, r.Things, anyThing(t), r.AddThing, r.EditThing, r.DeleteThing, func(x *rebuild.Thing) (*int64, *int) { return &x.ID, &x.Rev })
	case "milestone":
		return addEditDelete(t, r.Milestones, anyMilestone(t, r), r.AddMilestone, r.EditMilestone, r.DeleteMilestone, func(m *rebuild.Milestone) (*int64, *int) { return &m.ID, &m.Rev })
	case "delivery":
		if rapid.Bool().Draw(t, "came") {
			return edit(t, r.Deliveries, func(d rebuild.Delivery) (rebuild.Change, error) { return r.Arrive(d.ID, anyDay(t)) })
		}
		return addEditDelete(t, r.Deliveries, anyDelivery(t, r), r.AddDelivery, r.EditDelivery, r.DeleteDelivery, func(d *rebuild.Delivery) (*int64, *int) { return &d.ID, &d.Rev })
	case "job":
		return anyJobPlanChange(t, r)
	}
	if rapid.IntRange(0, 3).Draw(t, "keeps") == 0 {
		return r.KeepPlan(anyStand(t))
	}
	table := anyTimetable(t, r.Car.Currency)
	now := r.Timetable()
	table.ID, table.Rev = now.ID, now.Rev
	return r.SetTimetable(table)
}

// addEditDelete enters a new item, puts it in the place of one there is, or takes
// one out.
func addEditDelete[T rebuild.Item](t *rapid.T, items []T, item T, add, change func(T) (rebuild.Change, error), remove func(int64, int) (rebuild.Change, error), number func(*T) (*int64, *int)) (rebuild.Change, error) {
	switch rapid.SampledFrom([]string{"add", "add", "edit", "delete"}).Draw(t, "do") {
	case "edit":
		return edit(t, items, func(old T) (rebuild.Change, error) {
			id, rev := number(&item)
			*id, *rev = old.ItemID(), old.Revision()
			return change(item)
		})
	case "delete":
		return edit(t, items, func(old T) (rebuild.Change, error) { return remove(old.ItemID(), old.Revision()) })
	}
	return add(item)
}

func anyJobPlanChange(t *rapid.T, r *rebuild.Rebuild) (rebuild.Change, error) {
	return edit(t, r.Jobs, func(j rebuild.Job) (rebuild.Change, error) {
		switch rapid.SampledFrom([]string{"set", "set", "set", "start", "finish", "delete"}).Draw(t, "the job's plan") {
		case "start":
			return r.StartJob(j.ID, anyMoment(t))
		case "finish":
			return r.FinishJob(j.ID, anyMoment(t))
		case "delete":
			return edit(t, r.JobPlans, func(p rebuild.JobPlan) (rebuild.Change, error) { return r.DeleteJobPlan(p.ID, p.Rev) })
		}
		p := anyJobPlan(t, r, j.ID)
		if old := r.PlanOfJob(j.ID); old != nil {
			p.ID, p.Rev = old.ID, old.Rev
		}
		return r.SetJobPlan(p)
	})
}

func anySheet(t *rapid.T, r *rebuild.Rebuild) rebuild.Sheet {
	s := rebuild.Sheet{
		Of: rapid.SampledFrom(rebuild.SheetInstruments).Draw(t, "of"), Title: anyText(t, 1, 20), Note: anyText(t, 0, 10),
		Phase: rapid.SampledFrom([]rebuild.Phase{"", rebuild.PhaseBefore, rebuild.PhaseAfter}).Draw(t, "phase"),
		Told:  rapid.SampledFrom([]string{"", `{"distances":[]}`, `{"distances":[{"from":"A","to":"B","mm":1204.5}]}`}).Draw(t, "told"),
	}
	if ids := someOf(t, r.Jobs, 1); len(ids) > 0 {
		s.JobID = ids[0]
	}
	return s
}

func anyPerson(t *rapid.T) rebuild.Person {
	return rebuild.Person{
		Name: anyText(t, 1, 10), Own: rapid.IntRange(0, 2).Draw(t, "own") == 0, Note: anyText(t, 0, 10),
		Hours: anyList(t, 3, func(t *rapid.T) rebuild.WorkHours {
			from := rapid.IntRange(0, 1400).Draw(t, "from")
			return rebuild.WorkHours{Weekday: rapid.IntRange(0, 6).Draw(t, "weekday"), From: from, To: from + rapid.IntRange(1, 40).Draw(t, "minutes")}
		}),
		Away: anyList(t, 2, anySpan),
		Extra: anyList(t, 2, func(t *rapid.T) rebuild.Opening {
			return rebuild.Opening{On: "2026-03-01", From: 540, To: 540 + rapid.IntRange(1, 300).Draw(t, "long")}
		}),
	}
}

func anySpan(t *rapid.T) rebuild.DaySpan {
	day := rapid.IntRange(1, 20).Draw(t, "day")
	return rebuild.DaySpan{From: fmt.Sprintf("2026-03-%02d", day), To: fmt.Sprintf("2026-03-%02d", day+rapid.IntRange(0, 8).Draw(t, "days")), Why: anyText(t, 0, 10)}
}

func anyThing(t *rapid.T) rebuild.Thing {
	return rebuild.Thing{Name: anyText(t, 1, 10), Count: rapid.IntRange(1, 3).Draw(t, "count"), From: anyDay(t), Note: anyText(t, 0, 10)}
}

func anyMilestone(t *rapid.T, r *rebuild.Rebuild) rebuild.Milestone {
	m := rebuild.Milestone{Name: anyText(t, 0, 10), Note: anyText(t, 0, 10), WishedOn: anyDay(t)}
	if rapid.Bool().Draw(t, "a gate") {
		m.Gate = rapid.SampledFrom(rebuild.Gates).Draw(t, "gate")
	} else {
		m.Jobs = someOf(t, r.Jobs, 3)
	}
	if m.WishedOn != "" {
		m.LateOnce, m.LatePerDay = anySum(t, r.Car.Currency, 0), anySum(t, r.Car.Currency, 0)
	}
	return m
}

func anyJobPlan(t *rapid.T, r *rebuild.Rebuild, job int64) rebuild.JobPlan {
	p := rebuild.JobPlan{
		JobID: job, After: someOf(t, r.Jobs, 2), WaitDays: anyNumber(t, 10), NotBefore: anyDay(t), Noisy: rapid.Bool().Draw(t, "noisy"),
		Daylight: rapid.Bool().Draw(t, "daylight"), SetUp: anyText(t, 0, 8), Note: anyText(t, 0, 10),
	}
	if rapid.IntRange(0, 3).Draw(t, "outside") == 0 {
		p.Outside, p.OutsideDays, p.WithoutMe = true, anyDays(t), rapid.Bool().Draw(t, "without me")
		p.CarGoes = rapid.Bool().Draw(t, "car goes")
		p.Slots = rapid.SampledFrom([][]string{nil, {}, {"2026-03-01"}, {"2026-03-01", "2026-04-02"}}).Draw(t, "slots")
	} else {
		p.Helpers = someOf(t, r.People, 2)
		p.WithoutMe = len(p.Helpers) > 0 && rapid.Bool().Draw(t, "without me")
	}
	for _, id := range someOf(t, r.Things, 2) {
		p.Holds = append(p.Holds, rebuild.ThingUse{Thing: id, Count: rapid.IntRange(1, 2).Draw(t, "count")})
	}
	if rapid.Bool().Draw(t, "began") {
		p.StartedAt = anyMoment(t)
	}
	return p
}

func anyDelivery(t *rapid.T, r *rebuild.Rebuild) rebuild.Delivery {
	d := rebuild.Delivery{What: anyText(t, 1, 10), Supplier: anyText(t, 0, 10), OrderedOn: anyDay(t), ExpectedOn: anyDay(t), Amount: anySum(t, r.Car.Currency, 0), Note: anyText(t, 0, 10)}
	if rapid.Bool().Draw(t, "lead") {
		d.LeadDays = anyDays(t)
	}
	if rapid.Bool().Draw(t, "quicker") {
		d.Faster = &rebuild.Faster{Days: rapid.IntRange(1, 20).Draw(t, "days"), Cost: anySum(t, r.Car.Currency, 0)}
	}
	if ids := someOf(t, r.Jobs, 1); len(ids) > 0 {
		d.JobID = ids[0]
	}
	return d
}

func anyTimetable(t *rapid.T, currency string) rebuild.Timetable {
	return rebuild.Timetable{
		Closed: anyList(t, 2, anySpan), QuietFrom: rapid.IntRange(0, 1440).Draw(t, "quiet"), QuietTo: 420, Note: anyText(t, 0, 10),
		Costs: anyList(t, 2, func(t *rapid.T) rebuild.RunningCost {
			return rebuild.RunningCost{Name: anyText(t, 1, 10), Amount: anySum(t, currency, 0), Per: rapid.SampledFrom(rebuild.Periods).Draw(t, "per")}
		}),
		Kept: anyStand(t),
	}
}

func anyStand(t *rapid.T) *rebuild.PlanStand {
	if rapid.Bool().Draw(t, "no stand") {
		return nil
	}
	return &rebuild.PlanStand{
		On: "2026-02-28", P10: "2026-05-01", P50: "2026-05-20", P80: "2026-06-03", P90: "2026-06-20",
		Reached: anyList(t, 2, func(t *rapid.T) rebuild.ReachedStand {
			return rebuild.ReachedStand{Key: "road test", Name: anyText(t, 1, 10), P50: "2026-05-02", P80: "2026-05-09", Wished: anyDay(t), Chance: perhaps(t, 1)}
		}),
	}
}

func anyDays(t *rapid.T) (days uncertain.Range) {
	days.Low = anyNumber(t, 50)
	days.Likely = days.Low + anyNumber(t, 50)
	days.High = days.Likely + 1 + anyNumber(t, 50)
	return days
}
