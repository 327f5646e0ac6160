package noise

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"wreckwright/outside"
)

// runUp is a speed that rises, holds and falls.
func runUp(seconds float64) Track {
	var t Track
	for at := 0.0; at <= seconds; at += 0.5 {
		t.AtS = append(t.AtS, at)
		t.ShaftHz = append(t.ShaftHz, 7+9*math.Sin(math.Pi*at/seconds))
	}
	return t
}

// trackedNoise is an invented wheel along a track: noise, shaft lines, strikes of
// an order that ring at 2.7 kHz.
func trackedNoise(seed uint64, rate int, t Track, order, level float64) []float32 {
	seconds := t.AtS[len(t.AtS)-1]
	x := gaussian(seed, int(float64(rate)*seconds))
	r := rand.New(rand.NewPCG(seed, 13))
	angle, next := 0.0, 0.3
	for i := range x {
		s := float64(i) / float64(rate)
		angle += t.hz(s) / float64(rate)
		a := 2 * math.Pi * angle
		x[i] += float32(0.05*math.Cos(a) + 0.04*math.Cos(2*a+1) + 0.02*math.Cos(3*a) + 0.02*math.Cos(4*a) + 0.02*math.Cos(5*a))
		if order > 0 && angle*order >= next {
			next += 1 + 0.01*r.NormFloat64()
			for j := i; j < len(x) && j < i+rate/200; j++ {
				u := float64(j-i) / float64(rate)
				x[j] += float32(level * math.Exp(-u*1500) * math.Sin(2*math.Pi*2700*u))
			}
		}
	}
	return x
}

// TestRunUp: what a changing speed blurs is sharp over the shaft's angle.
func TestRunUp(t *testing.T) {
	track := runUp(20)
	f := hub.Turning(1, 0)
	g := hub
	for _, c := range []struct {
		name    string
		order   float64
		part    string
		scale   float64
		verdict Verdict
	}{
		{"outer race", f.BPFO * 1.003, outerRace, 1, Fail},
		{"inner race", f.BPFI, innerRace, 1, Fail},
		{"radius 2 % off", f.BPFO, outerRace, 1.02, Fail},
		{"radius 7 % off", f.BPFO, "", 1.07, CannotTell},
		{"sound", 0, "", 1, Pass},
	} {
		x := trackedNoise(4, 8000, track, c.order, 0.6)
		told := Track{AtS: track.AtS}
		for _, hz := range track.ShaftHz {
			told.ShaftHz = append(told.ShaftHz, hz*c.scale)
		}
		r := examine(t, Case{Samples: x, Rate: 8000, Track: &told, Bearing: &g})
		t.Logf("%s: %s %s S %.1f margin %.1f heard %v: %s", c.name, r.Verdict, r.Defect.Part, r.Defect.Strength, r.Defect.Margin, r.HeardHz, r.Why)
		if r.Verdict != c.verdict || c.part != "" && r.Defect.Part != c.part {
			t.Errorf("%s: %s by %s, want %s %s: %s", c.name, r.Verdict, r.Defect.Part, c.verdict, c.part, r.Why)
		}
		if c.order == 0 {
			continue
		}
		steady := examine(t, Case{Samples: x, Rate: 8000, ShaftHz: told.mean(), SpeedDoubt: RoadDoubt, Bearing: &g})
		if steady.Verdict != CannotTell || steady.Defect.Strength > r.Defect.Strength/2 {
			t.Errorf("%s: without the track %s, S %.1f, with it %.1f", c.name, steady.Verdict, steady.Defect.Strength, r.Defect.Strength)
		}
	}
}

// TestTurnsByAngle: the turns of a speed that rises evenly, and back.
func TestTurnsByAngle(t *testing.T) {
	up := Track{AtS: []float64{0, 4, 10}, ShaftHz: []float64{2, 10, 10}}
	sum := up.turns()
	times := up.timesOf(sum, []float64{0, 3, 24, 54, 84})
	var cases []outside.Case
	// theta = 2 t + t^2 to 4 s, then 24 + 10 (t - 4).
	for i, want := range []float64{0, 1, 4, 7, 10} {
		cases = append(cases, outside.Case{Source: "FYFE_MUNCK_1997", Where: "times of equal angle", What: fmt.Sprintf("moment %d of constant angular acceleration, then a steady speed, s", i), Got: times[i], Want: want, Tolerance: 1e-12, Why: "exact: theta = w0 t + a t^2 / 2"})
	}
	cases = append(cases, outside.Case{Source: "FYFE_MUNCK_1997", Where: "angle of the shaft", What: "turns in 10 s", Got: sum[2], Want: 84, Tolerance: 1e-12, Why: "exact"})
	// A tone that follows the shaft is one line after resampling.
	track := runUp(20)
	rate := 4000
	x := make([]float32, 20*rate)
	angle := 0.0
	for i := range x {
		angle += track.hz((float64(i)+0.5)/float64(rate)) / float64(rate)
		x[i] = float32(math.Cos(2 * math.Pi * 6.4 * angle))
	}
	c := Case{Samples: x, Rate: 8000, Track: &track}
	c.Rate = rate
	b := c.turnBlocks()
	blk, at := c.turnBlock(b, 0)
	amp := b.spectrum(0, at, lowPassed(blk, 300), 150)
	top := 0
	for k := range amp {
		if amp[k] > amp[top] {
			top = k
		}
	}
	cases = append(cases,
		outside.Case{Source: "FYFE_MUNCK_1997", Where: "computed order tracking", What: "order of a tone of 6.4 a turn, from 7 to 16 turns a second", Got: float64(top) / b.turns, Want: 6.4, Tolerance: 0.5 / b.turns, Why: "half a bin"},
		outside.Case{Source: "FYFE_MUNCK_1997", Where: "computed order tracking", What: "its amplitude", Got: amp[top], Want: 1, Tolerance: 0.16, Why: "a Hann window reads up to 15 % low between two bins"})
	outside.Check(t, cases)
}

// TestTrackMistakes say what is wrong with a speed track.
func TestTrackMistakes(t *testing.T) {
	sound := gaussian(1, 80000)
	for name, c := range map[string]struct {
		track Track
		want  string
	}{
		"one moment": {Track{[]float64{0}, []float64{10}}, "at least two moments"},
		"backwards":  {Track{[]float64{0, 2, 1}, []float64{10, 10, 10}}, "times that rise"},
		"negative":   {Track{[]float64{0, 10}, []float64{-1, 10}}, "0 to 1000"},
		"standing":   {Track{[]float64{0, 10}, []float64{0, 0}}, "stands still"},
		"elsewhere":  {Track{[]float64{100, 110}, []float64{10, 10}}, "spans the recording"},
		"too slow":   {Track{[]float64{0, 10}, []float64{1, 2}}, "at least 33.3 s"},
	} {
		_, err := Examine(context.Background(), Case{Samples: sound, Rate: 8000, Track: &c.track})
		var input *InputError
		if !errors.As(err, &input) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	standing := Track{[]float64{0, 5, 6, 30}, []float64{0, 0, 12, 14}}
	x := trackedNoise(9, 8000, standing, 0, 0)
	r := examine(t, Case{Samples: x, Rate: 8000, Track: &standing})
	if r.ShaftHz < 12 {
		t.Errorf("with the car standing first the mean is %.2f turns a second", r.ShaftHz)
	}
}
