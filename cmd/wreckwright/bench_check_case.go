package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"wreckwright/bench/check"
	"wreckwright/casefile"
	"wreckwright/knowledge"
	"wreckwright/uncertain"
)

// measuredBounds hold for any measured value; doubtBounds for how wrong it may be.
var (
	measuredBounds = uncertain.Bounds{Min: -1e12, Max: 1e12}
	doubtBounds    = uncertain.Bounds{Min: 0, Max: 1e12}
)

// checkCase is a case file read.
type checkCase struct {
	check       check.Case
	wear        *check.WearCase // in place of check, where readings stand at distances
	quantity    *knowledge.Check
	limit       *knowledge.CheckLimit // out of knowledge; nil where the case gives its own
	limitSource string

	file *casefile.File
	name string
	at   map[string]casefile.Value // by key, to name the line of a mistake
}

// readCheckCase reads the case file of a check. The error is a [*casefile.Error].
func readCheckCase(name string, file *casefile.File, today time.Time) (*checkCase, error) {
	c := &checkCase{file: file, name: name, at: map[string]casefile.Value{}}
	root := file.Root()
	c.readQuantity(root)
	c.readName(root)
	instrument := c.readInstrument(root, "")
	c.check.Instrument = instrument
	c.check.Risk = check.DefaultRisk
	if v, ok := c.may(root, "risk"); ok {
		c.check.Risk = v.Number(uncertain.ChanceBounds)
		if c.check.Risk == 0 {
			v.Fail("0 is no risk to decide by", "a number above 0 and below 0.5, such as 0.05")
		}
	}
	if v, ok := root.May("limit_source"); ok {
		c.limitSource = v.Text()
	}
	if points, ok := c.may(root, "points"); ok || c.quantity != nil && c.quantity.Form == "wear" {
		if !ok {
			points = root.Need("points")
		}
		c.readWear(root, points)
		return c, file.Err()
	}
	c.readMeasured(root, today)
	c.readLimits(root)
	return c, file.Err()
}

// may is a key that may be missing, kept to name its line.
func (c *checkCase) may(m *casefile.Mapping, key string) (casefile.Value, bool) {
	v, ok := m.May(key)
	if ok {
		c.at[key] = v
	}
	return v, ok
}

func (c *checkCase) readQuantity(root *casefile.Mapping) {
	v, ok := root.May("quantity")
	if !ok {
		return
	}
	var keys []string
	for _, q := range knowledge.Checks() {
		keys = append(keys, q.Key)
	}
	if q, ok := knowledge.CheckFor(v.Choice(keys...)); ok {
		c.quantity = &q
		c.check.Name, c.check.Unit, c.check.Form = q.Name, q.Unit, q.Form
	}
}

func (c *checkCase) readName(root *casefile.Mapping) {
	if v, ok := root.May("name"); ok {
		c.check.Name = v.Text()
	} else if c.quantity == nil {
		root.Need("name")
	}
	if v, ok := root.May("unit"); ok {
		unit := v.Text()
		if c.quantity != nil && unit != c.quantity.Unit {
			v.Fail(fmt.Sprintf("is %q", unit), c.quantity.Unit+", in which "+c.quantity.Key+" is measured, or no key unit")
		}
		c.check.Unit = unit
	}
	if v, ok := c.may(root, "form"); ok {
		form := v.Choice(append(check.FormKeys(), "wear")...)
		if c.quantity != nil && form != c.quantity.Form {
			v.Fail(fmt.Sprintf("is %q", form), c.quantity.Form+", by which "+c.quantity.Key+" is worked out, or no key form")
		}
		c.check.Form = form
	}
}

// readInstrument reads the doubt of an instrument; path is the part with its dot.
func (c *checkCase) readInstrument(m *casefile.Mapping, path string) check.Instrument {
	var i check.Instrument
	for _, k := range []struct {
		key string
		to  **float64
	}{{"instrument_sd", &i.SD}, {"instrument_limit", &i.Limit}} {
		if v, ok := m.May(k.key); ok {
			c.at[path+k.key] = v
			*k.to = new(v.Number(doubtBounds))
		}
	}
	if v, ok := m.May("resolution"); ok {
		c.at[path+"resolution"] = v
		i.Resolution = v.Number(doubtBounds)
	}
	return i
}

// readMeasured reads what was measured.
func (c *checkCase) readMeasured(root *casefile.Mapping, today time.Time) {
	k := &c.check
	if k.Form == "tyre_age" {
		c.at["week_code"] = root.Need("week_code")
		k.WeekCode = c.at["week_code"].Text()
		k.On = today
		if v, ok := c.may(root, "on"); ok {
			k.On = v.Date()
		}
		return
	}
	if v, ok := c.may(root, "effort_unit"); ok {
		k.EffortUnit = v.Choice("N", "kN", "kgf")
	}
	if v, ok := c.may(root, "parts"); ok {
		c.readParts(v)
	}
	v, ok := c.may(root, "readings")
	if !ok && len(k.Parts) == 0 {
		if rows := []string{"", "mean", "spread", "spread_percent", "deceleration"}; slices.Contains(rows, k.Form) {
			root.Need("readings")
		} else {
			root.Need("parts")
		}
	}
	if ok {
		k.Readings = c.readReadings(v, "readings")
	}
	if v, ok := root.May("usual"); ok {
		m := v.Mapping()
		k.Usual = &check.Usual{Mean: m.Need("mean").Number(measuredBounds), SD: c.keep("usual.sd", m.Need("sd")).Number(doubtBounds)}
	}
}

// keep remembers where a value stands.
func (c *checkCase) keep(key string, v casefile.Value) casefile.Value {
	c.at[key] = v
	return v
}

// readParts reads parts, each a number, a row of readings, or a group with
// readings and an instrument of its own.
func (c *checkCase) readParts(v casefile.Value) {
	m := v.Mapping()
	for _, name := range m.Keys() {
		path := "parts." + name
		value := c.keep(path, m.Need(name))
		p := check.Part{Name: name}
		switch {
		case value.IsMapping():
			group := value.Mapping()
			p.Readings = c.readReadings(c.keep(path+".readings", group.Need("readings")), path+".readings")
			p.Instrument = c.readInstrument(group, path+".")
		case value.IsList():
			p.Readings = c.readReadings(value, path+".readings")
		default:
			p.Readings = []float64{value.Number(measuredBounds)}
		}
		c.check.Parts = append(c.check.Parts, p)
	}
}

func (c *checkCase) readReadings(v casefile.Value, path string) []float64 {
	c.at[path] = v
	if !v.IsList() && !v.IsMapping() {
		v.List() // says that it is none
		return nil
	}
	var list []float64
	for i, item := range v.List() {
		c.at[fmt.Sprintf("%s[%d]", path, i+1)] = item
		list = append(list, item.Number(measuredBounds))
	}
	if len(list) == 0 {
		v.Fail("there are none", "one reading or more")
	}
	return list
}

// readLimits reads the limits of the case, else takes those of the quantity for
// the place, kind, first use and temperature that the case names.
func (c *checkCase) readLimits(root *casefile.Mapping) {
	for _, k := range []struct {
		key string
		to  **float64
	}{{"lower", &c.check.Lower}, {"upper", &c.check.Upper}} {
		if v, ok := c.may(root, k.key); ok {
			*k.to = new(v.Number(measuredBounds))
		}
	}
	text := map[string]string{}
	if c.quantity == nil {
		return
	}
	for _, key := range []string{"jurisdiction", "variant"} {
		if v, ok := c.may(root, key); ok {
			text[key] = v.Text()
		}
	}
	if v, ok := c.may(root, "first_used"); ok {
		text["first_used"] = v.Date().Format(time.DateOnly)
	}
	temperature, cold := c.may(root, "temperature_c")
	degrees := 0.0
	if cold {
		degrees = temperature.Number(uncertain.Bounds{Min: -60, Max: 150})
	}
	rim := 0.0
	if v, ok := c.may(root, "rim_mm"); ok {
		rim = v.Number(uncertain.Bounds{Min: 200, Max: 600})
	}
	if c.check.Lower != nil || c.check.Upper != nil {
		return
	}
	c.takeLimit(root, text, cold, degrees, rim)
}

// takeLimit takes the one limit that is left; none or several are a mistake.
func (c *checkCase) takeLimit(root *casefile.Mapping, text map[string]string, cold bool, degrees, rim float64) {
	left := c.quantity.LimitsFor(text["jurisdiction"], text["variant"], text["first_used"])
	if len(left) != 1 {
		problem, expected := c.limitChoices(left)
		c.fail(root, "lower", problem, expected)
		return
	}
	l := left[0]
	if len(l.ByTemperature) > 0 {
		if !cold {
			c.fail(root, "temperature_c", "is missing", "the temperature in degrees C: the limit goes by it")
			return
		}
		l = l.AtTemperature(degrees)
	}
	if l.OfRimMm > 0 {
		if rim == 0 {
			c.fail(root, "rim_mm", "is missing", "the diameter of the steering wheel's rim in mm: the limit goes by it")
			return
		}
		l = l.AtRim(rim)
	}
	c.limit, c.check.Lower, c.check.Upper = &l, l.Lower, l.Upper
}

// limitChoices words that no limit, or more than one, is left.
func (c *checkCase) limitChoices(left []knowledge.CheckLimit) (problem, expected string) {
	all := left
	problem = "several limits of " + c.quantity.Key + " fit"
	if len(left) == 0 {
		all = c.quantity.Limits
		problem = "no limit of " + c.quantity.Key + " fits"
	}
	var which []string
	for _, l := range all {
		if w := l.Which(); w != "" && !slices.Contains(which, w) {
			which = append(which, w)
		}
	}
	expected = "lower or upper with limit_source"
	if c.quantity.Maker != "" {
		expected += " (the maker's: " + strings.TrimSuffix(c.quantity.Maker, ".") + ")"
	}
	if len(which) > 0 {
		expected += ", or variant, jurisdiction or first_used that leave one of: " + strings.Join(which, "; ")
	}
	return problem, expected
}

// fail notes a mistake about a key that may not be there.
func (c *checkCase) fail(root *casefile.Mapping, key, problem, expected string) {
	if v, ok := c.at[key]; ok {
		v.Fail(problem, expected)
		return
	}
	root.Fail(key+": "+problem, expected)
}

// readWear reads the case of a part that wears.
func (c *checkCase) readWear(root *casefile.Mapping, points casefile.Value) {
	w := &check.WearCase{Name: c.check.Name, Unit: c.check.Unit, Instrument: c.check.Instrument, Risk: c.check.Risk, DistanceUnit: "km"}
	c.wear = w
	for i, v := range points.List() {
		m := v.Mapping()
		at, value := m.Need("at"), m.Need("value")
		c.at[fmt.Sprintf("points[%d].at", i+1)], c.at[fmt.Sprintf("points[%d].value", i+1)] = at, value
		w.Points = append(w.Points, check.WearPoint{At: at.Number(doubtBounds), Value: value.Number(measuredBounds)})
	}
	w.Limit = c.keep("limit", root.Need("limit")).Number(measuredBounds)
	if v, ok := c.may(root, "distance_unit"); ok {
		w.DistanceUnit = v.Choice("km", "mi")
	}
	if v, ok := c.may(root, "want"); ok {
		w.Want = new(v.Number(doubtBounds))
	}
}

// placed puts a mistake that the instrument found where it stands in the file.
func (c *checkCase) placed(err error) error {
	var wrong *check.InputError
	if !errors.As(err, &wrong) {
		return fmt.Errorf("bench check: %w", err)
	}
	mistake := &casefile.Error{File: c.name, Line: 1, Key: wrong.Key, Problem: wrong.Problem, Expected: wrong.Expected}
	for key := wrong.Key; ; {
		if v, ok := c.at[key]; ok && v.Line() > 0 {
			mistake.Line = v.Line()
			break
		}
		cut := strings.LastIndexAny(key, ".[")
		if cut < 0 {
			break
		}
		key = key[:cut]
	}
	if q := c.quantity; q != nil && wrong.Key == "instrument_limit" && q.Instrument != "" {
		mistake.Expected += fmt.Sprintf("; to begin with: %g (%s)", q.InstrumentLimit, q.Instrument)
	}
	return mistake
}
