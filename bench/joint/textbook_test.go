package joint

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// TestMixedStack is Shigley's example 8-2: a bolt 1/2-20 UNF through a washer and
// a plate of steel and a plate of grey iron. Mlbf/in.
func TestMixedStack(t *testing.T) {
	const d = 0.5
	k1, k2, k3 := Frustum(30, d, 0.75, 0.595), Frustum(14.5, d, 1.437, 0.0775), Frustum(14.5, d, 0.75, 0.6725)
	outside.Check(t, []outside.Case{
		{Source: "SHIGLEY", Where: "eq. 8-20", What: "example 8-2: steel cone", Got: k1, Want: 30.80, Tolerance: 0.031, Why: "4 figures, 0.1 %"},
		{Source: "SHIGLEY", Where: "eq. 8-20", What: "example 8-2: first iron cone", Got: k2, Want: 285.5, Tolerance: 0.29, Why: "4 figures, 0.1 %"},
		{Source: "SHIGLEY", Where: "eq. 8-20", What: "example 8-2: second iron cone", Got: k3, Want: 14.15, Tolerance: 0.014, Why: "4 figures, 0.1 %"},
		{Source: "SHIGLEY", Where: "eq. 8-20", What: "example 8-2: members", Got: Series(k1, k2, k3), Want: 9.378, Tolerance: 0.0094, Why: "4 figures, 0.1 %"},
		{Source: "SHIGLEY", Where: "eq. 8-22", What: "example 8-2: all of steel", Got: OneMaterial(30, d, 0.75, 1.345), Want: 14.64, Tolerance: 0.015, Why: "4 figures, 0.1 %"},
		{Source: "SHIGLEY", Where: "eq. 8-23", What: "example 8-2: all of steel, fitted", Got: Fitted(30, d, 1.345, 0.78715, 0.62873), Want: 14.92, Tolerance: 0.015, Why: "4 figures, 0.1 %"},
		{Source: "SHIGLEY", Where: "eq. 8-17", What: "example 8-2: bolt (from memory)", Got: BoltStiffness(math.Pi/4*d*d, 0.25, 0.1599, 1.095, 30), Want: 3.69, Tolerance: 0.005, Why: "3 figures"},
		{Source: "SHIGLEY", Where: "table 8-8", What: "modulus of steel, MPa", Got: boltModulusMPa, Want: 207000, Tolerance: 0, Why: "exact"},
	})
}

// TestTorqueExample is Shigley's example 8-3 (from memory): 3/4-16 UNF SAE 5,
// 25 kip of preload, 6 kip of load.
func TestTorqueExample(t *testing.T) {
	share := Share(6.50, 13.8)
	bolt, _, separated := Carried(25, 6, share)
	k := ShigleyNutFactor(0.75, (0.75+0.6685)/2, 1.0/16, 0.15, 0.15)
	apart := 0.0
	if separated {
		apart = 1
	}
	slope := math.Atan(1.0/16/(math.Pi*(0.75+0.6685)/2)) * 180 / math.Pi
	outside.Check(t, []outside.Case{
		{Source: "SHIGLEY", Where: "eq. 8-24", What: "example 8-3: share of the bolt", Got: share, Want: 0.320, Tolerance: 0.0006, Why: "3 figures"},
		{Source: "SHIGLEY", Where: "eq. 8-24", What: "example 8-3: stress of the preload, kpsi", Got: 25 / 0.373, Want: 67.02, Tolerance: 0.13, Why: "0.2 %"},
		{Source: "SHIGLEY", Where: "eq. 8-24", What: "example 8-3: stress under load, kpsi", Got: bolt / 0.373, Want: 72.17, Tolerance: 0.14, Why: "0.2 %"},
		{Source: "SHIGLEY", Where: "eq. 8-24", What: "example 8-3: comes apart", Got: apart, Want: 0, Tolerance: 0, Why: "exact"},
		{Source: "SHIGLEY", Where: "eq. 8-27", What: "example 8-3: torque at K 0.2, lbf·in", Got: 0.2 * 25000 * 0.75, Want: 3750, Tolerance: 1e-9, Why: "exact"},
		{Source: "SHIGLEY", Where: "eq. 8-26", What: "example 8-3: slope of the thread, degrees", Got: slope, Want: 1.607, Tolerance: 0.001, Why: "4 figures"},
		{Source: "SHIGLEY", Where: "eq. 8-26", What: "example 8-3: nut factor", Got: k, Want: 0.1894, Tolerance: 0.0004, Why: "0.2 %"},
		{Source: "SHIGLEY", Where: "eq. 8-26", What: "example 8-3: torque, lbf·in", Got: k * 25000 * 0.75, Want: 3551, Tolerance: 7.1, Why: "0.2 %"},
	})
	thread := Thread{System: Unified, DiameterMm: 19.05, PitchMm: 25.4 / 16}
	full := Contact{thread, Head{BearingMm: 0.625 * 2 * 19.05, HoleMm: 0.625 * 2 * 19.05}}.NutFactor(0.15, 0.15)
	if math.Abs(full-k) > 0.01*k {
		t.Errorf("the guideline's nut factor is %g, the exact mechanics give %g: further apart than 1 %%", full, k)
	}
	perDegree := 1.0 / 16 / 360 * Series(6.50e6, 13.8e6)
	outside.Check(t, []outside.Case{
		{Source: "SHIGLEY", Where: "section 8-8", What: "example 8-3 turned: lbf a degree", Got: perDegree, Want: 767.1, Tolerance: 1.5, Why: "worked out apart, 0.2 %"},
		{Source: "SHIGLEY", Where: "section 8-8", What: "example 8-3 turned: degrees for 25 kip", Got: TurnPerPreload(25000, 1.0/16, 6.50e6, 13.8e6), Want: 32.6, Tolerance: 0.065, Why: "worked out apart, 0.2 %"},
	})
}

// TestVesselExample is Shigley's example 8-4: bolts 5/8-11 UNC SAE 5 in a grip of
// 1.5 in of grey iron.
func TestVesselExample(t *testing.T) {
	kb := BoltStiffness(math.Pi/4*0.625*0.625, 0.75, 0.226, 0.75, 30)
	km := OneMaterial(14, 0.625, 1.5*0.625, 1.5)
	share := Share(kb, km)
	preload, proof := 0.75*85*0.226, 85*0.226
	number := 2 * share * 36 / (proof - preload)
	load := 36.0 / 6
	yielding, overload, separation := Factors(preload, load, share, proof)
	outside.Check(t, []outside.Case{
		{Source: "SHIGLEY", Where: "eq. 8-17", What: "example 8-4: bolt, Mlbf/in", Got: kb, Want: 5.21, Tolerance: 0.026, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-22", What: "example 8-4: members, Mlbf/in", Got: km, Want: 8.95, Tolerance: 0.045, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-24", What: "example 8-4: share of the bolt", Got: share, Want: 0.368, Tolerance: 0.0018, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-31", What: "example 8-4: preload, kip", Got: preload, Want: 14.4, Tolerance: 0.072, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-28", What: "example 8-4: bolts needed", Got: number, Want: 5.52, Tolerance: 0.028, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-28", What: "example 8-4: whole bolts", Got: math.Ceil(number), Want: 6, Tolerance: 0, Why: "exact"},
		{Source: "SHIGLEY", Where: "eq. 8-28", What: "example 8-4: factor of the load", Got: overload, Want: 2.18, Tolerance: 0.011, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-28", What: "example 8-4: factor of yielding (from memory)", Got: yielding, Want: 1.16, Tolerance: 0.0058, Why: "0.5 %"},
		{Source: "SHIGLEY", Where: "eq. 8-28", What: "example 8-4: factor of separation (from memory)", Got: separation, Want: 3.80, Tolerance: 0.019, Why: "0.5 %"},
	})
}

// TestSeparatedExample is Bhandari's example 7.16. Its formula is followed to its
// figures, and beyond its own range: the parts have come apart.
func TestSeparatedExample(t *testing.T) {
	share := Share(207000.0, 3*71000.0)
	formula := 5000 + share*10000
	bolt, clamp, separated := Carried(5000, 10000, share)
	if !separated || clamp != 0 {
		t.Errorf("separated %v, clamp force left %g: expected parts that have come apart", separated, clamp)
	}
	outside.Check(t, []outside.Case{
		{Source: "BHANDARI", Where: "example 7.16", What: "share of the bolt", Got: share, Want: 0.492857, Tolerance: 5e-7, Why: "6 decimals"},
		{Source: "BHANDARI", Where: "example 7.16", What: "force by the formula, N", Got: formula, Want: 9928.57, Tolerance: 0.005, Why: "2 decimals"},
		{Source: "BHANDARI", Where: "example 7.16", What: "area, mm2", Got: formula / (380 / 2.5), Want: 65.319549, Tolerance: 6.6e-5, Why: "1e-6 relative"},
		{Source: "BHANDARI", Where: "example 7.16", What: "load taken off the parts, N", Got: (1 - share) * 10000, Want: 5071.4, Tolerance: 0.05, Why: "worked out apart"},
		{Source: "BHANDARI", Where: "example 7.16", What: "force of the bolt with the parts apart, N", Got: bolt, Want: 10000, Tolerance: 0, Why: "it carries all of the load"},
	})
}

// TestNutFactorTests holds T = K d F to torque tables and to tests of bolts.
func TestNutFactorTests(t *testing.T) {
	footPounds := func(k, inch, lbf float64) float64 { return k * inch * lbf / 12 }
	metric := func(k, mm, kN float64) float64 { return LbfFoot.FromNm(k * mm * kN) }
	cases := []outside.Case{
		{Source: "SAE_J429", Where: "torque table at 75 % of proof", What: "1/2-13 grade 5, dry, lbf·ft", Got: footPounds(0.20, 0.5, 9046), Want: 75, Tolerance: 1, Why: "whole lbf·ft"},
		{Source: "SAE_J429", Where: "torque table at 75 % of proof", What: "1/2-13 grade 5, lubricated, lbf·ft", Got: footPounds(0.15, 0.5, 9046), Want: 57, Tolerance: 1, Why: "whole lbf·ft"},
		{Source: "SAE_J429", Where: "torque table at 75 % of proof", What: "3/8-16 grade 8, lbf·ft", Got: footPounds(0.20, 0.375, 6974), Want: 44, Tolerance: 1, Why: "whole lbf·ft"},
		{Source: "METRIC_BOLT_TORQUES", Where: "torque at 75 % of proof", What: "M12 8.8, lbf·ft", Got: metric(0.2, 12, 0.75*48.9), Want: 65, Tolerance: 1, Why: "whole lbf·ft"},
		{Source: "METRIC_BOLT_TORQUES", Where: "torque at 75 % of proof", What: "M12 8.8, N·m", Got: 0.2 * 12 * 0.75 * 48.9, Want: 88.0, Tolerance: 0.05, Why: "3 figures"},
		{Source: "METRIC_BOLT_TORQUES", Where: "torque at 75 % of proof", What: "M12 10.9, lbf·ft", Got: metric(0.2, 12, 0.75*70), Want: 93, Tolerance: 1, Why: "whole lbf·ft"},
		{Source: "METRIC_BOLT_TORQUES", Where: "torque at 75 % of proof", What: "M16 10.9, lbf·ft", Got: metric(0.2, 16, 0.75*130), Want: 230, Tolerance: 1, Why: "whole lbf·ft"},
	}
	for _, r := range []struct{ lbf, k, printed float64 }{{30000, 0.183, 0.18}, {32000, 0.171, 0.17}, {35000, 0.157, 0.15}, {28000, 0.196, 0.20}, {44000, 0.125, 0.13}} {
		k := 400 * 12 / (r.lbf * 0.875)
		cases = append(
			cases,
			outside.Case{Source: "NUT_FACTOR_TESTS", Where: "7/8-9 at 400 lbf·ft", What: fmt.Sprintf("K at %g lbf", r.lbf), Got: k, Want: r.k, Tolerance: 0.001, Why: "worked out apart"},
			outside.Case{Source: "NUT_FACTOR_TESTS", Where: "7/8-9 at 400 lbf·ft", What: fmt.Sprintf("K at %g lbf as printed", r.lbf), Got: k, Want: r.printed, Tolerance: 0.01, Why: "2 decimals, one of them cut off"},
		)
	}
	cases = append(
		cases,
		outside.Case{Source: "SHIGLEY", Where: "section 8-8", What: "K of the twenty dry tests", Got: 800 / (0.5 * 34300 / LbfN), Want: 0.208, Tolerance: 0.001, Why: "3 decimals"},
		outside.Case{Source: "SHIGLEY", Where: "section 8-8", What: "two standard deviations, dry, %", Got: 200 * 4.91 / 34.3, Want: 28.6, Tolerance: 0.1, Why: "worked out apart"},
		outside.Case{Source: "SHIGLEY", Where: "section 8-8", What: "two standard deviations, lubricated, %", Got: 200 * 2.88 / 34.18, Want: 16.9, Tolerance: 0.1, Why: "worked out apart"},
		outside.Case{Source: "SHIGLEY", Where: "eq. 8-14", What: "thread of M12x60, mm", Got: ThreadLengthMm(12, 60), Want: 30, Tolerance: 0, Why: "exact"},
		outside.Case{Source: "SHIGLEY", Where: "eq. 8-14", What: "thread of M14x45, mm", Got: ThreadLengthMm(14, 45), Want: 34, Tolerance: 0, Why: "exact"},
		outside.Case{Source: "SHIGLEY", Where: "eq. 8-14", What: "thread of M16x150, mm", Got: ThreadLengthMm(16, 150), Want: 44, Tolerance: 0, Why: "exact"},
		outside.Case{Source: "SHIGLEY", Where: "eq. 8-31", What: "proof over yield where none is named", Got: proofOfYield, Want: 0.85, Tolerance: 0, Why: "exact"},
	)
	outside.Check(t, cases)
}
