package diagnose

import (
	"cmp"
	"math"
	"slices"
)

// bands cuts the readings of a measured test into n bands of equal chance under
// the mixture of all its faults, each fault counting the same, and gives the
// chance of each band under each set, [band][set], with the reading in the
// middle of each. Bands never promise more than the reading itself is worth, and
// come to the same as n grows.
func (t *Test) bands(s *sets, n int) (rows [][]float64, at []float64) {
	low := slices.MinFunc(t.Measured, func(a, b Reading) int { return cmp.Compare(a.quantile(1e-9), b.quantile(1e-9)) }).quantile(1e-9)
	high := slices.MaxFunc(t.Measured, func(a, b Reading) int { return cmp.Compare(a.quantile(1-1e-9), b.quantile(1-1e-9)) }).quantile(1 - 1e-9)
	below := make([]float64, len(t.Measured)) // chance below the lower end of the band
	per := make([]float64, len(t.Measured))
	for k := range n {
		end := t.mixtureQuantile(float64(k+1)/float64(n), low, high)
		for f, r := range t.Measured {
			b := 1.0
			if k < n-1 {
				b = r.below(end)
			}
			per[f], below[f] = max(0, b-below[f]), b
		}
		rows = append(rows, mixed(per, s))
		at = append(at, t.mixtureQuantile((float64(k)+0.5)/float64(n), low, high))
	}
	return rows, at
}

// mixtureQuantile bisects for the reading below which the even mixture of all
// faults has chance p.
func (t *Test) mixtureQuantile(p, low, high float64) float64 {
	geometric := low > 0
	for range 60 {
		mid := (low + high) / 2
		if geometric {
			mid = math.Sqrt(low) * math.Sqrt(high)
		}
		total := 0.0
		for _, r := range t.Measured {
			total += r.below(mid)
		}
		if total < p*float64(len(t.Measured)) {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
