package angles

import "math"

// adjustments are what to turn where a figure does not pass: what the car stands
// on first, since it moves all angles, then caster, then camber, since it moves
// toe, then the rear axle, then the front one against the line in which the rear
// axle will drive. At a wheel that is held nothing is turned.
func adjustments(c *Case, f figures, checks []CheckResult, waits held) []Adjustment {
	list := c.platformChange(f, checks)
	for _, a := range c.casterChanges(f, checks) {
		if !waits.at(a.Wheel) {
			list = append(list, a)
		}
	}
	carry := [4]float64{} // toe that a change of camber brings
	for _, n := range Corners {
		if waits[n] || !open(checks, "camber_deg", n.String()) {
			continue
		}
		a := c.camberChange(f, n, c.Want[n.axle()]["camber_deg"].Middle()-f[n.String()+".camber_deg"])
		for _, one := range a {
			if one.ToeChangeDeg != nil {
				carry[n] = *one.ToeChangeDeg
			}
		}
		list = append(list, a...)
	}
	thrust, turned := f["thrust_deg"], false
	for _, axle := range []int{1, 0} {
		if waits.toe(axle) {
			continue
		}
		targets, ok := c.toeTargets(f, checks, axle, thrust, carry)
		if !ok && axle == 0 && turned {
			targets, ok = followThrust(f, thrust)
		}
		if !ok {
			continue
		}
		if axle == 1 {
			thrust, turned = (targets[0]-targets[1])/2, true
		}
		for i, n := range []Corner{Corner(2 * axle), Corner(2*axle + 1)} {
			name := n.String() + ".toe_deg"
			if f.has(name) {
				list = append(list, c.toeChange(n, targets[i]-f[name]-carry[n]))
			}
		}
	}
	return list
}

// open reports a figure that is wanted and did not pass.
func open(checks []CheckResult, what string, where ...string) bool {
	for _, r := range checks {
		for _, w := range where {
			if r.What == what && r.Where == w && r.Verdict != Pass {
				return true
			}
		}
	}
	return false
}

// toeTargets are the toes to set on the left and the right of an axle.
func (c *Case) toeTargets(f figures, checks []CheckResult, axle int, thrust float64, carry [4]float64) (t [2]float64, ok bool) {
	l, r := Corner(2*axle), Corner(2*axle+1)
	moved := carry[l] != 0 || carry[r] != 0
	each, single := c.Want[axle]["toe_deg"]
	total, both := c.Want[axle]["total_toe_deg"]
	switch {
	case both && (moved || open(checks, "total_toe_deg", axleNames[axle])):
		t = [2]float64{total.Middle() / 2, total.Middle() / 2}
	case single && (moved || open(checks, "toe_deg", l.String(), r.String())):
		t = [2]float64{each.Middle(), each.Middle()}
	case axle == 1 && c.Thrust != nil && f.has("rear.total_toe_deg") && open(checks, "thrust_deg", "car"):
		t = [2]float64{f["rear.total_toe_deg"] / 2, f["rear.total_toe_deg"] / 2}
	default:
		return t, false
	}
	if axle == 0 && f.has("thrust_deg") { // straight ahead is where the rear axle drives
		t[0] += thrust
		t[1] -= thrust
	}
	return t, true
}

// askew is how far the steering wheel's straight-ahead may lie off the thrust
// line, in degrees at the wheels, before it is worth a turn.
//
// ref: DESIGN_ANGLES
const askew = 0.05

// followThrust keeps the front total toe and splits it about a thrust line that
// has been turned.
func followThrust(f figures, thrust float64) (t [2]float64, ok bool) {
	total, both := f["front.total_toe_deg"]
	if !both || math.Abs((f["FL.toe_deg"]-f["FR.toe_deg"])/2-thrust) <= askew {
		return t, false
	}
	return [2]float64{total/2 + thrust, total/2 - thrust}, true
}

// toeChange is a change of toe as turns of the track rod where its threads are
// known, else in degrees.
//
// ref: DESIGN_ANGLES
func (c *Case) toeChange(n Corner, by float64) Adjustment {
	t := c.TieRod
	if t == nil || n.axle() != 0 {
		return Adjustment{Wheel: n.String(), What: "toe, positive towards toe-in", By: by, Unit: "deg"}
	}
	turns := by * degree * t.ArmMm * math.Sin(t.AngleDeg*degree) / t.PitchMm
	if t.Sleeve {
		turns /= 2
	}
	switch t.Arm {
	case "ahead":
		return Adjustment{Wheel: n.String(), What: "tie rod, positive makes it longer", By: -turns, Unit: "turns"}
	case "behind":
		return Adjustment{Wheel: n.String(), What: "tie rod, positive makes it longer", By: turns, Unit: "turns"}
	}
	return Adjustment{Wheel: n.String(), What: "tie rod, positive towards toe-in", By: turns, Unit: "turns"}
}

// camberChange is a change of camber, besides as the thickness of a shim where
// the spacing of its bolts is known, and as a way of the strut's top.
//
// ref: DESIGN_ANGLES
func (c *Case) camberChange(f figures, n Corner, by float64) []Adjustment {
	what := "camber, positive leans the top out"
	a := Adjustment{Wheel: n.String(), What: what, By: by, Unit: "deg"}
	if t := c.TieRod; t != nil && t.AboveMm != nil && t.Arm != "" && n.axle() == 0 {
		// The rod holds the arm while the upright leans by: the arm's end moves
		// out against the upright as the top leans in.
		toe := math.Atan(-math.Sin(by*degree)**t.AboveMm/t.ArmMm) / degree
		if t.Arm == "ahead" {
			toe = -toe
		}
		a.ToeChangeDeg = &toe
	}
	list := []Adjustment{a}
	if c.StrutTop != nil && n.axle() == 0 {
		mm := c.StrutTop.strutOut(by, f[n.String()+".steering_axis_deg"]) // 0 where it was not measured
		list = append(list, Adjustment{Wheel: n.String(), What: "strut top, positive outwards", By: mm, Unit: "mm"})
	}
	if c.Shim != nil {
		mm := c.Shim.SpacingMm * math.Tan(by*degree)
		list = append(list, Adjustment{Wheel: n.String(), What: "shim, positive leans the top out", By: mm, Unit: "mm"})
	}
	return list
}
