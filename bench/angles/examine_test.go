package angles

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func lined(front float64) *Wheel { return &Wheel{Edges: &Edges{450, 150 + front, 150}} }

func TestVerdicts(t *testing.T) {
	for name, x := range map[string]struct {
		low, high float64
		want      string
	}{
		"well within":  {-1, 1, Pass},
		"well outside": {1, 2, Fail},
		"on the limit": {0, 1, CannotTell},
	} {
		c := Case{Doubt: UsualDoubt()}
		c.Wheels[FL], c.Wheels[FR] = lined(0), lined(0)
		c.Want[0] = Want{"total_toe_deg": {x.low, x.high}}
		if r := examined(t, c); r.Verdict != x.want || r.Why == "" {
			t.Errorf("%s: %s, %s; want %s", name, r.Verdict, r.Why, x.want)
		}
	}
	c := Case{Doubt: UsualDoubt()}
	c.Wheels[FL] = lined(0)
	if r := examined(t, c); r.Verdict != CannotTell || !strings.Contains(r.Why, "no limits") {
		t.Errorf("without limits: %s, %s", r.Verdict, r.Why)
	}
	c.Want[0] = Want{"toe_deg": {-1, 1}}
	if r := examined(t, c); r.Verdict != CannotTell || !strings.Contains(r.Why, "not measured: FR toe") {
		t.Errorf("one wheel not measured: %s, %s", r.Verdict, r.Why)
	}
}

// After the adjustments are made the car is as wanted, straight ahead included.
func TestAdjustmentsBringItThere(t *testing.T) {
	c := Case{Doubt: Doubt{LineMm: 0.1}}
	for n, mm := range []float64{6, -2, 5, 1} {
		c.Wheels[n] = lined(mm)
	}
	c.Want[0] = Want{"total_toe_deg": {0.05, 0.15}}
	c.Thrust = &Limits{-0.1, 0.1}
	c.TieRod = &TieRod{PitchMm: 1.5, ArmMm: 130, AngleDeg: 90}
	for _, a := range examined(t, c).Adjust {
		by := a.By
		if a.Unit == "turns" {
			by *= 0.66110 // degrees for a turn of 1.5 mm on an arm of 130 mm
		}
		for _, n := range Corners {
			if n.String() == a.Wheel {
				e := c.Wheels[n].Edges
				toe := math.Asin((e.FrontMm-e.RearMm)/e.RimMm) + by*degree
				e.FrontMm = e.RearMm + e.RimMm*math.Sin(toe)
			}
		}
	}
	r := examined(t, c)
	if r.Verdict != Pass || len(r.Adjust) != 0 {
		t.Errorf("%s, %s, %v", r.Verdict, r.Why, r.Adjust)
	}
	if l, right := *r.Wheels["FL"].ToThrust, *r.Wheels["FR"].ToThrust; math.Abs(l-0.05) > 1e-4 || math.Abs(right-0.05) > 1e-4 {
		t.Errorf("toe to the thrust line %g and %g; want 0.05 each", l, right)
	}
}

// A front axle that was set about a thrust line follows it when the rear axle is put right.
func TestFrontFollowsTheThrustLine(t *testing.T) {
	c := Case{Doubt: Doubt{LineMm: 0.1}}
	for n, mm := range []float64{3, -2, 3, -2} {
		c.Wheels[n] = lined(mm)
	}
	c.Want[0] = Want{"total_toe_deg": {0.05, 0.25}}
	c.Thrust = &Limits{-0.1, 0.1}
	// half of asin(3/450) + asin(2/450) each way
	want := map[string]float64{"RL": -0.318312, "RR": 0.318312, "FL": -0.318312, "FR": 0.318312}
	list := examined(t, c).Adjust
	if len(list) != len(want) {
		t.Fatalf("%+v", list)
	}
	for _, a := range list {
		if math.Abs(a.By-want[a.Wheel]) > 1e-5 {
			t.Errorf("%+v; want %g", a, want[a.Wheel])
		}
	}
}

func TestAdjustmentForms(t *testing.T) {
	c := Case{TieRod: &TieRod{PitchMm: 1.5, ArmMm: 130, AngleDeg: 70, Sleeve: true, Arm: "ahead", AboveMm: new(50.0)}}
	// 0.703533 degrees a turn: 1.5 mm over 130 mm at 70 degrees
	if a := c.toeChange(FL, 0.703533); math.Abs(a.By+0.5) > 1e-5 || !strings.Contains(a.What, "longer") {
		t.Errorf("%+v; want half a turn shorter", a)
	}
	if a := c.toeChange(RL, 0.1); a.By != 0.1 || a.Unit != "deg" {
		t.Errorf("%+v; want degrees at the rear", a)
	}
	// the top goes out by 1 degree, the ball 50 mm up by 0.873 mm; an arm ahead of
	// the axle is held back and so turns the front in
	toe := *c.camberChange(figures{}, FL, 1)[0].ToeChangeDeg
	if math.Abs(toe-0.3846) > 1e-3 {
		t.Errorf("toe %+.4f by a degree of camber; want +0.3846", toe)
	}
}

func TestSigns(t *testing.T) {
	for _, x := range []struct {
		camber, axis, included state
		want                   string
	}{
		{off, right, off, "camber off with steering axis right and included angle off: bent upright or strut"},
		{off, off, right, "upper mount, lower arm or subframe has moved"},
		{right, off, off, "and a moved mount"},
		{off, off, off, "mount or arm moved besides"},
		{off, unknown, unknown, "sweep the wheel"},
		{right, right, right, ""},
	} {
		got := camberSign(x.camber, x.axis, x.included)
		if !strings.Contains(got, x.want) || x.want == "" && got != "" {
			t.Errorf("%+v: %q", x, got)
		}
	}
}

func TestMistakes(t *testing.T) {
	sweep := func(s Sweep) *Wheel { return &Wheel{CamberDeg: new(-1.0), Sweep: &s} }
	for key, wheel := range map[string]*Wheel{
		"wheels.FL":                      {},
		"wheels.FL.rim_mm":               {Edges: &Edges{45, 1, 1}},
		"wheels.FL.front_mm":             {Edges: &Edges{450, 500, 100}},
		"wheels.FL.camber_deg":           {CamberDeg: new(math.NaN())},
		"wheels.FL.sweep.in_deg":         sweep(Sweep{OutDeg: 20, InDeg: -20}),
		"wheels.FL.sweep":                sweep(Sweep{OutDeg: 20, InDeg: 20, CamberOutDeg: 30, CamberInDeg: 30}),
		"wheels.FL.sweep.pitch_out_deg":  sweep(Sweep{OutDeg: 20, InDeg: 20, Pitch: &Pitch{OutDeg: 80}}),
		"wheels.FL.sweep.camber_out_deg": sweep(Sweep{OutDeg: 20, InDeg: 20, CamberOutDeg: 80}),
		"wheels.FL.turned.camber_deg":    {CamberDeg: new(1.0), TurnedCamberDeg: new(90.0)},
		"wheels.FL.turned.front_mm":      {Edges: &Edges{450, 150, 150}, TurnedEdges: &[2]float64{math.Inf(1), 0}},
		"wheels.FL.hub_x_mm":             {CamberDeg: new(1.0), HubXMm: new(1e9)},
	} {
		c := Case{Doubt: UsualDoubt()}
		c.Wheels[FL] = wheel
		_, err := Examine(c)
		var wrong *InputError
		if !errors.As(err, &wrong) || wrong.Key != key || wrong.Problem == "" || wrong.Expected == "" {
			t.Errorf("%s: %v", key, err)
		}
	}
	if _, err := Examine(Case{}); err == nil {
		t.Error("nothing measured, no error")
	}
}

// An inclinometer that shows 0.4 degrees when it stands upright misleads no
// figure once it was read turned end for end: not camber, not the sweep.
func TestZeroOfTheInclinometer(t *testing.T) {
	const zero = 0.4
	c, n := simulatedSweeps[0].caseOf(true)
	right := examined(t, c).Wheels[n.String()]
	w := c.Wheels[n]
	straight := *w.CamberDeg
	*w.CamberDeg, w.ReversedCamberDeg = straight+zero, new(-straight+zero)
	w.Sweep.CamberOutDeg += zero
	w.Sweep.CamberInDeg += zero
	got := examined(t, c).Wheels[n.String()]
	for _, x := range [][2]float64{{*got.Camber, *right.Camber}, {*got.Caster, *right.Caster}, {*got.SteeringAxis, *right.SteeringAxis}} {
		if math.Abs(x[0]-x[1]) > 1e-9 {
			t.Errorf("%.9f; want %.9f", x[0], x[1])
		}
	}
	if *got.CamberSD >= *right.CamberSD {
		t.Errorf("the doubt of the mean of two is %.4f; of one %.4f", *got.CamberSD, *right.CamberSD)
	}
}
