package gaugelog

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// The units of pressure, in bar.
//
// ref: SI_BROCHURE_9 bar; YARD_1959 psi
var barsIn = map[string]float64{"bar": 1, "kPa": 0.01, "MPa": 10, "psi": 0.06894757293168361}

// atmosphereBar is taken off absolute pressures.
//
// ref: ISO_2533 sea level
const atmosphereBar = 1.01325

// unitIn is the unit that a text names.
func unitIn(text string) (unit string, absolute, ok bool) {
	for _, w := range wordsOf(text) {
		stem := strings.TrimRight(w, "ga")
		switch {
		case w == "abs" || w == "absolute":
			absolute = true
			continue
		case w == "kpa" || w == "kpag" || w == "kpaa":
			unit = "kPa"
		case w == "mpa" || w == "mpag" || w == "mpaa":
			unit = "MPa"
		case stem == "psi":
			unit = "psi"
		case w == "bar" || w == "barg" || w == "bara" || w == "bars":
			unit = "bar"
		default:
			continue
		}
		ok = true
		absolute = absolute || w == "psia" || w == "bara" || w == "kpaa" || w == "mpaa"
	}
	return unit, absolute, ok
}

// setUnit takes the unit of pressure from the person, the header or the row of
// units, else bar.
func (l *layout) setUnit(wanted, underneath string) bool {
	unit, absolute, ok := unitIn(l.columns.Pressure)
	if !ok {
		unit, absolute, ok = unitIn(underneath)
	}
	if wanted != "" {
		found := false
		for name := range barsIn {
			if strings.EqualFold(name, wanted) {
				unit, found = name, true
			}
		}
		if !found {
			return false
		}
	} else if !ok {
		unit, l.unitGuessed = "bar", true
		l.columns.guess("pressures in bar: the header names no unit")
	}
	l.scale = barsIn[unit]
	if absolute {
		l.offsetBar = atmosphereBar
		l.columns.guess("absolute pressures: %g bar taken off", atmosphereBar)
	}
	l.columns.Unit, l.columns.Absolute = unit, absolute
	return true
}

// Between these a log that names no unit is taken to be in bar: hydraulic units of
// cars work from some 30 to some 250 bar, which is 400 to 3600 in psi and 3 to 25
// in MPa. Own estimates.
const (
	mostUnnamed  = 300.0
	leastUnnamed = 26.0
)

// doubtUnit refuses to guess the unit where the readings do not look like bar: a
// wrong one makes a sound unit a leaking one, or the other way about. Readings that
// are low are asked about only where they are so fine as MPa are written; a drained
// unit, or one whose pump makes no pressure, is low in bar as well.
func (r *reader) doubtUnit(bars []float64) error {
	if !r.l.unitGuessed || len(bars) < fewestToDoubt {
		return nil
	}
	high, fine := usualHigh(bars)
	doubt := func(than, unit string) error {
		return &Error{
			File: r.o.File, Line: r.l.columns.HeaderLine, Column: r.l.columns.Pressure,
			Problem:  fmt.Sprintf("no unit is named, and readings up to %.4g are too %s for bar", high, than),
			Expected: "the unit in the header, as in pressure_" + unit,
			Mends:    []Setting{SettingUnit},
		}
	}
	switch {
	case high > mostUnnamed:
		return doubt("high", "psi or pressure_kPa")
	case high >= 2 && high < leastUnnamed && fine:
		return doubt("low", "MPa")
	}
	return nil
}

// fewestToDoubt is how many readings it takes to see where they lie.
const fewestToDoubt = 20

// usualHigh is what nine of ten readings lie beneath, and whether they are
// written finer than whole numbers.
func usualHigh(p []float64) (high float64, fine bool) {
	var some []float64
	for i, stride := 0, max(1, len(p)/10_000); i < len(p); i += stride {
		if !math.IsNaN(p[i]) {
			some = append(some, p[i])
			fine = fine || p[i] != math.Trunc(p[i])
		}
	}
	if len(some) == 0 {
		return 0, false
	}
	slices.Sort(some)
	return some[len(some)*9/10], fine
}

// setTime takes form and unit of the times from the header, the row of units and
// the first time.
func (l *layout) setTime(underneath string, first []byte) bool {
	form, ok := formOf(first, l.point)
	if !ok {
		return false
	}
	l.form = form
	switch form {
	case clock:
		l.columns.TimeForm = "clock"
		return true
	case calendar:
		l.columns.TimeForm = "date and time"
		return true
	}
	l.columns.TimeForm = "s"
	named := false
	for _, w := range append(wordsOf(l.columns.Time), wordsOf(underneath)...) {
		for _, u := range []struct {
			words, name string
			seconds     float64
		}{{"ms msec millis milliseconds", "ms", 0.001}, {"us microseconds", "us", 1e-6}, {"min minutes", "min", 60}, {"h hours", "h", 3600}, {"s sec secs seconds", "s", 1}} {
			for word := range strings.FieldsSeq(u.words) {
				if w == word {
					l.columns.TimeForm, l.timeScale, named = u.name, u.seconds, true
				}
			}
		}
	}
	if named {
		return true
	}
	if value, _ := number(first, l.point); value > 1e11 {
		l.columns.TimeForm, l.timeScale = "ms", 0.001
		l.columns.guess("times in ms: the header names no unit and the first is %.0f", value)
		return true
	}
	l.columns.guess("times in s: the header names no unit")
	return true
}
