package chart

import (
	"fmt"
	"math"
	"strconv"
)

// PressureLog is a log of a hydraulic power unit with what an instrument found
// in it. Times are seconds, pressures bar.
type PressureLog struct {
	Head       Head
	TimeS      []float64 // rising
	Bar        []float64
	Runs       []LogRun
	Actuations []float64    // when something was operated
	Fitted     [][]LogPoint // cooling and leak together, hold by hold
	Leak       [][]LogPoint // the leak alone
}

// LogRun is one run of the pump. An interval or level that is not known is nil.
type LogRun struct {
	OnS, OffS     float64
	IntervalS     *float64
	CutIn, CutOut *float64
	Counts        bool // its interval counts in the mean
	Cold          bool // the fill from empty
}

// LogPoint is one point of a curve.
type LogPoint struct{ AtS, Bar float64 }

// mostLogRows bounds the table twin.
const mostLogRows = 200

// NewPressureLog draws a pressure log: for each pixel of its width the lowest
// and the highest reading, so that no spike is lost however long the log is.
func NewPressureLog(p PressureLog) Figure {
	if p.Head.Desc == "" {
		p.Head.Desc = p.describe()
	}
	return Figure{head: p.Head, role: "img", draw: p.draw, table: p.twin()}
}

func (p PressureLog) sound() bool { return len(p.TimeS) > 1 && len(p.TimeS) == len(p.Bar) }

func (p PressureLog) describe() string {
	if !p.sound() {
		return "No readings."
	}
	low, high := p.levels().padded(0)
	last := p.TimeS[len(p.TimeS)-1] - p.TimeS[0]
	return fmt.Sprintf("Pressure over %.3g %s, between %.3g and %.3g bar. Runs of the pump: %d. Actuations: %d.",
		last/timeUnit(last).seconds, timeUnit(last).name, low, high, len(p.Runs), len(p.Actuations))
}

func (p PressureLog) levels() *span {
	var s span
	s.take(p.Bar...)
	return &s
}

func (p PressureLog) twin() Table {
	t := Table{Columns: []string{"Run", "Starts at, s", "Interval, s", "Runs for, s", "Cut-in, bar", "Cut-out, bar", "Counts"}}
	orDash := func(v *float64) string {
		if v == nil {
			return "–"
		}
		return strconv.FormatFloat(*v, 'f', 1, 64)
	}
	for i, r := range p.Runs {
		if i == mostLogRows {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("and %d more", len(p.Runs)-i), "", "", "", "", "", ""})
			break
		}
		counts := "no"
		switch {
		case r.Counts:
			counts = "yes"
		case r.Cold:
			counts = "fill from empty"
		case r.IntervalS == nil:
			counts = "the first"
		}
		on, run := r.OnS, r.OffS-r.OnS
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), orDash(&on), orDash(r.IntervalS), orDash(&run), orDash(r.CutIn), orDash(r.CutOut), counts})
	}
	return t
}

// axisUnit is the unit that a time axis is written in.
type axisUnit struct {
	seconds float64
	name    string
}

func timeUnit(spanS float64) axisUnit {
	switch {
	case spanS < 180:
		return axisUnit{1, "s"}
	case spanS < 3*3600:
		return axisUnit{60, "min"}
	}
	return axisUnit{3600, "h"}
}

func (p PressureLog) draw(size Size) *drawing {
	if !p.sound() {
		return message(size, "No readings to draw.")
	}
	g := &drawing{width: size.width(), height: 250}
	if !size.narrow() {
		g.height = 320
	}
	low, high := p.levels().padded(0.06)
	const left, bottom = 34, 38
	x := Scale{p.TimeS[0], p.TimeS[len(p.TimeS)-1], left, g.width - 8}
	y := Scale{low, high, g.height - bottom, 18}
	p.drawAxes(g, x, y)
	for _, r := range p.Runs {
		if r.OffS > x.Low && r.OnS < x.High {
			g.add(rectShape{class: "fig-band", x: x.At(r.OnS), y: y.To, w: max(x.At(r.OffS)-x.At(r.OnS), 1), h: y.From - y.To})
		}
	}
	for i, at := range p.Actuations {
		if i < maxTicks {
			g.add(upright("fig-mark", x.At(at), y.To, y.From))
		}
	}
	for _, line := range p.strokes(x, y) {
		g.add(polyShape{class: "fig-line", points: line})
	}
	drawCurves(g, "fig-line fig-line-doubt", p.Leak, x, y)
	drawCurves(g, "fig-line-ahead", p.Fitted, x, y)
	drawKey(g, left, p.key())
	return g
}

func (p PressureLog) drawAxes(g *drawing, x, y Scale) {
	for _, v := range Ticks(y.Low, y.High, 6) {
		g.add(level("fig-grid", y.At(v), x.From, x.To), label("fig-tick-name", x.From-5, y.At(v)+4, atEnd, tickWords(v)))
	}
	g.add(label("fig-tick-name", 0, 10, atStart, "bar"), level("fig-axis", y.From, x.From, x.To))
	unit := timeUnit(x.High - x.Low)
	want := int((x.To - x.From) / 60)
	for _, v := range Ticks(0, (x.High-x.Low)/unit.seconds, max(want, 2)) {
		at := x.At(x.Low + v*unit.seconds)
		name := tickWords(v)
		if v == 0 {
			name += " " + unit.name
		}
		g.add(upright("fig-tick", at, y.From, y.From+4), label("fig-tick-name", at, y.From+18, atMiddle, name))
	}
}

// tickWords is a tick in words, without a zero below zero.
func tickWords(v float64) string { return strconv.FormatFloat(v+0, 'g', 6, 64) }

// strokes are the readings as lines: as they are where there are few, else the
// lowest and the highest of each pixel.
func (p PressureLog) strokes(x, y Scale) [][]point {
	if float64(len(p.TimeS)) <= 2*(x.To-x.From) {
		var line []point
		for i, at := range p.TimeS {
			if finite(p.Bar[i], at) {
				line = append(line, point{x.At(at), y.At(p.Bar[i])})
			}
		}
		return [][]point{line}
	}
	var line []point
	column, low, high := math.Inf(-1), 0.0, 0.0
	flush := func() {
		if !math.IsInf(column, -1) {
			line = append(line, point{column, y.At(low)}, point{column, y.At(high)})
		}
	}
	for i, at := range p.TimeS {
		if !finite(p.Bar[i], at) {
			continue
		}
		if c := math.Round(x.At(at)); c != column {
			flush()
			column, low, high = c, p.Bar[i], p.Bar[i]
		}
		low, high = min(low, p.Bar[i]), max(high, p.Bar[i])
	}
	flush()
	return [][]point{line}
}

// mostCurves bounds the fitted curves that are drawn.
const mostCurves = 60

func drawCurves(g *drawing, class string, curves [][]LogPoint, x, y Scale) {
	for i, curve := range curves {
		if i == mostCurves {
			return
		}
		var line []point
		for _, at := range curve {
			if finite(at.AtS, at.Bar) {
				line = append(line, point{x.At(at.AtS), y.At(at.Bar)})
			}
		}
		if len(line) > 1 {
			g.add(polyShape{class: class, points: line})
		}
	}
}

func (p PressureLog) key() []keyEntry {
	key := []keyEntry{{"pressure", keyLine("fig-line")}}
	if len(p.Runs) > 0 {
		key = append(key, keyEntry{"pump runs", keyBand("fig-band")})
	}
	if len(p.Actuations) > 0 {
		key = append(key, keyEntry{"something operated", keyLine("fig-mark")})
	}
	if len(p.Fitted) > 0 {
		key = append(key, keyEntry{"fitted: cooling and leak", keyLine("fig-line-ahead")})
	}
	if len(p.Leak) > 0 {
		key = append(key, keyEntry{"the leak alone", keyLine("fig-line fig-line-doubt")})
	}
	return key
}
