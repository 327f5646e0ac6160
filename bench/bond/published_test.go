package bond

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// TestEqualAdherends is a worked example: aluminium of 2 mm, 25 mm of overlap.
func TestEqualAdherends(t *testing.T) {
	l := Lap{First: 140000, Second: 140000, Bond: 500 / 0.2, Overlap: 25, Load: 10000.0 / 25}
	tiny := l
	tiny.Overlap = 1e-6
	outside.Check(t, []outside.Case{
		{Source: "BOND_NOTE", Where: "Volkersen example", What: "omega, 1/mm", Got: l.Omega(), Want: 0.188982, Tolerance: 2e-6, Why: "6 decimals, 0.1 %"},
		{Source: "BOND_NOTE", Where: "Volkersen example", What: "average, MPa", Got: l.Average(), Want: 16.0, Tolerance: 1e-12, Why: "exact"},
		{Source: "BOND_NOTE", Where: "Volkersen example", What: "peak, MPa", Got: l.Peak(), Want: 38.47, Tolerance: 0.038, Why: "4 figures, 0.1 %"},
		{Source: "BOND_NOTE", Where: "Volkersen example", What: "peak over average", Got: l.Peak() / l.Average(), Want: 2.4046, Tolerance: 0.0024, Why: "0.1 %"},
		{Source: "BOND_NOTE", Where: "Volkersen example", What: "margin at 45 MPa", Got: Margin(45, l.Peak()), Want: 1.170, Tolerance: 0.001, Why: "3 decimals"},
		{Source: "BOND_NOTE", Where: "Volkersen example", What: "margin at 25 MPa", Got: Margin(25, l.Peak()), Want: 0.650, Tolerance: 0.001, Why: "3 decimals"},
		{Source: "VOLKERSEN_1938", Where: "shear lag", What: "peak over average of a very short lap", Got: tiny.Peak() / tiny.Average(), Want: 1, Tolerance: 1e-6, Why: "limit"},
		{Source: "VOLKERSEN_1938", Where: "shear lag", What: "peak of an endless lap over P omega/2b", Got: Lap{140000, 140000, 2500, 1e5, 400, 0}.Peak() / (400 * l.Omega() / 2), Want: 1, Tolerance: 1e-12, Why: "limit"},
	})
}

// TestDoubleLapWithHeat is a textbook's problem in pounds and inches: the
// statement was read, the results are from memory and were worked out apart.
func TestDoubleLapWithHeat(t *testing.T) {
	const outer, inner = 10e6 * 0.150, 30e6 * 0.100
	// Half of the inner part, half of the load; cooled from 200 to 70 °F.
	l := Lap{First: inner / 2, Second: outer, Bond: 0.2e6 / 0.020, Overlap: 1, Load: 2000.0 / 2, Strain: (6.0e-6 - 13.3e-6) * (70 - 200)}
	cool := l
	cool.Strain = 0
	low, high := l.Ends()
	outside.Check(t, []outside.Case{
		{Source: "SHIGLEY", Where: "eq. 9-7", What: "example 9-6: omega, 1/in", Got: l.Omega(), Want: 3.65, Tolerance: 0.011, Why: "0.3 %"},
		{Source: "SHIGLEY", Where: "eq. 9-7", What: "example 9-6: greater end, psi", Got: math.Max(low, high), Want: 4388, Tolerance: 13.2, Why: "0.3 %"},
		{Source: "SHIGLEY", Where: "eq. 9-7", What: "example 9-6: other end, psi", Got: math.Min(low, high), Want: -544, Tolerance: 13.2, Why: "0.3 % of the greater one: a difference of two"},
		{Source: "SHIGLEY", Where: "eq. 9-7", What: "example 9-6: middle, psi", Got: l.Shear(0), Want: 604, Tolerance: 1.8, Why: "0.3 %"},
		{Source: "SHIGLEY", Where: "eq. 9-7", What: "example 9-6: ends by the load, psi", Got: cool.Peak(), Want: 1922, Tolerance: 5.8, Why: "0.3 %"},
		{Source: "SHIGLEY", Where: "eq. 9-7", What: "example 9-6: ends by heat, psi", Got: math.Abs(l.thermal(0.5)), Want: 2466, Tolerance: 7.4, Why: "0.3 %"},
		{Source: "DOUBLE_LAP_STATEMENT", Where: "data of the problem", What: "the outer parts are as stiff as half of the inner one", Got: outer / (inner / 2), Want: 1, Tolerance: 0, Why: "exact"},
	})
}

// TestAgainstNumericalSolution holds unequal parts and thermal strain to a
// numerical solution of the equations; testdata/volkersen.py printed it.
func TestAgainstNumericalSolution(t *testing.T) {
	var cases []outside.Case
	for i, r := range []struct {
		lap               Lap
		low, middle, high float64
	}{
		{Lap{140000, 140000, 2500, 25, 400, 0}, 38.47331506, 7.18502216, 38.47331506},
		{Lap{140000, 207000, 2666.6666666666665, 30, 10, 0}, 0.73098595, 0.12305083, 1.07278031},
		{Lap{140000, 207000, 2666.6666666666665, 30, 10, 0.00044}, -5.77392194, 0.12305083, 7.57768819},
		{Lap{70000, 420000, 400, 60, 120, 0}, 1.52507519, 0.85228565, 8.42005243},
		{Lap{420000, 70000, 400, 60, 120, -0.0006}, 11.31594287, 0.85228565, -1.37081525},
		{Lap{50000, 55000, 5000, 8, 200, 0.0001}, 43.39187032, 15.69617863, 49.46201344},
	} {
		low, high := r.lap.Ends()
		for _, v := range []struct {
			place     string
			got, want float64
		}{{"low end", low, r.low}, {"middle", r.lap.Shear(0), r.middle}, {"high end", high, r.high}} {
			cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "integrate.solve_bvp (volkersen.py)", What: fmt.Sprintf("lap %d, %s, MPa", i+1, v.place), Got: v.got, Want: v.want, Tolerance: 2e-5 * math.Max(1, math.Abs(v.want)), Why: "solved to 1e-9, printed to 8 decimals; 1e-5 of the solver's error"})
		}
	}
	outside.Check(t, cases)
}

// TestCuring holds the time of cure to makers' rule and to published energies.
func TestCuring(t *testing.T) {
	outside.Check(t, []outside.Case{
		{Source: "CURE_TEN_DEGREES", Where: "rule", What: "60 min at 25 °C, at 35 °C", Got: HalvingTime(60, 25, 35), Want: 30, Tolerance: 0, Why: "exact"},
		{Source: "CURE_TEN_DEGREES", Where: "rule", What: "60 min at 25 °C, at 45 °C", Got: HalvingTime(60, 25, 45), Want: 15, Tolerance: 0, Why: "exact"},
		{Source: "CURE_TEN_DEGREES", Where: "rule", What: "gel of 10 min at 25 °C, at 35 °C", Got: HalvingTime(10, 25, 35), Want: 5, Tolerance: 0, Why: "exact"},
		{Source: "ARRHENIUS_1889", Where: "rate and temperature", What: "60 kJ/mol, 25 to 35 °C", Got: CureTime(1, 25, 35, 60), Want: 1 / 2.193, Tolerance: 0.0005, Why: "0.1 %"},
		{Source: "ARRHENIUS_1889", Where: "rate and temperature", What: "52.9 kJ/mol halve from 25 to 35 °C", Got: CureTime(1, 25, 35, 52.9), Want: 0.5, Tolerance: 0.0005, Why: "3 figures"},
		{Source: "ARRHENIUS_1889", Where: "rate and temperature", What: "51.2 kJ/mol halve from 20 to 30 °C", Got: CureTime(1, 20, 30, 51.2), Want: 0.5, Tolerance: 0.0005, Why: "3 figures"},
		{Source: "ARRHENIUS_1889", Where: "rate and temperature", What: "49.5 kJ/mol halve from 15 to 25 °C", Got: CureTime(1, 15, 25, 49.5), Want: 0.5, Tolerance: 0.0005, Why: "3 figures"},
		{Source: "JAWAD_DGEBA", Where: "activation energy", What: "the most, kJ/mol", Got: mostEnergy, Want: 70.7, Tolerance: 0, Why: "exact"},
		{Source: "EPOXY_ISOCONVERSIONAL", Where: "abstract", What: "the end of 55 to 60 kJ/mol that cold cures are reckoned with", Got: leastEnergy, Want: 60, Tolerance: 0, Why: "exact"},
		{Source: "CURE_TEN_DEGREES", Where: "rule", What: "13 degrees colder, times", Got: HalvingTime(1, 23, 10), Want: 2.5, Tolerance: 0.05, Why: "2 figures"},
	})
}
