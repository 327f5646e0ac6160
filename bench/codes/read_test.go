package codes

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

var groups = []Group{{"P0300", "P03FF", "ignition or misfire", false}, {"P0301", "P0312", "misfire", true}}

func TestReport(t *testing.T) {
	const text = `Control units of the car, 3 found
DME: p0301-11 misfire seen, P0301-11 again, P1234
C0035 U0100 B3000
41 0C 1A F8 05 7B
>010C
410D32
41 00 BE 3F A8 13
41 31 00 0C
something about a tyre 225/45 R17`
	r, err := Read(text, Place{}, Tables{Groups: groups})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, c := range r.Codes {
		got = append(got, c.String()+" "+c.Origin)
	}
	if want := []string{"P0301-11 standard", "P1234 maker", "C0035 standard", "U0100 standard", "B3000 reserved"}; !slices.Equal(got, want) {
		t.Errorf("%q; want %q", got, want)
	}
	if c := r.Codes[0]; c.Times != 2 || c.Line != 2 || c.Cylinder != 1 || c.Meaning != "powertrain, standard: misfire, cylinder 1" {
		t.Errorf("%+v", c)
	}
	if c := r.Codes[1]; c.Group != "" || !strings.Contains(c.Meaning, "only the maker's manual") {
		t.Errorf("%+v", c)
	}
	if len(r.Values) != 4 || r.Values[1].Value != 83 || r.Values[2].Value != 50 {
		t.Errorf("%+v", r.Values)
	}
	if len(r.Supported) != 18 || r.Supported[0] != "01" || r.Supported[17] != "20" {
		t.Errorf("%q", r.Supported)
	}
	if len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "12 km: the codes were cleared lately") {
		t.Errorf("%q", r.Notes)
	}
	if len(r.Unclear) != 0 || r.Ready != nil {
		t.Errorf("%+v, %+v", r.Unclear, r.Ready)
	}
}

func TestUnclear(t *testing.T) {
	for text, want := range map[string]Unclear{
		"PO301":                       {1, "PO301", "a letter stands where a digit belongs", "P0301"},
		"P030":                        {1, "P030", "a code has a letter and four digits", ""},
		"P03011":                      {1, "P03011", "a code has a letter and four digits", ""},
		"P4301":                       {1, "P4301", "the first digit of a code is 0 to 3", ""},
		"41 0C 1A":                    {1, "41 0C 1A", "identifier 0C needs 2 bytes, here are 1", ""},
		"41 99 00":                    {1, "41 99 00", "identifier 99 is not worked out here", ""},
		"7F 03 12":                    {1, "7F 03 12", "the control unit refused the request", ""},
		"62 F1 90 01":                 {1, "62 F1 90 01", "no answer to a service that is known here (41, 42, 43, 44, 47, 4A at its beginning)", ""},
		"43 02 03 01 04 20 00":        {1, "43 02 03 01 04 20 00", "without a header this may be P0301, P0420 (a count in front) or P0203, P0104, P2000 (an older bus): read it again with headers shown", ""},
		"43 03 01 33 04 20":           {1, "43 03 01 33 04 20", "3 codes are counted and 2 are there: the rest of the answer is missing", ""},
		"7E8 07 41 0C":                {1, "7E8 07 41 0C", "the length in front does not fit the bytes", ""},
		"7E8 21 03 01":                {1, "7E8 21 03 01", "a later frame of an answer whose first is missing", ""},
		"7E8 10 0A 43 04 01 33 04 20": {1, "answer of 7E8", "its last frames are missing", ""},
		"7E8 10 0A 43 04 01 33 04 20\n7E8 22 03 01": {2, "7E8 22 03 01", "a frame before it is missing", ""},
	} {
		r, err := Read("P0420 "+"\n"+text, Place{}, Tables{})
		want.Line++
		if err != nil || len(r.Unclear) != 1 || r.Unclear[0] != want {
			t.Errorf("%s: %+v, %v; want %+v", text, r.Unclear, err, want)
		}
	}
}

func TestNothingInIt(t *testing.T) {
	for text, word := range map[string]string{
		"":                                "no code and no answer",
		"hello":                           "no code and no answer",
		"0133":                            "no code and no answer",
		"PO301":                           "P0301, if that was meant",
		"P4301":                           "first digit",
		"41 0C 1A":                        "needs 2 bytes",
		strings.Repeat("P0301\n", 200000): "larger than 1 MiB",
	} {
		_, err := Read(text, Place{}, Tables{})
		var wrong *InputError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), word) || !strings.Contains(err.Error(), "expected") {
			t.Errorf("%.20q: %v; want %q", text, err, word)
		}
	}
	for _, text := range []string{"no codes", "None.", "43 00"} {
		if r, err := Read(text, Place{}, Tables{}); err != nil || len(r.Codes) != 0 {
			t.Errorf("%q: %v, %v", text, r.Codes, err)
		}
	}
}

func TestStatesAndFreezeFrame(t *testing.T) {
	r, err := Read("47 01 03 01\n43 01 03 01\n42 0C 00 1A F8\n41 01 82 07 65 00\n44", Place{}, Tables{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Codes) != 1 || r.Codes[0].State != "stored" || r.Codes[0].Times != 2 {
		t.Errorf("%+v", r.Codes)
	}
	if len(r.Values) != 1 || r.Values[0].Name != "engine speed when the code was set" || r.Values[0].Value != 1726 {
		t.Errorf("%+v", r.Values)
	}
	if r.Verdict != Fail || !strings.Contains(r.Why, "the engine lamp is on") {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
}

func TestCompare(t *testing.T) {
	before, _ := Read("P0301-11 P0420 U0100", Place{}, Tables{})
	after, _ := Read("P0301 C0035", Place{}, Tables{})
	r := Compare(before.Codes, after.Codes)
	if r.Text != "gone: P0420, U0100; still there: P0301-11; new: C0035" {
		t.Errorf("%q", r.Text)
	}
	if got := Compare(nil, nil).Text; got != "no codes before, none after" {
		t.Errorf("%q", got)
	}
}

// FuzzRead: whatever the text, there is an answer or one mistake in words.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"P0301 P0420-11", "41 0C 1A F8", "43 02 01 33 04 20", "7E8 10 14 43 09 01 00 01 01\n7E8 21 01 02 01 03 01 04 01",
		"48 6B 10 41", "41 01 81 07 65 04", "41 14 5A FF", "42 0C", "PO301", "18DAF110 04 43 01 C1 00", "7E8 10", "\xff\xfe",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := Read(text, Place{"US", "", 2001}, Tables{Groups: groups})
		var wrong *InputError
		if err != nil && (!errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "") {
			t.Fatalf("%q: %v", text, err)
		}
		for _, c := range r.Codes {
			if !written.MatchString(c.Code) || c.Meaning == "" {
				t.Fatalf("%q: %+v", text, c)
			}
		}
	})
}

// A code with letters that are no digits is named, not passed over; words and part
// numbers are none.
func TestCodesWithLettersThatAreNoDigits(t *testing.T) {
	r, err := Read("P0301\nP0XYZ\nBonnet up, B-pillar\nU0GG1 seen", Place{}, Tables{})
	if err != nil || len(r.Codes) != 1 || len(r.Unclear) != 2 {
		t.Fatalf("%+v (%v)", r.Unclear, err)
	}
	if u := r.Unclear[0]; u.Text != "P0XYZ" || u.Line != 2 || !strings.Contains(u.Why, "X, Y, Z can stand in no code") {
		t.Errorf("%+v", u)
	}
	if u := r.Unclear[1]; u.Text != "U0GG1" || !strings.Contains(u.Why, "G can stand") {
		t.Errorf("%+v", u)
	}
	if _, err := Read("P0XYZ", Place{}, Tables{}); err == nil || !strings.Contains(err.Error(), "P0XYZ") {
		t.Errorf("alone it gives %v", err)
	}
}
