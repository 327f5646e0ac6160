package diagnose

import (
	"context"
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
	"wreckwright/uncertain"
)

// restart is the restart interval of the reference's P1 under each fault: median
// in s and the standard deviation of its logarithm.
var restart = [][2]float64{{8, .40}, {60, .45}, {45, .60}, {16, .50}, {14, .70}, {60, .45}}

// continuous is P1 with the restart interval measured.
func continuous(t testing.TB) Case {
	c, _ := readReference(t, "p1")
	t2 := &c.Tests[1]
	t2.Outcomes, t2.Chance = nil, nil
	for _, r := range restart {
		t2.Measured = append(t2.Measured, Reading{Shape: Lognormal, Centre: r[0], Spread: math.Exp(r[1])})
	}
	return c
}

func TestContinuousReading(t *testing.T) {
	c := continuous(t)
	a := mustAdvise(t, c)
	if a.Method != Exact || a.Next.ID != "t2" {
		t.Errorf("next is %v by %s", a.Next, a.Method)
	}
	banded, _ := readReference(t, "p1")
	t2 := &banded.Tests[1]
	t2.Outcomes = []string{"below 10", "10 to 35", "above 35"}
	for f, r := range c.Tests[1].Measured {
		low, high := r.below(10), r.below(35)
		t2.Chance[f] = []float64{low, high - low, 1 - high}
	}
	outside.Check(t, []outside.Case{
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "P1 with a continuous reading", What: "expected cost, EUR", Got: a.ExpectedCost, Want: 397.0866, Tolerance: 0.01, Why: "bands of the reading lose a little; the reference gives +- 0.0003"},
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "P1 with the reading in three bands", What: "expected cost, EUR", Got: mustAdvise(t, banded).ExpectedCost, Want: 426.828006, Tolerance: 5e-7, Why: "printed to 6 decimals"},
	})
}

// TestBandsConverge: finer bands lose less, and never promise more than the
// reading itself is worth.
func TestBandsConverge(t *testing.T) {
	c := continuous(t)
	b, err := believe(c)
	if err != nil {
		t.Fatal(err)
	}
	before := math.Inf(1)
	for _, bands := range []int{3, 6, 12, 24, 48, 96} {
		s, err := solveBanded(context.Background(), &c, b, bands, nil)
		if err != nil {
			t.Fatal(err)
		}
		cost := s.options[0].cost
		if cost > before || cost < 397.0863 {
			t.Errorf("%d bands: %v after %v; the reading itself is worth 397.0866", bands, cost, before)
		}
		before = cost
	}
}

// at is P1's continuous case after a reading.
func at(t *testing.T, value, sd float64) []float64 {
	t.Helper()
	c := continuous(t)
	c.Evidence = []Evidence{{Test: "t2", Value: &value, ValueSD: sd}}
	p, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPosteriorOfReadings(t *testing.T) {
	var cases []outside.Case
	for _, r := range []struct {
		value, sd float64
		want      []float64
	}{
		{6, 0, []float64{.83702415, .00000105, .00090747, .07448942, .08757756, .00000035}},
		{12, 0, []float64{.50573466, .00066379, .01757376, .33713199, .13867453, .00022126}},
		{20, 0, []float64{.09390795, .03094270, .12221314, .55151655, .19110543, .01031423}},
		{40, 0, []float64{.00038552, .39614531, .29157487, .11088952, .06895634, .13204844}},
		{75, 0, []float64{.00000022, .56843878, .22369235, .00543256, .01295650, .18947959}},
		{12, 0.2 * 12, []float64{.51220473, .00177996, .02171284, .32721843, .13649072, .00059332}},
	} {
		for f, p := range at(t, r.value, r.sd) {
			cases = append(cases, outside.Case{
				Source: "TROUBLESHOOT_PROBLEMS", Where: "P1 with a continuous reading, posteriors", What: fmt.Sprintf("F%d after %v s +- %v", f+1, r.value, r.sd),
				Got: p, Want: r.want[f], Tolerance: 6e-9, Why: "printed to 8 decimals",
			})
		}
	}
	// "Longer than 60 s, stopped waiting": a chance, given as a likelihood.
	c := continuous(t)
	long := make([]float64, len(restart))
	for f, r := range restart {
		long[f] = 1 - uncertain.NormalCDF((math.Log(60)-math.Log(r[0]))/r[1])
	}
	c.Evidence = []Evidence{{Likelihood: long, Note: "stopped waiting after a minute"}}
	got, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	for f, want := range []float64{.00000050, .56040620, .23596995, .00510909, .01171219, .18680207} {
		cases = append(cases, outside.Case{
			Source: "TROUBLESHOOT_PROBLEMS", Where: "P1 with a continuous reading, posteriors", What: fmt.Sprintf("F%d after more than 60 s", f+1),
			Got: got[f], Want: want, Tolerance: 6e-9, Why: "printed to 8 decimals",
		})
	}
	outside.Check(t, cases)
}

// TestReadingOfNought: where a tool shows 0, or so little that its uncertainty
// reaches down to 0, the reading is worth the chance of lying below its upper end,
// that is the value and the square root of 3 times its standard uncertainty.
// Recomputed with: scipy.stats.norm.logcdf((ln(x + sqrt(3) u) - ln median) / s).
func TestReadingOfNought(t *testing.T) {
	var cases []outside.Case
	for _, r := range []struct {
		value, sd float64
		want      []float64
	}{
		{0, 2, []float64{.7102951802, .0000000024, .0001324331, .0253858848, .2641864987, .0000000008}},
		{1, 3, []float64{.8312561239, .0000003809, .0005336638, .0540298694, .1141798351, .0000001270}},
		{0, 0.01, []float64{0, 0, 0, 0, 1, 0}}, // far below all: the widest
	} {
		for f, p := range at(t, r.value, r.sd) {
			cases = append(cases, outside.Case{
				Source: "SCIPY_1_10", Where: "scipy.stats.norm.logcdf", What: fmt.Sprintf("F%d after %v s +- %v", f+1, r.value, r.sd),
				Got: p, Want: r.want[f], Tolerance: 6e-11, Why: "given to 10 decimals",
			})
		}
	}
	for z, want := range map[float64]float64{-5: -15.064998393988727, -29.9: -451.3229124585287, -30.1: -457.32956441638237, -137.3: -9431.486159885715} {
		cases = append(cases, outside.Case{
			Source: "SCIPY_1_10", Where: "scipy.stats.norm.logcdf", What: fmt.Sprintf("ln of the chance below %v standard deviations", z),
			Got: logCDF(z), Want: want, Tolerance: 1e-7, Why: "far below, three terms of the expansion",
		})
	}
	outside.Check(t, cases)
	if a := mustAdvise(t, nought(t, 0.01)); a.Surprise == "" {
		t.Error("a reading far below every fault's range surprises nobody")
	}
	if a := mustAdvise(t, nought(t, 2)); a.Surprise != "" {
		t.Errorf("a reading below what the stopwatch can show: %s", a.Surprise)
	}
}

func nought(t *testing.T, sd float64) Case {
	c, v := continuous(t), 0.0
	c.Evidence = []Evidence{{Test: "t2", Value: &v, ValueSD: sd}}
	return c
}

// TestNormalReading: two normal readings of equal spread shift the log-odds by
// the difference of the means over the variance, times the distance from the
// middle; an uncertain reading adds its variance.
func TestNormalReading(t *testing.T) {
	const m0, m1, spread, x, sd = 4.2, 5.0, 0.6, 4.9, 0.45
	v := x
	c := Case{
		Several: 1, Faults: []Fault{{ID: "a", Prior: 0.3}, {ID: "b", Prior: 0.7}},
		Tests:      []Test{{ID: "t", Measured: []Reading{{Normal, m0, spread}, {Normal, m1, spread}}}},
		ReplaceAll: &ReplaceAll{Cost: 1}, Evidence: []Evidence{{Test: "t", Value: &v, ValueSD: sd}},
	}
	p, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	logOdds := math.Log(0.7/0.3) + (m1-m0)/(spread*spread+sd*sd)*(x-(m0+m1)/2)
	if got := math.Log(p[1] / p[0]); math.Abs(got-logOdds) > 1e-12 {
		t.Errorf("log-odds %v, closed form %v", got, logOdds)
	}
}
