package uncertain

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// NormalInverseGamma is what is believed about the mean and the variance of a
// normal quantity: mean | variance ~ N(Mean, variance/Weight), variance ~
// inverse gamma (Shape, Scale).
//
// ref: MURPHY_2007 section 6
type NormalInverseGamma struct{ Mean, Weight, Shape, Scale float64 }

// Update is the belief after the observations.
//
// ref: MURPHY_2007 section 6
// (kn = k0+n, mn = (k0 m0 + n ybar)/kn, an = a0+n/2,
// bn = b0 + SS/2 + k0 n (ybar-m0)^2/(2 kn))
func (b NormalInverseGamma) Update(observed []float64) NormalInverseGamma {
	n := float64(len(observed))
	if n == 0 {
		return b
	}
	mean, squares := 0.0, 0.0
	for _, y := range observed {
		mean += y / n
	}
	for _, y := range observed {
		squares += (y - mean) * (y - mean)
	}
	weight := b.Weight + n
	return NormalInverseGamma{
		Mean:   (b.Weight*b.Mean + n*mean) / weight,
		Weight: weight,
		Shape:  b.Shape + n/2,
		Scale:  b.Scale + squares/2 + b.Weight*n*(mean-b.Mean)*(mean-b.Mean)/(2*weight),
	}
}

// PredictiveQuantile is the quantile of the next observation: Student's t with
// 2 Shape degrees of freedom and scale sqrt(Scale (Weight+1)/(Shape Weight)).
//
// ref: MURPHY_2007 section 6
func (b NormalInverseGamma) PredictiveQuantile(p float64) float64 {
	scale := math.Sqrt(b.Scale * (b.Weight + 1) / (b.Shape * b.Weight))
	return distuv.StudentsT{Mu: b.Mean, Sigma: scale, Nu: 2 * b.Shape}.Quantile(p)
}

// Closed is one finished job: what was said beforehand and what it came to.
type Closed struct {
	Range
	Actual float64 `json:"actual" yaml:"actual"`
}

// MaxScore limits the score of one closed job, so that a single job far beyond
// its own range, or below every value the range allows, does not rule alone.
const MaxScore = 4

// priorJobs is the weight of the belief "my ranges are right" in jobs.
//
// ref: DESIGN_BIAS
const priorJobs = 4

// Bias is the own habit, learnt from closed jobs: every open range is read at
// the score Shift + Spread Z instead of Z. Shift 0 and Spread 1 change nothing.
type Bias struct {
	N      int     `json:"n"`      // closed jobs that could be scored
	Shift  float64 `json:"shift"`  // in standard deviations; positive: jobs come in dear
	Spread float64 `json:"spread"` // above 1: ranges were too narrow

	AboveHigh int     `json:"above_high"`   // scored jobs that went over their high figure
	BelowLow  int     `json:"below_low"`    // scored jobs that stayed under their low figure
	Ratio     float64 `json:"median_ratio"` // median of actual / likely; 0 where no job has one
}

// NoBias is the bias of somebody without a record.
func NoBias() Bias { return Bias{Spread: 1} }

// LearnBias scores each closed job in its own range and updates the belief
// that scores are standard normal, held with the weight of four jobs:
//
//	shift    = n zbar / (n + 4)
//	spread^2 = (4 + SS + 4 n zbar^2/(n + 4)) / (n + 4)
//
// that is the normal - inverse-gamma update with m0 = 0, k0 = 4, a0 = 2,
// b0 = 2, of which Shift is the mean mn and Spread^2 the scale bn/an of the
// variance. The doubt that is left about the mean is common to all jobs and is
// not added: the copula's factor stands for it. Jobs whose range was a single
// number have no score and are left out.
//
// ref: DESIGN_BIAS; MURPHY_2007 section 6
func LearnBias(closed []Closed) Bias {
	bias := NoBias()
	var scores []float64
	for _, c := range closed {
		curve := c.Curve()
		if curve.shape == point {
			continue
		}
		scores = append(scores, math.Max(-MaxScore, math.Min(MaxScore, curve.Score(c.Actual))))
		if c.Actual > c.High {
			bias.AboveHigh++
		}
		if c.Actual < c.Low {
			bias.BelowLow++
		}
	}
	after := NormalInverseGamma{Mean: 0, Weight: priorJobs, Shape: priorJobs / 2.0, Scale: priorJobs / 2.0}.Update(scores)
	bias.N = len(scores)
	bias.Shift = after.Mean
	bias.Spread = math.Sqrt(after.Scale / after.Shape)
	bias.Ratio = medianRatio(closed)
	return bias
}

// medianRatio is the median of actual / likely over the closed jobs that were
// given as a range with a likely figure above zero.
func medianRatio(closed []Closed) float64 {
	var ratios []float64
	for _, c := range closed {
		if c.Likely > 0 && !c.IsCertain() {
			ratios = append(ratios, c.Actual/c.Likely)
		}
	}
	if len(ratios) == 0 {
		return 0
	}
	slices.Sort(ratios)
	middle := len(ratios) / 2
	if len(ratios)%2 == 1 {
		return ratios[middle]
	}
	return (ratios[middle-1] + ratios[middle]) / 2
}

// Words says the bias as a person would.
func (b Bias) Words() string {
	switch {
	case b.N == 0:
		return "nothing learnt yet: no closed job with a range"
	case b.Ratio == 0:
		return fmt.Sprintf("%d of %d went over the high figure, %d stayed under the low one", b.AboveHigh, b.N, b.BelowLow)
	}
	words := fmt.Sprintf("your jobs come in %.2g times the likely figure; %d of %d went over the high figure, %d stayed under the low one",
		b.Ratio, b.AboveHigh, b.N, b.BelowLow)
	if b.N < 3 {
		words += " (too few to trust)"
	}
	return words
}
