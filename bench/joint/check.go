package joint

import (
	"math"
	"strings"
)

// limit is what a number may be.
type limit struct {
	in        Input
	value     *float64
	name      string
	low, high float64
	above     bool // low itself is out
	unit      string
	why       string // said after the value
}

// check holds the numbers of a case to what they can be.
func (c Case) check() error {
	share, angle, prevailing, grip, depth, wrench := c.ProofShare, c.AngleDeg, c.PrevailingNm, c.GripMm, c.EngagementMm, c.WrenchNm
	optional := func(x *float64) *float64 {
		if *x == 0 {
			return nil
		}
		return x
	}
	for _, l := range []limit{
		{in: InTorque, value: c.TorqueNm, name: "torque", high: 5000, above: true, unit: " N·m"},
		{in: InPreload, value: c.PreloadKN, name: "preload", high: 5000, above: true, unit: " kN"},
		{in: InProofShare, value: optional(&share), name: "share of the proof force", low: 0.1, high: 1},
		{in: InFriction, value: c.Friction, name: "friction", low: LowestFriction, high: HighestFriction, why: " is outside what surfaces have"},
		{in: InFriction, value: c.HeadFriction, name: "friction under the head", low: LowestFriction, high: HighestFriction, why: " is outside what surfaces have"},
		{in: InNutFactor, value: c.NutFactor, name: "nut factor", low: LowestNutFactor, high: HighestNutFactor, why: " is outside what joints have"},
		{in: InPrevailing, value: &prevailing, name: "running torque", high: 500, unit: " N·m"},
		{in: InAngle, value: &angle, name: "angle", high: 720, unit: " degrees", why: " is no angle to tighten by"},
		{in: InGrip, value: optional(&grip), name: "grip", high: 1000, above: true, unit: " mm"},
		{in: InEngagement, value: optional(&depth), name: "engaged length", high: 500, above: true, unit: " mm"},
		{in: InStiffness, value: c.BoltKNMm, name: "stiffness of the bolt", high: 1e5, above: true, unit: " kN/mm"},
		{in: InStiffness, value: c.MemberKNMm, name: "stiffness of the clamped parts", high: 1e5, above: true, unit: " kN/mm"},
		{in: InWrench, value: optional(&wrench), name: "largest torque of the wrench", high: 5000, above: true, unit: " N·m"},
		{in: InLoad, value: c.LoadKN, name: "load", high: 5000, above: true, unit: " kN"},
	} {
		if err := l.check(); err != nil {
			return err
		}
	}
	return c.checkTogether()
}

func (l limit) check() error {
	if l.value == nil {
		return nil
	}
	x := *l.value
	if x >= l.low && x <= l.high && (x > l.low || !l.above) {
		return nil
	}
	expected := plain(l.low) + " to " + plain(l.high) + l.unit
	if l.above {
		expected = "more than " + plain(l.low) + ", up to " + plain(l.high) + l.unit
	}
	why := l.why
	if why == "" {
		why = " is impossible"
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return wrong(l.in, expected, "%s %s is no number", l.name, plain(x))
	}
	return wrong(l.in, expected, "%s %s%s%s", l.name, plain(x), l.unit, why)
}

// checkTogether holds the inputs to one another.
func (c Case) checkTogether() error {
	switch {
	case c.TorqueNm != nil && c.PreloadKN != nil:
		return wrong(InPreload, "one of the two", "a torque and a preload are both given, and each follows from the other")
	case c.Friction != nil && c.NutFactor != nil:
		return wrong(InNutFactor, "one of the two", "a friction and a nut factor are both given, and each says the same")
	case c.Finish != "" && (c.NutFactor != nil || c.Friction != nil):
		return wrong(InFinish, "one of the two", "a finish is given beside a friction or a nut factor, and each says the same")
	case c.HeadFriction != nil && (c.NutFactor != nil || c.Finish != ""):
		return wrong(InNutFactor, "one of the two", "a friction under the head and a nut factor are both given, and each says the same")
	case c.AngleDeg > 0 && c.TorqueNm == nil:
		return wrong(InAngle, "the torque before it", "an angle is given without the torque that it follows")
	case strings.EqualFold(c.Method, AngleMethod) && c.AngleDeg == 0:
		return wrong(InAngle, "the angle", "torque and angle is the way of tightening, and no angle is given")
	case c.NewBolt && c.AngleDeg == 0:
		return wrong(InAngle, "the angle", "a bolt that the maker turns past yield is turned by an angle, and none is given")
	case c.Into != "" && c.EngagementMm == 0:
		return wrong(InEngagement, "its length of thread", "a tapped hole is given without the length of thread engaged in it")
	case c.EngagementMm > 0 && c.Into == "":
		return wrong(InInto, "what the hole is tapped in", "a length of engaged thread is given without its material")
	}
	return nil
}
