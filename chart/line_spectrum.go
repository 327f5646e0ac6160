package chart

import (
	"fmt"
	"math"
	"strconv"
)

// LineSpectrum is a spectrum over the turns of a shaft, with the lines that its
// parts would make. Levels are dB over the noise about them.
type LineSpectrum struct {
	Head Head
	Main SpectrumCurve
	// Before is another recording to hold it against; without levels: none.
	Before SpectrumCurve
	Top    float64 // of the axis; 0: as far as the curves go
	Lanes  []LineLane
}

// SpectrumCurve is one recording: piece k lies at (k+1) Step.
type SpectrumCurve struct {
	Name   string
	Step   float64
	OverDB []float64
}

// LineLane is one part and where its lines are expected.
type LineLane struct {
	Name  string
	Lines []ExpectedLine
}

// ExpectedLine is one line of a part.
type ExpectedLine struct {
	At       float64 // turns of the shaft
	Harmonic int
	OverDB   float64
	Found    bool
}

// NewLineSpectrum draws a spectrum with the lines that are expected.
func NewLineSpectrum(s LineSpectrum) Figure {
	if s.Head.Desc == "" {
		s.Head.Desc = s.describe()
	}
	return Figure{head: s.Head, role: "img", draw: s.draw, table: s.twin()}
}

func (s LineSpectrum) sound() bool { return len(s.Main.OverDB) > 1 && s.Main.Step > 0 }

func (s LineSpectrum) top() float64 {
	if s.Top > 0 {
		return s.Top
	}
	return math.Max(s.Main.Step*float64(len(s.Main.OverDB)), s.Before.Step*float64(len(s.Before.OverDB)))
}

func (s LineSpectrum) describe() string {
	if !s.sound() {
		return "No spectrum."
	}
	text := fmt.Sprintf("Spectrum of the envelope up to %s times per turn.", threeDigits(s.top()))
	for _, lane := range s.Lanes {
		found := 0
		for _, l := range lane.Lines {
			if l.Found {
				found++
			}
		}
		text += fmt.Sprintf(" %s: %d of %d lines found.", lane.Name, found, len(lane.Lines))
	}
	return text
}

func (s LineSpectrum) twin() Table {
	t := Table{Columns: []string{"Line", "Times per turn", "dB over the noise", "Stands out"}}
	for _, lane := range s.Lanes {
		for _, l := range lane.Lines {
			stands := "no"
			if l.Found {
				stands = "yes"
			}
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%s, %d", lane.Name, l.Harmonic), threeDigits(l.At), fmt.Sprintf("%.0f", l.OverDB), stands})
		}
	}
	if len(s.Lanes) == 0 {
		for _, at := range s.highest(8) {
			t.Rows = append(t.Rows, []string{"peak", threeDigits(float64(at+1) * s.Main.Step), fmt.Sprintf("%.0f", s.Main.OverDB[at]), "–"})
		}
	}
	return t
}

// highest are the places of the highest pieces, in their order.
func (s LineSpectrum) highest(n int) []int {
	var places []int
	for i, v := range s.Main.OverDB {
		if i > 0 && i+1 < len(s.Main.OverDB) && v > s.Main.OverDB[i-1] && v >= s.Main.OverDB[i+1] && v > 12 {
			places = append(places, i)
		}
	}
	for len(places) > n {
		least := 0
		for i := range places {
			if s.Main.OverDB[places[i]] < s.Main.OverDB[places[least]] {
				least = i
			}
		}
		places = append(places[:least], places[least+1:]...)
	}
	return places
}

const (
	laneHeight  = 38
	lowestOver  = 0 // dB
	leastOverDB = 20
)

func (s LineSpectrum) draw(size Size) *drawing {
	if !s.sound() {
		return message(size, "There is no spectrum to draw.")
	}
	plot := 190.0
	if !size.narrow() {
		plot = 250
	}
	lanes := float64(len(s.Lanes)) * laneHeight
	g := &drawing{width: size.width(), height: lanes + plot + 36}
	high := float64(leastOverDB)
	for _, c := range []SpectrumCurve{s.Main, s.Before} {
		for _, v := range c.OverDB {
			if finite(v) {
				high = math.Max(high, v+2)
			}
		}
	}
	x := Scale{0, s.top(), 34, g.width - 10}
	y := Scale{lowestOver, high, g.height - 36, lanes + 27}
	s.drawAxes(g, x, y)
	s.drawLanes(g, x, y)
	if len(s.Before.OverDB) > 0 {
		area := s.Before.outline(x, y)
		area = append(area, point{area[len(area)-1].x, y.At(lowestOver)}, point{area[0].x, y.At(lowestOver)})
		g.add(polyShape{class: "fig-spectrum-before", points: area, closed: true})
	}
	g.add(polyShape{class: "fig-line fig-spectrum", points: s.Main.outline(x, y)})
	drawKey(g, 34, s.key())
	return g
}

func (s LineSpectrum) drawAxes(g *drawing, x, y Scale) {
	for _, v := range Ticks(0, y.High, 5) {
		g.add(level("fig-grid", y.At(v), x.From, x.To), label("fig-tick-name", x.From-5, y.At(v)+4, atEnd, tickWords(v)))
	}
	g.add(label("fig-tick-name", 0, y.To-9, atStart, "dB over the noise"), level("fig-axis", y.From, x.From, x.To))
	ticks := Ticks(0, x.High, max(int((x.To-x.From)/50), 3))
	for i, v := range ticks {
		name, anchored := tickWords(v), atMiddle
		if i == len(ticks)-1 {
			name += " a turn"
			if x.At(v)+textWidth(name, textSize)/2 > g.width {
				anchored = atEnd
			}
		}
		at := x.At(v)
		if anchored == atEnd {
			at = g.width - 1
		}
		g.add(upright("fig-tick", x.At(v), y.From, y.From+4), label("fig-tick-name", at, y.From+18, anchored, name))
	}
}

// drawLanes draws a row for each part, its lines as rings with the number of the
// harmonic: filled where one stands out, and led down into the plot.
func (s LineSpectrum) drawLanes(g *drawing, x, y Scale) {
	for i, lane := range s.Lanes {
		middle := float64(i)*laneHeight + 24
		g.add(textShape{class: "fig-text fig-small fig-muted", at: point{2, middle - 13}, size: smallSize, text: lane.Name}, level("fig-grid", middle, x.From, x.To))
		for k, l := range lane.Lines {
			if l.At > x.High || l.At < x.Low {
				continue
			}
			at, class, r := x.At(l.At), "fig-expected-line", 8.5
			crowded := k > 0 && at-x.At(lane.Lines[k-1].At) < 18 || k+1 < len(lane.Lines) && x.At(lane.Lines[k+1].At)-at < 18
			if crowded {
				r = 4
			}
			if l.Found {
				class += " fig-found-line"
				g.add(upright("fig-line-mark", at, middle+r, y.From))
			}
			g.add(circleShape{class: class, centre: point{at, middle}, r: r})
			if !crowded {
				number := "fig-expected-number"
				if l.Found {
					number = "fig-found-number"
				}
				g.add(textShape{class: "fig-text fig-small " + number, at: point{at, middle + 4}, anchor: atMiddle, size: smallSize, text: strconv.Itoa(l.Harmonic)})
			}
		}
	}
}

// outline is the curve: of each unit of the axis its highest, so that no line is lost.
func (c SpectrumCurve) outline(x, y Scale) []point {
	var line []point
	for i, v := range c.OverDB {
		at := float64(i+1) * c.Step
		if at > x.High || !finite(v) {
			continue
		}
		p := point{math.Round(2*x.At(at)) / 2, y.At(v)}
		if n := len(line); n > 0 && line[n-1].x == p.x {
			line[n-1].y = math.Min(line[n-1].y, p.y)
			continue
		}
		line = append(line, p)
	}
	if len(line) == 0 {
		line = []point{{x.From, y.At(0)}}
	}
	return line
}

func (s LineSpectrum) key() []keyEntry {
	name := s.Main.Name
	if name == "" {
		name = "the recording"
	}
	key := []keyEntry{{name, keyLine("fig-line fig-spectrum")}}
	if len(s.Before.OverDB) > 0 {
		key = append(key, keyEntry{s.Before.Name, keyBand("fig-spectrum-before")})
	}
	if len(s.Lanes) > 0 {
		key = append(key, keyEntry{"expected, not heard", keyRing("fig-expected-line")}, keyEntry{"expected and heard", keyRing("fig-expected-line fig-found-line")})
	}
	return key
}

func keyRing(class string) func(point) []shape {
	return func(p point) []shape {
		return []shape{circleShape{class: class, centre: point{p.x + 7, p.y}, r: 6}}
	}
}
