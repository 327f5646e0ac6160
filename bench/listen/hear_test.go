package listen

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

// gear is the usual pump: a gear pump's teeth and the shaft's own side bands.
func gear(shaftHz float64) engine {
	return engine{
		shaftHz: shaftHz, sag: 0.07, spinUpS: 0.12, silentOf: 0.15, coastS: 0.02,
		orders: []float64{2, 9, 10, 11, 20, 30}, levels: []float64{0.008, 0.006, 0.03, 0.006, 0.015, 0.008},
	}
}

type stretch struct{ on, off float64 }

var threeRuns = []stretch{{20.3, 26.1}, {71.6, 77.0}, {118.9, 125.4}, {160.2, 166}}

// TestPumpsInInventedGarages listens to invented recordings of pumps of other
// pitches, levels and manners among other noises. INVENTED DATA: it holds that the
// method does not lean on one pump, not how well it hears a real one.
func TestPumpsInInventedGarages(t *testing.T) {
	tests := []struct {
		name  string
		rate  int
		pump  engine
		runs  []stretch
		noise func(*garage)
		edgeS float64 // how far an end may be off where not 0.2 s
	}{
		{"quiet", 8000, gear(54), threeRuns, func(g *garage) {}, 0},
		{"low pitch, mains hum", 16000, gear(23), threeRuns, func(g *garage) { g.hum(50, 0.05, 12) }, 0},
		{"high pitch, talk throughout", 8000, gear(103), threeRuns, func(g *garage) { g.talk(2, 178, 0.04) }, 0},
		{"radio throughout", 8000, gear(61), threeRuns, func(g *garage) { g.music(0, 180, 0.05, 0.8) }, 0},
		{"slow music", 8000, gear(44), threeRuns, func(g *garage) { g.music(0, 180, 0.05, 2.5) }, 0},
		{"drill over a run, doors at its ends", 44100, gear(57), threeRuns, func(g *garage) {
			g.drill(73, 76, 510, 0.15)
			g.slam(20.2, 0.5)
			g.slam(125.3, 0.5)
		}, 0},
		{"pitch that does not sag", 8000, func() engine { e := gear(54); e.sag = 0; return e }(), threeRuns, func(g *garage) { g.talk(10, 90, 0.04) }, 0},
		{"one tone only, talk over two runs", 8000, engine{shaftHz: 640, sag: 0.08, spinUpS: 0.2, orders: []float64{1}, levels: []float64{0.02}, coastS: 0.01}, threeRuns, func(g *garage) { g.talk(10, 90, 0.03) }, 0.8},
		{"a fan besides", 11025, gear(49), threeRuns, func(g *garage) { g.hum(87, 0.03, 15) }, 0},
		{"one run", 8000, gear(54), []stretch{{60, 66.5}}, func(g *garage) { g.talk(5, 150, 0.04) }, 0},
		{"long cold fill, then short runs", 48000, gear(50), []stretch{{10, 42}, {90, 93.2}, {140, 143.1}}, func(g *garage) { g.talk(60, 170, 0.03) }, 0},
		{"slow to gather speed", 8000, func() engine { e := gear(54); e.spinUpS = 0.35; return e }(), threeRuns, func(g *garage) {}, 0},
	}
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			g := newGarage(tt.rate, 180, uint64(i+1))
			g.room(0.002, 0.01)
			for _, r := range tt.runs {
				g.sounds(tt.pump, r.on, r.off)
			}
			tt.noise(g)
			got, err := Hear(t.Context(), g.record(), Options{})
			if err != nil {
				t.Fatal(err)
			}
			compare(t, got, tt.runs, 0.25, max(0.2, tt.edgeS))
			t.Logf("%s, cautions: %q", brief(got), got.Cautions)
		})
	}
}

// brief is the first runs in few words.
func brief(r Result) string {
	out := fmt.Sprintf("%d tones", len(r.Tones))
	for i, run := range r.Runs {
		if i == 6 {
			return out + " ..."
		}
		out += fmt.Sprintf(" [%.1f %.1f: %.0f-%.0f Hz]", run.OnS, run.OffS, run.FirstHz, run.LastHz)
	}
	for _, step := range r.Working {
		if step.Unit == "nats" || step.What == "likeness to a pump" {
			out += fmt.Sprintf(" %.2f %s", step.Value, step.Unit)
		}
	}
	return out
}

// compare holds runs against the truth, edges within limits.
func compare(t *testing.T, got Result, want []stretch, onS, offS float64) {
	t.Helper()
	if len(got.Runs) != len(want) {
		t.Fatalf("%d runs, want %d: %s", len(got.Runs), len(want), brief(got))
	}
	for i, w := range want {
		r := got.Runs[i]
		if on, off := r.OnS-w.on, r.OffS-w.off; math.Abs(on) > onS || math.Abs(off) > offS {
			t.Errorf("run %d: %.3f to %.3f s, want %.3f to %.3f (off by %+.3f, %+.3f)", i+1, r.OnS, r.OffS, w.on, w.off, on, off)
		}
		if i > 0 && math.Abs(got.IntervalsS[i-1]-(w.on-want[i-1].on)) > 2*onS {
			t.Errorf("interval %d: %.2f s, want %.2f", i, got.IntervalsS[i-1], w.on-want[i-1].on)
		}
	}
}

// TestNoPump listens to invented recordings without one.
func TestNoPump(t *testing.T) {
	tests := map[string]func(*garage){
		"nothing": func(g *garage) {},
		"talk":    func(g *garage) { g.talk(1, 179, 0.05) },
		"radio":   func(g *garage) { g.music(0, 180, 0.05, 0.6) },
		"slow":    func(g *garage) { g.music(0, 180, 0.05, 1.4) },
		"hum":     func(g *garage) { g.hum(50, 0.05, 20); g.hum(87, 0.03, 10) },
		"doors": func(g *garage) {
			for at := 3.0; at < 175; at += 7.3 {
				g.slam(at, 0.5)
			}
		},
	}
	for name, noise := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			g := newGarage(8000, 180, 5)
			g.room(0.002, 0.01)
			noise(g)
			got, err := Hear(t.Context(), g.record(), Options{})
			if err != nil {
				t.Fatal(err)
			}
			if len(got.Runs) > 0 || len(got.IntervalsS) > 0 || len(got.Cautions) == 0 || !strings.Contains(got.Cautions[0], "no run") {
				t.Errorf("%s, cautions %q", brief(got), got.Cautions)
			}
		})
	}
}

// TestRunsAtTheEdges: a run that the recording does not hold whole is said to be so.
func TestRunsAtTheEdges(t *testing.T) {
	g := newGarage(8000, 120, 3)
	g.room(0.002, 0.01)
	for _, r := range []stretch{{-3, 4}, {55, 61}, {115, 130}} {
		g.sounds(gear(54), r.on, r.off)
	}
	got, err := Hear(t.Context(), g.record(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Runs) != 3 || len(got.IntervalsS) != 1 {
		t.Fatalf("runs %+v, intervals %v", got.Runs, got.IntervalsS)
	}
	a, b, c := got.Runs[0], got.Runs[1], got.Runs[2]
	if a.OnHeard || a.OnS != 0 || !a.OffHeard || !b.OnHeard || !b.OffHeard || !c.OnHeard || c.OffHeard || c.OffS != 120 {
		t.Errorf("runs %+v", got.Runs)
	}
	for _, want := range []string{"run 1 had begun", "run 3 had not ended"} {
		if !strings.Contains(strings.Join(got.Cautions, "\n"), want) {
			t.Errorf("cautions %q, want %q", got.Cautions, want)
		}
	}
}

// TestStretch: a part of a recording is heard at the recording's own times.
func TestStretch(t *testing.T) {
	g := newGarage(8000, 180, 9)
	g.room(0.002, 0.01)
	for _, r := range threeRuns {
		g.sounds(gear(54), r.on, r.off)
	}
	got, err := Hear(t.Context(), g.record(), Options{FromS: 60, ToS: 140})
	if err != nil {
		t.Fatal(err)
	}
	compare(t, got, threeRuns[1:3], 0.15, 0.1)
	if got.DurationS != 80 {
		t.Errorf("listened to %g s, want 80", got.DurationS)
	}
}

// TestLoudnessDoesNotMatter: twice as loud gives the same runs, 6 dB up.
func TestLoudnessDoesNotMatter(t *testing.T) {
	g := newGarage(8000, 100, 4)
	g.room(0.001, 0.005)
	g.sounds(gear(54), 20, 26)
	g.sounds(gear(54), 70, 77)
	soft := g.record()
	loud := &Samples{Rate: 8000}
	for _, v := range soft.Mono {
		loud.Mono = append(loud.Mono, 2*v)
	}
	a, errA := Hear(t.Context(), soft, Options{})
	b, errB := Hear(t.Context(), loud, Options{})
	if err := errors.Join(errA, errB); err != nil || len(a.Runs) != 2 || len(b.Runs) != 2 {
		t.Fatal(err, a.Runs, b.Runs)
	}
	for i := range a.Runs {
		if math.Abs(a.Runs[i].OnS-b.Runs[i].OnS) > 0.05 || math.Abs(a.Runs[i].StrengthDB-b.Runs[i].StrengthDB) > 0.5 {
			t.Errorf("run %d: %+v, louder %+v", i+1, a.Runs[i], b.Runs[i])
		}
	}
	if up := b.Tones[0].LevelDB - a.Tones[0].LevelDB; math.Abs(up-6.02) > 1 {
		t.Errorf("the loudest tone went up by %.2f dB, want 6.02", up)
	}
}

type brokenSource struct{ at int }

var errBroken = errors.New("the reader broke")

func (b *brokenSource) SampleRate() int { return 8000 }
func (b *brokenSource) Read(block []float32) (int, error) {
	if b.at++; b.at > 3 {
		return 0, errBroken
	}
	return len(block), nil
}

func TestMistakes(t *testing.T) {
	silence := func(n, rate int) *Samples { return &Samples{Rate: rate, Mono: make([]float32, n)} }
	tests := []struct {
		name string
		src  Source
		o    Options
		want string
	}{
		{"nothing", silence(0, 8000), Options{}, "recording: 0 s long; expected at least 5 s"},
		{"short", silence(8000, 8000), Options{}, "recording: 1 s long"},
		{"rate", silence(100, 100), Options{}, "sample rate: 100 a second"},
		{"backwards", silence(1e5, 8000), Options{FromS: 9, ToS: 3}, "stretch: from 9 s to 3 s; expected 0 <= from < to"},
		{"not a number", silence(1e5, 8000), Options{FromS: math.NaN()}, "stretch"},
		{"behind the end", silence(1e5, 8000), Options{FromS: 900}, "recording: 0 s long"},
		{"source", &brokenSource{}, Options{}, errBroken.Error()},
	}
	for _, tt := range tests {
		_, err := Hear(t.Context(), tt.src, tt.o)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.want)
		}
	}
}

// TestSilence: dead silence and full scale throughout are no runs, and no failure.
func TestSilence(t *testing.T) {
	for _, v := range []float32{0, 1} {
		s := &Samples{Rate: 8000, Mono: make([]float32, 8000*30)}
		for i := range s.Mono {
			s.Mono[i] = v
		}
		got, err := Hear(t.Context(), s, Options{})
		if err != nil || len(got.Runs) > 0 {
			t.Errorf("level %g: %+v, %v", v, got.Runs, err)
		}
	}
}

func ExampleHear() {
	g := newGarage(8000, 60, 1)
	g.room(0.002, 0.01)
	g.sounds(gear(54), 12, 18)
	r, _ := Hear(context.Background(), g.record(), Options{})
	fmt.Printf("%d run, %.0f to %.0f s\n", len(r.Runs), r.Runs[0].OnS, r.Runs[0].OffS)
	// Output: 1 run, 12 to 18 s
}
