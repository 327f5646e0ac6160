package diagnose

import (
	"context"
	"errors"
	"math"
	"slices"
)

// solution is a case with the cost of every action.
type solution struct {
	c       *Case
	b       *belief
	p       *problem
	by      solver
	method  Method
	options []option // cheapest first
	work    float64  // of the exact solver
	grain   grain
}

// solver finds the cost of every action now and the plan behind one of them.
type solver interface {
	solve(w []float64) ([]option, error)
	strategyOf(w []float64, o option) *strategy
	// withoutTests is the least cost with repairs and the whole unit only.
	withoutTests(w []float64) (float64, error)
}

// solve finds the cost of every action: exactly where the case is small enough,
// else by look-ahead.
func solve(ctx context.Context, c *Case, b *belief) (*solution, error) {
	s, err := solveExactly(ctx, c, b)
	if !errors.Is(err, errTooLarge) {
		return s, err
	}
	return solveLarge(ctx, c, b)
}

// solveLarge looks ahead, and on from there.
func solveLarge(ctx context.Context, c *Case, b *belief) (*solution, error) {
	s, err := solveAhead(ctx, c, b)
	if err != nil {
		return nil, err
	}
	if err := s.grow(ctx); err != nil {
		return nil, err
	}
	s.ignorable()
	return s, nil
}

// grain is how finely a case is cut to be solved exactly.
type grain struct {
	bands   int // of a reading
	repeats int // how often a repeatable test is weighed
}

// bandings are the numbers of bands that a reading may be cut into; the first is
// what is tried. The loss falls with the square of the number; in the reference's
// problem it is 0.34 % at the first and 0.002 % at the last.
//
// Of several measured tests each has no more than bandsOfSome: plans grow with the
// product.
var bandings = []int{12, 16, 24, 32, 48, 96, 240}

// solveExactly solves with as many bands as are affordable: the work grows with
// their number to the power of the measured tests.
func solveExactly(ctx context.Context, c *Case, b *belief) (*solution, error) {
	measured := c.openMeasured(b)
	g := grain{bands: bandings[0], repeats: exactRepeats}
	s, err := solveGrained(ctx, c, b, g, nil)
	if err != nil {
		return nil, err
	}
	if s.repeats() {
		return solveRepeating(ctx, s)
	}
	if measured == 0 {
		return s, nil
	}
	for _, bands := range slices.Backward(bandings[1:]) {
		if measured > 1 && bands > bandsOfSome || s.work*math.Pow(float64(bands)/float64(g.bands), float64(measured)) > s.wanted() {
			continue
		}
		finer, err := solveGrained(ctx, c, b, grain{bands: bands, repeats: exactRepeats}, nil)
		if errors.Is(err, errTooLarge) {
			continue
		}
		return finer, err
	}
	return s, nil
}

// solveRepeating weighs repetitions ever more often, until weighing them without
// end could not make any action cheaper than by repeatsGap: the cost where the
// last repetition is taken to reveal the faults is no more than that.
func solveRepeating(ctx context.Context, s *solution) (*solution, error) {
	for {
		g := s.grain
		bound, err := solveBound(ctx, s.c, s.b, g)
		if err != nil {
			return nil, err
		}
		gap := 0.0
		for _, o := range s.options {
			i := slices.IndexFunc(bound, func(x option) bool { return same(x, o) })
			gap = math.Max(gap, o.cost-bound[i].cost)
		}
		if len(s.options) == 0 || gap <= repeatsGap*s.options[0].cost {
			return s, nil
		}
		if g.repeats *= 2; g.repeats > mostRepeats {
			return nil, errTooLarge
		}
		if s, err = solveGrained(ctx, s.c, s.b, g, nil); err != nil {
			return nil, err
		}
	}
}

// solveBound is the least that every action can cost, with repetitions beyond
// those weighed taken to reveal the faults.
func solveBound(ctx context.Context, c *Case, b *belief, g grain) ([]option, error) {
	p := newProblem(c, b, g.bands, nil)
	if c.most() == 1 {
		t := newTable(ctx, p, g.repeats)
		t.bounds = true
		return t.solve(b.weight)
	}
	e := newExact(ctx, p, g.repeats)
	e.bounds = true
	return e.solve(b.weight)
}

func solveBanded(ctx context.Context, c *Case, b *belief, bands int, like *problem) (*solution, error) {
	return solveGrained(ctx, c, b, grain{bands: bands, repeats: exactRepeats}, like)
}

// solveGrained solves at one grain: one fault at a time in a table, several by
// recursion.
func solveGrained(ctx context.Context, c *Case, b *belief, g grain, like *problem) (*solution, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := &solution{c: c, b: b, p: newProblem(c, b, g.bands, like), method: Exact, grain: g}
	if c.most() == 1 {
		t := newTable(ctx, s.p, g.repeats)
		if t == nil {
			return nil, errTooLarge
		}
		s.by, s.work = t, t.work()
		var err error
		s.options, err = t.solve(b.weight)
		return s, err
	}
	e := newExact(ctx, s.p, g.repeats)
	if !e.takesOn() {
		return nil, errTooLarge
	}
	s.by = e
	var err error
	s.options, err = e.solve(b.weight)
	s.work = e.work
	return s, err
}

// wanted is the work that finer bands may come to.
func (s *solution) wanted() float64 {
	if s.c.most() == 1 {
		return tableWanted
	}
	return exactWanted
}

func solveAhead(ctx context.Context, c *Case, b *belief) (*solution, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p := newProblem(c, b, lookBands, nil)
	l := newLooker(ctx, p)
	options, err := l.solve(b.weight)
	return &solution{c: c, b: b, p: p, by: l, method: LookAhead, options: options, grain: grain{bands: lookBands}}, err
}

// openMeasured counts the measured tests that can still be done.
func (c *Case) openMeasured(b *belief) int {
	n := 0
	for i := range c.Tests {
		if len(c.Tests[i].Measured) > 0 && (b.tested[i] == 0 || c.Tests[i].Repeatable) {
			n++
			if c.Tests[i].Repeatable {
				n += exactRepeats - 1
			}
		}
	}
	return n
}

// account follows the plan behind option i.
func (s *solution) account(i int) *account {
	return s.p.account(s.by.strategyOf(s.b.weight, s.options[i]), s.b.weight)
}

// stuck reports that nothing is left that could cure.
func (s *solution) stuck() bool {
	if s.p.whole != nil {
		return false
	}
	for k := range s.p.repairs {
		if s.p.repairs[k].touches(&s.p.sets, s.b.weight) > 0 {
			return false
		}
	}
	return true
}

// action names an option.
func (s *solution) action(o option) Action {
	a := Action{Kind: o.kind, ID: WholeUnit, ExpectedCost: o.cost}
	switch o.kind {
	case KindTest:
		a.ID = s.c.Tests[s.p.tests[o.k].index].ID
	case KindRepair:
		a.ID = s.c.Repairs[s.p.repairs[o.k].index].ID
	}
	return a
}

// perfectInformation is what knowing the cause beforehand would save one who
// does not test: the most that any test can be worth.
//
// ref: TROUBLESHOOT_PROBLEMS value of perfect information
func (s *solution) perfectInformation() (float64, error) {
	cost, err := s.by.withoutTests(s.b.weight)
	return math.Max(0, cost-s.p.bound(s.b.weight)), err
}
