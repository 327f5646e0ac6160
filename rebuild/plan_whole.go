package rebuild

import (
	"fmt"
	"slices"

	"wreckwright/money/amount"
)

// Here is what holds among the parts of the plan: people, things, milestones,
// plans of jobs, deliveries, the timetable.

func (r *Rebuild) checkPlan(c *checks) {
	checkAll(c, r.People, r.checkPerson)
	checkAll(c, r.Things, r.checkThing)
	checkAll(c, r.Milestones, r.checkMilestone)
	checkAll(c, r.JobPlans, r.checkJobPlan)
	checkAll(c, r.Deliveries, r.checkDelivery)
	checkAll(c, r.Timetables, r.checkTimetable)
	c.that(len(r.Timetables) <= 1, "timetables", "there are %d timetables; at most 1 fits", len(r.Timetables))
}

// fitsPlan checks an item that a change which goes back leaves behind: what it
// names may have gone, or another may stand in its place.
func (r *Rebuild) fitsPlan(item Item) error {
	switch v := item.(type) {
	case Person:
		return r.checkPerson(v)
	case Thing:
		return r.checkThing(v)
	case Milestone:
		return r.checkMilestone(v)
	case JobPlan:
		return r.checkJobPlan(v)
	case Delivery:
		return r.checkDelivery(v)
	case Timetable:
		return r.checkTimetable(v)
	}
	return nil
}

func (r *Rebuild) checkTimetable(t Timetable) error {
	if now := r.Timetable(); now.ID != 0 && now.ID != t.ID {
		return &Conflict{KindTimetable, now.ID, now.Label(), now}
	}
	return t.Validate(r.Car.Currency)
}

// sums lists its amounts.
func (m Milestone) sums() []amount.Amount { return []amount.Amount{m.LateOnce, m.LatePerDay} }

// sums lists its amounts.
func (d Delivery) sums() []amount.Amount {
	if d.Faster == nil {
		return []amount.Amount{d.Amount}
	}
	return []amount.Amount{d.Amount, d.Faster.Cost}
}

// sums lists its amounts.
func (t Timetable) sums() []amount.Amount {
	var list []amount.Amount
	for _, k := range t.Costs {
		list = append(list, k.Amount)
	}
	return list
}

func (r *Rebuild) planHasMoney() bool {
	return slices.ContainsFunc(r.Milestones, func(m Milestone) bool { return HasMoney(m) }) ||
		slices.ContainsFunc(r.Deliveries, func(d Delivery) bool { return HasMoney(d) }) ||
		slices.ContainsFunc(r.Timetables, func(t Timetable) bool { return HasMoney(t) })
}

// planNaming lists what belongs to the plan or is measured, and names something
// which may go, each as it is and as it would be without; what would go along has
// nothing after it.
func (r *Rebuild) planNaming(kind Kind, id int64) []Edit {
	var edits []Edit
	for _, k := range r.JobPlans {
		switch {
		case kind == KindJob && k.JobID == id:
			edits = append(edits, Edit{Before: k})
		case k.named(kind, id):
			edits = append(edits, Edit{k, r.bridged(k.without(kind, id), kind, id)})
		}
	}
	if kind != KindJob {
		return edits
	}
	for _, m := range r.Milestones {
		if slices.Contains(m.Jobs, id) {
			loose := m
			loose.Jobs, loose.Rev = without(m.Jobs, id), m.Rev+1
			edits = append(edits, Edit{m, loose})
		}
	}
	for _, d := range r.Deliveries {
		if d.JobID == id {
			loose := d
			loose.JobID, loose.Rev = 0, d.Rev+1
			edits = append(edits, Edit{d, loose})
		}
	}
	for _, s := range r.Sheets {
		if s.JobID == id {
			loose := s
			loose.JobID, loose.Rev = 0, s.Rev+1
			edits = append(edits, Edit{s, loose})
		}
	}
	return edits
}

// bridged lets a job that came after one which goes come after what that came
// after, so that the order of the others stays.
func (r *Rebuild) bridged(p JobPlan, kind Kind, gone int64) JobPlan {
	between := r.PlanOfJob(gone)
	if kind != KindJob || between == nil {
		return p
	}
	for _, id := range between.After {
		if !slices.Contains(p.After, id) && id != p.JobID && len(p.After) < maxNamed {
			p.After = append(p.After, id)
		}
	}
	return p
}

// nameOf is how a journal line names an item.
func (r *Rebuild) nameOf(item Item) string {
	if p, ok := item.(JobPlan); ok {
		return "of " + r.titleOf(p.JobID)
	}
	return fmt.Sprintf("%q", short(item.Label()))
}

func plural(k Kind) string {
	if k == KindDelivery {
		return "deliveries"
	}
	return string(k) + "s"
}

// loosened is a change along with the edits that take something which goes out of
// all that names it.
func (r *Rebuild) loosened(c Change, kind Kind, id int64) Change {
	r.loosen(&c, kind, id)
	return c
}
