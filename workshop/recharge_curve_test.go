package workshop_test

import (
	"math"
	"testing"

	"wreckwright/bench/recharge"
	"wreckwright/workshop"
)

// TestTheCurveStartsAtCutOutAndEndsAtTheLeak holds the curve at its ends and its
// slope at the middle of the band against the leak that the engine tells, within
// the curvature of the band. The figures are invented: at the middle p = 46.01 bar
// absolute, dp/dt = g (1 - pa/p) p^3 = 3.5e-7 * 0.978 * 97404 = 0.0333 bar/s, 2 bar/min.
func TestTheCurveStartsAtCutOutAndEndsAtTheLeak(t *testing.T) {
	in, out := 40.0, 50.0
	r := workshop.Recharged{
		Cycles: []recharge.Cycle{{OnS: 0, OffS: 5}, {OnS: 245, OffS: 250, Settled: true}},
		Result: &recharge.Result{CutInBar: &in, CutOutBar: &out, Settle: &recharge.Settle{DropBar: 2, TimeConstantS: 10}, LeakConductance: &recharge.Estimate{Value: 3.5e-7}},
	}
	fitted, leak := r.FittedHolds()
	if len(fitted) != 1 || len(leak) != 1 {
		t.Fatalf("%d curves, %d of the leak", len(fitted), len(leak))
	}
	first, last := fitted[0][0], fitted[0][len(fitted[0])-1]
	if first.AtS != 5 || math.Abs(first.Bar-50) > 1e-9 || math.Abs(leak[0][0].Bar-48) > 1e-9 {
		t.Errorf("it starts at %+v, the leak at %+v", first, leak[0][0])
	}
	if end := leak[0][len(leak[0])-1]; last.AtS != 245 || math.Abs(last.Bar-end.Bar) > 1e-6 {
		t.Errorf("it ends at %+v, the leak at %+v", last, end)
	}
	for i := 1; i < len(leak[0]); i++ {
		a, b := leak[0][i-1], leak[0][i]
		if a.Bar >= 45 && b.Bar < 45 {
			if slope := 60 * (a.Bar - b.Bar) / (b.AtS - a.AtS); math.Abs(slope-2) > 0.1 {
				t.Errorf("it falls by %g bar a minute", slope)
			}
		}
	}
	if fitted, _ = (workshop.Recharged{}).FittedHolds(); fitted != nil {
		t.Error("a curve out of nothing")
	}
}
