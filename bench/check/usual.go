package check

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Global is how often a part of a kind is judged wrongly, over all such parts.
type Global struct {
	GoodShare    float64 `json:"within_limits"` // of all parts
	PassedBad    float64 `json:"passed_bad"`    // of all parts: outside the limits, and let pass
	RefusedGood  float64 `json:"refused_good"`  // of all parts: within, and not let pass
	Mean         float64 `json:"mean"`          // this part, what is usual taken into account
	SD           float64 `json:"sd"`
	WithinLimits float64 `json:"chance_in_limits"` // of this part, likewise
}

// density is how a quantity is spread over parts of a kind: its density and the
// ends between which it lies.
type density struct {
	at        func(float64) float64
	low, high float64
}

// normalDensity is the usual spread, to ten standard deviations.
func normalDensity(u Usual) density {
	d := distuv.Normal{Mu: u.Mean, Sigma: u.SD}
	return density{d.Prob, u.Mean - 10*u.SD, u.Mean + 10*u.SD}
}

// Risks is how often an instrument of standard uncertainty u lets a bad part
// pass and refuses a good one, when readings between accept's limits pass and
// the parts themselves are spread as usual. Limits that are missing do not bind.
//
// ref: JCGM_106 9.5.2
func Risks(usual Usual, u float64, lower, upper, acceptLow, acceptHigh *float64) (within, passedBad, refusedGood float64) {
	return risks(normalDensity(usual), u, interval(lower, upper), interval(acceptLow, acceptHigh))
}

// interval is limits as numbers, infinite where missing.
func interval(low, high *float64) [2]float64 {
	i := [2]float64{math.Inf(-1), math.Inf(1)}
	if low != nil {
		i[0] = *low
	}
	if high != nil {
		i[1] = *high
	}
	return i
}

func risks(d density, u float64, limits, accept [2]float64) (within, passedBad, refusedGood float64) {
	pass := func(x float64) float64 {
		if u == 0 {
			if x >= accept[0] && x <= accept[1] {
				return 1
			}
			return 0
		}
		return distuv.UnitNormal.CDF((accept[1]-x)/u) - distuv.UnitNormal.CDF((accept[0]-x)/u)
	}
	both := func(x float64) float64 { return d.at(x) * pass(x) }
	// The chance of passing falls within a few u of these.
	edges := []float64{accept[0] - 8*u, accept[0], accept[0] + 8*u, accept[1] - 8*u, accept[1], accept[1] + 8*u}
	from, to := math.Max(limits[0], d.low), math.Min(limits[1], d.high)
	within = piecewise(d.at, from, to, nil)
	refusedGood = within - piecewise(both, from, to, edges)
	passedBad = piecewise(both, d.low, math.Min(from, d.high), edges) + piecewise(both, math.Max(to, d.low), d.high, edges)
	return within, passedBad, math.Max(refusedGood, 0)
}

// piecewise integrates between edges in 64 pieces each, so that neither a steep
// fall nor a narrow hump in a wide range is missed.
func piecewise(f func(float64) float64, from, to float64, edges []float64) float64 {
	if to <= from {
		return 0
	}
	ends := []float64{from, to}
	for _, e := range edges {
		if e > from && e < to {
			ends = append(ends, e)
		}
	}
	slices.Sort(ends)
	const pieces = 64
	var sum float64
	for k, start := range ends[:len(ends)-1] {
		width := (ends[k+1] - start) / pieces
		for i := range pieces {
			a := start + width*float64(i)
			sum += quad.Fixed(f, a, a+width, 16, quad.Legendre{}, 0)
		}
	}
	return sum
}

// withUsual weighs a reading with what is usual, each by its precision.
//
// ref: JCGM_106 6.3
func withUsual(y, u float64, usual Usual) (m, sd float64) {
	if u == 0 {
		return y, 0
	}
	own := u / math.Hypot(u, usual.SD) // share of the doubt that is the reading's
	return y + (usual.Mean-y)*own*own, usual.SD * own
}
