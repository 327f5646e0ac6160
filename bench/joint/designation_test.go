package joint

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestParseThread(t *testing.T) {
	for _, tt := range []struct {
		text, want string
		pitch      float64
		left       bool
		length     float64
		class      string
	}{
		{"M10", "M10", 1.5, false, 0, ""},
		{"m10x1.25", "M10x1.25", 1.25, false, 0, ""},
		{"M10×1,25", "M10x1.25", 1.25, false, 0, ""},
		{" M 10 x 1.25 - 10.9 ", "M10x1.25-10.9", 1.25, false, 0, "10.9"},
		{"M10x1.25-10,9", "M10x1.25-10.9", 1.25, false, 0, "10.9"},
		{"M10 8.8", "M10-8.8", 1.5, false, 0, "8.8"},
		{"M10x1.5", "M10", 1.5, false, 0, ""},
		{"M12x1.5 LH 8.8", "M12x1.5 LH 8.8", 1.5, true, 0, "8.8"},
		{"M12x1.5-LH-8.8", "M12x1.5 LH 8.8", 1.5, true, 0, "8.8"},
		{"M12x1.5-8.8 left-hand", "", 0, false, 0, ""},
		{"M12x1.5-8.8 left", "M12x1.5 LH 8.8", 1.5, true, 0, "8.8"},
		{"M10x1.5-6g-8.8", "M10-8.8", 1.5, false, 0, "8.8"},
		{"M10-6H/6g 10.9", "M10-10.9", 1.5, false, 0, "10.9"},
		{"M10x1.5x40-8.8", "M10x1.5x40-8.8", 1.5, false, 40, "8.8"},
		{"M10-1.25", "M10x1.25", 1.25, false, 0, ""},
		{"M10-1.5-10.9", "M10-10.9", 1.5, false, 0, "10.9"},
		{"M10 - 1", "M10x1", 1, false, 0, ""},
		{"M10-1.2", "", 0, false, 0, ""},
		{"M10-A2-70", "M10-A2-70", 1.5, false, 0, "A2-70"},
		{"M10 A2 70", "", 0, false, 0, ""},
		{"M10.0", "M10", 1.5, false, 0, ""},
		{"3/8-16 UNC grade 5", "3/8-16 UNC grade 5", 25.4 / 16, false, 0, "grade 5"},
		{"3/8-16", "3/8-16 UNC", 25.4 / 16, false, 0, ""},
		{"3/8 UNF", "3/8-24 UNF", 25.4 / 24, false, 0, ""},
		{"0.375-16 UNC", "3/8-16 UNC", 25.4 / 16, false, 0, ""},
		{"1/2-20 UNF-2A gr. 8", "1/2-20 UNF grade 8", 25.4 / 20, false, 0, "grade 8"},
		{"1/2\"-20 UNF LH grade 8", "1/2-20 UNF LH grade 8", 25.4 / 20, true, 0, "grade 8"},
		{"½-13 unc", "1/2-13 UNC", 25.4 / 13, false, 0, ""},
		{"#10-24", "#10-24 UNC", 25.4 / 24, false, 0, ""},
		{"No. 10-32 UNF", "#10-32 UNF", 25.4 / 32, false, 0, ""},
		{"1 1/4-7 UNC", "1 1/4-7 UNC", 25.4 / 7, false, 0, ""},
	} {
		got, err := ParseThread(tt.text, testTables())
		if tt.want == "" {
			if err == nil {
				t.Errorf("%q is read as %s: expected a mistake", tt.text, got.Designation)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		if got.Designation != tt.want || math.Abs(got.PitchMm-tt.pitch) > 1e-9 || got.LeftHand != tt.left || got.LengthMm != tt.length || got.Class != tt.class {
			t.Errorf("%q is read as %+v", tt.text, got)
		}
		if again, err := ParseThread(got.Designation, testTables()); err != nil || again.Designation != got.Designation || again.PitchMm != got.PitchMm || again.Class != got.Class {
			t.Errorf("%q is written %q and then read as %+v, %v", tt.text, got.Designation, again, err)
		}
	}
}

func TestImpossibleThreads(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"", `no thread given; expected a thread such as "M10x1.25-10.9" or "3/8-16 UNC grade 5"`},
		{"M10x3", "M10x3: M10 has pitches 1.5 (coarse), 1.25, 1, 0.75"},
		{"M10x40", "M10x40: M10 has pitches 1.5 (coarse), 1.25, 1, 0.75; where 40 is the length write M10x1.5x40"},
		{"M10x0", "M10x0: M10 has pitches 1.5 (coarse), 1.25, 1, 0.75"},
		{"M13", "M13 is no metric thread known here; expected one such as M12 or M14"},
		{"M5000", "M5000 is no metric thread known here; expected M26 or below"},
		{"M0", "M0 is no metric thread known here; expected M6 or above"},
		{"M26-8.8", "M26 has no coarse pitch; expected a pitch: 1.5"},
		{"M10-7.7", "M10-7.7: 7.7 is no strength class of metric threads; expected one of 4.6, 8.8, 9.8, 10.9, 12.9, A2-70"},
		{"M18-9.8", "M18-9.8: class 9.8 is made up to M16; expected a class that is made in this size"},
		{"M10 grade 5", "M10-grade 5: grade 5 is no strength class of metric threads; expected one of 4.6, 8.8, 9.8, 10.9, 12.9, A2-70"},
		{"M10-8.8 zinc", `M10-8.8 ZINC: "ZINC" is not understood; expected nothing after the class 8.8`},
		{"M10 strong", `M10 STRONG: "STRONG" is not understood; expected a class such as 8.8, 10.9, A2-70 or "grade 5", or LH`},
		{"3/8-17", "3/8-17: 3/8 has threads per inch 16 (UNC), 24 (UNF)"},
		{"3/8-16 UNF", "3/8-16 UNF: 3/8 has threads per inch 16 (UNC), 24 (UNF)"},
		{"3/8", "3/8 says nothing of its pitch; expected the series or the threads per inch: 16 (UNC), 24 (UNF)"},
		{"3/8-16 BSW", "3/8 BSW: threads of the series BSW are not known here; expected UNC or UNF"},
		{"5/16-18", "5/16 is no unified thread known here; expected one such as 1/4 or 3/8"},
		{"3/0-18", "3/0 is no unified thread known here; expected #10 or above"},
		{"G1/2", `"G1/2" is no thread designation known here; expected one such as "M10", "M10x1.25-10.9", "3/8-16 UNC grade 5", "#10-24"`},
		{"M10x1.5x0", "M10X1.5X0: 0 mm is no length of a bolt; expected a length above 0, up to 2000 mm"},
	} {
		_, err := ParseThread(tt.text, testTables())
		var wrong *InputError
		if !errors.As(err, &wrong) || wrong.Input != InThread || err.Error() != tt.want {
			t.Errorf("%q:\n got %v\nwant %s", tt.text, err, tt.want)
		}
	}
}

func FuzzParseThread(f *testing.F) {
	for _, text := range []string{
		"M10", "M10x1.25-10.9", "M10×1,25 LH A2-70", "3/8-16 UNC grade 5", "#10-24", "1 1/4-7 UNC-2A", "M10x3", "½-13", "M10x1.5x40-6g-8.8",
		"0.375-16", "NO.10", "M", "M10-", "M10--", "3/0", "M1e9", "\xff", strings.Repeat("M", 200),
	} {
		f.Add(text)
	}
	tables := testTables()
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParseThread(text, tables)
		if err != nil {
			var wrong *InputError
			if !errors.As(err, &wrong) {
				t.Fatalf("%q: %v is no mistake of the input", text, err)
			}
			return
		}
		area := got.StressAreaMm2()
		if !(got.PitchMm > 0 && got.DiameterMm > 0 && area > 0) || math.IsInf(area, 0) {
			t.Fatalf("%q is read as %+v", text, got)
		}
		again, err := ParseThread(got.Designation, tables)
		if err != nil || again.Designation != got.Designation {
			t.Fatalf("%q is written %q, and that is read as %q, %v", text, got.Designation, again.Designation, err)
		}
	})
}
