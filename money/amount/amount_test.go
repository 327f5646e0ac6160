package amount

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	cases := []struct {
		text, code string
		decimal    rune
		minor      int64
		bad        bool
	}{
		{text: "1,234.50", code: "GBP", minor: 123450},
		{text: "1.234,50", code: "EUR", minor: 123450},
		{text: "1 234,5", code: "EUR", minor: 123450},
		{text: "£ 12", code: "GBP", minor: 1200},
		{text: "12,5", code: "EUR", minor: 1250},
		{text: "1,234", code: "GBP", minor: 123400},
		{text: "1,234", code: "EUR", decimal: ',', bad: true}, // three decimals of a euro
		{text: "1.234", code: "KWD", decimal: '.', minor: 1234},
		{text: "(12.00)", code: "GBP", minor: -1200},
		{text: "12-", code: "GBP", minor: -1200},
		{text: "\u221212.00", code: "GBP", minor: -1200},
		{text: "GBP 12", code: "GBP", minor: 1200},
		{text: "500", code: "JPY", minor: 500},
		{text: "12,34,567.00", code: "INR", minor: 123456700},
		{text: ".5", code: "GBP", minor: 50},
		{text: "0.500", code: "GBP", minor: 50},
		{text: "0,500", code: "EUR", minor: 50},
		{text: "0.125", code: "GBP", bad: true}, // thousands do not begin with a nought
		{text: "1,2345.00", code: "GBP", bad: true},
		{text: "1.2.3", code: "GBP", bad: true},
		{text: "12.345", code: "GBP", decimal: '.', bad: true},
		{text: "--1", code: "GBP", bad: true},
		{text: "+12.50", code: "GBP", minor: 1250},
		{text: "12+50", code: "GBP", bad: true},
		{text: "12-50", code: "GBP", bad: true},
		{text: "03-21", code: "GBP", bad: true}, // a day, not a sum
		{text: "12.50- \u20ac", code: "EUR", minor: -1250},
		{text: "(-1)", code: "GBP", bad: true},
		{text: "", code: "GBP", bad: true},
		{text: ".", code: "GBP", bad: true},
		{text: "12x", code: "GBP", bad: true},
		{text: "99999999999999999999", code: "GBP", bad: true},
		{text: "1", code: "ZZZ", bad: true},
	}
	for _, c := range cases {
		got, err := Parse(c.text, c.code, c.decimal)
		if (err != nil) != c.bad {
			t.Errorf("Parse(%q, %s): error %v, want error %v", c.text, c.code, err, c.bad)
			continue
		}
		if !c.bad && got.Minor != c.minor {
			t.Errorf("Parse(%q, %s) = %d minor units, want %d", c.text, c.code, got.Minor, c.minor)
		}
	}
}

// What is shown can be typed in again (where the symbol is not a word such as JP¥), and what is written is read back the same.
func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]string{"GBP", "EUR", "JPY", "KWD", "CHF"}).Draw(t, "currency")
		a := New(rapid.Int64Range(-MaxMinor, MaxMinor).Draw(t, "minor"), code)
		if got, err := Parse(a.Number(), code, '.'); err != nil || got != a {
			t.Fatalf("Parse(%q) = %v, %v; want %v", a.Number(), got, err, a)
		}
		shown := NewStyle("en-GB").Show(a)
		if got, err := Parse(shown, code, '.'); code != "CHF" && code != "JPY" && (err != nil || got != a) {
			t.Fatalf("Parse of shown %q = %v, %v; want %v", shown, got, err, a)
		}
		b, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		var back Amount
		if err := json.Unmarshal(b, &back); err != nil || back != a {
			t.Fatalf("JSON %s came back as %v, %v", b, back, err)
		}
	})
}

func TestAmbiguous(t *testing.T) {
	for text, want := range map[string]bool{
		"12.345": true, "12,345": true, "£1.234": true, "-1.234": true,
		"12.34": false, "1234": false, "1,234.50": false, "1.234.567": false, "0.500": false, "": false, "twelve": false, "1234.567": false,
	} {
		if got := Ambiguous(text, "GBP"); got != want {
			t.Errorf("Ambiguous(%q) = %v, want %v", text, got, want)
		}
	}
}

func TestPlus(t *testing.T) {
	if _, err := New(1, "GBP").Plus(New(1, "EUR")); err == nil {
		t.Error("pounds and euros were added")
	}
	if _, err := New(MaxMinor, "GBP").Plus(New(1, "GBP")); err == nil {
		t.Error("a sum over the bound was accepted")
	}
	if got, err := (Amount{}).Plus(New(5, "GBP")); err != nil || got != New(5, "GBP") {
		t.Errorf("nothing plus 0.05 GBP = %v, %v", got, err)
	}
}

func TestShow(t *testing.T) {
	// ref: CLDR en-GB and de number patterns
	cases := []struct{ tag, want, whole string }{
		{"en-GB", "\u2212£1,234.50", "\u2212£1,235"},
		{"de", "\u22121.234,50\u00a0£", "\u22121.235\u00a0£"},
	}
	for _, c := range cases {
		s := NewStyle(c.tag)
		if got := s.Show(New(-123450, "GBP")); got != c.want {
			t.Errorf("%s shows %q, want %q", c.tag, got, c.want)
		}
		if got := s.ShowWhole(New(-123450, "GBP")); got != c.whole {
			t.Errorf("%s shows %q in whole units, want %q", c.tag, got, c.whole)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1,234.50", "(1)", "£", "1.2,3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := Parse(s, "GBP", Guess)
		if err == nil && (a.Minor > MaxMinor || a.Minor < -MaxMinor) {
			t.Fatalf("Parse(%q) = %d, over the bound", s, a.Minor)
		}
	})
}
