package web

import (
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/workshop"
)

// presetAngles fills the form with what stays from one measurement to the next:
// how angles are written, rims, limits, how the car is adjusted, the doubts that
// were given.
func (f *Form) presetAngles(last workshop.Angled) {
	c, show := last.Case, last.Settings.Show
	f.Set("show", show)
	f.Set("lines", "parallel")
	if c.Lines.Gap != nil {
		f.Set("lines", "free")
	}
	for _, n := range angles.Corners {
		if w := c.Wheels[n]; w != nil && w.Edges != nil {
			f.setNumber("rim."+n.Axle(), w.Edges.RimMm)
		}
	}
	f.presetWant(c, show)
	f.presetChassis(c, show)
	f.setNumber("turns.wheelbase_mm", c.WheelbaseMm)
	f.setNumber("turns.track_mm", c.TrackMm)
	f.presetDoubts(c.Doubt, show)
}

// presetDoubts fills in the doubts that were given.
func (f *Form) presetDoubts(d angles.Doubt, show string) {
	taken := strings.Join(d.Assumed, " ")
	if !strings.Contains(taken, "line reading") {
		f.setNumber("reading_sd.line_mm", d.LineMm)
	}
	if !strings.Contains(taken, "inclinometer") {
		f.setAngle("reading_sd.camber_deg", d.CamberDeg, show)
	}
	if !strings.Contains(taken, "scale") {
		f.setNumber("reading_sd.weight_kg", d.WeightKg)
	}
	if !strings.Contains(taken, "ride height") {
		f.setNumber("reading_sd.height_mm", d.HeightMm)
	}
	f.setAngle("reading_sd.turn_deg", d.TurnDeg, show)
	f.setAngle("reading_sd.floor_deg", d.FloorDeg, show)
}

// setAngle fills a field with an angle; nought leaves it empty.
func (f *Form) setAngle(field string, v float64, show string) {
	if v != 0 {
		f.Set(field, typedAngle(v, show))
	}
}

func (f *Form) presetWant(c angles.Case, show string) {
	limits := func(key string, l *angles.Limits) {
		if l == nil {
			return
		}
		for end, v := range map[string]float64{".low": l.Low, ".high": l.High} {
			if strings.HasSuffix(key, "_deg") {
				f.Set(key+end, typedAngle(v, show))
			} else {
				f.Set(key+end, trimNumber(v))
			}
		}
	}
	for axle, name := range []string{"front", "rear"} {
		for what, l := range c.Want[axle] {
			limits("want."+name+"."+what, &l)
		}
	}
	limits("want.thrust_deg", c.Thrust)
	limits("want.cross_percent", c.Cross)
	limits("want.toe_out_on_turns_deg", c.TurnsWant)
	f.Set("want.source", c.Source)
}

func (f *Form) presetChassis(c angles.Case, show string) {
	if t := c.TieRod; t != nil {
		f.setNumber("tie_rod.pitch_mm", t.PitchMm)
		f.setNumber("tie_rod.arm_mm", t.ArmMm)
		f.setAngle("tie_rod.angle_deg", t.AngleDeg, show)
		f.Set("tie_rod.arm", t.Arm)
		if t.Sleeve {
			f.Set("tie_rod.sleeve", "1")
		}
		f.setOptional("tie_rod.above_pivot_mm", t.AboveMm)
	}
	if c.Shim != nil {
		f.setNumber("shim.spacing_mm", c.Shim.SpacingMm)
	}
	if c.StrutTop != nil {
		f.setNumber("strut_top.above_lower_joint_mm", c.StrutTop.AboveMm)
	}
	s := c.Springs
	if s == nil {
		return
	}
	for axle, name := range []string{"front", "rear"} {
		f.setNumber("springs."+name+"_n_mm", s.RateNPerMm[axle])
		f.setNumber("springs."+name+"_motion_ratio", s.MotionRatio[axle])
		f.setNumber("springs."+name+"_bar_n_mm", s.BarNPerMm[axle])
		f.setNumber("springs."+name+"_track_mm", s.TrackMm[axle])
	}
	f.setNumber("springs.tyre_n_mm", s.TyreNPerMm)
	f.setNumber("springs.pitch_mm", s.PitchMm)
}
