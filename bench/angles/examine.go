package angles

import (
	"fmt"
	"math"
)

// Examine works out where the wheels point. The error is an [*InputError].
func Examine(c Case) (Result, error) {
	if err := c.check(); err != nil {
		return Result{}, err
	}
	f := compute(&c)
	if err := c.checkFigures(f); err != nil {
		return Result{}, err
	}
	sd := doubts(&c)
	r := Result{
		Wheels: map[string]WheelResult{}, Axles: map[string]AxleResult{},
		Thrust: f.get("thrust_deg"), ThrustSD: sd.get("thrust_deg"),
		LineError: f.get("line_error_deg"), LineSD: sd.get("line_error_deg"),
		Weights: weightResult(f, sd), Turns: turnResults(f, sd), Platforms: append([]PlatformResult{}, c.platforms()...), Source: c.Source, Engine: Engine,
	}
	for _, n := range Corners {
		if c.Wheels[n] != nil {
			r.Wheels[n.String()] = wheelResult(f, sd, n)
		}
	}
	for axle, name := range axleNames {
		r.Axles[name] = axleResult(f, sd, axle)
	}
	checks, missing := judge(&c, f, sd)
	r.Checks, r.Missing = append([]CheckResult{}, checks...), append([]string{}, missing...)
	r.Verdict, r.Why = verdictOf(checks, missing)
	r.Hold = append([]Hold{}, holds(&c, f, sd, checks)...)
	r.Adjust = append([]Adjustment{}, adjustments(&c, f, checks, heldWheels(r.Hold))...)
	r.Signs = append([]Sign{}, signs(&c, f, sd, checks)...)
	r.Notes = append([]string{}, notes(&c, f, sd, checks)...)
	r.Working = workings(&c, f, sd)
	return r, nil
}

// check refuses impossible readings.
func (c *Case) check() error {
	measured := c.Weights != nil || c.Heights != nil || c.Turns[0] != nil || c.Turns[1] != nil
	for _, n := range Corners {
		w := c.Wheels[n]
		if w == nil {
			continue
		}
		measured = true
		if err := w.check("wheels." + n.String()); err != nil {
			return err
		}
	}
	if !measured {
		return &InputError{"wheels", "there are none", "one or more of FL, FR, RL, RR"}
	}
	for _, check := range []func() error{c.checkGap, c.checkFloor, c.checkWant, c.checkWeights, c.checkParts, c.checkTurns, c.checkSprings} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func (c *Case) checkFloor() error {
	for axle, name := range axleNames {
		if err := within("floor."+name, c.Floor.LeftHigherDeg[axle], -10, 10); err != nil {
			return err
		}
	}
	return within("floor.nose_down_deg", c.Floor.NoseDownDeg, -10, 10)
}

func (c *Case) checkWant() error {
	for axle, name := range axleNames {
		for _, what := range Quantities() {
			if l, ok := c.Want[axle][what]; ok && !(l.Low <= l.High) {
				return &InputError{"want." + name + "." + what, fmt.Sprintf("%g is above %g", l.Low, l.High), "the lower limit first"}
			}
		}
	}
	return nil
}

func (c *Case) checkWeights() error {
	for _, n := range Corners {
		if c.Weights != nil {
			if err := within("corner_weights_kg."+n.String(), c.Weights[n], 1, 10000); err != nil {
				return err
			}
		}
		if c.PressuresBar != nil {
			if err := within("tyre_pressure_bar."+n.String(), c.PressuresBar[n], 0.2, 10); err != nil {
				return err
			}
		}
		if c.Heights != nil {
			if err := within("ride_height_mm."+n.String(), c.Heights[n], -1000, 3000); err != nil {
				return err
			}
		}
	}
	return nil
}

// checkGap wants two stations apart and all four wheels.
func (c *Case) checkGap() error {
	g := c.Lines.Gap
	if g == nil {
		return nil
	}
	if math.Abs(g[0].AtMm-g[1].AtMm) < 500 {
		return &InputError{"lines.gap", "the stations stand less than 500 mm apart", "one near the front axle and one near the rear axle"}
	}
	for i := range g {
		if err := within(fmt.Sprintf("lines.gap[%d].mm", i+1), g[i].Mm, 500, 5000); err != nil {
			return err
		}
	}
	for _, n := range Corners {
		if c.Wheels[n] == nil || c.Wheels[n].Edges == nil {
			return &InputError{"wheels", "no line readings of " + n.String(), "all four wheels: with a gap between the lines given, the centre line runs through the middles of the axles"}
		}
		if c.Wheels[n].HubXMm == nil {
			return &InputError{"wheels." + n.String() + ".hub_x_mm", "is missing", "where the hub stands along the left line, from the same zero as at_mm of the gap"}
		}
	}
	return nil
}

func (c *Case) checkParts() error {
	if t := c.TieRod; t != nil {
		for _, b := range []struct {
			key          string
			x, low, high float64
		}{
			{"pitch_mm", t.PitchMm, 0.25, 10}, {"arm_mm", t.ArmMm, 20, 1000}, {"angle_deg", t.AngleDeg, 30, 150},
		} {
			if err := within("tie_rod."+b.key, b.x, b.low, b.high); err != nil {
				return err
			}
		}
	}
	if c.StrutTop != nil {
		if err := within("strut_top.above_lower_joint_mm", c.StrutTop.AboveMm, 100, 2000); err != nil {
			return err
		}
	}
	if c.Shim != nil {
		return within("shim.spacing_mm", c.Shim.SpacingMm, 10, 1000)
	}
	return nil
}

func (w *Wheel) check(in string) error {
	if w.Edges == nil && w.CamberDeg == nil && w.Sweep == nil {
		return &InputError{in, "nothing was read", "rim_mm with front_mm and rear_mm, or camber_deg, or a sweep"}
	}
	if err := w.checkEdges(in); err != nil {
		return err
	}
	for _, b := range []struct {
		key   string
		x     *float64
		bound float64
	}{{".camber_deg", w.CamberDeg, 30}, {".turned.camber_deg", w.TurnedCamberDeg, 30}, {".reversed_camber_deg", w.ReversedCamberDeg, 30}, {".hub_x_mm", w.HubXMm, 20000}} {
		if b.x == nil {
			continue
		}
		if err := within(in+b.key, *b.x, -b.bound, b.bound); err != nil {
			return err
		}
	}
	if w.Sweep != nil {
		return w.Sweep.check(in + ".sweep")
	}
	return nil
}

func (w *Wheel) checkEdges(in string) error {
	e := w.Edges
	if e == nil {
		return nil
	}
	if err := within(in+".rim_mm", e.RimMm, 100, 1500); err != nil {
		return err
	}
	if err := checkPair(in, e.FrontMm, e.RearMm, e.RimMm); err != nil {
		return err
	}
	if t := w.TurnedEdges; t != nil {
		return checkPair(in+".turned", t[0], t[1], e.RimMm)
	}
	return nil
}

// checkPair refuses readings of one line that no wheel gives.
func checkPair(in string, front, rear, rim float64) error {
	if err := within(in+".front_mm", front, -5000, 5000); err != nil {
		return err
	}
	if err := within(in+".rear_mm", rear, -5000, 5000); err != nil {
		return err
	}
	if d := math.Abs(front - rear); d > rim/2 {
		return &InputError{in + ".front_mm", fmt.Sprintf("differs from rear_mm by %.4g mm, more than 30 degrees of a rim of %g mm", d, rim), "distances of both edges from one line, in mm"}
	}
	return nil
}

func (s *Sweep) check(in string) error {
	list := []struct {
		key          string
		x, low, high float64
	}{
		{".out_deg", s.OutDeg, 3, 60},
		{".in_deg", s.InDeg, 3, 60},
		{".camber_out_deg", s.CamberOutDeg, -30, 30},
		{".camber_in_deg", s.CamberInDeg, -30, 30},
	}
	for _, b := range list {
		if err := within(in+b.key, b.x, b.low, b.high); err != nil {
			return err
		}
	}
	if s.Pitch == nil {
		return nil
	}
	if err := within(in+".pitch_out_deg", s.Pitch.OutDeg, -45, 45); err != nil {
		return err
	}
	return within(in+".pitch_in_deg", s.Pitch.InDeg, -45, 45)
}

// checkFigures refuses a sweep that no steering axis of a car fits.
func (c *Case) checkFigures(f figures) error {
	for _, n := range Corners {
		for _, what := range []string{"caster_deg", "steering_axis_deg"} {
			name := n.String() + "." + what
			if x, ok := f[name]; ok && (math.IsNaN(x) || math.Abs(x) > 60) {
				return &InputError{"wheels." + n.String() + ".sweep", fmt.Sprintf("gives a %s of %.1f degrees, which no car has", plainName(what), x), "cambers with the front of the wheel out and in, and tilts with the nose up positive"}
			}
		}
	}
	return nil
}
