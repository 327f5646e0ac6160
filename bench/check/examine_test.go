package check

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestVerdicts(t *testing.T) {
	for _, tt := range []struct {
		name    string
		c       Case
		verdict string
		words   []string
	}{
		{"well within", single(25, 0.01, new(24.0), nil), Pass, []string{"25.000 +- 0.020 (95 %)", "at least 24", "over 99.9 %", "95 % was asked"}},
		{"well outside", single(23, 0.01, new(24.0), nil), Fail, []string{"within is under 0.1 %"}},
		{"near", single(24.005, 0.01, new(24.0), nil), CannotTell, []string{"too near", "69.1 %", "5 % would fail"}},
		{"no room between", single(0, 1, new(-1.0), new(1.0)), CannotTell, []string{"no value could pass"}},
		{"exact, at the limit", single(30, 0, nil, new(30.0)), Pass, nil},
		{"exact, beyond", single(30.000001, 0, nil, new(30.0)), Fail, nil},
	} {
		r := examined(t, tt.c)
		if r.Verdict != tt.verdict {
			t.Errorf("%s: %s (%s); want %s", tt.name, r.Verdict, r.Why, tt.verdict)
		}
		for _, w := range tt.words {
			if !strings.Contains(r.Why, w) {
				t.Errorf("%s: %q lacks %q", tt.name, r.Why, w)
			}
		}
		if (r.Verdict == CannotTell) != (len(r.Next) > 0) {
			t.Errorf("%s: %s with next %q", tt.name, r.Verdict, r.Next)
		}
	}
}

// TestAdviceAsksForNoDoubtThatIsThere: where only the fewness of the readings keeps
// the verdict open, an uncertainty as large as the one at hand is not asked for.
func TestAdviceAsksForNoDoubtThatIsThere(t *testing.T) {
	for _, readings := range [][]float64{{24.55, 24.44, 24.41, 24.43}, {24.44, 24.42}, {24.6, 24.41}} {
		r := examined(t, Case{Readings: readings, Instrument: Instrument{Limit: new(0.02)}, Lower: new(24.4)})
		if r.Verdict != CannotTell || len(r.Next) == 0 {
			t.Fatalf("%v: %s, %q", readings, r.Verdict, r.Next)
		}
		needed := (r.Mean - 24.4) / 1.6448536269514722 // the 95 % point of the normal distribution
		if needed >= r.StandardUncertainty && strings.Contains(strings.Join(r.Next, " "), "at most") {
			t.Errorf("%v: %q", readings, r.Next)
		}
	}
}

// TestWhatWouldDecide takes the advice: with the uncertainty, or the number of
// readings, that it names the verdict is the one that it names.
func TestWhatWouldDecide(t *testing.T) {
	c := Case{Readings: []float64{24.31, 24.33, 24.30, 24.32}, Instrument: Instrument{Limit: new(0.01)}, Lower: new(24.3)}
	r := examined(t, c)
	if r.Verdict != CannotTell || !strings.HasPrefix(r.Next[0], "5 readings in all instead of 4") {
		t.Fatalf("%s, %q", r.Verdict, r.Next)
	}
	// Five readings of the same mean and spread.
	s := *r.ReadingsSD
	more := c
	more.Readings = []float64{24.315 - s, 24.315 + s, 24.315 - s, 24.315 + s, 24.315}
	if again := examined(t, more); math.Abs(*again.ReadingsSD-s) > 1e-9 || again.Verdict != Pass {
		t.Errorf("with five readings of sd %g: %s", *again.ReadingsSD, again.Verdict)
	}
	near := examined(t, single(24.005, 0.01, new(24.0), nil))
	if !strings.Contains(near.Next[0], "at most +- 0.0059 (95 %)") {
		t.Fatalf("%q", near.Next)
	}
	if better := examined(t, single(24.005, 0.00303, new(24.0), nil)); better.Verdict != Pass {
		t.Errorf("with that uncertainty: %s", better.Verdict)
	}
	at := examined(t, single(24, 0.01, new(24.0), nil))
	if len(at.Next) != 1 || !strings.Contains(at.Next[0], "at the limit") {
		t.Errorf("at the limit: %q", at.Next)
	}
}

func TestMistakes(t *testing.T) {
	u := Instrument{SD: new(0.1)}
	one := []float64{1}
	part := func(name string, x ...float64) Part { return Part{Name: name, Readings: x} }
	for _, tt := range []struct {
		key, word string
		c         Case
	}{
		{"lower", "so is upper", Case{Readings: one, Instrument: u}},
		{"lower", "not below upper", Case{Readings: one, Instrument: u, Lower: new(2.0), Upper: new(1.0)}},
		{"lower", "not below upper", Case{Readings: one, Instrument: u, Lower: new(1.0), Upper: new(1.0)}},
		{"upper", "not a number", Case{Readings: one, Instrument: u, Upper: new(math.NaN())}},
		{"upper", "too large", Case{Readings: one, Instrument: u, Upper: new(math.Inf(1))}},
		{"readings", "there are none", Case{Instrument: u, Lower: new(1.0)}},
		{"readings[2]", "not a number", Case{Readings: []float64{1, math.NaN()}, Instrument: u, Lower: new(1.0)}},
		{"readings[1]", "too large", Case{Readings: []float64{1e13}, Instrument: u, Lower: new(1.0)}},
		{"risk", "no risk", Case{Readings: one, Instrument: u, Lower: new(1.0), Risk: 0.5}},
		{"risk", "no risk", Case{Readings: one, Instrument: u, Lower: new(1.0), Risk: -0.05}},
		{"instrument_limit", "is missing", Case{Readings: one, Lower: new(1.0)}},
		{"instrument_limit", "is missing", Case{Readings: []float64{1, 2}, Lower: new(1.0)}},
		{"instrument_limit", "beside", Case{Readings: one, Instrument: Instrument{SD: new(0.1), Limit: new(0.1)}, Lower: new(1.0)}},
		{"instrument_sd", "negative", Case{Readings: one, Instrument: Instrument{SD: new(-0.1)}, Lower: new(1.0)}},
		{"resolution", "negative", Case{Readings: one, Instrument: Instrument{SD: new(0.1), Resolution: -1}, Lower: new(1.0)}},
		{"usual.sd", "no spread", Case{Readings: one, Instrument: u, Lower: new(1.0), Usual: &Usual{1, 0}}},
		{"form", "is \"ratio\"", Case{Form: "ratio", Readings: one, Instrument: u, Lower: new(1.0)}},
		{"parts", "one row", Case{Parts: []Part{part("a", 1)}, Instrument: u, Lower: new(1.0)}},
		{"readings", "several parts", Case{Form: "difference", Readings: one, Instrument: u, Lower: new(1.0)}},
		{"readings", "no spread", Case{Form: "spread", Readings: one, Instrument: u, Upper: new(1.0)}},
		{"parts", "there are 3", Case{Form: "imbalance", Parts: []Part{part("a", 1), part("b", 1), part("c", 1)}, Instrument: u, Upper: new(1.0)}},
		{"parts.a", "twice", Case{Form: "imbalance", Parts: []Part{part("a", 1), part("a", 1)}, Instrument: u, Upper: new(1.0)}},
		{"parts.b", "negative", Case{Form: "imbalance", Parts: []Part{part("a", 1), part("b", -1)}, Instrument: u, Upper: new(1.0)}},
		{"parts", "there is no imbalance", Case{Form: "imbalance", Parts: []Part{part("a", 0), part("b", 0)}, Instrument: u, Upper: new(1.0)}},
		{"parts.b.readings", "there are none", Case{Form: "imbalance", Parts: []Part{part("a", 1), part("b")}, Instrument: u, Upper: new(1.0)}},
		{"parts.minutes", "is missing", Case{Form: "rate", Parts: []Part{part("start", 1), part("end", 1)}, Instrument: u, Upper: new(1.0)}},
		{"parts.hours", "is no part", Case{Form: "rate", Parts: []Part{part("start", 1), part("end", 1), part("hours", 1)}, Instrument: u, Upper: new(1.0)}},
		{"parts", "there is no rate", Case{Form: "rate", Parts: []Part{part("start", 1), part("end", 0.5), part("minutes", 0)}, Instrument: u, Upper: new(1.0)}},
		{"effort_unit", "is \"\"", Case{Form: "efficiency", Parts: []Part{part("a", 1), part(Massed, 1)}, Instrument: u, Lower: new(1.0)}},
		{"parts.mass_kg", "is missing", Case{Form: "efficiency", EffortUnit: "N", Parts: []Part{part("a", 1), part("b", 1)}, Instrument: u, Lower: new(1.0)}},
		{"parts.mass_kg.instrument_limit", "another unit", Case{Form: "efficiency", EffortUnit: "N", Parts: []Part{part("a", 1), part(Massed, 1)}, Instrument: u, Lower: new(1.0)}},
		{"parts.minutes.instrument_limit", "another unit", Case{Form: "rate", Parts: []Part{part("start", 1), part("end", 0.5), part("minutes", 2)}, Instrument: u, Upper: new(1.0)}},
		{"on", "is missing", Case{Form: "tyre_age", WeekCode: "2319", Upper: new(10.0)}},
		{"week_code", "two", Case{Form: "tyre_age", WeekCode: "two", On: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Upper: new(10.0)}},
		{"week_code", "week after", Case{Form: "tyre_age", WeekCode: "5226", On: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Upper: new(10.0)}},
	} {
		_, err := Examine(tt.c)
		var wrong *InputError
		if !errors.As(err, &wrong) || wrong.Key != tt.key || !strings.Contains(wrong.Problem+wrong.Expected, tt.word) || wrong.Expected == "" {
			t.Errorf("%v; want %s: ...%s", err, tt.key, tt.word)
		}
	}
}

func TestTyreAge(t *testing.T) {
	c := Case{Form: "tyre_age", WeekCode: "DOT XY12 2319", On: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Upper: new(10.0)}
	if r := examined(t, c); math.Abs(r.Mean-7.4552) > 1e-3 || r.Verdict != Pass {
		t.Errorf("%g years, %s", r.Mean, r.Verdict)
	}
	for code, word := range map[string]string{"238": "before 2000", "5419": "01 to 53", "0019": "01 to 53", "": "four digits", "12319": "four digits", "2319X": "four digits"} {
		if _, wanted := TyreWeek(code); !strings.Contains(wanted, word) {
			t.Errorf("%q: %q; want %q", code, wanted, word)
		}
	}
}

func TestOutlyingReading(t *testing.T) {
	c := Case{Readings: []float64{25.01, 25.02, 25.01, 25.02, 25.91}, Instrument: Instrument{Limit: new(0.01)}, Lower: new(24.0)}
	if r := examined(t, c); len(r.Cautions) != 1 || !strings.Contains(r.Cautions[0], "one reading lies far") {
		t.Errorf("%q", r.Cautions)
	}
	c.Readings[4] = 25.03
	if r := examined(t, c); len(r.Cautions) != 0 {
		t.Errorf("%q", r.Cautions)
	}
}

// aCase draws a case of one row of readings.
func aCase(t *rapid.T) Case {
	c := Case{
		Readings:   rapid.SliceOfN(rapid.Float64Range(-5, 5), 1, 8).Draw(t, "readings"),
		Instrument: Instrument{Limit: new(rapid.Float64Range(0.001, 2).Draw(t, "limit"))},
		Risk:       rapid.Float64Range(0.001, 0.49).Draw(t, "risk"),
	}
	side := rapid.IntRange(1, 3).Draw(t, "sides")
	if side&1 > 0 {
		c.Lower = new(rapid.Float64Range(-5, 0).Draw(t, "lower"))
	}
	if side&2 > 0 {
		c.Upper = new(rapid.Float64Range(0.1, 5).Draw(t, "upper"))
	}
	return c
}

// TestPassIsWithinAcceptance: a value passes if and only if it lies between the
// limits moved inwards.
func TestPassIsWithinAcceptance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, err := Examine(aCase(t))
		if err != nil {
			t.Fatal(err)
		}
		can := r.AcceptLow != nil || r.AcceptHigh != nil
		edge := 1e-9 * (1 + math.Abs(r.Mean))
		inside := can && (r.AcceptLow == nil || r.Mean >= *r.AcceptLow+edge) && (r.AcceptHigh == nil || r.Mean <= *r.AcceptHigh-edge)
		beyond := !can || (r.AcceptLow != nil && r.Mean < *r.AcceptLow-edge) || (r.AcceptHigh != nil && r.Mean > *r.AcceptHigh+edge)
		if inside && r.Verdict != Pass || beyond && r.Verdict == Pass {
			t.Errorf("%g, accepted %v to %v: %s", r.Mean, r.AcceptLow, r.AcceptHigh, r.Verdict)
		}
		if r.Lower != nil && r.AcceptLow != nil && *r.AcceptLow < *r.Lower || r.Upper != nil && r.AcceptHigh != nil && *r.AcceptHigh > *r.Upper {
			t.Errorf("accepted %v to %v lies outside the limits", r.AcceptLow, r.AcceptHigh)
		}
		if r.Chance < 0 || r.Chance > 1 {
			t.Errorf("chance %g", r.Chance)
		}
	})
}

// TestOtherUnit: in a unit ten times as small nothing changes but the figures.
func TestOtherUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := aCase(t)
		big := c
		big.Readings = slices.Clone(c.Readings)
		for i := range big.Readings {
			big.Readings[i] *= 10
		}
		times := func(x *float64) *float64 {
			if x == nil {
				return nil
			}
			return new(10 * *x)
		}
		big.Lower, big.Upper, big.Instrument.Limit = times(c.Lower), times(c.Upper), times(c.Instrument.Limit)
		a, err1 := Examine(c)
		b, err2 := Examine(big)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if math.Abs(a.Chance-b.Chance) > 1e-9 || math.Abs(10*a.StandardUncertainty-b.StandardUncertainty) > 1e-9 {
			t.Errorf("chance %g and %g, u %g and %g", a.Chance, b.Chance, a.StandardUncertainty, b.StandardUncertainty)
		}
	})
}

// Two of three readings on a coarse scale are often the same: that is no outlier.
// One that lies beyond what the instrument may be off is.
func TestOutlierIsBeyondTheInstrument(t *testing.T) {
	for _, c := range []struct {
		readings []float64
		notes    int
	}{{[]float64{0.04, 0.05, 0.04}, 0}, {[]float64{0.04, 0.08, 0.04}, 1}} {
		r, err := Examine(Case{Name: "run-out", Unit: "mm", Readings: c.readings, Instrument: Instrument{Limit: new(0.01)}, Upper: new(0.1)})
		if err != nil || len(r.Cautions) != c.notes {
			t.Errorf("%v: %q, %v", c.readings, r.Cautions, err)
		}
	}
}

// Brettschneider's equation divides by the carbon dioxide, and a number divided by
// nought goes on as if nothing were wrong: no engine that runs gives none.
func TestLambdaWantsCarbonDioxide(t *testing.T) {
	c := Case{Form: "lambda", Lower: new(0.97), Upper: new(1.03)}
	for i, v := range []float64{1, 0, 1, 100} {
		c.Parts = append(c.Parts, Part{Name: gases[i], Readings: []float64{v}, Instrument: Instrument{Limit: new(0.1)}})
	}
	_, err := Examine(c)
	var wrong *InputError
	if !errors.As(err, &wrong) || wrong.Key != "parts.co2_percent" || !strings.Contains(wrong.Problem, "no engine that runs") {
		t.Errorf("%v", err)
	}
}
