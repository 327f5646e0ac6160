package diagnose

import "math"

// problem is a case in numbers: what can still be done, on the fault sets.
type problem struct {
	sets    sets
	tests   []look
	repairs []cure
	whole   *effort // nil: cannot be had
	perMin  float64 // what a minute is worth
	// known is, by set, the least expected cost once it is known that the set is
	// there, with all repairs in hand.
	known []float64
}

// effort is the money and the minutes of an action; cost is both.
type effort struct{ money, minutes, cost float64 }

// look is a test that can still be done.
type look struct {
	index  int // in Case.Tests
	effort effort
	rows   [][]float64 // [outcome][set]
	coarse [][]float64 // the same with neighbouring bands joined
	at     []float64   // of a measured test: the reading in the middle of each band
	again  bool        // can be repeated
	test   *Test       // that it was made from
}

// cure is a repair that can still be done.
type cure struct {
	index  int // in Case.Repairs
	effort effort
	fixes  []float64 // [fault]
	faults []int     // with fixes above 0
	ends   []chance  // the sets that it may take away wholly
}

type chance struct {
	set int
	p   float64
}

func (c *Case) effort(money, minutes float64) effort {
	return effort{money: money, minutes: minutes, cost: money + c.HourValue/60*minutes}
}

// newProblem lists what can still be done after the evidence; measured tests are
// cut into the given number of bands. What a test shows is taken over from like,
// if given, where the two cases share it.
func newProblem(c *Case, b *belief, bands int, like *problem) *problem {
	p := &problem{sets: b.sets, perMin: c.HourValue / 60}
	for i := range c.Tests {
		t := &c.Tests[i]
		if b.tested[i] == 0 || t.Repeatable {
			p.tests = append(p.tests, newLook(c, i, &p.sets, bands, like))
		}
	}
	for i, r := range c.Repairs {
		if !b.repaired[i] {
			p.repairs = append(p.repairs, newCure(c, i, r, &p.sets))
		}
	}
	if c.ReplaceAll != nil {
		e := c.effort(c.ReplaceAll.Cost, c.ReplaceAll.Minutes)
		p.whole = &e
	}
	p.known = p.knownCosts(func(int) bool { return true })
	return p
}

func newLook(c *Case, i int, s *sets, bands int, like *problem) look {
	t := &c.Tests[i]
	if like != nil {
		for _, l := range like.tests {
			if l.index == i && sameSlice(l.test.Chance, t.Chance) && sameSlice(l.test.Measured, t.Measured) {
				l.effort = c.effort(t.Cost, t.Minutes)
				return l
			}
		}
	}
	l := look{index: i, effort: c.effort(t.Cost, t.Minutes), again: t.Repeatable, test: t}
	if len(t.Measured) > 0 {
		l.rows, l.at = t.bands(s, bands)
	} else {
		l.rows = t.setRows(s)
	}
	l.coarse = l.rows
	if len(t.Measured) > 0 && bands%joined == 0 {
		l.coarse = join(l.rows, joined)
	}
	return l
}

// sameSlice reports whether two slices are one.
func sameSlice[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// join adds up each n neighbouring rows.
func join(rows [][]float64, n int) [][]float64 {
	out := make([][]float64, len(rows)/n)
	for o := range out {
		out[o] = make([]float64, len(rows[0]))
		for _, row := range rows[o*n : (o+1)*n] {
			for i, p := range row {
				out[o][i] += p
			}
		}
	}
	return out
}

func newCure(c *Case, i int, r Repair, s *sets) cure {
	k := cure{index: i, effort: c.effort(r.Cost, r.Minutes), fixes: r.Fixes}
	for f, p := range r.Fixes {
		if p > 0 {
			k.faults = append(k.faults, f)
		}
	}
	seen := map[int]bool{}
	for _, f := range k.faults {
		for _, l := range s.having[f] {
			if p := endChance(r.Fixes, s.members[l.set]); p > 0 && !seen[l.set] {
				seen[l.set] = true
				k.ends = append(k.ends, chance{set: l.set, p: p})
			}
		}
	}
	return k
}

// endChance is the chance that a repair takes away all members.
func endChance(fixes []float64, members []int) float64 {
	p := 1.0
	for _, f := range members {
		p *= fixes[f]
	}
	return p
}

// cures is the weight that the repair takes away wholly.
func (k *cure) cures(w []float64) float64 {
	total := 0.0
	for _, e := range k.ends {
		total += e.p * w[e.set]
	}
	return total
}

// touches is the weight of the faults that the repair takes away, counted per
// fault.
func (k *cure) touches(s *sets, w []float64) float64 {
	total := 0.0
	for _, f := range k.faults {
		for _, l := range s.having[f] {
			total += k.fixes[f] * w[l.set]
		}
	}
	return total
}

// apply moves weights to what is left after the repair did not cure.
func (k *cure) apply(s *sets, w []float64) {
	for _, f := range k.faults {
		s.cure(w, f, k.fixes[f])
	}
}

// wholeCost is what the whole unit costs for weight w; with none to be had it is
// out of reach.
func (p *problem) wholeCost(w float64) float64 {
	if p.whole == nil {
		return math.Inf(1)
	}
	return w * p.whole.cost
}

// bound is what no plan can cost less than.
func (p *problem) bound(w []float64) float64 { return dot(p.known, w) }
