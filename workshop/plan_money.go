package workshop

import (
	"context"
	"fmt"

	"wreckwright/money/forecast"
	"wreckwright/plan"
	"wreckwright/rebuild"
)

// Overheads is what the days until the finish cost.
type Overheads struct {
	PerDay, Mean float64 // major units
	Days         float64 // until the finish, on average
}

// overheadDraws bounds tasks times trials of the joint simulation.
const overheadDraws = 300_000

// withOverheads adds what the days until the finish cost, trial by trial: the plan
// draws the hours, needs and failures of a job in a trial just as the forecast does
// in that trial, so that a rebuild that gets long gets dear in the same trials. The
// plan is that of the short search, so that the same book gives the same figures.
// Fees for missing a wished date are not in it.
func (w *Workshop) withOverheads(ctx context.Context, r *rebuild.Rebuild, t translation) (translation, *Overheads, error) {
	if r.Timetable().CostPerDay() == 0 {
		return t, nil, nil
	}
	p, err := w.shortPlan(ctx, r)
	if err != nil || p.Why != "" {
		return t, nil, err
	}
	problem := p.Problem
	problem.Trials = min(t.Trials, max(fewestTrials, overheadDraws/len(problem.Tasks)))
	column, err := plan.Finishes(ctx, problem, p.Schedule, p.Policy)
	if err != nil {
		return t, nil, fmt.Errorf("what the days until the finish cost: %w", err)
	}
	days := 0.0
	for k, day := range column {
		days += (day - problem.TodayDay) / float64(len(column))
		column[k] = problem.CostPerDay * max(0, day-problem.TodayDay)
	}
	t.Trials = problem.Trials
	t.Other = append(t.Other, forecast.Other{Name: "days until it is done", ByTrial: column})
	return t, &Overheads{PerDay: problem.CostPerDay, Mean: problem.CostPerDay * days, Days: days}, nil
}

// overheadDay is what an answer depends on besides the version: with running costs
// on the day, for each that passes is paid.
func (w *Workshop) overheadDay(r *rebuild.Rebuild) string {
	if r.Timetable().CostPerDay() == 0 {
		return ""
	}
	return w.today()
}
