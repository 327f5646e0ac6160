package workshop_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/bench/noise"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

func TestNoiseSettingsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := workshop.NoiseSettings{
			Speed: rapid.SampledFrom([]string{workshop.SpeedRPM, workshop.SpeedRoad, workshop.SpeedTrack}).Draw(t, "speed"),
			RPM:   rapid.Float64Range(0, 1e4).Draw(t, "rpm"), Tyre: rapid.SampledFrom([]string{"", "245/35R20"}).Draw(t, "tyre"),
			Elements: rapid.IntRange(0, 30).Draw(t, "n"), ElementMm: rapid.Float64Range(0, 50).Draw(t, "d"), OuterTurns: rapid.Bool().Draw(t, "outer"),
			Teeth: rapid.SliceOfN(rapid.IntRange(2, 99), 0, 3).Draw(t, "teeth"),
		}
		if rapid.Bool().Draw(t, "began") {
			began := rapid.Float64Range(0, 1e4).Draw(t, "start")
			s.TrackStartS = &began
		}
		back, ok := workshop.ReadNoiseSettings(&rebuild.Evidence{Instrument: rebuild.InstrumentNoise, Settings: s.JSON()})
		if !ok || back.JSON() != s.JSON() {
			t.Fatalf("%s came back as %s", s.JSON(), back.JSON())
		}
	})
	for _, e := range []rebuild.Evidence{
		{Instrument: rebuild.InstrumentNoise},
		{Instrument: rebuild.InstrumentNoise, Settings: "{"},
		{Instrument: rebuild.InstrumentNoise, Settings: "{}"},
		{Instrument: rebuild.InstrumentCheck, Settings: `{"speed":"rpm"}`},
	} {
		if _, ok := workshop.ReadNoiseSettings(&e); ok {
			t.Errorf("%+v was read", e)
		}
	}
}

// The mistakes of a person stand at the field that is wrong.
func TestNoiseMistakesAtTheirField(t *testing.T) {
	rpm := workshop.NoiseSettings{Speed: workshop.SpeedRPM, RPM: 900}
	with := func(f func(*workshop.NoiseSettings)) workshop.NoiseSettings {
		s := rpm
		f(&s)
		return s
	}
	for field, s := range map[string]workshop.NoiseSettings{
		"speed":       {},
		"rpm":         with(func(s *workshop.NoiseSettings) { s.RPM = 0 }),
		"speed_kmh":   {Speed: workshop.SpeedRoad, Tyre: "245/35R20"},
		"tyre":        {Speed: workshop.SpeedRoad, SpeedKmh: 80},
		"roll_out_mm": {Speed: workshop.SpeedRoad, SpeedKmh: 80, RollOutMm: 2},
		"elements":    with(func(s *workshop.NoiseSettings) { s.Elements, s.ElementMm, s.PitchMm = 9, 30, 20 }),
		"teeth":       with(func(s *workshop.NoiseSettings) { s.Teeth = []int{1} }),
		"axle_ratio":  with(func(s *workshop.NoiseSettings) { s.AxleRatio = -3 }),
		"track":       {Speed: workshop.SpeedTrack, Tyre: "245/35R20"},
	} {
		_, err := workshop.ExamineNoise(t.Context(), hush(6), nil, s)
		var invalid *rebuild.Invalid
		if !errors.As(err, &invalid) || invalid.Problems[0].Field != field {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

// A measured roll-out over three turns goes before the size: the wheel turns as often
// as the road says.
func TestRollOutGoesBeforeTheSize(t *testing.T) {
	out, err := workshop.ExamineNoise(t.Context(), hush(12), nil, workshop.NoiseSettings{Speed: workshop.SpeedRoad, SpeedKmh: 72, Tyre: "245/35R20", RollOutMm: 6000, RollTurns: 3})
	if err != nil {
		t.Fatal(err)
	}
	if hz := out.Result.ShaftHz; hz < 9.9999 || hz > 10.0001 { // 20 m/s over 2 m a turn
		t.Errorf("%g turns a second, want 10", hz)
	}
}

func TestPartsOfADrive(t *testing.T) {
	open := func(hash string) (io.ReadCloser, error) {
		if hash != "a" {
			return nil, errors.New("no such file")
		}
		return io.NopCloser(hush(20)), nil
	}
	drive := workshop.NoiseSettings{Speed: workshop.SpeedRoad, Tyre: "245/35R20", Parts: []workshop.NoisePart{
		{File: "a", Name: "drive.wav", Tag: "weave left", SpeedKmh: 80, ToS: 9},
		{File: "a", Name: "drive.wav", Tag: "weave right", SpeedKmh: 80, FromS: 10},
	}}
	out, err := workshop.HearDrive(t.Context(), drive, open)
	if err != nil || len(out.Road.Levels) != 2 || out.Verdict != rebuild.VerdictCannotTell || !strings.Contains(out.Why, "Weaving") {
		t.Fatalf("%+v (%v)", out, err)
	}
	if got := out.Road.Levels[0].Seconds; got < 8.9 || got > 9.1 {
		t.Errorf("the first piece is %g s long", got)
	}
	if out.Road.Tests[0].Outcome != "" && out.Road.Tests[0].Outcome != noise.Same {
		t.Errorf("hiss is louder to a side: %+v", out.Road.Tests[0])
	}
	for _, bad := range []workshop.NoisePart{
		{File: "a", Tag: "weave left", SpeedKmh: 80, FromS: 50},
		{File: "a", Tag: "sing", SpeedKmh: 80},
		{File: "a", Tag: "weave left"},
		{File: "a", Tag: "weave left", SpeedKmh: 80, FromS: 3, ToS: 4},
		{File: "a", Tag: "weave left", SpeedKmh: 80, Place: "roof"},
	} {
		with := drive
		with.Parts = append(with.Parts[:1:1], bad)
		var invalid *rebuild.Invalid
		if _, err := workshop.HearDrive(t.Context(), with, open); !errors.As(err, &invalid) {
			t.Errorf("%+v: got %v", bad, err)
		}
	}
}

// No verdict on a page speaks of the command's flags.
func TestVerdictsWithoutFlags(t *testing.T) {
	out, err := workshop.ExamineNoise(t.Context(), hush(12), nil, workshop.NoiseSettings{Speed: workshop.SpeedRPM, RPM: 900})
	if err != nil || strings.Contains(out.Why, "--") || !strings.Contains(out.Result.Why, "--bearing") {
		t.Errorf("%q of %q (%v)", out.Why, out.Result.Why, err)
	}
}
