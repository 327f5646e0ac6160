package knowledge

import (
	"strings"
	"testing"
)

// TestLimitsFor walks the choice of a limit by place, kind and first use.
func TestLimitsFor(t *testing.T) {
	for _, tt := range []struct {
		key, jurisdiction, variant, firstUsed string
		lower, upper                          []float64
	}{
		{"service-brake", "UK", "", "2010-08-31", []float64{50}, nil},
		{"service-brake", "UK", "", "2010-09-01", []float64{58}, nil},
		{"service-brake", "UK", "", "", []float64{58, 50}, nil},
		{"service-brake", "DE", "", "2015-06-01", []float64{58}, nil},
		{"service-brake", "AU", "", "2015-06-01", nil, nil},
		{"parking-brake", "UK", "single line", "", []float64{25}, nil},
		{"tyre-tread", "DE", "", "", []float64{1.6}, nil},
		{"tyre-tread", "AU", "", "", []float64{1.6}, nil},
		{"brake-imbalance", "UK", "", "", nil, []float64{30}},
		{"exhaust-co-idle", "UK", "", "2002-06-30", nil, []float64{0.5}},
		{"exhaust-co-idle", "UK", "", "2002-07-01", nil, []float64{0.3}},
		{"exhaust-co-idle", "UK", "", "1990-03-01", nil, []float64{3.5}},
		{"exhaust-co-idle", "UK", "", "1984-03-01", nil, []float64{4.5}},
		{"exhaust-co-fast", "UK", "", "2010-03-01", nil, []float64{0.2}},
		{"exhaust-co-fast", "DE", "with catalyst", "1999-03-01", nil, []float64{0.3}},
		{"exhaust-co-fast", "DE", "without catalyst", "1985-03-01", nil, nil},
		{"lambda-shown", "DE", "without catalyst", "1985-03-01", nil, nil},
		{"lambda", "EU", "with catalyst", "1999-03-01", []float64{0.97}, []float64{1.03}},
		{"exhaust-hc", "UK", "", "1990-03-01", nil, []float64{1200}},
		{"brake-fluid", "", "DOT 5.1", "", []float64{180}, nil},
		{"disc-thickness", "UK", "", "", nil, nil},
	} {
		c, ok := CheckFor(tt.key)
		if !ok {
			t.Fatalf("no %s", tt.key)
		}
		var lower, upper []float64
		for _, l := range c.LimitsFor(tt.jurisdiction, tt.variant, tt.firstUsed) {
			if l.Lower != nil {
				lower = append(lower, *l.Lower)
			}
			if l.Upper != nil {
				upper = append(upper, *l.Upper)
			}
		}
		if !equal(lower, tt.lower) || !equal(upper, tt.upper) {
			t.Errorf("%s %s %q %s: lower %v, upper %v; want %v, %v", tt.key, tt.jurisdiction, tt.variant, tt.firstUsed, lower, upper, tt.lower, tt.upper)
		}
	}
}

func equal(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func TestLimitsByTemperature(t *testing.T) {
	c, _ := CheckFor("cranking-voltage")
	l := c.LimitsFor("", "by temperature", "")[0]
	for at, want := range map[float64]float64{-30: 8.5, -17.8: 8.5, 4.4: 9.3, 7.2: 9.35, 21.1: 9.6, 35: 9.6} {
		if got := l.AtTemperature(at); got.Lower == nil || *got.Lower < want-1e-9 || *got.Lower > want+1e-9 {
			t.Errorf("at %g degrees: %v; want %g", at, got.Lower, want)
		}
	}
	if l.Lower != nil {
		t.Error("the limit itself was changed")
	}
}

// TestChecksAreCopies: what one reader changes no other sees.
func TestChecksAreCopies(t *testing.T) {
	c, _ := CheckFor("service-brake")
	*c.Limits[0].Lower = 1
	c.Limits[0].Jurisdictions[0] = "XX"
	c.Tools[0] = "hammer"
	again, _ := CheckFor("service-brake")
	if *again.Limits[0].Lower != 58 || again.Limits[0].Jurisdictions[0] != "EU" || again.Tools[0] == "hammer" {
		t.Errorf("changed: %+v", again.Limits[0])
	}
}

// TestMistakesInChecks: what the list may not hold.
func TestMistakesInChecks(t *testing.T) {
	const head = "- {key: a, name: A, group: g, form: mean, unit: mm, how: look, tools: [rule], instrument_limit: 1, instrument: rule, ref: COMMON_PRACTICE x, "
	const wide = "plausible: {low: 0, high: 9}, "
	for text, word := range map[string]string{
		"hazards: [ghosts], maker: m}":                    "no caution for",
		"hazards: []}":                                    "no limit and none of the maker's",
		"limits: [{as_at: now, ref: COMMON_PRACTICE x}]}": "neither lower nor upper",
		"limits: [{lower: 2, upper: 1, as_at: now, ref: COMMON_PRACTICE x}]}":                               "not below",
		"limits: [{lower: 2, ref: COMMON_PRACTICE x}]}":                                                     "no date",
		"limits: [{lower: 2, as_at: now}]}":                                                                 "no source",
		"limits: [{lower: 2, as_at: now, ref: NO_SUCH x}]}":                                                 "not in knowledge/sources.yaml",
		"limits: [{lower: 2, jurisdictions: [XX], as_at: n, ref: COMMON_PRACTICE}]}":                        "no jurisdiction",
		"limits: [{lower: 2, from: soon, as_at: n, ref: COMMON_PRACTICE}]}":                                 "is no day",
		"limits: [{by_temperature: [{c: 2, lower: 1}, {c: 1, lower: 1}], as_at: n, ref: COMMON_PRACTICE}]}": "do not rise",
		"maker: m, plausible: {low: 9, high: 0}}":                                                           "is not below high",
		"maker: m, plausible: {low: 0, high: 9, least: 1}}":                                                 "narrower",
		"maker: m, plausible: {low: 0, high: 9, parts: {a: {low: 1, high: 1}}}}":                            "is not below high",
		"maker: m}": "plausible",
	} {
		if !strings.Contains(text, "plausible") && text != "maker: m}" {
			text = wide + text
		}
		if _, err := parse("checks.yaml", []byte(head+text), checkChecks); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: %v; want %q", text, err, word)
		}
	}
}

// The law's limits of a kind stand beside the bound that it calls dangerous; these
// grades are from memory.
//
// ref: MOT_MANUAL 1.4.2 parking brake; UK_CU_1986 reg. 27
func TestDangerousBounds(t *testing.T) {
	for _, tt := range []struct {
		key, variant string
		dangerous    float64
	}{{"tyre-tread", "", 1.6}, {"parking-brake", "two lines", 8}, {"parking-brake", "single line", 12.5}} {
		c, _ := CheckFor(tt.key)
		l := c.LimitsFor("UK", tt.variant, "")[0]
		if l.Dangerous == nil || *l.Dangerous != tt.dangerous {
			t.Errorf("%s %s: %v, want %g", tt.key, tt.variant, l.Dangerous, tt.dangerous)
		}
	}
}

// Play goes by the rim: the directive's fifth of the diameter is that for any wheel.
//
// ref: EU_2014_45 annex I 2.3
func TestPlayGoesByTheRim(t *testing.T) {
	c, _ := CheckFor("steering-play")
	for _, rim := range []float64{300, 350, 380, 420} {
		if l := c.LimitsFor("DE", "", "")[0].AtRim(rim); *l.Upper < rim/5-1e-9 || *l.Upper > rim/5+1e-9 {
			t.Errorf("%g mm: %g", rim, *l.Upper)
		}
	}
	if l := c.LimitsFor("UK", "rack", "")[0].AtRim(320); *l.Upper < 10.94 || *l.Upper > 10.95 { // 13 x 320 / 380
		t.Errorf("%g", *l.Upper)
	}
}
