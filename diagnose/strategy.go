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

// weigh sets after to w times the chance of outcome o.
func (l *look) weigh(after, w []float64, o int) {
	for i, p := range l.rows[o] {
		after[i] = p * w[i]
	}
}
