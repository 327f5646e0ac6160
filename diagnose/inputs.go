package diagnose

import (
	"cmp"
	"math"
	"slices"
)

// input is one figure of the case that may be moved alone.
type input struct {
	name   string
	now    float64
	top    float64 // how far up it may go; down, to 0
	chance bool    // a chance: distances count in log-odds
	bent   bool    // a plan's cost is not linear in it
	scale  float64 // of an amount: what a move is compared with
	set    func(c *Case, v float64)
	// line gives a strategy's cost as at + slope x u, up to a factor that is the
	// same for all strategies; u is 0 now.
	line func(a *account) (at, slope float64)
	// value turns u into the input's value.
	value func(u float64) float64
	// end is the u of the farthest move worth a look, up or down.
	end [2]float64
	// mass is by how much the sum of the weights grows with u.
	mass float64
}

// likelyFaults is how many faults have the chances of their tests moved where
// the case is large.
const likelyFaults = 4

// inputs lists what can be moved. Of a large case's likelihoods these are the
// ones that count: of the tests in the plans of the best two actions, under the
// likeliest faults.
func (s *solution) inputs(plans []planned) []input {
	faults := make([]int, len(s.c.Faults))
	for f := range faults {
		faults[f] = f
	}
	counts := func(k int) bool { return true }
	if s.method == LookAhead {
		chance := s.b.sets.marginal(s.b.weight)
		slices.SortStableFunc(faults, func(a, b int) int { return cmp.Compare(chance[b], chance[a]) })
		faults = faults[:min(len(faults), likelyFaults)]
		counts = func(k int) bool {
			return slices.ContainsFunc(plans[:min(len(plans), 2)], func(p planned) bool { return p.byRow[k] != nil })
		}
	}
	all := s.amounts()
	all = append(all, s.priors()...)
	return append(all, s.likelihoods(faults, counts)...)
}

// amounts are the costs, minutes and the worth of an hour: a strategy's cost
// rises with each by how often it is paid.
func (s *solution) amounts() []input {
	all := []input{s.amount("hour_value", s.c.HourValue, s.c.HourValue,
		func(c *Case, v float64) { c.HourValue = v }, func(a *account) float64 { return a.minutes / 60 })}
	add := func(where string, e effort, times func(a *account) float64, money, minutes func(c *Case, v float64)) {
		all = append(all, s.amount(where+".cost", e.money, e.cost, money, times))
		if s.p.perMin > 0 {
			all = append(all, s.amount(where+".minutes", e.minutes, e.cost/s.p.perMin, minutes,
				func(a *account) float64 { return times(a) * s.p.perMin }))
		}
	}
	for k, l := range s.p.tests {
		i := l.index
		add("tests."+s.c.Tests[i].ID, l.effort, func(a *account) float64 { return a.tests[k] },
			func(c *Case, v float64) { c.Tests[i].Cost = v }, func(c *Case, v float64) { c.Tests[i].Minutes = v })
	}
	for k, r := range s.p.repairs {
		i := r.index
		add("repairs."+s.c.Repairs[i].ID, r.effort, func(a *account) float64 { return a.repairs[k] },
			func(c *Case, v float64) { c.Repairs[i].Cost = v }, func(c *Case, v float64) { c.Repairs[i].Minutes = v })
	}
	if s.p.whole != nil {
		add(WholeUnit, *s.p.whole, func(a *account) float64 { return a.whole },
			func(c *Case, v float64) { c.ReplaceAll.Cost = v }, func(c *Case, v float64) { c.ReplaceAll.Minutes = v })
	}
	return all
}

func (s *solution) amount(name string, now, scale float64, set func(*Case, float64), slope func(*account) float64) input {
	return input{
		name: name, now: now, top: math.Inf(1), scale: math.Max(scale, now), set: set,
		line:  func(a *account) (float64, float64) { return a.cost, slope(a) },
		value: func(u float64) float64 { return now + u },
		end:   [2]float64{math.Exp(flipFarthest) * math.Max(scale, now), -now},
	}
}

// priors are the chances of the faults before the evidence, the others scaled
// along where there is one fault at a time. A posterior is a quotient of two
// linear functions of the prior's odds.
func (s *solution) priors() []input {
	total := 0.0
	for _, f := range s.c.Faults {
		total += f.Prior
	}
	var all []input
	for f, fault := range s.c.Faults {
		now := fault.Prior
		if s.c.Several == 1 {
			now /= total
		}
		if now <= 0 || now >= 1 {
			continue
		}
		in := s.weighted("faults."+fault.ID+".prior", now, s.b.held(s.c, f))
		in.set = func(c *Case, v float64) { c.setPrior(f, v) }
		in.value = func(u float64) float64 { return (1 + u) * now / (1 + u*now) }
		in.end = [2]float64{math.Expm1(flipFarthest), math.Expm1(-flipFarthest)}
		all = append(all, in)
	}
	return all
}

// weighted is an input that multiplies the part of the weights by 1+u.
func (s *solution) weighted(name string, now float64, part []float64) input {
	return input{
		name: name, now: now, top: 1, chance: true, mass: sum(part),
		line: func(a *account) (float64, float64) { return dot(s.b.weight, a.bySet), dot(part, a.bySet) },
	}
}

// setPrior sets the chance of one fault; with one fault at a time the others
// keep their proportions.
func (c *Case) setPrior(f int, v float64) {
	if c.Several == 1 {
		others := 0.0
		for i := range c.Faults {
			if i != f {
				others += c.Faults[i].Prior
			}
		}
		for i := range c.Faults {
			c.Faults[i].Prior *= (1 - v) / others
		}
	}
	c.Faults[f].Prior = v
}

// likelihoods are the chances in the rows of the tests with outcomes, the rest
// of the row scaled along. With two faults at once only tests to come are moved.
func (s *solution) likelihoods(faults []int, counts func(k int) bool) []input {
	var all []input
	for i := range s.c.Tests {
		t := &s.c.Tests[i]
		open := slices.IndexFunc(s.p.tests, func(l look) bool { return l.index == i })
		if len(t.Measured) > 0 || (open >= 0 && s.b.tested[i] > 0) {
			continue
		}
		seen := s.c.seen(t)
		if open < 0 && (seen < 0 || s.c.Several > 1) || open >= 0 && !counts(open) {
			continue
		}
		for _, f := range faults {
			for o := range t.Outcomes {
				if o == 1 && len(t.Outcomes) == 2 {
					break // moves with the first
				}
				if open >= 0 {
					all = append(all, s.toCome(i, open, f, o))
				} else if o == seen && t.Chance[f][o] > 0 {
					all = append(all, s.seenChance(i, f, o))
				}
			}
		}
	}
	return all
}

// seen is the outcome that a test had; -1: not done.
func (c *Case) seen(t *Test) int {
	for _, e := range c.Evidence {
		if e.Test == t.ID {
			return slices.Index(t.Outcomes, e.Outcome)
		}
	}
	return -1
}

func (s *solution) chanceName(i, f, o int) string {
	return "tests." + s.c.Tests[i].ID + ".outcomes." + s.c.Faults[f].ID + "." + s.c.Tests[i].Outcomes[o]
}

// seenChance is the chance of what a test showed: it weighs the fault.
func (s *solution) seenChance(i, f, o int) input {
	now := s.c.Tests[i].Chance[f][o]
	part := make([]float64, len(s.b.weight))
	part[f] = s.b.weight[f]
	in := s.weighted(s.chanceName(i, f, o), now, part)
	in.set = func(c *Case, v float64) { c.Tests[i].setChance(f, o, v) }
	in.value = func(u float64) float64 { return now * (1 + u) }
	in.end = [2]float64{1/now - 1, math.Expm1(-flipFarthest)}
	return in
}

// toCome is a chance of a test that is not done yet.
func (s *solution) toCome(i, k, f, o int) input {
	now := s.c.Tests[i].Chance[f][o]
	in := input{
		name: s.chanceName(i, f, o), now: now, top: 1, chance: true, bent: s.c.Several > 1,
		set:   func(c *Case, v float64) { c.Tests[i].setChance(f, o, v) },
		value: func(u float64) float64 { return now + u },
		end:   [2]float64{1 - now, -now},
	}
	var slope [][]float64 // of the rows, worked out when first asked for
	in.line = func(a *account) (float64, float64) {
		by := a.byRow[k]
		if by == nil {
			return a.cost, 0
		}
		if slope == nil {
			slope = s.rowSlope(i, f, o)
		}
		total := 0.0
		for out := range by {
			total += dot(by[out], slope[out])
		}
		return a.cost, total
	}
	return in
}

// rowSlope is the change of a test's chances by set with one of them.
func (s *solution) rowSlope(i, f, o int) [][]float64 {
	t := s.c.Tests[i]
	const step = 1e-6
	h := step
	if t.Chance[f][o]+step > 1 {
		h = -step
	}
	rows := t.setRows(&s.p.sets)
	t.setChance(f, o, t.Chance[f][o]+h)
	moved := t.setRows(&s.p.sets)
	for out := range rows {
		for set := range rows[out] {
			rows[out][set] = (moved[out][set] - rows[out][set]) / h
		}
	}
	return rows
}

// setChance sets one chance of a row and scales the others; the table is replaced, not
// written to.
func (t *Test) setChance(f, o int, v float64) {
	row := slices.Clone(t.Chance[f])
	rest := 1 - row[o]
	for i := range row {
		switch {
		case i == o:
		case rest > 1e-12:
			row[i] *= (1 - v) / rest
		case len(row) > 1:
			row[i] = (1 - v) / float64(len(row)-1)
		}
	}
	row[o] = v
	t.Chance = slices.Clone(t.Chance)
	t.Chance[f] = row
}

// clone is a copy whose figures can be set without touching c.
func (c *Case) clone() Case {
	d := *c
	d.Faults = slices.Clone(c.Faults)
	d.Tests = slices.Clone(c.Tests)
	d.Repairs = slices.Clone(c.Repairs)
	if c.ReplaceAll != nil {
		whole := *c.ReplaceAll
		d.ReplaceAll = &whole
	}
	return d
}

// held is the part of the weights that stems from sets that held fault f before
// any repair.
func (b *belief) held(c *Case, f int) []float64 {
	part := make([]float64, len(b.weight))
	if c.Several == 1 {
		part[f] = b.weight[f]
		return part
	}
	without := c.clone()
	without.Faults[f].Prior = 0
	copy(part, b.weight)
	if rest, err := without.believeOn(b.sets); err == nil {
		share := math.Exp(rest.logTotal - b.logTotal)
		for i, w := range rest.weight {
			part[i] = math.Max(0, part[i]-share*w)
		}
	}
	return part
}
