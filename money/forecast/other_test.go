package forecast

import (
	"context"
	"math"
	"testing"

	"wreckwright/uncertain"
)

// TestWhatWasDrawnElsewhereBelongsToItsTrial: a job of 100 that is needed in one of
// two trials, and a cost of 50 in just those in which it is needed, drawn from the
// stream of the same name. By arithmetic the total is 0 or 150: mean 75, standard
// deviation 75; had they nothing to do with one another it would be sqrt(50^2 +
// 25^2) = 55.9.
func TestWhatWasDrawnElsewhereBelongsToItsTrial(t *testing.T) {
	c := NewCase("GBP")
	c.Trials = 20_000
	c.Jobs = []Job{{Key: "job 1", Name: "job", Cost: uncertain.Certain(100), Needed: new(0.5)}}
	same := uncertain.NewStream(c.Seed, "job/job 1", "needed")
	column := make([]float64, c.Trials)
	for k := range column {
		if same.Uniform(k) < 0.5 {
			column[k] = 50
		}
	}
	c.Other = []Other{{Name: "days", ByTrial: column}}
	r, err := Run(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	// Four standard errors: of the mean 4 x 75/sqrt(20000) = 2.1; the standard
	// deviation of a coin is 75 x 2 sqrt(p (1-p)), flat at one half.
	if math.Abs(r.Total.Mean-75) > 2.1 || math.Abs(r.Total.SD-75) > 0.2 {
		t.Errorf("mean %.2f, sd %.2f, want 75 and 75", r.Total.Mean, r.Total.SD)
	}
	if len(r.Other) != 1 || math.Abs(r.Other[0].ExpectedCost-25) > 0.71 || math.Abs(r.Other[0].VarianceShare-1.0/3) > 1e-9 {
		t.Errorf("the other item is %+v, want 25 and a third of the doubt", r.Other)
	}
	for _, bad := range [][]float64{nil, {-1}, {math.NaN()}} {
		c.Other[0].ByTrial = bad
		if _, err := Run(context.Background(), c); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
}
