package noise

import (
	"math"
	"math/rand/v2"
	"testing"

	"wreckwright/outside"
)

// resonance passes noise through a damped oscillator: a broad peak.
func resonance(x []float32, seed uint64, rate int, hz, width, level float64) {
	r := rand.New(rand.NewPCG(seed, 17))
	rho := math.Exp(-math.Pi * width / float64(rate))
	a, b := 2*rho*math.Cos(2*math.Pi*hz/float64(rate)), -rho*rho
	y1, y2 := 0.0, 0.0
	scale := level * math.Sqrt(1-rho*rho) * math.Sin(2*math.Pi*hz/float64(rate))
	for i := range x {
		y := a*y1 + b*y2 + r.NormFloat64()
		x[i] += float32(scale * y)
		y1, y2 = y, y1
	}
}

// TestWheelsOwnSounds: tread, air in the tyre, joint, propeller shaft and gears
// are each named and score for their part alone.
func TestWheelsOwnSounds(t *testing.T) {
	const shaft, rate = 14.358, 8000
	size, err := ParseTyre("225/45R17")
	if err != nil {
		t.Fatal(err)
	}
	line := func(order, level float64) func([]float32) {
		return func(x []float32) {
			for i := range x {
				x[i] += float32(level * math.Cos(2*math.Pi*order*shaft*float64(i)/rate))
			}
		}
	}
	g := hub
	for _, c := range []struct {
		name, source    string
		add             func([]float32)
		tyre, driveline bool
	}{
		{"tread", treadBand, func(x []float32) { resonance(x, 3, rate, 70*shaft, 120, 0.5) }, true, false},
		{"air", tyreCavity, func(x []float32) { resonance(x, 4, rate, size.CavityHz(), 8, 0.12) }, false, false},
		{"joint", jointThird, line(3, 0.2), false, true},
		{"propeller shaft", "propeller shaft x1", line(3.08, 0.2), false, true},
		{"gears", "gear mesh x1", line(40, 0.2), false, true},
		{"balance", "shaft x1", line(1, 0.2), true, false},
		{"steady noise", "", func([]float32) {}, false, false},
	} {
		x := gaussian(21, rate*10)
		c.add(x)
		r := examine(t, Case{Samples: x, Rate: rate, ShaftHz: shaft, Bearing: &g, Tyre: &size, AxleRatio: 3.08, Teeth: []int{40}})
		named := c.source == ""
		for _, p := range r.Peaks {
			named = named || p.Source == c.source
		}
		if !named {
			t.Errorf("%s: no peak is %q: %+v", c.name, c.source, r.Peaks)
		}
		if c.tyre != (r.Scores.Tyre >= loudScore) || c.driveline != (r.Scores.Driveline >= loudScore) || r.Verdict == Fail {
			t.Errorf("%s: %s, scores %+v: %s", c.name, r.Verdict, r.Scores, r.Why)
		}
	}
}

// TestRowOfOrdersIsNoJoint: a shaft with all its orders has no joint in it.
func TestRowOfOrdersIsNoJoint(t *testing.T) {
	g := hub
	r := examine(t, Case{Samples: wheelNoise(3, 8000, 8, 14.358, 0, 0, 0), Rate: 8000, ShaftHz: 14.358, Bearing: &g})
	if r.Scores.Driveline > 0.1 {
		t.Errorf("driveline %.2f: %+v", r.Scores.Driveline, r.Peaks)
	}
}

// TestCavity: one wave around the middle of the tyre.
func TestCavity(t *testing.T) {
	size, err := ParseTyre("225/45R17")
	if err != nil {
		t.Fatal(err)
	}
	around := math.Pi * (0.6343 + 17*0.0254) / 2
	outside.Check(t, []outside.Case{
		{Source: "SAKATA_1990", Where: "first mode", What: "225/45 R17: waves around its middle", Got: size.CavityHz() * around / 343.2, Want: 1, Tolerance: 1e-9, Why: "exact"},
		{Source: "SAKATA_1990", Where: "first mode", What: "225/45 R17, Hz, usual 190 to 240", Got: size.CavityHz(), Want: 205, Tolerance: 1, Why: "worked by hand to a hertz"},
	})
}
