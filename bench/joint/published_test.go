package joint

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

func relative(part, want float64) float64 { return part * math.Abs(want) }

// TestStressAreas holds the formula to printed tables.
func TestStressAreas(t *testing.T) {
	var cases []outside.Case
	for _, row := range []struct{ d, pitch, area float64 }{
		{5, 0.8, 14.2},
		{6, 1, 20.1},
		{7, 1, 28.9},
		{8, 1.25, 36.6},
		{10, 1.5, 58.0},
		{12, 1.75, 84.3},
		{14, 2, 115},
		{16, 2, 157},
		{18, 2.5, 192},
		{20, 2.5, 245},
		{22, 2.5, 303},
		{24, 3, 353},
		{27, 3, 459},
		{30, 3.5, 561},
		{33, 3.5, 694},
		{36, 4, 817},
	} {
		thread := Thread{System: Metric, DiameterMm: row.d, PitchMm: row.pitch}
		cases = append(
			cases,
			outside.Case{Source: "ISO_898_1", Where: "clause 9", What: fmt.Sprintf("stress area of M%g coarse, mm2", row.d), Got: thread.StressAreaMm2(), Want: row.area, Tolerance: relative(0.005, row.area), Why: "printed to 3 figures"},
			outside.Case{Source: "ISO_898_1", Where: "clause 9", What: fmt.Sprintf("stress area of M%g coarse as printed, mm2", row.d), Got: thread.TableAreaMm2(), Want: row.area, Tolerance: 1e-9, Why: "rounded as the table is"},
		)
	}
	for _, row := range []struct{ d, pitch, area float64 }{
		{8, 1, 39.2},
		{10, 1.25, 61.2},
		{10, 1, 64.5},
		{12, 1.5, 88.1},
		{12, 1.25, 92.1},
		{14, 1.5, 125},
		{16, 1.5, 167},
		{20, 1.5, 272},
		{22, 1.5, 333},
		{24, 2, 384},
		{27, 2, 496},
		{30, 2, 621},
	} {
		thread := Thread{System: Metric, DiameterMm: row.d, PitchMm: row.pitch}
		cases = append(cases, outside.Case{Source: "ISO_2320", Where: "test loads of class 04 over 0.8 x 380 MPa", What: fmt.Sprintf("stress area of M%gx%g, mm2", row.d, row.pitch), Got: thread.TableAreaMm2(), Want: row.area, Tolerance: 1e-9, Why: "rounded as the table is"})
	}
	fine := Thread{System: Metric, DiameterMm: 12, PitchMm: 1.25}
	cases = append(
		cases,
		outside.Case{Source: "ISO_724", Where: "basic dimensions", What: "d2 of M12x1.25, mm", Got: fine.PitchDiameterMm(), Want: 11.18810, Tolerance: 1e-4, Why: "the formula worked out by hand"},
		outside.Case{Source: "ISO_724", Where: "basic dimensions", What: "d3 of M12x1.25, mm", Got: fine.MinorDiameterMm(), Want: 10.46641, Tolerance: 1e-4, Why: "the formula worked out by hand"},
		outside.Case{Source: "ISO_898_1", Where: "clause 9", What: "stress area of M12x1.25, mm2", Got: fine.StressAreaMm2(), Want: 92.07183, Tolerance: 1e-4, Why: "the formula worked out by hand"},
	)
	outside.Check(t, cases)
}

// TestMinorDiameters holds the root to another table, in which a waist is nine
// tenths of it.
func TestMinorDiameters(t *testing.T) {
	var cases []outside.Case
	for _, row := range []struct{ d, pitch, waist float64 }{
		{10, 1.5, 7.34}, {12, 1.25, 9.42}, {12, 1.5, 9.14}, {14, 1.5, 10.94}, {22, 1.5, 18.14}, {24, 1.5, 19.94}, {27, 1.5, 22.64},
	} {
		thread := Thread{System: Metric, DiameterMm: row.d, PitchMm: row.pitch}
		cases = append(cases, outside.Case{Source: "WAIST_BOLTS", Where: "p. 31", What: fmt.Sprintf("0.9 d3 of M%gx%g, mm", row.d, row.pitch), Got: 0.9 * thread.MinorDiameterMm(), Want: row.waist, Tolerance: 0.01, Why: "printed to 2 decimals"})
	}
	outside.Check(t, cases)
}

// TestUnifiedAreas holds stress areas of inch threads to a handbook's table, in
// square inches.
func TestUnifiedAreas(t *testing.T) {
	var cases []outside.Case
	for _, row := range []struct{ inch, perInch, area float64 }{
		{0.19, 24, 0.0175},
		{0.19, 32, 0.0200},
		{0.25, 20, 0.0318},
		{0.25, 28, 0.0364},
		{0.3125, 18, 0.0524},
		{0.3125, 24, 0.0580},
		{0.375, 16, 0.0775},
		{0.375, 24, 0.0878},
		{0.4375, 14, 0.1063},
		{0.5, 13, 0.1419},
		{0.5, 20, 0.1599},
		{0.5625, 12, 0.182},
		{0.625, 11, 0.226},
		{0.75, 10, 0.334},
		{0.75, 16, 0.373},
		{0.875, 9, 0.462},
		{1, 8, 0.606},
	} {
		thread := Thread{System: Unified, DiameterMm: 25.4 * row.inch, PitchMm: 25.4 / row.perInch}
		cases = append(cases, outside.Case{Source: "ASME_B1_1", Where: "stress area", What: fmt.Sprintf("%g-%g, in2", row.inch, row.perInch), Got: thread.StressAreaMm2() / 645.16, Want: row.area, Tolerance: relative(0.0035, row.area), Why: "printed to 3 or 4 figures"})
	}
	root := Thread{System: Unified, DiameterMm: 0.75 * 25.4, PitchMm: 25.4 / 16}.MinorDiameterMm() / 25.4
	cases = append(cases, outside.Case{Source: "SHIGLEY", Where: "table 8-2", What: "area at the root of 3/4-16, in2", Got: math.Pi / 4 * root * root, Want: 0.351, Tolerance: 0.0005, Why: "printed to 3 figures"})
	outside.Check(t, cases)
}

// vdiRow is a row of the guideline's table at one friction: preload in kN and
// torque in N·m for classes 8.8, 10.9 and 12.9.
type vdiRow struct {
	d, pitch, mu  float64
	force, torque [3]float64
}

// TestAssemblyTable holds preload and torque at 90 % of yield to the published
// table, and the coarse rows to the ones remembered.
func TestAssemblyTable(t *testing.T) {
	yields := [3]float64{640, 940, 1100}
	rows := []vdiRow{
		{8, 1, 0.10, [3]float64{20.7, 30.4, 35.6}, [3]float64{22.8, 33.5, 39.2}},
		{8, 1, 0.12, [3]float64{20.2, 29.7, 34.7}, [3]float64{26.1, 38.3, 44.9}},
		{8, 1, 0.14, [3]float64{19.7, 28.9, 33.9}, [3]float64{29.2, 42.8, 50.1}},
		{12, 1.25, 0.10, [3]float64{49.1, 72.1, 84.4}, [3]float64{79, 116, 135}},
		{12, 1.25, 0.12, [3]float64{48.0, 70.5, 82.5}, [3]float64{90, 133, 155}},
		{12, 1.25, 0.14, [3]float64{46.8, 68.7, 80.4}, [3]float64{101, 149, 174}},
		{14, 1.5, 0.10, [3]float64{66.4, 97.5, 114.1}, [3]float64{124, 182, 213}},
		{14, 1.5, 0.12, [3]float64{64.8, 95.2, 111.4}, [3]float64{142, 209, 244}},
		{14, 1.5, 0.14, [3]float64{63.2, 92.9, 108.7}, [3]float64{159, 234, 274}},
		{16, 1.5, 0.10, [3]float64{89.6, 131.6, 154.0}, [3]float64{189, 278, 325}},
		{16, 1.5, 0.12, [3]float64{87.6, 128.7, 150.6}, [3]float64{218, 320, 374}},
		{16, 1.5, 0.14, [3]float64{85.5, 125.5, 146.9}, [3]float64{244, 359, 420}},
		{8, 1.25, 0.10, [3]float64{19.1, 28.0, 32.8}, [3]float64{21.6, 31.8, 37.2}},
		{8, 1.25, 0.12, [3]float64{18.6, 27.3, 32.0}, [3]float64{24.6, 36.1, 42.2}},
		{8, 1.25, 0.14, [3]float64{18.1, 26.6, 31.1}, [3]float64{27.3, 40.1, 46.9}},
		{12, 1.75, 0.10, [3]float64{44.1, 64.8, 75.9}, [3]float64{73, 108, 126}},
		{12, 1.75, 0.12, [3]float64{43.0, 63.2, 74.0}, [3]float64{84, 123, 144}},
		{12, 1.75, 0.14, [3]float64{41.9, 61.5, 72.0}, [3]float64{93, 137, 160}},
	}
	var cases []outside.Case
	for _, r := range rows {
		contact := hexMetric(r.d, r.pitch)
		for i, yield := range yields {
			force := contact.Thread.AssemblyPreload(0.9, r.mu, yield)
			what := fmt.Sprintf("M%gx%g, friction %g, yield %g", r.d, r.pitch, r.mu, yield)
			cases = append(
				cases,
				outside.Case{Source: "VDI_2230", Where: "table of 90 % of yield, preload", What: what + ", kN", Got: force, Want: r.force[i], Tolerance: relative(0.005, r.force[i]), Why: "printed to 3 figures; fine threads read, coarse ones from memory but 41.9"},
				outside.Case{Source: "VDI_2230", Where: "table of 90 % of yield, torque", What: what + ", N·m", Got: contact.Torque(force, r.mu, r.mu), Want: r.torque[i], Tolerance: relative(0.012, r.torque[i]), Why: "printed to 2 or 3 figures"},
			)
		}
	}
	outside.Check(t, cases)
}

// TestDangerCase: a torque meant for dry threads on oiled ones.
func TestDangerCase(t *testing.T) {
	contact := hexMetric(12, 1.75)
	slippery, rough := contact.Preload(93, 0.08, 0.08), contact.Preload(93, 0.24, 0.24)
	outside.Check(t, []outside.Case{
		{Source: "VDI_2230", Where: "M_A", What: "M12 at 93 N·m, friction 0.08, kN", Got: slippery, Want: 67.1, Tolerance: relative(0.005, 67.1), Why: "worked out apart, 3 figures"},
		{Source: "VDI_2230", Where: "F_M", What: "its use of the yield strength of 8.8", Got: contact.Thread.Utilisation(slippery, 0.08, 640), Want: 1.335, Tolerance: relative(0.005, 1.335), Why: "worked out apart, 4 figures"},
		{Source: "VDI_2230", Where: "M_A", What: "M12 at 93 N·m, friction 0.24, kN", Got: rough, Want: 25.8, Tolerance: relative(0.005, 25.8), Why: "worked out apart, 3 figures"},
	})
	shares := contact.Shares(0.12, 0.12)
	outside.Check(t, []outside.Case{
		{Source: "VDI_2230", Where: "M_A", What: "share of stretch, M12 at 0.12", Got: shares.Stretch, Want: 0.14, Tolerance: 0.005, Why: "worked out apart, whole percent"},
		{Source: "VDI_2230", Where: "M_A", What: "share of the thread", Got: shares.Thread, Want: 0.39, Tolerance: 0.005, Why: "whole percent"},
		{Source: "VDI_2230", Where: "M_A", What: "share of the head", Got: shares.Head, Want: 0.47, Tolerance: 0.0055, Why: "whole percent"},
	})
}

// TestNutFactorsOfFriction holds K = X/d to the values worked out apart.
func TestNutFactorsOfFriction(t *testing.T) {
	coarse, fine := hexMetric(12, 1.75), hexMetric(12, 1.25)
	var cases []outside.Case
	for _, r := range []struct{ mu, coarse, fine float64 }{
		{0.08, 0.116, 0.110}, {0.10, 0.139, 0.134}, {0.12, 0.162, 0.157}, {0.14, 0.185, 0.180}, {0.16, 0.208, 0.204}, {0.20, 0.254, 0.250}, {0.24, 0.300, 0.297},
	} {
		cases = append(
			cases,
			outside.Case{Source: "VDI_2230", Where: "M_A over F_M d", What: fmt.Sprintf("K of M12 at %g", r.mu), Got: coarse.NutFactor(r.mu, r.mu), Want: r.coarse, Tolerance: 0.0006, Why: "worked out apart, 3 decimals"},
			outside.Case{Source: "VDI_2230", Where: "M_A over F_M d", What: fmt.Sprintf("K of M12x1.25 at %g", r.mu), Got: fine.NutFactor(r.mu, r.mu), Want: r.fine, Tolerance: 0.0006, Why: "worked out apart, 3 decimals"},
			outside.Case{Source: "VDI_2230", Where: "M_A over F_M d", What: fmt.Sprintf("friction of that K of M12, %g", r.mu), Got: coarse.FrictionOf(coarse.NutFactor(r.mu, r.mu)), Want: r.mu, Tolerance: 1e-12, Why: "there and back"},
		)
	}
	outside.Check(t, cases)
}

// TestScatter holds largest over smallest preload to the bands of the guideline.
func TestScatter(t *testing.T) {
	var cases []outside.Case
	for _, r := range []struct{ x, alpha float64 }{{0.23, 1.597}, {0.28, 1.778}, {0.43, 2.509}, {0.60, 4.000}, {0.25, 1.667}, {0.35, 2.077}} {
		cases = append(
			cases,
			outside.Case{Source: "VDI_2230", Where: "tightening factor", What: fmt.Sprintf("factor of +-%g", r.x), Got: Alpha(r.x), Want: r.alpha, Tolerance: 0.001, Why: "worked out apart, 3 decimals"},
			outside.Case{Source: "VDI_2230", Where: "tightening factor", What: "half width of that factor", Got: HalfWidth(Alpha(r.x)), Want: r.x, Tolerance: 1e-12, Why: "there and back"},
		)
	}
	cases = append(
		cases,
		outside.Case{Source: "VDI_2230", Where: "preload at the least", What: "41.9 kN over 1.8", Got: 41.9 / 1.8, Want: 23.3, Tolerance: 0.05, Why: "printed to 3 figures"},
		outside.Case{Source: "NASA_STD_5020", Where: "table 3", What: "+-25 % as a factor", Got: Alpha(0.25), Want: 1.67, Tolerance: 0.005, Why: "2 decimals"},
		outside.Case{Source: "NASA_STD_5020", Where: "table 3", What: "+-35 % as a factor", Got: Alpha(0.35), Want: 2.08, Tolerance: 0.005, Why: "2 decimals"},
	)
	outside.Check(t, cases)
}

// TestTorqueUnits holds the units to their exact values.
func TestTorqueUnits(t *testing.T) {
	outside.Check(t, []outside.Case{
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 lbf·ft, N·m", Got: LbfFoot.ToNm(1), Want: 1.3558179483314004, Tolerance: 1.4e-15, Why: "exact"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 lbf·in, N·m", Got: LbfInch.ToNm(1), Want: 0.1129848290276167, Tolerance: 1e-16, Why: "exact"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 kgf·m, N·m", Got: KgfMetre.ToNm(1), Want: 9.80665, Tolerance: 0, Why: "exact"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 kgf·cm, N·m", Got: KgfCm.ToNm(1), Want: 0.0980665, Tolerance: 0, Why: "exact"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 ozf·in, N·m", Got: OzfInch.ToNm(1), Want: 0.007061551814226, Tolerance: 1e-15, Why: "13 figures"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "100 N·m, lbf·ft", Got: LbfFoot.FromNm(100), Want: 73.756215, Tolerance: 1e-6, Why: "printed to 8 figures"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "100 N·m, kgf·m", Got: KgfMetre.FromNm(100), Want: 10.197162, Tolerance: 1e-6, Why: "printed to 8 figures"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "150 lbf·ft, N·m", Got: LbfFoot.ToNm(150), Want: 203.372692, Tolerance: 1e-6, Why: "printed to 9 figures"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 lbf·in as a conversion table prints it, N·m", Got: LbfInch.ToNm(1), Want: 0.112985, Tolerance: 5e-7, Why: "6 figures"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "600 kgf·cm, N·m", Got: KgfCm.ToNm(600), Want: 59, Tolerance: 0.5, Why: "a manual prints whole N·m"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "600 kgf·cm, lbf·ft", Got: LbfFoot.FromNm(KgfCm.ToNm(600)), Want: 43, Tolerance: 0.5, Why: "a manual prints whole lbf·ft"},
		{Source: "YARD_1959", Where: "inch and pound", What: "1 lbf, N", Got: LbfN, Want: 4.4482216152605, Tolerance: 1e-15, Why: "exact"},
		{Source: "NIST_SP_811", Where: "appendix B", What: "1 ksi, MPa", Got: MPaPerKsi, Want: 6.894757293168, Tolerance: 1e-12, Why: "13 figures"},
	})
}

// TestWrenches holds the deviation of torque wrenches to the standard.
func TestWrenches(t *testing.T) {
	check := func(largest, set, reference float64) (float64, float64) {
		c, err := CheckWrench(largest, 0, []WrenchReading{{set, reference}})
		if err != nil {
			t.Fatal(err)
		}
		within := 0.0
		if c.Within {
			within = 1
		}
		return 100 * c.Worst, within
	}
	high, highIn := check(100, 100, 96)
	low, lowIn := check(100, 100, 104)
	small, smallIn := check(8, 8, 7.6)
	outside.Check(t, []outside.Case{
		{Source: "ISO_6789", Where: "permitted deviation", What: "wrench for 100 N·m, %", Got: 100 * WrenchLimit(100), Want: 4, Tolerance: 1e-12, Why: "exact"},
		{Source: "ISO_6789", Where: "permitted deviation", What: "wrench for 8 N·m, %", Got: 100 * WrenchLimit(8), Want: 6, Tolerance: 1e-12, Why: "exact"},
		{Source: "ISO_6789", Where: "deviation", What: "100 set, 96 measured, %", Got: high, Want: 4.1667, Tolerance: 1e-4, Why: "worked out apart"},
		{Source: "ISO_6789", Where: "deviation", What: "that is within 4 %", Got: highIn, Want: 0, Tolerance: 0, Why: "exact"},
		{Source: "ISO_6789", Where: "deviation", What: "100 set, 104 measured, %", Got: low, Want: -3.8462, Tolerance: 1e-4, Why: "worked out apart"},
		{Source: "ISO_6789", Where: "deviation", What: "that is within 4 %", Got: lowIn, Want: 1, Tolerance: 0, Why: "exact"},
		{Source: "ISO_6789", Where: "deviation", What: "8 set, 7.6 measured, %", Got: small, Want: 5.2632, Tolerance: 1e-4, Why: "worked out apart"},
		{Source: "ISO_6789", Where: "deviation", What: "that is within 6 %", Got: smallIn, Want: 1, Tolerance: 0, Why: "exact"},
	})
}

// TestShearAreas holds the thread's shear areas to the general formulas of the
// standard at other dimensions than the basic ones taken apart.
func TestShearAreas(t *testing.T) {
	thread := Thread{System: Metric, DiameterMm: 10, PitchMm: 1.5}
	n := 1 / thread.PitchMm
	hole := math.Pi * n * 12 * 10 * (1/(2*n) + 0.57735*(10-thread.PitchDiameterMm()))
	minor := 10 - 1.082532*1.5
	bolt := math.Pi * n * 12 * minor * (1/(2*n) + 0.57735*(thread.PitchDiameterMm()-minor))
	outside.Check(t, []outside.Case{
		{Source: "FED_STD_H28", Where: "shear area of threads", What: "hole, M10, 12 mm engaged, mm2", Got: thread.HoleShearMm2(12), Want: hole, Tolerance: 0.01, Why: "coefficients of 5 figures"},
		{Source: "FED_STD_H28", Where: "shear area of threads", What: "bolt, M10, 12 mm engaged, mm2", Got: thread.BoltShearMm2(12), Want: bolt, Tolerance: 0.01, Why: "coefficients of 5 figures"},
	})
}

// TestWrenchPoints: a wrench is checked at a fifth, three fifths and all of its
// torque, and below the first of them nobody vouches for it.
func TestWrenchPoints(t *testing.T) {
	said := func(torque float64) float64 {
		e := examined{c: Case{WrenchNm: 200}, r: Result{Torque: Spread{Value: torque}}}
		n := 0.0
		e.warnWrench(func(string, ...any) { n++ })
		return n
	}
	outside.Check(t, []outside.Case{
		{Source: "ISO_6789", Where: "points of a check", What: "cautions at 39 of 200 N·m", Got: said(39), Want: 1, Tolerance: 0, Why: "exact"},
		{Source: "ISO_6789", Where: "points of a check", What: "cautions at 40 of 200 N·m", Got: said(40), Want: 0, Tolerance: 0, Why: "exact"},
		{Source: "ISO_6789", Where: "points of a check", What: "cautions at 200 of 200 N·m", Got: said(200), Want: 0, Tolerance: 0, Why: "exact"},
		{Source: "ISO_6789", Where: "points of a check", What: "cautions at 201 of 200 N·m", Got: said(201), Want: 1, Tolerance: 0, Why: "exact"},
	})
}
