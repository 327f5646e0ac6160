package chart

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sampleBody is an invented body of twelve pairs: its front-left corner has moved.
func sampleBody() BodyView {
	v := BodyView{Head: Head{ID: "body", Title: "What has moved"}}
	for i, p := range [][3]float64{
		{740, 480, 430},
		{330, 420, 230},
		{40, 340, 215},
		{-30, 560, 830},
		{-260, 400, 220},
		{-560, 430, 250},
		{-480, 730, 200},
		{-1820, 450, 260},
		{-2060, 740, 210},
		{-2310, 530, 290},
		{-2620, 570, 720},
		{-3330, 480, 450},
	} {
		for _, side := range []float64{1, -1} {
			q := BodyPoint{ID: fmt.Sprintf("L%d", i+1), Name: "point", XMm: p[0], YMm: side * p[1], ZMm: p[2], MoveMm: []float64{.4, -.3, .2}, HalfMm: []float64{1.5, 1.2, 2.8}, State: BodyWithin}
			if side < 0 {
				q.ID = fmt.Sprintf("R%d", i+1)
			}
			if i < 2 && side > 0 {
				q.MoveMm, q.State, q.Strong = []float64{-9, -6, 1}, BodyBeyond, true
			}
			if i == 10 {
				q.State = BodyOpen
			}
			v.Points = append(v.Points, q)
		}
	}
	v.Points = append(v.Points, BodyPoint{ID: "M1", XMm: -1200, YMm: 980, Floor: true})
	return v
}

// sampleTape is the same body while it is measured.
func sampleTape() BodyView {
	v := BodyView{Head: Head{ID: "tape", Title: "Where the tape goes"}, PlanOnly: true, Doubtful: "Fixed"}
	for _, p := range sampleBody().Points {
		p.MoveMm, p.HalfMm, p.Strong, p.StateWords = nil, nil, false, "not yet"
		p.State = BodyOpen
		v.Points = append(v.Points, p)
	}
	v.Lines = []BodyLine{{"L1", "R1", "read"}, {"L1", "R2", "read"}, {"R1", "R2", "wrong"}, {"L2", "R7", "next"}, {"L2", "nowhere", "next"}}
	return v
}

// The factor is one that can be said, and the longest arrow stays in the figure.
func TestExaggeration(t *testing.T) {
	if k := sampleBody().Exaggeration(); k != 50 {
		t.Errorf("%g times", k)
	}
	if k := sampleTape().Exaggeration(); k != 0 {
		t.Errorf("%g times where nothing moved", k)
	}
	rapid.Check(t, func(t *rapid.T) {
		v := sampleBody()
		size := rapid.Float64Range(0.01, 400).Draw(t, "size")
		v.Points[0].MoveMm = []float64{size, 0, 0}
		k := v.Exaggeration()
		digits := k / math.Pow(10, math.Floor(math.Log10(k)+1e-9))
		if k < 1 || math.Abs(digits-1) > 1e-9 && math.Abs(digits-2) > 1e-9 && math.Abs(digits-5) > 1e-9 {
			t.Fatalf("%g times", k)
		}
		if k > 1 && k*size > 0.15*1.001*(v.bounds().x1-v.bounds().x0) {
			t.Fatalf("an arrow of %g mm drawn %g times as long", size, k)
		}
	})
}

// Whatever stands in the points, the figure is sound.
func TestAnyBodyIsDrawn(t *testing.T) {
	odd := rapid.SampledFrom([]float64{0, 1, -1, 700, 1e9, -1e9, math.NaN(), math.Inf(1)})
	rapid.Check(t, func(t *rapid.T) {
		v := BodyView{Head: Head{ID: "any", Title: "any"}, PlanOnly: rapid.Bool().Draw(t, "plan")}
		for range rapid.IntRange(0, 5).Draw(t, "n") {
			v.Points = append(v.Points, BodyPoint{
				ID: rapid.SampledFrom([]string{"A", "B", "<b>"}).Draw(t, "id"), XMm: odd.Draw(t, "x"), YMm: odd.Draw(t, "y"), ZMm: odd.Draw(t, "z"),
				MoveMm: rapid.SliceOfN(odd, 0, 3).Draw(t, "d"), HalfMm: rapid.SliceOfN(odd, 0, 3).Draw(t, "half"),
				State: BodyState(rapid.SampledFrom([]string{"", "within", "beyond", `"x`}).Draw(t, "state")), Floor: rapid.Bool().Draw(t, "floor"),
			})
		}
		v.Lines = []BodyLine{{"A", "B", "next"}, {"A", "<b>", "read"}}
		markup := string(NewBodyView(v).HTML())
		if err := checkMarkup(markup); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(markup, "<b>") || strings.Contains(markup, "Inf") {
			t.Fatal("not escaped, or without bounds")
		}
	})
}

// In the plan of a phone the car's left is on the left and its front at the top; seen
// from the front its left is on the right.
func TestWhichWayTheViewsFace(t *testing.T) {
	looks, _ := sampleBody().looks(Phone)
	plan, side, front := looks[0], looks[1], looks[2]
	if plan.at(0, 500, 0).x >= plan.at(0, -500, 0).x || plan.at(500, 0, 0).y >= plan.at(-500, 0, 0).y {
		t.Error("the plan is turned")
	}
	if side.at(500, 0, 0).x >= side.at(-500, 0, 0).x || side.at(0, 0, 500).y >= side.at(0, 0, 0).y {
		t.Error("the side is turned")
	}
	if front.at(0, 500, 0).x <= front.at(0, -500, 0).x || front.at(0, 0, 500).y >= front.at(0, 0, 0).y {
		t.Error("the front is turned")
	}
	desk, _ := sampleBody().looks(Desk)
	// The plan that lies is seen from above, not from below: turned a quarter, not mirrored.
	p, q, r := desk[0].at(0, 0, 0), desk[0].at(1, 0, 0), desk[0].at(0, 1, 0)
	if turn := (q.x-p.x)*(r.y-p.y) - (q.y-p.y)*(r.x-p.x); turn >= 0 {
		t.Error("the plan on a laptop is mirrored")
	}
}
