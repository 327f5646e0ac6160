package web

import (
	"testing"

	"wreckwright/rebuild"
)

func TestFiguresAreAsFineAsTheirDoubt(t *testing.T) {
	at := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		f             rebuild.EvidenceFigure
		value, bounds string
	}{
		{rebuild.EvidenceFigure{Value: 604.3312, Low: at(588.2), High: at(620.46), Unit: "s"}, "604\u00a0s", "588 to 620"},
		{rebuild.EvidenceFigure{Value: 75.4213, Low: at(75.05), High: at(75.8)}, "75.4", "75.0 to 75.8"},
		{rebuild.EvidenceFigure{Value: 0.01234, Low: at(0.0002), High: at(0.0402)}, "0.01", "0 to 0.04"},
		{rebuild.EvidenceFigure{Value: 12345.6, Unit: "mL"}, "12\u202f346\u00a0mL", ""},
		{rebuild.EvidenceFigure{Value: 3}, "3", ""},
		{rebuild.EvidenceFigure{Value: 0}, "0", ""},
		{rebuild.EvidenceFigure{Value: 5, Low: at(5), High: at(5)}, "5", "5 to 5"},
		{rebuild.EvidenceFigure{Value: -1.5, Low: at(-2.5), High: at(-0.5)}, "\u22121.5", "\u22122.5 to \u22120.5"},
	} {
		if got := measured(c.f); got != c.value {
			t.Errorf("%+v: %q, want %q", c.f, got, c.value)
		}
		if got := bounds(c.f); got != c.bounds {
			t.Errorf("%+v: %q, want %q", c.f, got, c.bounds)
		}
	}
}

func TestLongTimesAreSaidInMinutes(t *testing.T) {
	for want, f := range map[string]rebuild.EvidenceFigure{
		"":                     {Value: 119, Unit: "s"},
		"4\u00a0min":           {Value: 239.8, Unit: "s"},
		"10\u00a0min 4\u00a0s": {Value: 604.3, Unit: "s"},
	} {
		if got := inMinutes(f); got != want {
			t.Errorf("%+v: %q, want %q", f, got, want)
		}
	}
	// A half goes the same way in both ways of writing it.
	low, high := 358.0, 363.0
	if f := (rebuild.EvidenceFigure{Value: 360.5, Unit: "s", Low: &low, High: &high}); measured(f) != "360\u00a0s" || inMinutes(f) != "6\u00a0min" {
		t.Errorf("%s, %s", measured(f), inMinutes(f))
	}
	if got := inMinutes(rebuild.EvidenceFigure{Value: 500, Unit: "bar"}) + minutes(44.6); got != "45\u00a0s" {
		t.Errorf("got %q", got)
	}
}
