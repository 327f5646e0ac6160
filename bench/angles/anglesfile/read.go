package anglesfile

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/casefile"
	"wreckwright/uncertain"
)

// File is a case file of wheel angles; it knows where each part of it stands.
type File struct {
	Case angles.Case

	name   string
	places map[string]casefile.Value
}

// measuredBounds hold whatever can be read off an instrument.
var measuredBounds = uncertain.Bounds{Min: -1e12, Max: 1e12}

// Parse reads the text of a case file; name is used in messages. The error is a
// [*casefile.Error].
func Parse(name string, text []byte) (*File, error) {
	file, err := casefile.Parse(name, text)
	if err != nil {
		return nil, err
	}
	return From(name, file)
}

// From reads a case file that was opened already. The error is a
// [*casefile.Error].
func From(name string, file *casefile.File) (*File, error) {
	f := &File{name: name, places: map[string]casefile.Value{}}
	root, c := file.Root(), &f.Case
	lined := f.readWheels(c, f.keep("wheels", root.Need("wheels")).Mapping())
	if v, ok := root.May("lines"); ok {
		f.readLines(c, v.Mapping())
	} else if lined {
		root.Need("lines")
	}
	f.readFloor(c, root)
	f.readParts(c, root)
	c.Weights = f.readCorners(root, "corner_weights_kg", uncertain.Bounds{Min: 1, Max: 10000})
	c.Heights = f.readCorners(root, "ride_height_mm", uncertain.Bounds{Min: -1000, Max: 3000})
	c.PressuresBar = f.readCorners(root, "tyre_pressure_bar", uncertain.Bounds{Min: 0.2, Max: 10})
	f.readTurns(c, root)
	f.readSprings(c, root)
	f.readDoubt(c, root)
	if v, ok := root.May("want"); ok {
		f.readWant(c, v.Mapping())
	}
	if err := file.Err(); err != nil {
		return nil, err
	}
	return f, nil
}

func (f *File) keep(where string, v casefile.Value) casefile.Value {
	f.places[where] = v
	return v
}

func (f *File) number(in, key string, m *casefile.Mapping) float64 {
	return f.keep(in+key, m.Need(key)).Number(measuredBounds)
}

func (f *File) optional(in, key string, m *casefile.Mapping) *float64 {
	v, ok := m.May(key)
	if !ok {
		return nil
	}
	return new(f.keep(in+key, v).Number(measuredBounds))
}

// readWheels reports whether any wheel was measured from a line.
func (f *File) readWheels(c *angles.Case, m *casefile.Mapping) (lined bool) {
	for _, n := range angles.Corners {
		if v, ok := m.May(n.String()); ok {
			in := "wheels." + n.String()
			c.Wheels[n] = f.readWheel(in+".", f.keep(in, v).Mapping())
			lined = lined || c.Wheels[n].Edges != nil
		}
	}
	return lined
}

func (f *File) readWheel(in string, m *casefile.Mapping) *angles.Wheel {
	w := &angles.Wheel{CamberDeg: f.optional(in, "camber_deg", m), HubXMm: f.optional(in, "hub_x_mm", m), ReversedCamberDeg: f.optional(in, "reversed_camber_deg", m)}
	if w.ReversedCamberDeg != nil && w.CamberDeg == nil {
		m.Fail("has reversed_camber_deg without camber_deg", "camber_deg besides")
	}
	if hasAny(m, "rim_mm", "front_mm", "rear_mm") {
		w.Edges = &angles.Edges{RimMm: f.number(in, "rim_mm", m), FrontMm: f.number(in, "front_mm", m), RearMm: f.number(in, "rear_mm", m)}
	}
	if v, ok := m.May("turned"); ok {
		f.readTurned(in+"turned.", f.keep(in+"turned", v), w)
	}
	if v, ok := m.May("sweep"); ok {
		w.Sweep = f.readSweep(in+"sweep.", f.keep(in+"sweep", v).Mapping())
	}
	return w
}

func hasAny(m *casefile.Mapping, keys ...string) bool {
	for _, key := range keys {
		if _, ok := m.May(key); ok {
			return true
		}
	}
	return false
}

// readTurned reads what was read again with the wheel rolled on by half a turn.
func (f *File) readTurned(in string, v casefile.Value, w *angles.Wheel) {
	m := v.Mapping()
	if hasAny(m, "front_mm", "rear_mm") {
		w.TurnedEdges = &[2]float64{f.number(in, "front_mm", m), f.number(in, "rear_mm", m)}
		if w.Edges == nil {
			v.Fail("has line readings where the wheel itself has none", "rim_mm, front_mm and rear_mm of the wheel besides")
		}
	}
	w.TurnedCamberDeg = f.optional(in, "camber_deg", m)
	if w.TurnedCamberDeg != nil && w.CamberDeg == nil {
		v.Fail("has a camber where the wheel itself has none", "camber_deg of the wheel besides")
	}
}

func (f *File) readSweep(in string, m *casefile.Mapping) *angles.Sweep {
	s := &angles.Sweep{
		OutDeg: f.number(in, "out_deg", m), CamberOutDeg: f.number(in, "camber_out_deg", m),
		InDeg: f.number(in, "in_deg", m), CamberInDeg: f.number(in, "camber_in_deg", m),
	}
	if hasAny(m, "pitch_out_deg", "pitch_in_deg") {
		s.Pitch = &angles.Pitch{OutDeg: f.number(in, "pitch_out_deg", m), InDeg: f.number(in, "pitch_in_deg", m)}
	}
	return s
}

func (f *File) readLines(c *angles.Case, m *casefile.Mapping) {
	left, right := m.Need("left"), m.Need("right")
	l, r := left.Choice("parallel", "free"), right.Choice("parallel", "free")
	gap, ok := m.May("gap")
	switch {
	case l == "parallel" && r == "parallel" && ok:
		gap.Fail("is given for lines that are parallel to the car", "left: free and right: free, or no gap")
	case l == "parallel" && r == "parallel":
	case !ok && l != "" && r != "":
		m.Fail("gap is missing", "two distances between the lines, [{at_mm: 1300, mm: 1885}, {at_mm: -1310, mm: 1875}], where a line is not parallel to the car")
	case ok:
		f.readGap(c, f.keep("lines.gap", gap))
	}
}

func (f *File) readGap(c *angles.Case, v casefile.Value) {
	list := v.List()
	if len(list) != 2 {
		v.Fail(fmt.Sprintf("has %d", len(list)), "two: one near each axle")
		return
	}
	c.Lines.Gap = &[2]angles.Gap{}
	for i, one := range list {
		in := fmt.Sprintf("lines.gap[%d].", i+1)
		m := one.Mapping()
		c.Lines.Gap[i] = angles.Gap{AtMm: f.number(in, "at_mm", m), Mm: f.number(in, "mm", m)}
	}
}

func (f *File) readFloor(c *angles.Case, root *casefile.Mapping) {
	v, ok := root.May("floor")
	if !ok {
		return
	}
	m := v.Mapping()
	for axle, key := range []string{"front", "rear"} {
		one, ok := m.May(key)
		if !ok {
			continue
		}
		pads := f.keep("floor."+key, one).Mapping()
		if x := f.optional("floor."+key+".", "left_higher_deg", pads); x != nil {
			c.Floor.LeftHigherDeg[axle] = *x
			continue
		}
		higher := f.number("floor."+key+".", "left_higher_mm", pads)
		track := pads.Need("track_mm").Number(uncertain.Bounds{Min: 500, Max: 4000})
		c.Floor.LeftHigherDeg[axle] = math.Atan2(higher, max(track, 1)) * 180 / math.Pi
	}
	if x := f.optional("floor.", "nose_down_deg", m); x != nil {
		c.Floor.NoseDownDeg = *x
	}
}

func (f *File) readParts(c *angles.Case, root *casefile.Mapping) {
	if v, ok := root.May("tie_rod"); ok {
		m := v.Mapping()
		t := &angles.TieRod{PitchMm: f.number("tie_rod.", "pitch_mm", m), ArmMm: f.number("tie_rod.", "arm_mm", m), AngleDeg: 90}
		if x := f.optional("tie_rod.", "angle_deg", m); x != nil {
			t.AngleDeg = *x
		}
		if v, ok := m.May("sleeve"); ok {
			t.Sleeve = v.Bool()
		}
		if v, ok := m.May("arm"); ok {
			t.Arm = v.Choice("behind", "ahead")
		}
		t.AboveMm = f.optional("tie_rod.", "above_pivot_mm", m)
		c.TieRod = t
	}
	if v, ok := root.May("strut_top"); ok {
		c.StrutTop = &angles.StrutTop{AboveMm: f.number("strut_top.", "above_lower_joint_mm", v.Mapping())}
	}
	if v, ok := root.May("shim"); ok {
		c.Shim = &angles.Shim{SpacingMm: f.number("shim.", "spacing_mm", v.Mapping())}
	}
}

// readDoubt reads the doubts of single readings. Rim and hub are measured with
// what measures from the line, tilts with what measures camber.
func (f *File) readDoubt(c *angles.Case, root *casefile.Mapping) {
	c.Doubt = angles.UsualDoubt()
	d := &c.Doubt
	m := &casefile.Mapping{}
	if v, ok := root.May("reading_sd"); ok {
		m = v.Mapping()
	}
	read := func(key string, to ...*float64) bool {
		one, ok := m.May(key)
		if !ok {
			return false
		}
		x := one.Number(uncertain.Bounds{Min: 0, Max: 1000})
		for _, p := range to {
			*p = x
		}
		return true
	}
	assume := func(measured, given bool, format string, x float64) {
		if measured && !given {
			d.Assumed = append(d.Assumed, fmt.Sprintf(format, x))
		}
	}
	lined, tilted := measuredWith(c)
	assume(lined, read("line_mm", &d.LineMm, &d.RimMm, &d.HubXMm), "%g mm for a line reading", d.LineMm)
	assume(tilted, read("camber_deg", &d.CamberDeg, &d.PitchDeg), "%g degrees for the inclinometer", d.CamberDeg)
	assume(c.Weights != nil, read("weight_kg", &d.WeightKg), "%g kg for a scale", d.WeightKg)
	assume(c.Heights != nil, read("height_mm", &d.HeightMm), "%g mm for a ride height", d.HeightMm)
	read("rim_mm", &d.RimMm)
	read("hub_x_mm", &d.HubXMm)
	read("pitch_deg", &d.PitchDeg)
	read("turn_deg", &d.TurnDeg)
	read("floor_deg", &d.FloorDeg)
}

// measuredWith reports whether lines and an inclinometer were used.
func measuredWith(c *angles.Case) (lined, tilted bool) {
	for _, w := range c.Wheels {
		if w != nil {
			lined = lined || w.Edges != nil
			tilted = tilted || w.CamberDeg != nil || w.Sweep != nil
		}
	}
	return lined, tilted
}

func (f *File) readCorners(root *casefile.Mapping, key string, bounds uncertain.Bounds) *[4]float64 {
	v, ok := root.May(key)
	if !ok {
		return nil
	}
	m := v.Mapping()
	list := &[4]float64{}
	for _, n := range angles.Corners {
		list[n] = f.keep(key+"."+n.String(), m.Need(n.String())).Number(bounds)
	}
	return list
}

func (f *File) readWant(c *angles.Case, m *casefile.Mapping) {
	source := func(m *casefile.Mapping) {
		if v, ok := m.May("source"); ok {
			if text := v.Text(); c.Source == "" {
				c.Source = text
			} else if text != c.Source {
				c.Source += "; " + text
			}
		}
	}
	source(m)
	for axle, key := range []string{"front", "rear"} {
		v, ok := m.May(key)
		if !ok {
			continue
		}
		group := v.Mapping()
		source(group)
		c.Want[axle] = angles.Want{}
		for _, what := range angles.Quantities() {
			if l := f.readLimits("want."+key+".", what, group); l != nil {
				c.Want[axle][what] = *l
			}
		}
	}
	c.Thrust = f.readLimits("want.", "thrust_deg", m)
	c.Cross = f.readLimits("want.", "cross_percent", m)
	c.TurnsWant = f.readLimits("want.", "toe_out_on_turns_deg", m)
}

// readLimits reads [low, high].
func (f *File) readLimits(in, key string, m *casefile.Mapping) *angles.Limits {
	v, ok := m.May(key)
	if !ok {
		return nil
	}
	list := f.keep(in+key, v).List()
	if len(list) != 2 {
		v.Fail(fmt.Sprintf("has %d numbers", len(list)), "two, the lower limit and the upper one: [0.05, 0.15]")
		return nil
	}
	l := angles.Limits{Low: list[0].Number(measuredBounds), High: list[1].Number(measuredBounds)}
	if l.Low > l.High {
		v.Fail(fmt.Sprintf("%g is above %g", l.Low, l.High), "the lower limit first")
	}
	return &l
}

// Examine works the case out. The error is a [*casefile.Error] at the place in the
// file where the instrument found the mistake.
func (f *File) Examine() (angles.Result, error) {
	r, err := angles.Examine(f.Case)
	if err != nil {
		return angles.Result{}, f.placed(err)
	}
	return r, nil
}

// placed puts a mistake that the instrument found where it stands in the file.
func (f *File) placed(err error) error {
	var wrong *angles.InputError
	if !errors.As(err, &wrong) {
		return fmt.Errorf("%s: %w", f.name, err)
	}
	mistake := &casefile.Error{File: f.name, Line: 1, Key: wrong.Key, Problem: wrong.Problem, Expected: wrong.Expected}
	for key := wrong.Key; ; {
		if v, ok := f.places[key]; ok && v.Line() > 0 {
			mistake.Line = v.Line()
			return mistake
		}
		cut := strings.LastIndexAny(key, ".[")
		if cut < 0 {
			return mistake
		}
		key = key[:cut]
	}
}
