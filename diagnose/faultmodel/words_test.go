package faultmodel

import (
	"math"
	"slices"
	"testing"

	"wreckwright/diagnose"
	"wreckwright/outside"
)

func TestOften(t *testing.T) {
	for chance, want := range map[float64]string{
		0: "never", 1: "always", 0.5: "1 time in 2", 0.9: "9 times in 10", 0.05: "1 time in 20", 0.95: "19 times in 20",
		1.0 / 3: "1 time in 3", 0.67: "2 times in 3", 0.25: "1 time in 4", 0.37: "37 times in 100", 0.97: "97 times in 100",
		0.123: "about 12 times in 100", 0.004: "1 time in 250", 0.998: "all but 1 time in 500",
	} {
		if got := Often(chance); got != want {
			t.Errorf("%g is %q; want %q", chance, got, want)
		}
	}
}

func TestImplied(t *testing.T) {
	m, err := Parse("case.yaml", []byte(unit))
	if err != nil {
		t.Fatal(err)
	}
	got := Implied(m.Case)
	for _, want := range []Implication{
		{diagnose.KindTest, "gauge", "gas_loss", "low", 0.9, "if it is accumulator has lost gas, “low” comes 9 times in 10"},
		{diagnose.KindTest, "gauge", "valve_leak", "ok", 0.95, "if it is valve_leak, “ok” comes 19 times in 20"},
		{diagnose.KindTest, "interval_s", "gas_loss", "", 0.8, "if it is accumulator has lost gas, 8 readings in 10 lie between 38.3 and 128, as many above 70 as below"},
		{diagnose.KindRepair, "new_accumulator", "gas_loss", "", 0.97, "if it is accumulator has lost gas, new_accumulator cures it 97 times in 100"},
	} {
		if !slices.Contains(got, want) {
			t.Errorf("nothing says %+v among\n%+v", want, got)
		}
	}
	if len(got) != 8 { // 4 outcomes, 2 readings, 2 cures
		t.Errorf("%d implications: %+v", len(got), got)
	}
	m, err = Parse("model.yaml", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	words := m.Implied()[0].Words
	if want := "if it is accumulator has lost gas, “below 30 bar” comes 9 times in 10"; words != want {
		t.Errorf("%q; want %q", words, want)
	}
}

// TestEightInTen: scipy 1.10, stats.lognorm(log(1.6), scale=70).ppf([.1, .9]) and
// stats.norm(60, 8).ppf([.1, .9]).
func TestEightInTen(t *testing.T) {
	var cases []outside.Case
	for _, c := range []struct {
		d         diagnose.Reading
		low, high float64
	}{
		{diagnose.Reading{Shape: diagnose.Lognormal, Centre: 70, Spread: 1.6}, 38.327258574893875, 127.84634701762171},
		{diagnose.Reading{Shape: diagnose.Normal, Centre: 60, Spread: 8}, 49.7475874756432, 70.2524125243568},
	} {
		low, high := eightInTen(c.d)
		cases = append(
			cases,
			outside.Case{Source: "SCIPY_1_10", Where: "stats.lognorm.ppf, stats.norm.ppf", What: "10 % point", Got: low, Want: c.low, Tolerance: 1e-9 * math.Abs(c.low), Why: "both to full precision"},
			outside.Case{Source: "SCIPY_1_10", Where: "stats.lognorm.ppf, stats.norm.ppf", What: "90 % point", Got: high, Want: c.high, Tolerance: 1e-9 * math.Abs(c.high), Why: "both to full precision"},
		)
	}
	outside.Check(t, cases)
}
