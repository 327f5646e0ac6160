package joint

import "math"

// Shares of the circumference that the thread of a hole and of a bolt have per
// pitch at the basic dimensions: pi d (1/2 + (d - d2)/(P sqrt 3)) and
// pi D1 (1/2 + (d2 - D1)/(P sqrt 3)).
//
// ref: FED_STD_H28 shear area of threads
const (
	holeShare = 7.0 / 8
	boltShare = 3.0 / 4
)

// HoleShearMm2 is the area that shears when the thread of a hole strips, over an
// engaged length.
func (t Thread) HoleShearMm2(lengthMm float64) float64 {
	return holeShare * math.Pi * t.DiameterMm * lengthMm
}

// BoltShearMm2 is the area that shears when the thread of the bolt strips.
func (t Thread) BoltShearMm2(lengthMm float64) float64 {
	return boltShare * math.Pi * (t.DiameterMm - nutMinorDepth*t.PitchMm) * lengthMm
}

// boltShear is the shear strength of a bolt's steel over its tensile strength.
//
// ref: VDI_2230 ratio of shear strength
const boltShear = 0.6

// engaged is the strength of a tapped thread.
func (e *examined) engaged() (*Engagement, error) {
	if e.c.EngagementMm == 0 {
		return nil, nil
	}
	m, err := e.tables.material(InInto, e.c.Into)
	if err != nil {
		return nil, err
	}
	if m.ShearMPa == 0 {
		return nil, wrong(InInto, "a metal that threads are cut in", "%s takes no thread", m.Name)
	}
	t, length := e.r.Thread, e.c.EngagementMm
	g := &Engagement{
		LengthMm: length, Into: m.Name,
		StripsHoleKN: t.HoleShearMm2(length) * m.ShearMPa / 1000,
		StripsBoltKN: t.BoltShearMm2(length) * boltShear * e.strength.TensileMPa / 1000,
	}
	g.StripsKN = math.Min(g.StripsHoleKN, g.StripsBoltKN)
	g.EnoughMm = length * e.r.TensileKN / g.StripsKN
	g.BoltFirst = g.StripsKN >= e.r.TensileKN
	return g, nil
}

// pressure is what the face under the head bears.
func (e *examined) pressure() *Bearing {
	h := e.contact.Head
	if h.SeatDeg > 0 {
		return nil
	}
	area := circle(h.BearingMm) - circle(h.HoleMm)
	b := &Bearing{
		Material: e.member.Name, LimitMPa: e.member.PressureMPa,
		PressureMPa: e.r.Preload.Value * 1000 / area, HighMPa: e.r.Preload.High * 1000 / area,
	}
	b.Within = b.PressureMPa <= b.LimitMPa
	return b
}
