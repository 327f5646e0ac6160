package diagnose

import (
	"math"
	"slices"
)

// strategyOf is the plan behind an option.
func (e *exact) strategyOf(w []float64, o option) *strategy {
	m := move{kind: o.kind, k: o.k}
	if o.kind == KindTest {
		m.k = slices.Index(e.copies, o.k)
	}
	return e.planMove(w, m, uint64(1)<<len(e.copies)-1, uint64(1)<<len(e.p.repairs)-1)
}

func (e *exact) planMove(w []float64, m move, tests, repairs uint64) *strategy {
	switch m.kind {
	case KindTest:
		t := e.copies[m.k]
		s := &strategy{kind: KindTest, k: t}
		for o := range e.p.tests[t].rows {
			after := make([]float64, len(w))
			e.p.tests[t].weigh(after, w, o)
			s.next = append(s.next, e.plan(after, tests&^(1<<m.k), repairs))
		}
		return s
	case KindRepair:
		after := slices.Clone(w)
		e.p.repairs[m.k].apply(&e.p.sets, after)
		return &strategy{kind: KindRepair, k: m.k, next: []*strategy{e.plan(after, tests, repairs&^(1<<m.k))}}
	}
	return e.p.buy()
}

// plan reads the best plan from a state out of the memory; equal states share
// one.
func (e *exact) plan(w []float64, tests, repairs uint64) *strategy {
	mass := sum(w)
	if mass <= 0 {
		return e.p.buy()
	}
	for i := range w {
		w[i] /= mass
	}
	key := digest(w, tests, repairs)
	if s, ok := e.plans[key]; ok {
		return s
	}
	v, ok := e.memo[key]
	if !ok || !v.known {
		// Another way here gave a belief that differs in the last digits.
		if again, err := e.judge(w, tests, repairs, len(e.stack), math.Inf(1)); err == nil {
			v = again
			e.memo[key] = v
		}
	}
	var s *strategy
	if !v.acts {
		s = e.p.chain(e.seq.order(w, e.usedOf(repairs)))
	} else {
		s = e.planMove(w, v.then(), tests, repairs)
	}
	e.plans[key] = s
	return s
}
