package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"wreckwright/bench/check"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// OwnQuantity stands for a quantity that is not one of knowledge's.
const OwnQuantity = "own"

// CheckAsk is a quantity as a page asks for it.
type CheckAsk struct {
	knowledge.Check
	Own   bool
	Shape string        // row, parts, wear, week
	Parts []CheckAsked  // of shape parts
	Here  []LimitChoice // limits of the car's place, those that fit the car's year first
	Away  []LimitChoice // limits of other places
}

// The shapes in which readings are taken.
const (
	ShapeRow   = "row"   // one after another
	ShapeParts = "parts" // a field for each
	ShapeWear  = "wear"  // a distance and a reading
	ShapeWeek  = "week"  // the digits of a tyre
)

// CheckAsked is one measured part of a quantity.
type CheckAsked struct {
	Name  string
	Field string // of a form: its name without gaps
	Words string
	Own   bool // in a unit of its own, with a doubt of its own
	Limit float64
}

// LimitChoice is one limit to measure against.
type LimitChoice struct {
	Key string // its place among the limits of the quantity
	knowledge.CheckLimit
}

// ownForms are the ways in which an own quantity may be worked out.
var ownForms = []string{"mean", "difference", "imbalance", "spread", "spread_percent", "rate", FormWear}

// OwnForms lists them with their words.
func OwnForms() []check.Form {
	var list []check.Form
	for _, f := range check.Forms() {
		if slices.Contains(ownForms, f.Key) {
			list = append(list, f)
		}
	}
	return append(list, check.Form{Key: FormWear, What: "the wear over a distance", Formula: "a line through readings at distances"})
}

// AskCheck is a quantity by its key, for a car; form is the way of an own one.
// firstUsed is the day of its first use; empty: not known. False where there is no
// such quantity.
func AskCheck(key, form string, car rebuild.Car, firstUsed string) (CheckAsk, bool) {
	a := CheckAsk{}
	if key == OwnQuantity {
		a.Own, a.Form = true, form
		if !slices.Contains(ownForms, form) {
			a.Form = "mean"
		}
		a.Key, a.Name = OwnQuantity, "A quantity of your own"
		a.Check.Parts = map[string][]string{"difference": {"first", "second"}, "imbalance": {"left", "right"}, "rate": {"start", "end", "minutes"}}[a.Form]
	} else {
		var ok bool
		if a.Check, ok = knowledge.CheckFor(key); !ok {
			return a, false
		}
	}
	a.shape()
	a.limits(car, firstUsed)
	return a, true
}

func (a *CheckAsk) shape() {
	var own []string
	for _, f := range check.Forms() {
		if f.Key == a.Form {
			own = f.Own
		}
	}
	for _, name := range a.Check.Parts {
		a.Parts = append(a.Parts, CheckAsked{name, partField(name), capitalFirst(PartWords(name)), slices.Contains(own, name), gasDoubt[name]})
	}
	switch {
	case a.Form == FormWear:
		a.Shape = ShapeWear
	case a.Form == FormTyreAge:
		a.Shape = ShapeWeek
	case len(a.Parts) > 0:
		a.Shape = ShapeParts
	default:
		a.Shape = ShapeRow
	}
}

// partField is the name of a part as the field of a form.
func partField(name string) string { return strings.ReplaceAll(name, " ", "_") }

// Places reports whether each reading of a row is another place.
func (a CheckAsk) Places() bool {
	return a.Shape == ShapeRow && (a.Form == "spread" || a.Form == "spread_percent")
}

// gasDoubt is how far off a common analyser is, to begin with; the quantity lambda
// of knowledge says the same in words.
var gasDoubt = map[string]float64{"co_percent": 0.03, "co2_percent": 0.4, "o2_percent": 0.1, "hc_ppm": 12}

// limits sorts the limits of the quantity: of the car's place, elsewhere.
func (a *CheckAsk) limits(car rebuild.Car, firstUsed string) {
	here := a.LimitsFor(car.Jurisdiction, "", "")
	fits := here
	switch {
	case firstUsed != "":
		fits = a.LimitsFor(car.Jurisdiction, "", firstUsed)
	case car.Year > 0: // any day of that year
		fits = slices.Concat(a.LimitsFor(car.Jurisdiction, "", fmt.Sprintf("%d-01-01", car.Year)), a.LimitsFor(car.Jurisdiction, "", fmt.Sprintf("%d-12-31", car.Year)))
	}
	rank := map[string]int{}
	for i, l := range a.Limits {
		choice := LimitChoice{fmt.Sprint(i), l}
		switch {
		case !hasLimit(here, l):
			a.Away = append(a.Away, choice)
			continue
		case !hasLimit(fits, l):
			rank[choice.Key] = 1
		}
		a.Here = append(a.Here, choice)
	}
	slices.SortStableFunc(a.Here, func(x, y LimitChoice) int { return cmp.Compare(rank[x.Key], rank[y.Key]) })
}

func hasLimit(list []knowledge.CheckLimit, l knowledge.CheckLimit) bool {
	return slices.ContainsFunc(list, func(o knowledge.CheckLimit) bool {
		return o.Variant == l.Variant && o.From == l.From && o.Until == l.Until && slices.Equal(o.Jurisdictions, l.Jurisdictions)
	})
}

// Choice finds a limit by its key.
func (a CheckAsk) Choice(key string) (LimitChoice, bool) {
	all := slices.Concat(a.Here, a.Away)
	i := slices.IndexFunc(all, func(l LimitChoice) bool { return l.Key == key })
	if i < 0 {
		return LimitChoice{}, false
	}
	return all[i], true
}

// ByTemperature reports whether one of the limits follows the temperature.
func (a CheckAsk) ByTemperature() bool {
	return slices.ContainsFunc(a.Limits, func(l knowledge.CheckLimit) bool { return len(l.ByTemperature) > 0 })
}

// ByRim reports whether one of the limits goes by the steering wheel's rim.
func (a CheckAsk) ByRim() bool {
	return slices.ContainsFunc(a.Limits, func(l knowledge.CheckLimit) bool { return l.OfRimMm > 0 })
}

// Words says the limit in a line: "UK: at least 1.6 mm".
func (l LimitChoice) Words(unit string) string {
	number := func(v float64) string { return strings.TrimSpace(plainNumber(v) + " " + unit) }
	said := ""
	switch {
	case len(l.ByTemperature) > 0:
		said = "at least, by the temperature"
	case l.Lower != nil && l.Upper != nil:
		said = plainNumber(*l.Lower) + " to " + number(*l.Upper)
	case l.Lower != nil:
		said = "at least " + number(*l.Lower)
	default:
		said = "at most " + number(*l.Upper)
	}
	if l.OfRimMm > 0 {
		said += fmt.Sprintf(" at a rim of %g mm", l.OfRimMm)
	}
	if which := l.Which(); which != "" {
		return capitalFirst(which) + ": " + said
	}
	return capitalFirst(said)
}

// For says which cars and parts the limit is for.
func (l LimitChoice) For() string { return cmp.Or(l.Which(), "any such car") }

// Put makes the limit the one that is measured against.
func (l LimitChoice) Put(s *CheckSettings) error {
	limit := l.CheckLimit
	if len(limit.ByTemperature) > 0 {
		if s.TemperatureC == nil {
			return invalidAt("temperature_c", "say the temperature: the limit goes by it")
		}
		limit = limit.AtTemperature(*s.TemperatureC)
	} else {
		s.TemperatureC = nil
	}
	if limit.OfRimMm == 0 {
		s.RimMm = nil
	} else if err := s.checkRim(); err != nil {
		return err
	} else {
		limit = limit.AtRim(*s.RimMm)
	}
	s.Lower, s.Upper, s.Dangerous = limit.Lower, limit.Upper, limit.Dangerous
	s.LimitFrom, s.LimitRef = l.For(), limit.Refs.String()
	return nil
}

// The rims of steering wheels, in mm, as wide as one may think: own estimate.
const leastRim, mostRim = 200, 600

func (s *CheckSettings) checkRim() error {
	switch {
	case s.RimMm == nil:
		return invalidAt("rim_mm", "measure the steering wheel from outside to outside of its rim: the limit goes by it")
	case *s.RimMm < leastRim || *s.RimMm > mostRim:
		return invalidAt("rim_mm", fmt.Sprintf("a rim of %s mm is none of a car; expected %d to %d", plainNumber(*s.RimMm), leastRim, mostRim))
	}
	return nil
}

// LastCheck is how the quantity was measured last, newest first; nil where it was
// not yet.
func LastCheck(r *rebuild.Rebuild, quantity string) *CheckSettings {
	for i := range slices.Backward(r.Evidence) {
		if s, ok := ReadCheckSettings(&r.Evidence[i]); ok && s.Quantity == quantity && quantity != "" {
			return &s
		}
	}
	return nil
}
