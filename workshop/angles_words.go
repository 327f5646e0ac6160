package workshop

import (
	"fmt"
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/uncertain"
)

// angleNames are quantities as people call them.
var angleNames = map[string]string{
	"toe_deg": "toe", "camber_deg": "camber", "caster_deg": "caster", "steering_axis_deg": "steering-axis inclination", "included_deg": "included angle",
	"total_toe_deg": "total toe", "set_back_mm": "set-back", "set_back_deg": "set-back", "cross_camber_deg": "camber left less right",
	"cross_caster_deg": "caster left less right", "ride_height_mm": "ride height", "left_stands_over_mm": "ride height left less right",
	"thrust_deg": "thrust angle, to the right", "cross_percent": "cross-weight", "toe_out_deg": "toe-out",
}

// AngleName is a quantity of wheel angles in words.
func AngleName(what string) string {
	if words, ok := angleNames[what]; ok {
		return words
	}
	return strings.ReplaceAll(what, "_", " ")
}

// NoteWords writes what the engine says to know in the words of the page, which
// has fields where a case file has keys.
func NoteWords(note string) string {
	return strings.NewReplacer(
		"give reading_sd.turn_deg to have their doubt in what follows from them", "say under “how sure a reading is” how sure a turntable is, to have its doubt in what follows",
		"; give your own under reading_sd", "; what your own leave goes before it, under “how sure a reading is”",
		"the limits have no source: name where they stand under want, source", "the limits have no source",
	).Replace(AngleWords(note))
}

// AngleUnit is the sign behind a quantity of wheel angles.
func AngleUnit(what string) string {
	switch {
	case strings.HasSuffix(what, "_mm"):
		return " mm"
	case strings.HasSuffix(what, "_percent"):
		return " %"
	case strings.HasSuffix(what, "_kg"):
		return " kg"
	}
	return "°"
}

// CheckedWords names what was held against limits: "front left camber".
func CheckedWords(c angles.CheckResult) string {
	if c.Where == "car" {
		return AngleName(c.What)
	}
	return CornerWords(c.Where) + " " + AngleName(c.What)
}

// checkedFigure tells a figure with the 95 per cent it lies in, and what was wanted.
func checkedFigure(c angles.CheckResult) string {
	unit := AngleUnit(c.What)
	return fmt.Sprintf("%s %s%s ± %.2f%s (95 %%), wanted %s to %s%s", CheckedWords(c), signedNumber(c.Value), unit, uncertain.HalfOf95*c.SD, unit, plainSigned(c.Low), plainSigned(c.High), unit)
}

func signedNumber(v float64) string { return strings.ReplaceAll(fmt.Sprintf("%.2f", v), "-", "\u2212") }

func plainSigned(v float64) string { return strings.ReplaceAll(plainNumber(v), "-", "\u2212") }

// anglesWhy is the reason of a verdict on wheel angles.
func anglesWhy(r angles.Result) string {
	of := map[string][]string{}
	for _, c := range r.Checks {
		of[c.Verdict] = append(of[c.Verdict], checkedFigure(c))
	}
	var said []string
	if list := of[angles.Fail]; len(list) > 0 {
		said = append(said, "outside the limits: "+strings.Join(list, "; "))
	}
	if list := of[angles.CannotTell]; len(list) > 0 {
		said = append(said, "Too near to a limit to tell: "+strings.Join(list, "; "))
	}
	if len(r.Missing) > 0 {
		said = append(said, "Wanted and not measured: "+AngleWords(strings.Join(r.Missing, ", ")))
	}
	switch {
	case len(said) > 0:
		return strings.Join(said, ". ")
	case len(r.Checks) == 0:
		return "no limits were entered, so that nothing can pass or fail; the angles stand by themselves"
	}
	return fmt.Sprintf("all %d figures lie within their limits, each with a chance of 95 %% or more", len(r.Checks))
}
