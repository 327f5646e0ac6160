package angles

import "math"

// Springs are what a car stands on, alike on both sides of an axle.
type Springs struct {
	RateNPerMm  [2]float64 // of the spring itself: front, rear
	MotionRatio [2]float64 // travel of the spring for one of the wheel
	BarNPerMm   [2]float64 // of the anti-roll bar at one wheel, the other held; 0: none, or unhooked
	TyreNPerMm  float64    // 0: taken as stiff
	TrackMm     [2]float64 // 0: both alike
	PitchMm     float64    // of the thread of the spring platform
}

// gravity turns newtons into the kilograms of a scale.
const gravity = 9.80665

// PlatformResult is what one turn upwards of a spring platform does: an estimate
// out of nominal rates.
type PlatformResult struct {
	Wheel        string             `json:"wheel"`
	CornerKg     map[string]float64 `json:"corner_kg"` // change of each corner weight
	CrossPercent float64            `json:"cross_percent"`
}

// corner is the stiffness of one corner at the ground: the spring by its motion
// ratio in series with the tyre.
func (s *Springs) corner(axle int) float64 {
	wheel := s.RateNPerMm[axle] * s.MotionRatio[axle] * s.MotionRatio[axle]
	if s.TyreNPerMm == 0 {
		return wheel
	}
	return 1 / (1/wheel + 1/s.TyreNPerMm)
}

// track is the track of an axle; any length serves where both are alike.
func (s *Springs) track(axle int) float64 {
	if s.TrackMm[0] == 0 || s.TrackMm[1] == 0 {
		return 1500
	}
	return s.TrackMm[axle]
}

// raised is what the corner weights change by, in newtons, when the springs are
// lengthened by the given wheel travels: a stiff body that can heave, pitch and
// roll moves until it stands, and only what would twist it is left.
//
// ref: DESIGN_ANGLE_CHANGES
func (s *Springs) raised(mm [4]float64) (change [4]float64) {
	var k, bar, phi [2]float64
	for axle := range axleNames {
		t := s.track(axle)
		k[axle] = t * t * s.corner(axle) / 2
		bar[axle] = s.BarNPerMm[axle] * t * t / 2
		phi[axle] = (mm[2*axle] - mm[2*axle+1]) / t
	}
	roll := (k[0]*phi[0] + k[1]*phi[1]) / (k[0] + bar[0] + k[1] + bar[1])
	moment := k[0]*phi[0] - (k[0]+bar[0])*roll
	change[FL], change[RL] = moment/s.track(0), -moment/s.track(1)
	change[FR], change[RR] = -change[FL], -change[RL]
	return change
}

// turned are the wheel travels that turns of the platforms make.
func (s *Springs) turned(turns [4]float64) (mm [4]float64) {
	for _, n := range Corners {
		mm[n] = turns[n] * s.PitchMm / s.MotionRatio[n.axle()]
	}
	return mm
}

// crossChange is the change of the cross-weight in per cent of the total.
func crossChange(newtons [4]float64, totalKg float64) float64 {
	return 100 * (newtons[FR] + newtons[RL]) / gravity / totalKg
}

// platforms is what one turn upwards of each platform does.
func (c *Case) platforms() []PlatformResult {
	if c.Springs == nil || c.Weights == nil {
		return nil
	}
	total := c.Weights[FL] + c.Weights[FR] + c.Weights[RL] + c.Weights[RR]
	var list []PlatformResult
	for _, n := range Corners {
		var turns [4]float64
		turns[n] = 1
		newtons := c.Springs.raised(c.Springs.turned(turns))
		r := PlatformResult{n.String(), map[string]float64{}, crossChange(newtons, total)}
		for _, other := range Corners {
			r.CornerKg[other.String()] = newtons[other] / gravity
		}
		list = append(list, r)
	}
	return list
}

// platformChange brings the cross-weight to the middle of what is wanted by all
// four platforms, two up and two down by as much wheel travel, which keeps the
// ride height.
func (c *Case) platformChange(f figures, checks []CheckResult) []Adjustment {
	if c.Springs == nil || c.Cross == nil || !open(checks, "cross_percent", "car") {
		return nil
	}
	twist := [4]float64{-1, 1, 1, -1} // raises front right and rear left
	perMm := crossChange(c.Springs.raised(twist), f["total_kg"])
	if perMm == 0 {
		return nil
	}
	mm := (c.Cross.Middle() - f["cross_percent"]) / perMm
	var list []Adjustment
	for _, n := range Corners {
		turns := twist[n] * mm * c.Springs.MotionRatio[n.axle()] / c.Springs.PitchMm
		list = append(list, Adjustment{Wheel: n.String(), What: "spring platform, positive raises the car", By: turns, Unit: "turns", Estimate: true})
	}
	return list
}

func (c *Case) checkSprings() error {
	s := c.Springs
	if s == nil {
		return nil
	}
	if c.Weights == nil {
		return &InputError{"springs", "serve the cross-weight, and there are no corner weights", "corner_weights_kg of all four wheels besides"}
	}
	for axle, name := range axleNames {
		for _, b := range []struct {
			key          string
			x, low, high float64
		}{{"_n_mm", s.RateNPerMm[axle], 1, 1000}, {"_motion_ratio", s.MotionRatio[axle], 0.2, 2}, {"_bar_n_mm", s.BarNPerMm[axle], 0, 1000}} {
			if err := within("springs."+name+b.key, b.x, b.low, b.high); err != nil {
				return err
			}
		}
		if t := s.TrackMm[axle]; t != 0 {
			if err := within("springs."+name+"_track_mm", t, 500, 4000); err != nil {
				return err
			}
		}
	}
	if s.TyreNPerMm != 0 {
		if err := within("springs.tyre_n_mm", s.TyreNPerMm, 20, 2000); err != nil {
			return err
		}
	}
	return within("springs.pitch_mm", s.PitchMm, 0.5, 10)
}

// pressureNotes tell tyres of an axle that are not filled alike.
func (c *Case) pressureNotes() []string {
	if c.PressuresBar == nil {
		return nil
	}
	var list []string
	for axle, name := range axleNames {
		if d := c.PressuresBar[2*axle] - c.PressuresBar[2*axle+1]; math.Abs(d) > 0.1 {
			list = append(list, "the "+name+" tyres are not filled alike: the car leans, and ride height, camber and corner weights with it; set them and read again")
		}
	}
	return list
}
