package joint

import "strings"

// Unit is a unit of torque, by its value in N·m: exact by definition, from the
// pound (0.45359237 kg), standard gravity (9.80665 m/s2) and the inch (25.4 mm).
type Unit float64

// The units of torque.
//
// ref: NIST_SP_811 appendix B; YARD_1959 inch and pound
const (
	NewtonMetre Unit = 1
	LbfFoot     Unit = 0.45359237 * 9.80665 * 0.3048
	LbfInch     Unit = 0.45359237 * 9.80665 * 0.0254
	KgfMetre    Unit = 9.80665
	KgfCm       Unit = 0.0980665
	OzfInch     Unit = 0.45359237 * 9.80665 * 0.0254 / 16
)

// LbfN is a pound-force in newtons, exact.
const LbfN = 0.45359237 * 9.80665

// MPaPerKsi is a thousand pounds-force a square inch in MPa, exact.
const MPaPerKsi = 1000 * LbfN / (25.4 * 25.4)

// ToNm turns a torque in the unit to N·m.
func (u Unit) ToNm(x float64) float64 { return x * float64(u) }

// FromNm turns N·m to the unit.
func (u Unit) FromNm(nm float64) float64 { return nm / float64(u) }

// ParseUnit reads the name of a unit: "Nm", "N·m", "lbf·ft", "ft-lb", "lb in",
// "kgf·m", "kg-cm".
func ParseUnit(text string) (Unit, error) {
	name := strings.NewReplacer("·", "", "-", "", " ", "", ".", "", "*", "", "⋅", "").Replace(strings.ToLower(text))
	switch name {
	case "nm":
		return NewtonMetre, nil
	case "lbfft", "lbft", "ftlb", "ftlbf", "ftlbs", "lbsft":
		return LbfFoot, nil
	case "lbfin", "lbin", "inlb", "inlbf", "inlbs", "lbsin":
		return LbfInch, nil
	case "kgfm", "kgm", "mkgf", "mkg", "kpm":
		return KgfMetre, nil
	case "kgfcm", "kgcm", "cmkgf", "cmkg":
		return KgfCm, nil
	case "ozfin", "ozin", "inoz":
		return OzfInch, nil
	}
	return 0, wrong(InUnit, "N·m, lbf·ft, lbf·in, kgf·m, kgf·cm or ozf·in", "%q is no unit of torque known here", text)
}
