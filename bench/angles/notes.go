package angles

import (
	"fmt"
	"math"
	"strings"

	"wreckwright/working"
)

// notes are what must be known beside the figures.
func notes(c *Case, f, sd figures, checks []CheckResult) []string {
	var list []string
	say := func(format string, values ...any) { list = append(list, fmt.Sprintf(format, values...)) }
	if x, ok := f["line_error_deg"]; ok && math.Abs(x) > max(2*sd["line_error_deg"], 0.03) {
		say("the lines point %.2f degrees to the %s of the line through the middles of the axles: either they were not set parallel to the car, which shifts single toes and the thrust angle but not total toe, or an axle stands to one side",
			math.Abs(x), leftOrRight(x))
	}
	sweep, tilted := c.Turns[0] != nil || c.Turns[1] != nil, false
	for _, n := range Corners {
		w := c.Wheels[n]
		if w == nil {
			continue
		}
		list = append(list, w.notes(n)...)
		sweep = sweep || w.Sweep != nil
		tilted = tilted || w.Sweep != nil || w.CamberDeg != nil
	}
	if sweep && c.Doubt.TurnDeg == 0 {
		say("the turntable angles count as exact: give reading_sd.turn_deg to have their doubt in what follows from them")
	}
	if a := c.Doubt.Assumed; len(a) > 0 {
		say("doubts that were not given are taken as usual: %s; give your own under reading_sd", strings.Join(a, ", "))
	}
	list = append(list, c.pressureNotes()...)
	if c.Springs != nil {
		say("what a turn of a spring platform does is an estimate: a stiff body, nominal rates, level pads; turn half of it, settle the car, weigh again, then read the angles anew")
	}
	if c.Floor == (Floor{}) && tilted {
		say("the pads count as level: a floor that is 6 mm lower on one side over 1530 mm shifts camber by 0.22 degrees")
	}
	if len(checks) > 0 && c.Source == "" {
		say("the limits have no source: name where they stand under want, source")
	}
	return list
}

func leftOrRight(x float64) string {
	if x > 0 {
		return "left"
	}
	return "right"
}

func (w *Wheel) notes(n Corner) []string {
	var list []string
	if t, e := w.TurnedEdges, w.Edges; t != nil && e != nil {
		first, second := e.FrontMm-e.RearMm, t[0]-t[1]
		list = append(list, fmt.Sprintf("%s: run-out of the rim %.2f mm edge to edge, taken out by the mean of both positions", n, math.Abs(first-second)/2))
	}
	if s := w.Sweep; s != nil {
		if w.Edges == nil {
			list = append(list, n.String()+": toe was not measured and counts as 0 in the sweep")
		}
		switch {
		case s.Pitch == nil && w.CamberDeg == nil:
			list = append(list, n.String()+": caster without the steering axis counted: exact only for turns alike; read the camber straight, or the tilt with the brake held")
		case s.Pitch == nil:
			list = append(list, n.String()+": the steering axis out of cambers alone multiplies their doubt by about twenty; hold the brake and read the tilt of the hub")
		}
	}
	return list
}

// workings show how each figure follows.
func workings(c *Case, f, sd figures) working.Working {
	w := working.Working{}
	add := func(name, what, formula, source string) {
		if f.has(name) {
			w.Add(what, formula, f[name], unitOf(name), source)
		}
	}
	for _, n := range Corners {
		in := n.String()
		if c.Wheels[n] == nil {
			continue
		}
		add(in+".toe_deg", in+" toe", c.toeFormula(), "ISO_8855")
		add(in+".camber_deg", in+" camber", "inclinometer, means of both positions, slope of the pads taken out", "SAE_J670")
		if c.Wheels[n].Sweep != nil {
			add(in+".caster_deg", in+" caster", axisFormula(c.Wheels[n]), "DESIGN_ANGLES")
			add(in+".steering_axis_deg", in+" steering-axis inclination", axisFormula(c.Wheels[n]), "DESIGN_ANGLES")
		}
		add(in+".included_deg", in+" included angle", "steering-axis inclination + camber", "COMMON_PRACTICE")
		if f.has(in + ".toe_deg") {
			w.Add(in+" toe, standard deviation", "root of the sum of (derivative x sd of reading) squared", sd[in+".toe_deg"], "deg", "JCGM_100")
		}
	}
	for _, axle := range axleNames {
		add(axle+".total_toe_deg", axle+" total toe", "toe left + toe right", "ISO_8855")
		add(axle+".set_back_mm", axle+" set-back", "left hub less right hub along the centre line", "COMMON_PRACTICE")
	}
	add("thrust_deg", "thrust angle, to the right", "(toe rear left - toe rear right) / 2", "COMMON_PRACTICE")
	for _, side := range turnNames {
		add("turn."+side+".toe_out_deg", "toe-out on turns, held "+side, "turn of the inner wheel less that of the outer one", "COMMON_PRACTICE")
		add("turn."+side+".share_percent", "share of a turn about one point, held "+side, "(inner - outer) / (inner - acot(cot inner + track / wheelbase))", "DESIGN_ANGLES")
	}
	add("cross_percent", "cross-weight", "(front right + rear left) / total", "DESIGN_ANGLES")
	return w
}

func (c *Case) toeFormula() string {
	if c.Lines.Gap != nil {
		return "asin((front - rear) / rim), turned from its line to the centre line through the middles of the axles"
	}
	return "asin((front - rear) / rim)"
}

func axisFormula(w *Wheel) string {
	switch {
	case w.Sweep.Pitch != nil:
		return "axis = (spin out - spin in) x (hub edge out - hub edge in)"
	case w.CamberDeg != nil:
		return "axis = (spin out - spin straight) x (spin in - spin straight)"
	}
	return "axis upright seen from the front, square to (spin out - spin in)"
}
