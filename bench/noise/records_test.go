package noise

import (
	"context"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// recordsAt is where the measured bearings lie; they may not be passed on, and
// without them these tests are skipped.
func recordsAt(t *testing.T) string {
	dir := os.Getenv("WRECKWRIGHT_BEARING_RECORDS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "data", "bearing")
	}
	if _, err := os.Stat(filepath.Join(dir, "index.csv")); err != nil {
		t.Skip("the measured bearings are not here (WRECKWRIGHT_BEARING_RECORDS names their folder): nothing was compared with them")
	}
	return dir
}

// readPCM reads a WAV of 16 bits, mono, with the plain header of 44 bytes.
func readPCM(t *testing.T, name string) ([]float32, int) {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if len(data) < 44 || string(data[36:40]) != "data" {
		t.Fatalf("%s: no plain WAV", name)
	}
	rate := int(binary.LittleEndian.Uint32(data[24:]))
	data = data[44:]
	x := make([]float32, len(data)/2)
	for i := range x {
		x[i] = float32(int16(binary.LittleEndian.Uint16(data[2*i:]))) / 32768
	}
	return x, rate
}

var (
	driveEnd = Geometry{Elements: 9, ElementDia: 0.3126, PitchDia: 1.537}
	fanEnd   = Geometry{Elements: 8, ElementDia: 0.2656, PitchDia: 1.122}
	za2115   = Geometry{Elements: 16, ElementDia: 0.331, PitchDia: 2.815, AngleDeg: 15.17}
)

// measured are the records with what may and must be said of them.
var measured = []struct {
	name string
	rpm  float64
	must string // ring that must be found; "": none may be
}{
	{"97_DE_normal_a", 1796, ""},
	{"97_FE_normal_a", 1796, ""},
	{"ims_NA_normal", 2000, ""},
	{"105_DE_inner_007", 1797, innerRace},
	{"106_DE_inner_007", 1772, innerRace},
	{"169_DE_inner_014", 1796, innerRace},
	{"209_DE_inner_021", 1797, innerRace},
	{"278_FE_inner_007", 1796, innerRace},
	{"130_DE_outer_007_at6", 1796, outerRace},
	{"131_DE_outer_007_at6", 1773, outerRace},
	{"144_DE_outer_007_at3", 1797, outerRace},
	{"234_DE_outer_021_at6", 1796, outerRace},
	{"258_DE_outer_021_at12", 1796, outerRace},
	{"294_FE_outer_007_at6", 1797, outerRace},
	{"313_FE_outer_014_at6", 1797, outerRace},
	{"3005_DE_ball_028", 1797, rollingElement},
	{"3006_DE_ball_028", 1772, rollingElement},
	{"222_DE_ball_021", 1796, ""},
	{"118_DE_ball_007", 1796, ""},
	{"197_DE_outer_014_at6", 1796, ""},
	{"158_DE_outer_007_at12", 1796, outerRace}, // at its true speed
	{"279_FE_inner_007", 1774, innerRace},
}

func recordCase(t *testing.T, dir, name string, rpm float64) Case {
	file := "cwru_" + name + ".wav"
	geometry := &driveEnd
	switch {
	case strings.Contains(name, "ims"):
		file, geometry = name+".wav", &za2115
	case strings.Contains(name, "_FE_"):
		geometry = &fanEnd
	}
	x, rate := readPCM(t, filepath.Join(dir, file))
	c := Case{Samples: x, Rate: rate, ShaftHz: rpm / 60, Bearing: geometry}
	if geometry == &za2115 {
		c.BlockS = 1 // six snapshots laid end to end
	}
	return c
}

// TestMeasuredBearings: every easy and moderate record is named right, nothing
// is said of the healthy and the undiagnosable.
func TestMeasuredBearings(t *testing.T) {
	dir := recordsAt(t)
	for _, m := range measured {
		t.Run(m.name, func(t *testing.T) {
			r, err := Examine(context.Background(), recordCase(t, dir, m.name, m.rpm))
			if err != nil {
				t.Fatal(err)
			}
			heard := 0.0
			if r.HeardHz != nil {
				heard = *r.HeardHz
			}
			t.Logf("%-11s %-15s S %6.1f margin %5.2f stated %.3f heard %.3f SK %.2f band %.0f-%.0f h %.1f scores %.2f", r.Verdict, r.Defect.Part, r.Defect.Strength, r.Defect.Margin, r.ShaftHz, heard, impulsiveness(r.Bands), r.Defect.Band.LoHz, r.Defect.Band.HiHz, r.Defect.Harmonics, r.Scores)
			switch {
			case m.must == "" && r.Verdict == Fail:
				t.Errorf("fail (%s), and nothing may be said: %s", r.Defect.Part, r.Why)
			case r.Verdict == Pass && !strings.Contains(m.name, "normal"):
				t.Errorf("pass, and the bearing is damaged: %s", r.Why)
			case m.must != "" && (r.Verdict != Fail || r.Defect.Part != m.must):
				t.Errorf("%s (%s), want fail by the %s: %s", r.Verdict, r.Defect.Part, m.must, r.Why)
			}
		})
	}
}

// TestWrongSpeedIsHeard: two records whose files state a wrong speed.
func TestWrongSpeedIsHeard(t *testing.T) {
	dir := recordsAt(t)
	for _, m := range []struct {
		name      string
		rpm, true float64
	}{{"158_DE_outer_007_at12", 1773, 29.933}, {"279_FE_inner_007", 1732, 29.567}} {
		r, err := Examine(context.Background(), recordCase(t, dir, m.name, m.rpm))
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != CannotTell || r.HeardHz == nil || *r.HeardHz < m.true-0.1 || *r.HeardHz > m.true+0.1 {
			t.Errorf("%s: %s, heard %v, want cannot tell and %.2f Hz: %s", m.name, r.Verdict, r.HeardHz, m.true, r.Why)
		}
	}
}

// TestMeasuredBearingsMisread: with a wrong speed, the geometry of another
// bearing, or only a short piece, there is no verdict or the right one.
func TestMeasuredBearingsMisread(t *testing.T) {
	dir := recordsAt(t)
	for _, m := range measured {
		told := recordCase(t, dir, m.name, m.rpm)
		if os.Getenv("WRECKWRIGHT_NOISE_LONG") == "" {
			told.Samples = told.Samples[:min(5*told.Rate, len(told.Samples))]
		}
		fast, other, piece := told, told, told
		fast.ShaftHz *= 1.024
		other.Bearing = &hub
		piece.Samples = piece.Samples[:min(3*piece.Rate, len(piece.Samples))]
		misread := map[string]Case{"2.4 % fast": fast, "another geometry": other, "3 s": piece}
		if os.Getenv("WRECKWRIGHT_NOISE_LONG") != "" {
			slow, rated := told, told
			slow.ShaftHz *= 0.95
			rated.Rate *= 4
			misread["5 % slow"], misread["another sample rate"] = slow, rated
		}
		for name, c := range misread {
			r, err := Examine(context.Background(), c)
			if errors.As(err, new(*InputError)) {
				continue // refused, which is right too
			}
			if err != nil {
				t.Fatal(err)
			}
			right := name != "another geometry" && name != "another sample rate" && r.Verdict == Fail && r.Defect.Part == m.must
			if r.Verdict != CannotTell && !right {
				t.Errorf("%s, %s: %s by the %s (S %.1f, margin %.1f)", m.name, name, r.Verdict, r.Defect.Part, r.Defect.Strength, r.Defect.Margin)
			}
		}
	}
}
