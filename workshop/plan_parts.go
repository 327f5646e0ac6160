package workshop

import (
	"fmt"
	"slices"

	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func deliveryTask(id int64) string { return fmt.Sprintf("delivery-%d", id) }

// deliveries enters what has not come yet and something waits for.
func (b *planner) deliveries() {
	unordered, unknown := 0, 0
	for i := range b.r.Deliveries {
		d := &b.r.Deliveries[i]
		j := b.r.Job(d.JobID)
		if d.Arrived() || j == nil {
			continue
		}
		at, planned := b.tasks[jobTask(j.ID)]
		if !planned {
			continue
		}
		t := plan.Task{ID: deliveryTask(d.ID), Wait: true}
		if of := b.p.Tasks[at]; of.Skip > 0 {
			t.Skip, t.SkipAs = of.Skip, of.ID
		}
		about := PlanTask{Kind: TaskDelivery, JobID: j.ID, DeliveryID: d.ID, Title: d.What, Target: Target{Page: "delivery", ID: d.ID}}
		b.lead(&t, &about, d)
		if d.OrderedOn == "" && d.ExpectedOn == "" {
			unordered++
		}
		if d.ExpectedOn == "" && d.LeadDays.High == 0 {
			unknown++
		}
		b.add(t, about)
	}
	if unordered > 0 {
		b.assume("%s not ordered yet: taken as ordered today.", count(unordered, "delivery is", "deliveries are"))
	}
	if unknown > 0 {
		b.assume("Of %s no date is known: 3 to 21 days from the order are taken, 7 likely.", count(unknown, "delivery", "deliveries"))
	}
}

// lead says how long it is until a delivery comes.
func (b *planner) lead(t *plan.Task, about *PlanTask, d *rebuild.Delivery) {
	today := b.p.TodayDay
	switch {
	case d.ExpectedOn != "":
		slip, left := usual("late"), b.day(d.ExpectedOn)-today
		if left < 0 {
			about.Note = "it was expected on " + d.ExpectedOn
			t.Days = &uncertain.Range{Low: 0.5, Likely: 2, High: 2 + slip.High}
			return
		}
		t.Days = &uncertain.Range{Low: left + slip.Low, Likely: left + slip.Likely, High: left + slip.High}
		about.Note = "by the date that the supplier names, with a few days' doubt"
		return
	case d.LeadDays.High > 0:
		t.Days = new(d.LeadDays)
	default:
		t.Days, about.Note = usual("delivery"), "no date is known: what is usual is taken"
	}
	if ordered := b.day(d.OrderedOn); d.OrderedOn != "" {
		t.StartedDay = new(max(0, min(ordered, today)))
		t.Skip, t.SkipAs = 0, ""
		return
	}
	about.Note = "not ordered yet: taken as ordered today"
}

// mostOff is for how many things that are off the plan looks at each by itself.
const mostOff = 80

// refit enters what goes back on the car: each thing when the work that needs it
// off is done and what came off after it is back.
func (b *planner) refit() {
	refit := b.r.Refit()
	joints := len(refit.Open)
	for _, step := range refit.Steps {
		joints += len(step.Tighten)
	}
	if len(refit.Steps) > mostOff {
		b.refitAtOnce(refit)
	} else {
		b.refitOneByOne(refit)
	}
	if n := len(refit.Steps); n > 0 {
		b.assume("Putting back %s takes 15 to 90 minutes each.", count(n, "thing that is off", "things that are off"))
	}
	if joints == 0 {
		return
	}
	length := usual("joint").Times(float64(joints))
	b.add(plan.Task{ID: "joints", Hours: &length, Uses: ownWork(), After: b.before()}, PlanTask{
		Kind: TaskTighten, Title: "Tighten and record " + count(joints, "joint", "joints"), Who: "you", Target: Target{Page: "joints"}, safety: rebuild.SafetySuspension,
	})
	b.back = append(b.back, plan.Link{ID: "joints"})
}

func ownWork() []plan.Use {
	return []plan.Use{{Resource: theCar, Count: 1}, {Resource: ownHands, Count: 1}}
}

// before are what goes back before the first drive, or the jobs before it where
// nothing is off.
func (b *planner) before() []plan.Link {
	if len(b.back) > 0 {
		return append([]plan.Link{}, b.back...)
	}
	return b.earlyJobs(func(j *rebuild.Job) bool { return j.Safety.Critical() })
}

func (b *planner) refitOneByOne(refit rebuild.Refit) {
	lateItems := map[int64]bool{}
	for _, step := range refit.Steps {
		s := step.Item
		t := plan.Task{ID: fmt.Sprintf("refit-%d", s.ID), Hours: usual("refit"), Uses: ownWork(), Zone: rebuild.ZoneName(s.Zone)}
		late := false
		for _, block := range step.Blocks {
			first := fmt.Sprintf("refit-%d", block.ID)
			_, listed := b.tasks[first]
			switch {
			// Only what stands before it on the list, so that no circle comes about.
			case block.Kind == rebuild.BlockFirst && listed:
				t.After = append(t.After, plan.Link{ID: first})
				late = late || lateItems[block.ID]
			case block.Kind == rebuild.BlockJob && b.inPlan(block.ID):
				t.After = append(t.After, b.jobLink(block.ID))
				late = late || b.late[block.ID]
			case block.Kind == rebuild.BlockFasteners || block.Kind == rebuild.BlockCondition:
				t.After = append(t.After, b.refitParts()...)
			}
		}
		b.add(t, PlanTask{Kind: TaskRefit, ItemID: s.ID, Title: "Put back: " + s.What, Who: "you", Target: Target{Page: "refit"}, zone: s.Zone})
		if lateItems[s.ID] = late; late {
			b.after = append(b.after, plan.Link{ID: t.ID})
		} else {
			b.back = append(b.back, plan.Link{ID: t.ID})
		}
	}
}

func (b *planner) refitAtOnce(refit rebuild.Refit) {
	length := usual("refit").Times(float64(len(refit.Steps)))
	b.add(plan.Task{ID: "refit", Hours: &length, Uses: ownWork(), After: b.earlyJobs(func(*rebuild.Job) bool { return true })}, PlanTask{
		Kind: TaskRefit, Title: "Put back " + count(len(refit.Steps), "thing", "things"), Who: "you", Target: Target{Page: "refit"},
		Note: "so many things are off that they are planned as one piece of work",
	})
	b.back = append(b.back, plan.Link{ID: "refit"})
}

// refitParts is the wait for what must be new or mended before things go back.
func (b *planner) refitParts() []plan.Link {
	const id = "refit-parts"
	if _, there := b.tasks[id]; !there {
		b.add(plan.Task{ID: id, Wait: true, Days: usual("delivery")}, PlanTask{
			Kind: TaskDelivery, Title: "New fasteners and parts for the refit", Target: Target{Page: "refit"}, Note: "taken as ordered today, 3 to 21 days",
		})
		b.assume("What must be new before it goes back is taken to be ordered today and to come in 3 to 21 days.")
	}
	return []plan.Link{{ID: id}}
}

func (b *planner) inPlan(job int64) bool {
	_, there := b.tasks[jobTask(job)]
	return there
}

// earlyJobs are links to the jobs in the plan that do not come after the body shop.
func (b *planner) earlyJobs(want func(*rebuild.Job) bool) []plan.Link {
	return b.jobLinks(func(j *rebuild.Job) bool { return !b.late[j.ID] && want(j) })
}

func (b *planner) jobLinks(want func(*rebuild.Job) bool) []plan.Link {
	var links []plan.Link
	for i := range b.r.Jobs {
		if j := &b.r.Jobs[i]; b.inPlan(j.ID) && want(j) {
			links = append(links, b.jobLink(j.ID))
		}
	}
	return links
}

// rolling lets work to which the car is taken wait until what is off is back, as
// far as that does not wait for the work itself.
func (b *planner) rolling() {
	for i := range b.p.Tasks {
		t := &b.p.Tasks[i]
		away := slices.Contains(t.Uses, plan.Use{Resource: theCar, Count: carHolders})
		if !away || b.out.Tasks[i].Kind != TaskJob || b.late[b.out.Tasks[i].JobID] || t.StartedDay != nil {
			continue
		}
		behind := b.behind(t.ID)
		for _, l := range b.back {
			if !behind[l.ID] {
				t.After = joined(t.After, []plan.Link{l})
			}
		}
	}
}

// behind are the tasks that come after one, near or far.
func (b *planner) behind(id string) map[string]bool {
	seen := map[string]bool{id: true}
	for moved := true; moved; {
		moved = false
		for _, t := range b.p.Tasks {
			if !seen[t.ID] && slices.ContainsFunc(t.After, func(l plan.Link) bool { return seen[l.ID] }) {
				seen[t.ID], moved = true, true
			}
		}
	}
	return seen
}
