package web

import (
	"fmt"
	"strings"

	"wreckwright/bench/joint"
	"wreckwright/rebuild"
)

// torqueUnit is a unit that a torque is entered and shown in.
type torqueUnit struct {
	Key, Name string
	Unit      joint.Unit
}

// torqueUnits are those offered; the book keeps newton metres.
var torqueUnits = []torqueUnit{
	{"nm", "N·m", joint.NewtonMetre},
	{"lbf-ft", "lbf·ft", joint.LbfFoot},
	{"lbf-in", "lbf·in", joint.LbfInch},
	{"kgf-m", "kgf·m", joint.KgfMetre},
}

func torqueUnitOptions() []Option {
	options := make([]Option, len(torqueUnits))
	for i, u := range torqueUnits {
		options[i] = Option{u.Key, u.Name}
	}
	return options
}

// torqueUnitOf is the unit of that key, newton metres where there is none.
func torqueUnitOf(key string) torqueUnit {
	for _, u := range torqueUnits {
		if u.Key == key {
			return u
		}
	}
	return torqueUnits[0]
}

// Plain writes a number for a hidden field.
func (f Frame) Plain(v float64) string { return trimNumber(v) }

// OdometerField is what an odometer shows, as it stands in a field.
func (f Frame) OdometerField(km float64) string { return odometerField(km, distanceUnit(f.Rebuild)) }

// Torque shows a torque in newton metres.
func (f Frame) Torque(nm float64) string { return figure(nm) + "\u00a0N·m" }

// TorqueElse shows the same torque in the other units.
func (f Frame) TorqueElse(nm float64) string {
	parts := make([]string, 0, len(torqueUnits)-1)
	for _, u := range torqueUnits[1:] {
		parts = append(parts, threeDigits(u.Unit.FromNm(nm))+"\u00a0"+u.Name)
	}
	return strings.Join(parts, " · ")
}

// PoundFeet shows a torque in the other unit that wrenches are marked in.
func (f Frame) PoundFeet(nm float64) string {
	return threeDigits(joint.LbfFoot.FromNm(nm)) + "\u00a0lbf·ft"
}

// threeDigits shows what was converted no finer than a wrench can be set.
func threeDigits(v float64) string {
	text := fmt.Sprintf("%.3g", v)
	if strings.Contains(text, "e") {
		text = fmt.Sprintf("%.0f", v)
	}
	return text
}

// torque reads a torque in the form's unit, as newton metres; empty is 0.
func (f *Form) torque(field, name string) float64 {
	return torqueUnitOf(f.Value("unit")).Unit.ToNm(f.number(field, name))
}

// torques reads several torques: "40; 80", "40 80".
func (f *Form) torques(field, name string) []float64 {
	unit := torqueUnitOf(f.Value("unit")).Unit
	var list []float64
	text := strings.ReplaceAll(f.Value(field), ", ", " ")
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '/' || r == ' ' || r == '\n' }) {
		v, err := parseNumber(part)
		if err != nil {
			f.problem(field, "%s: %q is not a number; write them like 40; 80", name, part)
			continue
		}
		list = append(list, unit.ToNm(v))
	}
	return list
}

// setTorque fills a field with a torque in newton metres; 0 leaves it empty.
func (f *Form) setTorque(field string, nm float64) { f.setNumber(field, tidyTorque(nm)) }

// tidyTorque takes off the digits that a conversion leaves behind.
func tidyTorque(nm float64) float64 { return round2(nm) }

// fieldsOfForm renames the problems that a rule of the book has with a field to
// the field of the form that it was typed in.
func (f *Form) fieldsOfForm(names map[string]string) {
	for i, p := range f.Problems {
		for of, name := range names {
			if p.Field == of || strings.HasPrefix(p.Field, of+".") {
				f.Problems[i] = rebuild.Problem{Field: name, Text: p.Text}
			}
		}
	}
}
