package uncertain

import "math"

// Factor is the common factor's part of every score in a block of trials:
// Shift + Common F, worked out once for all inputs.
func (l Loading) Factor(dst []float64, common Stream, first int) {
	common.Normals(dst, first)
	for i, f := range dst {
		dst[i] = l.Shift + l.Common*f
	}
}

// Draw draws an input in the trials from first on: the curve's value at the
// score factor[i] + own e, cut at zero. factor is that of [Loading.Factor].
//
// The usual case is one loop of whole expressions, which spares three passes
// over the column: this is where a forecast spends its time.
func (c Curve) Draw(dst []float64, own float64, s Stream, first int, factor []float64) {
	factor = factor[:len(dst)]
	if c.shape != lognormal || math.Abs(c.sigma) < seriesBelow {
		s.Normals(dst, first)
		for i, e := range dst {
			dst[i] = factor[i] + own*e
		}
		c.Column(dst, dst)
		return
	}
	reach := c.scale / c.sigma
	from := c.Range.Likely - reach
	rate := c.sigma * (expParts / math.Ln2)
	state := s.state + uint64(first)*golden
	for i := range dst {
		state += golden
		bits := scramble(state)
		b := math.Float64bits(float64(int64(bits>>12)) + 0.5)
		cell := &normalTable[b>>cellShift%tableSize]
		u := math.Float64frombits(offsetOne|(b&offsetMax)<<(52-cellShift)) - 1.5
		e := (cell[0] + u*cell[1]) + u*u*(cell[2]+u*cell[3])
		e = math.Float64frombits(math.Float64bits(e) ^ bits<<63)
		y := rate * (factor[i] + own*e)

		t := y + rounder
		n := int64(math.Float64bits(t)) - rounderBits
		if uint64(n+expReach) > 2*expReach {
			dst[i] = cut(from + reach*math.Exp2(y/expParts))
			continue
		}
		r := y - (t - rounder)
		p := (1 + r*exp2c1) + r*r*(exp2c2+r*exp2c3)
		v := from + reach*(p*math.Float64frombits(powers[n&(expParts-1)]+uint64(n>>8)<<52))
		if v < 0 {
			v = 0
		}
		dst[i] = v
	}
}

// DrawAt draws an input in the chosen trials only, counted from first: dst[i]
// is the value of trial first + chosen[i]. factor is the whole block's.
func (c Curve) DrawAt(dst []float64, own float64, s Stream, first int, chosen []int32, factor []float64) {
	dst = dst[:len(chosen)]
	for i, t := range chosen {
		dst[i] = factor[t] + own*normalOf(s.Bits(first+int(t)))
	}
	c.Column(dst, dst)
}
