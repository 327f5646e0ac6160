package gaugelog

import (
	"bytes"
	"fmt"
	"strings"
)

// headerLines is how far down a header is looked for.
const headerLines = 60

// layout is where things stand in a row.
type layout struct {
	separator                   byte
	point                       byte
	date, time, pressure, event int  // -1 for none
	pump                        bool // the marks are the pump's state
	scale                       float64
	unitGuessed                 bool // bar, for nothing names the unit
	offsetBar                   float64
	timeScale                   float64
	form                        timeForm
	columns                     Columns
}

// wordsOf is a header's name in small letters and split at what is no letter
// or digit.
func wordsOf(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r >= 0 && r < 128 && (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
}

// likeness is how well a name fits one of the words: 3 where it is the word
// itself or begins with it as a word of its own, 2 where a word begins so.
func likeness(name string, words ...string) int {
	best := 0
	for i, w := range wordsOf(name) {
		for _, want := range words {
			switch {
			case w == want && i == 0:
				best = max(best, 3)
			case w == want || len(want) > 3 && strings.HasPrefix(w, want):
				best = max(best, 2)
			}
		}
	}
	return best
}

func timeLikeness(name string) int {
	return likeness(name, "time", "t", "timestamp", "zeit", "elapsed", "seconds", "sec", "s", "clock", "datetime", "temps", "ms")
}

func pressureLikeness(name string) int {
	return likeness(name, "pressure", "press", "p", "druck", "pression", "bar", "psi", "kpa", "mpa", "psig", "psia", "barg", "bara")
}

func eventLikeness(name string) int {
	if n := likeness(name, "event", "events", "mark", "marker", "note", "notes", "comment", "action", "ereignis"); n > 0 {
		return n
	}
	return min(likeness(name, pumpWords...), 1) // a column of the pump's state will do
}

var pumpWords = []string{"pump", "motor", "relay"}

func dateLikeness(name string) int { return likeness(name, "date", "datum") }

// pick is the column that the person named, else the one that looks most like
// it; others are those that look as well.
func pick(names []string, wanted string, like func(string) int, taken ...int) (at int, others []string) {
	at = -1
	best := 0
	for i, name := range names {
		if wanted != "" {
			if strings.EqualFold(strings.TrimSpace(wanted), name) {
				return i, nil
			}
			continue
		}
		n := like(name)
		for _, t := range taken {
			if t == i {
				n = 0
			}
		}
		switch {
		case n > best:
			at, best, others = i, n, nil
		case n == best && n > 0:
			others = append(others, name)
		}
	}
	return at, others
}

// separatorOf is the separator that cuts a line into most cells.
func separatorOf(line []byte) byte {
	best, most := byte(','), 0
	for _, c := range []byte("\t;|,") {
		if n := bytes.Count(line, []byte{c}); n > most {
			best, most = c, n
		}
	}
	return best
}

// readHeader takes a line as the header, if it is one.
func readHeader(line []byte, o Options) (layout, []string, bool) {
	l := layout{separator: separatorOf(line), point: '.', date: -1, event: -1, timeScale: 1, scale: 1}
	var names []string
	for _, cell := range splitLine(line, l.separator, nil) {
		if _, numeric := number(cell, '.'); numeric {
			return l, nil, false
		}
		names = append(names, strings.ToValidUTF8(string(cell), "?"))
	}
	var alike []string
	l.time, _ = pick(names, o.Time, timeLikeness)
	if l.time < 0 && o.Time == "" {
		l.time, _ = pick(names, "", dateLikeness)
	}
	l.pressure, alike = pick(names, o.Pressure, pressureLikeness, l.time)
	if l.time < 0 || l.pressure < 0 {
		return l, names, false
	}
	l.event, _ = pick(names, o.Event, eventLikeness, l.time, l.pressure)
	l.date, _ = pick(names, "", dateLikeness, l.time, l.pressure, l.event)
	c := &l.columns
	c.Time, c.Pressure, c.Separator = names[l.time], names[l.pressure], separatorNames[l.separator]
	if o.Time == "" {
		c.guess("time column %q", c.Time)
	}
	if o.Pressure == "" {
		c.guess("pressure column %q", c.Pressure)
	}
	if len(alike) > 0 {
		c.guess("the first of several columns of pressure (also %s)", strings.Join(alike, ", "))
	}
	if l.event >= 0 {
		c.Event = names[l.event]
		l.pump = likeness(c.Event, pumpWords...) > 0
		if o.Event == "" {
			c.guess("marks in column %q", c.Event)
		}
	}
	return l, names, true
}

func (c *Columns) guess(format string, args ...any) {
	c.Guessed = append(c.Guessed, fmt.Sprintf(format, args...))
}

// lacks says which column a file has not.
func lacks(o Options, names []string, line int) *Error {
	e := &Error{File: o.File, Line: line, Problem: "no header with a column of times and one of pressures"}
	e.Expected, e.Mends = "a first row such as time_s,pressure_bar", []Setting{SettingTime, SettingPressure}
	if len(names) == 0 {
		return e
	}
	has := strings.Join(names, ", ")
	for _, want := range []struct {
		name    string
		setting Setting
		like    func(string) int
	}{{o.Time, SettingTime, timeLikeness}, {o.Pressure, SettingPressure, pressureLikeness}} {
		at, _ := pick(names, want.name, want.like)
		switch {
		case at >= 0:
		case want.name != "":
			e.Problem, e.Expected = fmt.Sprintf("no column %q", want.name), "one of "+has
			e.Wrong, e.Mends = want.setting, nil
			return e
		default:
			e.Problem, e.Expected = fmt.Sprintf("no column of %ss among %s", want.setting, has), "a header that names one"
			e.Mends = []Setting{want.setting}
			return e
		}
	}
	return e
}
