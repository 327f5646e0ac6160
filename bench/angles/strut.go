package angles

import "math"

// StrutTop is a strut whose upper mount slides in its tower.
type StrutTop struct {
	AboveMm float64 // height of the upper mount over the lower ball joint
}

// strutOut is how far the upper mount goes outwards, in mm, for a change of
// camber: the strut leans about the lower ball joint, by the inclination that it
// has.
//
// ref: DESIGN_ANGLE_CHANGES
func (t StrutTop) strutOut(camberDeg, inclinationDeg float64) float64 {
	return t.AboveMm * (math.Tan(inclinationDeg*degree) - math.Tan((inclinationDeg-camberDeg)*degree))
}

// strutBack is how far the upper mount goes to the rear for a caster.
//
// ref: DESIGN_ANGLE_CHANGES
func (t StrutTop) strutBack(fromDeg, toDeg float64) float64 {
	return t.AboveMm * (math.Tan(toDeg*degree) - math.Tan(fromDeg*degree))
}

// casterChanges are the changes of caster, before camber is set.
func (c *Case) casterChanges(f figures, checks []CheckResult) []Adjustment {
	var list []Adjustment
	for _, n := range []Corner{FL, FR} {
		if !open(checks, "caster_deg", n.String()) {
			continue
		}
		now, want := f[n.String()+".caster_deg"], c.Want[0]["caster_deg"].Middle()
		list = append(list, Adjustment{Wheel: n.String(), What: "caster, positive leans the axis back", By: want - now, Unit: "deg"})
		if c.StrutTop != nil {
			list = append(list, Adjustment{Wheel: n.String(), What: "strut top, positive to the rear", By: c.StrutTop.strutBack(now, want), Unit: "mm"})
		}
	}
	return list
}
