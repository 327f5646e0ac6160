package main

import (
	"testing"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
)

func TestFigureOfAFlip(t *testing.T) {
	for v, want := range map[float64]string{0.30051: "0.3005", 76.249: "76.25", 838: "838", 10193.4: "10193", -21360.2: "-21360"} {
		if got := figure(v); got != want {
			t.Errorf("%g is %q; expected %q", v, got, want)
		}
	}
}

// What would change the advice is told in the names of the model.
func TestFlipInWords(t *testing.T) {
	m := faultmodel.Model{Case: diagnose.Case{
		Faults: []diagnose.Fault{{ID: "f", Name: "a dry runner"}},
		Tests:  []diagnose.Test{{ID: "t", Name: "Push by hand", Outcomes: []string{"stiff", "free"}}},
	}, Tests: make([]faultmodel.TestNote, 1)}
	to := diagnose.Action{Kind: diagnose.KindTest, ID: "t"}
	for _, c := range []struct {
		flip diagnose.Flip
		want string
	}{
		{diagnose.Flip{Input: "faults.f.prior", Now: 0.2, FlipsAt: 0.3, Beyond: diagnose.Above, To: to}, "the chance of “a dry runner”, before anything is tried, now 20.0 %: above 30.0 % begin with Push by hand"},
		{diagnose.Flip{Input: "tests.t.cost", Now: 20, FlipsAt: 12.5, Beyond: diagnose.Below, To: to, Approximate: true}, "the price of “Push by hand”, now 20: below about 12.5 begin with Push by hand"},
		{diagnose.Flip{Input: "tests.t.minutes", Now: 0, FlipsAt: 0, Beyond: diagnose.Above, To: to, Approximate: true}, "the time for “Push by hand”, now 0: at the least move above 0 begin with Push by hand"},
		{diagnose.Flip{Input: "tests.t.outcomes.f.stiff", Now: 0.5, FlipsAt: 0.4, Beyond: diagnose.Below, To: to}, "the chance of “stiff” in “Push by hand”, with “a dry runner”, now 50.0 %: below 40.0 % begin with Push by hand"},
		{diagnose.Flip{Input: "tests.u.cost", Now: 1, FlipsAt: 2, Beyond: diagnose.Above, To: to}, "tests.u.cost, now 1: above 2 begin with Push by hand"},
	} {
		if got := (diagnosis{model: m}).flip(c.flip); got != c.want {
			t.Errorf("%q\nexpected %q", got, c.want)
		}
	}
}
