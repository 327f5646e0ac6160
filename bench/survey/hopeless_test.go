package survey

import (
	"math"
	"strings"
	"testing"
)

// Distances alone fit a thin body of 200 points in very many shapes. None is called
// right, and no sound reading is called wrong.
func TestALargeSurveyByDistancesAloneBlamesNoReading(t *testing.T) {
	c := grid()
	c.Nominal, c.Heights = nil, nil
	r := examine(t, c)
	if len(r.Blunders)+len(r.Suspects) > 0 || r.Verdict != CannotTell || !strings.Contains(r.Why, "no shape was found") {
		t.Errorf("%d wrong, %d suspects, %s: %s", len(r.Blunders), len(r.Suspects), r.Verdict, r.Why)
	}
}

// With many lines a large survey mostly finds its shape without heights; where it does
// not, it says so and blames no reading.
func TestALargeDenseSurveyByDistancesAlone(t *testing.T) {
	found := 0
	for seed := range uint64(2) {
		s := drawing{points: 70, lines: 1500}.draw(seed)
		r := examine(t, s.c)
		if r.Sigma0 < 1.1 && s.off(r) < 10 {
			found++
		} else if !strings.Contains(r.Why, "no shape was found") {
			t.Errorf("seed %d: %s: %s", seed, r.Verdict, r.Why)
		}
		if len(r.Blunders) > 0 {
			t.Errorf("seed %d: %d wrong, scatter %.2f, %.0f mm off", seed, len(r.Blunders), r.Sigma0, s.off(r))
		}
	}
	if found == 0 {
		t.Error("none found")
	}
}

// To first order the adjustment without a reading is the adjustment without it.
func TestDroppedIsTheAdjustmentWithout(t *testing.T) {
	for seed := range uint64(5) {
		s := drawing{points: 12, lines: 45, heights: 2, nominal: true, wrong: 1}.draw(seed)
		e := &examination{c: s.c.withDefaults(), n: number(s.c.Distances)}
		net := e.network(3)
		a, err := net.adjust(e.start(net))
		if err != nil {
			t.Fatal(err)
		}
		k := a.worst(0)
		net.readings[k].out = true
		got := a.dropped(k)
		want, err := net.adjust(a.x)
		if err != nil {
			t.Fatal(err)
		}
		if got.dof != want.dof || math.Abs(got.squares-want.squares) > 0.01*want.squares+0.05 {
			t.Errorf("seed %d: %d to spare, %.3f; want %d, %.3f", seed, got.dof, got.squares, want.dof, want.squares)
		}
		for j := range want.w {
			if math.Abs(got.w[j]-want.w[j]) > 0.1 || math.Abs(got.r[j]-want.r[j]) > 0.02 {
				t.Errorf("seed %d: reading %d w %.3f, r %.4f; want %.3f, %.4f", seed, j, got.w[j], got.r[j], want.w[j], want.r[j])
			}
		}
	}
}
