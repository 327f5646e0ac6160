package workshop

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// TapKind is what a tap says.
type TapKind int

// The taps.
const (
	TapPumpOn   TapKind = iota // the pump starts
	TapPumpOff                 // the pump stops
	TapOperated                // something was operated
	TapReading                 // the gauge reads
)

// Tap is one tap of the stopwatch: what happened when.
type Tap struct {
	AtS  float64   // seconds after the first tap
	At   time.Time // by the clock on the wall; zero where the list counts seconds or gives a clock without a day
	Kind TapKind
	Bar  float64 // of a reading
	Line int     // in the list, from 1
}

// TapsError is a line of a list of taps that cannot be read.
type TapsError struct {
	Line     int // 0: the list as a whole
	Problem  string
	Expected string
}

func (e *TapsError) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("%s; expected %s", e.Problem, e.Expected)
	}
	return fmt.Sprintf("line %d: %s; expected %s", e.Line, e.Problem, e.Expected)
}

// mostTaps bounds a list: a day of readings every ten seconds.
const mostTaps = 10_000

// tapForms are the ways in which a list may write its times.
const tapForms = "a time such as 18:03:07, 4:10 on a stopwatch, 250 for seconds, or 2026-03-21T18:03:07Z"

// ReadTaps reads a list of taps, one a line: a time, and what happened then:
// nothing or "on" (the pump starts), "off" (it stops), "used" (something was
// operated), or a number (the gauge in bar). Times are all of one form: with the
// day (RFC 3339), h:mm:ss by a clock, m:ss of a stopwatch, or seconds. A clock
// that passes midnight is followed. Text after # is left out.
func ReadTaps(list string) ([]Tap, error) {
	r := tapReader{form: -1}
	for i, line := range strings.Split(list, "\n") {
		line, _, _ = strings.Cut(line, "#")
		words := strings.Fields(strings.ReplaceAll(line, ";", " "))
		if len(words) == 0 {
			continue
		}
		if len(r.taps) == mostTaps {
			return nil, &TapsError{i + 1, "the list is longer than can be", fmt.Sprintf("at most %d taps", mostTaps)}
		}
		if err := r.line(i+1, words); err != nil {
			return nil, err
		}
	}
	return r.taps, nil
}

type tapReader struct {
	taps  []Tap
	form  int     // number of colons of the times, 4: with the day
	first float64 // seconds
	days  float64 // midnights passed, in seconds
}

// withDay is the form of a time that names its day.
const withDay = 4

func (r *tapReader) line(number int, words []string) error {
	at, form, seconds, ok := readMoment(words[0])
	if !ok || len(words) > 2 {
		return &TapsError{number, fmt.Sprintf("%q is no time and what happened then", shortened(strings.Join(words, " "))), tapForms + ", then on, off, used or a pressure in bar"}
	}
	if r.form >= 0 && form != r.form {
		return &TapsError{number, fmt.Sprintf("%q is written otherwise than the times above", shortened(words[0])), "the same form in every line"}
	}
	t := Tap{At: at, Line: number}
	if len(words) == 2 {
		if t.Kind, t.Bar, ok = readTapKind(words[1]); !ok {
			return &TapsError{number, fmt.Sprintf("%q is not known", shortened(words[1])), "on, off, used or a pressure in bar, such as 49"}
		}
	}
	if r.form < 0 {
		r.form, r.first = form, seconds
	}
	const day = 24 * 3600
	if n := len(r.taps); n > 0 && form == 2 && seconds+r.days-r.first < r.taps[n-1].AtS-day/2 {
		r.days += day
	}
	t.AtS = seconds + r.days - r.first
	if n := len(r.taps); n > 0 && t.AtS < r.taps[n-1].AtS {
		return &TapsError{number, fmt.Sprintf("%s is before the line above", shortened(words[0])), "times in order"}
	}
	r.taps = append(r.taps, t)
	return nil
}

// readMoment reads a time; form is the number of its colons, or withDay.
func readMoment(text string) (at time.Time, form int, seconds float64, ok bool) {
	if strings.ContainsRune(text, 'T') {
		at, err := time.Parse(time.RFC3339, text)
		sensible := err == nil && at.Year() >= 1970 && at.Year() <= 2200
		return at, withDay, float64(at.UnixMilli()) / 1000, sensible
	}
	parts := strings.Split(strings.ReplaceAll(text, ",", "."), ":")
	if len(parts) > 3 {
		return at, 0, 0, false
	}
	for i, part := range parts {
		v, err := strconv.ParseFloat(part, 64)
		whole := i == len(parts)-1 || !strings.Contains(part, ".")
		if err != nil || strings.Trim(part, "0123456789.") != "" || v > 1e7 || i > 0 && v >= 60 || !whole {
			return at, 0, 0, false
		}
		seconds = 60*seconds + v
	}
	return at, len(parts) - 1, seconds, true
}

func readTapKind(word string) (kind TapKind, bar float64, ok bool) {
	switch strings.ToLower(word) {
	case "on", "start":
		return TapPumpOn, 0, true
	case "off", "stop":
		return TapPumpOff, 0, true
	case "used", "shift":
		return TapOperated, 0, true
	}
	bar, err := strconv.ParseFloat(strings.Replace(word, ",", ".", 1), 64)
	return TapReading, bar, err == nil && strings.Trim(word, "0123456789.,-") == "" && bar >= -2 && bar <= 1000
}

func shortened(text string) string {
	runes := []rune(text)
	if len(runes) > 40 {
		return string(runes[:39]) + "…"
	}
	return text
}
