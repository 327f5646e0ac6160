package diagnose

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"
)

// TestExplainTest: P4 begins with s2, which tells F1 from F2; its outcomes lead
// to c2 and to c1, and without it the best plan costs 328.065 less its own.
func TestExplainTest(t *testing.T) {
	c, _ := readReference(t, "p4")
	r, err := Explain(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	if r.Action.ID != "t2" || r.Instead == nil || r.Instead.ID != "r1" || r.Worth == nil || *r.Worth <= 0 {
		t.Fatalf("%+v", r)
	}
	without := c.clone()
	without.Tests = without.Tests[:1]
	if want := mustAdvise(t, without).ExpectedCost - r.Action.ExpectedCost; math.Abs(*r.Worth-want) > 1e-9 {
		t.Errorf("worth %v, without the test the plan costs %v more", *r.Worth, want)
	}
	if !slices.Contains(r.Splits, "f2") || len(r.Splits) != 2 {
		t.Errorf("splits %v", r.Splits)
	}
	if len(r.Ways) != 2 || r.Ways[0].Outcome != "changes" || math.Abs(r.Ways[0].Chance-.2875) > 1e-12 || r.Ways[0].Then.ID != "r2" || r.Ways[1].Then.ID != "r1" {
		t.Errorf("ways %+v", r.Ways)
	}
	total := 15.0
	for _, w := range r.Ways {
		total += w.Chance * w.Then.ExpectedCost
	}
	if math.Abs(total-r.Action.ExpectedCost) > 1e-9 {
		t.Errorf("the ways come to %v, the action to %v", total, r.Action.ExpectedCost)
	}
}

func TestExplainRepair(t *testing.T) {
	c, _ := readReference(t, "p3")
	r, err := Explain(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	if r.Action.ID != "r2" || len(r.Cures) != 2 || r.Cures[0].ID != "f4" || math.Abs(r.Cures[0].Chance-.4) > 1e-12 {
		t.Errorf("%+v", r)
	}
	if len(r.Ways) != 2 || math.Abs(r.Ways[0].Chance-.6) > 1e-12 || r.Ways[1].Then.ID != "r4" || math.Abs(r.Ways[1].Then.ExpectedCost-10) > 1e-9 {
		t.Errorf("ways %+v", r.Ways)
	}
}

// TestExplainReading: neighbouring readings that lead to the same are one way,
// and the ways cover all readings.
func TestExplainReading(t *testing.T) {
	c := continuous(t)
	r, err := Explain(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	if r.Action.ID != "t2" || len(r.Ways) < 2 || len(r.Ways) > 12 {
		t.Fatalf("%+v", r)
	}
	total := 0.0
	for i, w := range r.Ways {
		total += w.Chance
		if (w.From == nil) != (i == 0) || (w.To == nil) != (i == len(r.Ways)-1) || (i > 0 && *w.From != *r.Ways[i-1].To) {
			t.Errorf("way %d from %v to %v", i, w.From, w.To)
		}
	}
	if math.Abs(total-1) > 1e-9 {
		t.Errorf("the ways have chance %v", total)
	}
}

func TestPredict(t *testing.T) {
	c, _ := readReference(t, "p1")
	got, err := Predict(c, "t1")
	if err != nil {
		t.Fatal(err)
	}
	wet := got[slices.IndexFunc(got, func(o OutcomeChance) bool { return o.Outcome == "wet" })]
	if math.Abs(wet.Chance-.153) > 1e-12 || math.Abs(wet.Posterior[4]-.6209150327) > 6e-11 {
		t.Errorf("%+v", wet)
	}
	c = continuous(t)
	if got, err = Predict(c, "t2"); err != nil || len(got) != predictedReadings {
		t.Fatalf("%v %v", got, err)
	}
	mean := make([]float64, len(c.Faults))
	for i, o := range got {
		if o.Value == nil || i > 0 && *o.Value <= *got[i-1].Value {
			t.Errorf("reading %d: %v", i, o.Value)
		}
		for f, p := range o.Posterior {
			mean[f] += p * o.Chance
		}
	}
	for f := range mean { // what is expected of the chances is what they are
		if math.Abs(mean[f]-c.Faults[f].Prior) > 0.03 {
			t.Errorf("fault %d: %v on average, prior %v", f, mean[f], c.Faults[f].Prior)
		}
	}
	var wrong *Mistake
	if _, err := Predict(c, "nothing"); !errors.As(err, &wrong) {
		t.Error(err)
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	c, _ := readReference(t, "p2")
	if _, err := Advise(ctx, c); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if _, err := Advise(ctx, largeCase(1, 40, 30, 40, 0, 1)); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
