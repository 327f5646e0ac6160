package survey

import "slices"

func median(list []float64) float64 {
	sorted := slices.Clone(list)
	slices.Sort(sorted)
	k := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[k]
	}
	return (sorted[k-1] + sorted[k]) / 2
}
