package forecast

import (
	"context"
	"math"
	"testing"

	"wreckwright/uncertain"
)

func runJobs(t *testing.T, change func(*Job)) Result {
	t.Helper()
	c := NewCase("GBP")
	j := Job{
		Name: "radiator", Cost: uncertain.Certain(100), Hours: new(uncertain.Certain(4.0)), Works: new(0.5),
		Fallback: &Fallback{Cost: uncertain.Certain(300), Hours: new(uncertain.Certain(2.0))},
	}
	change(&j)
	c.Jobs = []Job{j}
	r, err := Run(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The job costs 100 and, with one chance in two, 300 on top. What is left to
// pay is worked out by hand for each of the two ways it can go.
func TestPaidIsTakenOffEachTrial(t *testing.T) {
	for _, tt := range []struct{ paid, hoursDone, wantMean, wantHours float64 }{
		{0, 0, (100 + 400) / 2.0, (4 + 6) / 2.0},
		{60, 1, (40 + 340) / 2.0, (3 + 5) / 2.0},
		{150, 5, (0 + 250) / 2.0, (0 + 1) / 2.0},
		{900, 9, 0, 0},
	} {
		r := runJobs(t, func(j *Job) { j.Paid, j.HoursDone = tt.paid, tt.hoursDone })
		// Four standard errors of a half chance at 100,000 trials, on 300 and 2.
		if math.Abs(r.Remaining.Mean-tt.wantMean) > 1.9 || math.Abs(r.Hours.Mean-tt.wantHours) > 0.013 {
			t.Errorf("paid %g, done %g h: left %.2f and %.3f h, want %.2f and %.3f h", tt.paid, tt.hoursDone, r.Remaining.Mean, r.Hours.Mean, tt.wantMean, tt.wantHours)
		}
	}
}

// Four hours when it works, six when it does not, one chance in two.
func TestHoursWithin(t *testing.T) {
	r := runJobs(t, func(*Job) {})
	for _, tt := range []struct{ limit, want float64 }{{3.9, 0}, {4, 0.5}, {5.9, 0.5}, {6, 1}} {
		if chance, se := r.HoursWithin(tt.limit); math.Abs(chance-tt.want) > 4*0.0016 || se > 0.0016 {
			t.Errorf("within %g h: %.4f, standard error %.4f, want %g", tt.limit, chance, se, tt.want)
		}
	}
}

func TestPaidMustBePossible(t *testing.T) {
	for name, change := range map[string]func(*Job){
		"paid": func(j *Job) { j.Paid = -1 }, "hours done": func(j *Job) { j.HoursDone = math.NaN() },
	} {
		c := NewCase("GBP")
		c.Jobs = []Job{{Name: "x"}}
		change(&c.Jobs[0])
		if err := c.Validate(); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
