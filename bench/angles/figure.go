package angles

// Quantities are the figures of wheels and axles that can be wanted within limits.
var (
	wheelQuantities = []string{"toe_deg", "camber_deg", "caster_deg", "steering_axis_deg", "included_deg"}
	axleQuantities  = []string{"total_toe_deg", "set_back_mm", "set_back_deg", "cross_camber_deg", "cross_caster_deg", "ride_height_mm", "left_stands_over_mm"}
)

// Quantities are the names of what can be wanted of an axle: what its wheels
// each should have, then what both together.
func Quantities() []string { return append(append([]string{}, wheelQuantities...), axleQuantities...) }

// figures are everything worked out of the readings, by name: "FL.toe_deg",
// "front.total_toe_deg", "thrust_deg".
type figures map[string]float64

func (f figures) has(name string) bool { _, ok := f[name]; return ok }

// compute works every figure out. Degrees and mm.
func compute(c *Case) figures {
	f := figures{}
	headings := c.headings(f)
	for _, n := range Corners {
		if w := c.Wheels[n]; w != nil {
			c.wheelFigures(f, n, w, headings[n])
		}
	}
	c.axleFigures(f)
	weightFigures(f, c.Weights)
	c.turnFigures(f)
	return f
}

// wheelFigures adds camber and steering axis; toe is the wheel's in radians, 0
// where it was not measured.
func (c *Case) wheelFigures(f figures, n Corner, w *Wheel, toe float64) {
	s, up := n.side(), c.Floor.up(n.axle())
	name := n.String() + "."
	camber := 0.0
	if reading, ok := w.camber(); ok {
		camber = trueCamber(reading*degree, s, -s*toe, up)
		f[name+"camber_deg"] = camber / degree
	}
	switch {
	case w.Sweep == nil:
	case w.Sweep.Pitch == nil && w.CamberDeg == nil:
		f[name+"caster_deg"] = casterOnly(w, s, toe, up) / degree
	default:
		k := steeringAxis(w, s, toe, camber, up)
		f[name+"caster_deg"] = casterOf(k) / degree
		f[name+"steering_axis_deg"] = inclinationOf(k, s) / degree
		if w.CamberDeg != nil {
			f[name+"included_deg"] = f[name+"steering_axis_deg"] + f[name+"camber_deg"]
		}
	}
}

// camber is the inclinometer's reading, the mean of both where the wheel was
// rolled on by half a turn.
func (w *Wheel) camber() (float64, bool) {
	switch {
	case w.CamberDeg == nil:
		return 0, false
	case w.TurnedCamberDeg == nil:
		return *w.CamberDeg - w.zero(), true
	}
	return (*w.CamberDeg+*w.TurnedCamberDeg)/2 - w.zero(), true
}

// zero is what the inclinometer shows when it stands upright, as far as it was
// read turned end for end, which changes the sign of all but that.
func (w *Wheel) zero() float64 {
	if w.CamberDeg == nil || w.ReversedCamberDeg == nil {
		return 0
	}
	return (*w.CamberDeg + *w.ReversedCamberDeg) / 2
}

func (c *Case) axleFigures(f figures) {
	for axle, name := range axleNames {
		l, r := Corner(2*axle).String(), Corner(2*axle+1).String()
		both := func(to, of string, sign float64) {
			if f.has(l+"."+of) && f.has(r+"."+of) {
				f[name+"."+to] = f[l+"."+of] + sign*f[r+"."+of]
			}
		}
		both("total_toe_deg", "toe_deg", 1)
		both("cross_camber_deg", "camber_deg", -1)
		both("cross_caster_deg", "caster_deg", -1)
		if h := c.Heights; h != nil {
			f[name+".ride_height_mm"] = (h[2*axle] + h[2*axle+1]) / 2
			f[name+".left_stands_over_mm"] = h[2*axle] - h[2*axle+1]
		}
	}
	if f.has("RL.toe_deg") && f.has("RR.toe_deg") {
		f["thrust_deg"] = (f["RL.toe_deg"] - f["RR.toe_deg"]) / 2
	}
}

// weightFigures adds the shares of the corner weights in per cent.
//
// ref: DESIGN_ANGLES
func weightFigures(f figures, w *[4]float64) {
	if w == nil {
		return
	}
	total := w[FL] + w[FR] + w[RL] + w[RR]
	f["total_kg"] = total
	f["front_percent"] = 100 * (w[FL] + w[FR]) / total
	f["left_percent"] = 100 * (w[FL] + w[RL]) / total
	f["cross_percent"] = 100 * (w[FR] + w[RL]) / total
	f["bite_kg"] = w[RL] - w[RR]
	f["surplus_kg"] = w[FR] + w[RL] - total/2
}

// reading is one measured number with its standard deviation.
type reading struct {
	at *float64
	sd float64
}

// readings are all measured numbers of the case.
func (c *Case) readings() []reading {
	var list []reading
	add := func(at *float64, sd float64) {
		if at != nil && sd > 0 {
			list = append(list, reading{at, sd})
		}
	}
	d := c.Doubt
	for _, n := range Corners {
		if w := c.Wheels[n]; w != nil {
			w.readings(d, add)
		}
	}
	for _, t := range c.Turns {
		if t != nil {
			add(&t.InnerDeg, d.TurnDeg)
			add(&t.OuterDeg, d.TurnDeg)
		}
	}
	if c.Lines.Gap != nil {
		for i := range c.Lines.Gap {
			add(&c.Lines.Gap[i].Mm, d.HubXMm)
		}
	}
	for axle := range axleNames {
		add(&c.Floor.LeftHigherDeg[axle], d.FloorDeg)
	}
	add(&c.Floor.NoseDownDeg, d.FloorDeg)
	for _, n := range Corners {
		if c.Weights != nil {
			add(&c.Weights[n], d.WeightKg)
		}
		if c.Heights != nil {
			add(&c.Heights[n], d.HeightMm)
		}
	}
	return list
}

func (w *Wheel) readings(d Doubt, add func(*float64, float64)) {
	if e := w.Edges; e != nil {
		add(&e.RimMm, d.RimMm)
		add(&e.FrontMm, d.LineMm)
		add(&e.RearMm, d.LineMm)
	}
	if t := w.TurnedEdges; t != nil {
		add(&t[0], d.LineMm)
		add(&t[1], d.LineMm)
	}
	add(w.CamberDeg, d.CamberDeg)
	add(w.TurnedCamberDeg, d.CamberDeg)
	add(w.ReversedCamberDeg, d.CamberDeg)
	add(w.HubXMm, d.HubXMm)
	if s := w.Sweep; s != nil {
		add(&s.OutDeg, d.TurnDeg)
		add(&s.InDeg, d.TurnDeg)
		add(&s.CamberOutDeg, d.CamberDeg)
		add(&s.CamberInDeg, d.CamberDeg)
		if p := s.Pitch; p != nil {
			add(&p.OutDeg, d.PitchDeg)
			add(&p.InDeg, d.PitchDeg)
		}
	}
}
