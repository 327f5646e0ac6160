package uncertain

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"testing"

	"wreckwright/outside"
)

// scipyValues is testdata/scipy_values.json, written by scipy_values.py there.
type scipyValues struct {
	Chances []float64
	Curves  []struct {
		Range                    [3]float64
		Quantiles, At, CDF       []float64
		Mean, Variance, Mean_cut float64
	}
	Normal    []struct{ P, Z float64 }
	Posterior struct {
		Scores         []float64
		Mean, Variance float64
	}
	Predictive []struct{ P, X float64 }
	Compound   struct {
		Expected, Mean, Variance float64
		Range                    [3]float64
		Quantiles, Chances       map[string]float64
	}
	Ranks []struct {
		N         int
		P         float64
		Low, High int
	}
	Wilson []struct {
		K, N      int
		Low, High float64
	}
}

func readScipy(t *testing.T, data []byte) scipyValues {
	t.Helper()
	var v scipyValues
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	if len(v.Curves) < 10 || len(v.Normal) < 10 || len(v.Ranks) < 5 {
		t.Fatalf("scipy values are incomplete: %d curves", len(v.Curves))
	}
	return v
}

func storedScipy(t *testing.T) scipyValues {
	t.Helper()
	data, err := os.ReadFile("testdata/scipy_values.json")
	if err != nil {
		t.Fatal(err)
	}
	return readScipy(t, data)
}

func rangeOf(r [3]float64) Range { return Range{r[0], r[1], r[2]} }

// TestScipyAgain runs the script where SciPy is at hand: the stored values must
// be the script's.
func TestScipyAgain(t *testing.T) {
	const python = "/usr/bin/python3"
	if testing.Short() {
		t.Skip("short: stored values are compared in the other tests")
	}
	if err := exec.Command(python, "-c", "import scipy").Run(); err != nil {
		t.Skip("no SciPy here: stored values are compared in the other tests")
	}
	out, err := exec.Command(python, "testdata/scipy_values.py").Output()
	if err != nil {
		t.Fatal(err)
	}
	fresh, stored := readScipy(t, out), storedScipy(t)
	for i, c := range fresh.Curves {
		s := stored.Curves[i]
		for k := range c.Quantiles {
			outside.Check(t, []outside.Case{{
				Source: "SCIPY_1_10", Where: "stats.lognorm", What: fmt.Sprintf("stored quantile %d of %v", k, c.Range),
				Got: s.Quantiles[k], Want: c.Quantiles[k], Tolerance: 1e-8 * (1 + math.Abs(c.Quantiles[k])), Why: "same script, other SciPy builds allowed",
			}})
		}
	}
}

func TestCurveAgainstScipy(t *testing.T) {
	v := storedScipy(t)
	for _, c := range v.Curves {
		curve := rangeOf(c.Range).Curve()
		// A nearly symmetric range makes SciPy subtract a theta of 1e8 and lose digits.
		size := 1e-9
		if s := math.Abs(curve.Sigma()); s > 0 && s < 1e-3 {
			size = 1e-7 / s * 1e-5
		}
		// SciPy forms exp(s^2) - 1 by subtraction.
		varianceSize := 10 * size
		if s := curve.Sigma(); s != 0 {
			varianceSize += 4e-16 / (s * s)
		}
		near := func(x float64) float64 { return size * (1 + math.Abs(x)) }
		for k, p := range v.Chances {
			outside.Check(t, []outside.Case{{
				Source: "SCIPY_1_10", Where: "stats.lognorm", What: fmt.Sprintf("%g quantile of %v", p, c.Range),
				Got: curve.Quantile(p), Want: c.Quantiles[k], Tolerance: near(c.Quantiles[k]), Why: "double precision, theta cancels",
			}})
		}
		for k, x := range c.At {
			outside.Check(t, []outside.Case{{
				Source: "SCIPY_1_10", Where: "stats.lognorm", What: fmt.Sprintf("chance of at most %g of %v", x, c.Range),
				Got: curve.CDF(x), Want: c.CDF[k], Tolerance: near(1), Why: "double precision, theta cancels",
			}})
		}
		outside.Check(t, []outside.Case{
			{
				Source: "SCIPY_1_10", Where: "stats.lognorm", What: fmt.Sprintf("mean of %v", c.Range),
				Got: curve.Mean(), Want: c.Mean, Tolerance: near(c.Mean), Why: "double precision, theta cancels",
			},
			{
				Source: "SCIPY_1_10", Where: "stats.lognorm", What: fmt.Sprintf("variance of %v", c.Range),
				Got: curve.Variance(), Want: c.Variance, Tolerance: varianceSize * c.Variance, Why: "double precision, exp(s^2) - 1 cancels",
			},
			{
				Source: "SCIPY_1_10", Where: "stats.lognorm", What: fmt.Sprintf("mean of %v cut at zero", c.Range),
				Got: curve.MeanCut(), Want: c.Mean_cut, Tolerance: 1e-7 * (1 + c.Mean_cut), Why: "quadrature to 1e-8",
			},
		})
	}
}

func TestNormalAgainstScipy(t *testing.T) {
	for _, n := range storedScipy(t).Normal {
		outside.Check(t, []outside.Case{
			{
				Source: "WICHURA_AS241", Where: "routine PPND16", What: fmt.Sprintf("normal quantile of %g", n.P),
				Got: NormalQuantile(n.P), Want: n.Z, Tolerance: 1e-14 * (1 + math.Abs(n.Z)), Why: "16 figures promised; values by scipy.stats.norm.ppf",
			},
		})
	}
	outside.Check(t, []outside.Case{{
		Source: "SCIPY_1_10", Where: "stats.norm", What: "the 90 % point", Got: Z90, Want: 1.281551565545, Tolerance: 1e-12, Why: "printed to 12 decimals",
	}})
}

func TestBiasAgainstScipy(t *testing.T) {
	v := storedScipy(t)
	after := NormalInverseGamma{Mean: 0, Weight: 4, Shape: 2, Scale: 2}.Update(v.Posterior.Scores)
	outside.Check(t, []outside.Case{
		{
			Source: "SCIPY_1_10", Where: "stats.invgamma", What: "posterior mean of the mean", Got: after.Mean,
			Want: v.Posterior.Mean, Tolerance: 1e-9, Why: "quadrature of prior times likelihood",
		},
		{
			Source: "SCIPY_1_10", Where: "stats.invgamma", What: "posterior mean of the variance, bn/(an-1)", Got: after.Scale / (after.Shape - 1),
			Want: v.Posterior.Variance, Tolerance: 1e-9, Why: "quadrature of prior times likelihood",
		},
	})
	// ln(actual/estimate) of six jobs under a prior m0 0.10, t0 0.20, s 0.35.
	var y []float64
	for _, j := range [][2]float64{{400, 520}, {900, 1010}, {150, 240}, {1200, 1180}, {650, 900}, {80, 130}} {
		y = append(y, math.Log(j[1]/j[0]))
	}
	b := NormalInverseGamma{Mean: 0.10, Weight: 3.0625, Shape: 3, Scale: 0.245}.Update(y)
	outside.Check(t, []outside.Case{
		{Source: "MURPHY_2007", Where: "section 6", What: "kn", Got: b.Weight, Want: 9.0625, Tolerance: 0, Why: "exact"},
		{Source: "MURPHY_2007", Where: "section 6", What: "mn", Got: b.Mean, Want: 0.214957444, Tolerance: 1e-9, Why: "nine decimals"},
		{Source: "MURPHY_2007", Where: "section 6", What: "an", Got: b.Shape, Want: 6, Tolerance: 0, Why: "exact"},
		{Source: "MURPHY_2007", Where: "section 6", What: "bn", Got: b.Scale, Want: 0.373405911, Tolerance: 1e-9, Why: "nine decimals"},
	})
	for _, p := range v.Predictive {
		outside.Check(t, []outside.Case{{
			Source: "SCIPY_1_10", Where: "stats.t", What: fmt.Sprintf("%g point of the next job", p.P), Got: b.PredictiveQuantile(p.P),
			Want: p.X, Tolerance: 1e-8, Why: "scale and centre given to nine decimals",
		}})
	}
}

func TestIntervalsAgainstScipy(t *testing.T) {
	v := storedScipy(t)
	for _, r := range v.Ranks {
		l, u, _ := QuantileRanks(r.N, r.P, 0.95)
		outside.Check(t, []outside.Case{
			{Source: "CONOVER_1999", Where: "section 3.2", What: fmt.Sprintf("lower rank, n %d p %g", r.N, r.P), Got: float64(l), Want: float64(r.Low), Tolerance: 0, Why: "a rank; by scipy.stats.binom.ppf"},
			{Source: "CONOVER_1999", Where: "section 3.2", What: fmt.Sprintf("upper rank, n %d p %g", r.N, r.P), Got: float64(u), Want: float64(r.High), Tolerance: 0, Why: "a rank; by scipy.stats.binom.ppf"},
		})
	}
	for _, w := range v.Wilson {
		i := Wilson(w.K, w.N, 0.95)
		outside.Check(t, []outside.Case{
			{Source: "WILSON_1927", Where: "score interval", What: fmt.Sprintf("lower limit of %d in %d", w.K, w.N), Got: i.Low, Want: w.Low, Tolerance: 1e-12, Why: "closed form; by scipy.stats.binomtest"},
			{Source: "WILSON_1927", Where: "score interval", What: fmt.Sprintf("upper limit of %d in %d", w.K, w.N), Got: i.High, Want: w.High, Tolerance: 1e-12, Why: "closed form; by scipy.stats.binomtest"},
		})
	}
}
