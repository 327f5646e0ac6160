package knowledge

import (
	"slices"
	"strings"
	"testing"
)

// TestFastenerTables reads every table of fasteners and holds them to one
// another: a size has a class for it, a nut carries known classes, a head has a
// thread.
func TestFastenerTables(t *testing.T) {
	classes := map[string]bool{}
	for _, c := range StrengthClasses() {
		classes[c.Class] = true
	}
	for _, n := range NutClasses() {
		for _, c := range n.Carries {
			if !classes[c] {
				t.Errorf("nut %s carries %s, which is no class", n.Class, c)
			}
		}
	}
	threads := ThreadSizes()
	for _, f := range BearingFaces() {
		if !slices.ContainsFunc(threads, func(s ThreadSize) bool { return s.System == f.System && s.Diameter == f.Diameter }) {
			t.Errorf("%s head %g %s: no such thread", f.Kind, f.Diameter, f.System)
		}
	}
	for _, p := range PrevailingTorques() {
		if !slices.ContainsFunc(threads, func(s ThreadSize) bool { return s.Name == p.Thread }) {
			t.Errorf("lock nut %s: no such thread", p.Thread)
		}
	}
	for _, n := range []int{len(FrictionRanges()), len(NutFactors()), len(TighteningMethods()), len(ClampedMaterials()), len(WrenchClasses())} {
		if n < 5 {
			t.Errorf("a table of %d rows", n)
		}
	}
}

func TestFastenerTablesRefuse(t *testing.T) {
	for _, tt := range []struct {
		err  error
		want string
	}{
		{checkThreads([]ThreadSize{{Name: "M10", System: "metric", Diameter: 10, Fine: []float64{6}}}), "M10: pitch 6: expected less than half the diameter"},
		{checkThreads([]ThreadSize{{Name: "X", System: "metric", Diameter: 10}}), "X: expected a metric size"},
		{checkStrengths([]StrengthClass{{Class: "8.8", System: "metric", UpTo: 16, Tensile: 800, Yield: 640, Proof: 700}}), "8.8: expected proof below yield"},
		{checkStrengths([]StrengthClass{{Class: "8.8", System: "feet"}}), `8.8: system "feet"`},
		{checkStrengths([]StrengthClass{{Class: "8.8", System: "metric", Unit: "psi"}}), `8.8: unit "psi"`},
		{checkNuts([]NutClass{{Class: "8"}}), "8: expected what it carries, or thin"},
		{checkFaces([]BearingFace{{Kind: "hex", Diameter: 10, Bearing: 9, Hole: 11}}), "hex 10: expected a hole"},
		{checkFriction([]FrictionRange{{Key: "ice", Low: 0.01, Likely: 0.02, High: 0.03}}), "ice: expected 0.04"},
		{checkNutFactors([]NutFactor{{Key: "x", Factor: 2}}), "x: factor 2"},
		{checkMethods([]TighteningMethod{{Key: "x", Factor: 0.5}}), "x: expected 1 <= low"},
		{checkMaterials([]ClampedMaterial{{Key: "x"}}), "x: expected a modulus"},
		{checkPrevailing([]PrevailingTorque{{Thread: "M8", FirstOn: 1, FirstOff: 2, FifthOff: 1}}), "M8: expected 0 < fifth off"},
		{checkWrenches([]WrenchClass{{Key: "x", Percent: 50}}), "x: expected a deviation"},
	} {
		if tt.err == nil || !strings.HasPrefix(tt.err.Error(), tt.want) {
			t.Errorf("got %v, want %s", tt.err, tt.want)
		}
	}
}
