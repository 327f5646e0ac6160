package joint

import "math"

// Limits of the deviation of torque wrenches, as shares of the reference.
//
// ref: ISO_6789 permitted deviation
const (
	wrenchSmallNm   = 10
	wrenchLimit     = 0.04
	wrenchLimitLow  = 0.06 // largest torque of the wrench up to 10 N·m
	calibrationDays = 365
)

// CalibrationDays is how long a calibration lasts: 12 months (or 5000 uses).
const CalibrationDays = calibrationDays

// WrenchLimit is the permitted deviation of a setting torque wrench by the
// largest torque that it is made for, as a share.
func WrenchLimit(largestNm float64) float64 {
	if largestNm <= wrenchSmallNm {
		return wrenchLimitLow
	}
	return wrenchLimit
}

// Deviation is how far a wrench lies off, as a share of the reference: above zero
// where it shows more than there is.
//
// ref: ISO_6789 deviation
func Deviation(setNm, referenceNm float64) float64 { return (setNm - referenceNm) / referenceNm }

// WrenchReading is one pull against a reference.
type WrenchReading struct{ SetNm, ReferenceNm float64 }

// Calibration is what a set of pulls says of a wrench.
type Calibration struct {
	Limit      float64   // permitted, as a share
	Deviations []float64 // of each pull
	Worst      float64   // the one furthest from zero
	Within     bool
}

// CheckWrench holds the pulls of a wrench to the permitted deviation; limit 0
// takes the one for its largest torque. The error is an [*InputError].
func CheckWrench(largestNm, limit float64, readings []WrenchReading) (Calibration, error) {
	if !(largestNm > 0 && largestNm <= 5000) {
		return Calibration{}, wrong(InReading, "more than 0, up to 5000 N·m", "a wrench for %s N·m is impossible", plain(largestNm))
	}
	if len(readings) == 0 {
		return Calibration{}, wrong(InReading, "at least one pull against a reference", "no readings of the wrench")
	}
	if limit == 0 {
		limit = WrenchLimit(largestNm)
	}
	c := Calibration{Limit: limit, Within: true}
	for i, r := range readings {
		if !(r.SetNm > 0 && r.ReferenceNm > 0 && r.SetNm <= 5000 && r.ReferenceNm <= 5000) {
			return Calibration{}, wrong(InReading, "both above 0, up to 5000 N·m", "pull %d: %s N·m set, %s N·m measured is impossible", i+1, plain(r.SetNm), plain(r.ReferenceNm))
		}
		d := Deviation(r.SetNm, r.ReferenceNm)
		c.Deviations = append(c.Deviations, d)
		if math.Abs(d) > math.Abs(c.Worst) {
			c.Worst = d
		}
		c.Within = c.Within && math.Abs(d) <= limit+1e-12
	}
	return c, nil
}
