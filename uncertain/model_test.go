package uncertain

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

// TestCompoundPoisson draws the hidden damage of lambda 1.8 and severities 54,
// 180, 600, and compares with the closed form and with SciPy's distribution
// turned into that of the sum by Fourier transform.
func TestCompoundPoisson(t *testing.T) {
	v := storedScipy(t).Compound
	c := CompoundPoisson{v.Expected, rangeOf(v.Range)}
	outside.Check(t, []outside.Case{
		{Source: "KLUGMAN_LOSS_MODELS", Where: "compound Poisson moments", What: "mean, lambda E[X]", Got: c.Mean(), Want: 503.7302, Tolerance: 5e-5, Why: "four decimals"},
		{Source: "KLUGMAN_LOSS_MODELS", Where: "compound Poisson moments", What: "sd, sqrt(lambda E[X^2])", Got: math.Sqrt(c.Variance()), Want: 583.7335, Tolerance: 5e-5, Why: "four decimals"},
		{Source: "KLUGMAN_LOSS_MODELS", Where: "compound Poisson moments", What: "chance of none", Got: c.ChanceOfNone(), Want: 0.16529889, Tolerance: 5e-9, Why: "eight decimals"},
	})
	const n = 400_000
	sum := make([]float64, n)
	counts, count, curve := NewCounts(c.Expected), NewStream(1, "hidden", "count"), c.Severity.Curve()
	z := make([]float64, 1)
	for i := range sum {
		for k := range counts.Count(count.Uniform(i)) {
			NewStream(1, "hidden", fmt.Sprint(k)).Normals(z, i)
			sum[i] += curve.At(z[0])
		}
	}
	m := MomentsOf(sum)
	slices.Sort(sum)
	outside.Check(t, []outside.Case{
		{Source: "PANJER_1981", Where: "aggregate distribution", What: "mean of the trials", Got: m.Mean, Want: v.Mean, Tolerance: 4 * 583.7 / math.Sqrt(n), Why: "4 standard errors"},
		{Source: "PANJER_1981", Where: "aggregate distribution", What: "sd of the trials", Got: math.Sqrt(m.Variance()), Want: math.Sqrt(v.Variance), Tolerance: 4 * 583.7 * 2.5 / math.Sqrt(n), Why: "4 standard errors, kurtosis about 20"},
	})
	for at, want := range v.Chances {
		var x float64
		if _, err := fmt.Sscan(at, &x); err != nil {
			t.Fatal(err)
		}
		outside.Check(t, []outside.Case{{
			Source: "PANJER_1981", Where: "aggregate distribution", What: "chance of at most " + at, Got: SampleChance(sum, x), Want: want,
			Tolerance: 4*ChanceError(want, n) + 1e-4, Why: "4 standard errors and the grid of 2; by numpy's FFT",
		}})
	}
	for at, want := range v.Quantiles {
		var p float64
		if _, err := fmt.Sscan(at, &p); err != nil {
			t.Fatal(err)
		}
		i := QuantileInterval(sum, p, 0.9999)
		if want < i.Low-2 || want > i.High+2 {
			t.Errorf("%s quantile: %g is outside %+v", at, want, i)
		}
	}
}

func TestFailingRoute(t *testing.T) {
	// C mean 120 sd 30, fails with 0.35, D mean 640 sd 90, both symmetric.
	r := FailingRoute{Range{120 - 30*Z90, 120, 120 + 30*Z90}, 0.65, Range{640 - 90*Z90, 640, 640 + 90*Z90}}
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_ROUTES", Where: "two-stage job", What: "mean, m_C + p m_D", Got: r.Mean(), Want: 344, Tolerance: 1e-9, Why: "whole number"},
		{Source: "DESIGN_ROUTES", Where: "two-stage job", What: "variance, v_C + p v_D + p(1-p) m_D^2", Got: r.Variance(), Want: 96919, Tolerance: 1e-6, Why: "whole number"},
	})
}

func TestVarianceShares(t *testing.T) {
	ishigami := func(u []float64) float64 {
		x := func(i int) float64 { return math.Pi * (2*u[i] - 1) }
		return math.Sin(x(0)) + 7*math.Pow(math.Sin(x(1)), 2) + 0.1*math.Pow(x(2), 4)*math.Sin(x(0))
	}
	s, err := VarianceShares(ishigami, 3, 1<<17, 1)
	if err != nil {
		t.Fatal(err)
	}
	outside.Check(t, []outside.Case{
		{Source: "SALTELLI_2010", Where: "table 2 (b)", What: "Ishigami, first share of x1", Got: s[0].First, Want: 0.313905191, Tolerance: 4 * s[0].FirstError, Why: "4 standard errors"},
		{Source: "SALTELLI_2010", Where: "table 2 (b)", What: "Ishigami, first share of x2", Got: s[1].First, Want: 0.442411145, Tolerance: 4 * s[1].FirstError, Why: "4 standard errors"},
		{Source: "SALTELLI_2010", Where: "table 2 (b)", What: "Ishigami, first share of x3", Got: s[2].First, Want: 0, Tolerance: 4 * s[2].FirstError, Why: "4 standard errors"},
		{Source: "JANSEN_1999", Where: "total index", What: "Ishigami, total share of x1", Got: s[0].Total, Want: 0.557588855, Tolerance: 4 * s[0].TotalError, Why: "4 standard errors"},
		{Source: "JANSEN_1999", Where: "total index", What: "Ishigami, total share of x2", Got: s[1].Total, Want: 0.442411145, Tolerance: 4 * s[1].TotalError, Why: "4 standard errors"},
		{Source: "JANSEN_1999", Where: "total index", What: "Ishigami, total share of x3", Got: s[2].Total, Want: 0.243683664, Tolerance: 4 * s[2].TotalError, Why: "4 standard errors"},
	})
	for i, share := range s {
		if share.FirstError > 0.01 || share.TotalError > 0.01 {
			t.Errorf("input %d: errors %g and %g: the check says nothing", i, share.FirstError, share.TotalError)
		}
	}
	if _, err := VarianceShares(ishigami, 0, 10, 1); err == nil {
		t.Error("no inputs: no error")
	}
}

// TestFailureIsTheDriver: whether the repair fails matters far more than what
// the fallback costs.
func TestFailureIsTheDriver(t *testing.T) {
	s, err := VarianceShares(func(u []float64) float64 {
		y := 60*NormalQuantile(u[0]) + 110*NormalQuantile(u[1])
		if u[2] < 0.35 {
			y += 640 + 90*NormalQuantile(u[3])
		}
		return y
	}, 4, 1<<17, 2)
	if err != nil {
		t.Fatal(err)
	}
	outside.Check(t, []outside.Case{
		{Source: "SALTELLI_2010", Where: "table 2 (b)", What: "share of the repair's cost", Got: s[0].First, Want: 0.032223704, Tolerance: 4 * s[0].FirstError, Why: "4 standard errors; closed form"},
		{Source: "SALTELLI_2010", Where: "table 2 (b)", What: "share of another job", Got: s[1].First, Want: 0.108307450, Tolerance: 4 * s[1].FirstError, Why: "4 standard errors; closed form"},
		{Source: "SALTELLI_2010", Where: "table 2 (b)", What: "share of whether it fails", Got: s[2].First, Want: 0.834092679, Tolerance: 4 * s[2].FirstError, Why: "4 standard errors; closed form"},
		{Source: "JANSEN_1999", Where: "total index", What: "total share of whether it fails", Got: s[2].Total, Want: 0.850587187, Tolerance: 4 * s[2].TotalError, Why: "4 standard errors; closed form"},
		{Source: "JANSEN_1999", Where: "total index", What: "total share of the fallback's cost", Got: s[3].Total, Want: 0.025376167, Tolerance: 4 * s[3].TotalError, Why: "4 standard errors; closed form"},
	})
}

func TestSampleQuantile(t *testing.T) {
	squares := make([]float64, 100)
	for i := range squares {
		squares[i] = float64((i + 1) * (i + 1))
	}
	small := make([]float64, 100)
	for i := range small {
		small[i] = float64(i + 1)
	}
	outside.Check(t, []outside.Case{
		{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "0.8 quantile of the squares of 1 to 100", Got: SampleQuantile(squares, 0.8), Want: 6400, Tolerance: 0, Why: "the 80th of 100"},
		{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "0.07 quantile of 1 to 100", Got: SampleQuantile(small, 0.07), Want: 7, Tolerance: 0, Why: "0.07 times 100 is a hair above 7 in binary"},
		{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "0.801 quantile of 1 to 100", Got: SampleQuantile(small, 0.801), Want: 81, Tolerance: 0, Why: "ceil(80.1)"},
		{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "0 quantile", Got: SampleQuantile(small, 0), Want: 1, Tolerance: 0, Why: "the smallest"},
		{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "1 quantile", Got: SampleQuantile(small, 1), Want: 100, Tolerance: 0, Why: "the greatest"},
	})
	if got := SampleChance([]float64{1, 2, 2, 3}, 2); got != 0.75 {
		t.Errorf("chance of at most 2 is %g; want 0.75", got)
	}
}

// TestCoverage of the published order-statistic intervals of the median.
func TestCoverage(t *testing.T) {
	for _, k := range []struct {
		n, l, u int
		p, want float64
	}{
		{100, 40, 61, 0.5, 0.96480},
		{1000, 775, 825, 0.8, 0.95190},
		{1000, 881, 919, 0.9, 0.95491},
		{10000, 7921, 8079, 0.8, 0.95173},
		{10000, 8941, 9059, 0.9, 0.95079},
		{10, 2, 9, 0.5, 0.97852},
		{15, 4, 12, 0.5, 0.96484},
		{20, 6, 15, 0.5, 0.95861},
	} {
		l, u, coverage := QuantileRanks(k.n, k.p, 0.95)
		if l != k.l || u != k.u {
			t.Errorf("n %d, p %g: ranks %d and %d; want %d and %d", k.n, k.p, l, u, k.l, k.u)
		}
		outside.Check(t, []outside.Case{{
			Source: "CONOVER_1999", Where: "section 3.2", What: fmt.Sprintf("coverage for n %d, p %g", k.n, k.p),
			Got: coverage, Want: k.want, Tolerance: 5e-6, Why: "five decimals",
		}})
	}
}

func TestLearnBias(t *testing.T) {
	symmetric := Range{100 - 10*Z90, 100, 100 + 10*Z90} // normal, sd 10
	closed := func(scores ...float64) []Closed {
		var list []Closed
		for _, z := range scores {
			list = append(list, Closed{symmetric, 100 + 10*z})
		}
		return list
	}
	tests := []struct {
		name          string
		closed        []Closed
		n             int
		shift, spread float64
	}{
		{"nothing learnt", nil, 0, 0, 1},
		// n zbar/(n+4); sqrt((4 + SS + 4 n zbar^2/(n+4))/(n+4))
		{"one job a sd dear", closed(1), 1, 0.2, math.Sqrt((4 + 0.8) / 5)},
		{"four jobs at 1", closed(1, 1, 1, 1), 4, 0.5, math.Sqrt((4 + 2.0) / 8)},
		{"well judged", closed(-1, 1), 2, 0, 1},
		{"too narrow", closed(-3, 3), 2, 0, math.Sqrt((4 + 18.0) / 6)},
		{"far beyond is limited", closed(50), 1, 0.8, math.Sqrt((4 + 16*0.8) / 5)},
		{"plain numbers have no score", []Closed{{Certain(5), 7}}, 0, 0, 1},
		{"below every value the range allows", []Closed{{Range{500, 700, 1100}, 200}}, 1, -0.8, math.Sqrt((4 + 16*0.8) / 5)},
		{"at the atom of a one-sided range", []Closed{{Range{100, 100, 200}, 100}}, 1, 0, math.Sqrt(4.0 / 5)},
	}
	for _, tt := range tests {
		b := LearnBias(tt.closed)
		if b.N != tt.n || math.Abs(b.Shift-tt.shift) > 1e-9 || math.Abs(b.Spread-tt.spread) > 1e-9 {
			t.Errorf("%s: %+v; want n %d, shift %g, spread %g", tt.name, b, tt.n, tt.shift, tt.spread)
		}
	}
	words := LearnBias([]Closed{{Range{200, 260, 400}, 390}, {Range{80, 100, 120}, 130}, {Range{10, 20, 40}, 26}}).Words()
	if want := "your jobs come in 1.3 times the likely figure; 1 of 3 went over the high figure, 0 stayed under the low one"; words != want {
		t.Errorf("in words: %q; want %q", words, want)
	}
}

// A belief updated in two goes is the belief updated in one.
func TestBeliefInStages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(-4, 4), 1, 20).Draw(t, "scores")
		cut := rapid.IntRange(0, len(y)).Draw(t, "cut")
		prior := NormalInverseGamma{0, 4, 2, 2}
		one, two := prior.Update(y), prior.Update(y[:cut]).Update(y[cut:])
		for _, d := range []float64{one.Mean - two.Mean, one.Weight - two.Weight, one.Shape - two.Shape, one.Scale - two.Scale} {
			if math.Abs(d) > 1e-9 {
				t.Fatalf("%+v in one go, %+v in two", one, two)
			}
		}
	})
}
