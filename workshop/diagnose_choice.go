package workshop

import (
	"slices"

	"wreckwright/diagnose"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// Choice is one thing that can be done next. Sums are in the currency of the case.
type Choice struct {
	Kind     diagnose.Kind
	ID, Name string
	How      string
	Tools    []string
	Cautions []knowledge.Caution
	Basis    string

	Cost, Minutes float64
	// Expected is what everything from here on costs when this is done first,
	// itself included; nil: the engine was not asked, since it cannot be done now
	// or was done.
	Expected *float64
	Dearer   float64 // Expected less that of the best

	Unit     string          // of a measured test
	Measured bool            //
	Outcomes []ChoiceOutcome // of a test with outcomes
	Offer    *Offer          // of a measured test: what the book already holds
	Cures    []FaultChance   // of a repair: the faults it may cure, likeliest cure first; Chance is that of curing
	Again    bool            // a test that was done before
}

// StepKind is what a step is called that does it.
func (c Choice) StepKind() rebuild.CaseStepKind {
	switch c.Kind {
	case diagnose.KindTest:
		return rebuild.StepTest
	case diagnose.KindRepair:
		return rebuild.StepRepair
	}
	return rebuild.StepWhole
}

// ChoiceOutcome is one way in which a test can come out.
type ChoiceOutcome struct {
	ID, Name string
}

// choices are all actions that the engine ranked, cheapest first.
func (q *question) choices(r *rebuild.Rebuild, k *rebuild.Case, a *diagnose.Advice) []Choice {
	var list []Choice
	for _, action := range a.Ranked {
		c, ok := q.choice(r, k, action.Kind, action.ID)
		if !ok {
			continue
		}
		c.Expected, c.Dearer = new(action.ExpectedCost), max(0, action.ExpectedCost-a.ExpectedCost)
		list = append(list, c)
	}
	return list
}

// leftOut are the things that cannot be done now, as the model has them.
func (q *question) leftOut(k *rebuild.Case) []Choice {
	var list []Choice
	for _, id := range k.NotNow {
		for _, kind := range []diagnose.Kind{diagnose.KindTest, diagnose.KindRepair, diagnose.KindReplace} {
			if c, ok := q.choice(nil, k, kind, id); ok {
				list = append(list, c)
				break
			}
		}
	}
	return list
}

// choice describes one action out of the model; false where the model has none
// of that name. Without the rebuild no measurement is offered.
func (q *question) choice(r *rebuild.Rebuild, k *rebuild.Case, kind diagnose.Kind, id string) (Choice, bool) {
	c := Choice{Kind: kind, ID: id}
	switch kind {
	case diagnose.KindTest:
		at := testAt(&q.model.Case, id)
		if at < 0 {
			return c, false
		}
		q.describeTest(&c, at)
		if r != nil && c.Measured {
			c.Offer = offerFor(r, k, q.model.Tests[at])
		}
	case diagnose.KindRepair:
		at := repairAt(&q.model.Case, id)
		if at < 0 {
			return c, false
		}
		q.describeRepair(&c, at)
	case diagnose.KindReplace:
		whole := q.whole(k)
		if id != diagnose.WholeUnit || whole == nil {
			return c, false
		}
		c.Name, c.Cost, c.Minutes, c.Cautions = whole.Name, whole.Cost, whole.Minutes, cautionsFor(q.model.Cautions)
	default:
		return c, false
	}
	return c, true
}

func (q *question) describeTest(c *Choice, at int) {
	t, note := &q.model.Case.Tests[at], q.model.Tests[at]
	c.Name, c.How, c.Tools, c.Basis = q.model.TestName(at), note.How, note.Tools, note.Basis
	c.Cost, c.Minutes, c.Unit, c.Measured = t.Cost*q.money.Rate, t.Minutes, note.Unit, len(t.Measured) > 0
	c.Cautions = cautionsFor(q.model.Cautions, note.Cautions)
	c.Again = slices.ContainsFunc(q.asked.Case.Evidence, func(e diagnose.Evidence) bool { return e.Test == t.ID })
	c.Outcomes = q.outcomes(at)
}

// outcomes are the ways in which a test can come out.
func (q *question) outcomes(at int) []ChoiceOutcome {
	var list []ChoiceOutcome
	for o, id := range q.model.Case.Tests[at].Outcomes {
		list = append(list, ChoiceOutcome{ID: id, Name: q.model.OutcomeName(at, o)})
	}
	return list
}

func (q *question) describeRepair(c *Choice, at int) {
	repair, note := &q.model.Case.Repairs[at], q.model.Repairs[at]
	c.Name, c.How, c.Basis = q.model.RepairName(at), note.How, note.Basis
	c.Cost, c.Minutes = repair.Cost*q.money.Rate, repair.Minutes
	c.Cautions = cautionsFor(q.model.Cautions, note.Cautions)
	for f, p := range repair.Fixes {
		if p > 0 {
			c.Cures = append(c.Cures, FaultChance{ID: q.model.Case.Faults[f].ID, Name: q.model.FaultName(f), Chance: p})
		}
	}
	sortBy(c.Cures, func(f FaultChance) float64 { return -f.Chance })
}

// cautionsFor are the cautions of the hazards, those of the step itself first,
// each once.
func cautionsFor(model []string, own ...[]string) []knowledge.Caution {
	var list []knowledge.Caution
	for _, hazard := range slices.Concat(append(own, model)...) {
		c, ok := knowledge.CautionFor(hazard)
		if ok && !slices.ContainsFunc(list, func(other knowledge.Caution) bool { return other.Hazard == hazard }) {
			list = append(list, c)
		}
	}
	return list
}
