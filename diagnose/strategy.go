package diagnose

// strategy is what to do first and, for each way it may come out, what to do
// then.
type strategy struct {
	kind Kind
	k    int         // of the test or repair in the problem
	next []*strategy // by outcome of a test; the one after a repair that did not cure
}

// nothing ends a strategy where the case has neither a repair nor the whole
// unit left.
var nothing = &strategy{kind: KindNothing}

// buy is the strategy that buys the whole unit, or has nothing left to do.
func (p *problem) buy() *strategy {
	if p.whole == nil {
		return nothing
	}
	return &strategy{kind: KindReplace}
}

// chain is the strategy that tries repairs in turn, then buys the whole unit.
func (p *problem) chain(repairs []int) *strategy {
	s := p.buy()
	for i := len(repairs) - 1; i >= 0; i-- {
		s = &strategy{kind: KindRepair, k: repairs[i], next: []*strategy{s}}
	}
	return s
}

// toll is what following a strategy comes to on average, per weight of the
// belief it started from.
type toll struct {
	money, minutes, cost float64
	whole                float64 // chance that the whole unit is bought
	stuck                float64 // chance that nothing is left to do and it is not cured
}

func (t *toll) add(weight float64, e effort) {
	t.money += weight * e.money
	t.minutes += weight * e.minutes
	t.cost += weight * e.cost
}

// follow adds up what the strategy comes to from weights w.
func (p *problem) follow(s *strategy, w []float64, t *toll) {
	mass := sum(w)
	if mass <= 0 {
		return
	}
	switch s.kind {
	case KindReplace:
		t.add(mass, *p.whole)
		t.whole += mass
	case KindTest:
		l := &p.tests[s.k]
		t.add(mass, l.effort)
		after := make([]float64, len(w))
		for o, next := range s.next {
			l.weigh(after, w, o)
			p.follow(next, after, t)
		}
	case KindRepair:
		k := &p.repairs[s.k]
		t.add(mass, k.effort)
		after := append([]float64{}, w...)
		k.apply(&p.sets, after)
		p.follow(s.next[0], after, t)
	default:
		t.stuck += mass
	}
}

// weigh sets after to w times the chance of outcome o.
func (l *look) weigh(after, w []float64, o int) {
	for i, p := range l.rows[o] {
		after[i] = p * w[i]
	}
}
