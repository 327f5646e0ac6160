package rebuild

import (
	"errors"
	"fmt"

	"wreckwright/money/amount"
)

// Validate checks a rebuild as a whole: every item by itself, that numbers grow
// and stay below NextID, and that what refers to something finds it. For books
// read from elsewhere; edits are checked one by one as they are made.
func (r *Rebuild) Validate() error {
	var c checks
	c.that(r.ID > 0, "id", "the rebuild's number %d is not above zero", r.ID)
	c.that(r.Version > 0, "version", "the version %d is not above zero", r.Version)
	c.that(len(r.Zones) == len(ZonePlaces), "zones", "there are %d zones instead of %d", len(r.Zones), len(ZonePlaces))
	c.that(len(r.Stages) == len(StagePlaces), "stages", "there are %d stages instead of %d", len(r.Stages), len(StagePlaces))
	c.item(r.Car, r.Car.Validate())
	c.item(r.Appraisal, r.Appraisal.Validate(r.Car.Currency))
	c.that(!r.Car.Candidate || r.Appraisal.Bought == nil, "car.1.candidate", "the car is a candidate, but its appraisal says that it was bought")
	checkAll(&c, r.Zones, Zone.Validate)
	checkAll(&c, r.Stages, Stage.Validate)
	checkAll(&c, r.Findings, Finding.Validate)
	checkAll(&c, r.Jobs, r.checkJob)
	checkAll(&c, r.Entries, r.checkEntry)
	checkAll(&c, r.Evidence, r.checkEvidence)
	checkAll(&c, r.Cases, r.checkCase)
	checkAll(&c, r.Strip, r.checkStripItem)
	checkAll(&c, r.Joints, r.checkJoint)
	checkAll(&c, r.Tools, Tool.Validate)
	checkAll(&c, r.GatePasses, GatePass.Validate)
	checkAll(&c, r.Shakedown, r.checkShakedownRun)
	checkAll(&c, r.Rehearsal, r.checkRehearsed)
	checkAll(&c, r.OfficialTests, OfficialTest.Validate)
	checkAll(&c, r.Confirmations, Confirmation.Validate)
	checkAll(&c, r.Sheets, r.checkSheet)
	r.checkPlan(&c)
	r.checkNumbers(&c)
	return c.err()
}

func checkAll[T Item](c *checks, items []T, check func(T) error) {
	for _, item := range items {
		c.item(item, check(item))
	}
}

// item takes over what was found wrong with an item, naming it.
func (c *checks) item(item Item, err error) {
	c.that(item.Revision() >= 0, "rev", "%s %d has a revision below zero", item.ItemKind(), item.ItemID())
	var invalid *Invalid
	if !errors.As(err, &invalid) {
		return
	}
	at := fmt.Sprintf("%s.%d.", item.ItemKind(), item.ItemID())
	for _, p := range invalid.Problems {
		c.problems = append(c.problems, Problem{at + p.Field, fmt.Sprintf("%s %d: %s", item.ItemKind(), item.ItemID(), p.Text)})
	}
}

// checkNumbers holds that each number belongs to one thing, that lists are
// sorted by it and that the next free one is above all.
func (r *Rebuild) checkNumbers(c *checks) {
	taken := map[int64]bool{}
	take := func(kind Kind, id int64) {
		c.that(id > 0 && id < r.NextID, "next_id", "%s %d is not below the next free number %d", kind, id, r.NextID)
		c.that(!taken[id], string(kind), "the number %d of a %s belongs to something else too", id, kind)
		taken[id] = true
	}
	takeAll := func(kind Kind, ids []int64) {
		for _, id := range ids {
			take(kind, id)
		}
	}
	sorted(c, r.Zones)
	sorted(c, r.Stages)
	takeAll(KindFinding, sorted(c, r.Findings))
	takeAll(KindEntry, sorted(c, r.Entries))
	takeAll(KindEvidence, sorted(c, r.Evidence))
	takeAll(KindCase, sorted(c, r.Cases))
	takeAll(KindStripItem, sorted(c, r.Strip))
	takeAll(KindJoint, sorted(c, r.Joints))
	takeAll(KindTool, sorted(c, r.Tools))
	takeAll(KindGatePass, sorted(c, r.GatePasses))
	takeAll(KindShakedownRun, sorted(c, r.Shakedown))
	takeAll(KindRehearsed, sorted(c, r.Rehearsal))
	takeAll(KindOfficialTest, sorted(c, r.OfficialTests))
	takeAll(KindConfirmation, sorted(c, r.Confirmations))
	takeAll(KindSheet, sorted(c, r.Sheets))
	takeAll(KindPerson, sorted(c, r.People))
	takeAll(KindThing, sorted(c, r.Things))
	takeAll(KindMilestone, sorted(c, r.Milestones))
	takeAll(KindJobPlan, sorted(c, r.JobPlans))
	takeAll(KindDelivery, sorted(c, r.Deliveries))
	takeAll(KindTimetable, sorted(c, r.Timetables))
	for i, id := range sorted(c, r.Jobs) {
		take(KindJob, id)
		for _, route := range r.Jobs[i].Routes {
			take("route", route.ID)
		}
	}
}

func sorted[T Item](c *checks, items []T) []int64 {
	ids := make([]int64, len(items))
	for i, item := range items {
		ids[i] = item.ItemID()
		c.that(i == 0 || ids[i-1] < ids[i], string(item.ItemKind()), "%s %d is not in the order of the numbers", item.ItemKind(), ids[i])
	}
	return ids
}

// fits checks what a change that goes back leaves behind: somebody may have come
// to refer to what goes, or what comes back may refer to something gone. next is
// the rebuild with the change applied.
func (r *Rebuild) fits(c Change, next *Rebuild) error {
	for _, e := range c.Edits {
		err := r.fitsItem(e, next)
		if before, ok := e.Before.(Evidence); ok && err == nil {
			err = next.stillProven(before.JobID)
		}
		if err != nil {
			return err
		}
	}
	stands := next.JointStands()
	for _, j := range next.Jobs {
		if stands.unprovenOf(j) != nil {
			return &Conflict{KindJob, j.ID, j.Title, j}
		}
	}
	return nil
}

// fitsItem checks one edit of a change that goes back.
func (r *Rebuild) fitsItem(e Edit, next *Rebuild) error {
	switch after := e.After.(type) {
	case nil:
		return next.unused(e.Kind(), e.ID())
	case Car:
		if after.Currency != r.Car.Currency && next.hasMoney() {
			return &Invalid{[]Problem{{"currency", "the currency cannot go back once sums were entered: this rebuild is kept in " + r.Car.Currency}}}
		}
	case Appraisal:
		return next.sameCurrency(after.sums()...)
	case Job:
		return next.knows(after)
	case Entry:
		return next.knowsJobOf(after)
	case Evidence:
		return next.knowsJob(after.JobID)
	case Case:
		return next.knowsAllOf(after)
	case StripItem:
		return next.knowsAllOfItem(after)
	case Joint:
		return next.knowsAllOfJoint(after)
	case ShakedownRun:
		return next.knowsAllOfRun(after)
	case Rehearsed:
		return next.fitsRehearsed(after)
	case Sheet:
		return next.checkSheet(after)
	}
	return next.fitsPlan(e.After)
}

// unused refuses to let something go that something else refers to.
func (r *Rebuild) unused(kind Kind, id int64) error {
	if kind == KindFinding {
		if jobs := r.JobsOf(id); len(jobs) > 0 {
			return &Conflict{KindJob, jobs[0].ID, jobs[0].Title, *jobs[0]}
		}
	}
	if kind == KindJob {
		for i := range r.Entries {
			if e := &r.Entries[i]; e.JobID == id {
				return &Conflict{KindEntry, e.ID, e.Label(), *e}
			}
		}
		if of := r.EvidenceOf(id); len(of) > 0 {
			return &Conflict{KindEvidence, of[0].ID, of[0].Label(), *of[0]}
		}
	}
	if kind == KindTool {
		if joints := r.JointsTightenedWith(id); len(joints) > 0 {
			return &Conflict{KindJoint, joints[0].ID, joints[0].Title, *joints[0]}
		}
	}
	if naming := r.naming(kind, id); len(naming) > 0 {
		first := naming[0].Before
		return &Conflict{first.ItemKind(), first.ItemID(), first.Label(), first}
	}
	return nil
}

func (r *Rebuild) knows(j Job) error {
	for _, id := range j.Findings {
		if r.Finding(id) == nil {
			return &Conflict{Kind: KindFinding, ID: id}
		}
	}
	if err := r.stillProven(j.ID); err != nil {
		return err
	}
	return r.sameCurrency(j.Reference)
}

func (r *Rebuild) knowsJobOf(e Entry) error {
	if err := r.knowsJob(e.JobID); err != nil {
		return err
	}
	return r.sameCurrency(e.Amount, e.Tax)
}

func (r *Rebuild) knowsJob(id int64) error {
	if id != 0 && r.Job(id) == nil {
		return &Conflict{Kind: KindJob, ID: id}
	}
	return nil
}

// knowsAllOf refuses a case that names something gone.
func (r *Rebuild) knowsAllOf(k Case) error {
	for _, id := range k.Findings {
		if r.Finding(id) == nil {
			return &Conflict{Kind: KindFinding, ID: id}
		}
	}
	for _, id := range k.Jobs {
		if err := r.knowsJob(id); err != nil {
			return err
		}
	}
	for _, s := range k.Steps {
		if s.EvidenceID != 0 && r.EvidenceAt(s.EvidenceID) == nil {
			return &Conflict{Kind: KindEvidence, ID: s.EvidenceID}
		}
	}
	return nil
}

// knowsAllOfItem refuses a strip item that names something gone, or that came off
// in a circle.
func (r *Rebuild) knowsAllOfItem(s StripItem) error {
	for _, id := range s.After {
		if r.StripItem(id) == nil {
			return &Conflict{Kind: KindStripItem, ID: id}
		}
	}
	for _, id := range s.Joints {
		if r.Joint(id) == nil {
			return &Conflict{Kind: KindJoint, ID: id}
		}
	}
	for _, id := range s.Jobs {
		if err := r.knowsJob(id); err != nil {
			return err
		}
	}
	if circle := r.circleThrough(s); circle != nil {
		other := circle[0]
		if other.ID == s.ID {
			other = circle[len(circle)-1]
		}
		return &Conflict{KindStripItem, other.ID, other.What, *other}
	}
	return nil
}

// knowsAllOfJoint refuses a joint that names something gone.
func (r *Rebuild) knowsAllOfJoint(j Joint) error {
	for _, t := range j.Tightenings {
		if t.Tool != 0 && r.Tool(t.Tool) == nil {
			return &Conflict{Kind: KindTool, ID: t.Tool}
		}
	}
	for _, id := range j.Jobs {
		if err := r.knowsJob(id); err != nil {
			return err
		}
	}
	return nil
}

// stillProven refuses a proven job that nothing proves any more.
func (r *Rebuild) stillProven(job int64) error {
	if j := r.Job(job); j != nil && !r.provenWithout(*j, 0) {
		return &Conflict{KindJob, j.ID, j.Title, *j}
	}
	return nil
}

func (r *Rebuild) sameCurrency(sums ...amount.Amount) error {
	for _, a := range sums {
		if a.Currency != "" && a.Currency != r.Car.Currency {
			return &Conflict{KindCar, r.Car.ItemID(), r.Car.Label(), r.Car}
		}
	}
	return nil
}
