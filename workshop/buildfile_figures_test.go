package workshop

import (
	"testing"

	"wreckwright/rebuild"
)

// Figures of a build file read as a person writes them, and as the words beside
// them do.
func TestFiguresOfABuildFile(t *testing.T) {
	for kN, want := range map[float64]string{62.13: "62.1", 41.2: "41.2", 99.7: "99.7", 99.96: "100", 104.4: "104", 1240: "1240", 0.834: "0.834"} {
		if got := forceText(kN); got != want {
			t.Errorf("%g kN is shown as %s, want %s", kN, got, want)
		}
	}
	for chance, want := range map[float64]string{100: "over 99.9", 99.97: "over 99.9", 94.259: "94.3", 0.8: "0.8", 0: "under 0.1", 0.04: "under 0.1"} {
		if got := figureIn(rebuild.EvidenceFigure{Name: figureChance, Value: chance, Unit: "%"}); got != want {
			t.Errorf("a chance of %g %% is shown as %s, want %s", chance, got, want)
		}
	}
	if got := figureIn(rebuild.EvidenceFigure{Name: "Braking", Value: 100, Unit: "%"}); got != "100" {
		t.Errorf("no chance: %s", got)
	}
}
