package noise

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Tyre is a size as moulded on the sidewall.
type Tyre struct {
	WidthMm  float64
	Aspect   float64 // height of the sidewall, percent of the width
	RimInch  float64
	OuterMm  float64 // overall diameter, new
	RollingM float64 // rolling circumference, m
}

var tyreForm = regexp.MustCompile(`^(?:P|LT)?(\d{3})/(\d{2})Z?R(\d{2}(?:\.\d)?)C?$`)

// rollingShare is rolling circumference over overall diameter, radial tyres.
//
// ref: ETRTO_MANUAL rolling circumference
const rollingShare = 3.05

// ParseTyre reads a size such as "245/35R20". The error is an [*InputError].
func ParseTyre(text string) (Tyre, error) {
	m := tyreForm.FindStringSubmatch(strings.ToUpper(strings.Join(strings.Fields(text), "")))
	if m == nil {
		return Tyre{}, wrong("tyre", "a size such as 245/35R20", "%q", text)
	}
	var t Tyre
	t.WidthMm, _ = strconv.ParseFloat(m[1], 64) // digits only, by the form
	t.Aspect, _ = strconv.ParseFloat(m[2], 64)
	t.RimInch, _ = strconv.ParseFloat(m[3], 64)
	if t.WidthMm < 100 || t.RimInch < 10 || t.RimInch > 30 || t.Aspect < 20 {
		return Tyre{}, wrong("tyre", "a size such as 245/35R20", "%q is no tyre of a car", text)
	}
	t.OuterMm = 25.4*t.RimInch + 2*t.WidthMm*t.Aspect/100
	t.RollingM = rollingShare * t.OuterMm / 1000
	return t, nil
}

// RollingRadiusMm is the radius that a wheel rolls on.
func (t Tyre) RollingRadiusMm() float64 { return t.RollingM * 1000 / (2 * math.Pi) }

// WheelHz is how often a wheel turns in a second.
func WheelHz(speedKmh, rollingRadiusMm float64) float64 {
	return speedKmh / 3.6 / (2 * math.Pi * rollingRadiusMm / 1000)
}
