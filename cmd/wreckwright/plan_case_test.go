package main

import (
	"context"
	"errors"
	"testing"

	"wreckwright/casefile"
	"wreckwright/plan"
)

// FuzzPlanCase: whatever the file says, there is a plan or one well-formed
// mistake.
func FuzzPlanCase(f *testing.F) {
	for _, seed := range []string{
		"start: 2027-01-04\ntasks:\n- {id: a, days: 1}\n",
		"start: 2027-01-04\nweek: {mon: \"19:00-21:00\", sat: [\"9-12\", \"13-17\"]}\nclosed: [{from: 2027-01-05, to: 2027-01-09}]\npeople: {own: 1, h: {count: 1, away: [2027-01-06]}}\n" +
			"tasks:\n- {id: a, hours: {low: 1, likely: 2, high: 4}, uses: {own: 1}, slots: [2027-01-07]}\n- {id: b, days: 3, wait: true, after: [{id: a, lag_days: 2}]}\nmilestones: [{id: m, after: [b], by: 2027-02-01}]\n",
		"start: 2027-01-04\nhours_per_week: 14\ntoday: 2027-01-09\ntasks:\n- {id: a, hours: 1, started: 2027-01-05}\n- {id: b, days: 2, done: 2027-01-06, after: [a]}\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := casefile.Parse("case.yaml", data)
		if err != nil {
			return
		}
		c, err := readPlanCase(file)
		var wrong *casefile.Error
		if err != nil {
			if !errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "" {
				t.Fatalf("%q: %v", data, err)
			}
			return
		}
		c.problem.Trials = 20
		r, err := plan.Run(context.Background(), context.Background(), c.problem, plan.Search{Schedules: 30})
		if err != nil {
			t.Fatalf("%q: %v", data, err)
		}
		if r.FinishDay < r.LowerBound-1e-9 {
			t.Fatalf("%q: finish %g below the bound %g", data, r.FinishDay, r.LowerBound)
		}
	})
}
