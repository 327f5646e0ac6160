package recharge

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"wreckwright/uncertain"
)

// settledWithin is how near an early interval must lie to the usual one to count
// as settled: three times as far as settled intervals of one unit differ. Gas
// still warm from the fill shortens the first ones.
const settledWithin = 0.07

// longestAgreeing is the longest value that another one confirms, else the
// median: heat of the fill and actuations can only shorten an interval.
func longestAgreeing(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	for i := len(sorted) - 1; i > 0; i-- {
		if a, b := sorted[i], sorted[i-1]; a-b < agreeing*a {
			return (a + b) / 2
		}
	}
	return medianOf(values)
}

// operatedShare of the usual interval: what is shorter was cut short by an
// actuation that the log does not show, since a leak does not change so from one
// recharge to the next.
const operatedShare = 0.85

// markSettled marks the static intervals before which the gas had come to rest:
// not the first after a fill from empty, not one after a recharge that followed
// actuations, and, at the beginning only, none that the fill's heat still
// shortens.
func markSettled(cycles []Cycle) {
	for i := range cycles {
		cycles[i].Settled = false
	}
	var candidates []int
	for i := 1; i < len(cycles); i++ {
		before := cycles[i-1]
		if cycles[i].Static && !before.ColdFill && (before.Static || before.rested || i == 1) {
			candidates = append(candidates, i)
		}
	}
	var values []float64
	for _, i := range candidates {
		values = append(values, *cycles[i].IntervalS)
	}
	usual := longestAgreeing(values)
	warm := cycles[0].ColdFill
	for _, i := range candidates {
		share := *cycles[i].IntervalS / usual
		warm = warm && share < 1-settledWithin
		cycles[i].Settled = !warm && (len(candidates) < 3 || share > operatedShare)
	}
	notStatic(cycles, usual)
}

// notStatic takes back, once two settled intervals have agreed, what was cut
// short by actuations that were not seen.
func notStatic(cycles []Cycle, usual float64) {
	agreed := 0
	for i := range cycles {
		c := &cycles[i]
		switch {
		case c.Settled && math.Abs(*c.IntervalS-usual) < agreeing*usual:
			agreed++
		case agreed >= 2 && c.Static && *c.IntervalS < operatedShare*usual:
			c.Static = false
		}
	}
}

// MeanInterval is the mean of intervals with its 95 % interval by Student's t.
// timedToS is the standard uncertainty of the moment of one start. Intervals
// that scatter less than the clock alone would make them - equal ones, say - show
// nothing of that uncertainty: only then it is added in quadrature.
//
// ref: FISHER_YATES two-sided 95 % points
func MeanInterval(values []float64, timedToS float64) Interval {
	out := Interval{N: len(values)}
	if out.N == 0 {
		return out
	}
	mean := meanOf(values)
	out.MeanS = &mean
	if out.N < 2 {
		return out
	}
	root, spread := math.Sqrt(float64(out.N)), spreadOf(values)
	half := StudentPoint(out.N-1) * spread / root
	if clock := math.Sqrt2 * timedToS; spread < clock {
		half = math.Hypot(half, uncertain.HalfOf95*clock/root)
	}
	low, high := math.Max(mean-half, 0), mean+half
	out.LowS, out.HighS = &low, &high
	return out
}

// StudentPoint is the two-sided 95 % point of Student's t.
//
// ref: FISHER_YATES two-sided 95 % points
func StudentPoint(degrees int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(degrees)}.Quantile(0.975)
}
