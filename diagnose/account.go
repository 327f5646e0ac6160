package diagnose

import "slices"

// account is what following a strategy comes to from given weights of sum 1, and
// how that depends on each input: a strategy's cost is linear in every one.
type account struct {
	cost, money, minutes float64
	tests, repairs       []float64 // how often each action is done, on average
	whole                float64   // chance that the whole unit is bought
	stuck                float64   // chance that nothing is left to do and it is not cured
	// bySet is the expected cost given each set.
	bySet []float64
	// byRow is, for each test that is done, the change of the cost with the chance
	// of each outcome under each set, [test][outcome][set].
	byRow map[int][][]float64

	parts int // of the strategy

	p     *problem
	known map[*strategy][]float64 // while it is followed
}

// account follows a strategy from weights w.
func (p *problem) account(s *strategy, w []float64) *account {
	a := &account{
		p: p, tests: make([]float64, len(p.tests)), repairs: make([]float64, len(p.repairs)),
		byRow: map[int][][]float64{}, known: map[*strategy][]float64{},
	}
	a.bySet = a.setCosts(s)
	a.walk(s, w)
	for k, n := range a.tests {
		a.add(n, p.tests[k].effort)
	}
	for k, n := range a.repairs {
		a.add(n, p.repairs[k].effort)
	}
	if p.whole != nil {
		a.add(a.whole, *p.whole)
	}
	a.parts, a.known = len(a.known), nil
	return a
}

func (a *account) add(times float64, e effort) {
	a.cost += times * e.cost
	a.money += times * e.money
	a.minutes += times * e.minutes
}

// setCosts is the expected cost of a strategy given each set.
func (a *account) setCosts(s *strategy) []float64 {
	if c, ok := a.known[s]; ok {
		return c
	}
	c := make([]float64, len(a.p.sets.members))
	switch s.kind {
	case KindReplace:
		for i := range c {
			c[i] = a.p.whole.cost
		}
	case KindTest:
		l := &a.p.tests[s.k]
		for i := range c {
			c[i] = l.effort.cost
		}
		for o, next := range s.next {
			then := a.setCosts(next)
			for i, p := range l.rows[o] {
				c[i] += p * then[i]
			}
		}
	case KindRepair:
		k := &a.p.repairs[s.k]
		copy(c, a.setCosts(s.next[0]))
		k.before(&a.p.sets, c)
		for i := range c {
			c[i] += k.effort.cost
		}
	}
	a.known[s] = c
	return c
}

// before turns costs by set after a repair into those before it; cured costs
// nothing more.
func (k *cure) before(s *sets, cost []float64) {
	for i := len(k.faults) - 1; i >= 0; i-- {
		f := k.faults[i]
		p := k.fixes[f]
		for _, l := range s.having[f] {
			cost[l.set] *= 1 - p
			if l.to >= 0 {
				cost[l.set] += p * cost[l.to]
			}
		}
	}
}

// walk counts what is done along a strategy. Plans share their ends, so each part
// is gone through once, with all that leads to it.
func (a *account) walk(s *strategy, w []float64) {
	reach := map[*strategy][]float64{s: w}
	for _, s := range inOrder(s) {
		w := reach[s]
		mass := sum(w)
		if mass <= 0 {
			continue
		}
		arrive := func(next *strategy, after []float64) {
			if reach[next] == nil {
				reach[next] = make([]float64, len(w))
			}
			for i, x := range after {
				reach[next][i] += x
			}
		}
		switch s.kind {
		case KindReplace:
			a.whole += mass
		case KindTest:
			a.tests[s.k] += mass
			a.walkTest(s, w, arrive)
		case KindRepair:
			a.repairs[s.k] += mass
			after := append([]float64{}, w...)
			a.p.repairs[s.k].apply(&a.p.sets, after)
			arrive(s.next[0], after)
		default:
			a.stuck += mass
		}
	}
}

// inOrder is the parts of a strategy, each before what follows it.
func inOrder(s *strategy) []*strategy {
	var all []*strategy
	seen := map[*strategy]bool{}
	var visit func(*strategy)
	visit = func(s *strategy) {
		if seen[s] {
			return
		}
		seen[s] = true
		for _, next := range s.next {
			visit(next)
		}
		all = append(all, s)
	}
	visit(s)
	slices.Reverse(all)
	return all
}

func (a *account) walkTest(s *strategy, w []float64, arrive func(*strategy, []float64)) {
	l := &a.p.tests[s.k]
	rows := a.byRow[s.k]
	if rows == nil {
		rows = make([][]float64, len(l.rows))
		for o := range rows {
			rows[o] = make([]float64, len(w))
		}
		a.byRow[s.k] = rows
	}
	after := make([]float64, len(w))
	for o, next := range s.next {
		then := a.setCosts(next)
		for i, x := range w {
			rows[o][i] += x * then[i]
		}
		l.weigh(after, w, o)
		arrive(next, after)
	}
}
