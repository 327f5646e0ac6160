package forecast

import (
	"context"
	"fmt"

	"wreckwright/uncertain"
	"wreckwright/working"
)

// RouteFigures is what one route of a job would come to.
type RouteFigures struct {
	Money   Summary // cost, own hours at their worth, fallback counted
	Hours   Summary
	Working working.Working
}

// Route works out one route of a job, given as the job that would take it, with
// the settings of the case: currency, worth of an hour, own bias, trials, seed.
// The figures are those that the job would have within a forecast of the case
// (a route of the same key has the same luck), so routes can be laid side by
// side. It fails as [Run] does.
func (c Case) Route(ctx context.Context, job Job) (RouteFigures, error) {
	alone := c
	alone.Jobs, alone.Hidden, alone.Ceiling, alone.Spent = []Job{job}, nil, nil, 0
	r, err := Run(ctx, alone)
	if err != nil {
		return RouteFigures{}, fmt.Errorf("route of %q: %w", job.Name, err)
	}
	return RouteFigures{Money: r.Remaining, Hours: r.Hours, Working: c.explainRoute(job, r)}, nil
}

func (c Case) explainRoute(job Job, r Result) working.Working {
	var w working.Working
	const source = "DESIGN_RANGE"
	cost := job.Cost.Curve().MeanCut()
	w.Add("cost, mean of its range", "mean of the distribution through low, likely, high", cost, c.Currency, source)
	if job.Hours != nil {
		w.Add("own hours, mean of their range", "mean of the distribution through low, likely, high", job.Hours.Curve().MeanCut(), "h", source)
	}
	if job.Fallback != nil && job.Works != nil {
		w.Add("chance that the route fails", "1 - works", 1-*job.Works, "", "own estimate")
		w.Add("fallback, paid on top", "mean of its range", job.Fallback.Cost.Curve().MeanCut(), c.Currency, source)
	}
	w.Add("own bias: shift", "learnt from closed jobs", r.Bias.Shift, "sd", "DESIGN_BIAS")
	w.Add("own bias: spread", "learnt from closed jobs", r.Bias.Spread, "", "DESIGN_BIAS")
	w.Add("expected money", jobFormula(job, c.HourValue)+", moved and widened by the own bias", r.Remaining.Mean, c.Currency, "DESIGN_FORECAST")
	w.Add("expected own hours", "failure counted", r.Hours.Mean, "h", "DESIGN_FORECAST")
	return w
}

// Trial is the choice to try a repair before replacing, in expected money.
type Trial struct {
	Repair      float64 // cost of the repair
	Replacement float64 // cost of replacing at once
	LostWork    float64 // cost of work done twice where the repair fails
	Fails       float64 // chance that the repair fails
}

// TrialFigures is the answer: try first where Fails is below BreakEven.
type TrialFigures struct {
	Expected  float64 // trying first
	BreakEven float64 // the chance of failing at which both cost the same
	TryFirst  bool
	Working   working.Working
}

// Weigh works out whether trying first pays, by expected money alone. It fails
// with an [*InputError] where a figure cannot be.
//
// ref: DESIGN_ROUTES
// (E = r + p (n + w) against n; p* = (n - r)/(n + w))
func (t Trial) Weigh(currency string) (TrialFigures, error) {
	for _, k := range []struct {
		where string
		value float64
		bound uncertain.Bounds
	}{
		{"repair", t.Repair, uncertain.MoneyBounds},
		{"replacement", t.Replacement, uncertain.MoneyBounds},
		{"work lost", t.LostWork, uncertain.MoneyBounds},
		{"chance of failing", t.Fails, uncertain.ChanceBounds},
	} {
		if err := k.bound.Check(k.value); err != nil {
			return TrialFigures{}, &InputError{k.where, err}
		}
	}
	f := TrialFigures{
		Expected:  t.Repair + t.Fails*(t.Replacement+t.LostWork),
		BreakEven: uncertain.BreakEven(t.Repair, t.Replacement, t.LostWork),
	}
	f.TryFirst = f.Expected < t.Replacement
	f.Working.Add("repair first, expected", "r + p (n + w)", f.Expected, currency, "DESIGN_ROUTES")
	f.Working.Add("replace at once", "n", t.Replacement, currency, "own estimate")
	f.Working.Add("break-even chance of failing", "(n - r)/(n + w), within 0..1", f.BreakEven, "", "DESIGN_ROUTES")
	return f, nil
}
