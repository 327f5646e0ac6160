package uncertain

import "math"

// HalfOf95 is the half width of a 95 % interval in standard uncertainties. An
// interval from few readings is wider than that (Student's t), so that an
// uncertainty taken from one by it is rather too large than too small.
const HalfOf95 = 1.959964

// Z90 is the 90 % point of the standard normal distribution.
//
// ref: DESIGN_RANGE
const Z90 = 1.2815515655446004

// NormalCDF is the chance that a standard normal value is at most z.
func NormalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// NormalPDF is the density of the standard normal distribution at z.
func NormalPDF(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// NormalQuantile is the standard normal value below which the chance is p:
// -Inf at 0, +Inf at 1, NaN outside. Relative accuracy about 1e-16.
//
// ref: WICHURA_AS241 routine PPND16
func NormalQuantile(p float64) float64 {
	switch {
	case math.IsNaN(p) || p < 0 || p > 1:
		return math.NaN()
	case p == 0:
		return math.Inf(-1)
	case p == 1:
		return math.Inf(1)
	}
	q := p - 0.5
	if math.Abs(q) <= 0.425 {
		r := 0.180625 - q*q
		return q * ratio7(r, &centreTop, &centreBottom)
	}
	tail := p
	if q > 0 {
		tail = 1 - p
	}
	z := tailQuantile(tail)
	if q < 0 {
		return -z
	}
	return z
}

// tailQuantile is the positive value beyond which the chance is tail (< 0.075).
func tailQuantile(tail float64) float64 {
	r := math.Sqrt(-math.Log(tail))
	if r <= 5 {
		return ratio7(r-1.6, &middleTop, &middleBottom)
	}
	return ratio7(r-5, &farTop, &farBottom)
}

// ratio7 is the quotient of two polynomials of degree 7, lowest power first.
func ratio7(x float64, top, bottom *[8]float64) float64 {
	a, b := top[7], bottom[7]
	for i := 6; i >= 0; i-- {
		a = a*x + top[i]
		b = b*x + bottom[i]
	}
	return a / b
}

// Coefficients of PPND16. ref: WICHURA_AS241 routine PPND16
var (
	centreTop = [8]float64{
		3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
		4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3,
	}
	centreBottom = [8]float64{
		1, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
		2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3,
	}
	middleTop = [8]float64{
		1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
		1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4,
	}
	middleBottom = [8]float64{
		1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
		1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9,
	}
	farTop = [8]float64{
		6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0, 2.96560571828504891230e-1,
		2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7,
	}
	farBottom = [8]float64{
		1, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
		7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15,
	}
)
