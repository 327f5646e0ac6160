package workshop

import (
	"cmp"
	"fmt"
	"slices"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/rebuild"
)

// elsewhere looks at the other cases of the rebuild: what was found in an open
// one that shares a fault becomes evidence here, and what was found and mended in
// a solved one is told. Cases in which two faults are weighed stand alone.
func (w *Workshop) elsewhere(r *rebuild.Rebuild, k *rebuild.Case, q *question) []Elsewhere {
	var list []Elsewhere
	for i := range r.Cases {
		other := &r.Cases[i]
		if other.ID == k.ID || other.State == rebuild.CaseGivenUp {
			continue
		}
		theirs, err := w.questionOf(r, other)
		if err != nil || theirs.model.Stop != "" {
			continue
		}
		pairs := sharedWith(keysOf(q.model), keysOf(theirs.model))
		e := Elsewhere{Case: other, Names: sharedNames(q.model, pairs)}
		if len(e.Names) == 0 {
			continue
		}
		if other.State == rebuild.CaseSolved {
			e.mended(q, &theirs, pairs)
		} else {
			e.count(k, q, &theirs, pairs)
		}
		if e.Counts || e.Mended != nil {
			list = append(list, e)
		}
	}
	return list
}

func keysOf(m faultmodel.Model) []string {
	keys := make([]string, len(m.Faults))
	for i, f := range m.Faults {
		keys[i] = f.Shared
	}
	return keys
}

func sharedNames(m faultmodel.Model, pairs [][]int) []string {
	var names []string
	for f, with := range pairs {
		if len(with) > 0 {
			names = append(names, m.FaultName(f))
		}
	}
	return names
}

// count takes what was found in an open case as evidence here.
func (e *Elsewhere) count(k *rebuild.Case, q, theirs *question, pairs [][]int) {
	if q.asked.Case.Several > 1 || theirs.asked.Case.Several > 1 {
		return
	}
	found, err := diagnose.Posterior(theirs.asked.Case)
	if err != nil {
		return // it cannot be weighed itself; its own page says why
	}
	e.Same = sameCause(k.Together || e.Case.Together)
	likelihood := sharedLikelihood(scaledPriors(q.asked.Case.Faults), scaledPriors(theirs.asked.Case.Faults), found, pairs, e.Same)
	if likelihood == nil {
		return
	}
	e.Counts = true
	// First of all: nothing can follow a cure.
	q.asked.Case.Evidence = slices.Insert(q.asked.Case.Evidence, q.others, diagnose.Evidence{
		Likelihood: likelihood, Note: fmt.Sprintf("case %d: %s", e.Case.ID, e.Case.Title),
	})
	q.others++
}

// mended notes a fault that was the cause there and was cured there, with the
// repair here that does the same.
func (e *Elsewhere) mended(q, theirs *question, pairs [][]int) {
	cause := faultAt(&theirs.model.Case, e.Case.Cause)
	if cause < 0 || !e.Case.Cured() {
		return
	}
	for f, with := range pairs {
		if !slices.Contains(with, cause) {
			continue
		}
		e.Mended = &FaultChance{ID: q.model.Case.Faults[f].ID, Name: q.model.FaultName(f)}
		e.Repair = q.curing(f)
		return
	}
}

// curing is the repair that cures the fault most surely, empty where none does
// more often than not.
func (q *question) curing(f int) string {
	repairs := q.model.Case.Repairs
	best := -1
	for i := range repairs {
		if best < 0 || cmp.Less(repairs[best].Fixes[f], repairs[i].Fixes[f]) {
			best = i
		}
	}
	if best < 0 || repairs[best].Fixes[f] <= 0.5 {
		return ""
	}
	return repairs[best].ID
}
