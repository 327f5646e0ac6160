package diagnose

import (
	"math"
	"testing"
)

// TestAdviceOnTheReferenceProblems: the advice is never below the optimum, and
// what it says of its plan fits together.
func TestAdviceOnTheReferenceProblems(t *testing.T) {
	for _, name := range []string{"p0", "p1", "p2", "p3", "p4", "p5"} {
		t.Run(name, func(t *testing.T) {
			c, r := readReference(t, name)
			a, err := Advise(t.Context(), c)
			if err != nil {
				t.Fatal(err)
			}
			if a.ExpectedCost < r.Expected.Optimal-1e-9 {
				t.Errorf("expected cost %v is below the optimum %v", a.ExpectedCost, r.Expected.Optimal)
			}
			if split := a.ExpectedMoney + c.HourValue/60*a.ExpectedMinutes; math.Abs(split-a.ExpectedCost) > 1e-9*split {
				t.Errorf("money and minutes come to %v, the plan to %v", split, a.ExpectedCost)
			}
		})
	}
}
