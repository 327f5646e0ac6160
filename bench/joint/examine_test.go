package joint

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func examine(t testing.TB, c Case) Result {
	t.Helper()
	r, err := Examine(c, testTables())
	if err != nil {
		t.Fatalf("%+v: %v", c, err)
	}
	return r
}

func TestVerdicts(t *testing.T) {
	for _, tt := range []struct {
		name    string
		c       Case
		state   State
		verdict Verdict
		why     string
	}{
		{"usual aim", Case{Thread: "M12-8.8"}, Fair, Pass, "fair at both ends"},
		{"usual torque", Case{Thread: "M10x1.25-10.9", TorqueNm: new(50.0)}, Fair, Pass, "fair at both ends"},
		{"dry torque on oil", Case{Thread: "M12-8.8", TorqueNm: new(93.0), Friction: new(0.08)}, OverYield, Fail, "134 % of the yield strength"},
		{"dry torque on rust", Case{Thread: "M12-8.8", TorqueNm: new(93.0), Friction: new(0.24)}, Fair, CannotTell, "at the rough end only 35 %"},
		{"near yield", Case{Thread: "M12-8.8", TorqueNm: new(84.0)}, Fair, CannotTell, "at the slippery end it goes over yield"},
		{"just over at the slippery end", Case{Thread: "M12-8.8", TorqueNm: new(72.0)}, Fair, Pass, "fair at both ends"},
		{"over at the slippery end", Case{Thread: "M12-8.8", TorqueNm: new(75.0)}, Fair, CannotTell, "at the slippery end it goes over yield (108 % used); up to 73 N·m"},
		{"loose", Case{Thread: "M12-8.8", TorqueNm: new(32.0)}, UnderTightened, Fail, "under-tightened"},
		{"for another bolt", Case{Thread: "M12-8.8", TorqueNm: new(20.0)}, DoesNotFit, Fail, misfit},
		{"for a stronger bolt", Case{Thread: "M12-4.6", TorqueNm: new(70.0)}, DoesNotFit, Fail, misfit},
		{"test makes it sure", Case{Thread: "M12-8.8", TorqueNm: new(84.0), Friction: new(0.14), Method: "tested"}, Fair, Pass, "fair at both ends"},
		{"past yield", Case{Thread: "M10x1.5x80-10.9", TorqueNm: new(40.0), AngleDeg: 180, GripMm: 60}, OverYield, Fail, "new bolt each time"},
		{"past yield, as meant", Case{Thread: "M10x1.5x80-10.9", TorqueNm: new(40.0), AngleDeg: 180, GripMm: 60, NewBolt: true}, Fair, Pass, "new bolt each time"},
		{"turned far too much", Case{Thread: "M10-10.9", TorqueNm: new(40.0), AngleDeg: 540, GripMm: 20, NewBolt: true}, OverYield, Fail, "is stretched by"},
		{"angle in the elastic", Case{Thread: "M10-10.9", TorqueNm: new(20.0), AngleDeg: 30, GripMm: 60}, Fair, Pass, "fair at both ends"},
		{"strips", Case{Thread: "M10-10.9", TorqueNm: new(60.0), EngagementMm: 5, Into: "aluminium"}, Strips, Fail, "the thread strips"},
		{"may strip", Case{Thread: "M10-10.9", TorqueNm: new(55.0), EngagementMm: 8, Into: "aluminium"}, Fair, CannotTell, "at the slippery end the thread strips"},
		{"crushes", Case{Thread: "M10-10.9", TorqueNm: new(60.0), Material: "aluminium"}, Fair, CannotTell, "pressed with"},
		{"spread by a flange", Case{Thread: "M10-10.9", TorqueNm: new(60.0), Material: "aluminium", Head: "flange"}, Fair, Pass, ""},
		{"opens", Case{Thread: "M10-8.8", LoadKN: new(60.0), GripMm: 30}, Fair, Fail, "the joint opens"},
		{"may open", Case{Thread: "M10-8.8", LoadKN: new(22.0), GripMm: 30}, Fair, CannotTell, "with the lowest preload the joint opens"},
	} {
		r := examine(t, tt.c)
		if r.State != tt.state || r.Verdict != tt.verdict || !strings.Contains(r.Why, tt.why) {
			t.Errorf("%s: %s, %s, because %s; expected %s, %s, with %q", tt.name, r.State, r.Verdict, r.Why, tt.state, tt.verdict, tt.why)
		}
		if len(r.Working) < 10 || len(r.Cautions) == 0 {
			t.Errorf("%s: %d steps of working, %d cautions", tt.name, len(r.Working), len(r.Cautions))
		}
	}
}

func TestBadCases(t *testing.T) {
	for _, tt := range []struct {
		c    Case
		in   Input
		want string
	}{
		{Case{Thread: "M10x3"}, InThread, "M10x3: M10 has pitches 1.5 (coarse), 1.25, 1, 0.75"},
		{Case{Thread: "M10"}, InThread, "M10 says nothing of the strength of the bolt; expected the mark on the head, as in M10-8.8; a head without a mark counts as weak (4.6)"},
		{Case{Thread: "3/8-16"}, InThread, "3/8-16 UNC says nothing of the strength of the bolt; expected the mark on the head, as in 3/8-16 UNC grade 5; a head without a mark counts as weak (grade 2)"},
		{Case{Thread: "M10-10.9", Nut: "8"}, InNut, "a nut of class 8 is weaker than a bolt of class 10.9: its thread strips before the bolt gives; expected class 10 or 12"},
		{Case{Thread: "M10-8.8", Nut: "04"}, InNut, "a nut of class 04 is a thin one: it locks another nut and does not carry the preload of a bolt of class 8.8; expected a full nut: class 8 or 10 or 12"},
		{Case{Thread: "M10-8.8", Nut: "Grade 5"}, InNut, "a nut of class grade 5 is not made for a bolt of class 8.8; expected class 8 or 10 or 12"},
		{Case{Thread: "M10-8.8", Method: "angle"}, InAngle, "torque and angle is the way of tightening, and no angle is given; expected the angle"},
		{Case{Thread: "M10-8.8", Nut: "nyloc"}, InNut, `"nyloc" is no class of nuts; expected one of 8, 10, 12, 04, grade 5`},
		{Case{Thread: "M10x1.25-10.9", TorqueNm: new(200.0)}, InTorque, "200 N·m breaks a bolt M10x1.25-10.9: its preload would be 82.9 kN at the least, and it tears at 63.6 kN; expected at most 64 N·m on this surface"},
		{Case{Thread: "M10x1.25-10.9", PreloadKN: new(80.0)}, InPreload, "80 kN breaks a bolt M10x1.25-10.9: it tears at 63.6 kN; expected at most 45 kN"},
		{Case{Thread: "M10-8.8", TorqueNm: new(0.0)}, InTorque, "torque 0 N·m is impossible; expected more than 0, up to 5000 N·m"},
		{Case{Thread: "M10-8.8", TorqueNm: new(math.NaN())}, InTorque, "torque NaN is no number; expected more than 0, up to 5000 N·m"},
		{Case{Thread: "M10-8.8", Friction: new(0.6)}, InFriction, "friction 0.6 is outside what surfaces have; expected 0.04 to 0.5"},
		{Case{Thread: "M10-8.8", Friction: new(0.03)}, InFriction, "friction 0.03 is outside what surfaces have; expected 0.04 to 0.5"},
		{Case{Thread: "M10-8.8", NutFactor: new(1.0)}, InNutFactor, "nut factor 1 is outside what joints have; expected 0.06 to 0.6"},
		{Case{Thread: "M10-8.8", NutFactor: new(0.2), Friction: new(0.1)}, InNutFactor, "a friction and a nut factor are both given, and each says the same; expected one of the two"},
		{Case{Thread: "M10-8.8", Finish: "gold"}, InFinish, `"gold" is no finish with a published nut factor; expected one of zinc`},
		{Case{Thread: "M10-8.8", Finish: "zinc", Friction: new(0.1)}, InFinish, "a finish is given beside a friction or a nut factor, and each says the same; expected one of the two"},
		{Case{Thread: "M10-8.8", TorqueNm: new(20.0), AngleDeg: -90}, InAngle, "angle -90 degrees is no angle to tighten by; expected 0 to 720 degrees"},
		{Case{Thread: "M10-8.8", AngleDeg: 90}, InAngle, "an angle is given without the torque that it follows; expected the torque before it"},
		{Case{Thread: "M10-8.8", TorqueNm: new(20.0), AngleDeg: 90}, InGrip, "nothing says how thick the clamped parts are, so that the stretch of the bolt is not known; expected the grip, or both stiffnesses"},
		{Case{Thread: "M10-8.8", NewBolt: true}, InAngle, "a bolt that the maker turns past yield is turned by an angle, and none is given; expected the angle"},
		{Case{Thread: "M10-8.8", TorqueNm: new(5.0), PrevailingNm: 6}, InTorque, "5 N·m never gets past the running torque of the nut, 6 N·m: nothing is clamped; expected more than the running torque"},
		{Case{Thread: "M10-8.8", TorqueNm: new(5.0), PreloadKN: new(5.0)}, InPreload, "a torque and a preload are both given, and each follows from the other; expected one of the two"},
		{Case{Thread: "M10-8.8", Surface: "jam"}, InSurface, `"jam" is no surface known here; expected one of oiled, dry`},
		{Case{Thread: "M10-8.8", Method: "feel"}, InMethod, `"feel" is no way of tightening known here; expected one of wrench, angle, tested, impact, stretch`},
		{Case{Thread: "M10-8.8", Head: "wing"}, InHead, `"wing" is no kind of head known here; expected one of hex, flange, cone`},
		{Case{Thread: "3/8-16 grade 5", Head: "flange"}, InHead, "no table of flange heads for unified threads; expected hex, or a friction that was measured"},
		{Case{Thread: "M10-8.8", Material: "jelly"}, InMaterial, `"jelly" is no material known here; expected one of steel, aluminium, composite, steel-hard`},
		{Case{Thread: "M10-8.8", Into: "composite", EngagementMm: 10}, InInto, "fibre composite takes no thread; expected a metal that threads are cut in"},
		{Case{Thread: "M10-8.8", Into: "steel"}, InEngagement, "a tapped hole is given without the length of thread engaged in it; expected its length of thread"},
		{Case{Thread: "M10-8.8", EngagementMm: 10}, InInto, "a length of engaged thread is given without its material; expected what the hole is tapped in"},
		{Case{Thread: "M10-8.8", ProofShare: 1.2}, InProofShare, "share of the proof force 1.2 is impossible; expected 0.1 to 1"},
		{Case{Thread: "M10-8.8", Studs: 7}, InStuds, "a wheel with 7 studs has no order known here; expected 3, 4, 5, 6 or 8"},
		{Case{Thread: "M10-8.8", LoadKN: new(1.0)}, InGrip, "nothing says how thick the clamped parts are, so that the stretch of the bolt is not known; expected the grip, or both stiffnesses"},
	} {
		_, err := Examine(tt.c, testTables())
		var wrong *InputError
		if !errors.As(err, &wrong) || wrong.Input != tt.in || err.Error() != tt.want {
			t.Errorf("%+v:\n got %v\nwant %s: %s", tt.c, err, tt.in, tt.want)
		}
	}
}

func TestPrevailingTorqueIsAdded(t *testing.T) {
	bare := examine(t, Case{Thread: "M12-8.8", TorqueNm: new(90.0), Friction: new(0.14)})
	nut := examine(t, Case{Thread: "M12-8.8", TorqueNm: new(96.0), Friction: new(0.14), PrevailingNm: 6})
	back := examine(t, Case{Thread: "M12-8.8", PreloadKN: &bare.Preload.Value, Friction: new(0.14), PrevailingNm: 6})
	if math.Abs(bare.Preload.Value-nut.Preload.Value) > 1e-12 || math.Abs(back.Torque.Value-96) > 1e-9 {
		t.Errorf("90 N·m give %g kN, 96 with 6 of the nut %g kN, and back %g N·m", bare.Preload.Value, nut.Preload.Value, back.Torque.Value)
	}
	worn := examine(t, Case{Thread: "M8-8.8", PrevailingNm: 0.5})
	if !strings.Contains(strings.Join(worn.Cautions, "\n"), "worn out") {
		t.Errorf("a worn lock nut is not named: %q", worn.Cautions)
	}
}

func TestConeNeedsMoreTorque(t *testing.T) {
	flat := examine(t, Case{Thread: "M12x1.5-10.9", PreloadKN: new(45.0)})
	cone := examine(t, Case{Thread: "M12x1.5-10.9", PreloadKN: new(45.0), Head: "cone", Studs: 5})
	if cone.Torque.Value <= 1.3*flat.Torque.Value || cone.Wheel == nil || cone.Pressure != nil {
		t.Errorf("a conical seat needs %g N·m, a flat one %g; wheel %v, pressure %v", cone.Torque.Value, flat.Torque.Value, cone.Wheel, cone.Pressure)
	}
}

func TestStarOrders(t *testing.T) {
	for _, studs := range []int{3, 4, 5, 6, 8} {
		order, err := StarOrder(studs)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[int]bool{}
		for i, s := range order {
			seen[s] = true
			if studs <= 4 || i == 0 {
				continue
			}
			if gap := (s - order[i-1] + studs) % studs; gap == 1 || gap == studs-1 {
				t.Errorf("%d studs: %v goes from a stud to its neighbour", studs, order)
			}
		}
		if len(order) != studs || len(seen) != studs || !seen[1] || !seen[studs] {
			t.Errorf("%d studs: %v is no order of them", studs, order)
		}
	}
}

// anyCase draws a case of a bolt, most of them sound.
func anyCase(t *rapid.T) Case {
	tables := testTables()
	c := Case{
		Thread:  rapid.SampledFrom([]string{"M6-8.8", "M8x1-10.9", "M10-12.9", "M10x1.25-10.9", "M12-4.6", "M14x1.5-8.8", "M18-8.8", "M10-A2-70", "3/8-16 grade 5", "1/2-20 grade 8", "#10-24 grade 8"}).Draw(t, "thread"),
		Surface: rapid.SampledFrom(tables.Surfaces).Draw(t, "surface").Key,
		Method:  rapid.SampledFrom([]string{"wrench", "tested", "impact"}).Draw(t, "method"),
	}
	maybe := func(name string, low, high float64) *float64 {
		if rapid.Bool().Draw(t, "has "+name) {
			return new(rapid.Float64Range(low, high).Draw(t, name))
		}
		return nil
	}
	c.Friction = maybe("friction", LowestFriction, HighestFriction)
	if c.Friction == nil {
		c.NutFactor = maybe("nut factor", LowestNutFactor, HighestNutFactor)
	}
	if p := maybe("running torque", 0, 20); p != nil {
		c.PrevailingNm = *p
	}
	return c
}

func TestTorqueAndPreloadThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCase(t)
		c.TorqueNm = new(rapid.Float64Range(0.1, 400).Draw(t, "torque"))
		r, err := Examine(c, testTables())
		if err != nil {
			var wrong *InputError
			if !errors.As(err, &wrong) {
				t.Fatalf("%+v: %v", c, err)
			}
			return
		}
		sound(t, r)
		if r.Preload.Value > r.TensileKN {
			return
		}
		back := c
		back.TorqueNm, back.PreloadKN = nil, &r.Preload.Value
		again, err := Examine(back, testTables())
		if err != nil {
			t.Fatalf("%+v: %v", back, err)
		}
		if math.Abs(again.Torque.Value-*c.TorqueNm) > 1e-9**c.TorqueNm {
			t.Fatalf("%g N·m give %g kN, and these %g N·m", *c.TorqueNm, r.Preload.Value, again.Torque.Value)
		}
		if again.Verdict != r.Verdict || again.State != r.State {
			t.Fatalf("%s, %s by torque, %s, %s by preload", r.Verdict, r.State, again.Verdict, again.State)
		}
	})
}

// sound holds a result to what holds of every one: finite, ends in order, JSON.
func sound(t *rapid.T, r Result) {
	if _, err := json.Marshal(r); err != nil {
		t.Fatalf("%s: %v", r.Designation, err)
	}
	for _, s := range []Spread{r.Preload, r.Torque, r.Shares, r.Utilisation, r.Friction, r.NutFactor} {
		if !(s.Low <= s.Value && s.Value <= s.High && s.Low > 0) || math.IsInf(s.High, 0) {
			t.Fatalf("%s: ends out of order: %+v", r.Designation, s)
		}
	}
	if r.Verdict == Pass && r.State != Fair || r.Why == "" {
		t.Fatalf("%s: %s, %s, %q", r.Designation, r.Verdict, r.State, r.Why)
	}
}

func TestMoreTorqueMorePreload(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCase(t)
		c.PrevailingNm = 0
		torque := rapid.Float64Range(0.5, 100).Draw(t, "torque")
		more := torque * rapid.Float64Range(1.001, 3).Draw(t, "times")
		c.TorqueNm = &torque
		low, err := Examine(c, testTables())
		if err != nil {
			return
		}
		c.TorqueNm = &more
		high, err := Examine(c, testTables())
		if err != nil {
			return
		}
		if !(high.Preload.Value > low.Preload.Value && high.Preload.Low > low.Preload.Low && high.Utilisation.High > low.Utilisation.High) {
			t.Fatalf("%g N·m: %+v; %g N·m: %+v", torque, low.Preload, more, high.Preload)
		}
	})
}

func TestMoreFrictionLessPreload(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Case{Thread: anyCase(t).Thread, TorqueNm: new(rapid.Float64Range(0.5, 20).Draw(t, "torque"))}
		mu := rapid.Float64Range(LowestFriction, 0.4).Draw(t, "friction")
		more := mu + rapid.Float64Range(0.001, 0.1).Draw(t, "more")
		c.Friction = &mu
		slippery, err := Examine(c, testTables())
		if err != nil {
			return
		}
		c.Friction = &more
		rough, err := Examine(c, testTables())
		if err != nil {
			t.Fatal(err)
		}
		if rough.Preload.Value >= slippery.Preload.Value || rough.Aim.TorqueNm <= slippery.Aim.TorqueNm {
			t.Fatalf("friction %g: %+v; %g: %+v", mu, slippery.Preload, more, rough.Preload)
		}
	})
}

// TestScale: twice as large in every direction carries four times as much.
func TestScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		small := Thread{System: Metric, DiameterMm: rapid.Float64Range(3, 40).Draw(t, "d")}
		small.PitchMm = small.DiameterMm * rapid.Float64Range(0.05, 0.25).Draw(t, "p")
		large := small
		large.DiameterMm, large.PitchMm = 2*small.DiameterMm, 2*small.PitchMm
		mu := rapid.Float64Range(LowestFriction, HighestFriction).Draw(t, "mu")
		if math.Abs(large.StressAreaMm2()-4*small.StressAreaMm2()) > 1e-9*large.StressAreaMm2() || math.Abs(large.Twist(mu)-small.Twist(mu)) > 1e-12 {
			t.Fatalf("%+v and twice that do not scale", small)
		}
	})
}

func TestAngleNeverPassesYield(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Case{Thread: "M10-10.9", TorqueNm: new(rapid.Float64Range(1, 60).Draw(t, "torque")), AngleDeg: rapid.Float64Range(1, 720).Draw(t, "angle"), GripMm: rapid.Float64Range(2, 300).Draw(t, "grip")}
		r, err := Examine(c, testTables())
		if err != nil {
			return
		}
		sound(t, r)
		if r.Utilisation.Value > 1+1e-9 || r.Angle.KNPerDeg > r.Angle.MostKNPerDeg || r.Angle.PastYield != (c.AngleDeg > r.Angle.YieldsAtDeg) && math.Abs(c.AngleDeg-r.Angle.YieldsAtDeg) > 1e-9 {
			t.Fatalf("%+v: %+v", c, r.Angle)
		}
	})
}

func TestWrenchMistakes(t *testing.T) {
	for _, tt := range []struct {
		largest  float64
		readings []WrenchReading
		want     string
	}{
		{0, []WrenchReading{{1, 1}}, "a wrench for 0 N·m is impossible; expected more than 0, up to 5000 N·m"},
		{100, nil, "no readings of the wrench; expected at least one pull against a reference"},
		{100, []WrenchReading{{50, 50}, {50, 0}}, "pull 2: 50 N·m set, 0 N·m measured is impossible; expected both above 0, up to 5000 N·m"},
	} {
		if _, err := CheckWrench(tt.largest, 0, tt.readings); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
}

func TestUnitNames(t *testing.T) {
	for text, want := range map[string]Unit{
		"N·m": NewtonMetre, "Nm": NewtonMetre, "lbf·ft": LbfFoot, "ft-lb": LbfFoot, "ft.lbs": LbfFoot, "in-lb": LbfInch, "kgf·m": KgfMetre, "kgf-cm": KgfCm, "oz in": OzfInch,
	} {
		if got, err := ParseUnit(text); err != nil || got != want {
			t.Errorf("%q is read as %v, %v", text, got, err)
		}
	}
	if _, err := ParseUnit("stone yard"); err == nil || err.Error() != `"stone yard" is no unit of torque known here; expected N·m, lbf·ft, lbf·in, kgf·m, kgf·cm or ozf·in` {
		t.Errorf("got %v", err)
	}
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]Unit{NewtonMetre, LbfFoot, LbfInch, KgfMetre, KgfCm, OzfInch}).Draw(t, "unit")
		x := rapid.Float64Range(1e-3, 1e4).Draw(t, "x")
		if back := u.FromNm(u.ToNm(x)); math.Abs(back-x) > 1e-15*x*4 {
			t.Fatalf("%g comes back as %g", x, back)
		}
	})
}
