package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// overMarks is a survey of an invented body by distances alone, over marks on the
// floor, without nominal points; with the places it was drawn from.
func overMarks(seed uint64, marks bool) (Case, map[string][]float64) {
	chance := rand.New(rand.NewPCG(seed, 77))
	var c Case
	var ids []string
	place := map[string][]float64{}
	add := func(id string, p ...float64) {
		ids = append(ids, id)
		place[id] = p
	}
	for i := range 12 {
		x, y, z := 2000-350*float64(i)+100*chance.NormFloat64(), 450+120*chance.NormFloat64(), 250+80*chance.NormFloat64()
		left, right := fmt.Sprintf("L%02d", i), fmt.Sprintf("R%02d", i)
		add(left, x+0.7*chance.NormFloat64(), y+0.7*chance.NormFloat64(), z+0.7*chance.NormFloat64())
		add(right, x+0.7*chance.NormFloat64(), -y+0.7*chance.NormFloat64(), z+0.7*chance.NormFloat64())
		c.Pairs = append(c.Pairs, Pair{Left: left, Right: right})
	}
	if marks {
		for k, p := range [][2]float64{{2400, 0}, {700, 1000}, {700, -1000}, {-700, 1000}, {-700, -1000}, {-2300, 0}} {
			id := fmt.Sprintf("F%d", k+1)
			add(id, p[0], p[1], -450)
			c.Floor = append(c.Floor, id)
		}
	}
	for i, a := range ids {
		for _, b := range ids[:i] {
			if d := rms(place[a], place[b], 3); d < 3000 && chance.Float64() < 0.6 {
				c.Distances = append(c.Distances, Distance{From: b, To: a, Mm: d + chance.NormFloat64()})
			}
		}
	}
	return c, place
}

// Distances alone have many minima; over marks on the floor the right one is found
// from nothing, the right way up and not mirrored.
func TestFloorMarksWithoutNominalPoints(t *testing.T) {
	for seed := range uint64(5) {
		c, place := overMarks(seed, true)
		r := examine(t, c)
		var x, want, even []float64
		for _, p := range r.Points {
			if p.Z == nil {
				t.Fatalf("seed %d: worked out in plan", seed)
			}
			x, want, even = append(x, p.X, p.Y, *p.Z), append(want, place[p.ID]...), append(even, 1)
		}
		if off := rms(fit(x, want, even, 3).apply(x), want, 3); off > 6 {
			t.Errorf("seed %d: the shape is %.1f mm off, verdict %s", seed, off, r.Verdict)
		}
		if len(r.Moved) > 1 || r.Verdict == Fail {
			t.Errorf("seed %d: straight, but moved %v: %s", seed, ofMoved(r.Moved), r.Why)
		}
		for _, p := range r.Points {
			if p.ID[0] == 'F' && *p.Z > 0 || p.ID == "F1" && p.X < 0 || p.ID == "F2" && p.Y < 0 {
				t.Errorf("seed %d: %s stands at %.0f, %.0f, %.0f", seed, p.ID, p.X, p.Y, *p.Z)
			}
		}
	}
}

// A point 60 mm over the plane of its neighbours, all in one plane, may as well be
// 60 mm under it: it is named and its height fails nothing. A height settles it.
func TestATwinIsUndecided(t *testing.T) {
	base := Case{}
	place := map[string][]float64{}
	for i := range 5 {
		left, right := fmt.Sprintf("L%d", i), fmt.Sprintf("R%d", i)
		place[left], place[right] = []float64{float64(1600 - 800*i), 500, 200}, []float64{float64(1600 - 800*i), -500, 200}
		base.Pairs = append(base.Pairs, Pair{Left: left, Right: right})
	}
	place["L2"][2] += 60
	ids := []string{}
	for _, p := range base.Pairs {
		ids = append(ids, p.Left, p.Right)
	}
	for i, a := range ids {
		for range 2 {
			if a != "L2" {
				base.Heights = append(base.Heights, Height{Point: a, Mm: place[a][2]})
			}
		}
		for _, b := range ids[:i] {
			base.Distances = append(base.Distances, Distance{From: b, To: a, Mm: rms(place[a], place[b], 3)})
		}
	}
	r := examine(t, base)
	if !strings.Contains(strings.Join(r.Notes, " "), "neighbours' plane stands: L2.") || r.Verdict == Pass {
		t.Errorf("%s %q", r.Verdict, r.Notes)
	}
	for range 2 {
		base.Heights = append(base.Heights, Height{Point: "L2", Mm: 260})
	}
	r = examine(t, base)
	if strings.Contains(strings.Join(r.Notes, " "), "neighbours' plane") || r.Verdict != Fail || len(r.Moved) != 1 || math.Abs(r.Moved[0].DZ-60) > 1 {
		t.Errorf("%s %q %+v", r.Verdict, r.Notes, r.Moved)
	}
}

// Mirror twins: by distances alone nothing says which way is up, and the words do
// not either.
func TestMirrorTwinsAreUndecided(t *testing.T) {
	c, _ := overMarks(3, true)
	c.Floor = nil
	if r := examine(t, c); !strings.Contains(strings.Join(r.Notes, " "), "nothing says which way is up") {
		t.Errorf("%q", r.Notes)
	}
	if got := went([3]float64{0, 0, 12}, true, false); got != "up or down 12 mm" {
		t.Errorf("%q", got)
	}
	c, _ = overMarks(3, false)
	if r := examine(t, c); r.Verdict != CannotTell {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
}

// A folded start: every point of the car but one at its place, that one mirrored
// in its neighbours' plane, comes back to the one minimum (with heights).
func TestFoldedPointsComeBack(t *testing.T) {
	c := car(t, true)
	c.Distances = append([]Distance(nil), c.Distances...)
	e, err := examined(c)
	if err != nil {
		t.Fatal(err)
	}
	n := e.a.net
	for i := range n.ids {
		x := append([]float64(nil), e.a.x...)
		copy(x[3*i:], n.folded(i, x, false))
		if _, squares := n.solve(x); math.Abs(squares-52.2381) > 1e-4 {
			t.Errorf("%s folded: sum of squares %.4f, want 52.2381", n.ids[i], squares)
		}
	}
}
