package workshop

import (
	"fmt"
	"strconv"

	"wreckwright/diagnose"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Tried is one step of the trail in words.
type Tried struct {
	Step     rebuild.CaseStep
	Place    int             // in the case, from 1
	Name     string          // of what was tried
	Came     string          // how it came out
	Outcomes []ChoiceOutcome // of a test with outcomes: what it could have been
	// Evidence is the measurement behind it, nil where there is none.
	Evidence *rebuild.Evidence
	// Unfit says why the step does not count any more; empty where it does.
	Unfit string
	// Likeliest is the likeliest fault after it, with its chance.
	Likeliest string
	Chance    float64
}

// Day is when it was tried, ISO.
func (t Tried) Day() string { return dayOfStep(t.Step) }

// trail says what was tried and where each step led.
func (q *question) trail(r *rebuild.Rebuild, k *rebuild.Case) []Tried {
	list := make([]Tried, len(k.Steps))
	for i, step := range k.Steps {
		t := Tried{Step: step, Place: i + 1, Unfit: q.unfit[i]}
		t.Name, t.Came = q.stepInWords(step)
		if at := testAt(&q.model.Case, step.What); at >= 0 && step.Kind == rebuild.StepTest {
			t.Outcomes = q.outcomes(at)
		}
		if step.EvidenceID != 0 {
			t.Evidence = r.EvidenceAt(step.EvidenceID)
		}
		list[i] = t
	}
	for n, place := range q.steps {
		chances, err := q.chancesAfter(n + 1)
		if err != nil {
			break // the mistake is told for the case as a whole
		}
		best := 0
		for f := range chances {
			if chances[f] > chances[best] {
				best = f
			}
		}
		list[place].Likeliest, list[place].Chance = q.model.FaultName(best), chances[best]
	}
	return list
}

// plainTrail is the trail of a case whose model cannot be read.
func plainTrail(k *rebuild.Case) []Tried {
	list := make([]Tried, len(k.Steps))
	for i, step := range k.Steps {
		list[i] = Tried{Step: step, Place: i + 1, Name: step.What, Came: cameOut(step, "")}
		if step.Kind == rebuild.StepWhole {
			list[i].Name = "the whole unit"
		}
	}
	return list
}

// stepInWords names a step and how it came out, by the model's names.
func (q *question) stepInWords(step rebuild.CaseStep) (name, came string) {
	c := &q.model.Case
	switch step.Kind {
	case rebuild.StepWhole:
		return q.model.UnitName(), cameOut(step, "")
	case rebuild.StepRepair:
		if at := repairAt(c, step.What); at >= 0 {
			return q.model.RepairName(at), cameOut(step, "")
		}
		return step.What, cameOut(step, "")
	}
	at := testAt(c, step.What)
	if at < 0 {
		return step.What, cameOut(step, "")
	}
	came = cameOut(step, q.model.Tests[at].Unit)
	for o, id := range c.Tests[at].Outcomes {
		if id == step.Outcome {
			came = q.model.OutcomeName(at, o)
		}
	}
	return q.model.TestName(at), came
}

// cameOut is how a step came out, without the model's names.
func cameOut(step rebuild.CaseStep, unit string) string {
	switch {
	case step.Value != nil:
		said := strconv.FormatFloat(*step.Value, 'g', 6, 64)
		if step.ValueSD > 0 {
			said += fmt.Sprintf(" ± %.2g", uncertain.HalfOf95*step.ValueSD)
		}
		if unit != "" {
			said += " " + unit
		}
		return said
	case step.Kind == rebuild.StepTest:
		return step.Outcome
	case step.Cured:
		return "cured"
	}
	return "still there"
}

// StepInWords says what a step did, for the journal: "found dry: look for wet
// joints".
func (w *Workshop) StepInWords(k *rebuild.Case, step rebuild.CaseStep) string {
	name, came := step.What, cameOut(step, "")
	if model, err := w.Model(k.Model); err == nil {
		q := question{model: model}
		name, came = q.stepInWords(step)
	}
	return fmt.Sprintf("%s: %s", name, came)
}

// ActionName is what the case's model calls a test, a repair or the whole unit.
func (w *Workshop) ActionName(k *rebuild.Case, id string) string {
	model, err := w.Model(k.Model)
	if err != nil {
		return id
	}
	if at := testAt(&model.Case, id); at >= 0 {
		return model.TestName(at)
	}
	if at := repairAt(&model.Case, id); at >= 0 {
		return model.RepairName(at)
	}
	if id == diagnose.WholeUnit {
		return model.UnitName()
	}
	return id
}
