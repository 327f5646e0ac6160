package recharge

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestTheCurvesGoThroughTheReadings holds the curves against readings of an
// invented, simulated unit: on average they miss them by less than the steps of
// the sensor, they join cut-out to cut-in, and the leak alone lies beneath until
// the gas is cool.
func TestTheCurvesGoThroughTheReadings(t *testing.T) {
	log, _ := healthyUnit().play(rand.New(rand.NewPCG(8, 8)))
	r, err := Examine(t.Context(), Case{Log: &log})
	if err != nil {
		t.Fatal(err)
	}
	holds := r.FittedHolds()
	if len(holds) < 3 {
		t.Fatalf("%d holds", len(holds))
	}
	for _, h := range holds {
		first, last := h.Whole[0], h.Whole[len(h.Whole)-1]
		sum, n := 0.0, 0
		for i, at := range log.TimeS {
			for k := 1; k < len(h.Whole); k++ {
				a, b := h.Whole[k-1], h.Whole[k]
				if at >= a.AtS && at < b.AtS {
					sum, n = sum+log.PressureBar[i]-(a.Bar+(b.Bar-a.Bar)*(at-a.AtS)/(b.AtS-a.AtS)), n+1
				}
			}
		}
		if n < 100 || math.Abs(sum/float64(n)) > 0.15 {
			t.Errorf("from %.1f s: the curve misses %d readings by %.2f bar on average", first.AtS, n, sum/float64(n))
		}
		if math.Abs(first.Bar-50) > 0.6 || math.Abs(last.Bar-40) > 0.6 {
			t.Errorf("from %.1f s: from %.2f to %.2f bar, want 50 to 40", first.AtS, first.Bar, last.Bar)
		}
		if h.Leak[0].Bar >= first.Bar-0.5 || math.Abs(h.Leak[len(h.Leak)-1].Bar-last.Bar) > 1e-3 {
			t.Errorf("from %.1f s: the leak alone from %.2f to %.2f bar", first.AtS, h.Leak[0].Bar, h.Leak[len(h.Leak)-1].Bar)
		}
	}
	if (Result{}).FittedHolds() != nil {
		t.Error("a curve out of nothing")
	}
}
