package diagnose

import (
	"math"
	"slices"

	"wreckwright/uncertain"
)

// bands cuts the readings of a measured test into n bands of about equal chance
// under the mixture of all its faults, each fault counting the same, and gives
// the chance of each band under each set, [band][set], with a reading in the
// middle of each. Bands never promise more than the reading itself is worth, and
// come to the same as n grows: the loss falls with the square of n.
func (t *Test) bands(s *sets, n int) (rows [][]float64, at []float64) {
	sample := t.sample(n)
	below := make([]float64, len(t.Measured)) // chance below the lower end of the band
	per := make([]float64, len(t.Measured))
	for k := range n {
		end := rank(sample, float64(k+1)/float64(n))
		for f, r := range t.Measured {
			b := 1.0
			if k < n-1 {
				b = r.below(end)
			}
			per[f], below[f] = max(0, b-below[f]), b
		}
		rows = append(rows, mixed(per, s))
		at = append(at, rank(sample, (float64(k)+0.5)/float64(n)))
	}
	return rows, at
}

// sample is readings of equal chance of each fault, sorted: the mixture's
// quantiles without a search.
func (t *Test) sample(n int) []float64 {
	each := max(9, 4*n/len(t.Measured))
	var all []float64
	for k := range each {
		z := uncertain.NormalQuantile((float64(k) + 0.5) / float64(each))
		for _, r := range t.Measured {
			all = append(all, r.scored(z))
		}
	}
	slices.Sort(all)
	return all
}

// rank is the value at a share of the way through a sorted sample.
func rank(sorted []float64, share float64) float64 {
	at := share*float64(len(sorted)) - 0.5
	i := int(math.Floor(at))
	if i < 0 {
		return sorted[0]
	}
	if i >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
