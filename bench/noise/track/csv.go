package track

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// units of a speed, metres a second each.
var units = []struct {
	names []string
	ms    float64
	said  string
}{
	{[]string{"km/h", "kmh", "kph", "km_h", "kmph"}, 1 / 3.6, "km/h"},
	{[]string{"mph", "mi/h"}, 0.44704, "mph"},
	{[]string{"knots", "knot", "kn", "kt", "kts"}, 1852.0 / 3600, "knots"},
	{[]string{"m/s", "ms", "mps", "m_s"}, 1, "m/s"},
}

// columns say where the time and the speed stand.
type columns struct {
	time, speed int
	timeScale   float64 // of a plain number, s
	speedScale  float64 // m/s
	notes       []string
}

const wantedHeader = "a header with a time and a speed, such as time_s,speed_kmh"

// readCSV reads times and speeds.
func readCSV(data []byte) (Track, error) {
	text := string(data)
	separator := separatorOf(text)
	in := csv.NewReader(strings.NewReader(text))
	in.Comma, in.FieldsPerRecord, in.LazyQuotes, in.TrimLeadingSpace = separator, -1, true, true
	var col *columns
	var points []raw
	var starts time.Time
	empty := 0
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Track{}, wrong(lineOf(err), "a CSV of times and speeds", "the row cannot be read")
		}
		line, _ := in.FieldPos(0)
		if col == nil {
			if col, err = headerOf(row, line); err != nil {
				return Track{}, err
			}
			if !plainNumbers(row) {
				continue
			}
		}
		p, day, ok, err := col.point(row, line)
		switch {
		case err != nil:
			return Track{}, err
		case !ok:
			empty++
			continue
		case len(points) == 0:
			starts = day
		}
		points = append(points, p)
	}
	if col == nil {
		return Track{}, wrong(0, wantedHeader, "no row")
	}
	notes := col.notes
	if empty > 0 {
		notes = append(notes, fmt.Sprintf("%d rows without a speed were left out.", empty))
	}
	return build("CSV", acrossMidnight(points, starts), starts, notes)
}

func lineOf(err error) int {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return parse.Line
	}
	return 0
}

// separatorOf is the sign that divides the first line.
func separatorOf(text string) rune {
	first, _, _ := strings.Cut(text, "\n")
	switch {
	case strings.Contains(first, ";"):
		return ';'
	case strings.Contains(first, "\t"):
		return '\t'
	}
	return ','
}

func plainNumbers(row []string) bool {
	for _, cell := range row {
		if _, ok := number(cell); !ok {
			return false
		}
	}
	return true
}

// headerOf finds the columns by their names; a first row of numbers has none.
func headerOf(row []string, line int) (*columns, error) {
	c := columns{time: -1, speed: -1, timeScale: 1}
	if plainNumbers(row) {
		if len(row) != 2 {
			return nil, wrong(line, wantedHeader, "%d columns without a name", len(row))
		}
		return &columns{0, 1, 1, 1 / 3.6, []string{"The columns have no names: taken as seconds and km/h."}}, nil
	}
	for i, cell := range row {
		name := strings.ToLower(strings.TrimSpace(cell))
		words := strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" ()[]_,.", r) })
		switch {
		case c.speed < 0 && isSpeed(name, words):
			c.speed = i
			c.speedScale = c.unitOf(name, words)
		case c.time < 0 && isTime(words):
			c.time = i
			if contains(words, "ms", "millis", "milliseconds") {
				c.timeScale = 1e-3
			} else if contains(words, "min", "minutes") {
				c.timeScale = 60
			}
		}
	}
	switch {
	case c.time < 0:
		return nil, wrong(line, wantedHeader, "no column is a time: %s", strings.Join(row, ", "))
	case c.speed < 0:
		return nil, wrong(line, wantedHeader, "no column is a speed: %s", strings.Join(row, ", "))
	}
	return &c, nil
}

func isSpeed(name string, words []string) bool {
	if contains(words, "speed", "velocity", "v") {
		return true
	}
	for _, u := range units[:3] {
		for _, n := range u.names {
			if name == n {
				return true
			}
		}
	}
	return name == "m/s"
}

func isTime(words []string) bool {
	return contains(words, "time", "t", "seconds", "s", "elapsed", "timestamp", "utc", "clock", "date")
}

func contains(words []string, any ...string) bool {
	for _, w := range words {
		for _, a := range any {
			if w == a {
				return true
			}
		}
	}
	return false
}

// unitOf is the unit of a speed by its column's name.
func (c *columns) unitOf(name string, words []string) float64 {
	for _, u := range units {
		if contains(words, u.names...) {
			return u.ms
		}
	}
	for _, u := range units {
		for _, n := range u.names {
			if len(n) > 2 && strings.Contains(name, n) {
				return u.ms
			}
		}
	}
	c.notes = append(c.notes, "The speed names no unit: taken as km/h.")
	return 1 / 3.6
}

// point reads a row; ok is false where it has no speed.
func (c *columns) point(row []string, line int) (p raw, day time.Time, ok bool, err error) {
	if c.speed >= len(row) || missing(row[c.speed]) {
		return p, day, false, nil
	}
	v, good := number(row[c.speed])
	if !good {
		return p, day, false, wrong(line, "a speed", "%q is no number", row[c.speed])
	}
	if c.time >= len(row) {
		return p, day, false, wrong(line, "a time and a speed", "the row has no time")
	}
	at, day, good := moment(row[c.time], c.timeScale)
	if !good {
		return p, day, false, wrong(line, "seconds, 14:03:22 or 2026-03-01T14:03:22Z", "%q is no time", row[c.time])
	}
	return raw{line: line, atS: at, speedMS: v * c.speedScale}, day, true, nil
}

func missing(cell string) bool {
	switch strings.ToLower(strings.TrimSpace(cell)) {
	case "", "nan", "na", "n/a", "-", "null":
		return true
	}
	return false
}

// number reads a plain number, with a point or a comma.
func number(cell string) (float64, bool) {
	cell = strings.TrimSpace(cell)
	if strings.Count(cell, ",") == 1 && !strings.Contains(cell, ".") {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

var dates = []string{time.RFC3339Nano, "2006-01-02 15:04:05Z07:00", "2006-01-02T15:04:05", "2006-01-02 15:04:05"}

// moment reads a time: seconds, a clock, or a date with a clock.
func moment(cell string, scale float64) (atS float64, day time.Time, ok bool) {
	cell = strings.TrimSpace(cell)
	if v, plain := number(cell); plain {
		return v * scale, time.Time{}, true
	}
	for _, form := range dates {
		if d, err := time.Parse(form, strings.Replace(cell, ",", ".", 1)); err == nil {
			// Seconds of the epoch hold a microsecond in a float64.
			return float64(d.Unix()) + float64(d.Nanosecond())*1e-9, d, true
		}
	}
	if d, err := time.Parse("15:04:05", strings.Replace(cell, ",", ".", 1)); err == nil {
		return float64(d.Hour()*3600+d.Minute()*60+d.Second()) + float64(d.Nanosecond())*1e-9, time.Time{}, true
	}
	return 0, time.Time{}, false
}

// acrossMidnight lets a clock without a date pass midnight once.
func acrossMidnight(points []raw, starts time.Time) []raw {
	if !starts.IsZero() {
		return points
	}
	const day = 24 * 3600
	for i := 1; i < len(points); i++ {
		if points[i].atS < points[i-1].atS-day/2 && points[i-1].atS <= day {
			for j := i; j < len(points); j++ {
				points[j].atS += day
			}
			break
		}
	}
	return points
}
