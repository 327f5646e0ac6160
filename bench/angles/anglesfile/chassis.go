package anglesfile

import (
	"wreckwright/bench/angles"
	"wreckwright/casefile"
)

// readTurns reads the steering held to both sides.
func (f *File) readTurns(c *angles.Case, root *casefile.Mapping) {
	v, ok := root.May("turns")
	if !ok {
		return
	}
	m := f.keep("turns", v).Mapping()
	for i, side := range []string{"left", "right"} {
		if one, ok := m.May(side); ok {
			in := "turns." + side
			held := f.keep(in, one).Mapping()
			c.Turns[i] = &angles.Turns{InnerDeg: f.number(in+".", "inner_deg", held), OuterDeg: f.number(in+".", "outer_deg", held)}
		}
	}
	if hasAny(m, "wheelbase_mm", "track_mm") {
		c.WheelbaseMm, c.TrackMm = f.number("turns.", "wheelbase_mm", m), f.number("turns.", "track_mm", m)
	}
}

// readSprings reads what the car stands on.
func (f *File) readSprings(c *angles.Case, root *casefile.Mapping) {
	v, ok := root.May("springs")
	if !ok {
		return
	}
	m := f.keep("springs", v).Mapping()
	s := &angles.Springs{PitchMm: f.number("springs.", "pitch_mm", m)}
	or := func(key string, otherwise float64) float64 {
		if x := f.optional("springs.", key, m); x != nil {
			return *x
		}
		return otherwise
	}
	s.TyreNPerMm = or("tyre_n_mm", 0)
	for axle, name := range []string{"front", "rear"} {
		s.RateNPerMm[axle] = f.number("springs.", name+"_n_mm", m)
		s.MotionRatio[axle] = or(name+"_motion_ratio", 1)
		s.BarNPerMm[axle] = or(name+"_bar_n_mm", 0)
		s.TrackMm[axle] = or(name+"_track_mm", 0)
	}
	c.Springs = s
}
