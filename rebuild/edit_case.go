package rebuild

import (
	"fmt"
	"slices"
)

// AddCase opens a case; its number and revision are given here.
func (r *Rebuild) AddCase(k Case) (Change, error) {
	k.ID, k.Rev = r.nextID(), 0
	if err := r.checkCase(k); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("opened the case %q", short(k.Title)), nextID: k.ID + 1}
	c.add(k)
	return c, nil
}

// EditCase replaces a case. k.Rev is the revision the form was opened with. The
// journal line says what was done: a step tried, a step taken back, how it ended.
func (r *Rebuild) EditCase(k Case) (Change, error) {
	old := r.Case(k.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindCase, ID: k.ID, Label: k.Title}
	}
	if err := fresh(*old, k); err != nil {
		return Change{}, err
	}
	if err := r.checkCase(k); err != nil {
		return Change{}, err
	}
	return changed(caseInWords(*old, k), *old, k), nil
}

// DeleteCase takes a case out. Findings, jobs and measurements that it names stay.
func (r *Rebuild) DeleteCase(id int64, rev int) (Change, error) {
	old := r.Case(id)
	if old == nil {
		return Change{}, &Missing{KindCase, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindCase, id, old.Title, *old}
	}
	c := Change{What: fmt.Sprintf("deleted the case %q", short(old.Title))}
	c.remove(*old)
	return c, nil
}

// caseInWords says what an edit of a case did.
func caseInWords(before, after Case) string {
	title := short(after.Title)
	ended := after.State != before.State
	switch {
	case ended && after.State == CaseOpen:
		return fmt.Sprintf("opened the case %q again", title)
	case ended:
		return fmt.Sprintf("set the case %q to %s", title, after.State)
	case len(after.Steps) == len(before.Steps)+1:
		return fmt.Sprintf("%s in the case %q", after.Steps[len(after.Steps)-1].inWords(), title)
	case len(after.Steps) == len(before.Steps)-1:
		return fmt.Sprintf("took a step out of the case %q", title)
	case after.Model != before.Model:
		return fmt.Sprintf("changed the fault model of the case %q", title)
	}
	return fmt.Sprintf("changed the case %q", title)
}

// inWords says what a step was; it follows "you". The model's names are not
// known here, so its IDs stand for them.
func (s CaseStep) inWords() string {
	cured := ", which did not cure"
	if s.Cured {
		cured = ", which cured"
	}
	switch {
	case s.Kind == StepRepair:
		return fmt.Sprintf("tried the repair %q%s,", s.What, cured)
	case s.Kind == StepWhole:
		return "replaced the whole unit" + cured + ","
	case s.Value != nil:
		return fmt.Sprintf("measured %.4g in the test %q", *s.Value, s.What)
	}
	return fmt.Sprintf("found %q in the test %q", s.Outcome, s.What)
}

func (r *Rebuild) checkCase(k Case) error {
	if err := k.Validate(); err != nil {
		return err
	}
	for _, id := range k.Findings {
		if r.Finding(id) == nil {
			return &Invalid{[]Problem{{"findings", fmt.Sprintf("finding %d is not there any more", id)}}}
		}
	}
	for _, id := range k.Jobs {
		if r.Job(id) == nil {
			return &Invalid{[]Problem{{"jobs", fmt.Sprintf("job %d is not there any more", id)}}}
		}
	}
	for i, s := range k.Steps {
		if s.EvidenceID != 0 && r.EvidenceAt(s.EvidenceID) == nil {
			return &Invalid{[]Problem{{fmt.Sprintf("steps.%d.evidence", i+1), fmt.Sprintf("measurement %d is not there any more", s.EvidenceID)}}}
		}
	}
	return nil
}

// CasesOf lists the cases about a finding, in the order they were opened.
func (r *Rebuild) CasesOf(finding int64) []*Case {
	return r.casesThat(func(k *Case) bool { return k.About(finding) })
}

// CasesOfJob lists the cases from which the job was made.
func (r *Rebuild) CasesOfJob(job int64) []*Case {
	return r.casesThat(func(k *Case) bool { return slices.Contains(k.Jobs, job) })
}

// CasesReading lists the cases with a step that leans on the measurement.
func (r *Rebuild) CasesReading(evidence int64) []*Case {
	return r.casesThat(func(k *Case) bool { return k.ReadsEvidence(evidence) })
}

func (r *Rebuild) casesThat(do func(*Case) bool) []*Case {
	var those []*Case
	for i := range r.Cases {
		if do(&r.Cases[i]) {
			those = append(those, &r.Cases[i])
		}
	}
	return those
}

// casesNaming lists the cases that name something which may go.
func (r *Rebuild) casesNaming(kind Kind, id int64) []*Case {
	switch kind {
	case KindFinding:
		return r.CasesOf(id)
	case KindJob:
		return r.CasesOfJob(id)
	case KindEvidence:
		return r.CasesReading(id)
	}
	return nil
}

// without is the case's next revision with nothing that names that item.
func (k *Case) without(kind Kind, id int64) Case {
	loose := *k
	loose.Rev++
	same := func(other int64) bool { return other == id }
	switch kind {
	case KindFinding:
		loose.Findings = slices.DeleteFunc(slices.Clone(k.Findings), same)
	case KindJob:
		loose.Jobs = slices.DeleteFunc(slices.Clone(k.Jobs), same)
	case KindEvidence:
		loose.Steps = slices.Clone(k.Steps)
		for i := range loose.Steps {
			if loose.Steps[i].EvidenceID == id {
				loose.Steps[i].EvidenceID = 0
			}
		}
	}
	return loose
}
