package diagnose

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
	"strings"
)

// What the search for flips may cost.
const (
	flipOptions  = 12   // actions whose plans are compared
	flipWork     = 25e6 // of the exact solver in all
	flipTable    = 3e8  // of tables in all
	flipSolves   = 240
	flipPlans    = 5e9 // work after which no more plans are compared
	partWork     = 200 // of a part of a plan, by set, in the work of a solver
	flipAhead    = 2   // inputs that are solved anew where the look-ahead is used
	flipRounds   = 6
	flipFarthest = 3.0 // a chance whose odds, or an amount that, must move twentyfold is no flip
	flipMost     = 40
	flipFirst    = 10    // of them, before other moves are probed
	flipBeyond   = 1e-5  // how far beyond, as a share of the move, another action is less
	flipLess     = 1e-11 // by this share of the cost
)

// flipper looks for the input that, moved least, changes the next action. The
// cost of a plan is linear in each input, so where two plans cost the same is
// found at once; what is found is solved anew there, and better plans that come
// to light join in, until none does.
//
// ref: TROUBLESHOOT_PROBLEMS what flips the next action
type flipper struct {
	ctx    context.Context
	s      *solution
	own    option
	plans  []planned
	solves int
	work   float64
}

// planned is a plan with the action it begins with.
type planned struct {
	first option
	*account
}

// found is a place where the next action changes.
type found struct {
	in       input
	u        float64
	to       option
	cost     float64 // of either plan there
	distance float64
	way      float64 // of a tie
	sure     bool
}

// flips lists the inputs that change the next action, nearest first.
func (s *solution) flips(ctx context.Context) ([]Flip, error) {
	f := &flipper{ctx: ctx, s: s, own: s.options[0]}
	for i, o := range s.options[:min(len(s.options), flipOptions)] {
		if i > 1 && f.work > flipPlans {
			break
		}
		a := s.account(i)
		f.work += float64(a.parts * len(a.bySet) * partWork)
		f.plans = append(f.plans, planned{first: o, account: a})
	}
	near, blank := f.search()
	first := min(len(near), flipFirst)
	all, err := f.confirm(near[:first])
	if err != nil {
		return nil, err
	}
	probed, err := f.probe(blank)
	if err != nil {
		return nil, err
	}
	rest, err := f.confirm(near[first:])
	if err != nil {
		return nil, err
	}
	all = append(append(all, probed...), rest...)
	sortFound(all)
	out := make([]Flip, 0, len(all))
	for _, at := range all {
		out = append(out, f.flip(at))
	}
	return out, nil
}

// search is where the plans at hand cross, nearest first, and the inputs and
// directions in which they do not.
func (f *flipper) search() (near []found, blank []found) {
	for _, in := range f.s.inputs(f.plans) {
		for side, way := range []float64{1, -1} {
			if at, ok := f.tie(in, way); ok {
				near = append(near, at)
				continue
			}
			at, ok := f.crossing(in, way, f.plans)
			if !ok {
				blank = append(blank, found{in: in, u: in.end[side]})
			} else {
				near = append(near, at)
			}
		}
	}
	sortFound(near)
	return near[:min(len(near), flipMost)], blank
}

// probe solves a small case at the far end of moves along which the plans at hand
// do not cross: another plan may.
func (f *flipper) probe(blank []found) ([]found, error) {
	if f.s.method == LookAhead {
		return nil, nil
	}
	slices.SortStableFunc(blank, func(a, b found) int { return cmp.Compare(a.in.probing(), b.in.probing()) })
	var out []found
	for _, at := range blank {
		if at.u == 0 || !f.afford() || f.work > f.budget()/2 {
			continue
		}
		there, err := f.solveAt(at)
		if err != nil {
			return nil, err
		}
		if there == nil {
			continue
		}
		ours, best := f.compare(there)
		plans := append(slices.Clone(f.plans), f.join(there, ours), f.join(there, best))
		if at.in.bent {
			at.to = best
		} else {
			crossed, ok := f.crossing(at.in, sign(at.u), plans)
			if !ok {
				continue
			}
			at = crossed
		}
		at, keep, err := f.settle(at, plans)
		if err != nil {
			return nil, err
		}
		if keep && at.sure {
			out = append(out, at)
		}
	}
	return out, nil
}

// probing is the order in which inputs are probed: the faults' priors, then
// amounts, then the rest.
func (in input) probing() int {
	switch {
	case strings.HasSuffix(in.name, ".prior"):
		return 0
	case !in.chance:
		return 1
	}
	return 2
}

func sign(x float64) float64 { return math.Copysign(1, x) }

// sortFound sorts by distance; what differs in the last digits only stays in the
// order of the inputs.
func sortFound(all []found) {
	slices.SortStableFunc(all, func(a, b found) int {
		return cmp.Compare(math.Round(a.distance*1e9), math.Round(b.distance*1e9))
	})
}

func same(a, b option) bool { return a.kind == b.kind && (a.k == b.k || a.kind == KindReplace) }

// confirm solves the case anew at each place found, nearest first, while it can
// be afforded.
func (f *flipper) confirm(all []found) ([]found, error) {
	var out []found
	for i, at := range all {
		if f.s.method == LookAhead && i >= flipAhead {
			out = append(out, at)
			continue
		}
		sure, keep, err := f.settle(at, f.plans)
		if err != nil {
			return nil, err
		}
		if keep {
			out = append(out, sure)
		}
	}
	return out, nil
}

func (f *flipper) afford() bool {
	if f.s.method == LookAhead {
		return f.solves < 2*flipAhead
	}
	return f.solves < flipSolves && f.work+f.s.work <= f.budget()
}

func (f *flipper) budget() float64 {
	if _, ok := f.s.by.(*table); ok {
		return flipTable
	}
	return flipWork
}

// settle moves a crossing to where the best plans of both actions cost the same,
// and the other's less a little beyond; keep is false when there is none.
func (f *flipper) settle(at found, plans []planned) (_ found, keep bool, err error) {
	if at.u == 0 {
		return f.settleTie(at)
	}
	if at.in.bent {
		return f.settleBent(at)
	}
	plans = slices.Clone(plans)
	way := sign(at.u)
	beyond := false
	for range flipRounds {
		if !f.afford() {
			return at, true, nil
		}
		there := at
		if beyond {
			there.u *= 1 + flipBeyond
		}
		solved, err := f.solveAt(there)
		if err != nil || solved == nil {
			return at, false, err
		}
		ours, best := f.compare(solved)
		if beyond && best.cost < ours.cost*(1-flipLess) {
			at.sure = true
			return at, true, nil
		}
		plans = append(plans, f.join(solved, ours), f.join(solved, best))
		next, ok := f.crossing(at.in, way, plans)
		if !ok {
			return at, false, nil
		}
		still := math.Abs(next.u-at.u) <= 1e-9*math.Abs(at.u) || !beyond && math.Abs(ours.cost-best.cost) <= 1e-9*math.Abs(ours.cost)
		if still && beyond {
			return at, false, nil // they only touch
		}
		if still && f.s.method == LookAhead {
			next.sure = true
			return next, true, nil
		}
		if !still {
			at = next
		}
		beyond = still
	}
	return at, true, nil
}

// solveAt solves the case with the input moved, a large one for the two actions
// only; nil: it cannot be there.
func (f *flipper) solveAt(at found) (*solution, error) {
	c := f.s.c.clone()
	at.in.set(&c, at.in.value(at.u))
	f.solves++
	b, err := c.believeOn(f.s.b.sets)
	var ruledOut *Mistake
	if errors.As(err, &ruledOut) {
		return nil, nil // by the evidence, at the edge of what the input may be
	}
	if f.s.method == LookAhead {
		l := newLooker(f.ctx, newProblem(&c, b, f.s.grain.bands, f.s.p))
		options := l.some(b.weight, []option{f.own, at.to}, f.s.options)
		return &solution{c: &c, b: b, p: l.p, by: l, options: options}, f.ctx.Err()
	}
	there, err := solveGrained(f.ctx, &c, b, f.s.grain, f.s.p)
	if errors.Is(err, errTooLarge) {
		return nil, nil
	}
	if err == nil {
		f.work += there.work
	}
	return there, err
}

// compare is the present action and the best of the others, as solved there. What
// costs the same now counts only where it is less there.
func (f *flipper) compare(there *solution) (ours, best option) {
	for _, o := range there.options {
		if same(o, f.own) {
			ours = o
		}
	}
	best.cost = math.Inf(1)
	for _, o := range there.options {
		if !same(o, f.own) && o.cost < best.cost && (f.differs(o) || o.cost < ours.cost*(1-1e-9)) {
			best = o
		}
	}
	return ours, best
}

// differs reports whether an action costs more than the next one now.
func (f *flipper) differs(o option) bool {
	for _, now := range f.s.options {
		if same(now, o) {
			return now.cost > f.own.cost*(1+1e-9)
		}
	}
	return false
}

// join takes the plan of an option that was solved elsewhere into account here.
func (f *flipper) join(there *solution, o option) planned {
	first := o
	for _, now := range f.s.options {
		if same(now, o) {
			first.cost = now.cost
		}
	}
	a := f.s.p.account(there.by.strategyOf(there.b.weight, o), f.s.b.weight)
	f.work += float64(a.parts * len(a.bySet) * partWork)
	return planned{first: first, account: a}
}

func (f *flipper) flip(at found) Flip {
	to := f.s.action(at.to)
	to.ExpectedCost = at.cost
	beyond := Above
	if at.u < 0 || at.u == 0 && at.way < 0 {
		beyond = Below
	}
	return Flip{Input: at.in.name, Now: at.in.now, FlipsAt: at.in.value(at.u), Beyond: beyond, To: to, Approximate: !at.sure}
}
