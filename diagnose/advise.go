package diagnose

import (
	"context"

	"wreckwright/working"
)

// Advise says what to do next. The error is a [*Mistake] where the case cannot
// be, else the context's.
func Advise(ctx context.Context, c Case) (Advice, error) {
	b, err := believe(c)
	if err != nil {
		return Advice{}, err
	}
	a := Advice{Currency: c.Currency, Posterior: c.byID(b.sets.marginal(b.weight)), Method: Exact, Ranked: []Action{}, Flips: []Flip{}, Working: working.Working{}}
	a.Surprise = b.surpriseWords()
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
	s, err := solve(ctx, c, b)
	if err != nil {
		return err
	}
	a.Method = s.method
	for _, o := range s.options {
		a.Ranked = append(a.Ranked, s.action(o))
	}
	if s.stuck() {
		a.Next = Action{Kind: KindNothing}
		a.Cautions = append(a.Cautions, nothingLeft)
		return nil
	}
	a.Next = a.Ranked[0]
	a.ExpectedCost = a.Next.ExpectedCost
	next := s.account(0)
	a.Cautions = s.cautions(next)
	a.ExpectedMoney, a.ExpectedMinutes, a.ChanceReplaceAll = next.money, next.minutes, min(1, next.whole)
	a.LowerBound = s.p.bound(b.weight)
	if a.PerfectInformation, err = s.perfectInformation(); err != nil {
		return err
	}
	a.fillSaving()
	a.Working = s.working(next, a)
	a.Flips, err = s.flips(ctx)
	return err
}
