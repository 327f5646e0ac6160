package diagnose

import (
	"context"

	"wreckwright/working"
)

// Advise says what to do next. The error is a [*Mistake] where the case cannot
// be, else the context's.
func Advise(ctx context.Context, c Case) (Advice, error) {
	a, _, err := advise(ctx, &c)
	return a, err
}

// Consult is [Advise] and [Explain] in one, for half the work.
func Consult(ctx context.Context, c Case) (Advice, Reason, error) {
	a, s, err := advise(ctx, &c)
	if err != nil || a.Next.Kind == KindDone || a.Next.Kind == KindNothing {
		return a, Reason{Action: a.Next}, err
	}
	r, err := s.reason(ctx)
	return a, r, err
}

// advise gives the solution beside the advice; nil where it is done.
func advise(ctx context.Context, c *Case) (Advice, *solution, error) {
	b, err := believe(*c)
	if err != nil {
		return Advice{}, nil, err
	}
	a := Advice{
		Currency: c.Currency, Posterior: c.byID(b.sets.marginal(b.weight)), Method: Exact,
		Ranked: []Action{}, Flips: []Flip{}, Working: working.Working{}, Surprise: b.surpriseWords(),
	}
	if c.ReplaceAll != nil {
		whole := c.effort(c.ReplaceAll.Cost, c.ReplaceAll.Minutes).cost
		a.ReplaceAllCost = &whole
	}
	if b.cured {
		a.Next = Action{Kind: KindDone}
		a.fillSaving()
		if c.Evidence[len(c.Evidence)-1].Repair == WholeUnit {
			*a.ExpectedSaving = 0 // it was bought
		}
		return a, nil, nil
	}
	s, err := solve(ctx, c, b)
	if err != nil {
		return Advice{}, nil, err
	}
	return a, s, a.plan(ctx, s)
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
func (a *Advice) plan(ctx context.Context, s *solution) (err error) {
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
	a.LowerBound = s.p.bound(s.b.weight)
	if a.PerfectInformation, err = s.perfectInformation(); err != nil {
		return err
	}
	a.fillSaving()
	a.Working = s.working(next, a)
	a.Flips, err = s.flips(ctx)
	return err
}
