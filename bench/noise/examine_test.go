package noise

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

func gaussian(seed uint64, n int) []float32 {
	r := rand.New(rand.NewPCG(seed, 7))
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(0.1 * r.NormFloat64())
	}
	return x
}

// hub is an invented hub unit.
var hub = Geometry{Elements: 14, ElementDia: 12.7, PitchDia: 60, AngleDeg: 36}

// wheelNoise is an invented wheel: noise, shaft lines, and strikes that ring at
// strikeHz, their strength turning with modHz.
func wheelNoise(seed uint64, rate int, seconds, shaftHz, strikeHz, modHz, strength float64) []float32 {
	x := gaussian(seed, int(float64(rate)*seconds))
	r := rand.New(rand.NewPCG(seed, 11))
	for i := range x {
		s := 2 * math.Pi * shaftHz * float64(i) / float64(rate)
		x[i] += float32(0.05*math.Cos(s) + 0.04*math.Cos(2*s+1) + 0.02*math.Cos(3*s+2) + 0.02*math.Cos(4*s) + 0.02*math.Cos(5*s))
	}
	if strikeHz == 0 {
		return x
	}
	for at := 0.0; at < seconds; at += (1 + 0.01*r.NormFloat64()) / strikeHz {
		level := strength
		if modHz > 0 {
			level *= 0.6 + 0.4*math.Cos(2*math.Pi*modHz*at)
		}
		first := int(at * float64(rate))
		for i := first; i < len(x) && i < first+rate/200; i++ {
			s := float64(i)/float64(rate) - at
			x[i] += float32(level * math.Exp(-s*1500) * math.Sin(2*math.Pi*2700*s))
		}
	}
	return x
}

func examine(t *testing.T, c Case) Result {
	t.Helper()
	r, err := Examine(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Fatal(err)
	}
	return r
}

// TestInventedWheel: each part is named, at every sample rate and either way
// around, and a sound wheel passes.
func TestInventedWheel(t *testing.T) {
	const shaft = 14.358
	f := hub.Turning(shaft, 0)
	for _, c := range []struct {
		name           string
		rate           int
		strike, mod    float64
		outer          bool
		verdict        Verdict
		part           string
		doubt, claimed float64
	}{
		{"outer race", 8000, f.BPFO * 1.003, 0, false, Fail, outerRace, 0, shaft},
		{"inner race", 16000, f.BPFI * 0.996, shaft, false, Fail, innerRace, 0, shaft},
		{"element", 8000, 2 * f.BSF, f.FTF, false, Fail, rollingElement, 0, shaft},
		{"outer ring turns", 8000, f.BPFO, shaft, true, Fail, outerRace, 0, shaft},
		{"96 kHz", 96000, f.BPFO, 0, false, Fail, outerRace, 0, shaft},
		{"road speed 2 % off", 8000, f.BPFI, shaft, false, Fail, innerRace, RoadDoubt, shaft * 1.02},
		{"tacho 2 % off", 8000, f.BPFI, shaft, false, CannotTell, "", 0, shaft * 1.02},
		{"road speed 6 % off", 8000, f.BPFI, shaft, false, CannotTell, "", RoadDoubt, shaft * 0.94},
		{"sound", 8000, 0, 0, false, Pass, "", 0, shaft},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := hub
			r := examine(t, Case{Samples: wheelNoise(3, c.rate, 8, shaft, c.strike, c.mod, 0.6), Rate: c.rate, ShaftHz: c.claimed, SpeedDoubt: c.doubt, Bearing: &g, OuterTurns: c.outer})
			if r.Verdict != c.verdict || c.part != "" && r.Defect.Part != c.part {
				t.Errorf("%s by %s (S %.1f, margin %.1f), want %s %s: %s", r.Verdict, r.Defect.Part, r.Defect.Strength, r.Defect.Margin, c.verdict, c.part, r.Why)
			}
			if c.part == "" {
				return
			}
			found := false
			for _, p := range r.Peaks {
				found = found || strings.HasPrefix(p.Source, c.part+" x1")
			}
			if !found {
				t.Errorf("no peak is named %s x1: %v", c.part, r.Peaks)
			}
		})
	}
}

// TestSpeedMistaken: a stated speed that is far off, with no line of the shaft to
// bear it out, never condemns the part whose lines happen to lie there.
func TestSpeedMistaken(t *testing.T) {
	const shaft = 10.6
	f := hub.Turning(shaft, 0)
	for _, c := range []struct {
		name        string
		strike, mod float64
		told        float64 // times the true speed
	}{
		{"outer race told as element", f.BPFO, 0, 1.25},
		{"outer race told as element, by rpm", f.BPFO, 0, 1.265},
		{"outer race told as inner", f.BPFO, 0, f.BPFO / f.BPFI},
		{"element told as outer race", 2 * f.BSF, f.FTF, 2 * f.BSF / f.BPFO},
	} {
		for seed := range uint64(2) {
			for _, doubt := range []float64{0, RoadDoubt} {
				g := hub
				x := wheelNoise(seed, 8000, 12, 0, c.strike, c.mod, 0.6)
				r := examine(t, Case{Samples: x, Rate: 8000, ShaftHz: shaft * c.told, SpeedDoubt: doubt, Bearing: &g})
				if r.Verdict == Fail {
					t.Errorf("%s, seed %d: %s, %s", c.name, seed, r.Verdict, r.Why)
				}
			}
		}
	}
	g := hub // told rightly it is condemned all the same
	r := examine(t, Case{Samples: wheelNoise(1, 8000, 12, 0, f.BPFO, 0, 0.6), Rate: 8000, ShaftHz: shaft, Bearing: &g})
	if r.Verdict != Fail || r.Defect.Part != outerRace || !strings.Contains(r.Why, "stands on the stated one") {
		t.Errorf("told rightly: %s, %s", r.Verdict, r.Why)
	}
}

// TestPartsThatCoincide: where the lines of two parts lie on each other both are
// named, the one first whose sidebands stand.
func TestPartsThatCoincide(t *testing.T) {
	g := Geometry{Elements: 16, ElementDia: 6.16, PitchDia: 43.12}
	f := g.Turning(14.358, 0)
	if math.Abs(2*f.BSF/f.BPFO-1) > 0.001 {
		t.Fatalf("they should coincide: %+v", f)
	}
	ball := examine(t, Case{Samples: wheelNoise(3, 8000, 9, 14.358, 2*f.BSF, f.FTF, 0.6), Rate: 8000, ShaftHz: 14.358, Bearing: &g})
	race := examine(t, Case{Samples: wheelNoise(3, 8000, 9, 14.358, f.BPFO, 0, 0.6), Rate: 8000, ShaftHz: 14.358, Bearing: &g})
	if ball.Verdict != Fail || ball.Defect.Part != rollingElement || ball.Defect.Or != outerRace || !strings.Contains(ball.Why, "rolling element or outer race") {
		t.Errorf("ball: %s %+v: %s", ball.Verdict, ball.Defect, ball.Why)
	}
	if race.Verdict != Fail || race.Defect.Part != outerRace || race.Defect.Or != rollingElement {
		t.Errorf("race: %s %+v: %s", race.Verdict, race.Defect, race.Why)
	}
}

// TestScaleSaysNothing: the same recording twice as loud gives the same.
func TestScaleSaysNothing(t *testing.T) {
	g := hub
	x := wheelNoise(5, 8000, 5, 14.358, hub.Turning(14.358, 0).BPFO, 0, 0.3)
	a := examine(t, Case{Samples: x, Rate: 8000, ShaftHz: 14.358, Bearing: &g})
	y := make([]float32, len(x))
	for i, v := range x {
		y[i] = v * 1024
	}
	b := examine(t, Case{Samples: y, Rate: 8000, ShaftHz: 14.358, Bearing: &g})
	if a.Why != b.Why || a.Scores != b.Scores {
		t.Errorf("%q and 1024 times as loud %q", a.Why, b.Why)
	}
}

// TestUnknownGeometry: only consistent with, never a verdict.
func TestUnknownGeometry(t *testing.T) {
	f := hub.Turning(14.358, 0)
	r := examine(t, Case{Samples: wheelNoise(6, 8000, 8, 14.358, f.BPFO, 0, 0.6), Rate: 8000, ShaftHz: 14.358})
	if r.Verdict != CannotTell || r.Bearing != nil || !strings.Contains(r.Why, "consistent with") {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
	if math.Abs(r.Defect.Order-f.BPFO/14.358) > 0.06 {
		t.Errorf("order %.3f, want %.3f", r.Defect.Order, f.BPFO/14.358)
	}
}

// TestTyreAndDriveline: a whine of the final drive is the driveline's, a thump
// of once a turn the tyre's, and neither is a bearing.
func TestTyreAndDriveline(t *testing.T) {
	const shaft, rate = 14.358, 8000
	tone := func(order, level float64) []float32 {
		x := gaussian(8, rate*8)
		for i := range x {
			x[i] += float32(level * math.Cos(2*math.Pi*order*shaft*float64(i)/rate))
		}
		return x
	}
	g := hub
	whine := examine(t, Case{Samples: tone(40, 0.2), Rate: rate, ShaftHz: shaft, Bearing: &g, Teeth: []int{40}})
	if s := whine.Scores; s.Driveline < 0.8 || s.Tyre > 0.2 || s.OuterRace+s.InnerRace+s.RollingElement > 0.1 {
		t.Errorf("a whine of 40 teeth scores %+v", s)
	}
	if len(whine.Peaks) == 0 || whine.Peaks[0].Source != "gear mesh x1" || math.Abs(whine.Peaks[0].Order-40) > 0.02 {
		t.Errorf("its peaks are %+v", whine.Peaks)
	}
	thump := examine(t, Case{Samples: tone(1, 0.2), Rate: rate, ShaftHz: shaft, Bearing: &g, Teeth: []int{40}})
	if s := thump.Scores; s.Tyre < 0.8 || s.Driveline > 0.2 || s.OuterRace+s.InnerRace+s.RollingElement > 0.1 {
		t.Errorf("a thump of once a turn scores %+v", s)
	}
	if !strings.Contains(whine.Why, "driveline stands out") || !strings.Contains(thump.Why, "tyre and wheel come first") {
		t.Errorf("neither is named: %q, %q", whine.Why, thump.Why)
	}
	for _, r := range []Result{whine, thump} {
		if r.Verdict == Fail {
			t.Errorf("a bearing fails: %s", r.Why)
		}
	}
}

// TestClipped is said, and keeps a verdict away.
func TestClipped(t *testing.T) {
	g := hub
	x := wheelNoise(7, 8000, 5, 14.358, hub.Turning(14.358, 0).BPFO, 0, 0.6)
	for i, v := range x {
		x[i] = max(-0.1, min(0.1, v))
	}
	r := examine(t, Case{Samples: x, Rate: 8000, ShaftHz: 14.358, Bearing: &g})
	if r.Verdict != CannotTell || !strings.Contains(r.Why, "clipped") {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
}

// TestMistakes say what is wrong.
func TestMistakes(t *testing.T) {
	sound := gaussian(1, 40000)
	nan := gaussian(1, 40000)
	nan[9] = float32(math.NaN())
	for name, c := range map[string]struct {
		c    Case
		want string
	}{
		"silence":     {Case{Samples: make([]float32, 40000), Rate: 8000, ShaftHz: 20}, "silence"},
		"constant":    {Case{Samples: slicesRepeat(0.3, 40000), Rate: 8000, ShaftHz: 20}, "silence"},
		"nothing":     {Case{Rate: 8000, ShaftHz: 20}, "too short"},
		"short":       {Case{Samples: sound[:12000], Rate: 8000, ShaftHz: 10}, "at least 5.0 s"},
		"speed zero":  {Case{Samples: sound, Rate: 8000}, "above 0"},
		"slow rate":   {Case{Samples: sound, Rate: 400, ShaftHz: 20}, "8000 to 96000"},
		"no number":   {Case{Samples: nan, Rate: 8000, ShaftHz: 20}, "no number"},
		"d above D":   {Case{Samples: sound, Rate: 8000, ShaftHz: 20, Bearing: &Geometry{9, 40, 30, 0}}, "element smaller than the circle"},
		"do not fit":  {Case{Samples: sound, Rate: 8000, ShaftHz: 20, Bearing: &Geometry{30, 10, 30, 0}}, "fit"},
		"angle":       {Case{Samples: sound, Rate: 8000, ShaftHz: 20, Bearing: &Geometry{9, 10, 40, 90}}, "90 degrees"},
		"too fast":    {Case{Samples: sound, Rate: 8000, ShaftHz: 200, Bearing: &hub}, "sample rate"},
		"teeth":       {Case{Samples: sound, Rate: 8000, ShaftHz: 20, Teeth: []int{0}}, "teeth"},
		"block short": {Case{Samples: sound, Rate: 8000, ShaftHz: 20, BlockS: 0.1}, "block"},
	} {
		_, err := Examine(context.Background(), c.c)
		var input *InputError
		if !errors.As(err, &input) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	for _, size := range []string{"", "245/35", "945/35R99", "tyre"} {
		if _, err := ParseTyre(size); err == nil {
			t.Errorf("tyre %q was taken", size)
		}
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Examine(stopped, Case{Samples: sound, Rate: 8000, ShaftHz: 20}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

func slicesRepeat(v float32, n int) []float32 {
	x := make([]float32, n)
	for i := range x {
		x[i] = v
	}
	return x
}

// FuzzParseTyre: any text is a tyre that a car can have, or one mistake.
func FuzzParseTyre(f *testing.F) {
	for _, s := range []string{"245/35R20", "P235/75 R15", "205/55ZR16", "", "100/20R10", "999/99R99.9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		tyre, err := ParseTyre(text)
		var input *InputError
		if err != nil && !errors.As(err, &input) {
			t.Fatalf("%q: %v", text, err)
		}
		if err == nil && !(tyre.RollingRadiusMm() > 100 && tyre.RollingRadiusMm() < 1500) {
			t.Fatalf("%q rolls on %g mm", text, tyre.RollingRadiusMm())
		}
	})
}

// BenchmarkMinute is a minute at 44.1 kHz.
func BenchmarkMinute(b *testing.B) {
	g := hub
	x := wheelNoise(9, 44100, 60, 14.358, hub.Turning(14.358, 0).BPFO, 0, 0.3)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Examine(context.Background(), Case{Samples: x, Rate: 44100, ShaftHz: 14.358, Bearing: &g}); err != nil {
			b.Fatal(err)
		}
	}
}

var update = flag.Bool("update", false, "rewrite the invented recording in testdata")

// TestInventedRecording keeps the recording of the command's story, which is
// wheelNoise and nothing measured.
func TestInventedRecording(t *testing.T) {
	const rate = 8000
	x := wheelNoise(3, rate, 5, 14.358, hub.Turning(14.358, 0).BPFO*1.003, 0, 0.6)
	data := make([]byte, 44+2*len(x))
	copy(data, "RIFF----WAVEfmt ")
	for at, v := range map[int]uint32{4: uint32(36 + 2*len(x)), 16: 16, 24: rate, 28: 2 * rate, 40: uint32(2 * len(x))} {
		binary.LittleEndian.PutUint32(data[at:], v)
	}
	for at, v := range map[int]uint16{20: 1, 22: 1, 32: 2, 34: 16} {
		binary.LittleEndian.PutUint16(data[at:], v)
	}
	copy(data[36:], "data")
	for i, v := range x {
		binary.LittleEndian.PutUint16(data[44+2*i:], uint16(int16(math.Round(float64(v)*20000))))
	}
	const name = "testdata/outer.wav"
	if *update {
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(name)
	if err != nil || len(kept) != len(data) {
		t.Errorf("%s: %d bytes, %v; want %d (-update)", name, len(kept), err, len(data))
	}
}
