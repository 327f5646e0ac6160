package check

import (
	"fmt"
	"math"
	"slices"

	"wreckwright/working"
)

// WearPoint is a reading at a distance driven.
type WearPoint struct{ At, Value float64 }

// WearCase is a part that wears towards a limit.
type WearCase struct {
	Name         string
	Unit         string // of the readings
	DistanceUnit string // km or mi; empty: km
	Points       []WearPoint
	Limit        float64    // where the part is worn out
	Side         string     // [WearsDown], [WearsUp]; empty: as the readings show
	Instrument   Instrument // may be missing from three readings on
	Want         *float64   // distance that it shall still go
	Risk         float64    // 0: DefaultRisk; on either side
}

// The ways in which a part wears towards its limit.
const (
	WearsDown = "down" // the limit is the least
	WearsUp   = "up"   // the limit is the most
)

// WearResult is how far a part still goes.
type WearResult struct {
	Name         string  `json:"name"`
	Unit         string  `json:"unit"`
	DistanceUnit string  `json:"distance_unit"`
	Now          float64 `json:"now"`                // the last distance
	ValueNow     float64 `json:"value_now"`          // of the line
	PerThousand  float64 `json:"per_1000"`           // slope, unit of the readings over 1000 of distance
	ReadingSD    float64 `json:"reading_sd"`         // of one reading about the line
	DoF          *int    `json:"degrees_of_freedom"` // nil: the instrument's doubt is known
	Limit        float64 `json:"limit"`
	Risk         float64 `json:"risk"`

	Remaining Remaining `json:"remaining"`
	Want      *float64  `json:"want"`
	Chance    *float64  `json:"chance_reaches"` // that it still is within the limit after Want; nil without
	Verdict   string    `json:"verdict"`
	Why       string    `json:"why"`

	Cautions []string        `json:"cautions"`
	Engine   string          `json:"engine"`
	Working  working.Working `json:"working"`
}

// Remaining is a distance with its doubt; nil where the line never gets there.
type Remaining struct {
	Low    *float64 `json:"low"`
	Likely *float64 `json:"likely"`
	High   *float64 `json:"high"`
}

// nearest is the least way between the first reading and the last.
const nearest = 1e-3

// line is a straight line through readings, about the middle of the distances.
type line struct {
	n          int
	middle     float64 // mean distance
	mean       float64 // mean value
	slope, sxx float64
	sd         float64
	dof        float64
}

// Wear puts the line of least squares through the readings and works out where a
// reading would stand at the limit; the doubt is that of a single further
// reading (prediction interval). The error is an [*InputError].
//
// ref: DRAPER_SMITH straight line; DRAPER_SMITH inverse regression
func Wear(c WearCase) (WearResult, error) {
	if c.Risk == 0 {
		c.Risk = DefaultRisk
	}
	if c.DistanceUnit == "" {
		c.DistanceUnit = "km"
	}
	if err := c.validate(); err != nil {
		return WearResult{}, err
	}
	points := slices.Clone(c.Points)
	slices.SortStableFunc(points, func(a, b WearPoint) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	if points[len(points)-1].At-points[0].At < nearest {
		return WearResult{}, &InputError{"points", "are all at one distance", "readings at two distances or more"}
	}
	l := fit(points)
	r := WearResult{
		Name: c.Name, Unit: c.Unit, DistanceUnit: c.DistanceUnit, Limit: c.Limit, Risk: c.Risk, Want: c.Want,
		Now: points[len(points)-1].At, Cautions: []string{}, Engine: Engine,
	}
	l.doubt(points, c.Instrument, &r)
	r.ValueNow, r.PerThousand, r.ReadingSD = l.at(r.Now), 1000*l.slope, l.sd
	towards, beyond := c.direction(l, points[0].Value)
	r.Remaining = l.remaining(r.Now, c.Limit, towards, component{1, l.dof}.reach(c.Risk))
	if c.Want != nil {
		x := r.Now + *c.Want
		d := component{l.predicts(x), l.dof}
		r.Chance = new(1 - d.below(towards*(c.Limit-l.at(x)), 0))
	}
	if r.judge(l, towards); beyond && r.Verdict == Fail {
		r.Why += "; it was so from the first reading on, which the readings go further away from: where it wears the other way, say so"
	}
	r.explain(l)
	return r, nil
}

// direction is the way the readings go as the part wears: 1 up, -1 down. Where
// nobody said, it is from the first reading to the limit, unless the line surely
// goes the other way: then the limit was passed before the first reading, and beyond
// is set.
//
// ref: DRAPER_SMITH straight line
func (c WearCase) direction(l line, first float64) (towards float64, beyond bool) {
	switch c.Side {
	case WearsDown:
		return -1, false
	case WearsUp:
		return 1, false
	}
	towards = math.Copysign(1, c.Limit-first)
	doubt := component{l.sd / math.Sqrt(l.sxx), l.dof}.reach(c.Risk)
	if -towards*l.slope > doubt {
		return -towards, true
	}
	return towards, false
}

func (c WearCase) validate() error {
	if len(c.Points) < 2 {
		return &InputError{"points", fmt.Sprintf("there are %d", len(c.Points)), "readings at two distances or more"}
	}
	for i, p := range c.Points {
		if err := checkNumber(fmt.Sprintf("points[%d].at", i+1), p.At); err != nil {
			return err
		}
		if err := checkNumber(fmt.Sprintf("points[%d].value", i+1), p.Value); err != nil {
			return err
		}
		if p.At < 0 {
			return &InputError{fmt.Sprintf("points[%d].at", i+1), fmt.Sprintf("%g is negative", p.At), "a distance from 0"}
		}
	}
	first := slices.MinFunc(c.Points, func(a, b WearPoint) int {
		if a.At < b.At {
			return -1
		}
		return 1
	})
	switch {
	case c.DistanceUnit != "km" && c.DistanceUnit != "mi":
		return &InputError{"distance_unit", fmt.Sprintf("is %q", c.DistanceUnit), "km or mi"}
	case c.Risk <= 0 || c.Risk >= 0.5:
		return &InputError{"risk", fmt.Sprintf("%g is no risk to decide by", c.Risk), "a number above 0 and below 0.5, such as 0.05"}
	case c.Side != "" && c.Side != WearsDown && c.Side != WearsUp:
		return &InputError{"side", fmt.Sprintf("is %q", c.Side), "down or up, or nothing"}
	case c.Side == "" && first.Value == c.Limit:
		return &InputError{"limit", "is where the first reading stands", "a limit that the readings go towards, or whether it wears down or up"}
	case c.Want != nil && !(*c.Want >= 0 && *c.Want <= largest):
		return &InputError{"want", fmt.Sprintf("%g is no distance", *c.Want), "a distance from 0"}
	case len(c.Points) == 2 && !c.Instrument.given():
		return &InputError{"instrument_limit", "is missing, and so is instrument_sd", "the instrument's doubt, or a third reading: two give a line and no scatter"}
	}
	if err := checkNumber("limit", c.Limit); err != nil {
		return err
	}
	return c.Instrument.check("")
}

// fit is the line of least squares.
//
// ref: DRAPER_SMITH straight line
func fit(points []WearPoint) line {
	l := line{n: len(points)}
	for _, p := range points {
		l.middle += p.At / float64(l.n)
		l.mean += p.Value / float64(l.n)
	}
	var sxy float64
	for _, p := range points {
		l.sxx += (p.At - l.middle) * (p.At - l.middle)
		sxy += (p.At - l.middle) * (p.Value - l.mean)
	}
	l.slope = sxy / l.sxx
	return l
}

func (l line) at(x float64) float64 { return l.mean + l.slope*(x-l.middle) }

// doubt takes the scatter about the line, or the instrument's doubt where that
// is larger: few readings that happen to lie on a line do not make a better
// instrument.
//
// ref: DESIGN_CHECK the larger of scatter and instrument
func (l *line) doubt(points []WearPoint, i Instrument, r *WearResult) {
	var squares float64
	for _, p := range points {
		e := p.Value - l.at(p.At)
		squares += e * e
	}
	l.sd, l.dof = math.Hypot(i.u(), step(i.Resolution)), math.Inf(1)
	if l.n > 2 {
		if scatter := math.Sqrt(squares / float64(l.n-2)); scatter > l.sd || !i.given() {
			l.sd, l.dof = scatter, float64(l.n-2)
			r.DoF = new(l.n - 2)
		}
	}
	if l.n < 4 {
		r.Cautions = append(r.Cautions, "a line through so few readings says little about how steady the wear is: take another after some distance")
	}
	if l.sd == 0 {
		r.Cautions = append(r.Cautions, "no doubt at all was given or found, so the distance is taken as exact: it is not")
	}
}

// predicts is the standard deviation of a further reading at x about the line.
//
// ref: DRAPER_SMITH prediction interval
func (l line) predicts(x float64) float64 {
	return l.sd * math.Sqrt(1+1/float64(l.n)+(x-l.middle)*(x-l.middle)/l.sxx)
}

// remaining is where the line, and the edges of its prediction band t standard
// deviations to either side, come to the limit.
//
// ref: DRAPER_SMITH inverse regression
func (l line) remaining(now, limit, towards, t float64) Remaining {
	// inside is how far the band's edge is from the limit, positive within.
	inside := func(x, edge float64) float64 { return towards*(limit-l.at(x)) + edge*t*l.predicts(x) }
	reached := func(edge float64) *float64 {
		if inside(now, edge) <= 0 {
			return new(0.0)
		}
		if edge == 0 {
			if towards*l.slope <= 0 {
				return nil
			}
			return new((limit-l.mean)/l.slope + l.middle - now)
		}
		roots := l.edges(limit, t)
		for _, x := range roots {
			scale := math.Abs(limit-l.mean) + t*l.predicts(x)
			if x >= now && math.Abs(inside(x, edge)) <= 1e-7*scale {
				return new(x - now)
			}
		}
		return nil
	}
	return Remaining{Low: reached(-1), Likely: reached(0), High: reached(1)}
}

// edges are the distances at which either edge of the band is at the limit, in
// order.
func (l line) edges(limit, t float64) []float64 {
	d, b, s := limit-l.mean, l.slope, t*t*l.sd*l.sd
	p, q, c := b*b-s/l.sxx, -2*d*b, d*d-s*(1+1/float64(l.n))
	if p == 0 {
		if q == 0 {
			return nil
		}
		return []float64{l.middle - c/q}
	}
	root := q*q - 4*p*c
	if root < 0 {
		return nil
	}
	// Both roots without the loss of digits of the common formula.
	h := -(q + math.Copysign(math.Sqrt(root), q)) / 2
	roots := []float64{l.middle + h/p}
	if h != 0 {
		roots = append(roots, l.middle+c/h)
	}
	slices.Sort(roots)
	return roots
}

func (r *WearResult) judge(l line, towards float64) {
	far := func(x *float64) string {
		if x == nil {
			return "no end that these readings show"
		}
		return fmt.Sprintf("%.0f %s", *x, r.DistanceUnit)
	}
	span := fmt.Sprintf("likely %s left, with a risk of %s not more than %s, and of %s beyond %s",
		far(r.Remaining.Likely), percent(r.Risk), far(r.Remaining.Low), percent(r.Risk), far(r.Remaining.High))
	out := 0.0
	if l.sd > 0 {
		out = component{l.predicts(r.Now), l.dof}.below(towards*(r.Limit-l.at(r.Now)), 0)
	} else if towards*(r.Limit-r.ValueNow) < 0 {
		out = 1
	}
	switch {
	case out >= 1-r.Risk:
		r.Verdict, r.Why = Fail, fmt.Sprintf("worn beyond the limit now with a chance of %s", percent(out))
	case towards*l.slope <= 0:
		r.Verdict, r.Why = CannotTell, "the readings do not go towards the limit: nothing can be said about when it is reached"
	case r.Chance == nil && out > r.Risk:
		r.Verdict, r.Why = CannotTell, "the limit is too near for the doubt of the readings: "+span
	case r.Chance == nil:
		r.Verdict, r.Why = Pass, "within the limit now: "+span
	case *r.Chance >= 1-r.Risk:
		r.Verdict, r.Why = Pass, fmt.Sprintf("it goes the %.0f %s wanted with a chance of %s: %s", *r.Want, r.DistanceUnit, percent(*r.Chance), span)
	case *r.Chance <= r.Risk:
		r.Verdict, r.Why = Fail, fmt.Sprintf("it goes the %.0f %s wanted with a chance of only %s: %s", *r.Want, r.DistanceUnit, percent(*r.Chance), span)
	default:
		r.Verdict, r.Why = CannotTell, fmt.Sprintf("it goes the %.0f %s wanted with a chance of %s: %s", *r.Want, r.DistanceUnit, percent(*r.Chance), span)
	}
}

func (r *WearResult) explain(l line) {
	w := &r.Working
	per := r.Unit + "/1000 " + r.DistanceUnit
	w.Add("wear", "slope of the line of least squares", r.PerThousand, per, "DRAPER_SMITH straight line")
	w.Add("value now", "the line at the last distance", r.ValueNow, r.Unit, "DRAPER_SMITH straight line")
	w.Add("doubt of one reading", "larger of the scatter about the line, square root of (sum of squares / (n - 2)), and the instrument's", l.sd, r.Unit, "DESIGN_CHECK the larger of scatter and instrument")
	for _, x := range []struct {
		what string
		at   *float64
		how  string
	}{
		{"distance left, likely", r.Remaining.Likely, "(limit - value now) / slope"},
		{"distance left, early", r.Remaining.Low, "where line - t s sqrt(1 + 1/n + (x - mean x)^2 / Sxx) comes to the limit"},
		{"distance left, late", r.Remaining.High, "the same on the other side"},
	} {
		if x.at != nil {
			w.Add(x.what, x.how, *x.at, r.DistanceUnit, "DRAPER_SMITH inverse regression")
		}
	}
	if r.Chance != nil {
		w.Add("chance of going the distance wanted", "F((limit - line there) / its doubt)", *r.Chance, "", "DRAPER_SMITH prediction interval")
	}
}
