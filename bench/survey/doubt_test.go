package survey

import (
	"math"
	"testing"
)

// Fixed, and not named as weak, is within the tolerance for 95 %, not for one standard
// deviation.
func TestFixedMeansNinetyFivePercent(t *testing.T) {
	between := 0
	for seed := range uint64(6) {
		s := drawing{points: 12, lines: 34, heights: 1, nominal: true, scatterMm: 1}.draw(seed)
		var sketch Sketch
		for _, p := range s.c.Nominal {
			sketch.Points = append(sketch.Points, Sketched{ID: p.Point, X: p.X, Y: p.Y, Z: p.Z})
		}
		state, err := Progress(sketch, s.c)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range state.Points {
			if within := 1.96*p.SDMm <= 3; p.Fixed != (within && p.Lines >= 3) {
				t.Errorf("seed %d: %+v", seed, p)
			}
			if p.SDMm <= 3 && 1.96*p.SDMm > 3 {
				between++
			}
		}
		e, err := examined(s.c)
		if err != nil {
			t.Fatal(err)
		}
		for i, id := range e.n.ids {
			lengths, _ := axes(e.a.q, 3*i, 3)
			named := false
			for _, w := range e.r.Weak {
				named = named || w.ID == id
			}
			if named != (1.96*lengths[0] > 3) {
				t.Errorf("seed %d: %s with %.2f mm: named %t", seed, id, lengths[0], named)
			}
		}
	}
	if between == 0 {
		t.Error("no point between one standard deviation and 95 %")
	}
}

// A reading that is off and its doubts have one sign, that of the wrong reading.
func TestOffAndInDoubtsHaveOneSign(t *testing.T) {
	r := examine(t, car(t, true))
	for _, b := range r.Blunders {
		for _, x := range r.Residuals {
			if x.Line == b.Line && x.Kind == b.Kind && (x.OffMm() != b.ByMm || math.Signbit(x.InDoubts()) != math.Signbit(b.ByMm)) {
				t.Errorf("%+v: off %g, in doubts %g", b, x.OffMm(), x.InDoubts())
			}
		}
	}
}
