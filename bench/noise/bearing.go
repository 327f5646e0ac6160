package noise

import "math"

// Geometry is a bearing's inside. Lengths may be in any one unit.
type Geometry struct {
	Elements   int     // balls or rollers of one row
	ElementDia float64 // d
	PitchDia   float64 // D, through the centres of the elements
	AngleDeg   float64 // contact angle
}

// Frequencies are how often a bearing's parts meet, Hz.
type Frequencies struct {
	BPFO float64 `json:"bpfo_hz"` // an element passes a spot of the outer race
	BPFI float64 `json:"bpfi_hz"` // an element passes a spot of the inner race
	BSF  float64 `json:"bsf_hz"`  // an element spins; a spot on it strikes twice a spin
	FTF  float64 `json:"ftf_hz"`  // the cage turns
}

// Check says what of the geometry cannot be. The error is an [*InputError].
func (g Geometry) Check() error {
	switch {
	case g.Elements < 3 || g.Elements > 200:
		return wrong("bearing", "3 to 200 balls or rollers in a row", "%d elements", g.Elements)
	case !(g.ElementDia > 0) || math.IsInf(g.ElementDia, 0):
		return wrong("bearing", "a diameter above 0", "element diameter %g", g.ElementDia)
	case !(g.PitchDia > g.ElementDia) || math.IsInf(g.PitchDia, 0):
		return wrong("bearing", "an element smaller than the circle that it runs on (n,d,D,angle)", "element diameter %g, pitch diameter %g", g.ElementDia, g.PitchDia)
	case !(g.AngleDeg >= 0 && g.AngleDeg < 90):
		return wrong("bearing", "0 to below 90 degrees", "contact angle %g", g.AngleDeg)
	case float64(g.Elements)*g.ElementDia > math.Pi*g.PitchDia*1.02:
		return wrong("bearing", "elements that fit around the pitch circle, n d at most pi D", "%d elements of %g do not fit on a circle of %g", g.Elements, g.ElementDia, g.PitchDia)
	}
	return nil
}

// Turning gives the frequencies for the speeds of both rings, Hz, in pure
// rolling.
//
// ref: RANDALL_ANTONI_2011 defect frequencies
func (g Geometry) Turning(innerHz, outerHz float64) Frequencies {
	ratio := g.ElementDia / g.PitchDia * math.Cos(g.AngleDeg*math.Pi/180)
	apart := math.Abs(innerHz - outerHz)
	n := float64(g.Elements)
	return Frequencies{
		BPFO: n / 2 * apart * (1 - ratio),
		BPFI: n / 2 * apart * (1 + ratio),
		BSF:  g.PitchDia / (2 * g.ElementDia) * apart * (1 - ratio*ratio),
		FTF:  (innerHz*(1-ratio) + outerHz*(1+ratio)) / 2,
	}
}
