package uncertain

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

func TestCurveOfKnownParameters(t *testing.T) {
	c := Range{500, 700, 1100}.Curve()
	outside.Check(t, []outside.Case{
		{Source: "JOHNSON_1949", Where: "system S_L", What: "theta of 500, 700, 1100", Got: c.Theta(), Want: 300, Tolerance: 1e-9, Why: "whole number"},
		{Source: "JOHNSON_1949", Where: "system S_L", What: "sigma of 500, 700, 1100, ln 2/z", Got: c.Sigma(), Want: 0.540865619, Tolerance: 1e-9, Why: "nine decimals"},
		{Source: "JOHNSON_1949", Where: "system S_L", What: "mean of 500, 700, 1100", Got: c.Mean(), Want: 763.002455, Tolerance: 1e-6, Why: "six decimals"},
		{Source: "JOHNSON_1949", Where: "system S_L", What: "sd of 500, 700, 1100", Got: c.SD(), Want: 269.903212, Tolerance: 1e-6, Why: "six decimals"},
		{Source: "JOHNSON_1949", Where: "system S_L", What: "chance of at most 800", Got: c.CDF(800), Want: 0.66003822, Tolerance: 1e-8, Why: "eight decimals"},
	})
}

// ranges draws a range of any skew, certain and one-sided ones among them.
func ranges() *rapid.Generator[Range] {
	return rapid.Custom(func(t *rapid.T) Range {
		low := rapid.Float64Range(0, 5000).Draw(t, "low")
		side := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-6, 3000))
		below := side.Draw(t, "below")
		above := side.Draw(t, "above")
		return Range{low, low + below, low + below + above}
	})
}

func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ranges().Draw(t, "range")
		c := r.Curve()
		p := rapid.Float64Range(0.001, 0.998).Draw(t, "p")
		q := rapid.Float64Range(p, 0.999).Draw(t, "q")
		if c.Quantile(p) > c.Quantile(q) {
			t.Fatalf("quantile falls from %g at %g to %g at %g", c.Quantile(p), p, c.Quantile(q), q)
		}
		near := func(what string, got, want float64) {
			if !(math.Abs(got-want) <= 1e-6*(1+math.Abs(want))) {
				t.Fatalf("%s is %g; want %g", what, got, want)
			}
		}
		if !c.OneSided() || r.Likely == r.Low || r.Likely == r.High {
			near("low point", c.Quantile(0.1), r.Low)
			near("likely point", c.Quantile(0.5), r.Likely)
			near("high point", c.Quantile(0.9), r.High)
		}
		twice := r.Times(2).Curve()
		near("mean of twice the range", twice.Mean(), 2*c.Mean())
		near("sd of twice the range", twice.SD(), 2*c.SD())
		if c.MeanCut() < c.Mean()-1e-6*(1+c.Mean()) || c.MeanCut() < 0 {
			t.Fatalf("cutting at zero took the mean from %g to %g", c.Mean(), c.MeanCut())
		}
		mirror := Range{-r.High, -r.Likely, -r.Low}.Curve()
		near("mirrored quantile", -mirror.Quantile(1-p), c.Quantile(p))
		if x := c.Quantile(p); c.shape == lognormal {
			near("score of the quantile", NormalCDF(c.Score(x)), p)
		}
	})
}

// The symmetric case is a limit, not a seam: quantile, mean and variance of
// ranges ever closer to it approach the normal's without a jump.
func TestContinuousThroughSymmetry(t *testing.T) {
	normal := Range{400, 500, 600}.Curve()
	for _, off := range []float64{1e-13, 1e-11, 1e-9, 1e-7, 1e-5, 1e-3, 1e-2, 0.1} {
		for _, sign := range []float64{-1, 1} {
			c := Range{400, 500, 600 + sign*off}.Curve()
			for _, p := range []float64{0.001, 0.1, 0.3, 0.5, 0.9, 0.999} {
				if d := math.Abs(c.Quantile(p) - normal.Quantile(p)); !(d <= 10*off+1e-9) {
					t.Errorf("high 600%+g: %g quantile jumps by %g", sign*off, p, d)
				}
			}
			if d := math.Abs(c.SD() - normal.SD()); !(d <= 2*off+1e-9) {
				t.Errorf("high 600%+g: sd jumps by %g", sign*off, d)
			}
			if d := math.Abs(c.Mean() - normal.Mean()); !(d <= 2*off+1e-9) {
				t.Errorf("high 600%+g: mean jumps by %g", sign*off, d)
			}
		}
	}
}

func TestDegenerateRanges(t *testing.T) {
	tests := []struct {
		name                 string
		r                    Range
		p10, p50, p90, p999  float64
		mean, variance, cut0 float64
	}{
		{"certain", Certain(320), 320, 320, 320, 320, 320, 0, 320},
		{"zero", Certain(0), 0, 0, 0, 0, 0, 0, 0},
		// Half of a normal with sd s = 100/z: mean off by s/sqrt(2 pi), variance s^2 (1/2 - 1/(2 pi));
		// the cut at zero adds s (phi(k) - k Phi(-k)), k = 200/s, where the half points down.
		{"low is likely", Range{200, 200, 300}, 200, 200, 300, 200 + 78.0304*3.0902323, 231.1297, 2075.319, 231.1297},
		{"likely is high", Range{100, 200, 200}, 100, 200, 200, 200, 168.8703, 2075.319, 168.99876},
	}
	for _, tt := range tests {
		c := tt.r.Curve()
		for _, k := range []struct {
			what      string
			got, want float64
		}{
			{"p10", c.Quantile(0.1), tt.p10},
			{"p50", c.Quantile(0.5), tt.p50},
			{"p90", c.Quantile(0.9), tt.p90},
			{"p99.9", c.Quantile(0.999), tt.p999},
			{"mean", c.Mean(), tt.mean},
			{"variance", c.Variance(), tt.variance},
			{"mean cut", c.MeanCut(), tt.cut0},
		} {
			if !(math.Abs(k.got-k.want) <= 1e-5*(1+k.want)) {
				t.Errorf("%s: %s is %g; want %g", tt.name, k.what, k.got, k.want)
			}
		}
	}
	if p := (Range{200, 200, 300}).Curve().CDF(200); p != 0.5 {
		t.Errorf("chance of at most the atom is %g; want 0.5", p)
	}
}

func TestColumnIsTheCurve(t *testing.T) {
	var z []float64
	for s := -8.5; s <= 8.5; s += 0.01 {
		z = append(z, s)
	}
	for _, r := range []Range{
		{500, 700, 1100},
		{100, 300, 400},
		{0, 5, 30},
		{400, 500, 600},
		{400, 500, 600.01},
		{400, 500, 600.3},
		{200, 200, 300},
		{1, 1, 1},
		{10, 11, 900},
		{0, 890, 891},
	} {
		c, dst := r.Curve(), make([]float64, len(z))
		c.Column(dst, z)
		for i, s := range z {
			if want := math.Max(0, c.At(s)); !(math.Abs(dst[i]-want) <= 1e-11*(1+math.Abs(want)+r.High)) {
				t.Errorf("%v at score %g: %g; want %g", r, s, dst[i], want)
			}
		}
	}
	far := make([]float64, 2)
	Range{10, 11, 900}.Curve().Column(far, []float64{200, -200})
	if !(far[0] > 1e100) || math.Abs(far[1]-9.99) > 0.01 {
		t.Errorf("scores of +-200 give %g", far)
	}
}

func TestRangeErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		r      Range
		number string
		words  []string
	}{
		{Range{5, 4, 6}, "low", []string{"low (5) is above likely (4)", "low <= likely <= high"}},
		{Range{1, 7, 6}, "high", []string{"high (6) is below likely (7)"}},
		{Range{nan, 4, 6}, "low", []string{"not a number"}},
		{Range{1, nan, 6}, "likely", []string{"not a number"}},
		{Range{1, 2, inf}, "high", []string{"infinite"}},
		{Range{-1, 2, 3}, "low", []string{"low (-1) is negative", "a number from 0"}},
		{Range{1, 2, 2e12}, "high", []string{"is above 1000000000000"}},
	}
	for _, tt := range tests {
		err := tt.r.Validate(MoneyBounds)
		var wrong *RangeError
		if !errors.As(err, &wrong) || wrong.Number != tt.number {
			t.Errorf("%v: %v; want a complaint about %s", tt.r, err, tt.number)
			continue
		}
		for _, w := range tt.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%v: %q lacks %q", tt.r, err, w)
			}
		}
	}
	for _, r := range []Range{{0, 0, 0}, {1, 1, 2}, {1, 2, 2}, {1, 2, 3}} {
		if err := r.Validate(MoneyBounds); err != nil {
			t.Errorf("%v: %v", r, err)
		}
	}
}
