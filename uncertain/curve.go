package uncertain

import "math"

// MaxLopsided is how many times longer one side of a range may be than the
// other before it is read as one-sided. At this ratio an S_L has sigma 5.4 and
// a mean two million times its scale: no person means that.
const MaxLopsided = 1000

type shape uint8

const (
	point     shape = iota // a certain value
	lognormal              // S_L, normal or mirrored S_L
	upper                  // likely is also the low point
	lower                  // likely is also the high point
)

// Curve is the distribution read out of a [Range]. With a = likely - low and
// b = high - likely it is
//
//	X(Z) = likely + scale (exp(sigma Z) - 1) / sigma
//	sigma = ln(b/a) / Z90,  scale = b sigma / (exp(sigma Z90) - 1)
//
// for a standard normal Z. That is theta + exp(mu + sigma Z) with theta =
// (low high - likely^2)/(low + high - 2 likely) where it is skewed right, the
// normal distribution in the limit a = b, and the mirror image where it is
// skewed left (sigma < 0): one formula, continuous through the symmetric case
// and increasing in Z throughout.
//
// ref: DESIGN_RANGE; JOHNSON_1949 system S_L; SCIPY_1_10 stats.lognorm
type Curve struct {
	Range Range
	shape shape
	sigma float64 // signed: positive where skewed right
	scale float64 // slope of X at Z = 0
}

// Curve reads the range, which must have passed [Range.Validate].
func (r Range) Curve() Curve {
	below, above := r.Likely-r.Low, r.High-r.Likely
	switch {
	case below <= 0 && above <= 0:
		return Curve{Range: r}
	case above > MaxLopsided*below:
		return Curve{Range: r, shape: upper, scale: above / Z90}
	case below > MaxLopsided*above:
		return Curve{Range: r, shape: lower, scale: below / Z90}
	}
	// log1p keeps the digits of a nearly symmetric range.
	sigma := math.Log1p((above-below)/below) / Z90
	return Curve{Range: r, shape: lognormal, sigma: sigma, scale: above / growth(sigma, Z90)}
}

// growth is (exp(sigma z) - 1)/sigma, and z in the limit sigma = 0.
func growth(sigma, z float64) float64 {
	if x := sigma * z; math.Abs(x) > 1e-5 {
		return math.Expm1(x) / sigma
	}
	x := sigma * z
	return z * (1 + x/2*(1+x/3*(1+x/4)))
}

// Sigma is the shape parameter, signed: positive where skewed right, 0 where
// normal, certain or one-sided.
func (c Curve) Sigma() float64 { return c.sigma }

// OneSided reports whether the range has doubt on one side of likely only.
func (c Curve) OneSided() bool { return c.shape == upper || c.shape == lower }

// Theta is the end of the distribution: the value it never falls below where
// skewed right, never exceeds where skewed left. It is infinite for a normal.
func (c Curve) Theta() float64 {
	if c.shape != lognormal {
		return c.Range.Likely
	}
	if c.sigma == 0 {
		return math.Inf(-1)
	}
	return c.Range.Likely - c.scale/c.sigma
}

// At is the value that belongs to the standard normal score z.
func (c Curve) At(z float64) float64 {
	switch c.shape {
	case lognormal:
		return c.Range.Likely + c.scale*growth(c.sigma, z)
	case upper:
		return c.Range.Likely + c.scale*math.Max(z, 0)
	case lower:
		return c.Range.Likely + c.scale*math.Min(z, 0)
	}
	return c.Range.Likely
}

// Score is the standard normal score of the value x: the inverse of At. It is
// infinite beyond the end of the distribution; 0 at the atom of a one-sided
// range; NaN for a certain value, which has no scores.
func (c Curve) Score(x float64) float64 {
	d := x - c.Range.Likely
	switch c.shape {
	case lognormal:
		return c.lognormalScore(d)
	case upper:
		if d < 0 {
			return math.Inf(-1)
		}
		return d / c.scale
	case lower:
		if d > 0 {
			return math.Inf(1)
		}
		return d / c.scale
	}
	return math.NaN()
}

func (c Curve) lognormalScore(d float64) float64 {
	y := d / c.scale
	x := c.sigma * y
	switch {
	case x <= -1 && c.sigma > 0:
		return math.Inf(-1)
	case x <= -1:
		return math.Inf(1)
	case math.Abs(x) < 1e-5:
		return y * (1 - x/2*(1-2*x/3*(1-3*x/4)))
	}
	return math.Log1p(x) / c.sigma
}

// Quantile is the value below which the chance is p.
func (c Curve) Quantile(p float64) float64 { return c.At(NormalQuantile(p)) }

// CDF is the chance that the value is at most x.
func (c Curve) CDF(x float64) float64 {
	switch {
	case c.shape == point && x < c.Range.Likely:
		return 0
	case c.shape == point, c.shape == lower && x >= c.Range.Likely:
		return 1
	}
	return NormalCDF(c.Score(x))
}

// Mean is the expected value, in closed form, without any cut at zero.
func (c Curve) Mean() float64 {
	half := c.scale / math.Sqrt(2*math.Pi)
	switch c.shape {
	case lognormal:
		return c.Range.Likely + c.scale*growth(c.sigma, c.sigma/2)
	case upper:
		return c.Range.Likely + half
	case lower:
		return c.Range.Likely - half
	}
	return c.Range.Likely
}

// Variance is the variance, in closed form, without any cut at zero.
func (c Curve) Variance() float64 {
	switch c.shape {
	case lognormal:
		// scale^2 exp(s^2) (exp(s^2) - 1)/s^2; growth(s, s) is the last factor times s.
		factor := 1.0
		if c.sigma != 0 {
			factor = growth(c.sigma, c.sigma) / c.sigma
		}
		return c.scale * c.scale * math.Exp(c.sigma*c.sigma) * factor
	case upper, lower:
		return c.scale * c.scale * (0.5 - 1/(2*math.Pi))
	}
	return 0
}

// SD is the standard deviation, in closed form, without any cut at zero.
func (c Curve) SD() float64 { return math.Sqrt(c.Variance()) }

// seriesBelow is where the exponential form would lose digits to cancellation
// and the series takes over; five terms are exact to 1e-13 there.
const seriesBelow = 1e-3

// Column writes the values that belong to the scores z into dst, cut at zero:
// costs and hours are never negative. dst and z may be the same slice.
//
// ref: DESIGN_RANGE
func (c Curve) Column(dst, z []float64) {
	switch {
	case c.shape == lognormal && math.Abs(c.sigma) >= seriesBelow:
		reach := c.scale / c.sigma
		expColumn(dst, z, c.Range.Likely-reach, reach, c.sigma)
	case c.shape == lognormal:
		for i, s := range z {
			x := c.sigma * s
			dst[i] = max(0, c.Range.Likely+c.scale*s*(1+x/2*(1+x/3*(1+x/4*(1+x/5)))))
		}
	default:
		for i, s := range z {
			dst[i] = max(0, c.At(s))
		}
	}
}

// MeanCut is the expected value of the distribution cut at zero, max(X, 0), in
// closed form.
func (c Curve) MeanCut() float64 {
	if c.shape == point || c.shape == upper {
		return math.Max(0, c.Mean())
	}
	z := c.Score(0) // the value is above zero where Z is above z
	if math.IsInf(z, -1) {
		return c.Mean()
	}
	above := NormalCDF(-z)
	switch {
	case c.shape == lower:
		return c.Range.Likely*above + c.scale*(NormalPDF(z)-NormalPDF(0))
	case math.Abs(c.sigma) < 1e-6:
		return c.Range.Likely*above + c.scale*NormalPDF(z)
	}
	reach := c.scale / c.sigma
	return (c.Range.Likely-reach)*above + reach*math.Exp(c.sigma*c.sigma/2)*NormalCDF(c.sigma-z)
}
