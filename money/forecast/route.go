package forecast

import (
	"context"
	"fmt"

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
