package plan

import (
	"context"
	"math"
	"testing"

	"wreckwright/uncertain"
)

// playedOut runs one plan with many trials.
func playedOut(t *testing.T, tasks ...Task) Result {
	t.Helper()
	p := Problem{Start: monday, Seed: 5, Trials: 200_000, Tasks: tasks}
	for _, task := range tasks {
		if task.StartedDay != nil {
			p.TodayDay = 5
		}
	}
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	r, err := Run(context.Background(), context.Background(), p, Search{Schedules: 10})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s is %g; want %g, give or take %g", what, got, want, tolerance)
	}
}

// TestFirstWayMayFail holds a job of two stages to its mean mC + p mD and its
// variance vC + p vD + p (1-p) mD^2, by the law of total variance: 120 sd 30,
// with chance 0.35 followed by 640 sd 90.
func TestFirstWayMayFail(t *testing.T) {
	const p, n = 0.35, 200_000
	z := uncertain.Z90
	r := playedOut(t, Task{
		ID: "gearbox", Days: span(120-30*z, 120, 120+30*z),
		Again: &Again{Chance: p, Days: span(640-90*z, 640, 640+90*z)},
	})
	variance := 30.0*30 + p*90*90 + p*(1-p)*640*640
	within(t, "mean", r.Finish.Mean, 120+p*640, 4*math.Sqrt(variance/n))
	within(t, "variance", r.Finish.SD*r.Finish.SD, variance, 0.01*variance)
	within(t, "finish of the schedule", r.FinishDay, 120, 0)
	// Nothing in between: 120 + 4 sd is passed only where the first way failed.
	within(t, "chance of the first way", r.ChanceWithin(240), 1-p, 4*math.Sqrt(p*(1-p)/n))
}

// TestMayNotBeNeeded: a task that is needed with 70 % takes nothing in 30 of 100
// trials, and what fails more often than not is planned with its second way.
func TestMayNotBeNeeded(t *testing.T) {
	const n = 200_000
	r := playedOut(t, Task{ID: "hub", Days: certain(10), Skip: 0.3})
	within(t, "chance of no time at all", r.ChanceWithin(0), 0.3, 4*math.Sqrt(0.21/n))
	within(t, "mean", r.Finish.Mean, 7, 4*10*math.Sqrt(0.21/n))
	within(t, "a day longer", r.Tasks[0].DelayDays, 0.7, 0.06)
	within(t, "finish of the schedule", r.FinishDay, 10, 0)

	r = playedOut(t, Task{ID: "hub", Days: certain(10), Skip: 0.6})
	within(t, "finish of a schedule that likely does without", r.FinishDay, 0, 0)
	within(t, "mean of it", r.Finish.Mean, 4, 4*10*math.Sqrt(0.24/n))

	r = playedOut(t, Task{ID: "hub", Days: certain(10), Again: &Again{Chance: 0.5, Days: certain(4)}})
	within(t, "finish of a schedule that likely fails at first", r.FinishDay, 14, 0)
}

// TestGoingOnMayHaveFailed: of a task that lasts longer than its first way would,
// the chance that it failed has grown, by Bayes' rule.
func TestGoingOnMayHaveFailed(t *testing.T) {
	const n = 200_000
	begun := 0.0
	r := playedOut(t, Task{ID: "hub", Days: certain(2), StartedDay: &begun, Skip: 0.5, Again: &Again{Chance: 0.25, Days: certain(8)}})
	within(t, "earliest of a first way that would be done", r.Finish.P10, 10, 1e-9)

	// Normal, mean 4, sd 1: gone are 5 days.
	r = playedOut(t, Task{
		ID: "hub", Days: span(4-uncertain.Z90, 4, 4+uncertain.Z90), StartedDay: &begun,
		Again: &Again{Chance: 0.25, Days: certain(20)},
	})
	left := 0.75 * (1 - uncertain.NormalCDF(1))
	failed := 0.25 / (0.25 + left)
	within(t, "chance that it failed", 1-r.ChanceWithin(15), failed, 4*math.Sqrt(failed*(1-failed)/n))
	within(t, "chance that it was done before today", r.ChanceWithin(4.999), 0, 0)
}

// TestChancesLeaveOthersAlone: a coin belongs to its task.
func TestChancesLeaveOthersAlone(t *testing.T) {
	other := Task{ID: "other", Days: span(20, 30, 50)}
	one := playedOut(t, Task{ID: "hub", Days: span(0.1, 0.2, 0.4)}, other)
	two := playedOut(t, Task{ID: "hub", Days: span(0.1, 0.2, 0.4), Skip: 0.4, Again: &Again{Chance: 0.2, Days: span(0.1, 0.2, 0.3)}}, other)
	if one.Finish != two.Finish {
		t.Errorf("finish %v, with chances of a task that it does not hang on %v", one.Finish, two.Finish)
	}
	if n := len(one.ByTrial()); n != one.Trials {
		t.Errorf("%d trials, %d finishes in their order", one.Trials, n)
	}
}

// TestCompareIsWhatIf: the effect of a change is the effect of the changed problem.
func TestCompareIsWhatIf(t *testing.T) {
	p := workshopPlan()
	s, err := Arrange(context.Background(), p, Search{Schedules: 100})
	if err != nil {
		t.Fatal(err)
	}
	id := p.Tasks[0].ID
	changed, err := p.With(Change{Faster: []Faster{{id, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	one, err := WhatIf(context.Background(), p, s, Change{Faster: []Faster{{id, 1}}}, Search{Schedules: 100})
	if err != nil {
		t.Fatal(err)
	}
	two, err := Compare(context.Background(), p, s, changed, Search{Schedules: 100})
	if err != nil {
		t.Fatal(err)
	}
	if one.FinishDays != two.FinishDays || one.After != two.After || one.FinishDays <= 0 {
		t.Errorf("what-if %g days, compared %g", one.FinishDays, two.FinishDays)
	}
}
