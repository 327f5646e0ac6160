package recharge

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// TestGasLawAgainstExamples holds the formulas against examples that makers and
// textbooks print.
func TestGasLawAgainstExamples(t *testing.T) {
	const gauge = AtmosphereBar
	perGallon := UsableVolume(10, 1000, 1200, 3000, 1)
	outside.Check(t, []outside.Case{
		{Source: "ACCUMULATOR_SIZING", Where: "sizing", What: "5 L, 72/80/180 bar, isothermal: L", Got: SizeFor(5, 72, 80, 180, 1), Want: 10.00, Tolerance: 0.005, Why: "printed to 2 decimals"},
		{Source: "ACCUMULATOR_SIZING", Where: "sizing", What: "5 L, 72/80/180 bar, n 1.4: L", Got: SizeFor(5, 72, 80, 180, 1.4), Want: 12.261, Tolerance: 0.0005, Why: "14.10 as printed over its real-gas factor 1.15"},
		{Source: "ACCUMULATOR_SIZING", Where: "sizing", What: "1 L from 100 to 200 bar gauge, pre-charge 90, n 1.4: L", Got: SizeFor(1, 90+gauge, 100+gauge, 200+gauge, 1.4), Want: 2.7744, Tolerance: 5e-5, Why: "printed to 4 decimals"},
		{Source: "ACCUMULATOR_SIZING", Where: "polytropic usable volume", What: "10 gal bottle, 1000/1200/3000 psi: gal", Got: perGallon, Want: 5.00, Tolerance: 0.005, Why: "printed to 2 decimals, gauge values as printed"},
		{Source: "ACCUMULATOR_SIZING", Where: "polytropic usable volume", What: "fill to recharge time of pre-charge 26, n 1.3, turned round: bar", Got: PrechargeFromRatio(turned(27.01325, 41.01325, 51.01325, 1.3), 41.01325, 51.01325, 1.3), Want: 27.01325, Tolerance: 1e-6, Why: "volumes by the printed formula, both ways"},
		{Source: "ISO_2533", Where: "sea level", What: "pressure of the air, bar", Got: AtmosphereBar, Want: 1.01325, Tolerance: 0, Why: "by definition"},
	})
}

// turned is the ratio of the oil of a fill from empty to that of a recharge, by
// the printed formula for usable volume.
func turned(p0, p1, p2, n float64) float64 {
	fill := UsableVolume(1, p0, p0, p2, n)
	atRest := p0 / p1 // the gas of a recharge starts at the wall's temperature
	return fill / (atRest * (1 - math.Pow(p1/p2, 1/n)))
}

// TestPhysicsAgainstSciPy holds closed forms against the equations integrated.
func TestPhysicsAgainstSciPy(t *testing.T) {
	const c0 = 10805.3
	cases := []outside.Case{
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "leak time 48.338 to 41.01325 bar, s", Got: LeakTime(48.338, 41.01325, 0.00245/c0), Want: 375.8055597893947, Tolerance: 1e-6, Why: "quadrature to 1e-12"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "leak time, five times the leak, s", Got: LeakTime(48.338, 41.01325, 0.01225/c0), Want: 75.16111195787893, Tolerance: 1e-6, Why: "quadrature to 1e-12"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "rate at 45 bar gauge, bar/min", Got: LeakRate(46.01325, 0.00245/c0), Want: 1.2961606661865879, Tolerance: 1e-12, Why: "floating point"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "adiabatic recharge settles at, bar", Got: RelaxedAfterFastCharge(41.01325, 51.01325, 1.4), Want: 47.9301786612425, Tolerance: 1e-9, Why: "root of a quadrature"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "lowest pre-charge of a fast fill, bar", Got: LowestFillPrecharge(41.01325, 51.01325, 1.4), Want: 23.76988969955845, Tolerance: 1e-9, Why: "root of a quadrature"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "pre-charge from times, bar", Got: PrechargeFromTimes(13.444728515657355, 3.3269640140768586, 41.01325, 48.33825, 45.27425), Want: 27.01325, Tolerance: 1e-9, Why: "floating point"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "100 bar at 20 degrees, at 50", Got: PrechargeAt(100, 20, 50), Want: 110.23366877025413, Tolerance: 1e-9, Why: "floating point"},
	}
	for i, p := range []float64{46.90088329, 44.37580796, 42.22152012} {
		at := []float64{60, 180, 300}[i]
		cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: fmt.Sprintf("time to the pressure after %g s", at), Got: LeakTime(48.338, p, 0.00245/c0), Want: at, Tolerance: 1e-5, Why: "pressures printed to 8 decimals"})
	}
	outside.Check(t, cases)
}

// sameHold is the hold that the script fits too.
func sameHold() hold {
	var h hold
	u := relaxation{start: []float64{48.3}, cool: 0.055, tau: 9, leak: 2.27e-7, middle: 46.01325}
	for i := range 599 {
		at := 0.5 + 0.5*float64(i)
		h.t = append(h.t, at)
		h.p = append(h.p, u.at(0, at)+0.2*math.Sin(37*at*at))
		h.sd = append(h.sd, 0.15)
	}
	return h
}

// TestFitAgainstSciPy holds value and covariance of the fit.
func TestFitAgainstSciPy(t *testing.T) {
	fit, ok := fitHolds([]hold{sameHold()}, 46.01325, nil)
	if !ok {
		t.Fatal("no fit")
	}
	widen := math.Sqrt(math.Max(1, fit.chi2PerDof))
	outside.Check(t, []outside.Case{
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "relaxed pressure, bar", Got: fit.start[0], Want: 48.290850787385345, Tolerance: 1e-4, Why: "two iterations' ends"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "cooling", Got: fit.cool, Want: 0.05579382129286883, Tolerance: 1e-5, Why: "two iterations' ends"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "time constant, s", Got: fit.tau, Want: 9.225789174618795, Tolerance: 3e-3, Why: "two iterations' ends"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "leak per charge", Got: fit.leak, Want: 2.267662191234212e-07, Tolerance: 2e-11, Why: "two iterations' ends"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "sd of the leak", Got: fit.sdLeak / widen, Want: 9.91829615e-10, Tolerance: 2e-12, Why: "the covariance moves with the values"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "sd of ln tau", Got: fit.sdLogTau / widen, Want: 4.45463937e-02, Tolerance: 1e-4, Why: "the covariance moves with the values"},
		{Source: "SCIPY_1_10", Where: "bench/recharge/testdata/scipy_recharge.py", What: "sd of the cooling", Got: fit.sdCool / widen, Want: 1.53323862e-03, Tolerance: 3e-6, Why: "the covariance moves with the values"},
	})
}

// TestStudentTable holds the points of Student's t.
func TestStudentTable(t *testing.T) {
	var cases []outside.Case
	for dof, want := range map[int]float64{1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 10: 2.228, 20: 2.086, 30: 2.042} {
		cases = append(cases, outside.Case{Source: "FISHER_YATES", Where: "two-sided 95 % points", What: fmt.Sprintf("%d degrees of freedom", dof), Got: StudentPoint(dof), Want: want, Tolerance: 5e-4, Why: "printed to 3 decimals"})
	}
	i := MeanInterval([]float64{370, 374, 378}, 0.3)
	cases = append(cases, outside.Case{Source: "FISHER_YATES", Where: "two-sided 95 % points", What: "upper end of 370, 374, 378", Got: *i.HighS, Want: 374 + 4.303*4/math.Sqrt(3), Tolerance: 2e-3, Why: "t printed to 3 decimals"})
	outside.Check(t, cases)
}
