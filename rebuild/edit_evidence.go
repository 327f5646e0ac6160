package rebuild

import "fmt"

// AddEvidence keeps a measurement; its number and revision are given here.
func (r *Rebuild) AddEvidence(e Evidence) (Change, error) {
	e.ID, e.Rev = r.nextID(), 0
	if err := r.checkEvidence(e); err != nil {
		return Change{}, err
	}
	if err := r.seesEnough(e); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("kept the measurement %q: %s", short(e.Title), e.Verdict), nextID: e.ID + 1}
	c.add(e)
	return c, nil
}

// EditEvidence replaces a measurement. e.Rev is the revision the form was opened
// with. Refused while a job stands as proven by it alone and would not be proven
// by it any more.
func (r *Rebuild) EditEvidence(e Evidence) (Change, error) {
	old := r.EvidenceAt(e.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindEvidence, ID: e.ID, Label: e.Title}
	}
	if err := fresh(*old, e); err != nil {
		return Change{}, err
	}
	if err := r.checkEvidence(e); err != nil {
		return Change{}, err
	}
	if e.JobID != old.JobID || e.Phase != old.Phase {
		if err := r.seesEnough(e); err != nil {
			return Change{}, err
		}
	}
	if err := r.keepsProof(*old, &e); err != nil {
		return Change{}, err
	}
	return changed(fmt.Sprintf("changed the measurement %q", short(e.Title)), *old, e), nil
}

// DeleteEvidence takes a measurement out; its files stay in the book, and a step
// of a case that leaned on it keeps its value. Refused while a job stands as
// proven by it alone.
func (r *Rebuild) DeleteEvidence(id int64, rev int) (Change, error) {
	old := r.EvidenceAt(id)
	if old == nil {
		return Change{}, &Missing{KindEvidence, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindEvidence, id, old.Title, *old}
	}
	if err := r.keepsProof(*old, nil); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("deleted the measurement %q", short(old.Title))}
	r.loosen(&c, KindEvidence, id)
	c.remove(*old)
	return c, nil
}

// keepsProof refuses to take from a proven job the last thing that proves it.
func (r *Rebuild) keepsProof(before Evidence, after *Evidence) error {
	if !r.Proves(&before) || after != nil && r.Proves(after) && after.JobID == before.JobID {
		return nil
	}
	j := r.Job(before.JobID)
	if j == nil || r.provenWithout(*j, before.ID) {
		return nil
	}
	return &Invalid{[]Problem{{"verdict", fmt.Sprintf("the job %q stands as proven by this measurement alone; set the job back to done first", short(j.Title))}}}
}

// provenWithout reports whether the job is not proven at all, or by something
// else than that measurement (0: whatever there is).
func (r *Rebuild) provenWithout(j Job, evidence int64) bool {
	if j.State != JobProven || j.Proof != "" || len(j.Proofs) > 0 {
		return true
	}
	for i := range r.Evidence {
		if e := &r.Evidence[i]; e.ID != evidence && e.JobID == j.ID && e.Proves() && j.shownBy(e.Instrument) {
			return true
		}
	}
	return false
}

// Proves reports whether a measurement shows that the work of its job is done right:
// by itself, and by seeing enough for what hangs on that job.
func (r *Rebuild) Proves(e *Evidence) bool {
	j := r.Job(e.JobID)
	return j != nil && e.Proves() && j.shownBy(e.Instrument)
}

// shownBy reports whether an instrument sees enough to show that the job is done
// right: five lines see too little of a structure.
func (j *Job) shownBy(by Instrument) bool {
	return by != InstrumentQuickSurvey || j.Safety != SafetyStructure
}

// seesEnough refuses a measurement that would stand as proof of a job and sees too
// little for it.
func (r *Rebuild) seesEnough(e Evidence) error {
	if !e.Proves() || r.Proves(&e) {
		return nil
	}
	return &Invalid{[]Problem{{"job", fmt.Sprintf("five lines are no proof that %q is done right: measure the points of the body, or keep these without the job", short(r.Job(e.JobID).Title))}}}
}

func (r *Rebuild) checkEvidence(e Evidence) error {
	if err := e.Validate(); err != nil {
		return err
	}
	if e.JobID != 0 && r.Job(e.JobID) == nil {
		return &Invalid{[]Problem{{"job", fmt.Sprintf("job %d is not there any more", e.JobID)}}}
	}
	return nil
}

// EvidenceOf lists the measurements of a job, in the order they were kept.
func (r *Rebuild) EvidenceOf(job int64) []*Evidence {
	var of []*Evidence
	for i := range r.Evidence {
		if r.Evidence[i].JobID == job {
			of = append(of, &r.Evidence[i])
		}
	}
	return of
}
