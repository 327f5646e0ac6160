package workshop

import (
	"math"
	"slices"
	"strconv"

	"wreckwright/bench/check"
	"wreckwright/rebuild"
)

// figureChance is the name of the figure that is the chance of lying within the
// limits.
const figureChance = "Chance within the limits"

// IsChance reports a figure that is the chance of lying within the limits.
func IsChance(f rebuild.EvidenceFigure) bool { return f.Name == figureChance }

// The names of the figures that are limits, or where a value is accepted from.
const (
	figureLower  = "Lower limit"
	figureUpper  = "Upper limit"
	figureFrom   = "Accepted from"
	figureUpTo   = "Accepted up to"
	figureWornAt = "Worn out at"
)

// IsBound reports a figure that is a limit, or where a value is accepted from.
func IsBound(f rebuild.EvidenceFigure) bool {
	return slices.Contains([]string{figureLower, figureUpper, figureFrom, figureUpTo, figureWornAt}, f.Name)
}

// ShownFigures are the figures of a measurement as they are shown: where a value is
// accepted from has the digits of the value's own doubt, here as on its picture.
func ShownFigures(e *rebuild.Evidence) []rebuild.EvidenceFigure {
	if e.Instrument != rebuild.InstrumentCheck {
		return e.Figures
	}
	return shownFigures(e.Figures)
}

// Shown are the figures as they are shown.
func (out Checked) Shown() []rebuild.EvidenceFigure { return shownFigures(out.Figures) }

func shownFigures(kept []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	list := slices.Clone(kept)
	for i := range list {
		if f := &list[i]; f.Name == figureFrom || f.Name == figureUpTo {
			f.Value = ShownBound(list[0], f.Value)
		}
	}
	return list
}

// ShownBound is where a value is accepted from, to one digit beyond the first of the
// value's doubt.
func ShownBound(value rebuild.EvidenceFigure, v float64) float64 {
	scale := math.Abs(v) / 1000
	if value.Low != nil && value.High != nil && *value.High > *value.Low {
		scale = (*value.High - *value.Low) / 10
	}
	if scale <= 0 {
		return v
	}
	digits := min(max(0, -int(math.Floor(math.Log10(scale)))), 9)
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', digits, 64), 64)
	if err != nil {
		return v
	}
	return short
}

// extremes are the largest and the smallest place of a spread, which other
// questions ask for: how bad the worst cylinder is.
func extremes(r check.Result, c check.Case) []rebuild.EvidenceFigure {
	if r.Form != "spread" && r.Form != "spread_percent" || len(r.Parts) == 0 {
		return nil
	}
	high, low := r.Parts[0].Mean, r.Parts[0].Mean
	for _, p := range r.Parts {
		high, low = max(high, p.Mean), min(low, p.Mean)
	}
	unit := c.Unit
	if r.Form == "spread_percent" {
		unit = "" // of the readings, which nobody said
	}
	figures := []rebuild.EvidenceFigure{{Name: r.Name + LargestOf, Value: high, Unit: unit}, {Name: r.Name + SmallestOf, Value: low, Unit: unit}}
	if limit := c.Instrument.Limit; limit != nil && *limit > 0 {
		for i, v := range []float64{high, low} {
			figures[i].Low, figures[i].High = new(v-0.95**limit), new(v+0.95**limit) // of a rectangular distribution
		}
	}
	return figures
}

// The ends of the names of the largest and the smallest place of a spread.
const (
	LargestOf  = ": largest"
	SmallestOf = ": smallest"
)

func bound(name string, at *float64, unit string) []rebuild.EvidenceFigure {
	if at == nil {
		return nil
	}
	return []rebuild.EvidenceFigure{{Name: name, Value: *at, Unit: unit}}
}

// Leading are the figures that a person looks at first.
func (out Checked) Leading() []rebuild.EvidenceFigure { return leadingChecked(out.Figures) }

// leadingChecked are the value and what decides: the chance, or the distance left.
func leadingChecked(all []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for i, f := range all {
		if i == 0 || f.Name == figureChance || f.Name == "Distance left" {
			list = append(list, f)
		}
	}
	return list
}
