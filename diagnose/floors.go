package diagnose

import "math"

// floors bounds the cost of states with the same repairs left from below. known
// is, by set, the cost of one who knows which faults are there; after, by repair,
// the same when that repair comes first.
type floors struct {
	p       *problem
	known   []float64
	repairs []int
	after   [][]float64
}

func (e *exact) floorsAt(repairs uint64) *floors {
	if f, ok := e.floors[repairs]; ok {
		return f
	}
	f := &floors{p: e.p, known: e.knownAt(repairs)}
	for k := range e.p.repairs {
		if repairs>>k&1 == 0 {
			continue
		}
		c := &e.p.repairs[k]
		after := append([]float64{}, e.knownAt(repairs&^(1<<k))...)
		c.before(&e.p.sets, after)
		for i := range after {
			after[i] += c.effort.cost
		}
		f.repairs = append(f.repairs, k)
		f.after = append(f.after, after)
	}
	e.floors[repairs] = f
	return f
}

func (e *exact) knownAt(repairs uint64) []float64 {
	known, ok := e.known[repairs]
	if !ok {
		known = e.p.knownCosts(func(k int) bool { return repairs>>k&1 == 1 })
		e.known[repairs] = known
	}
	return known
}

// cheapest is the cost of the cheapest test left.
func (e *exact) cheapest(tests uint64) float64 {
	best := math.Inf(1)
	for k, t := range e.copies {
		if tests>>k&1 == 1 {
			best = min(best, e.p.tests[t].effort.cost)
		}
	}
	return best
}

// least is what weights w cost at least: the best first action, each followed by
// knowing the faults. Without a whole unit, where nothing can be done it is 0.
func (f *floors) least(w []float64, cheapest float64) float64 {
	mass, known := 0.0, 0.0
	for i, x := range w {
		mass += x
		known += x * f.known[i]
	}
	if known <= 0 {
		return 0
	}
	best := min(f.p.wholeCost(mass), known+mass*cheapest)
	for _, after := range f.after {
		best = min(best, dot(after, w))
	}
	return max(best, known)
}
