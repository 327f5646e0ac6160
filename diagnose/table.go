package diagnose

import (
	"context"
	"math"
	"math/bits"
	"runtime"
	"sync"
	"sync/atomic"
)

// tableStates bounds the states of a table: eight bytes each. axisFigures bounds
// the figures kept for what may be known of one test, which are many where it is
// repeated often.
const (
	tableStates = 1 << 24
	axisFigures = 1 << 20
)

// table solves a problem with one fault at a time by dynamic programming over
// every state of the evidence at once: which outcome each test had and which
// repairs did not cure. The order in which they came does not matter, so the
// states can be numbered, and each is worked out once, after all that can follow
// it. Costs are kept times the chance of getting there.
//
// ref: TROUBLESHOOT_PROBLEMS P0 to P5, cost by first action
type table struct {
	ctx    context.Context
	p      *problem
	axes   []axis
	inner  int       // states of the tests
	value  []float64 // [repairs that did not cure][state of the tests]
	prior  []float64
	known  [][]float64 // by repairs that did not cure; for a bound only
	bounds bool        // a repeatable test's last state counts as knowing the fault
	plans  map[int]*strategy
}

// newTable numbers the states; nil: there are too many.
func newTable(ctx context.Context, p *problem, repeats int) *table {
	t := &table{ctx: ctx, p: p, inner: 1, plans: map[int]*strategy{}}
	if len(p.repairs) > 24 {
		return nil
	}
	most := tableStates >> len(p.repairs)
	for k := range p.tests {
		times := 1
		if p.tests[k].again {
			times = repeats
		}
		states := axisStates(len(p.tests[k].rows), times)
		if states*(len(p.sets.members)+2*len(p.tests[k].rows)) > axisFigures {
			return nil
		}
		if t.inner *= states; t.inner > most {
			return nil
		}
	}
	stride := t.inner
	for k := range p.tests {
		times := 1
		if p.tests[k].again {
			times = repeats
		}
		a := newAxis(&p.tests[k], k, times)
		stride /= len(a.rows)
		a.stride = stride
		t.axes = append(t.axes, a)
	}
	return t
}

// axisStates is how many counts of so many outcomes come to at most times.
func axisStates(outcomes, times int) int {
	n := 1.0
	for i := range times {
		n = n * float64(outcomes+i+1) / float64(i+1)
		if n > 2*tableStates {
			return 2 * tableStates
		}
	}
	return int(math.Round(n))
}

func (t *table) states() int { return t.inner << len(t.p.repairs) }

// work is about how many multiplications and look-ups a solution takes.
func (t *table) work() float64 {
	return float64(t.states()) * float64(len(t.p.sets.members)+len(t.axes)+len(t.p.repairs)/2+2)
}

// fill works out every state, those with more repairs done first; states with
// as many are independent of one another.
func (t *table) fill(w []float64) error {
	t.prior = w
	t.value = make([]float64, t.states())
	n := len(t.p.repairs)
	if t.bounds {
		t.known = make([][]float64, 1<<n)
		for done := range t.known {
			t.known[done] = t.p.knownCosts(func(k int) bool { return done>>k&1 == 0 })
		}
	}
	for count := n; count >= 0; count-- {
		if err := t.fillLayer(count); err != nil {
			return err
		}
	}
	return nil
}

func (t *table) fillLayer(count int) error {
	var turn atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			f := newFiller(t)
			for done := int(turn.Add(1)) - 1; done < 1<<len(t.p.repairs); done = int(turn.Add(1)) - 1 {
				if bits.OnesCount(uint(done)) == count && t.ctx.Err() == nil {
					f.fill(done)
				}
			}
		})
	}
	wait.Wait()
	return t.ctx.Err()
}

// filler works out the states with some repairs done.
type filler struct {
	t       *table
	done    int
	w       [][]float64 // by axis: the weights so far
	state   []int
	repairs []filled
}

// filled is a repair that can still be done.
type filled struct {
	cost   float64
	offset int // from a state to the one after it
	fixes  []float64
}

func newFiller(t *table) *filler {
	f := &filler{t: t, state: make([]int, len(t.axes))}
	for range len(t.axes) + 1 {
		f.w = append(f.w, make([]float64, len(t.prior)))
	}
	return f
}

func (f *filler) fill(done int) {
	f.done, f.repairs = done, f.repairs[:0]
	copy(f.w[0], f.t.prior)
	for k := range f.t.p.repairs {
		c := &f.t.p.repairs[k]
		if done>>k&1 == 1 {
			c.apply(&f.t.p.sets, f.w[0])
			continue
		}
		f.repairs = append(f.repairs, filled{cost: c.effort.cost, offset: f.t.inner << k, fixes: c.fixes})
	}
	f.walk(0, done*f.t.inner)
}

// walk goes through the states of an axis and those after it, highest first.
func (f *filler) walk(k, at int) {
	if k == len(f.t.axes) {
		f.t.value[at] = f.least(at, f.w[k])
		return
	}
	a := &f.t.axes[k]
	w, next := f.w[k], f.w[k+1]
	for s := len(a.rows) - 1; s >= 0; s-- {
		if k == 0 && f.t.ctx.Err() != nil {
			return
		}
		any := false
		for i, p := range a.rows[s] {
			next[i] = p * w[i]
			any = any || next[i] > 0
		}
		if any {
			f.state[k] = s
			f.walk(k+1, at+s*a.stride)
		}
	}
}

// least is the least cost from a state with weights w.
func (f *filler) least(at int, w []float64) float64 {
	mass := sum(w)
	best := f.t.p.wholeCost(mass)
	if f.t.bounds && f.t.exhausted(f.state) {
		return dot(f.t.known[f.done], w)
	}
	if f.t.p.whole == nil && !f.curable(w) {
		return 0
	}
	value := f.t.value
	for i := range f.repairs {
		r := &f.repairs[i]
		if f.t.p.whole != nil || touched(r.fixes, w) {
			best = min(best, mass*r.cost+value[at+r.offset])
		}
	}
	for k := range f.t.axes {
		a := &f.t.axes[k]
		s := f.state[k]
		if a.next[s] == nil {
			continue
		}
		total := mass * f.t.p.tests[a.look].effort.cost
		for _, to := range a.next[s] {
			total += value[at+(to-s)*a.stride]
		}
		best = min(best, total)
	}
	return best
}

func (t *table) exhausted(state []int) bool {
	for k := range t.axes {
		if t.axes[k].last[state[k]] {
			return true
		}
	}
	return false
}

func (f *filler) curable(w []float64) bool {
	for i := range f.repairs {
		if touched(f.repairs[i].fixes, w) {
			return true
		}
	}
	return false
}

func touched(fixes, w []float64) bool {
	for i, p := range fixes {
		if p > 0 && w[i] > 0 {
			return true
		}
	}
	return false
}

// solve is the cost of every action now, cheapest first.
func (t *table) solve(w []float64) ([]option, error) {
	if err := t.fill(w); err != nil {
		return nil, err
	}
	all := t.p.actions()
	for i, o := range all {
		all[i].cost = t.cost(o, make([]int, len(t.axes)), 0, 0, w)
	}
	sortOptions(all)
	return all, nil
}

// cost is that of an action in a state, and the best afterwards.
func (t *table) cost(o option, state []int, done, at int, w []float64) float64 {
	mass := sum(w)
	switch o.kind {
	case KindTest:
		a := &t.axes[o.k]
		total := mass * t.p.tests[o.k].effort.cost
		for _, to := range a.next[state[o.k]] {
			total += t.value[at+(to-state[o.k])*a.stride]
		}
		return total
	case KindRepair:
		return mass*t.p.repairs[o.k].effort.cost + t.value[at+t.inner<<o.k]
	}
	return t.p.wholeCost(mass)
}

// withoutTests is the least cost with repairs and the whole unit only.
func (t *table) withoutTests(w []float64) (float64, error) {
	p := *t.p
	p.tests = nil
	bare := newTable(t.ctx, &p, 0)
	if err := bare.fill(w); err != nil {
		return 0, err
	}
	return bare.value[0], nil
}

// strategyOf is the plan behind an option.
func (t *table) strategyOf(w []float64, o option) *strategy {
	return t.plan(o, make([]int, len(t.axes)), 0, 0, w)
}

// plan is an action and what is best after it.
func (t *table) plan(o option, state []int, done, at int, w []float64) *strategy {
	switch o.kind {
	case KindTest:
		a := &t.axes[o.k]
		s := &strategy{kind: KindTest, k: o.k}
		was := state[o.k]
		after := make([]float64, len(w))
		for out, to := range a.next[was] {
			t.p.tests[o.k].weigh(after, w, out)
			state[o.k] = to
			s.next = append(s.next, t.best(state, done, at+(to-was)*a.stride, after))
		}
		state[o.k] = was
		return s
	case KindRepair:
		after := append([]float64{}, w...)
		t.p.repairs[o.k].apply(&t.p.sets, after)
		next := t.best(state, done|1<<o.k, at+t.inner<<o.k, after)
		return &strategy{kind: KindRepair, k: o.k, next: []*strategy{next}}
	}
	return t.p.buy()
}

// best is the best plan from a state; of equal ones a repair or the whole unit
// comes before a test.
func (t *table) best(state []int, done, at int, w []float64) *strategy {
	if s, ok := t.plans[at]; ok {
		return s
	}
	best := option{kind: KindReplace, cost: t.p.wholeCost(sum(w))}
	take := func(o option) {
		if o.cost = t.cost(o, state, done, at, w); o.cost < best.cost*(1-rounding) {
			best = o
		}
	}
	curable := t.p.whole != nil
	for k := range t.p.repairs {
		if done>>k&1 == 0 && touched(t.p.repairs[k].fixes, w) {
			curable = true
			take(option{kind: KindRepair, k: k})
		}
	}
	for k := range t.axes {
		if curable && t.axes[k].next[state[k]] != nil {
			take(option{kind: KindTest, k: k})
		}
	}
	s := t.plan(best, state, done, at, w)
	t.plans[at] = s
	return s
}
