package recharge

import "math"

// AtmosphereBar is taken as the pressure of the air.
//
// ref: ISO_2533 sea level
const AtmosphereBar = 1.01325

// KelvinAtZeroC is 0 degrees Celsius.
const KelvinAtZeroC = 273.15

// UsableVolume is the oil that a gas-charged accumulator gives between p2 and
// p1, in the unit of v0. Pressures absolute; n is the polytropic exponent, 1 for
// slow changes, 1.4 for fast ones of an ideal two-atomic gas.
//
// ref: ACCUMULATOR_SIZING polytropic usable volume
func UsableVolume(v0, p0, p1, p2, n float64) float64 {
	return v0 * (math.Pow(p0/p1, 1/n) - math.Pow(p0/p2, 1/n))
}

// SizeFor is the shell that gives dv between p2 and p1.
//
// ref: ACCUMULATOR_SIZING sizing
func SizeFor(dv, p0, p1, p2, n float64) float64 { return dv / UsableVolume(1, p0, p1, p2, n) }

// PrechargeAt is an absolute pre-charge at another temperature: the gas keeps
// its volume.
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func PrechargeAt(p0, fromC, toC float64) float64 {
	return p0 * (toC + KelvinAtZeroC) / (fromC + KelvinAtZeroC)
}

// RelaxedAfterFastCharge is where pressure settles, without a leak, after a
// charge from p1 to p2 so fast that no heat left the gas; it started at the
// temperature of the wall.
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func RelaxedAfterFastCharge(p1, p2, gamma float64) float64 {
	return p2 * math.Pow(p1/p2, (gamma-1)/gamma)
}

// LowestFillPrecharge is the absolute pre-charge below which a fast cold fill
// cools to under cut-in by itself: its first interval says nothing on leaks.
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func LowestFillPrecharge(p1, p2, gamma float64) float64 {
	return p2 * math.Pow(p1/p2, gamma/(gamma-1))
}

// LeakIntegral is the F of a leak that is a conductance on gauge pressure into
// an isothermal gas: F falls from F(p2) to F(p1) in C0/G times the difference.
//
//	F(p) = ln(1 - pa/p)/pa^2 + 1/(pa p),  dF/dp = 1/(p^2 (p - pa))
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func LeakIntegral(p float64) float64 {
	return math.Log1p(-AtmosphereBar/p)/(AtmosphereBar*AtmosphereBar) + 1/(AtmosphereBar*p)
}

// LeakTime is how long a leak of g = G/C0 takes from p2 down to p1.
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func LeakTime(p2, p1, g float64) float64 { return (LeakIntegral(p2) - LeakIntegral(p1)) / g }

// LeakRate is the fall of pressure in bar a minute at p by a leak of g = G/C0.
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func LeakRate(p, g float64) float64 { return g * (p - AtmosphereBar) * p * p * 60 }

// PrechargeFromTimes is the absolute pre-charge out of the ratio of the time of a
// cold fill to that of a recharge; p1 is cut-in, relaxed the pressure after
// cooling of a recharge, filled that of the cold fill. No volume is needed,
// since pump flow is the same in both.
//
// ref: SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func PrechargeFromTimes(fillS, runS, p1, relaxed, filled float64) float64 {
	return 1 / (1/filled + fillS/runS*(1/p1-1/relaxed))
}

// PrechargeFromRatio is the same without a pressure log, both charges taken as
// polytropic with exponent n between nominal cut-in and cut-out.
//
// ref: ACCUMULATOR_SIZING polytropic usable volume
func PrechargeFromRatio(ratio, p1, p2, n float64) float64 {
	low, high := 0.01, p1
	for range 80 {
		mid := (low + high) / 2
		r := p1 * (1 - math.Pow(mid/p2, 1/n)) / (mid * (1 - math.Pow(p1/p2, 1/n)))
		// V0 fills from p0: V0 (1 - (p0/p2)^(1/n)); a recharge: V1 (1 - (p1/p2)^(1/n)), V1 = V0 p0/p1, at rest.
		if r > ratio {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
