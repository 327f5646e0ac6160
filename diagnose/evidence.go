package diagnose

import (
	"fmt"
	"math"
	"slices"
)

// item is the path of an item of a list, counted from 1.
func item(list string, i int) string { return fmt.Sprintf("%s.%d", list, i+1) }

// take folds one piece of evidence in.
func (b *belief) take(c *Case, where string, e Evidence) error {
	given := 0
	for _, is := range []bool{e.Test != "", e.Repair != "", e.Likelihood != nil} {
		if is {
			given++
		}
	}
	switch {
	case given != 1:
		return mistake(where, "names %d of test, repair and likelihood; expected exactly one", given)
	case e.Test != "":
		return b.takeTest(c, where, e)
	case e.Repair != "":
		return b.takeRepair(c, where, e)
	}
	return b.takeLikelihood(c, where, e)
}

func (b *belief) takeTest(c *Case, where string, e Evidence) error {
	k := slices.IndexFunc(c.Tests, func(t Test) bool { return t.ID == e.Test })
	if k < 0 {
		return mistake(where+".test", "there is no test %q; expected one of the case's", e.Test)
	}
	t := &c.Tests[k]
	if b.tested[k] > 0 && !t.Repeatable {
		return mistake(where, "the test %q was done already and gives the same again; expected it once, or repeatable: true", t.ID)
	}
	b.tested[k]++
	if len(t.Measured) > 0 {
		return b.takeReading(t, where, e)
	}
	if e.Value != nil {
		return mistake(where+".value", "the test %q has outcomes, no value; expected one of %q", t.ID, t.Outcomes)
	}
	o := slices.Index(t.Outcomes, e.Outcome)
	if o < 0 {
		return mistake(where+".outcome", "the test %q has no outcome %q; expected one of %q", t.ID, e.Outcome, t.Outcomes)
	}
	rows := t.setRows(&b.sets)
	expected := b.expectedLog(rows)
	logChance, ok := b.update(logs(rows[o]))
	if !ok {
		return impossible(where, "%s: %s is impossible under every fault that is left", t.ID, e.Outcome)
	}
	b.surprise += logChance - expected
	return nil
}

func impossible(where, what string, args ...any) error {
	return mistake(where, "this cannot happen in the model: "+what, args...)
}

func logs(p []float64) []float64 {
	l := make([]float64, len(p))
	for i, x := range p {
		l[i] = math.Log(x)
	}
	return l
}

// expectedLog is the expected ln of the chance of what a test will show.
func (b *belief) expectedLog(rows [][]float64) float64 {
	total := 0.0
	for _, row := range rows {
		if p := dot(row, b.weight); p > 0 {
			total += p * math.Log(p)
		}
	}
	return total
}

func dot(a, b []float64) float64 {
	total := 0.0
	for i, x := range a {
		total += x * b[i]
	}
	return total
}

func (b *belief) takeReading(t *Test, where string, e Evidence) error {
	switch {
	case e.Outcome != "":
		return mistake(where+".outcome", "the test %q is measured; expected a value", t.ID)
	case e.Value == nil:
		return mistake(where, "the test %q has no value; expected what was measured", t.ID)
	case math.IsNaN(*e.Value) || math.Abs(*e.Value) > 1e15:
		return mistake(where+".value", "is %v; expected a measured value", *e.Value)
	case !(e.ValueSD >= 0) || e.ValueSD > 1e15:
		return mistake(where+".value_sd", "is %v; expected a standard uncertainty, 0 or more", e.ValueSD)
	}
	expected := b.expectedLogDensity(t, e.ValueSD)
	logChance, ok := b.update(t.logRow(&b.sets, *e.Value, e.ValueSD))
	if !ok && *e.Value <= 0 && t.OnlyAboveNought() {
		return impossible(where, "%s: %v is impossible under every fault, since they know only readings above 0; "+
			"expected, where the tool shows 0, value_sd: about half of the least that it can show, or that least as the value", t.ID, *e.Value)
	}
	if !ok {
		return impossible(where, "%s: %v is impossible under every fault that is left", t.ID, *e.Value)
	}
	b.surprise += logChance - expected
	return nil
}

// OnlyAboveNought reports whether a measured test knows only readings above 0
// under every fault. A reading of 0 then needs an uncertainty to be weighed.
func (t *Test) OnlyAboveNought() bool {
	return len(t.Measured) > 0 && !slices.ContainsFunc(t.Measured, func(r Reading) bool { return r.Shape != Lognormal })
}

// ReachesAboveNought reports whether what was measured may lie above 0.
func ReachesAboveNought(value, sd float64) bool { return value+halfWidth(sd) > 0 }

// logRow is the log density of a reading under each set.
func (t *Test) logRow(s *sets, x, sd float64) []float64 {
	per := make([]float64, len(t.Measured))
	for f, r := range t.Measured {
		per[f] = r.logDensity(x, sd)
	}
	row := make([]float64, len(s.members))
	for i, members := range s.members {
		row[i] = logMean(members, per)
	}
	return row
}

// logMean is ln of the mean of exp over the members, without underflow.
func logMean(members []int, log []float64) float64 {
	top := math.Inf(-1)
	for _, f := range members {
		top = math.Max(top, log[f])
	}
	if len(members) == 1 || math.IsInf(top, -1) {
		return top
	}
	total := 0.0
	for _, f := range members {
		total += math.Exp(log[f] - top)
	}
	return top + math.Log(total/float64(len(members)))
}

// expectedLogDensity is the expected ln of the density of a reading, over
// readings of equal chance of each fault.
func (b *belief) expectedLogDensity(t *Test, sd float64) float64 {
	const nodes = 15
	total := 0.0
	for f, p := range mixedMarginal(&b.sets, b.weight) {
		if p < 1e-6 {
			continue
		}
		for k := range nodes {
			x := t.Measured[f].quantile((float64(k) + 0.5) / nodes)
			total += p / nodes * b.logDensity(t, x, sd)
		}
	}
	return total
}

func (b *belief) logDensity(t *Test, x, sd float64) float64 {
	log := t.logRow(&b.sets, x, sd)
	for i := range log {
		log[i] += math.Log(b.weight[i])
	}
	_, logSum := fromLog(log)
	return logSum
}

// mixedMarginal is the chance that each fault is the one that shows in a
// measured test.
func mixedMarginal(s *sets, w []float64) []float64 {
	m := make([]float64, len(s.having))
	for i, members := range s.members {
		for _, f := range members {
			m[f] += w[i] / float64(len(members))
		}
	}
	return m
}

func (b *belief) takeLikelihood(c *Case, where string, e Evidence) error {
	where += ".likelihood"
	if len(e.Likelihood) != len(c.Faults) {
		return mistake(where, "there are %d; expected one for each of %d faults", len(e.Likelihood), len(c.Faults))
	}
	for f, l := range e.Likelihood {
		if !(l >= 0) || math.IsInf(l, 0) {
			return mistake(where+"."+c.Faults[f].ID, "is %v; expected how likely the finding is under it, 0 or more", l)
		}
	}
	if _, ok := b.update(logs(mixed(e.Likelihood, &b.sets))); !ok {
		return impossible(where, "the finding is impossible under every fault that is left")
	}
	return nil
}

func (b *belief) takeRepair(c *Case, where string, e Evidence) error {
	if e.Repair == WholeUnit {
		return b.takeWhole(c, where, e)
	}
	k := slices.IndexFunc(c.Repairs, func(r Repair) bool { return r.ID == e.Repair })
	if k < 0 {
		return mistake(where+".repair", "there is no repair %q; expected one of the case's", e.Repair)
	}
	if b.repaired[k] {
		return mistake(where, "the repair %q was done already; expected it once", e.Repair)
	}
	b.repaired[k] = true
	left := slices.Clone(b.weight)
	b.sets.repair(left, c.Repairs[k].Fixes)
	notCured := sum(left)
	p := notCured
	if e.Cured {
		p = 1 - notCured
		left = b.removedBy(c.Repairs[k].Fixes)
	}
	b.cured = e.Cured
	if total := sum(left); p > 0 && total > 0 {
		b.surprise += math.Log(p) - entropyLog(notCured)
		b.logTotal += math.Log(p)
		for i := range left {
			b.weight[i] = left[i] / total
		}
		return nil
	}
	if e.Cured {
		return impossible(where, "%s cures none of the faults that are left", e.Repair)
	}
	return impossible(where, "%s cures every fault that is left, and yet the symptom is there", e.Repair)
}

// entropyLog is the expected ln of the chance of one of two ways, p and 1-p.
func entropyLog(p float64) float64 {
	total := 0.0
	for _, q := range []float64{p, 1 - p} {
		if q > 0 {
			total += q * math.Log(q)
		}
	}
	return total
}

func (b *belief) takeWhole(c *Case, where string, e Evidence) error {
	if c.ReplaceAll == nil {
		return mistake(where+".repair", "there is no replace_all; expected one of the case's repairs")
	}
	if !e.Cured {
		return impossible(where, "the whole unit cures everything; is a fault outside it missing from the list?")
	}
	b.cured = true
	return nil
}

// removedBy is the weight of each set times the chance that a repair takes all
// of it away.
func (b *belief) removedBy(fixes []float64) []float64 {
	w := slices.Clone(b.weight)
	for i, members := range b.sets.members {
		for _, f := range members {
			w[i] *= fixes[f]
		}
	}
	return w
}

// repair moves weights to what is left after a repair that did not take the
// symptom away; what was cured is gone from them. Faults are cured
// independently of one another.
func (s *sets) repair(w, fixes []float64) {
	for f, p := range fixes {
		if p > 0 {
			s.cure(w, f, p)
		}
	}
}

func (s *sets) cure(w []float64, f int, p float64) {
	for _, l := range s.having[f] {
		moved := p * w[l.set]
		w[l.set] -= moved
		if p == 1 {
			w[l.set] = 0
		}
		if l.to >= 0 {
			w[l.to] += moved
		}
	}
}

// Posterior is the chance of each fault, in the order of the case: that it is
// there now, or, once cured, that it was what the last repair took away.
func Posterior(c Case) ([]float64, error) {
	b, err := believe(c)
	if err != nil {
		return nil, err
	}
	return b.sets.marginal(b.weight), nil
}
