package track

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"time"
)

// Point is a speed at a moment.
type Point struct {
	AtS     float64 // from the first point
	SpeedMS float64
}

// Track is how fast the car went.
type Track struct {
	Points []Point
	Kind   string    // "CSV", "GPX", "NMEA"
	Starts time.Time // of the first point; zero where the file has no date
	Notes  []string  // what was guessed, what was left out
}

// What is taken.
const (
	LargestBytes = 8 << 20
	fastestMS    = 150
	longestS     = 24 * 3600
	longGapS     = 5
)

// Read reads a CSV, a GPX or an NMEA file. An error that is no [*Error] is the
// reader's own.
func Read(r io.Reader) (Track, error) {
	data, err := io.ReadAll(io.LimitReader(r, LargestBytes+1))
	if err != nil {
		return Track{}, err
	}
	if len(data) > LargestBytes {
		return Track{}, wrong(0, "the piece of it in which the recording was made", "the file is larger than 8 MB")
	}
	data = bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n")
	switch {
	case len(data) == 0:
		return Track{}, wrong(0, "times and speeds", "the file is empty")
	case data[0] == '<':
		return readGPX(data)
	case data[0] == '$' || data[0] == '!':
		return readNMEA(data)
	}
	return readCSV(data)
}

// raw is a point before its time is counted from the first.
type raw struct {
	line    int
	atS     float64
	speedMS float64
}

// build checks the points and counts their times from the first.
func build(kind string, points []raw, starts time.Time, notes []string) (Track, error) {
	if len(points) < 2 {
		return Track{}, wrong(0, "at least two moments with a speed", "%d points with a time and a speed", len(points))
	}
	t := Track{Kind: kind, Starts: starts, Notes: notes}
	twice, widest := 0, 0.0
	for i, p := range points {
		if !(p.speedMS >= 0 && p.speedMS <= fastestMS) {
			return Track{}, wrong(p.line, "0 to 540 km/h", "a speed of %.4g km/h", p.speedMS*3.6)
		}
		at := p.atS - points[0].atS
		if math.IsNaN(at) || at > longestS {
			return Track{}, wrong(p.line, "times within a day", "%.0f s after the first point", at)
		}
		if i > 0 {
			gap := at - t.Points[len(t.Points)-1].AtS
			if gap < 0 {
				return Track{}, wrong(p.line, "times that rise", "the time runs %.3g s backwards", -gap)
			}
			if gap == 0 {
				twice++
				continue
			}
			widest = math.Max(widest, gap)
		}
		t.Points = append(t.Points, Point{AtS: at, SpeedMS: p.speedMS})
	}
	if len(t.Points) < 2 {
		return Track{}, wrong(0, "at least two moments with a speed", "all points have the same time")
	}
	if twice > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%d points with the time of the one before were left out.", twice))
	}
	if widest > longGapS {
		t.Notes = append(t.Notes, fmt.Sprintf("There is a gap of %.0f s; the speed in it is drawn straight across.", widest))
	}
	return t, nil
}

// DurationS is from the first point to the last.
func (t Track) DurationS() float64 {
	if len(t.Points) == 0 {
		return 0
	}
	return t.Points[len(t.Points)-1].AtS
}

// Shaft is how often a wheel of that rolling radius turns in a second, at times
// counted from the beginning of a recording that began startsS after the first
// point.
func (t Track) Shaft(rollingRadiusMm, startsS float64) (atS, shaftHz []float64) {
	around := 2 * math.Pi * rollingRadiusMm / 1000
	for _, p := range t.Points {
		atS = append(atS, p.AtS-startsS)
		shaftHz = append(shaftHz, p.SpeedMS/around)
	}
	return atS, shaftHz
}
