package angles

import (
	"math"
	"testing"

	"wreckwright/outside"
)

// An upright leaned out and held by its track rod, in testdata/adjust.py.
func TestToeOfALeanAgainstPoints(t *testing.T) {
	var cases []outside.Case
	for _, x := range []struct {
		arm, above float64
		ahead      bool
		by, toe    float64
	}{
		{130, 50, false, 1, -0.385300648},
		{130, 50, true, -0.5, -0.193194947},
		{145, 90, false, -0.8, 0.498319709},
		{120, -30, false, 0.7, 0.176636861},
		{130, 50, true, 1, 0.384590125},
	} {
		arm := "behind"
		if x.ahead {
			arm = "ahead"
		}
		c := Case{TieRod: &TieRod{PitchMm: 1.5, ArmMm: x.arm, AngleDeg: 90, Arm: arm, AboveMm: &x.above}}
		got := *c.camberChange(figures{}, FL, x.by)[0].ToeChangeDeg
		cases = append(cases, outside.Case{
			Source: "NUMPY_1_24", Where: "corners adjusted, points moved", What: "toe by a lean, deg", Got: got, Want: x.toe,
			Tolerance: 0.015 * math.Abs(x.toe), Why: "the formula is plane: caster, inclination and the slope of the rod come to 1.5 per cent of the change",
		})
	}
	outside.Check(t, cases)
}

// A strut top slid by so much, in testdata/adjust.py.
func TestStrutTopAgainstPoints(t *testing.T) {
	var cases []outside.Case
	add := func(what string, got, want, tolerance float64, why string) {
		cases = append(cases, outside.Case{Source: "NUMPY_1_24", Where: "corners adjusted, points moved", What: what, Got: got, Want: want, Tolerance: tolerance, Why: why})
	}
	for _, x := range []struct{ height, inclination, camberChange, out float64 }{
		{600, 12, 1 - 0.266824555, 8}, {560, 13, 0.5 - 1.467619175, -10}, {640, 15, 2 - 0.991958859, 12},
	} {
		add("strut top outwards, mm", StrutTop{x.height}.strutOut(x.camberChange, x.inclination), x.out, 0.02, "caster turns a little of the lean into toe: 0.02 mm of 10")
	}
	add("strut top to the rear, mm", StrutTop{600}.strutBack(6, 6.942777210), 10, 1e-6, "printed to 1e-9")
	outside.Check(t, cases)
}

// A stiff body on four springs, in testdata/adjust.py.
func TestLoadsAgainstABodyAtRest(t *testing.T) {
	var cases []outside.Case
	for _, x := range []struct {
		kf, kr, bf, br, tf, tr float64
		raised, loads          [4]float64
	}{
		{30, 30, 0, 0, 1500, 1500, [4]float64{5, 0, 0, 0}, [4]float64{37.500000, -37.500000, -37.500000, 37.500000}},
		{28, 32, 0, 0, 1530, 1520, [4]float64{5, 0, 0, 0}, [4]float64{37.104748, -37.104748, -37.348858, 37.348858}},
		{28, 32, 12, 6, 1530, 1520, [4]float64{5, 0, 0, 0}, [4]float64{33.873248, -33.873248, -34.096098, 34.096098}},
		{28, 32, 0, 0, 1530, 1520, [4]float64{5, -5, -5, 5}, [4]float64{148.907211, -148.907211, -149.886864, 149.886864}},
		{40, 55, 18, 0, 1480, 1540, [4]float64{0, 3, -2, 0}, [4]float64{-2.157952, 2.157952, 2.073876, -2.073876}},
	} {
		s := Springs{RateNPerMm: [2]float64{x.kf, x.kr}, MotionRatio: [2]float64{1, 1}, BarNPerMm: [2]float64{x.bf, x.br}, TrackMm: [2]float64{x.tf, x.tr}, PitchMm: 1}
		got := s.raised(x.raised)
		for _, n := range Corners {
			cases = append(cases, outside.Case{Source: "NUMPY_1_24", Where: "corners adjusted, points moved", What: "load " + n.String() + ", N", Got: got[n], Want: x.loads[n], Tolerance: 1e-6, Why: "printed to 1e-6"})
		}
	}
	outside.Check(t, cases)
}

// The platforms told bring the cross-weight to the middle of what is wanted, with
// the ride height of both axles kept.
func TestPlatformsBringTheCrossWeight(t *testing.T) {
	c := Case{
		Weights: &[4]float64{362, 338, 291, 309}, Cross: &Limits{49.5, 50.5}, Doubt: Doubt{WeightKg: 1},
		Springs: &Springs{RateNPerMm: [2]float64{60, 75}, MotionRatio: [2]float64{0.9, 1}, TyreNPerMm: 220, PitchMm: 1.5},
	}
	r := examined(t, c)
	if r.Verdict != Fail || len(r.Adjust) != 4 || len(r.Platforms) != 4 {
		t.Fatalf("%s, %+v", r.Verdict, r.Adjust)
	}
	var turns [4]float64
	for i, a := range r.Adjust {
		if !a.Estimate || a.Unit != "turns" {
			t.Errorf("%+v is not told as an estimate", a)
		}
		turns[i] = a.By
	}
	mm := c.Springs.turned(turns)
	if math.Abs(mm[FL]+mm[FR]) > 1e-9 || math.Abs(mm[RL]+mm[RR]) > 1e-9 {
		t.Errorf("raised by %v: the ride height moves", mm)
	}
	for n, d := range c.Springs.raised(mm) {
		c.Weights[n] += d / gravity
	}
	if got := examined(t, c).Weights.CrossPercent; math.Abs(got-50) > 1e-9 {
		t.Errorf("cross-weight %.6f; want 50", got)
	}
}

func TestTurnsAboutOnePoint(t *testing.T) {
	outside.Check(t, []outside.Case{
		{Source: "NUMPY_1_24", Where: "corners adjusted, points moved", What: "outer wheel, deg", Got: idealOuter(20, 2600, 1400), Want: 16.926421842, Tolerance: 1e-8, Why: "printed to 1e-9"},
		{Source: "NUMPY_1_24", Where: "corners adjusted, points moved", What: "outer wheel, deg", Got: idealOuter(32, 2450, 1480), Want: 24.400700134, Tolerance: 1e-8, Why: "printed to 1e-9"},
	})
	c := Case{Turns: [2]*Turns{{20, 18.2}, {20, 16.9}}, WheelbaseMm: 2600, TrackMm: 1400, Doubt: Doubt{TurnDeg: 0.2}, TurnsWant: &Limits{1.2, 2.4}}
	r := examined(t, c)
	left, right := r.Turns["left"], r.Turns["right"]
	if math.Abs(*left.ToeOut-1.8) > 1e-12 || math.Abs(*left.ToeOutSD-0.2*math.Sqrt2) > 1e-6 || math.Abs(*right.Share-100) > 1 {
		t.Errorf("%+v, %+v", left, right)
	}
	if r.Verdict != Fail || len(r.Signs) != 1 {
		t.Errorf("%s: %s, %+v", r.Verdict, r.Why, r.Signs)
	}
}

// Caster is told before camber, camber before toe.
func TestOrderOfAdjustments(t *testing.T) {
	c, n := simulatedSweeps[0].caseOf(true)
	c.StrutTop = &StrutTop{600}
	c.Want[0] = Want{"caster_deg": {7, 8}, "camber_deg": {-3, -2.5}, "toe_deg": {0.5, 0.6}}
	var order []string
	for _, a := range examined(t, c).Adjust {
		if a.Wheel == n.String() {
			order = append(order, a.What[:6])
		}
	}
	want := []string{"caster", "strut ", "camber", "strut ", "toe, p"}
	if len(order) != len(want) {
		t.Fatalf("%q", order)
	}
	for i := range want {
		if order[i] != want[i] {
			t.Errorf("%q; want %q", order, want)
		}
	}
}
