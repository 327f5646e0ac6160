package web

import (
	"fmt"
	"math"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// measured shows a figure of a measurement as finely as its doubt allows, else
// with three digits.
func measured(f rebuild.EvidenceFigure) string {
	if workshop.IsChance(f) {
		return percent(f.Value / 100)
	}
	text := rounded(f, f.Value)
	if workshop.IsBound(f) {
		text = boundText(f.Value)
	}
	switch f.Unit {
	case "":
	case "°":
		text += f.Unit
	default:
		text += "\u00a0" + f.Unit
	}
	return text
}

// boundText is a limit, or where a value is accepted from: all its digits, since a
// limit of 24.47 is not one of 24.5.
func boundText(v float64) string { return group(strconv.FormatFloat(v, 'f', -1, 64)) }

// bounds shows the interval that a figure lies in; empty where none is known.
func bounds(f rebuild.EvidenceFigure) string {
	if f.Low == nil || f.High == nil {
		return ""
	}
	return rounded(f, *f.Low) + " to " + rounded(f, *f.High)
}

func rounded(f rebuild.EvidenceFigure, v float64) string {
	scale := math.Abs(f.Value) / 100 // three digits
	if f.Low != nil && f.High != nil && *f.High > *f.Low {
		scale = (*f.High - *f.Low) / 3
	} else if v == math.Trunc(v) {
		return figure(v)
	}
	if !(scale > 0) {
		return figure(v)
	}
	digits := min(max(0, -int(math.Floor(math.Log10(scale)))), 9)
	if f.Unit == "°" { // limits of angles stand in hundredths: 0.35 is not 0.3
		digits = max(digits, 2)
	}
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if v, err := strconv.ParseFloat(text, 64); err == nil && v == 0 {
		return "0"
	}
	return group(text)
}

// inMinutes says a long time in minutes too, in which people think of intervals;
// empty for what is short or no time.
func inMinutes(f rebuild.EvidenceFigure) string {
	if f.Unit != "s" || f.Value < 120 {
		return ""
	}
	return minutes(f.Value)
}

// minutes says a time: "45 s", "4 min 5 s", "20 min".
func minutes(seconds float64) string {
	whole := int(math.RoundToEven(seconds)) // as the figure beside it is written
	switch {
	case whole < 60:
		return fmt.Sprintf("%d\u00a0s", whole)
	case whole%60 == 0:
		return fmt.Sprintf("%d\u00a0min", whole/60)
	}
	return fmt.Sprintf("%d\u00a0min %d\u00a0s", whole/60, whole%60)
}
