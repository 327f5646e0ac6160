package chart

import "math"

// maxTicks bounds the work for any input.
const maxTicks = 200

// NiceStep returns the smallest of 1, 2 or 5 times a power of ten that cuts span into at most want steps.
// A span that is not positive and finite gives 1.
func NiceStep(span float64, want int) float64 {
	if !(span > 0) || math.IsInf(span, 1) || want < 1 {
		return 1
	}
	raw := span / float64(want)
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	if !(power > 0) || math.IsInf(power, 1) {
		return 1
	}
	for _, m := range []float64{1, 2, 5, 10} {
		if m*power >= raw*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// Ticks returns the multiples of a nice step that lie in [low, high], at most want+1 of them, in rising order.
func Ticks(low, high float64, want int) []float64 {
	if !finite(low, high) || high < low {
		return nil
	}
	if high == low {
		return []float64{low}
	}
	step := NiceStep(high-low, want)
	first := math.Ceil(low/step - 1e-9)
	last := math.Floor(high/step + 1e-9)
	var out []float64
	for i := first; i <= last && len(out) < maxTicks; i++ {
		out = append(out, multiple(i, step))
	}
	return out
}

// multiple is i*step without the dust of binary fractions: 3*0.1 gives 0.3.
func multiple(i, step float64) float64 {
	if step < 1 {
		return i / math.Round(1/step)
	}
	return i * step
}

// finite reports whether all values are ordinary numbers.
func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
