package joint

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// TestEndsOfFriction: where the method scatters less than the surface, the ends
// are those of the surface, and the other way round.
func TestEndsOfFriction(t *testing.T) {
	contact := hexMetric(12, 1.75)
	r := examine(t, Case{Thread: "M12-8.8", TorqueNm: new(60.0), Surface: "dry", Method: "stretch"})
	near(t, "preload", r.Preload.Value, contact.Preload(60, 0.19, 0.19))
	near(t, "low by friction", r.Preload.Low, contact.Preload(60, 0.24, 0.24))
	near(t, "high by friction", r.Preload.High, contact.Preload(60, 0.14, 0.14))
	near(t, "use at the high end", r.Utilisation.High, contact.Thread.Utilisation(r.Preload.High, 0.14, 640))
	wide := examine(t, Case{Thread: "M12-8.8", TorqueNm: new(60.0), Surface: "dry", Method: "impact"})
	near(t, "low by method", wide.Preload.Low, 0.4*wide.Preload.Value)
	near(t, "high by method", wide.Preload.High, 1.6*wide.Preload.Value)
	near(t, "torque of the wrench, low", r.Torque.Low, 60*0.96)
	near(t, "torque of a small wrench, high", examine(t, Case{Thread: "M6-8.8", TorqueNm: new(8.0)}).Torque.High, 8*1.06)
	near(t, "torque of a large wrench, high", examine(t, Case{Thread: "M6-8.8", TorqueNm: new(8.0), WrenchNm: 100}).Torque.High, 8*1.04)
	near(t, "torque in lbf·in", r.TorqueIn.LbfIn, 60/0.1129848290276167)
}

// TestMostTorque: at the most torque the slippery end uses all of the yield.
func TestMostTorque(t *testing.T) {
	r := examine(t, Case{Thread: "M12-8.8", TorqueNm: new(60.0)})
	near(t, "use at the most torque", examine(t, Case{Thread: "M12-8.8", TorqueNm: &r.MostNm}).Utilisation.High, mostUseAtEnd)
}

// TestTurnedByHand: an angle with stiffnesses that were given, worked by hand.
func TestTurnedByHand(t *testing.T) {
	r := examine(t, Case{Thread: "M10-10.9", TorqueNm: new(20.0), AngleDeg: 20, BoltKNMm: new(100.0), MemberKNMm: new(400.0)})
	nominal, root := math.Pi*100/4, math.Pi/4*math.Pow(10-17*math.Sqrt(3)/24*1.5, 2)
	ends := (5/nominal + 5/root + 4/nominal) / 207
	likely, most := 1.5/360/(0.0125+ends), 1.5/360/0.0125
	near(t, "a degree", r.Angle.KNPerDeg, likely)
	near(t, "a degree at most", r.Angle.MostKNPerDeg, most)
	snug := examine(t, Case{Thread: "M10-10.9", TorqueNm: new(20.0)}).Preload
	near(t, "preload", r.Preload.Value, snug.Value+20*likely)
	near(t, "low", r.Preload.Low, snug.Low+20*likely*(1-1.0/6))
	near(t, "high", r.Preload.High, snug.High+20*most*(1+1.0/6))
}

// TestWeakerThreadStrips: of hole and bolt the weaker one counts.
func TestWeakerThreadStrips(t *testing.T) {
	soft := examine(t, Case{Thread: "M10-10.9", TorqueNm: new(30.0), EngagementMm: 10, Into: "aluminium"}).Engagement
	hard := examine(t, Case{Thread: "M10-10.9", TorqueNm: new(30.0), EngagementMm: 10, Into: "steel-hard"}).Engagement
	near(t, "soft hole", soft.StripsKN, 7.0/8*math.Pi*10*10*0.200)
	near(t, "hard hole", hard.StripsKN, 3.0/4*math.Pi*(10-5*math.Sqrt(3)/8*1.5)*10*0.6*1.040)
	near(t, "enough", hard.EnoughMm, 10*examine(t, Case{Thread: "M10-10.9"}).TensileKN/hard.StripsKN)
}

// TestHeadsBetweenSizes: a size that no table has is drawn from its neighbours,
// one beyond the table in proportion.
func TestHeadsBetweenSizes(t *testing.T) {
	tables := testTables()
	h, fitted, err := tables.head("hex", Thread{System: Metric, DiameterMm: 11})
	if err != nil || !fitted {
		t.Fatalf("%v, fitted %v", err, fitted)
	}
	near(t, "face of M11", h.BearingMm, (14.63+16.63)/2)
	near(t, "hole of M11", h.HoleMm, (11+13.5)/2)
	large, _, _ := tables.head("hex", Thread{System: Metric, DiameterMm: 32})
	near(t, "face of M32", large.BearingMm, 2*22.49)
	cone, _, _ := tables.head("cone", Thread{System: Metric, DiameterMm: 12})
	near(t, "cone of 60 degrees counts twice", cone.MeanMm(), 18.6+13.8)
}
