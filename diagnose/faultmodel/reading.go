package faultmodel

import (
	"fmt"
	"slices"

	"wreckwright/casefile"
	"wreckwright/diagnose"
	"wreckwright/uncertain"
)

// readTest reads a test: what it costs, and how it comes out under each fault.
func (r *reader) readTest(v casefile.Value) {
	g := v.Mapping()
	id := r.id(g, v, "tests")
	path := join("tests", id)
	t := diagnose.Test{ID: id, Name: r.text(g, "name", path)}
	t.Cost, t.Minutes = r.effort(g, path)
	if again, ok := g.May("repeatable"); ok {
		t.Repeatable = again.Bool()
	}
	note := TestNote{
		How: r.text(g, "how", path), Unit: r.text(g, "unit", path), Instrument: r.text(g, "instrument", path), Figure: r.text(g, "figure", path),
		Basis: r.basis(g, path), Tools: r.words(g, "tools", path), Cautions: r.words(g, "cautions", path),
	}
	if note.Figure != "" && note.Instrument == "" {
		r.at[join(path, "figure")].Fail("belongs to no instrument", "the key instrument beside it")
	}
	outcomes, discrete := g.May("outcomes")
	measured, continuous := g.May("measured")
	switch {
	case discrete && continuous:
		measured.Fail("stands beside outcomes", "one of the two: named outcomes, or a measured value")
	case discrete:
		r.readOutcomes(g, outcomes, path, &t, &note)
	case continuous:
		r.readMeasured(measured, path, &t)
	default:
		g.Fail("does not say how the test comes out", "the key outcomes, or measured")
	}
	r.m.Case.Tests = append(r.m.Case.Tests, t)
	r.m.Tests = append(r.m.Tests, note)
}

// readOutcomes reads named outcomes. Every fault must name the same: a slip of
// the pen would else make an outcome of its own.
func (r *reader) readOutcomes(g *casefile.Mapping, v casefile.Value, path string, t *diagnose.Test, note *TestNote) {
	r.at[join(path, "outcomes")] = v
	table := v.Mapping()
	rows := make(map[string]*casefile.Mapping, len(r.faults))
	for _, fault := range r.faults {
		row := table.Need(fault)
		r.at[join(path, "outcomes", fault)] = row
		rows[fault] = row.Mapping()
	}
	t.Outcomes = r.outcomeNames(table, rows)
	if len(t.Outcomes) == 0 && len(r.faults) > 0 {
		v.Fail("names no outcome", "outcomes with their chances under each fault: {gas_loss: {low: 0.9, ok: 0.1}, ...}")
	}
	for _, fault := range r.faults {
		t.Chance = append(t.Chance, r.chances(rows[fault], t.Outcomes, join(path, "outcomes", fault)))
	}
	if healthy, ok := g.May("healthy"); ok {
		r.at[join(path, "healthy")] = healthy
		t.Healthy = r.chances(healthy.Mapping(), t.Outcomes, join(path, "healthy"))
	}
	if names, ok := g.May("outcome_names"); ok {
		shown := names.Mapping()
		note.OutcomeNames = make([]string, len(t.Outcomes))
		for o, key := range t.Outcomes {
			if name, ok := shown.May(key); ok {
				note.OutcomeNames[o] = name.Text()
			}
		}
	}
}

// outcomeNames is the outcomes as the first fault in the table names them.
func (r *reader) outcomeNames(table *casefile.Mapping, rows map[string]*casefile.Mapping) []string {
	for _, fault := range table.Keys() {
		row, known := rows[fault]
		if !known {
			continue
		}
		for _, key := range row.Keys() {
			if !nameable(key) {
				row.Fail(fmt.Sprintf("names the outcome %q", key), "a short name without line breaks or blanks around it")
			}
		}
		return row.Keys()
	}
	return nil
}

func (r *reader) chances(row *casefile.Mapping, outcomes []string, path string) []float64 {
	out := make([]float64, len(outcomes))
	for o, key := range outcomes {
		out[o] = r.number(row, key, path, uncertain.ChanceBounds)
	}
	return out
}

func (r *reader) readMeasured(v casefile.Value, path string, t *diagnose.Test) {
	path = join(path, "measured")
	r.at[path] = v
	table := v.Mapping()
	for _, fault := range r.faults {
		row := table.Need(fault)
		r.at[join(path, fault)] = row
		t.Measured = append(t.Measured, r.readDistribution(row, join(path, fault)))
	}
}

// readDistribution reads {median, spread} or {mean, sd}.
func (r *reader) readDistribution(v casefile.Value, path string) diagnose.Reading {
	g := v.Mapping()
	keys := g.Keys()
	if slices.Contains(keys, "mean") || slices.Contains(keys, "sd") {
		d := diagnose.Reading{Shape: diagnose.Normal, Centre: r.number(g, "mean", path, readingBounds), Spread: r.number(g, "sd", path, spreadBounds)}
		if sd := r.at[join(path, "sd")]; sd.Line() > 0 && d.Spread == 0 {
			sd.Fail("0 leaves no room for a reading that is a little off", "a standard deviation above 0")
		}
		return d
	}
	d := diagnose.Reading{Shape: diagnose.Lognormal, Centre: r.number(g, "median", path, spreadBounds), Spread: r.number(g, "spread", path, spreadBounds)}
	if median := r.at[join(path, "median")]; median.Line() > 0 && d.Centre == 0 {
		median.Fail("0 cannot be the middle of a lognormal distribution", "a median above 0, or {mean, sd}")
	}
	if spread := r.at[join(path, "spread")]; spread.Line() > 0 && d.Spread <= 1 {
		spread.Fail(fmt.Sprintf("%g is not above 1", d.Spread), "a factor above 1: with 1.6, two readings in three lie within median / 1.6 and median x 1.6")
	}
	return d
}

// readEvidence reads one thing tried.
func (r *reader) readEvidence(v casefile.Value, path string) {
	r.at[path] = v
	g := v.Mapping()
	e := diagnose.Evidence{Line: v.Line(), Note: r.text(g, "note", path)}
	kinds := 0
	if test, ok := g.May("test"); ok {
		kinds++
		e.Test = r.pick(test, r.testIDs(), "no test")
		r.readOutcome(g, path, &e)
	}
	if repair, ok := g.May("repair"); ok {
		kinds++
		e.Repair = r.pick(repair, r.repairIDs(), "no repair")
		e.Cured = g.Need("cured").Bool()
	}
	if likelihood, ok := g.May("likelihood"); ok {
		kinds++
		r.at[join(path, "likelihood")] = likelihood
		row := likelihood.Mapping()
		for _, fault := range r.faults {
			e.Likelihood = append(e.Likelihood, r.number(row, fault, join(path, "likelihood"), weightBounds))
		}
	}
	switch {
	case kinds == 0:
		g.Fail("says nothing of what was tried", "{test, outcome}, {test, value}, {repair, cured} or {likelihood}")
	case kinds > 1:
		g.Fail("says more than one thing", "one of test, repair and likelihood; one line for each")
	}
	r.m.Case.Evidence = append(r.m.Case.Evidence, e)
}

// readOutcome reads what a test of the case came to.
func (r *reader) readOutcome(g *casefile.Mapping, path string, e *diagnose.Evidence) {
	i := slices.IndexFunc(r.m.Case.Tests, func(t diagnose.Test) bool { return t.ID == e.Test })
	if e.Test == "" || i < 0 {
		for _, key := range []string{"outcome", "value", "value_sd"} {
			g.May(key)
		}
		return
	}
	t := r.m.Case.Tests[i]
	if t.Measured == nil {
		v := g.Need("outcome")
		r.at[join(path, "outcome")] = v
		e.Outcome = r.pick(v, t.Outcomes, "no outcome of "+t.ID)
		return
	}
	e.Value = new(r.number(g, "value", path, readingBounds))
	if sd, ok := g.May("value_sd"); ok {
		e.ValueSD = sd.Number(spreadBounds)
		r.at[join(path, "value_sd")] = sd
	}
}

// pick reads one of the words; where there are none, none can be right.
func (r *reader) pick(v casefile.Value, words []string, none string) string {
	if len(words) == 0 {
		v.Fail("names "+none, "something that the case lists")
		return ""
	}
	return v.Choice(words...)
}

func (r *reader) testIDs() []string {
	var ids []string
	for _, t := range r.m.Case.Tests {
		ids = append(ids, t.ID)
	}
	return ids
}

// repairIDs are the repairs that can have been done, the whole unit among them.
func (r *reader) repairIDs() []string {
	var ids []string
	for _, rep := range r.m.Case.Repairs {
		ids = append(ids, rep.ID)
	}
	if r.m.Case.ReplaceAll != nil {
		ids = append(ids, diagnose.WholeUnit)
	}
	return ids
}
