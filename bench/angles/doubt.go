package angles

import "math"

// derivativeStep is small beside every reading (mm, degrees, kg) and large
// beside the rounding of the computation.
const derivativeStep = 1e-3

// doubts are the standard deviations of all figures: every reading is moved a
// little to both sides in turn and what the figures do is added in squares.
//
// ref: JCGM_100 5.1.2
func doubts(c *Case) figures {
	mine := c.clone()
	square := figures{}
	for _, r := range mine.readings() {
		was := *r.at
		*r.at = was + derivativeStep
		above := compute(mine)
		*r.at = was - derivativeStep
		below := compute(mine)
		*r.at = was
		for name, a := range above {
			d := (a - below[name]) / (2 * derivativeStep) * r.sd
			square[name] += d * d
		}
	}
	sd := figures{}
	for name := range compute(mine) {
		sd[name] = math.Sqrt(square[name])
	}
	return sd
}

// clone copies whatever readings point into.
func (c *Case) clone() *Case {
	d := *c
	d.Lines.Gap, d.Weights, d.Heights = copied(c.Lines.Gap), copied(c.Weights), copied(c.Heights)
	for i, t := range c.Turns {
		d.Turns[i] = copied(t)
	}
	for i, w := range c.Wheels {
		if w == nil {
			continue
		}
		v := *w
		v.Edges, v.TurnedEdges, v.Sweep = copied(w.Edges), copied(w.TurnedEdges), copied(w.Sweep)
		v.CamberDeg, v.TurnedCamberDeg, v.HubXMm = copied(w.CamberDeg), copied(w.TurnedCamberDeg), copied(w.HubXMm)
		if v.Sweep != nil {
			v.Sweep.Pitch = copied(v.Sweep.Pitch)
		}
		v.ReversedCamberDeg = copied(w.ReversedCamberDeg)
		d.Wheels[i] = &v
	}
	return &d
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}
