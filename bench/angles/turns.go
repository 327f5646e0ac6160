package angles

import "math"

// Turns is how far the inner and the outer front wheel turned when the steering
// was held to one side, by their turntables from straight.
type Turns struct{ InnerDeg, OuterDeg float64 }

// turnNames are the directions in which the steering is held.
var turnNames = [2]string{"left", "right"}

// TurnResult is the steering held to one side.
type TurnResult struct {
	ToeOut   *float64 `json:"toe_out_deg"` // inner less outer
	ToeOutSD *float64 `json:"toe_out_deg_sd"`
	// Share is what part of the difference that a turn about one point asks for
	// is there, per cent; nil without wheelbase and track.
	Share   *float64 `json:"share_percent"`
	ShareSD *float64 `json:"share_percent_sd"`
}

// idealOuter is the turn of the outer wheel, in degrees, at which both front
// wheels run about one point on the line of the rear axle.
//
// ref: DESIGN_ANGLE_CHANGES
func idealOuter(innerDeg, wheelbaseMm, trackMm float64) float64 {
	return math.Atan(1/(1/math.Tan(innerDeg*degree)+trackMm/wheelbaseMm)) / degree
}

// turnFigures adds the toe-out on turns.
func (c *Case) turnFigures(f figures) {
	for i, t := range c.Turns {
		if t == nil {
			continue
		}
		name := "turn." + turnNames[i] + "."
		f[name+"toe_out_deg"] = t.InnerDeg - t.OuterDeg
		if c.WheelbaseMm > 0 && c.TrackMm > 0 {
			f[name+"share_percent"] = 100 * (t.InnerDeg - t.OuterDeg) / (t.InnerDeg - idealOuter(t.InnerDeg, c.WheelbaseMm, c.TrackMm))
		}
	}
	l, r := "turn.left.toe_out_deg", "turn.right.toe_out_deg"
	if f.has(l) && f.has(r) {
		f["turn.difference_deg"] = f[l] - f[r]
	}
}

func turnResults(f, sd figures) map[string]TurnResult {
	list := map[string]TurnResult{}
	for _, side := range turnNames {
		in := "turn." + side + "."
		if f.has(in + "toe_out_deg") {
			list[side] = TurnResult{f.get(in + "toe_out_deg"), sd.get(in + "toe_out_deg"), f.get(in + "share_percent"), sd.get(in + "share_percent")}
		}
	}
	return list
}

func (c *Case) checkTurns() error {
	for i, t := range c.Turns {
		if t == nil {
			continue
		}
		in := "turns." + turnNames[i]
		if err := within(in+".inner_deg", t.InnerDeg, 3, 60); err != nil {
			return err
		}
		if err := within(in+".outer_deg", t.OuterDeg, 1, 60); err != nil {
			return err
		}
	}
	for _, b := range []struct {
		key  string
		x    float64
		low  float64
		high float64
	}{{"turns.wheelbase_mm", c.WheelbaseMm, 1000, 6000}, {"turns.track_mm", c.TrackMm, 500, 3000}} {
		if b.x != 0 {
			if err := within(b.key, b.x, b.low, b.high); err != nil {
				return err
			}
		}
	}
	return nil
}

// unlikeTurns is the difference of toe-out between both sides, in degrees, from
// which it is worth a look at the arms: a rule of thumb of our own.
//
// ref: COMMON_PRACTICE
const unlikeTurns = 1.0

// turnSign reads both turns together.
func turnSign(f, sd figures) string {
	d, both := f["turn.difference_deg"]
	if !both || math.Abs(d) < max(unlikeTurns, 2*sd["turn.difference_deg"]) {
		return ""
	}
	return "toe-out on turns differs from side to side: a steering arm bent, or the rack not in its middle when the wheels stand straight"
}
