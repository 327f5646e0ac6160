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
	bands   int      // that a reading was cut into
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
	return solveAhead(ctx, c, b)
}

// bandings are the numbers of bands that a reading may be cut into; the first is
// what is tried. The loss falls with the square of the number; in the reference's
// problem it is 0.34 % at the first and 0.002 % at the last.
var bandings = []int{12, 24, 48, 96, 240}

// solveExactly solves with as many bands as are affordable: the work grows with
// their number to the power of the measured tests.
func solveExactly(ctx context.Context, c *Case, b *belief) (*solution, error) {
	measured := c.openMeasured(b)
	s, err := solveBanded(ctx, c, b, bandings[0], nil)
	if err != nil || measured == 0 {
		return s, err
	}
	for _, bands := range slices.Backward(bandings[1:]) {
		if s.work*math.Pow(float64(bands)/float64(bandings[0]), float64(measured)) > exactWanted {
			continue
		}
		finer, err := solveBanded(ctx, c, b, bands, nil)
		if errors.Is(err, errTooLarge) {
			continue
		}
		return finer, err
	}
	return s, nil
}

func solveBanded(ctx context.Context, c *Case, b *belief, bands int, like *problem) (*solution, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	e := newExact(ctx, newProblem(c, b, bands, like))
	if !e.takesOn() {
		return nil, errTooLarge
	}
	options, err := e.solve(b.weight)
	if err != nil {
		return nil, err
	}
	return &solution{c: c, b: b, p: e.p, by: e, method: Exact, options: options, work: e.work, bands: bands}, nil
}

func solveAhead(ctx context.Context, c *Case, b *belief) (*solution, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p := newProblem(c, b, lookBands, nil)
	l := newLooker(p)
	options, err := l.solve(b.weight)
	return &solution{c: c, b: b, p: p, by: l, method: LookAhead, options: options, bands: lookBands}, err
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
