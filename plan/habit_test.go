package plan

import (
	"context"
	"math"
	"slices"
	"testing"

	"wreckwright/uncertain"
)

// TestHabitInClosedForm: symmetric ranges are normal; read at shift + spread Z, tasks
// one after the other add up to a normal length again. Waits know no habit.
func TestHabitInClosedForm(t *testing.T) {
	p := Problem{
		Start: monday, Seed: 3, Trials: 40_000, Correlation: 0.25, Bias: uncertain.Bias{Shift: 0.5, Spread: 1.4},
		Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{
			{ID: "a", Days: span(8, 10, 12), Uses: []Use{{"own", 1}}},
			{ID: "b", Days: span(9, 10, 11), Uses: []Use{{"own", 1}}, After: []Link{{ID: "a"}}},
			{ID: "c", Days: span(8, 10, 12), Wait: true, After: []Link{{ID: "b"}}},
		},
	}
	s, d := playedBy(t, p, "")
	a, b, c := 2/uncertain.Z90, 1/uncertain.Z90, 2/uncertain.Z90
	mean := 30 + 0.5*(a+b)
	sd := math.Sqrt(1.4*1.4*(0.75*(a*a+b*b)+0.25*(a+b)*(a+b)) + c*c)
	if math.Abs(d.Finish.Mean-mean) > 4*sd/200 || math.Abs(d.Finish.SD-sd) > 4*sd/math.Sqrt(2*40_000) {
		t.Errorf("mean %g, sd %g; want %g, %g", d.Finish.Mean, d.Finish.SD, mean, sd)
	}
	column, err := Finishes(context.Background(), p, s, d.Policy)
	if err != nil || !slices.Equal(column, d.ByTrial()) {
		t.Errorf("the column of finishes is another one than that of the trials (%v)", err)
	}
}

// TestHabitOfWorkThatGoesOn: eleven days have gone of ten, with the habit. The chance
// of more than two days beyond is the conditional one of the normal length.
func TestHabitOfWorkThatGoesOn(t *testing.T) {
	p := Problem{
		Start: monday, Seed: 3, Trials: 20_000, TodayDay: 11, Bias: uncertain.Bias{Shift: 0.5, Spread: 1.4}, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{{ID: "a", Days: span(8, 10, 12), Uses: []Use{{"own", 1}}, StartedDay: new(0.0)}},
	}
	_, d := playedBy(t, p, "")
	sd := 2 / uncertain.Z90
	above := func(day float64) float64 { return 1 - uncertain.NormalCDF((day-10-0.5*sd)/(1.4*sd)) }
	want := above(13) / above(11)
	if got := 1 - d.ChanceWithin(13); math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/20_000) {
		t.Errorf("chance of more than 13 days %g; want %g", got, want)
	}
	p.Bias.Spread = -1
	if err := p.Check(); err == nil || err.Error() != "plan: bias spread: -1 is negative; expected a number from 0 to 8" {
		t.Errorf("a negative spread: %v", err)
	}
}
