package workshop

import (
	"errors"
	"fmt"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/plan"
	"wreckwright/rebuild"
)

// drives enters the stages of the first drives that are still to be done: the
// yard before the road-test gate, the others after it.
func (b *planner) drives() {
	b.gate(rebuild.GateRoadTest, "Road test", joined(b.back, b.earlyJobs(func(j *rebuild.Job) bool { return j.Safety.Critical() })))
	var last []plan.Link
	left := 0
	for _, s := range knowledge.ShakedownPlan() {
		runs := b.r.RunsOf(rebuild.ShakedownStage(s.Key))
		if n := len(runs); n > 0 && runs[n-1].Result == rebuild.RunPass {
			continue
		}
		t := plan.Task{ID: "drive-" + s.Key, Hours: usual(s.Key), Uses: ownWork(), After: joined(last, b.before()), Daylight: s.OnRoad}
		if s.OnRoad {
			t.After = joined(t.After, b.gates[rebuild.GateRoadTest])
		}
		b.add(t, PlanTask{Kind: TaskDrive, Stage: s.Key, Title: "Drive: " + s.Name, Who: "you", Target: Target{Page: "shakedown"}})
		last = []plan.Link{{ID: t.ID}}
		left++
	}
	b.last = last
	if left > 0 {
		b.assume("%s of the first drives %s left, each with the hours that are usual.", count(left, "stage", "stages"), were(left))
	}
}

// milestones enters the gates after the first drives, the inspection and own
// milestones.
func (b *planner) milestones() {
	any := func(*rebuild.Job) bool { return true }
	early := joined(b.last, b.earlyJobs(any), b.gates[rebuild.GateRoadTest])
	lateJobs := b.jobLinks(func(j *rebuild.Job) bool { return b.late[j.ID] })
	if len(lateJobs) > 0 {
		b.gate(rebuild.GateBodyShop, "Body shop", joined(b.last, b.gates[rebuild.GateRoadTest], b.earlyJobs(func(j *rebuild.Job) bool { return !b.free[j.ID] })))
		for i := range b.p.Tasks {
			if t := &b.p.Tasks[i]; b.late[b.out.Tasks[i].JobID] && b.out.Tasks[i].Kind == TaskJob {
				t.After = joined(t.After, b.gates[rebuild.GateBodyShop])
			}
		}
	}
	all := joined(early, lateJobs, b.back, b.after)
	if inspected := b.inspection(all); inspected != nil {
		all = joined(all, inspected)
	}
	b.gate(rebuild.GateHandOver, "Hand-over", all)
	for _, m := range b.r.Milestones {
		if m.Gate == "" {
			b.own(m, all)
		}
	}
}

// inspection enters the wait for an appointment and the inspection, unless it is
// passed.
func (b *planner) inspection(before []plan.Link) []plan.Link {
	for _, t := range b.r.OfficialTests {
		if t.Result == rebuild.TestPass {
			return nil
		}
	}
	b.gate(rebuild.GateInspection, "Ready for the inspection", before)
	wait := plan.Task{ID: "appointment", Wait: true, Days: usual("appointment"), After: b.gates[rebuild.GateRoadTest]}
	b.add(wait, PlanTask{Kind: TaskAppointment, Title: "Appointment at the inspection", Target: Target{Page: "inspection"}, Note: "taken to be asked for once the car drives"})
	t := plan.Task{ID: "inspection", Outside: true, Days: usual("inspection"), Uses: []plan.Use{{Resource: theCar, Count: carHolders}}}
	t.SlotDays, t.SlotEvery = b.openDays()
	t.After = joined([]plan.Link{{ID: wait.ID}}, b.gates[rebuild.GateInspection])
	b.add(t, PlanTask{Kind: TaskInspection, Title: "Inspection", Who: "outside", Target: Target{Page: "inspection"}})
	b.held([]plan.Link{{ID: t.ID}})
	b.assume("The inspection is still to be passed; an appointment is taken to be there 3 to 21 days after the car drives.")
	return []plan.Link{{ID: t.ID}}
}

// held enters the inspection itself as a milestone: who wishes a date for it means
// that it is over by then, not that the car is ready for it.
func (b *planner) held(after []plan.Link) {
	m := rebuild.Milestone{Gate: rebuild.GateInspection}
	if of := b.r.MilestoneOf(rebuild.GateInspection); of != nil {
		m = *of
	}
	name := "Inspection held"
	if m.Name != "" {
		name = m.Name
	}
	b.goal(PlanGoal{Key: "inspection held", Gate: rebuild.GateInspection, MilestoneID: m.ID, Name: name}, m, "gate-inspection-held", after)
}

// gate enters a gate as a milestone, unless it is passed or nothing stands before
// it any more.
func (b *planner) gate(g rebuild.Gate, name string, after []plan.Link) {
	m := rebuild.Milestone{Gate: g}
	if of := b.r.MilestoneOf(g); of != nil {
		m = *of
	}
	if g == rebuild.GateHandOver && m.WishedOn == "" {
		m.WishedOn = b.r.Car.WantedBy
	}
	if g == rebuild.GateInspection {
		m.Name, m.WishedOn = "", "" // of the inspection itself
	}
	if m.Name != "" {
		name = m.Name
	}
	if b.r.PassOf(g) != nil {
		after = nil
	}
	goal := PlanGoal{Key: string(g), Gate: g, MilestoneID: m.ID, Name: name}
	b.goal(goal, m, "gate-"+strings.ReplaceAll(string(g), " ", "-"), after)
	if len(after) > 0 {
		b.gates[g] = []plan.Link{{ID: "gate-" + strings.ReplaceAll(string(g), " ", "-")}}
	}
}

// own enters a milestone of the person's own: reached when its jobs are done, or
// all where it names none.
func (b *planner) own(m rebuild.Milestone, all []plan.Link) {
	after := all
	if len(m.Jobs) > 0 {
		after = nil
		for _, id := range m.Jobs {
			if b.inPlan(id) {
				after = append(after, b.jobLink(id))
			}
		}
	}
	key := fmt.Sprintf("milestone-%d", m.ID)
	b.goal(PlanGoal{Key: key, MilestoneID: m.ID, Name: m.Label()}, m, key, after)
}

// daysEnd is the last minute of a day: a wished date is kept by what is done on it. A
// slot is kept by what is done by its morning.
const daysEnd = 1 - 1.0/24/60

func (b *planner) goal(g PlanGoal, m rebuild.Milestone, id string, after []plan.Link) {
	if len(after) == 0 {
		b.out.Met = append(b.out.Met, g)
		return
	}
	goal := plan.Milestone{ID: id, Name: g.Name, After: after}
	if m.WishedOn != "" {
		// Kept until that day's end, which is still that day where dates are told.
		if on := b.day(m.WishedOn) + daysEnd; on >= 0 && on < 2*furthest {
			goal.ByDay = &on
			goal.LateCost, goal.LateCostPerDay = m.LateOnce.Float(), m.LatePerDay.Float()
		}
	}
	b.p.Milestones = append(b.p.Milestones, goal)
	b.out.Goals = append(b.out.Goals, g)
}

// joined puts links together, each once, with the longest of its waits.
func joined(lists ...[]plan.Link) []plan.Link {
	var out []plan.Link
	at := map[string]int{}
	for _, list := range lists {
		for _, l := range list {
			i, there := at[l.ID]
			if !there {
				at[l.ID] = len(out)
				out = append(out, l)
				continue
			}
			out[i].LagDays = max(out[i].LagDays, l.LagDays)
		}
	}
	return out
}

// planTrouble says in the person's words why a problem cannot be planned.
func planTrouble(p plan.Problem, err error) string {
	var wrong *plan.InputError
	if !errors.As(err, &wrong) {
		return err.Error()
	}
	where := "the plan"
	switch wrong.Part {
	case plan.InTask:
		if wrong.Index < len(p.Tasks) {
			where = fmt.Sprintf("%q", p.Tasks[wrong.Index].Name)
		}
	case plan.InResource:
		if wrong.Index < len(p.Resources) {
			where = p.Resources[wrong.Index].Name
		}
	case plan.InMilestone:
		if wrong.Index < len(p.Milestones) {
			where = p.Milestones[wrong.Index].Name
		}
	}
	text := fmt.Sprintf("%s: it %s; expected %s", where, wrong.Problem, wrong.Expected)
	for _, r := range p.Resources {
		if r.Name != "" {
			text = strings.ReplaceAll(text, r.ID, r.Name)
		}
	}
	for _, t := range p.Tasks {
		text = strings.ReplaceAll(text, fmt.Sprintf("%q", t.ID), fmt.Sprintf("%q", t.Name))
	}
	return text
}

// stageHazards are the cautions of a stage of the first drives.
func stageHazards(key string) []string {
	s, _ := knowledge.ShakedownStageFor(key)
	return s.Hazards
}
