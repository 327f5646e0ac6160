package bond

import "math"

// Lap is one lap: E t of either adherend (N/mm), shear stiffness of the bond G/h
// (N/mm3), overlap (mm), load a width (N/mm) and the strain by which the first
// adherend would grow more than the second. The first carries all of the load at
// x = +L/2, the second at x = -L/2. Any one set of units serves.
type Lap struct {
	First, Second float64
	Bond          float64
	Overlap       float64
	Load          float64
	Strain        float64
}

// Omega is the decay of shear along the overlap, 1/mm.
//
// ref: VOLKERSEN_1938 shear lag
func (l Lap) Omega() float64 { return math.Sqrt(l.Bond * (1/l.First + 1/l.Second)) }

// Unequal is (k2 - k1)/(k2 + k1), with sign.
func (l Lap) Unequal() float64 { return (l.Second - l.First) / (l.Second + l.First) }

// Shear is the shear stress at x, from the middle of the overlap.
//
// ref: VOLKERSEN_1938 shear lag
func (l Lap) Shear(x float64) float64 {
	w := l.Omega()
	half := w * l.Overlap / 2
	byLoad := l.Load * w / 2 * (coshOverSinh(w*x, half) + l.Unequal()*sinhOverCosh(w*x, half))
	return byLoad + l.thermal(x)
}

// thermal is the part of the strain.
//
// ref: SHIGLEY eq. 9-7
func (l Lap) thermal(x float64) float64 {
	w := l.Omega()
	return l.Strain * w / (1/l.First + 1/l.Second) * sinhOverCosh(w*x, w*l.Overlap/2)
}

// Ends is the shear at x = -L/2 and +L/2. The peak is at one of them: between
// them the curve bends away from zero.
func (l Lap) Ends() (low, high float64) { return l.Shear(-l.Overlap / 2), l.Shear(l.Overlap / 2) }

// Peak is the largest shear, without its sign.
func (l Lap) Peak() float64 {
	low, high := l.Ends()
	return math.Max(math.Abs(low), math.Abs(high))
}

// Average is load over area.
func (l Lap) Average() float64 { return l.Load / l.Overlap }

// coshOverSinh is cosh(a)/sinh(b) for |a| <= b, also where both are beyond any
// number.
func coshOverSinh(a, b float64) float64 {
	a = math.Abs(a)
	return math.Exp(a-b) * (1 + math.Exp(-2*a)) / -math.Expm1(-2*b)
}

// sinhOverCosh is sinh(a)/cosh(b) for |a| <= b.
func sinhOverCosh(a, b float64) float64 {
	sign := math.Copysign(1, a)
	a = math.Abs(a)
	return sign * math.Exp(a-b) * -math.Expm1(-2*a) / (1 + math.Exp(-2*b))
}

// LongPeak is the peak of an endless overlap under the load alone: what no
// length takes away.
func (l Lap) LongPeak() float64 { return l.Load * l.Omega() / 2 * (1 + math.Abs(l.Unequal())) }

// Enough is the overlap at which the load that a peak allows is a share (below 1)
// of that of an endless overlap.
func (l Lap) Enough(share float64) float64 {
	unequal := math.Abs(l.Unequal())
	return 2 / l.Omega() * math.Atanh(rootOf(unequal, (1+unequal)/share))
}

// rootOf solves 1/t + u t = c for the smaller t, without loss where u is small.
func rootOf(u, c float64) float64 { return 2 / (c + math.Sqrt(c*c-4*u)) }

// Needed is the overlap at which the peak under the load alone comes down to an
// allowable; false where no length does.
func (l Lap) Needed(allowable float64) (float64, bool) {
	if allowable <= l.LongPeak() {
		return 0, false
	}
	unequal := math.Abs(l.Unequal())
	c := 2 * allowable / (l.Load * l.Omega())
	return 2 / l.Omega() * math.Atanh(rootOf(unequal, c)), true
}
