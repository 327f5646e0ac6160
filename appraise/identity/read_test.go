package identity

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

// tables are enough regions for these tests; the full ones are data.
var tables = Tables{
	Regions: []Span{
		{From: "A", To: "H", Region: "Africa"},
		{From: "J", To: "R", Region: "Asia"},
		{From: "S", To: "Z", Region: "Europe"},
		{From: "1", To: "5", Region: "North America", CheckDigit: true, Position7: true},
		{From: "6", To: "7", Region: "Oceania"},
		{From: "8", To: "0", Region: "South America"},
	},
	Countries: []Span{
		{From: "LA", To: "L0", Country: "China", CheckDigit: true},
		{From: "WA", To: "W0", Country: "Germany"},
		{From: "7F", To: "70", Region: "North America", Country: "United States", CheckDigit: true, Position7: true},
		{From: "93", To: "99", Country: "Brazil"},
	},
}

func read(t interface {
	Helper()
	Fatal(...any)
}, text string,
) Result {
	t.Helper()
	r, err := Read(text, tables, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestValuesAndWeights holds the tables of the regulation, written down again.
func TestValuesAndWeights(t *testing.T) {
	var cases []outside.Case
	for i, row := range []string{"", "AJ", "BKS", "CLT", "DMU", "ENV", "FW", "GPX", "HY", "RZ"} {
		for _, letter := range []byte(row) {
			cases = append(cases, outside.Case{Source: "CFR_49_565", Where: "565.15 Table III", What: "value of a letter", Got: float64(valueOf(letter)), Want: float64(i), Why: "exact"})
		}
	}
	for _, bad := range []byte("IOQ") {
		cases = append(cases, outside.Case{Source: "CFR_49_565", Where: "565.15 Table III", What: "a letter that is not used", Got: float64(valueOf(bad)), Want: -1, Why: "not in the table"})
	}
	for i, weight := range []float64{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2} {
		cases = append(cases, outside.Case{Source: "CFR_49_565", Where: "565.15 Table IV", What: "weight of a position", Got: float64(weights[i]), Want: weight, Why: "exact"})
	}
	r := read(t, "1G4AH59H45G118341")
	for i, product := range []float64{8, 49, 24, 5, 32, 15, 18, 80, 0, 45, 56, 7, 6, 40, 12, 12, 2} {
		cases = append(cases, outside.Case{Source: "CFR_49_565", Where: "565.15 Table V", What: "product of the sample number", Got: r.Working[i].Value, Want: product, Why: "exact"})
	}
	cases = append(cases,
		outside.Case{Source: "CFR_49_565", Where: "565.15 Table V", What: "sum of the sample number", Got: r.Working[17].Value, Want: 411, Why: "exact"},
		outside.Case{Source: "CFR_49_565", Where: "565.15 Table V", What: "its remainder", Got: r.Working[18].Value, Want: 4, Why: "exact"},
	)
	outside.Check(t, cases)
}

// TestPublishedNumbers: numbers that are printed in public, with the sums that
// go with them.
func TestPublishedNumbers(t *testing.T) {
	var cases []outside.Case
	var texts []outside.TextCase
	for _, k := range []struct {
		vin             string
		sum             float64
		expected, state string
	}{
		{"1G4AH59H45G118341", 411, "4", "ok"},
		{"1M8GDM9AXKP042788", 351, "X", "ok"},
		{"5GZCZ43D13S812715", 408, "1", "ok"},
		{"SGZCZ43D13S812715", 384, "X", "not applicable"}, // an S read for the 5: now it claims Europe
		{"11111111111111111", 89, "1", "ok"},
		{"1HGCM82633A004352", 311, "3", "ok"},
		{"1HGCM82633A004353", 313, "5", "wrong"},
		{"1FAPP64R7LH123456", 403, "7", "ok"},
		{"JH4TB2H26CC000000", 204, "6", "not applicable"}, // built in Japan; the law of its region asks for none
		{"5GZCZ43D23S812715", 408, "1", "wrong"},
		{"WP0ZZZ99ZTS392124", 459, "8", "not applicable"},
		{"00000000000000000", 0, "0", "not applicable"},
	} {
		r := read(t, k.vin)
		cases = append(cases, outside.Case{Source: "VIN_SAMPLES", Where: "sums recomputed", What: "sum of " + k.vin, Got: r.Working[17].Value, Want: k.sum, Why: "exact"})
		texts = append(texts,
			outside.TextCase{Source: "VIN_SAMPLES", Where: "check digits", What: "check digit of " + k.vin, Got: *r.CheckDigit.Expected, Want: k.expected},
			outside.TextCase{Source: "VIN_SAMPLES", Where: "check digits", What: "state of " + k.vin, Got: r.CheckDigit.State, Want: k.state},
		)
	}
	american, err := Read("JH4TB2H26CC000000", tables, Options{NorthAmerica: true})
	if err != nil {
		t.Fatal(err)
	}
	texts = append(texts,
		outside.TextCase{Source: "VIN_SAMPLES", Where: "check digits", What: "built in Japan for America", Got: american.CheckDigit.State, Want: "ok"},
		outside.TextCase{Source: "CFR_49_565", Where: "565.15(d), position 7", What: "built in Japan for America", Got: fmt.Sprint(american.ModelYears), Want: "[2012]"},
	)
	outside.Check(t, cases)
	outside.CheckText(t, texts)
}

// TestModelYears: position 10, and position 7 for North America.
func TestModelYears(t *testing.T) {
	const plain = "1AAAA00A000000000"
	at := func(first, seventh, tenth byte) string {
		b := []byte(plain)
		b[0], b[6], b[9] = first, seventh, tenth
		return string(b)
	}
	var cases []outside.TextCase
	for _, k := range []struct {
		first, seventh, tenth byte
		years                 string
	}{
		{'1', '9', 'K', "[1989]"},
		{'1', '4', 'A', "[1980]"},
		{'1', '3', '3', "[2003]"},
		{'1', '2', 'Y', "[2000]"},
		{'1', '5', '9', "[2009]"},
		{'1', 'A', 'A', "[2010]"},
		{'1', 'B', '9', "[2039]"},
		{'1', 'C', 'P', "[2023]"},
		{'1', 'H', 'C', "[2012]"},
		{'1', 'K', '1', "[2031]"},
		{'1', 'D', 'S', "[2025]"},
		{'1', 'D', 'U', "[]"},
		{'1', '4', 'Z', "[]"},
		{'2', '4', '0', "[]"},
		{'W', 'D', 'S', "[1995 2025]"},
		{'L', '4', 'A', "[1980 2010]"},
	} {
		r := read(t, at(k.first, k.seventh, k.tenth))
		cases = append(cases, outside.TextCase{Source: "CFR_49_565", Where: "565.15(d), position 7", What: fmt.Sprintf("position 7 %c, 10 %c, first %c", k.seventh, k.tenth, k.first), Got: fmt.Sprint(r.ModelYears), Want: k.years})
	}
	for i, code := range []byte("ABCDEFGHJKLMNPRSTVWXY123456789") {
		r := read(t, at('1', '0', code))
		cases = append(cases, outside.TextCase{Source: "CFR_49_565", Where: "565.15 Table VII", What: "the cycle's first half", Got: fmt.Sprint(r.ModelYears), Want: fmt.Sprintf("[%d]", 1980+i)})
	}
	outside.CheckText(t, cases)
	r, err := Read(at('1', 'B', '9'), tables, Options{ThisYear: 2026})
	if err != nil || !strings.Contains(strings.Join(r.Notes, " "), "2039 has not begun") {
		t.Errorf("2039 in 2026: %v, %q", err, r.Notes)
	}
}

func TestPlaces(t *testing.T) {
	var cases []outside.TextCase
	for _, k := range []struct{ start, region, country string }{
		{"WP", "Europe", "Germany"},
		{"W0", "Europe", "Germany"},
		{"LS", "Asia", "China"},
		{"7F", "North America", "United States"},
		{"70", "North America", "United States"},
		{"71", "North America", "United States"},
		{"7E", "Oceania", ""},
		{"92", "South America", ""},
		{"93", "South America", "Brazil"},
		{"00", "South America", ""},
		{"AA", "Africa", ""},
		{"SB", "Europe", ""},
	} {
		r := read(t, k.start+"0ZZZ99ZTS392124")
		cases = append(cases, outside.TextCase{Source: "ISO_3780", Where: "order of characters", What: k.start, Got: r.Region + "/" + r.Country, Want: k.region + "/" + k.country})
	}
	outside.CheckText(t, cases)
	if r := read(t, "71GCM82633A004352"); !r.CheckDigit.Mandatory || len(r.ModelYears) != 1 {
		t.Error("71 is given to the United States: check digit and position 7 hold")
	}
}

func TestLookalikes(t *testing.T) {
	r := read(t, "1M8GDM9AIKP042788")
	notes := strings.Join(r.Notes, " ")
	if r.ValidCharacters || r.CheckDigit.Expected != nil || r.CheckDigit.State != "not applicable" || !strings.Contains(notes, "Position 9: the letter I is never used") {
		t.Errorf("I in position 9: %+v", r)
	}
	// The plate was 1M8GDM9AXKP042788 with the 0 read as O.
	r = read(t, "1M8GDM9AXKPO42788")
	if r.ValidCharacters || len(r.Readings) != 1 || r.Readings[0].VIN != "1M8GDM9AXKP042788" || r.Readings[0].Place != 12 {
		t.Errorf("O for 0: %+v", r.Readings)
	}
	r = read(t, "1M8GDM9AXKP0427*8")
	if r.ValidCharacters || !strings.Contains(strings.Join(r.Notes, " "), `Position 17`) && !strings.Contains(strings.Join(r.Notes, " "), `Position 16: "*"`) {
		t.Errorf("a star: %q", r.Notes)
	}
	// The 5 of position 1 read as 6, say, is no look-alike; S for 5 in the serial is.
	r = read(t, "5GZCZ43D13S8127I5")
	if len(r.Readings) != 1 || r.Readings[0].To != "1" {
		t.Errorf("I for 1: %+v", r.Readings)
	}
	r = read(t, "5GZCZ43D13S81271S")
	if r.CheckDigit.State != StateWrong || !slices.Contains(r.Readings, Reading{"5GZCZ43D13S812715", 17, "S", "5"}) {
		t.Errorf("S for 5: %s, %+v", r.CheckDigit.State, r.Readings)
	}
}

func TestCleaning(t *testing.T) {
	for _, text := range []string{"1m8gdm9axkp042788", " 1M8 GDM9AX-KP042788\n", "1M8–GDM9AX\u00a0KP042788"} {
		if r := read(t, text); r.VIN != "1M8GDM9AXKP042788" || r.CheckDigit.State != StateOK || len(r.Notes) < 2 {
			t.Errorf("%q: %s, %q", text, r.VIN, r.Notes)
		}
	}
	for text, want := range map[string]string{
		"":                        "is empty",
		" - ":                     "is empty",
		"1M8GDM9AXKP04278":        "has 16 of the 17 characters; expected 17",
		"1M8GDM9AXKP0427889":      `what stands from position 18 on is "9"; expected 17`,
		"1":                       "has 1 of the 17",
		"ääääääääääääääää":        "has 16 of the 17 characters",
		strings.Repeat("Z", 9999): "has 9999 characters",
	} {
		_, err := Read(text, tables, Options{})
		var wrong *InputError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), want) || len(err.Error()) > 400 {
			t.Errorf("%.20q: %v, want %q", text, err, want)
		}
	}
}

func TestTraps(t *testing.T) {
	for text, want := range map[string]string{
		"11111111111111111": "no car has this number",
		"1M9GDM9AXKP042788": "named only together with positions 12 to 14 (042)",
		"1M8GDM9AXKP0427A8": "last four characters should be digits",
		"1M8GDM9AZKP042788": "a check digit is 0 to 9 or X",
		"1M8GDM9AXZP042788": "stands for no model year",
	} {
		if notes := strings.Join(read(t, text).Notes, " "); !strings.Contains(notes, want) {
			t.Errorf("%s: %q, want %q", text, notes, want)
		}
	}
	if r, _ := Read("1M8GDM9AXKP042788", Tables{}, Options{}); r.Region != "" || r.CheckDigit.State != StateNotApplicable || !strings.Contains(r.Notes[0], "no region") {
		t.Errorf("without tables: %+v", r)
	}
}

// anyNumber draws a number whose check digit fits.
func anyNumber(t *rapid.T) []byte {
	b := make([]byte, Length)
	for i := range b {
		b[i] = order[rapid.IntRange(0, len(order)-1).Draw(t, "character")]
	}
	_, b[checkPlace] = checkDigit(string(b))
	return b
}

// TestWhatACheckDigitCatches holds the sentences of [limits].
func TestWhatACheckDigitCatches(t *testing.T) {
	fits := func(b []byte) bool { _, d := checkDigit(string(b)); return d == b[checkPlace] }
	rapid.Check(t, func(t *rapid.T) {
		b := anyNumber(t)
		if !fits(b) {
			t.Fatal("does not fit itself")
		}
		i := rapid.IntRange(0, Length-1).Filter(func(i int) bool { return i != checkPlace }).Draw(t, "place")
		was := b[i]
		b[i] = order[rapid.IntRange(0, len(order)-1).Draw(t, "misread")]
		if same := valueOf(was) == valueOf(b[i]); fits(b) != same {
			t.Fatalf("%c for %c in position %d: fits %v", b[i], was, i+1, fits(b))
		}
		b[i] = was
		j := rapid.IntRange(0, Length-2).Filter(func(j int) bool { return j != checkPlace && j+1 != checkPlace }).Draw(t, "swap")
		b[j], b[j+1] = b[j+1], b[j]
		if same := valueOf(b[j]) == valueOf(b[j+1]); fits(b) != same {
			t.Fatalf("swap at %d of %s: fits %v", j+1, b, fits(b))
		}
	})
}

// FuzzRead: whatever the text, an answer or one clear mistake.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{"1M8GDM9AXKP042788", "", "1m8 gdm9-axkp042788", "IIIIIIIIIIIIIIIII", "\xff\xfe1M8GDM9AXKP0427", "ßßßßßßßßßßßßßßßßß"} {
		f.Add(seed, false)
	}
	f.Fuzz(func(t *testing.T, text string, american bool) {
		r, err := Read(text, tables, Options{NorthAmerica: american, ThisYear: 2026})
		var wrong *InputError
		switch {
		case errors.As(err, &wrong):
			if len(err.Error()) > 1000 {
				t.Errorf("the message has %d bytes", len(err.Error()))
			}
		case err != nil:
			t.Errorf("not an InputError: %v", err)
		case r.ValidCharacters != (r.CheckDigit.Expected != nil):
			t.Errorf("%q: valid %v, digit %v", text, r.ValidCharacters, r.CheckDigit.Expected)
		}
	})
}
