package survey

import (
	"math"
	"strings"
	"testing"
)

// The chance that a difference lies within the tolerance stands beside the verdict.
// The values are those of the normal distribution's table: 0.95994 up to 1.75,
// 0.84134 up to 1.
func TestChanceStandsBesideTheVerdict(t *testing.T) {
	for _, c := range []struct{ by, sd, want float64 }{{-1.25, 1, 0.95994}, {1.25, 1, 0.95994}, {2, 1, 0.84134}, {0, 0, 1}, {4, 0, 0}} {
		if got := chanceWithin(c.by, c.sd, 3); math.Abs(got-c.want) > 1e-4 {
			t.Errorf("%g in doubt by %g: %g, want %g", c.by, c.sd, got, c.want)
		}
	}
	for chance, want := range map[float64]string{0.95994: "96 %", 0.9999: "over 99 %", 0.001: "under 1 %"} {
		if got := (QuickCheck{SDMm: 1, Chance: chance}).chance(); got != want {
			t.Errorf("%g is said as %s, want %s", chance, got, want)
		}
	}
	c := QuickCase{Readings: quickCrosses(3000, 3001.25)}
	r, err := ExamineQuick(c)
	if err != nil || r.Verdict != Pass || !strings.Contains(r.Why, "within with a chance of") {
		t.Errorf("%s: %s (%v)", r.Verdict, r.Why, err)
	}
}

// quickCrosses are the two diagonals, each read twice, with the three crosses.
func quickCrosses(left, right float64) []QuickReading {
	var list []QuickReading
	for line, mm := range map[QuickLine]float64{DiagonalFromLeft: left, DiagonalFromRight: right, CrossFront: 900, CrossMiddle: 1100, CrossRear: 1000} {
		list = append(list, QuickReading{Line: line, Mm: mm}, QuickReading{Line: line, Mm: mm})
	}
	return list
}
