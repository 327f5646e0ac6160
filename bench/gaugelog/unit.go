package gaugelog

import "strings"

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
		unit = "bar"
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
