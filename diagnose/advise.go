package diagnose

import (
	"context"
	"math"
)

// Advise says what to do next. The error is a [*Mistake] where the case cannot
// be, else the context's.
func Advise(ctx context.Context, c Case) (Advice, error) {
	b, err := believe(c)
	if err != nil {
		return Advice{}, err
	}
	a := Advice{Currency: c.Currency, Posterior: c.byID(b.sets.marginal(b.weight)), Method: Exact, Ranked: []Action{}, Flips: []Flip{}}
	if c.ReplaceAll != nil {
		whole := c.effort(c.ReplaceAll.Cost, c.ReplaceAll.Minutes).cost
		a.ReplaceAllCost = &whole
	}
	if b.cured {
		a.Next = Action{Kind: KindDone}
		a.fillSaving()
		return a, nil
	}
	if err := a.plan(ctx, &c, b); err != nil {
		return Advice{}, err
	}
	return a, nil
}

func (c *Case) byID(perFault []float64) map[string]float64 {
	m := make(map[string]float64, len(perFault))
	for f, p := range perFault {
		m[c.Faults[f].ID] = p
	}
	return m
}

func (a *Advice) fillSaving() {
	if a.ReplaceAllCost != nil {
		saving := *a.ReplaceAllCost - a.ExpectedCost
		a.ExpectedSaving = &saving
	}
}

// plan fills in what to do next and what it comes to.
func (a *Advice) plan(ctx context.Context, c *Case, b *belief) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	p := newProblem(c, b, lookBands)
	l := newLooker(p)
	options := l.options(b.weight)
	a.Method = LookAhead
	for _, o := range options {
		a.Ranked = append(a.Ranked, c.action(p, o))
	}
	if len(options) == 0 || (p.whole == nil && l.seq.byCure() < 0 && l.seq.cost(b.weight, l.used) == 0) {
		a.Next = Action{Kind: KindNothing}
		return nil
	}
	a.Next = a.Ranked[0]
	a.ExpectedCost = a.Next.ExpectedCost
	var t toll
	p.follow(l.strategyOf(b.weight, options[0]), b.weight, &t)
	a.ExpectedMoney, a.ExpectedMinutes, a.ChanceReplaceAll = t.money, t.minutes, math.Min(1, t.whole)
	a.LowerBound = p.bound(b.weight)
	a.PerfectInformation = math.Max(0, l.seq.cost(b.weight, l.used)-a.LowerBound)
	a.fillSaving()
	return nil
}

// action names an option of the problem.
func (c *Case) action(p *problem, o option) Action {
	a := Action{Kind: o.kind, ID: WholeUnit, ExpectedCost: o.cost}
	switch o.kind {
	case KindTest:
		a.ID = c.Tests[p.tests[o.k].index].ID
	case KindRepair:
		a.ID = c.Repairs[p.repairs[o.k].index].ID
	}
	return a
}
