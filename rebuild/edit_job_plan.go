package rebuild

import (
	"fmt"
	"slices"
)

// SetJobPlan enters or replaces what the plan knows of a job. p.ID is 0 where it
// knew nothing when the form was opened, else p.Rev is the revision then.
func (r *Rebuild) SetJobPlan(p JobPlan) (Change, error) {
	return r.setJobPlan(p, "changed how "+r.titleOf(p.JobID)+" is planned")
}

func (r *Rebuild) setJobPlan(p JobPlan, what string) (Change, error) {
	if p.ID == 0 {
		if old := r.PlanOfJob(p.JobID); old != nil {
			return Change{}, &Conflict{KindJobPlan, old.ID, old.Label(), *old}
		}
		p.ID, p.Rev = r.nextID(), 0
		return adding(p, r.checkJobPlan, what)
	}
	return editing(lookup(r.JobPlans, p.ID), p, r.checkJobPlan, what)
}

// DeleteJobPlan takes out what the plan knows of a job.
func (r *Rebuild) DeleteJobPlan(id int64, rev int) (Change, error) {
	return removing(r.JobPlans, id, rev, KindJobPlan, "took out the plan")
}

func (r *Rebuild) checkJobPlan(p JobPlan) error {
	if err := p.Validate(); err != nil {
		return err
	}
	if err := r.jobThere(p.JobID, "job"); err != nil {
		return err
	}
	if other := r.PlanOfJob(p.JobID); other != nil && other.ID != p.ID {
		return &Invalid{[]Problem{{"job", fmt.Sprintf("%s is planned already", r.titleOf(p.JobID))}}}
	}
	for _, id := range p.After {
		if err := r.jobThere(id, "after"); err != nil {
			return err
		}
	}
	if circle := r.jobCircle(p); circle != nil {
		return &Invalid{[]Problem{{"after", "no order can keep that: " + r.circleInWords(circle)}}}
	}
	if err := r.helpersThere(p); err != nil {
		return err
	}
	return r.thingsThere(p)
}

func (r *Rebuild) helpersThere(p JobPlan) error {
	for _, id := range p.Helpers {
		who := r.Person(id)
		if who == nil {
			return &Invalid{[]Problem{{"helpers", fmt.Sprintf("person %d is not there any more", id)}}}
		}
		if who.Own {
			return &Invalid{[]Problem{{"helpers", fmt.Sprintf("%s has the own hands and is no helper", short(who.Name))}}}
		}
	}
	return nil
}

func (r *Rebuild) thingsThere(p JobPlan) error {
	for i, h := range p.Holds {
		at := fmt.Sprintf("holds.%d", i+1)
		thing := r.Thing(h.Thing)
		if thing == nil {
			return &Invalid{[]Problem{{at, fmt.Sprintf("thing %d is not there any more", h.Thing)}}}
		}
		if h.Count > thing.Count {
			return &Invalid{[]Problem{{at, fmt.Sprintf("it holds %d of %q, but there is only %d", h.Count, short(thing.Name), thing.Count)}}}
		}
	}
	return nil
}

// StartJob keeps that work on a job began at that moment (RFC 3339): one tap. What
// else was changed of the job meanwhile is no matter. One that was laid aside, waits
// or was opened again goes on from that moment; refused where it is the one begun
// last and goes on anyway, or is over.
func (r *Rebuild) StartJob(job int64, at string) (Change, error) {
	j, p, err := r.tapped(job)
	if err != nil {
		return Change{}, err
	}
	verb := "began "
	if p.StartedAt != "" {
		verb = "went on with "
	}
	if r.begunLast(*j, p) {
		return Change{}, &Invalid{[]Problem{{"started_at", fmt.Sprintf("%s began on %s already", r.titleOf(job), day(p.StartedAt))}}}
	}
	p.StartedAt, p.DoneAt = at, ""
	c, err := r.setJobPlan(p, verb+r.titleOf(job))
	if err != nil || at == "" {
		return Change{}, orMissing(err, "started_at", "say when it began")
	}
	next := *j
	next.State, next.WaitingFor = JobDoing, ""
	return r.withJob(c, *j, next)
}

// begunLast reports whether a job is being done and no other one was begun later.
func (r *Rebuild) begunLast(j Job, p JobPlan) bool {
	if j.State != JobDoing || p.StartedAt == "" {
		return false
	}
	for i := range r.JobPlans {
		k := &r.JobPlans[i]
		other := r.Job(k.JobID)
		if k.JobID == j.ID || k.StartedAt == "" || other == nil || other.State != JobDoing {
			continue
		}
		if later := instant(k.StartedAt).Compare(instant(p.StartedAt)); later > 0 || later == 0 && k.ID > p.ID {
			return false
		}
	}
	return true
}

// FinishJob keeps that the work of a job was over at that moment (RFC 3339): one
// tap. The day is the job's day done. Refused where it is over already.
func (r *Rebuild) FinishJob(job int64, at string) (Change, error) {
	j, p, err := r.tapped(job)
	if err != nil {
		return Change{}, err
	}
	p.DoneAt = at
	c, err := r.setJobPlan(p, "finished "+r.titleOf(job))
	if err != nil || at == "" {
		return Change{}, orMissing(err, "done_at", "say when it was done")
	}
	next := *j
	next.State, next.WaitingFor, next.DoneOn = JobDone, "", day(at)
	return r.withJob(c, *j, next)
}

// tapped finds the job of a tap with its plan, which may be a new one.
func (r *Rebuild) tapped(job int64) (*Job, JobPlan, error) {
	j := r.Job(job)
	if j == nil {
		return nil, JobPlan{}, &Missing{KindJob, job}
	}
	if !j.Ahead() {
		return nil, JobPlan{}, &Invalid{[]Problem{{"state", fmt.Sprintf("the job %q is %s already", short(j.Title), j.State)}}}
	}
	if p := r.PlanOfJob(job); p != nil {
		return j, *p, nil
	}
	return j, JobPlan{JobID: job}, nil
}

func orMissing(err error, field, text string) error {
	if err != nil {
		return err
	}
	return &Invalid{[]Problem{{field, text}}}
}

// withJob adds to a change that the job becomes another.
func (r *Rebuild) withJob(c Change, old, next Job) (Change, error) {
	next.Rev = old.Rev + 1
	if err := r.checkJob(next); err != nil {
		return Change{}, err
	}
	c.edit(old, next)
	return c, nil
}

// named reports whether the plan of a job names an item.
func (p *JobPlan) named(kind Kind, id int64) bool {
	switch kind {
	case KindJob:
		return slices.Contains(p.After, id)
	case KindPerson:
		return slices.Contains(p.Helpers, id)
	case KindThing:
		return slices.ContainsFunc(p.Holds, func(h ThingUse) bool { return h.Thing == id })
	}
	return false
}

// without is its next revision with nothing that names that item.
func (p *JobPlan) without(kind Kind, id int64) JobPlan {
	loose := *p
	loose.Rev++
	switch kind {
	case KindJob:
		loose.After = without(p.After, id)
	case KindPerson:
		loose.Helpers = without(p.Helpers, id)
		// Somebody has to do it.
		loose.WithoutMe = p.WithoutMe && (p.Outside || len(loose.Helpers) > 0)
	case KindThing:
		loose.Holds = slices.DeleteFunc(slices.Clone(p.Holds), func(h ThingUse) bool { return h.Thing == id })
	}
	return loose
}
