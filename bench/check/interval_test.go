package check

import (
	"fmt"
	"testing"

	"wreckwright/outside"
)

func TestHalfOfAnInterval(t *testing.T) {
	cases := []outside.Case{
		{Source: "JCGM_100", Where: "table G.2", What: "half of the 95 % interval, in u, infinite degrees of freedom", Got: Result{StandardUncertainty: 1}.Half(0.95), Want: 1.96, Tolerance: 0.0005, Why: "printed to 3 decimals (1.960)"},
	}
	for dof, want := range map[float64]float64{1: 12.71, 2: 4.30, 3: 3.18, 5: 2.57, 10: 2.23, 20: 2.09, 50: 2.01} {
		cases = append(cases, outside.Case{
			Source: "JCGM_100", Where: "table G.2", What: fmt.Sprintf("half of the 95 %% interval, in u, %g degrees of freedom", dof),
			Got: Result{StandardUncertainty: 1, DegreesOfFreedom: &dof}.Half(0.95), Want: want, Tolerance: 0.005, Why: "printed to 2 decimals",
		})
	}
	outside.Check(t, cases)
	for _, chance := range []float64{0, 1, -1, 2} {
		if got := (Result{StandardUncertainty: 1}).Half(chance); got != 0 {
			t.Errorf("chance %v: %v", chance, got)
		}
	}
	if got := (Result{}).Half(0.95); got != 0 {
		t.Errorf("without doubt: %v", got)
	}
}
