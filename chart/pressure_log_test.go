package chart

import (
	"math"
	"strings"
	"testing"
)

// samplePressureLog is an invented saw-tooth with one spike.
func samplePressureLog(readings int) PressureLog {
	p := PressureLog{Head: Head{ID: "log", Title: "Pressure"}}
	for i := range readings {
		at := float64(i) * 1200 / float64(readings)
		p.TimeS, p.Bar = append(p.TimeS, at), append(p.Bar, 50-10*math.Mod(at, 300)/300)
	}
	p.Bar[readings/2] = 70
	interval, in, out := 300.0, 40.0, 50.0
	p.Runs = []LogRun{{OnS: 295, OffS: 300}, {OnS: 595, OffS: 600, IntervalS: &interval, CutIn: &in, CutOut: &out, Counts: true}}
	p.Actuations = []float64{700}
	p.Fitted = [][]LogPoint{{{300, 50}, {320, 47}, {595, 40}}}
	p.Leak = [][]LogPoint{{{300, 47.5}, {595, 40}}}
	return p
}

// A spike of one reading among a million is drawn, and the figure stays small.
func TestALongLogKeepsItsSpikes(t *testing.T) {
	f := NewPressureLog(samplePressureLog(1_000_000))
	for _, size := range []Size{Phone, Desk} {
		highest, points := math.Inf(1), 0
		for _, s := range f.draw(size).shapes {
			if line, ok := s.(polyShape); ok && line.class == "fig-line" {
				highest = min(highest, line.bounds().y0)
				points += len(line.points)
			}
		}
		if most := int(2*size.WidthPx) + 4; points > most || points < 300 {
			t.Errorf("%s: %d points, at most %d", size.Name, points, most)
		}
		if highest > 40 {
			t.Errorf("%s: the spike reaches up to %g only", size.Name, highest)
		}
	}
	if n := len(f.HTML()); n > 60_000 {
		t.Errorf("%d bytes", n)
	}
}

func TestALogSaysWhatIsInIt(t *testing.T) {
	f := NewPressureLog(samplePressureLog(600))
	for _, words := range []string{"Pressure over 20", "between 40", "and 70 bar", "Runs of the pump: 2", "Actuations: 1"} {
		if !strings.Contains(f.head.Desc, words) {
			t.Errorf("%q does not say %q", f.head.Desc, words)
		}
	}
	page := string(f.HTML())
	if strings.Contains(page, ">-0") {
		t.Error("a tick says -0")
	}
	for _, words := range []string{"pump runs", "something operated", "fitted: cooling and leak", "the leak alone", "<td class=\"fig-num\">300.0</td>", ">yes<"} {
		if !strings.Contains(page, words) {
			t.Errorf("the figure does not show %q", words)
		}
	}
}

func TestALogWithoutReadings(t *testing.T) {
	for _, p := range []PressureLog{{}, {TimeS: []float64{1}, Bar: []float64{2}}, {TimeS: []float64{1, 2}, Bar: []float64{2}}, {TimeS: []float64{1, 2, 3}, Bar: []float64{math.NaN(), math.Inf(1), 3}}} {
		if page := string(NewPressureLog(p).HTML()); strings.Contains(page, "NaN") || strings.Contains(page, "Inf") {
			t.Errorf("%+v: %s", p, page)
		}
	}
}
