package joint

import "math"

// boltModulusMPa is Young's modulus of steel bolts.
//
// ref: SHIGLEY table 8-8
const boltModulusMPa = 207000

// BoltStiffness is that of a bolt with a plain shank and a stretch of free
// thread in the grip. Any one set of units.
//
// ref: SHIGLEY eq. 8-17
func BoltStiffness(shankArea, shankLength, threadArea, threadLength, modulus float64) float64 {
	return shankArea * threadArea * modulus / (shankArea*threadLength + threadArea*shankLength)
}

// Frustum is the stiffness of one layer of clamped material by a cone of
// pressure of 30 degrees: bolt diameter, diameter at which the cone begins,
// thickness. Any one set of units.
//
// ref: SHIGLEY eq. 8-20
func Frustum(modulus, bolt, begins, thickness float64) float64 {
	over := (1.155*thickness + begins - bolt) * (begins + bolt)
	under := (1.155*thickness + begins + bolt) * (begins - bolt)
	return 0.5774 * math.Pi * modulus * bolt / math.Log(over/under)
}

// Series is the stiffness of springs one behind the other.
func Series(k ...float64) float64 {
	give := 0.0
	for _, x := range k {
		give += 1 / x
	}
	return 1 / give
}

// OneMaterial is the stiffness of a clamped stack of one material: two cones
// that meet in the middle.
//
// ref: SHIGLEY eq. 8-22
func OneMaterial(modulus, bolt, begins, grip float64) float64 {
	return Frustum(modulus, bolt, begins, grip/2) / 2
}

// Fitted is the stiffness by a curve fitted to finite elements: a 0.78715,
// b 0.62873 for steel; 0.79670, 0.63816 for aluminium; 0.77871, 0.61616 for grey
// iron.
//
// ref: SHIGLEY eq. 8-23
func Fitted(modulus, bolt, grip, a, b float64) float64 {
	return modulus * bolt * a * math.Exp(b*bolt/grip)
}

// ThreadLengthMm is the length of thread on a metric bolt of that length.
//
// ref: SHIGLEY eq. 8-14
func ThreadLengthMm(diameterMm, lengthMm float64) float64 {
	switch {
	case lengthMm <= 125:
		return 2*diameterMm + 6
	case lengthMm <= 200:
		return 2*diameterMm + 12
	}
	return 2*diameterMm + 25
}

// stiffness is that of a joint, in kN/mm.
type stiffness struct {
	bolt, member float64
	ends         float64 // give of head and engaged thread, mm/kN
}

// stiff works the stiffness of a joint out, or takes what was given. Without a
// length of the bolt all of the grip counts as thread, which is the softest that
// it can be.
func (c Case) stiff(contact Contact, m Material) (stiffness, error) {
	if c.GripMm == 0 && (c.BoltKNMm == nil || c.MemberKNMm == nil) {
		return stiffness{}, wrong(InGrip, "the grip, or both stiffnesses", "nothing says how thick the clamped parts are, so that the stretch of the bolt is not known")
	}
	t := contact.Thread
	s := stiffness{ends: endsGive(t)}
	switch {
	case c.BoltKNMm != nil:
		s.bolt = *c.BoltKNMm
	default:
		free := c.GripMm
		if t.System == Metric && t.LengthMm > c.GripMm {
			shank := math.Min(math.Max(t.LengthMm-ThreadLengthMm(t.DiameterMm, t.LengthMm), 0), c.GripMm)
			free = c.GripMm - shank
		}
		s.bolt = BoltStiffness(circle(t.DiameterMm), c.GripMm-free, t.StressAreaMm2(), free, boltModulusMPa) / 1000
	}
	if c.MemberKNMm != nil {
		s.member = *c.MemberKNMm
		return s, nil
	}
	s.member = OneMaterial(m.ModulusGPa*1000, t.DiameterMm, math.Max(contact.Head.BearingMm, 1.2*t.DiameterMm), c.GripMm) / 1000
	return s, nil
}

func circle(d float64) float64 { return math.Pi / 4 * d * d }

// endsGive is how much head, engaged thread and nut give: half a diameter each of
// the head and of the root of the thread, four tenths of the nut.
//
// ref: VDI_2230 resilience of head and engaged thread
func endsGive(t Thread) (mmPerKN float64) {
	d := t.DiameterMm
	return (0.5*d/circle(d) + 0.5*d/circle(t.MinorDiameterMm()) + 0.4*d/circle(d)) / boltModulusMPa * 1000
}

// perDegree is the preload that a degree adds: with the give of the ends, and the
// most that it can be.
func (s stiffness) perDegree(pitchMm float64) (likely, most float64) {
	give := 1/s.bolt + 1/s.member
	return pitchMm / 360 / (give + s.ends), pitchMm / 360 / give
}

// TurnPerPreload is the elastic angle for a preload, any one set of units.
func TurnPerPreload(preload, pitch, bolt, member float64) (degrees float64) {
	return 360 / pitch * preload * (1/bolt + 1/member)
}
