package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Form is a way from measured parts to the quantity.
type Form struct {
	Key     string
	What    string   // in the user's words
	Formula string   // in the names of the parts
	Parts   []string // names of the parts; nil: one row of readings, or any parts
	Rows    bool     // the readings are one row; otherwise there are parts
	AtLeast int      // parts of free names that it needs
	Own     []string // parts in units of their own, for which a common instrument cannot stand

	of func(v []float64, c Case) float64
}

// StandardGravity is what a kilogram weighs on average, in newtons.
//
// ref: SI_BROCHURE_9 standard acceleration of gravity
const StandardGravity = 9.80665

// Massed is the name of the part that holds the car's mass in form efficiency.
const Massed = "mass_kg"

// efforts is a newton's worth of each unit of brake effort.
var efforts = map[string]float64{"N": 1, "kN": 1000, "kgf": StandardGravity}

// gases are the parts of lambda.
var gases = []string{"co_percent", "co2_percent", "o2_percent", "hc_ppm"}

var forms = []Form{
	{
		Key: "mean", What: "the mean of the readings", Formula: "sum of the readings / n", Rows: true,
		of: func(v []float64, _ Case) float64 { return v[0] },
	},
	{
		Key: "difference", What: "one part less another", Formula: "first - second", AtLeast: 2,
		of: func(v []float64, _ Case) float64 { return v[0] - v[1] },
	},
	{
		// ref: EU_2014_45 annex I 1.2.1
		Key: "imbalance", What: "how far the weaker side stays behind the stronger", Formula: "100 x (higher - lower) / higher", AtLeast: 2,
		of: func(v []float64, _ Case) float64 { return spreadShare(v) },
	},
	{
		Key: "spread", What: "the largest place less the smallest", Formula: "largest - smallest", AtLeast: 2,
		of: func(v []float64, _ Case) float64 { return slices.Max(v) - slices.Min(v) },
	},
	{
		Key: "spread_percent", What: "the largest less the smallest, as a share of the largest", Formula: "100 x (largest - smallest) / largest", AtLeast: 2,
		of: func(v []float64, _ Case) float64 { return spreadShare(v) },
	},
	{
		// ref: MOT_MANUAL 1.2.2 efficiency
		Key: "efficiency", What: "brake efforts as a share of the car's weight", Formula: "100 x sum of the efforts / (mass x g)", AtLeast: 2, Own: []string{Massed},
		of: func(v []float64, c Case) float64 {
			var sum, mass float64
			for i, p := range c.Parts {
				if p.Name == Massed {
					mass = v[i]
				} else {
					sum += v[i]
				}
			}
			// The factor of kgf cancels: written so, whole figures stay exact.
			return 100 * sum * (efforts[c.EffortUnit] / StandardGravity) / mass
		},
	},
	{
		Key: "deceleration", What: "braking as a share of gravity", Formula: "100 x deceleration in m/s2 / g", Rows: true,
		of: func(v []float64, _ Case) float64 { return 100 * v[0] / StandardGravity },
	},
	{
		Key: "rate", What: "how fast a value falls", Formula: "(start - end) / minutes", Parts: []string{"start", "end", "minutes"}, Own: []string{"minutes"},
		of: func(v []float64, _ Case) float64 { return (v[0] - v[1]) / v[2] },
	},
	{
		Key: "lambda", What: "air against fuel, out of the exhaust gas", Formula: "Brettschneider", Parts: gases, Own: gases,
		of: func(v []float64, _ Case) float64 { return lambda(v[0], v[1], v[2], v[3]) },
	},
	{
		Key: "tyre_age", What: "the age of a tyre, from its week code", Formula: "days since the middle of that week / 365.25",
		of: func(v []float64, _ Case) float64 { return v[0] },
	},
}

// Forms lists the forms.
func Forms() []Form { return slices.Clone(forms) }

// FormKeys lists their keys.
func FormKeys() []string {
	keys := make([]string, len(forms))
	for i, f := range forms {
		keys[i] = f.Key
	}
	return keys
}

// formFor finds a form by its key; none means the mean.
func formFor(key string) (Form, error) {
	if key == "" {
		key = "mean"
	}
	i := slices.IndexFunc(forms, func(f Form) bool { return f.Key == key })
	if i < 0 {
		return Form{}, &InputError{"form", fmt.Sprintf("is %q", key), "one of " + strings.Join(FormKeys(), ", ")}
	}
	return forms[i], nil
}

func spreadShare(v []float64) float64 {
	high := slices.Max(v)
	return 100 * (high - slices.Min(v)) / high
}

// partsOf is the parts that a form works with, in its own order.
func (f Form) partsOf(c Case) ([]Part, error) {
	switch {
	case f.Key == "tyre_age":
		return tyreParts(c)
	case f.Rows:
		return f.row(c)
	case f.Parts == nil && len(c.Parts) == 0 && (f.Key == "spread" || f.Key == "spread_percent"):
		return places(c)
	case len(c.Readings) > 0:
		return nil, &InputError{"readings", "stands at a form of several parts (" + f.Key + ")", "parts with readings of their own"}
	case f.Parts != nil:
		return f.named(c)
	}
	return f.free(c)
}

func (f Form) row(c Case) ([]Part, error) {
	if len(c.Parts) > 0 {
		return nil, &InputError{"parts", "stands at a form of one row of readings (" + f.Key + ")", "readings"}
	}
	return []Part{{Readings: c.Readings}}, checkReadings("", c.Readings)
}

// places takes each reading of a row as a place of its own.
func places(c Case) ([]Part, error) {
	if err := checkReadings("", c.Readings); err != nil {
		return nil, err
	}
	parts := make([]Part, len(c.Readings))
	for i, x := range c.Readings {
		parts[i] = Part{Name: fmt.Sprintf("place %d", i+1), Readings: []float64{x}}
	}
	if len(parts) < 2 {
		return nil, &InputError{"readings", "one place has no spread", "readings of two places or more"}
	}
	return parts, nil
}

// named puts the parts in the order of the form.
func (f Form) named(c Case) ([]Part, error) {
	for _, p := range c.Parts {
		if !slices.Contains(f.Parts, p.Name) {
			return nil, &InputError{"parts." + p.Name, "is no part of " + f.Key, strings.Join(f.Parts, ", ")}
		}
	}
	parts := make([]Part, 0, len(f.Parts))
	for _, name := range f.Parts {
		i := slices.IndexFunc(c.Parts, func(p Part) bool { return p.Name == name })
		if i < 0 {
			return nil, &InputError{"parts." + name, "is missing", "all of " + strings.Join(f.Parts, ", ")}
		}
		parts = append(parts, c.Parts[i])
	}
	return parts, checkParts(parts)
}

func (f Form) free(c Case) ([]Part, error) {
	two := f.Key == "difference" || f.Key == "imbalance"
	switch n := len(c.Parts); {
	case n < f.AtLeast:
		return nil, &InputError{"parts", fmt.Sprintf("there are %d", n), fmt.Sprintf("%d parts or more", f.AtLeast)}
	case two && n > 2:
		return nil, &InputError{"parts", fmt.Sprintf("there are %d", n), "two parts"}
	}
	if f.Key == "efficiency" {
		if _, ok := efforts[c.EffortUnit]; !ok {
			return nil, &InputError{"effort_unit", fmt.Sprintf("is %q", c.EffortUnit), "N, kN or kgf"}
		}
		if !slices.ContainsFunc(c.Parts, func(p Part) bool { return p.Name == Massed }) {
			return nil, &InputError{"parts." + Massed, "is missing", "the mass of the car in kg as one of the parts"}
		}
	}
	return c.Parts, checkParts(c.Parts)
}

func checkParts(parts []Part) error {
	seen := map[string]bool{}
	for _, p := range parts {
		at := "parts." + p.Name
		if seen[p.Name] {
			return &InputError{at, "stands there twice", "each part once"}
		}
		seen[p.Name] = true
		if err := checkReadings(at+".", p.Readings); err != nil {
			return err
		}
		if err := p.Instrument.check(at + "."); err != nil {
			return err
		}
	}
	return nil
}

func checkReadings(at string, readings []float64) error {
	if len(readings) == 0 {
		return &InputError{at + "readings", "there are none", "one reading or more"}
	}
	for i, x := range readings {
		if err := checkNumber(fmt.Sprintf("%sreadings[%d]", at, i+1), x); err != nil {
			return err
		}
	}
	return nil
}

// checkValues refuses means with which a form has no value.
func (f Form) checkValues(parts []Part, v []float64, value float64) error {
	positive := map[string]bool{"imbalance": true, "spread_percent": true, "efficiency": true, "lambda": true}
	for i, p := range parts {
		if positive[f.Key] && v[i] < 0 {
			return &InputError{"parts." + p.Name, fmt.Sprintf("%g is negative", v[i]), "a number from 0"}
		}
	}
	if i := slices.IndexFunc(parts, func(p Part) bool { return p.Name == "co2_percent" }); f.Key == "lambda" && v[i] == 0 {
		return &InputError{"parts.co2_percent", "is zero, which no engine that runs gives", "a number above 0, such as 14.5"}
	}
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return &InputError{"parts", "with these figures there is no " + f.Key, "figures that are not all zero, and none to divide by that is zero"}
	}
	return nil
}

// weights is how much the value follows each part, by small steps to both sides
// where the form is smooth; the largest and the smallest part stay which they are.
//
// ref: JCGM_100 5.1.3
func (f Form) weights(v []float64, c Case) []float64 {
	switch f.Key {
	case "mean", "tyre_age":
		return []float64{1}
	case "spread", "spread_percent", "imbalance":
		return f.spreadWeights(v)
	}
	w := make([]float64, len(v))
	for i := range v {
		h := 1e-5 * math.Max(math.Abs(v[i]), 1e-3)
		up, down := slices.Clone(v), slices.Clone(v)
		up[i] += h
		down[i] -= h
		w[i] = (f.of(up, c) - f.of(down, c)) / (up[i] - down[i])
	}
	return w
}

func (f Form) spreadWeights(v []float64) []float64 {
	high, low := 0, len(v)-1 // of equal ones two different places
	for i := range v {
		if v[i] > v[high] {
			high = i
		}
	}
	for i := range slices.Backward(v) {
		if v[i] < v[low] {
			low = i
		}
	}
	w := make([]float64, len(v))
	if f.Key == "spread" {
		w[high], w[low] = 1, -1
		return w
	}
	w[high], w[low] = 100*v[low]/(v[high]*v[high]), -100/v[high]
	return w
}
