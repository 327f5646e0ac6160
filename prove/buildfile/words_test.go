package buildfile_test

import (
	"testing"

	"wreckwright/prove/buildfile"
)

// known is the invented car of these tests.
var known = buildfile.Known{
	People: []string{"Ada Bly", "workshop", "Jo", "Ada Bly"}, Firms: []string{"Harbour Spares"}, Plate: "N0R VNE", VIN: "NVSKUA00DEM000142", Currencies: []string{"GBP"},
}

func TestWordsAreCutOut(t *testing.T) {
	w := buildfile.NewWords(known)
	for text, want := range map[string]string{
		"Ada Bly held it, then ada again":                   "[left out] held it, then [left out] again",
		"Adam adapts the adapter; the job is Johns":         "Adam adapts the adapter; the job is Johns",
		"Jo checked, jo's tool":                             "[left out] checked, [left out]'s tool",
		"the workshop bought it at Harbour  Spares":         "the workshop bought it at [left out]",
		"plate N0RVNE, n0r-vne, N0R VNE1":                   "plate [left out], [left out], N0R VNE1",
		"VIN NVSKUA00 DEM000142 on the sill":                "VIN [left out] on the sill",
		"paid £1,250.50 and 300 EUR, 12 Nm":                 "paid [left out] and [left out], 12 Nm",
		"cost 40 quid for 2 bolts M8":                       "cost [left out] for 2 bolts M8",
		"write to ada.bly@example.org or +44 20 79 46 0999": "write to [left out] or [left out]",
		"Größe 12 mm, Ölfilter":                             "Größe 12 mm, Ölfilter",
	} {
		if got, _ := w.Cut(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
	// Numbers of the ranges that are kept free for invented ones (Ofcom, FCC, ARCEP,
	// Bundesnetzagentur), as people write them; and what only looks like one.
	for text, want := range map[string]string{
		"ring 07700 900123.":                   "ring [left out].",
		"ring 01632 960 001, or 020 7946 0999": "ring [left out], or [left out]",
		"(0113) 496 0000 after six":            "[left out] after six",
		"Tel. 030/23125 001":                   "Tel. [left out]",
		"0049 30 23125001 from abroad":         "[left out] from abroad",
		"call 202-555-0123 or (202) 555-0123":  "call [left out] or [left out]",
		"01 99 00 12 34":                       "[left out]",
		"zoë.müller@beispiel.example":          "[left out]",
		"ada [at] example.org":                 "[left out]",
		"bought 2026-03-14, 112 N·m":           "bought 2026-03-14, 112 N·m",
		"part 8K0 615 301, or 0986479A01":      "part 8K0 615 301, or 0986479A01",
		"0.12 0.13 0.12 0.14 0.13":             "0.12 0.13 0.12 0.14 0.13",
		"{\"gas\":0.0012345678901}":            "{\"gas\":0.0012345678901}",
		"odometer 0067470, 1183 mm 1194 mm":    "odometer 0067470, 1183 mm 1194 mm",
		"part 06-1234-567-890123456789":        "part 06-1234-567-890123456789",
		"at 09:30 12 bolts of 8 mm":            "at 09:30 12 bolts of 8 mm",
	} {
		if got, _ := w.Cut(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
	if w.Person("Ada Bly") != "person 1" || w.Person("jo") != "person 2" || w.Person("workshop") != "workshop" || w.Person("Zed") != "somebody" {
		t.Error("people are not numbered")
	}
}

// TestShorterNameIsFound: where the longer name does not fit, the shorter one in it
// still does.
func TestShorterNameIsFound(t *testing.T) {
	w := buildfile.NewWords(buildfile.Known{People: []string{"Ada Bly", "Zoë"}, Firms: []string{"Bly & Sons"}})
	for text, want := range map[string]string{
		"Ada Blyth and Ada":         "[left out] Blyth and [left out]",
		"Ada Ada Ada":               "[left out] [left out] [left out]",
		"BlyAda, Bly":               "BlyAda, [left out]",
		"Zoë,Zoë;Zoëlle":            "[left out],[left out];Zoëlle",
		"Bly & Sonstwas, Bly & Son": "[left out] & Sonstwas, [left out] & Son",
		"Bly & Sons":                "[left out]",
	} {
		if got, _ := w.Cut(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

// TestSumsOfAllMoney: as people write them where they live; and what only looks
// like money.
func TestSumsOfAllMoney(t *testing.T) {
	for currency, texts := range map[string]map[string]string{
		"CZK": {"12000 CZK": "[left out]", "za 12 000 Kč s dopravou": "za [left out] s dopravou", "CZK 450": "[left out]"},
		"ZAR": {"R 4500": "[left out]", "R4 500.00 cash": "[left out] cash", "tyre 225/45 R17": "tyre 225/45 R17", "gas R134a": "gas R134a", "R950": "[left out]"},
		"SEK": {"3500 kr": "[left out]", "3 500:- kontant": "[left out] kontant", "kr 3500": "[left out]", "3500\u00a0kr": "[left out]"},
		"GBP": {
			"3500 kr": "[left out]", "40p each": "[left out] each", "£12k": "[left out]", "₹ 900": "[left out]", "1'200.- CHF": "[left out]", "120,- Euro": "[left out]",
			"2 grand": "[left out]", "Euro 6 diesel": "Euro 6 diesel", "RON 98": "RON 98", "TOP 3 bolts": "TOP 3 bolts", "5 THB": "[left out]",
			"12 000 EUR": "[left out]", "bolt 8 mm, 12 N·m": "bolt 8 mm, 12 N·m", "5 all round": "5 all round", "krank 12": "krank 12", "at 12 krpm": "at 12 krpm",
			"12 R": "12 R", "[1,-2]": "[1,-2]", "12 ft": "12 ft", "1200 zł": "[left out]",
		},
		"HUF": {"45 000 Ft": "[left out]", "12 ft of hose": "12 ft of hose"},
		"TRY": {"900 TRY": "[left out]", "900 TL": "[left out]"},
		"no":  {"900 TRY": "900 TRY"},
	} {
		w := buildfile.NewWords(buildfile.Known{Currencies: []string{currency}})
		for text, want := range texts {
			if got, _ := w.Cut(text); got != want {
				t.Errorf("%s: %q became %q, want %q", currency, text, got, want)
			}
		}
	}
}

// The VIN NVSKUA00DEM000142 as readers print the answers of a car: over CAN with
// and without its address, and the five answers of older ones (layout: SAE J1979
// service 09 type 02, ISO 15765-2, from memory).
const (
	vinOverCAN  = "014\n0: 49 02 01 4E 56 53\n1: 4B 55 41 30 30 44 45\n2: 4D 30 30 30 31 34 32\n"
	vinTight    = "7E81014490201 4E5653\n7E8214B554130304445\n7E8224D303030313432\n"
	vinOfFive   = "49 02 01 00 00 00 4E\n49 02 02 56 53 4B 55\n49 02 03 41 30 30 44\n49 02 04 45 4D 30 30\n49 02 05 30 31 34 32\n"
	vinUnnamed  = "62 F1 90 58 58 58 5A 5A 5A 31 5A 5A 33 57 30 30 30 30 30 31\n"
	codesNoVIN  = "43 02 01 33 04 20 00 00\n7E8 06 41 00 BE 3F A8 13\n41 01 83 07 65 04\n"
	twoDigits   = "12 13 12 14\n49 02 11 12 13 14\n45 44 30 30\n20261125\n"
	hexedInText = "the reader said 7E8 22 4D 30 30 30 31 34 32 to it"
)

// TestVINInBytes: what a reader prints is looked through as bytes too.
func TestVINInBytes(t *testing.T) {
	w := buildfile.NewWords(known)
	stranger := buildfile.NewWords(buildfile.Known{}) // the book does not know the VIN
	for name, c := range map[string]struct {
		text             string
		known, strangers bool
	}{
		"CAN": {vinOverCAN, true, true}, "without gaps": {vinTight, true, false}, "older": {vinOfFive, true, true}, "by identifier": {vinUnnamed, true, true},
		"fault codes": {codesNoVIN, false, false}, "readings": {twoDigits, false, false}, "in a sentence": {hexedInText, true, false},
	} {
		for _, kind := range []buildfile.TextKind{buildfile.Prose, buildfile.Readings} {
			if kind == buildfile.Prose && !c.known {
				continue // in prose 02 01 33 04 20 may be a telephone number
			}
			if w.Holds(c.text, kind) != c.known || stranger.Holds(c.text, kind) != c.strangers {
				t.Errorf("%s: %t where the VIN is known, %t where not (kind %d)", name, w.Holds(c.text, kind), stranger.Holds(c.text, kind), kind)
			}
		}
	}
	if got, _ := w.Cut(hexedInText); got != "the reader said 7E8 [left out] to it" {
		t.Error(got)
	}
}

// TestWhatAFileHolds: in a paper all counts; in readings a line of numbers is none;
// in a drawing the numbers of the tags are none.
func TestWhatAFileHolds(t *testing.T) {
	w := buildfile.NewWords(known)
	for _, c := range []struct {
		kind buildfile.TextKind
		text string
		want bool
	}{
		{buildfile.Prose, "paid £300 for it", true},
		{buildfile.Prose, "ring 07700 900123", true},
		{buildfile.Prose, "300,- in cash", true},
		{buildfile.Prose, "nothing but 12 N·m", false},
		{buildfile.Readings, "# ring 07700 900123\n12.1\n", true},
		{buildfile.Readings, "12.1\n# for £300\n", true},
		{buildfile.Readings, "0123 45678 901\n+1.0 -0.5 0.1234567\n202 555 0123\n", false},
		{buildfile.Readings, "left,12,-\nright,-,13\n", false},
		{buildfile.Readings, "12.1 12.2 Ada\n", true},
		{buildfile.Drawing, `<path d="M 100 200 3000 L 012 345 678901"/><text>pump</text>`, false},
		{buildfile.Drawing, `<path d="M 1 2"/><text>07700 900123</text>`, true},
		{buildfile.Drawing, `<path id="Ada Bly" d="M 1 2"/>`, true},
	} {
		if got := w.Holds(c.text, c.kind); got != c.want {
			t.Errorf("%d %q: %t", c.kind, c.text, got)
		}
	}
}

func FuzzCut(f *testing.F) {
	for _, text := range []string{"Ada paid £12 for N0R VNE", "12 000,- kr at 07700 900123", "R 4 500, 490201 30304445 Left out", "a@b.cc+44 20 79 46 0999"} {
		f.Add(text)
	}
	w := buildfile.NewWords(buildfile.Known{People: []string{"Ada", "Lou Left"}, Plate: "N0R VNE", VIN: known.VIN, Currencies: []string{"ZAR", "HUF"}})
	f.Fuzz(func(t *testing.T, text string) {
		cut, _ := w.Cut(text)
		if w.Holds(cut, buildfile.Prose) {
			t.Errorf("%q", cut)
		}
	})
}
