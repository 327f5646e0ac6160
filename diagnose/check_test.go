package diagnose

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
)

// pump is a small case with a test of outcomes, a measured one and two repairs.
func pump() Case {
	return Case{
		Symptom: "pump re-primes too often", Currency: "EUR", HourValue: 30, Several: 1,
		Faults: []Fault{{ID: "gas", Prior: 0.6}, {ID: "valve", Prior: 0.4}},
		Tests: []Test{
			{ID: "gauge", Minutes: 30, Outcomes: []string{"low", "ok"}, Chance: [][]float64{{0.9, 0.1}, {0.05, 0.95}}},
			{ID: "interval", Minutes: 25, Measured: []Reading{{Lognormal, 12, 1.5}, {Lognormal, 30, 1.6}}},
		},
		Repairs: []Repair{
			{ID: "accumulator", Cost: 140, Minutes: 90, Fixes: []float64{0.97, 0}},
			{ID: "reseal", Cost: 60, Minutes: 240, Fixes: []float64{0, 0.8}},
		},
		ReplaceAll: &ReplaceAll{Cost: 1500, Minutes: 200},
	}
}

func val(x float64) *float64 { return &x }

func TestCheckFindsMistakes(t *testing.T) {
	nan := math.NaN()
	for _, tt := range []struct {
		name   string
		change func(*Case)
		where  string // empty: no mistake
		what   string
	}{
		{"nothing wrong", func(*Case) {}, "", ""},
		{"several", func(c *Case) { c.Several = 3 }, "several", "expected 1"},
		{"no faults", func(c *Case) { c.Faults = nil }, "faults", "at least one"},
		{"hour", func(c *Case) { c.HourValue = -1 }, "hour_value", "0 or more"},
		{"too many in pairs", func(c *Case) {
			c.Several, c.Faults, c.Repairs = 2, make([]Fault, 100), make([]Repair, 200)
		}, "several", "too many to weigh in pairs"},
		{"hour endless", func(c *Case) { c.HourValue = 1e300 }, "hour_value", "0 or more"},
		{"hour nan", func(c *Case) { c.HourValue = nan }, "hour_value", "0 or more"},
		{"no id", func(c *Case) { c.Faults[0].ID = "" }, "faults", "no id"},
		{"id twice", func(c *Case) { c.Repairs[1].ID = "accumulator" }, "repairs.accumulator", "twice"},
		{"id of the whole unit", func(c *Case) { c.Tests[0].ID = WholeUnit }, "tests.replace_all", "whole unit"},
		{"prior below 0", func(c *Case) { c.Faults[0].Prior = -0.1 }, "faults.gas.prior", "0 or more"},
		{"prior nan", func(c *Case) { c.Faults[0].Prior = nan }, "faults.gas.prior", "0 or more"},
		{"prior endless", func(c *Case) { c.Faults[0].Prior = math.Inf(1) }, "faults.gas.prior", "0 or more"},
		{"priors all 0", func(c *Case) { c.Faults[0].Prior, c.Faults[1].Prior = 0, 0 }, "faults", "every prior is 0"},
		{"priors above 1 with one at a time", func(c *Case) { c.Faults[0].Prior = 6 }, "", ""},
		{"prior above 1 with several", func(c *Case) { c.Several, c.Faults[0].Prior = 2, 6 }, "faults.gas.prior", "between 0 and 1"},
		{"row not 1", func(c *Case) { c.Tests[0].Chance[1] = []float64{0.05, 0.9} }, "tests.gauge.outcomes.valve", "add up to 0.95"},
		{"row a rounding off", func(c *Case) { c.Tests[0].Chance[1] = []float64{0.05, 0.9500005} }, "", ""},
		{"chance above 1", func(c *Case) { c.Tests[0].Chance[1] = []float64{1.1, -0.1} }, "tests.gauge.outcomes.valve", "between 0 and 1"},
		{"chance nan", func(c *Case) { c.Tests[0].Chance[0] = []float64{nan, 1} }, "tests.gauge.outcomes.gas", "between 0 and 1"},
		{"row too short", func(c *Case) { c.Tests[0].Chance[0] = []float64{1} }, "tests.gauge.outcomes.gas", "each of 2"},
		{"fault missing in a test", func(c *Case) { c.Tests[0].Chance = c.Tests[0].Chance[:1] }, "tests.gauge.outcomes", "all 2"},
		{"outcome twice", func(c *Case) { c.Tests[0].Outcomes[1] = "low" }, "tests.gauge.outcomes", "twice"},
		{"healthy row", func(c *Case) { c.Tests[0].Healthy = []float64{0.5, 0.4} }, "tests.gauge.healthy", "add up to 0.9"},
		{"no outcomes", func(c *Case) { c.Tests[0].Outcomes, c.Tests[0].Chance = nil, nil }, "tests.gauge", "neither"},
		{"both kinds", func(c *Case) { c.Tests[0].Measured = c.Tests[1].Measured }, "tests.gauge", "both"},
		{"spread 1", func(c *Case) { c.Tests[1].Measured[0].Spread = 1 }, "tests.interval.measured.gas", "above 1"},
		{"median 0", func(c *Case) { c.Tests[1].Measured[0].Centre = 0 }, "tests.interval.measured.gas", "above 0"},
		{"sd 0", func(c *Case) { c.Tests[1].Measured[0] = Reading{Normal, 3, 0} }, "tests.interval.measured.gas", "sd above 0"},
		{"sd nan", func(c *Case) { c.Tests[1].Measured[0] = Reading{Normal, 3, nan} }, "tests.interval.measured.gas", "sd above 0"},
		{"shape", func(c *Case) { c.Tests[1].Measured[0].Shape = "square" }, "tests.interval.measured.gas", "shape"},
		{"cost below 0", func(c *Case) { c.Tests[0].Cost = -1 }, "tests.gauge.cost", "0 or more"},
		{"minutes below 0", func(c *Case) { c.Repairs[0].Minutes = -1 }, "repairs.accumulator.minutes", "0 or more"},
		{"whole unit's cost", func(c *Case) { c.ReplaceAll.Cost = math.Inf(1) }, "replace_all.cost", "0 or more"},
		{"fixes above 1", func(c *Case) { c.Repairs[0].Fixes[0] = 2 }, "repairs.accumulator.fixes.gas", "between 0 and 1"},
		{"nobody cures", func(c *Case) { c.ReplaceAll, c.Repairs = nil, c.Repairs[:1] }, "faults.valve", "no repair cures it"},
		{"no whole unit, all curable", func(c *Case) { c.ReplaceAll = nil }, "", ""},
		{"empty evidence", func(c *Case) { c.Evidence = []Evidence{{}} }, "evidence.1", "exactly one"},
		{"evidence of two kinds", func(c *Case) { c.Evidence = []Evidence{{Test: "gauge", Repair: "reseal"}} }, "evidence.1", "exactly one"},
		{"unknown test", func(c *Case) { c.Evidence = []Evidence{{Test: "x"}} }, "evidence.1.test", "no test"},
		{"unknown repair", func(c *Case) { c.Evidence = []Evidence{{Repair: "x"}} }, "evidence.1.repair", "no repair"},
		{"unknown outcome", func(c *Case) { c.Evidence = []Evidence{shown("gauge", "high")} }, "evidence.1.outcome", "no outcome"},
		{"value of outcomes", func(c *Case) { c.Evidence = []Evidence{{Test: "gauge", Value: val(3)}} }, "evidence.1.value", "no value"},
		{"outcome of a value", func(c *Case) { c.Evidence = []Evidence{shown("interval", "low")} }, "evidence.1.outcome", "measured"},
		{"no value", func(c *Case) { c.Evidence = []Evidence{{Test: "interval"}} }, "evidence.1", "no value"},
		{"value nan", func(c *Case) { c.Evidence = []Evidence{{Test: "interval", Value: &nan}} }, "evidence.1.value", "measured value"},
		{"value below 0 under lognormals", func(c *Case) { c.Evidence = []Evidence{{Test: "interval", Value: val(-3)}} }, "evidence.1", "this cannot happen in the model"},
		{"value of 0 under lognormals", func(c *Case) { c.Evidence = []Evidence{{Test: "interval", Value: val(0)}} }, "evidence.1", "expected, where the tool shows 0, value_sd"},
		{"value of 0 with its uncertainty", func(c *Case) { c.Evidence = []Evidence{{Test: "interval", Value: val(0), ValueSD: 0.5}} }, "", ""},
		{"value below 0 whatever the uncertainty", func(c *Case) { c.Evidence = []Evidence{{Test: "interval", Value: val(-3), ValueSD: 0.5}} }, "evidence.1", "this cannot happen in the model"},
		{"doubt below 0", func(c *Case) { c.Evidence = []Evidence{{Test: "interval", Value: val(3), ValueSD: -1}} }, "evidence.1.value_sd", "0 or more"},
		{"test twice", func(c *Case) { c.Evidence = []Evidence{shown("gauge", "ok"), shown("gauge", "ok")} }, "evidence.2", "done already"},
		{"repeatable test twice", func(c *Case) {
			c.Tests[0].Repeatable = true
			c.Evidence = []Evidence{shown("gauge", "ok"), shown("gauge", "low")}
		}, "", ""},
		{"repair twice", func(c *Case) { c.Evidence = []Evidence{{Repair: "reseal"}, {Repair: "reseal"}} }, "evidence.2", "done already"},
		{"after the cure", func(c *Case) { c.Evidence = []Evidence{{Repair: "reseal", Cured: true}, shown("gauge", "ok")} }, "evidence.2", "after the cure"},
		{"whole unit did not cure", func(c *Case) { c.Evidence = []Evidence{{Repair: WholeUnit}} }, "evidence.1", "this cannot happen in the model"},
		{"no whole unit", func(c *Case) { c.ReplaceAll, c.Evidence = nil, []Evidence{{Repair: WholeUnit, Cured: true}} }, "evidence.1.repair", "no replace_all"},
		{"impossible outcome", func(c *Case) {
			c.Tests[0].Chance = [][]float64{{0, 1}, {0, 1}}
			c.Evidence = []Evidence{shown("gauge", "low")}
		}, "evidence.1", "this cannot happen in the model: gauge: low"},
		{"all repaired for sure", func(c *Case) {
			c.Repairs[0].Fixes, c.Repairs[1].Fixes = []float64{1, 0}, []float64{0, 1}
			c.Evidence = []Evidence{{Repair: "reseal"}, {Repair: "accumulator"}}
		}, "evidence.2", "this cannot happen in the model"},
		{"cured by what cures nothing left", func(c *Case) {
			c.Repairs[0].Fixes = []float64{1, 0}
			c.Repairs[1].Fixes = []float64{1, 0}
			c.Evidence = []Evidence{{Repair: "accumulator"}, {Repair: "reseal", Cured: true}}
		}, "evidence.2", "cures none"},
		{"likelihoods too few", func(c *Case) { c.Evidence = []Evidence{{Likelihood: []float64{1}}} }, "evidence.1.likelihood", "each of 2"},
		{"likelihood below 0", func(c *Case) { c.Evidence = []Evidence{{Likelihood: []float64{1, -1}}} }, "evidence.1.likelihood.valve", "0 or more"},
		{"likelihoods all 0", func(c *Case) { c.Evidence = []Evidence{{Likelihood: []float64{0, 0}}} }, "evidence.1.likelihood", "this cannot happen in the model"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := pump()
			tt.change(&c)
			err := c.Check()
			var wrong *Mistake
			switch {
			case tt.where == "" && err != nil:
				t.Fatalf("refused: %v", err)
			case tt.where == "":
				if _, err := Advise(t.Context(), c); err != nil {
					t.Fatal(err)
				}
			case !errors.As(err, &wrong) || wrong.Where != tt.where || !strings.Contains(wrong.What, tt.what):
				t.Fatalf("got %v, want %s: ...%s...", err, tt.where, tt.what)
			}
		})
	}
}

// TestOnlyOneCanBe: of two faults at once one can be there only if the other is
// not possible at all; what would change the advice is looked for all the same.
func TestOnlyOneCanBe(t *testing.T) {
	c := pump()
	c.Several, c.Faults[1].Prior = 2, 0
	c.Evidence = []Evidence{{Repair: "accumulator"}}
	a := mustAdvise(t, c)
	if a.Posterior["gas"] != 1 || a.Posterior["valve"] != 0 {
		t.Errorf("chances %v", a.Posterior)
	}
}

// TestTinyLikelihoods: thirty results of one in a million million do not lose the
// posterior.
func TestTinyLikelihoods(t *testing.T) {
	c := pump()
	for range 30 {
		c.Evidence = append(c.Evidence, Evidence{Likelihood: []float64{1e-12, 2e-12}})
	}
	p, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	want := math.Log(0.4/0.6) + 30*math.Log(2)
	if got := math.Log(p[1] / p[0]); math.Abs(got-want) > 1e-9 {
		t.Errorf("log-odds %v, want %v", got, want)
	}
}

func TestDone(t *testing.T) {
	c := pump()
	c.Evidence = []Evidence{shown("gauge", "low"), {Repair: "accumulator", Cured: true}}
	a := mustAdvise(t, c)
	if a.Next.Kind != KindDone || a.ExpectedCost != 0 || a.Posterior["gas"] != 1 || len(a.Ranked) != 0 {
		t.Errorf("%+v", a)
	}
	c.Evidence = []Evidence{{Repair: WholeUnit, Cured: true}}
	if a := mustAdvise(t, c); a.Next.Kind != KindDone || *a.ExpectedSaving != 0 {
		t.Errorf("after the whole unit was bought: %+v", a)
	}
}

// TestConsult: both answers at once are the two.
func TestConsult(t *testing.T) {
	for _, c := range []Case{pump(), largeCase(2, 20, 10, 20, 2, 1)} {
		a, r, err := Consult(t.Context(), c)
		if err != nil {
			t.Fatal(err)
		}
		why, err := Explain(t.Context(), c)
		if err != nil || !reflect.DeepEqual(a, mustAdvise(t, c)) || !reflect.DeepEqual(r, why) {
			t.Errorf("%v: %+v and %+v, apart %+v", err, a, r, why)
		}
	}
}

// TestNothingLeft: without a whole unit the plan may end with nothing to do, and
// says so; it is never an endless figure.
func TestNothingLeft(t *testing.T) {
	c := pump()
	c.ReplaceAll = nil
	a := mustAdvise(t, c)
	if a.ReplaceAllCost != nil || a.ExpectedSaving != nil || a.ChanceReplaceAll != 0 {
		t.Errorf("a whole unit that cannot be had: %+v", a)
	}
	if len(a.Cautions) == 0 || !strings.Contains(a.Cautions[0], "In 10 of 100 cases") { // .6 x .03 + .4 x .2 = .098
		t.Errorf("cautions %q", a.Cautions)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
	c.Evidence = []Evidence{{Repair: "accumulator"}, {Repair: "reseal"}}
	a = mustAdvise(t, c)
	if a.Next.Kind != KindNothing || len(a.Cautions) == 0 || a.ExpectedCost != 0 {
		t.Errorf("%+v", a)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
}

func TestSurprise(t *testing.T) {
	c := pump()
	c.Evidence = []Evidence{{Test: "interval", Value: val(20)}, shown("gauge", "ok")}
	if a := mustAdvise(t, c); a.Surprise != "" {
		t.Errorf("ordinary results surprise: %s", a.Surprise)
	}
	c.Evidence = []Evidence{{Test: "interval", Value: val(900)}}
	if a := mustAdvise(t, c); a.Surprise == "" {
		t.Error("a reading thirty times the longest does not surprise")
	}
	c = pump()
	c.Tests[0].Chance = [][]float64{{0.9999, 0.0001}, {0.9998, 0.0002}}
	c.Evidence = []Evidence{shown("gauge", "ok")}
	if a := mustAdvise(t, c); a.Surprise == "" {
		t.Error("an outcome of one in ten thousand does not surprise")
	}
}

// TestCostlessActions: free tests and repairs do not divide by zero.
func TestCostlessActions(t *testing.T) {
	c := pump()
	c.HourValue = 0
	for i := range c.Repairs {
		c.Repairs[i].Cost = 0
	}
	a := mustAdvise(t, c)
	if _, err := json.Marshal(a); err != nil || a.ExpectedCost < 0 {
		t.Errorf("%v %+v", err, a.Next)
	}
}

// TestRepeatableTest: a repeatable test is weighed several times and worth no
// less than once.
func TestRepeatableTest(t *testing.T) {
	c := pump()
	c.Tests = c.Tests[:1]
	c.Tests[0].Minutes = 5
	once := mustAdvise(t, c)
	c.Tests[0].Repeatable = true
	again := mustAdvise(t, c)
	if !(again.ExpectedCost < once.ExpectedCost) || len(again.Cautions) == 0 {
		t.Errorf("once %v, repeatable %v, cautions %q", once.ExpectedCost, again.ExpectedCost, again.Cautions)
	}
}
