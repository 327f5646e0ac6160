package diagnose

import (
	"cmp"
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// The breadth of the look-ahead: how many bands a measured test has at the
// first and, by joining joined of them, at the second step; and how many actions
// are looked at two steps deep.
const (
	lookBands = 15
	joined    = 3
	widest    = 6
	wholly    = 24  // with no more actions than this, all are
	aheadWork = 3e7 // what two steps may take, in additions: fewer actions in a very large case
)

// option is an action with the expected cost of the best plan found that begins
// with it.
type option struct {
	kind Kind
	k    int
	cost float64
}

// looker looks ahead: the cost of every action now, each followed by the
// sequence; then of the best of them, each outcome followed by the best action
// then and the sequence.
type looker struct {
	ctx    context.Context
	p      *problem
	seq    *sequencer
	tested []bool
	used   []bool
	wide   int                 // how many actions are looked at two steps deep
	inner  []option            // what is tried at the second step
	deep   map[option][]option // what two steps chose after each outcome; the key without its cost
	spare  []float64           // scratch weights of the second step
	runs   float64             // how often the sequence was worked out
}

func newLooker(ctx context.Context, p *problem) *looker {
	return &looker{
		ctx: ctx, p: p, wide: p.breadth(), seq: newSequencer(p), tested: make([]bool, len(p.tests)), used: make([]bool, len(p.repairs)),
		deep: map[option][]option{}, spare: make([]float64, len(p.sets.members)),
	}
}

// breadth is how many actions are looked at two steps deep.
func (p *problem) breadth() int {
	wide := widest
	if n := len(p.tests) + len(p.repairs); n <= wholly {
		wide = n + 1
	}
	first, second := make([]int, len(p.repairs)), make([]int, len(p.repairs)) // outcomes of each action
	for k := range first {
		first[k], second[k] = 1, 1
	}
	for k := range p.tests {
		first, second = append(first, len(p.tests[k].rows)), append(second, len(p.tests[k].coarse))
	}
	for wide > 0 && mostOf(first, wide)*mostOf(second, wide)*p.runWork() > aheadWork {
		wide--
	}
	return wide
}

// mostOf is the sum of the n largest.
func mostOf(counts []int, n int) float64 {
	slices.SortFunc(counts, func(a, b int) int { return cmp.Compare(b, a) })
	total := 0
	for _, c := range counts[:min(n, len(counts))] {
		total += c
	}
	return float64(total)
}

// runWork is about how many additions working out the sequence takes.
func (p *problem) runWork() float64 {
	total := len(p.sets.members)
	for k := range p.repairs {
		for _, f := range p.repairs[k].faults {
			total += 3 * len(p.sets.having[f])
		}
	}
	return float64(total)
}

// solve is every action now with its expected cost, cheapest first.
func (l *looker) solve(w []float64) ([]option, error) {
	all := l.p.actions()
	for i := range all {
		if err := l.ctx.Err(); err != nil {
			return nil, err
		}
		all[i].cost = l.oneStep(w, all[i], false)
	}
	sortOptions(all)
	l.inner = slices.Clone(all)
	l.deepen(w, all[:min(len(all), l.wide)])
	sortOptions(all)
	return all, l.ctx.Err()
}

// deepen looks at actions two steps deep, as many at a time as there are
// processors.
func (l *looker) deepen(w []float64, all []option) {
	costs := make([]float64, len(all))
	thens := make([][]option, len(all))
	var turn atomic.Int64
	var wait sync.WaitGroup
	for range min(len(all), runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			own := newLooker(l.ctx, l.p)
			own.inner = l.inner
			for i := int(turn.Add(1)) - 1; i < len(all); i = int(turn.Add(1)) - 1 {
				if all[i].kind != KindReplace {
					costs[i], thens[i] = own.twoSteps(w, all[i])
				}
			}
		})
	}
	wait.Wait()
	if l.ctx.Err() != nil {
		return // the caller says so
	}
	for i := range all {
		if thens[i] != nil && costs[i] < all[i].cost {
			l.deep[option{kind: all[i].kind, k: all[i].k}] = thens[i]
			all[i].cost = costs[i]
		}
	}
}

// some is the cost of a few actions only, with the second steps that another
// looker tried on the same actions.
func (l *looker) some(w []float64, all, inner []option) []option {
	all = slices.Clone(all)
	for i := range all {
		all[i].cost = l.oneStep(w, all[i], false)
	}
	l.inner = inner
	l.deepen(w, all)
	sortOptions(all)
	return all
}

func sortOptions(all []option) {
	slices.SortStableFunc(all, func(a, b option) int { return cmp.Compare(a.cost, b.cost) })
}

// actions is everything that can be done.
func (p *problem) actions() []option {
	var all []option
	for k := range p.tests {
		all = append(all, option{kind: KindTest, k: k})
	}
	for k := range p.repairs {
		all = append(all, option{kind: KindRepair, k: k})
	}
	if p.whole != nil {
		all = append(all, option{kind: KindReplace})
	}
	return all
}

// oneStep is the cost of an action followed by the sequence.
func (l *looker) oneStep(w []float64, o option, coarse bool) float64 {
	mass := sum(w)
	switch o.kind {
	case KindTest:
		t := &l.p.tests[o.k]
		total := mass * t.effort.cost
		after := l.spare
		rows := t.rows
		if coarse {
			rows = t.coarse
		}
		l.runs += float64(len(rows))
		for _, row := range rows {
			for i, p := range row {
				after[i] = p * w[i]
			}
			total += l.seq.cost(after, l.used)
		}
		return total
	case KindRepair:
		k := &l.p.repairs[o.k]
		after := l.spare
		copy(after, w)
		k.apply(&l.p.sets, after)
		l.used[o.k] = true
		l.runs++
		total := mass*k.effort.cost + l.seq.cost(after, l.used)
		l.used[o.k] = false
		return total
	}
	return l.p.wholeCost(mass)
}

// twoSteps is the cost of an action, each outcome followed by the best action
// then, also given, and the sequence.
func (l *looker) twoSteps(w []float64, o option) (cost float64, then []option) {
	cost = sum(w) * l.p.effortOf(o).cost
	l.after(w, o, func(_ int, after []float64) {
		if l.ctx.Err() != nil {
			return // the caller says so
		}
		best, c := l.bestThen(after)
		cost += c
		then = append(then, best)
	})
	return cost, then
}

// after calls then with the weights of each outcome of an action.
func (l *looker) after(w []float64, o option, then func(outcome int, after []float64)) {
	after := make([]float64, len(w))
	if o.kind == KindRepair {
		copy(after, w)
		l.p.repairs[o.k].apply(&l.p.sets, after)
		l.used[o.k] = true
		then(0, after)
		l.used[o.k] = false
		return
	}
	t := &l.p.tests[o.k]
	l.tested[o.k] = !t.again
	for out := range t.rows {
		t.weigh(after, w, out)
		then(out, after)
	}
	l.tested[o.k] = false
}

// bestThen is the best second action with its cost; an option of no kind stands
// for the sequence.
func (l *looker) bestThen(w []float64) (option, float64) {
	best, cost := option{}, l.seq.cost(w, l.used)
	l.runs++
	floor := l.p.bound(w)
	mass := sum(w)
	tries := 0
	for _, o := range l.inner {
		if !l.open(o) || mass*l.p.effortOf(o).cost+l.floorAfter(o, floor) >= cost {
			continue
		}
		if tries++; tries > l.wide {
			break
		}
		if c := l.oneStep(w, o, true); c < cost {
			best, cost = o, c
		}
	}
	return best, cost
}

// floorAfter is a bound on the cost after an action: what a test leaves as it
// is; a repair may have cured.
func (l *looker) floorAfter(o option, floor float64) float64 {
	if o.kind == KindTest {
		return floor
	}
	return 0
}

func (l *looker) open(o option) bool {
	switch o.kind {
	case KindTest:
		return !l.tested[o.k]
	case KindRepair:
		return !l.used[o.k]
	}
	return false
}

func (p *problem) effortOf(o option) effort {
	switch o.kind {
	case KindTest:
		return p.tests[o.k].effort
	case KindRepair:
		return p.repairs[o.k].effort
	case KindReplace:
		return *p.whole
	}
	return effort{}
}

func (l *looker) withoutTests(w []float64) (float64, error) {
	best := l.seq.cost(w, l.used)
	for k := range l.p.repairs {
		best = min(best, l.oneStep(w, option{kind: KindRepair, k: k}, false))
	}
	return best, nil
}

// strategyOf is the plan behind an option's cost.
func (l *looker) strategyOf(w []float64, o option) *strategy {
	if o.kind == KindReplace {
		return l.p.buy()
	}
	s := &strategy{kind: o.kind, k: o.k}
	chosen := l.deep[option{kind: o.kind, k: o.k}]
	l.after(w, o, func(outcome int, after []float64) {
		var then option
		if chosen != nil {
			then = chosen[outcome]
		}
		s.next = append(s.next, l.tail(after, then))
	})
	return s
}

// tail is the plan of one action followed by the sequence.
func (l *looker) tail(w []float64, o option) *strategy {
	if o.kind == "" {
		return l.p.chain(l.seq.order(w, l.used))
	}
	s := &strategy{kind: o.kind, k: o.k}
	if o.kind == KindTest {
		l.coarseTail(w, o, s)
		return s
	}
	l.after(w, o, func(_ int, after []float64) {
		s.next = append(s.next, l.p.chain(l.seq.order(after, l.used)))
	})
	return s
}

// coarseTail plans a test of the second step by its joined bands.
func (l *looker) coarseTail(w []float64, o option, s *strategy) {
	t := &l.p.tests[o.k]
	after := make([]float64, len(w))
	per := len(t.rows) / len(t.coarse)
	for _, row := range t.coarse {
		for i, p := range row {
			after[i] = p * w[i]
		}
		then := l.p.chain(l.seq.order(after, l.used))
		for range per {
			s.next = append(s.next, then)
		}
	}
}
