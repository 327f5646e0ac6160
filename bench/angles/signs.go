package angles

// source of what signs mean: no handbook was read that proves them.
const signSource = "COMMON_PRACTICE"

// state is how a figure stands to what is wanted.
type state int

const (
	unknown state = iota
	right
	off
)

func stateOf(checks []CheckResult, where, what string) state {
	for _, r := range checks {
		if r.Where == where && r.What == what {
			switch r.Verdict {
			case Pass:
				return right
			case Fail:
				return off
			}
		}
	}
	return unknown
}

// includedState is the included angle's; where no limits are given for it, they
// are the sums of those of camber and steering axis.
func (c *Case) includedState(f, sd figures, checks []CheckResult, n Corner) state {
	want := c.Want[n.axle()]
	if _, ok := want["included_deg"]; ok {
		return stateOf(checks, n.String(), "included_deg")
	}
	camber, a := want["camber_deg"]
	axis, b := want["steering_axis_deg"]
	name := n.String() + ".included_deg"
	if !a || !b || !f.has(name) {
		return unknown
	}
	sum := examineLimit(n.String(), "included_deg", f[name], sd[name], Limits{camber.Low + axis.Low, camber.High + axis.High})
	return stateOf([]CheckResult{sum}, n.String(), "included_deg")
}

// signs are what bent or moved parts would look like that fit the verdicts.
//
// ref: COMMON_PRACTICE
func signs(c *Case, f, sd figures, checks []CheckResult) []Sign {
	var list []Sign
	say := func(where, text string) { list = append(list, Sign{where, text, signSource}) }
	for _, n := range Corners {
		is := func(what string) state { return stateOf(checks, n.String(), what) }
		if text := camberSign(is("camber_deg"), is("steering_axis_deg"), c.includedState(f, sd, checks, n)); text != "" {
			say(n.String(), text)
		}
		if is("caster_deg") == off {
			say(n.String(), casterSign(is("camber_deg"), stateOf(checks, n.Axle(), "set_back_mm")))
		}
		if is("toe_deg") == off && is("camber_deg") == right {
			say(n.String(), "toe off with camber right: track rod or its arm bent, or never set; on the rear axle a toe link")
		}
	}
	if stateOf(checks, "front", "total_toe_deg") == off && stateOf(checks, "FL", "camber_deg") == right && stateOf(checks, "FR", "camber_deg") == right {
		say("front", "total toe off with both cambers right: a track rod bent or never set; compare the lengths of both")
	}
	if stateOf(checks, "car", "thrust_deg") == off {
		say("rear", "thrust angle off: one rear wheel turned (link or arm bent), or the whole rear axle or subframe stands askew; the two rear toes tell which")
	}
	if text := turnSign(f, sd); text != "" {
		say("front", text)
	}
	for _, axle := range axleNames {
		if stateOf(checks, axle, "set_back_mm") == off {
			say(axle, "set-back: one wheel has moved back or forward: lower arm, subframe or the body where they are bolted; survey those points")
		}
	}
	return list
}

// camberSign reads the three angles of the front elevation together.
func camberSign(camber, axis, included state) string {
	switch {
	case camber == off && axis == right && included == off:
		return "camber off with steering axis right and included angle off: bent upright or strut"
	case camber == off && axis == off && included == right:
		return "camber and steering axis off by opposite amounts, included angle right: upright and hub are good; upper mount, lower arm or subframe has moved"
	case camber == right && axis == off && included == off:
		return "steering axis off with camber right, included angle off: bent upright or strut and a moved mount or arm besides"
	case camber == off && axis == off && included == off:
		return "camber, steering axis and included angle off: bent upright or strut, and a mount or arm moved besides"
	case camber == off && axis == unknown:
		return "camber off: whether the upright or what carries it is bent shows in the steering axis; sweep the wheel with the brake held"
	}
	return ""
}

func casterSign(camber, setBack state) string {
	switch {
	case setBack == off:
		return "caster off with set-back: the lower ball joint has moved back or forward: lower arm, its mounts or the subframe"
	case camber == off:
		return "caster and camber off: the upper end of the steering axis has moved: strut tower or upper arm"
	}
	return "caster off with camber right: lower arm bent back or forward, subframe shifted, or the upper mount moved along the car"
}
