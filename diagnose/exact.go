package diagnose

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
)

// What the exact solver takes on: more, and the look-ahead is used.
const (
	exactWork    = 200e6 // multiplications, about: some seconds at most
	severalWork  = 100e6 // with several faults, where it is not known before whether it is enough
	exactWanted  = 50e6  // as many bands are used as keep it below this
	exactActions = 26
	exactTried   = 12
	rounding     = 1e-12 // a cost is below a limit only if it is so by more than this share
	exactRepeats = 3     // how often a repeatable test is weighed at first
	mostRepeats  = 96
	repeatsGap   = 1e-6 // a share of the cost: what more repetitions may be worth at most
	bandsOfSome  = 48
	tableWanted  = 250e6 // as exactWanted, of a table
)

// errTooLarge says that the exact solver has come to its limit.
var errTooLarge = errors.New("the case is too large to be solved exactly")

// exact solves a problem by dynamic programming over the states of the evidence:
// which tests came out how and which repairs did not cure. States are told apart
// by their beliefs and by what can still be done.
//
// ref: TROUBLESHOOT_PROBLEMS P0 to P5, cost by first action
type exact struct {
	ctx     context.Context
	p       *problem
	seq     *sequencer
	copies  []int  // the problem's test behind each test bit
	last    uint64 // bits of the last repetitions
	bounds  bool   // after a last repetition the faults count as known
	memo    map[state]verdict
	floors  map[uint64]*floors // by the repairs left
	known   map[uint64][]float64
	plans   map[state]*strategy
	used    []bool
	work    float64
	stack   [][]float64 // scratch weights by depth
	order   [][]move
	atLeast [][]float64 // what each outcome costs at least, by depth
}

// state is what can still be done and the belief, as a digest.
type state [2]uint64

// verdict is the least cost from a state and what to do in it. Where it is not
// known that well, the least cost is no less than cost.
type verdict struct {
	cost   float64
	k      int16
	repair bool // else a test
	acts   bool // else the sequence is best
	known  bool
}

// then is the move of a verdict.
func (v verdict) then() move {
	if v.repair {
		return move{kind: KindRepair, k: int(v.k)}
	}
	return move{kind: KindTest, k: int(v.k)}
}

type move struct {
	kind  Kind
	k     int // bit of the test or repair
	floor float64
}

func newExact(ctx context.Context, p *problem, repeats int) *exact {
	e := &exact{
		ctx: ctx, p: p, seq: newSequencer(p), memo: map[state]verdict{}, floors: map[uint64]*floors{}, known: map[uint64][]float64{},
		plans: map[state]*strategy{}, used: make([]bool, len(p.repairs)),
	}
	for k := range p.tests {
		n := 1
		if p.tests[k].again {
			n = repeats
		}
		for range n {
			e.copies = append(e.copies, k)
		}
		if p.tests[k].again {
			e.last |= 1 << (len(e.copies) - 1)
		}
	}
	return e
}

// takesOn reports whether a problem is worth a try: twelve tests and repairs
// always, more where it is small enough even if no state can be left out. It
// counts with several faults whether a test came before or after a repair, so that
// the states may be more than thought; solve gives up then.
func (e *exact) takesOn() bool {
	n := len(e.copies) + len(e.p.repairs)
	if n <= exactTried || n > exactActions {
		return n <= exactTried
	}
	states := math.Pow(2, float64(len(e.p.repairs)))
	for _, k := range e.copies {
		states *= float64(len(e.p.tests[k].rows) + 1)
	}
	return states*e.perState() <= e.budget()
}

func (e *exact) budget() float64 {
	if len(e.p.sets.members) > len(e.p.sets.having) {
		return severalWork
	}
	return exactWork
}

// perState is about how many multiplications a state takes.
func (e *exact) perState() float64 {
	return float64((len(e.p.sets.members) + 8) * (len(e.copies) + len(e.p.repairs) + 1))
}

// solve is the cost of every action now, cheapest first.
func (e *exact) solve(w []float64) ([]option, error) {
	tests, repairs := uint64(1)<<len(e.copies)-1, uint64(1)<<len(e.p.repairs)-1
	var all []option
	for _, o := range e.p.actions() {
		m := move{kind: o.kind, k: o.k}
		if o.kind == KindTest {
			m.k = slices.Index(e.copies, o.k)
		}
		cost, err := e.cost(w, m, tests, repairs, 0, math.Inf(1))
		if err != nil {
			return nil, err
		}
		o.cost = cost
		all = append(all, o)
	}
	sortOptions(all)
	return all, nil
}

// cost is the expected cost of a move and the best afterwards, for weights of
// sum 1. It gives up once the cost cannot come below limit, with a figure that is
// no less.
func (e *exact) cost(w []float64, m move, tests, repairs uint64, depth int, limit float64) (float64, error) {
	after := e.scratch(depth)
	switch m.kind {
	case KindTest:
		return e.testCost(w, m.k, tests, repairs, depth, limit)
	case KindRepair:
		k := &e.p.repairs[m.k]
		copy(after, w)
		k.apply(&e.p.sets, after)
		c, err := e.least(after, tests, repairs&^(1<<m.k), depth+1, limit-k.effort.cost)
		return k.effort.cost + c, err
	}
	return e.p.wholeCost(1), nil
}

// testCost looks at the least that each outcome can cost first: together they may
// be too much already.
func (e *exact) testCost(w []float64, bit int, tests, repairs uint64, depth int, limit float64) (float64, error) {
	after := e.scratch(depth)
	l := &e.p.tests[e.copies[bit]]
	tests &^= 1 << bit
	f := e.floorsAt(repairs)
	cheapest := e.cheapest(tests)
	total, rest := l.effort.cost, 0.0
	least := e.atLeast[depth][:0]
	for o := range l.rows {
		l.weigh(after, w, o)
		x := f.least(after, cheapest)
		least = append(least, x)
		rest += x
	}
	e.atLeast[depth] = least
	e.work += float64(len(l.rows) * len(w) * (len(f.after) + 2))
	for o := range l.rows {
		if total+rest >= limit {
			break
		}
		l.weigh(after, w, o)
		rest -= least[o]
		c, err := e.least(after, tests, repairs, depth+1, limit-total-rest)
		if err != nil {
			return 0, err
		}
		total += c
	}
	return total + max(0, rest), nil
}

func (e *exact) scratch(depth int) []float64 {
	for len(e.stack) <= depth {
		e.stack = append(e.stack, make([]float64, len(e.p.sets.members)))
		e.order = append(e.order, nil)
		e.atLeast = append(e.atLeast, nil)
	}
	return e.stack[depth]
}

// least is the least expected cost from weights w, which it scales to sum 1,
// times their sum; where that is limit or more, only a figure that is no less.
func (e *exact) least(w []float64, tests, repairs uint64, depth int, limit float64) (float64, error) {
	mass := sum(w)
	if mass <= 0 {
		return 0, nil
	}
	for i := range w {
		w[i] /= mass
	}
	if e.bounds && e.last&^tests != 0 {
		return dot(e.floorsAt(repairs).known, w) * mass, nil
	}
	limit /= mass
	key := digest(w, tests, repairs)
	if v, ok := e.memo[key]; ok && (v.known || v.cost >= limit*(1-rounding)) {
		return v.cost * mass, nil
	}
	v, err := e.judge(w, tests, repairs, depth, limit)
	if err != nil {
		return 0, err
	}
	e.memo[key] = v
	return v.cost * mass, nil
}

// judge finds the best move from a state. The sequence without tests is a plan,
// and a move whose floor is no lower cannot be better. Where nothing can come
// below limit, the state is left unsolved; else it is solved wholly, so that no
// state is solved twice.
func (e *exact) judge(w []float64, tests, repairs uint64, depth int, limit float64) (verdict, error) {
	if err := e.spend(); err != nil {
		return verdict{}, err
	}
	best := verdict{cost: e.seq.cost(w, e.usedOf(repairs)), known: true}
	moves := e.moves(w, tests, repairs, depth)
	if len(moves) > 0 && best.cost > limit && moves[0].floor > limit {
		return verdict{cost: min(best.cost, moves[0].floor)}, nil
	}
	for _, m := range moves {
		if m.floor >= best.cost {
			break
		}
		cost, err := e.cost(w, m, tests, repairs, depth, best.cost)
		if err != nil {
			return verdict{}, err
		}
		if cost < best.cost*(1-rounding) {
			best = verdict{cost: cost, k: int16(m.k), repair: m.kind == KindRepair, acts: true, known: true}
		}
	}
	return best, nil
}

// spend counts the work and stops when it is too much or no longer wanted.
func (e *exact) spend() error {
	e.work += e.perState()
	if e.work > e.budget() {
		return errTooLarge
	}
	if len(e.memo)%256 == 0 {
		return e.ctx.Err()
	}
	return nil
}

func (e *exact) usedOf(repairs uint64) []bool {
	for k := range e.used {
		e.used[k] = repairs>>k&1 == 0
	}
	return e.used
}

// moves is every test and repair that can be done, by the bound on its cost.
func (e *exact) moves(w []float64, tests, repairs uint64, depth int) []move {
	e.scratch(depth)
	all := e.order[depth][:0]
	f := e.floorsAt(repairs)
	floor := dot(f.known, w)
	for k, t := range e.copies {
		if tests>>k&1 == 0 || (k > 0 && e.copies[k-1] == t && tests>>(k-1)&1 == 1) {
			continue // done, or a repetition before its turn
		}
		all = append(all, move{kind: KindTest, k: k, floor: e.p.tests[t].effort.cost + floor})
	}
	for i, k := range f.repairs {
		if e.p.repairs[k].touches(&e.p.sets, w) > 0 {
			all = append(all, move{kind: KindRepair, k: k, floor: dot(f.after[i], w)})
		}
	}
	slices.SortStableFunc(all, func(a, b move) int { return cmp.Compare(a.floor, b.floor) })
	e.order[depth] = all
	return all
}

func (e *exact) withoutTests(w []float64) (float64, error) {
	return e.least(slices.Clone(w), 0, uint64(1)<<len(e.p.repairs)-1, 0, math.Inf(1))
}

// digest names a state: weights closer than 1e-12 count as the same.
func digest(w []float64, tests, repairs uint64) state {
	h := state{0x9e3779b97f4a7c15 ^ tests*0xbf58476d1ce4e5b9, 0xc2b2ae3d27d4eb4f ^ repairs*0x94d049bb133111eb}
	h[0] += repairs * 0xd6e8feb86659fd93
	h[1] += tests * 0xa0761d6478bd642f
	for _, x := range w {
		v := uint64(math.Round(x * 1e12))
		h[0] = (h[0] ^ v) * 0xff51afd7ed558ccd
		h[0] ^= h[0] >> 32
		h[1] = (h[1] ^ (v + 0x165667b19e3779f9)) * 0xc4ceb9fe1a85ec53
		h[1] ^= h[1] >> 29
	}
	return h
}
