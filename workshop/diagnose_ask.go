package workshop

import (
	"errors"
	"fmt"
	"slices"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/rebuild"
)

// question is a case of the book as the engine is asked about it.
type question struct {
	model faultmodel.Model // the case's own copy
	// asked is the same without what cannot be done now, its sums in the currency
	// in which the case is weighed, with the trail as evidence.
	asked faultmodel.Model
	money CaseMoney
	// others is how much of asked's evidence is from other cases; it stands first.
	others int
	// steps are the places in the trail of the evidence after that, one each.
	steps []int
	// unfit says of a step, by its place, why it does not count.
	unfit map[int]string
}

// questionOf translates a case. What other cases say is not in it yet.
func (w *Workshop) questionOf(r *rebuild.Rebuild, k *rebuild.Case) (question, error) {
	model, err := w.Model(k.Model)
	if err != nil {
		return question{}, err
	}
	q := question{model: model, asked: withOwnLists(model), money: caseMoney(r.Car, model.Case), unfit: map[int]string{}}
	q.money.into(&q.asked.Case)
	q.asked.Case.Evidence = nil
	for i, step := range k.Steps {
		if step.Kind == rebuild.StepWhole {
			continue // it cures whatever it was, and says nothing of what that was
		}
		evidence, why := evidenceOf(&model.Case, step)
		if why == "" {
			why = twice(&model.Case, q.asked.Case.Evidence, evidence)
		}
		if why != "" {
			q.unfit[i] = why
			continue
		}
		q.asked.Case.Evidence = append(q.asked.Case.Evidence, evidence)
		q.steps = append(q.steps, i)
	}
	q.leaveOut(k.NotNow)
	return q, nil
}

// Model reads a fault model; one that was read before is not read again. It is
// shared: change a copy.
func (w *Workshop) Model(text string) (faultmodel.Model, error) {
	return w.models.get(text, func() (faultmodel.Model, error) { return faultmodel.Parse("the fault model", []byte(text)) })
}

// withOwnLists gives the model lists that can be changed without touching the one
// that is kept.
func withOwnLists(m faultmodel.Model) faultmodel.Model {
	m.Case.Tests, m.Tests = slices.Clone(m.Case.Tests), slices.Clone(m.Tests)
	m.Case.Repairs, m.Repairs = slices.Clone(m.Case.Repairs), slices.Clone(m.Repairs)
	return m
}

// evidenceOf turns a step into the engine's evidence; why is set where the model,
// edited since, has no place for it.
func evidenceOf(c *diagnose.Case, step rebuild.CaseStep) (e diagnose.Evidence, why string) {
	if step.Kind == rebuild.StepRepair {
		if repairAt(c, step.What) < 0 {
			return e, fmt.Sprintf("the model has no repair %q any more", step.What)
		}
		return diagnose.Evidence{Repair: step.What, Cured: step.Cured}, ""
	}
	at := testAt(c, step.What)
	if at < 0 {
		return e, fmt.Sprintf("the model has no test %q any more", step.What)
	}
	t := &c.Tests[at]
	switch {
	case len(t.Measured) > 0 && step.Value == nil:
		return e, "the test is a measured one by now, and no value was entered"
	case len(t.Measured) == 0 && !slices.Contains(t.Outcomes, step.Outcome):
		return e, fmt.Sprintf("the test has no outcome %q any more", step.Outcome)
	case len(t.Measured) > 0:
		return diagnose.Evidence{Test: step.What, Value: step.Value, ValueSD: step.ValueSD}, ""
	}
	return diagnose.Evidence{Test: step.What, Outcome: step.Outcome}, ""
}

// StepFits refuses a step that the case's model has no place for.
func (w *Workshop) StepFits(k *rebuild.Case, step rebuild.CaseStep) error {
	model, err := w.Model(k.Model)
	if err != nil || step.Kind == rebuild.StepWhole {
		return err
	}
	if _, why := evidenceOf(&model.Case, step); why != "" {
		return errors.New(why)
	}
	if step.Kind == rebuild.StepTest && step.Value != nil && !diagnose.ReachesAboveNought(*step.Value, step.ValueSD) && model.Case.Tests[testAt(&model.Case, step.What)].OnlyAboveNought() {
		return fmt.Errorf("a reading of %v cannot be weighed here, because the model knows only readings above 0; where the tool shows 0, enter under “give or take” the least that it can show", *step.Value)
	}
	return nil
}

// twice says that a test which gives the same again, or a repair, was entered
// before: it counts once.
func twice(c *diagnose.Case, before []diagnose.Evidence, e diagnose.Evidence) string {
	done := slices.ContainsFunc(before, func(b diagnose.Evidence) bool { return b.Test == e.Test && b.Repair == e.Repair })
	switch {
	case !done:
		return ""
	case e.Repair != "":
		return "the repair was tried before"
	case !c.Tests[testAt(c, e.Test)].Repeatable:
		return "the test was done before, and done again it says nothing new"
	}
	return ""
}

func testAt(c *diagnose.Case, id string) int {
	return slices.IndexFunc(c.Tests, func(t diagnose.Test) bool { return t.ID == id })
}

func repairAt(c *diagnose.Case, id string) int {
	return slices.IndexFunc(c.Repairs, func(r diagnose.Repair) bool { return r.ID == id })
}

func faultAt(c *diagnose.Case, id string) int {
	return slices.IndexFunc(c.Faults, func(f diagnose.Fault) bool { return f.ID == id })
}

// leaveOut takes what cannot be done now out of what the engine may advise. What
// was done before stays in as evidence and is not done again.
func (q *question) leaveOut(notNow []string) {
	c := &q.asked.Case
	for _, id := range notNow {
		done := slices.ContainsFunc(c.Evidence, func(e diagnose.Evidence) bool { return e.Test == id || e.Repair == id })
		if id == diagnose.WholeUnit {
			c.ReplaceAll = nil
		}
		if at := testAt(c, id); at >= 0 && done {
			q.doneWith(at)
		} else if at >= 0 {
			c.Tests, q.asked.Tests = slices.Delete(c.Tests, at, at+1), slices.Delete(q.asked.Tests, at, at+1)
		}
		if at := repairAt(c, id); at >= 0 && !done {
			c.Repairs, q.asked.Repairs = slices.Delete(c.Repairs, at, at+1), slices.Delete(q.asked.Repairs, at, at+1)
		}
	}
}

// doneWith keeps a test for the readings that were taken, each as a test of its
// own that gives the same again, so that it is not advised once more.
func (q *question) doneWith(at int) {
	c := &q.asked.Case
	test, note, readings := c.Tests[at], q.asked.Tests[at], 0
	c.Tests[at].Repeatable = false
	for i := range c.Evidence {
		if c.Evidence[i].Test != test.ID {
			continue
		}
		if readings++; readings == 1 {
			continue
		}
		again := test
		again.ID, again.Repeatable = fmt.Sprintf("%s (%d)", test.ID, readings), false
		c.Tests, q.asked.Tests = append(c.Tests, again), append(q.asked.Tests, note)
		c.Evidence[i].Test = again.ID
	}
}
