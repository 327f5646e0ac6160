package uncertain

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// Interval is a lower and an upper limit.
type Interval struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// SampleQuantile is the inverted distribution function of a sorted sample: the
// ceil(p n)-th smallest value (type 1 of Hyndman and Fan). It is the value c of
// which "the chance of at most c is at least p" holds in the sample.
//
// ref: HYNDMAN_FAN_1996 definition 1
func SampleQuantile(sorted []float64, p float64) float64 {
	n := len(sorted)
	if n == 0 {
		return math.NaN()
	}
	// A product like 0.07*100 lands a hair above 7; it must not move to the next rank.
	rank := int(math.Ceil(p*float64(n) - 1e-9))
	return sorted[min(max(rank, 1), n)-1]
}

// SampleChance is the share of a sorted sample that is at most x.
func SampleChance(sorted []float64, x float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	i, _ := slices.BinarySearchFunc(sorted, x, func(v, limit float64) int {
		if v <= limit {
			return -1
		}
		return 1
	})
	return float64(i) / float64(len(sorted))
}

// QuantileRanks are the ranks l and u (counted from 1) of the order statistics
// that enclose the p quantile with at least the confidence less rounding, and
// the true coverage F(u-1) - F(l-1), F binomial.
//
// ref: CONOVER_1999 section 3.2
func QuantileRanks(n int, p, confidence float64) (l, u int, coverage float64) {
	tail := (1 - confidence) / 2
	l = binomialQuantile(n, p, tail)
	u = binomialQuantile(n, p, 1-tail) + 1
	return l, u, binomialCDF(u-1, n, p) - binomialCDF(l-1, n, p)
}

// QuantileInterval is the distribution-free interval of the p quantile from a
// sorted sample, by order statistics.
//
// ref: CONOVER_1999 section 3.2
func QuantileInterval(sorted []float64, p, confidence float64) Interval {
	n := len(sorted)
	if n == 0 {
		return Interval{math.NaN(), math.NaN()}
	}
	l, u, _ := QuantileRanks(n, p, confidence)
	return Interval{sorted[min(max(l, 1), n)-1], sorted[min(max(u, 1), n)-1]}
}

// binomialCDF is the chance of at most k successes in n trials.
func binomialCDF(k, n int, p float64) float64 {
	switch {
	case k < 0:
		return 0
	case k >= n:
		return 1
	case p <= 0:
		return 1
	case p >= 1:
		return 0
	}
	return mathext.RegIncBeta(float64(n-k), float64(k+1), 1-p)
}

// binomialQuantile is the smallest k with at least the chance q of k or fewer.
func binomialQuantile(n int, p, q float64) int {
	low, high := 0, n
	for low < high {
		middle := (low + high) / 2
		if binomialCDF(middle, n, p) >= q {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// ChanceError is the standard error sqrt(p(1-p)/n) of a chance found in n
// trials.
func ChanceError(p float64, n int) float64 {
	if n == 0 {
		return math.NaN()
	}
	return math.Sqrt(p * (1 - p) / float64(n))
}

// Wilson is the score interval of a chance: unlike the standard error it also
// says something where all or none of the trials succeeded.
//
// ref: WILSON_1927 score interval
func Wilson(successes, n int, confidence float64) Interval {
	if n == 0 {
		return Interval{0, 1}
	}
	z := NormalQuantile(1 - (1-confidence)/2)
	size := float64(n)
	p, z2 := float64(successes)/size, z*z
	middle := (p + z2/(2*size)) / (1 + z2/size)
	half := z / (1 + z2/size) * math.Sqrt(p*(1-p)/size+z2/(4*size*size))
	return Interval{math.Max(0, middle-half), math.Min(1, middle+half)}
}
