package workshop

import (
	"context"
	"math"
	"testing"

	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// TestThePlanKnowsTheHabit: a job that came in far above its range teaches both the
// forecast and the plan. One pair of hands all day and all night does the hours of a
// trial in as many hours, so that the days of the plan's trials are the hours of the
// forecast's: mean and every point of the two are the same.
func TestThePlanKnowsTheHabit(t *testing.T) {
	r := stand(
		t, aJob("closed", 0, func(j *rebuild.Job) { j.Routes[0].Cost = uncertain.Range{Low: 80, Likely: 100, High: 130} }, inState(rebuild.JobDone)), pays(19_000, 1),
		aJob("weld", 100, takes(10, 20, 60)), aJob("paint", 100, takes(5, 8, 20), mayFail(0.6, 50), func(j *rebuild.Job) {
			j.Needed = 0.7
			j.Routes[0].Fallback.Hours = uncertain.Range{Low: 2, Likely: 4, High: 9}
		}),
	)
	o, err := open(t).Forecast(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	p := PlanOf(r, today).Problem
	if p.Bias.N != 1 || p.Bias.Shift <= 0 {
		t.Fatalf("the plan has learnt %+v", p.Bias)
	}
	p.Week, p.HoursPerWeek, p.Milestones, p.Trials = nil, 168, nil, o.Trials
	var jobs []plan.Task
	for _, task := range p.Tasks {
		if task.Hours != nil && task.Draws != "" {
			task.After = nil
			jobs = append(jobs, task)
		}
	}
	p.Tasks = jobs
	s, err := plan.Arrange(context.Background(), p, plan.Search{Schedules: 10})
	if err != nil {
		t.Fatal(err)
	}
	d, err := plan.Simulate(context.Background(), p, s, plan.KeepOrder)
	if err != nil {
		t.Fatal(err)
	}
	in := func(day float64) float64 { return 24 * (day - p.TodayDay) }
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"mean", in(d.Finish.Mean), o.Hours.Mean},
		{"10 % point", in(d.Finish.P10), o.Hours.P10},
		{"50 % point", in(d.Finish.P50), o.Hours.P50},
		{"80 % point", in(d.Finish.P80), o.Hours.P80},
		{"90 % point", in(d.Finish.P90), o.Hours.P90},
	} {
		if math.Abs(c.got-c.want) > 1e-4 {
			t.Errorf("%s of the hours: %g in the plan, %g in the forecast", c.what, c.got, c.want)
		}
	}
}
