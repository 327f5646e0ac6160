package plan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"wreckwright/uncertain"
	"wreckwright/working"
)

// Run arranges the work and plays it: the whole answer. Once there is a
// schedule, a context that ends is no failure: the search stops early, and the
// trials are played all the same with as many as asked for. So give the search
// its own time with searchCtx.
func Run(ctx, searchCtx context.Context, p Problem, search Search) (Result, error) {
	schedule, err := Arrange(searchCtx, p, search)
	if err != nil {
		return Result{}, err
	}
	doubt, err := Simulate(ctx, p, schedule, "")
	if err != nil {
		return Result{}, fmt.Errorf("plan: %w", err)
	}
	r := Result{Schedule: schedule, Doubt: doubt, Currency: p.Currency}
	r.Reached = slices.Clone(r.Reached)
	for k := range r.Reached {
		r.Reached[k].Quantiles = doubt.Milestones[k]
		if c := doubt.Chances[k]; !math.IsNaN(c) {
			e := uncertain.ChanceError(c, doubt.Trials)
			r.Reached[k].ChanceBy, r.Reached[k].StandardError = &c, &e
		}
	}
	r.Cautions = cautions(p, r)
	r.Working = explain(p, r)
	return r, nil
}

// cautions are what makes the plan less sure than it looks.
func cautions(p Problem, r Result) []string {
	out := []string{}
	if r.Search.Stopped == "time" {
		out = append(out, fmt.Sprintf("time ended the search after %d of %d schedules: another run may find another order", r.Search.Schedules, r.Search.Budget))
	}
	certain := !slices.ContainsFunc(p.Tasks, func(t Task) bool { return !t.sure() })
	if certain {
		out = append(out, "every length is one plain number, so that the chances say nothing of doubt; give low, likely and high")
	} else if r.ChanceOnPlan < 0.3 {
		out = append(out, fmt.Sprintf("the finish of the schedule is kept with a chance of %.0f %% only: it takes every length at its likely value, and where ways meet the latest of them counts", 100*r.ChanceOnPlan))
	}
	for _, x := range r.Reached {
		if x.LateDays > rounding {
			out = append(out, fmt.Sprintf("%s is reached on %s and not by the morning of %s, even if everything takes its likely time", x.ID, x.Date, x.ByDate))
		}
	}
	return out
}

// explain is the working.
func explain(p Problem, r Result) working.Working {
	var w working.Working
	for _, b := range r.Bounds {
		w.Add("no earlier than, by "+b.Name, boundFormula(b.Name), b.Day, "days", "DESIGN_PLAN")
	}
	w.Add("finish of the schedule", fmt.Sprintf("last end; best of %d schedules, seed %d", r.Search.Schedules, p.Seed), r.FinishDay, "days", "DESIGN_PLAN")
	if r.LowerBound > 0 {
		w.Add("at most above the best possible", "finish/lower bound - 1", r.FinishDay/r.LowerBound-1, "", "DESIGN_PLAN")
	}
	if p.hoursPerWeek() > 0 {
		w.Add("hours in a day of own work", "hours of a week/7", p.hoursPerWeek()/7, "h", "DESIGN_PLAN")
	}
	if p.Correlation > 0 {
		w.Add("correlation of the lengths of own work", "Z = sqrt(rho) F + sqrt(1 - rho) e", p.Correlation, "", "DESIGN_DEPENDENCE")
	}
	for _, q := range []struct {
		name string
		day  float64
	}{{"mean", r.Finish.Mean}, {"standard deviation", r.Finish.SD}} {
		w.Add("finish, "+q.name, fmt.Sprintf("over %d trials played by the policy %q", r.Trials, r.Policy), q.day, "days", "DESIGN_PLAN")
	}
	for _, q := range []struct {
		name string
		day  float64
	}{{"10 %", r.Finish.P10}, {"50 %", r.Finish.P50}, {"80 %", r.Finish.P80}, {"90 %", r.Finish.P90}} {
		w.Add("finish, "+q.name+" point", "the ceil(p n)-th earliest finish of the trials", q.day, "days", "HYNDMAN_FAN_1996 definition 1")
	}
	for _, x := range r.Reached {
		if x.ChanceBy != nil {
			w.Add("chance of "+x.ID+" by "+x.ByDate, fmt.Sprintf("share of trials that reach it by the morning of day %s", number(*x.ByDay)), *x.ChanceBy, "", "DESIGN_PLAN")
		}
	}
	return w
}

func boundFormula(name string) string {
	switch name {
	case "critical path":
		return "earliest finish if there were enough people"
	case "windows of the tasks":
		return "least finish that is not refuted by what must run at each time"
	}
	return "first possible start + work/capacity + shortest way from there to the finish"
}
