package uncertain

import (
	"math"
	"sort"
)

// CompoundPoisson is a number of things not yet seen, each with its own cost:
// N is Poisson with the expected number, and the severities are drawn
// independently of N.
//
// ref: KLUGMAN_LOSS_MODELS compound Poisson moments; PANJER_1981 aggregate distribution
type CompoundPoisson struct {
	Expected float64
	Severity Range
}

// Mean is lambda E[X], in closed form, severity without the cut at zero.
func (c CompoundPoisson) Mean() float64 { return c.Expected * c.Severity.Curve().Mean() }

// Variance is lambda E[X^2], in closed form, for severities that are
// independent of one another and without the cut at zero.
func (c CompoundPoisson) Variance() float64 {
	curve := c.Severity.Curve()
	m := curve.Mean()
	return c.Expected * (curve.Variance() + m*m)
}

// ChanceOfNone is the chance that nothing more is found.
func (c CompoundPoisson) ChanceOfNone() float64 { return math.Exp(-c.Expected) }

// Counts is the inverse of a Poisson distribution: a table from a uniform
// number to a count.
type Counts struct{ cumulative []float64 }

// NewCounts tabulates the Poisson distribution with the expected number, to
// where less than 1e-15 is left.
func NewCounts(expected float64) Counts {
	if expected <= 0 {
		return Counts{}
	}
	last := int(expected + 12*math.Sqrt(expected) + 30)
	table := make([]float64, last+1)
	sum, logMean := 0.0, math.Log(expected)
	for k := range table {
		logFactorial, _ := math.Lgamma(float64(k) + 1)
		sum += math.Exp(float64(k)*logMean - expected - logFactorial)
		table[k] = sum
		if 1-sum < 1e-15 && float64(k) > expected {
			table = table[:k+1]
			break
		}
	}
	return Counts{table}
}

// Count is the smallest number whose cumulative chance reaches u.
func (c Counts) Count(u float64) int {
	if len(c.cumulative) < 16 {
		for k, p := range c.cumulative {
			if u <= p {
				return k
			}
		}
		return max(0, len(c.cumulative)-1)
	}
	return min(sort.SearchFloat64s(c.cumulative, u), len(c.cumulative)-1)
}

// Max is the greatest number that Count gives.
func (c Counts) Max() int { return max(0, len(c.cumulative)-1) }
