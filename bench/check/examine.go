package check

import (
	"fmt"
	"math"
	"slices"
)

// Examine works a case out. The error is an [*InputError].
func Examine(c Case) (Result, error) {
	if c.Risk == 0 {
		c.Risk = DefaultRisk
	}
	if err := c.validate(); err != nil {
		return Result{}, err
	}
	form, err := formFor(c.Form)
	if err != nil {
		return Result{}, err
	}
	parts, err := form.partsOf(c)
	if err != nil {
		return Result{}, err
	}
	m, err := measure(form, parts, c)
	if err != nil {
		return Result{}, err
	}
	r := Result{
		Name: c.Name, Unit: c.Unit, Form: form.Key, Engine: Engine,
		Lower: c.Lower, Upper: c.Upper, Risk: c.Risk,
		Mean: m.value, StandardUncertainty: m.total.u, Parts: m.parts, N: m.n, ReadingsSD: m.readingsSD,
		Next: []string{}, Cautions: m.cautions,
	}
	if !math.IsInf(m.total.dof, 1) {
		r.DegreesOfFreedom = &m.total.dof
	}
	r.Chance = 1 - m.total.outside(m.value, c.Lower, c.Upper)
	r.AcceptLow, r.AcceptHigh, _ = m.total.acceptance(c.Lower, c.Upper, c.Risk)
	if c.Usual != nil {
		r.Usual = m.total.global(r, *c.Usual)
	}
	r.judge(m)
	r.explain(form, m, c)
	return r, nil
}

// measured is a quantity with all that its doubt is made of.
type measured struct {
	value      float64
	total      component
	scatter    component // type A of all parts
	systematic float64   // type B of all parts
	parts      []PartResult
	readingsSD *float64
	n          int
	cautions   []string
}

// measure works out the value and its doubt.
func measure(form Form, parts []Part, c Case) (measured, error) {
	m := measured{cautions: []string{}}
	values := make([]float64, len(parts))
	for i, p := range parts {
		centre, sd := mean(p.Readings)
		values[i] = centre
		m.n += len(p.Readings)
		m.parts = append(m.parts, PartResult{Name: p.Name, Mean: centre, SD: sd, N: len(p.Readings)})
	}
	inForm := c
	inForm.Parts = parts
	m.value = form.of(values, inForm)
	if err := form.checkValues(parts, values, m.value); err != nil {
		return m, err
	}
	if err := m.doubt(form, parts, form.weights(values, inForm), c.Instrument); err != nil {
		return m, err
	}
	if len(parts) == 1 && m.n > 1 {
		m.readingsSD = &m.parts[0].SD
	}
	m.remark(form, parts, values, c.Instrument)
	return m, nil
}

// doubt adds up what the parts leave in doubt, each weighted with how much the
// value follows it.
func (m *measured) doubt(form Form, parts []Part, weights []float64, everybodys Instrument) error {
	var scatter, own []component
	var shared []float64
	for i, p := range parts {
		m.parts[i].Weight = weights[i]
		instrument := p.Instrument
		if !instrument.given() {
			instrument = everybodys
		}
		if err := needInstrument(form, p, instrument); err != nil {
			return err
		}
		if n := len(p.Readings); n > 1 {
			scatter = append(scatter, component{weights[i] * m.parts[i].SD / math.Sqrt(float64(n)), float64(n - 1)})
		}
		own = append(own, component{weights[i] * step(instrument.Resolution), math.Inf(1)})
		if p.Instrument.given() {
			own = append(own, component{weights[i] * instrument.u(), math.Inf(1)})
		} else {
			shared = append(shared, weights[i]*instrument.u())
		}
	}
	own = append(own, component{common(shared), math.Inf(1)})
	m.scatter, m.systematic = combine(scatter), combine(own).u
	m.total = combine(append(scatter, own...))
	if math.IsNaN(m.total.u) || math.IsInf(m.total.u, 0) || math.IsNaN(m.total.dof) {
		return &InputError{"parts", "these figures lie too far apart to be worked out", "figures of one car"}
	}
	return nil
}

// needInstrument refuses readings of which nobody says how good they are, and a
// common instrument for a part in another unit.
func needInstrument(form Form, p Part, i Instrument) error {
	const expected = "the bound of the instrument's error (instrument_limit) or its standard uncertainty (instrument_sd)"
	if !i.given() {
		return &InputError{"instrument_limit", "is missing, and so is instrument_sd", expected + "; 0 where the scatter of the readings is all"}
	}
	if slices.Contains(form.Own, p.Name) && !p.Instrument.given() && (i.u() > 0 || i.Resolution > 0) {
		return &InputError{"parts." + p.Name + ".instrument_limit", "is missing, and the common one is in another unit", expected + " of this part"}
	}
	return nil
}

// remark notes what makes the doubt itself doubtful.
func (m *measured) remark(form Form, parts []Part, values []float64, everybodys Instrument) {
	if m.total.u == 0 {
		m.cautions = append(m.cautions, "no doubt at all was given, so the value is taken as exact: no instrument is")
		return
	}
	if form.Key == "spread" && m.value > 0 && m.value < 2*m.total.u {
		m.cautions = append(m.cautions, "a spread as small as its own doubt comes out too large: part of it is the instrument")
	}
	if form.Key == "imbalance" || form.Key == "spread_percent" || form.Key == "spread" {
		return
	}
	for i, p := range m.parts {
		instrument := parts[i].Instrument
		if !instrument.given() {
			instrument = everybodys
		}
		if p.N > 2 && p.SD > 0 && outlying(parts[i].Readings, values[i], p.SD, instrument.reach()) {
			m.cautions = append(m.cautions, "one reading lies far from the others"+of(p.Name)+": read it again before it counts")
		}
	}
}

// grubbs are the 5 % points of the largest distance from the mean, in standard
// deviations, by number of readings from 3 on (two-sided).
//
// ref: GRUBBS_1969 5 % points
var grubbs = []float64{1.1543, 1.4812, 1.7150, 1.8871, 2.0200, 2.1266, 2.2150, 2.2900}

// outlying reports a reading too far from the rest for chance. What lies within
// the instrument's own bound is none: of three readings on a coarse scale two are
// often the same.
func outlying(readings []float64, m, sd, within float64) bool {
	bound := grubbs[min(len(readings)-3, len(grubbs)-1)]
	if len(readings)-3 >= len(grubbs) {
		bound = 3
	}
	for _, x := range readings {
		if d := math.Abs(x - m); d > within && d/sd > bound {
			return true
		}
	}
	return false
}

func of(name string) string {
	if name == "" {
		return ""
	}
	return " (" + name + ")"
}

// global is what is known of such parts put to the reading.
func (d component) global(r Result, usual Usual) *Global {
	g := &Global{}
	low, high := r.AcceptLow, r.AcceptHigh
	if low == nil && high == nil { // nothing can pass
		low, high = new(math.Inf(1)), new(math.Inf(-1))
	}
	g.GoodShare, g.PassedBad, g.RefusedGood = Risks(usual, d.u, r.Lower, r.Upper, low, high)
	if low != nil && high != nil && *low > *high {
		g.PassedBad, g.RefusedGood = 0, g.GoodShare
	}
	g.Mean, g.SD = withUsual(r.Mean, d.u, usual)
	g.WithinLimits = 1 - component{g.SD, math.Inf(1)}.outside(g.Mean, r.Lower, r.Upper)
	return g
}

// explain writes the working down.
func (r *Result) explain(form Form, m measured, c Case) {
	w := &r.Working
	for _, p := range m.parts {
		if p.Name != "" {
			w.Add(p.Name, fmt.Sprintf("mean of %s", times(p.N, "reading")), p.Mean, "", "JCGM_100 4.2.1")
		}
	}
	w.Add("value", form.Formula, r.Mean, r.Unit, formSources[form.Key])
	if r.ReadingsSD != nil {
		w.Add("standard deviation of the readings", "square root of (sum of squares about the mean / (n - 1))", *r.ReadingsSD, r.Unit, "JCGM_100 4.2.2")
	}
	w.Add("uncertainty by the scatter (type A)", "standard deviation / square root of n, each part weighted with how much the value follows it", m.scatter.u, r.Unit, "JCGM_100 4.2.3")
	w.Add("uncertainty of the instrument (type B)", "bound / square root of 3; step / square root of 12; in squares", m.systematic, r.Unit, "JCGM_100 4.3.7; JCGM_100 F.2.2.1")
	w.Add("standard uncertainty", "both in squares", r.StandardUncertainty, r.Unit, "JCGM_100 5.1.2")
	if d := r.DegreesOfFreedom; d != nil {
		w.Add("degrees of freedom", "u^4 / sum of (u_i^4 / its degrees)", *d, "", "JCGM_100 G.4.1")
	}
	w.Add("chance within the limits", r.chanceFormula(), r.Chance, "", "JCGM_106 7.3")
	if r.AcceptLow != nil {
		w.Add("accept from", "where the chance of lying outside has fallen to the risk", *r.AcceptLow, r.Unit, "JCGM_106 8.3.2")
	}
	if r.AcceptHigh != nil {
		w.Add("accept up to", "where the chance of lying outside has fallen to the risk", *r.AcceptHigh, r.Unit, "JCGM_106 8.3.2")
	}
	if u := r.Usual; u != nil {
		w.Add("bad parts let pass", "usual spread x chance of a reading within the accepted, over all outside the limits", u.PassedBad, "", "JCGM_106 9.5.2")
		w.Add("value with what is usual", "both means weighted with their precision", u.Mean, r.Unit, "JCGM_106 6.3")
	}
}

// formSources is where the formula of a form stands.
var formSources = map[string]string{
	"mean": "JCGM_100 4.2.1", "difference": "JCGM_100 5.1.2", "spread": "JCGM_100 5.1.2", "spread_percent": "JCGM_100 5.1.2",
	"imbalance": "EU_2014_45 annex I 1.2.1", "efficiency": "MOT_MANUAL 1.2.2 efficiency", "deceleration": "SI_BROCHURE_9 standard acceleration of gravity",
	"rate": "JCGM_100 5.1.2", "lambda": "BRETTSCHNEIDER_1979 equation for petrol", "tyre_age": "CFR_49_574 574.5 date code",
}

func (r *Result) chanceFormula() string {
	kind := "F normal"
	if r.DegreesOfFreedom != nil {
		kind = "F Student t"
	}
	switch {
	case r.Upper == nil:
		return "1 - F((lower - value) / u), " + kind
	case r.Lower == nil:
		return "F((upper - value) / u), " + kind
	}
	return "F((upper - value) / u) - F((lower - value) / u), " + kind
}

func times(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
