package angles

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// simulated is a wheel swept in testdata/simulate.py: what it was built as, and
// what was read.
type simulated struct {
	side, caster, axis, camber, toe, out, in, leftHigher, noseDown float64

	straight, camberOut, pitchOut, camberIn, pitchIn float64
}

var simulatedSweeps = []simulated{
	{1, 6, 12, -1, 0, 20, 20, 0, 0, -1.000000000, 1.797221337, 3.804694964, -2.316595142, -4.498579158},
	{-1, 6, 12, -1, 0.1, 20, 20, 0, 0, -1.000000000, 1.790550372, 3.809533941, -2.308757068, -4.500916019},
	{1, 3, 13, -0.5, 0.05, 20.6, 19.2, 0, 0, -0.500000000, 1.401417794, 4.468538664, -0.747156331, -4.503919871},
	{-1, 10, 14, -2.5, -0.2, 18, 21, 0.3, 0.2, -2.200684569, 1.547414291, 3.610746973, -4.791863656, -5.765053869},
	{1, -1, 8, 1, 0.3, 15, 20, -0.4, -0.3, 1.398409793, 1.467483974, 2.312280084, 2.115566368, -2.278145326},
	{1, 7.5, 15, -1.75, 0.25, 20, 20, 0.2, -0.5, -1.952113307, 1.714256991, 5.344367785, -3.719347252, -5.241500709},
	{-1, 0, 10, 0, 0, 10, 10, 0, 0, 0.000000000, 0.153520007, 1.754605621, 0.153520007, -1.754605621},
}

// caseOf is a simulated sweep as a case, with the brake held or not.
func (s simulated) caseOf(brake bool) (Case, Corner) {
	n := FL
	if s.side < 0 {
		n = FR
	}
	const rim = 450
	w := &Wheel{
		Edges:     &Edges{RimMm: rim, FrontMm: 150 + rim*math.Sin(s.toe*degree), RearMm: 150},
		CamberDeg: new(s.straight),
		Sweep:     &Sweep{OutDeg: s.out, CamberOutDeg: s.camberOut, InDeg: s.in, CamberInDeg: s.camberIn},
	}
	if brake {
		w.Sweep.Pitch = &Pitch{s.pitchOut, s.pitchIn}
	}
	c := Case{Doubt: UsualDoubt(), Floor: Floor{LeftHigherDeg: [2]float64{s.leftHigher, 0}, NoseDownDeg: s.noseDown}}
	c.Wheels[n] = w
	return c, n
}

func TestSweepsAgainstTurnedWheels(t *testing.T) {
	for i, s := range simulatedSweeps {
		for _, brake := range []bool{true, false} {
			c, n := s.caseOf(brake)
			r := examined(t, c).Wheels[n.String()]
			where := fmt.Sprintf("wheel %d, brake held %v: ", i, brake)
			outside.Check(t, []outside.Case{
				{Source: "NUMPY_1_24", Where: "wheels turned about their steering axis", What: where + "caster", Got: *r.Caster, Want: s.caster, Tolerance: 2e-6, Why: "readings printed to 1e-9, magnified up to 20 times"},
				{Source: "NUMPY_1_24", Where: "wheels turned about their steering axis", What: where + "steering axis", Got: *r.SteeringAxis, Want: s.axis, Tolerance: 2e-6, Why: "likewise"},
				{Source: "NUMPY_1_24", Where: "wheels turned about their steering axis", What: where + "camber", Got: *r.Camber, Want: s.camber, Tolerance: 2e-8, Why: "printed to 1e-9"},
				{Source: "SAE_J670", Where: "caster, camber and steering-axis inclination", What: where + "included angle", Got: *r.Included, Want: s.axis + s.camber, Tolerance: 2e-6, Why: "defined as projections, built so"},
			})
		}
	}
}

// simulatedCar is the car of testdata/simulate.py read from two lines.
func simulatedCar(edges [4][4]float64, gap *[2]Gap) Case {
	c := Case{Doubt: UsualDoubt(), Lines: Lines{Gap: gap}}
	for _, n := range Corners {
		e := edges[n]
		c.Wheels[n] = &Wheel{Edges: &Edges{e[0], e[1], e[2]}, HubXMm: new(e[3])}
	}
	return c
}

var (
	parallelCar = [4][4]float64{
		{445, 173.820333830, 171.179666170, 1300.000000000},
		{445, 172.150497961, 172.849502039, 1284.200000000},
		{470, 177.804652709, 174.195347291, -1310.000000000},
		{470, 175.179696917, 176.820303083, -1309.800000000},
	}
	freeCar = [4][4]float64{
		{445, 183.117432211, 177.758528278, 1298.922008931},
		{445, 175.305742612, 175.072741167, 1273.745580634},
		{470, 171.234532473, 164.754330292, -1311.050674469},
		{470, 172.928255497, 173.584499082, -1320.184640989},
	}
	freeGap = &[2]Gap{{1300, 1890.723331852365}, {-1310, 1869.3128976800429}}
)

func TestLinesAgainstPointsOfTheRims(t *testing.T) {
	for name, c := range map[string]Case{"parallel": simulatedCar(parallelCar, nil), "free": simulatedCar(freeCar, freeGap)} {
		r := examined(t, c)
		var cases []outside.Case
		for i, want := range []float64{0.34, -0.09, 0.44, -0.2} {
			n := Corner(i).String()
			cases = append(cases, outside.Case{Source: "ISO_8855", Where: "7.1.6", What: name + " toe " + n, Got: *r.Wheels[n].Toe, Want: want, Tolerance: 1e-7, Why: "edges printed to 1e-9 mm"})
		}
		outside.Check(t, append(cases, []outside.Case{
			{Source: "ISO_8855", Where: "7.1.7", What: name + " total toe", Got: *r.Axles["front"].TotalToe, Want: 0.25, Tolerance: 1e-7, Why: "the sum of both as built"},
			{Source: "NUMPY_1_24", Where: "wheels turned about their steering axis", What: name + " thrust", Got: *r.Thrust, Want: 0.32, Tolerance: 1e-7, Why: "left rear in, right rear out: to the right"},
			{Source: "NUMPY_1_24", Where: "wheels turned about their steering axis", What: name + " set-back", Got: *r.Axles["front"].SetBackMm, Want: 15.8, Tolerance: 1e-5, Why: "hubs as built"},
		}...))
		if name == "free" {
			outside.Check(t, []outside.Case{{Source: "NUMPY_1_24", Where: "wheels turned about their steering axis", What: "track", Got: *r.Axles["rear"].Track, Want: 1528, Tolerance: 1e-5, Why: "as built"}})
		}
	}
}

// The doubts against the drawing of many readings would only repeat the
// derivatives; these are the closed forms.
func TestDoubtsAgainstClosedForms(t *testing.T) {
	c := simulatedCar(parallelCar, nil)
	c.Doubt = Doubt{LineMm: 0.5}
	r := examined(t, c)
	sweep, n := simulatedSweeps[0].caseOf(true)
	sweep.Doubt = Doubt{CamberDeg: 0.1}
	caster := *examined(t, sweep).Wheels[n.String()].CasterSD
	outside.Check(t, []outside.Case{
		{Source: "JCGM_100", Where: "5.1.2", What: "toe, rim 445, 0.5 mm each", Got: *r.Wheels["FL"].ToeSD, Want: math.Sqrt2 * 0.5 / 445 / degree, Tolerance: 2e-6, Why: "small angle: cosine 1"},
		{Source: "JCGM_100", Where: "5.1.2", What: "thrust, rim 470", Got: *r.ThrustSD, Want: 0.5 / 470 / degree, Tolerance: 2e-6, Why: "likewise"},
		{Source: "JCGM_100", Where: "5.1.2", What: "caster at 20 degrees, 0.1 each", Got: caster, Want: 0.1 * math.Sqrt2 / (2 * math.Sin(20*degree)), Tolerance: 3e-3, Why: "the closed form leaves out camber, caster and steering axis: 1 per cent"},
	})
}

func TestChanceAgainstTables(t *testing.T) {
	r := examineLimit("FL", "toe_deg", 0.1, 0.05, Limits{0, 0.2})
	outside.Check(t, []outside.Case{{Source: "JCGM_106", Where: "7.3", What: "within two standard deviations", Got: r.Chance, Want: 0.9544997361, Tolerance: 1e-9, Why: "normal tables, printed to 1e-10"}})
}

func examined(t *testing.T, c Case) Result {
	t.Helper()
	r, err := Examine(c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
