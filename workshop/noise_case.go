package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"wreckwright/bench/noise"
	"wreckwright/diagnose"
	"wreckwright/rebuild"
)

// HumSaid is what recordings say to one case of a noise.
type HumSaid struct {
	Case    *rebuild.Case
	Answers []HumAnswer
	Faults  []FaultShift // likeliest first, with all of it
}

// HumAnswer is what road tests say to one test of a case.
type HumAnswer struct {
	RoadAnswer
	TestName, OutcomeName string // in the case's words
	Entered               bool   // the case has an answer to that test
}

// CanEnter reports that it can be entered as a step.
func (a HumAnswer) CanEnter() bool { return a.InCase && a.Decided && !a.Entered }

// FaultShift is a fault's chance now and with what was recorded.
type FaultShift struct {
	Name      string
	Now, Then float64
}

// HumCases are the open cases of a noise of something that turns.
func (w *Workshop) HumCases(r *rebuild.Rebuild) []*rebuild.Case {
	var list []*rebuild.Case
	for i := range r.Cases {
		k := &r.Cases[i]
		if k.State != rebuild.CaseOpen {
			continue
		}
		model, err := w.Model(k.Model)
		if err == nil && slices.ContainsFunc(model.Case.Faults, func(f diagnose.Fault) bool { return strings.HasPrefix(f.ID, bearing) }) {
			list = append(list, k)
		}
	}
	return list
}

// DriveSays holds a road test against a case; false where it says nothing to it.
func (w *Workshop) DriveSays(r *rebuild.Rebuild, k *rebuild.Case, road noise.Road) (HumSaid, bool) {
	q, err := w.questionOf(r, k)
	if err != nil {
		return HumSaid{}, false
	}
	said := HumSaid{Case: k}
	var evidence []diagnose.Evidence
	for _, a := range RoadAnswers(q.asked.Case, road) {
		answer := HumAnswer{RoadAnswer: a, TestName: w.ActionName(k, a.Test)}
		answer.Entered = slices.ContainsFunc(k.Steps, func(s rebuild.CaseStep) bool { return s.Kind == rebuild.StepTest && s.What == a.Test })
		if a.CanBeStep() {
			answer.OutcomeName = w.StepInWords(k, a.step())
		}
		said.Answers = append(said.Answers, answer)
		switch {
		case answer.Entered:
		case a.CanBeStep():
			evidence = append(evidence, diagnose.Evidence{Test: a.Test, Outcome: a.Outcome})
		default:
			evidence = append(evidence, diagnose.Evidence{Likelihood: a.Likelihood, Note: a.Name})
		}
	}
	said.Faults = q.shifted(evidence)
	return said, len(said.Answers) > 0
}

// NoiseSays holds a recording of a wheel bearing against a case.
func (w *Workshop) NoiseSays(r *rebuild.Rebuild, k *rebuild.Case, heard noise.Result) (HumSaid, bool) {
	q, err := w.questionOf(r, k)
	if err != nil {
		return HumSaid{}, false
	}
	e, ok := BearingEvidence(q.asked.Case, heard)
	if !ok {
		return HumSaid{}, false
	}
	said := HumSaid{Case: k, Faults: q.shifted([]diagnose.Evidence{e})}
	return said, len(said.Faults) > 0
}

// shifted are the chances of the faults now and with more evidence; nil where there
// is none, or it contradicts what was found.
func (q *question) shifted(more []diagnose.Evidence) []FaultShift {
	if len(more) == 0 {
		return nil
	}
	now, err := diagnose.Posterior(q.asked.Case)
	if err != nil {
		return nil
	}
	with := q.asked.Case
	with.Evidence = append(slices.Clone(with.Evidence), more...)
	then, err := diagnose.Posterior(with)
	if err != nil {
		return nil
	}
	var list []FaultShift
	for i := range with.Faults {
		list = append(list, FaultShift{Name: q.model.FaultName(i), Now: now[i], Then: then[i]})
	}
	slices.SortStableFunc(list, func(a, b FaultShift) int { return cmp.Compare(b.Then, a.Then) })
	return list
}

// CanBeStep reports that the answer can stand in the trail of its case.
func (a RoadAnswer) CanBeStep() bool { return a.InCase && a.Decided && a.Outcome != "" }

func (a RoadAnswer) step() rebuild.CaseStep {
	return rebuild.CaseStep{Kind: rebuild.StepTest, What: a.Test, Outcome: a.Outcome}
}

// EnterDrive adds the answer of a road test to the trail of a case, with the
// measurement behind it.
func (w *Workshop) EnterDrive(r *rebuild.Rebuild, k *rebuild.Case, road noise.Road, test string, evidence int64, at time.Time) (rebuild.Case, string, error) {
	next := *k
	said, _ := w.DriveSays(r, k, road)
	i := slices.IndexFunc(said.Answers, func(a HumAnswer) bool { return a.Test == test && a.CanEnter() })
	if i < 0 {
		return next, "", invalidAt("case", "there is nothing of that test to enter: it was entered before, or the recordings do not decide it")
	}
	step := said.Answers[i].step()
	step.At, step.EvidenceID, step.Note = at.Format(time.RFC3339), evidence, said.Answers[i].Why
	next.Steps = append(slices.Clone(k.Steps), step)
	return next, fmt.Sprintf("noted in the case %q: %s", k.Title, w.StepInWords(k, step)), nil
}
