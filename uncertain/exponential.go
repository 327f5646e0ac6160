package uncertain

import "math"

// expColumn writes max(0, from + reach exp(rate z)) for each z.
func expColumn(dst, z []float64, from, reach, rate float64) {
	dst = dst[:len(z)]
	scaled := rate * (expParts / math.Ln2)
	for i, s := range z {
		dst[i] = cut(from + reach*exp2Part(scaled*s))
	}
}

// exp2Part is 2^(y/256), as 2^k 2^(j/256) 2^(r/256) with a table of 256 powers
// and a cubic for |r| <= 1/2: relative error below 2e-13. A call of math.Exp
// for every number takes about twice as long.
func exp2Part(y float64) float64 {
	// Adding 1.5*2^52 rounds to a whole number and leaves it in the low bits.
	t := y + rounder
	n := int64(math.Float64bits(t)) - rounderBits
	if uint64(n+expReach) > 2*expReach {
		return math.Exp2(y / expParts)
	}
	r := y - (t - rounder)
	p := (1 + r*exp2c1) + r*r*(exp2c2+r*exp2c3)
	return p * math.Float64frombits(powers[n&(expParts-1)]+uint64(n>>8)<<52)
}

// cut is the cut at zero of costs and hours.
func cut(v float64) float64 {
	if v < 0 {
		return 0
	}
	return v
}

const (
	expParts    = 256
	rounder     = 3 << 51
	rounderBits = 0x4338000000000000
	exp2c1      = math.Ln2 / expParts // coefficients of 2^(r/256)
	exp2c2      = exp2c1 * exp2c1 / 2
	exp2c3      = exp2c2 * exp2c1 / 3
	expReach    = 1000 * expParts // parts of a power of two that the quick form can hold
)

// powers are the bits of 2^(j/256).
var powers = func() (p [expParts]uint64) {
	for j := range p {
		p[j] = math.Float64bits(math.Exp2(float64(j) / expParts))
	}
	return p
}()
