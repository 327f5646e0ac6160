package diagnose

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// mixedCase is a random case with everything that can be in one: up to two
// faults, imperfect and shared repairs, measured and repeatable tests, with and
// without a whole unit, some evidence.
func mixedCase(seed uint64) Case {
	rng := rand.New(rand.NewPCG(seed, 3))
	faults := 2 + rng.IntN(3)
	c := Case{Currency: "EUR", HourValue: float64(rng.IntN(2)) * 30, Several: 1 + rng.IntN(2)}
	for f := range faults {
		c.Faults = append(c.Faults, Fault{ID: fmt.Sprint("f", f), Prior: 0.05 + 0.5*rng.Float64()})
	}
	for k := range 1 + rng.IntN(3) {
		t := Test{ID: fmt.Sprint("t", k), Cost: 20 * rng.Float64(), Minutes: 30 * rng.Float64(), Repeatable: rng.IntN(4) == 0}
		if k == 0 && rng.IntN(2) == 0 {
			for range faults {
				t.Measured = append(t.Measured, Reading{Shape: Normal, Centre: 10 * rng.Float64(), Spread: 0.5 + rng.Float64()})
			}
			t.Repeatable = false
		} else {
			t.Outcomes = []string{"a", "b", "c"}[:2+rng.IntN(2)]
			for range faults {
				t.Chance = append(t.Chance, randomRow(rng, len(t.Outcomes)))
			}
			if rng.IntN(2) == 0 {
				t.Healthy = randomRow(rng, len(t.Outcomes))
			}
		}
		c.Tests = append(c.Tests, t)
	}
	for k := range faults + 1 {
		r := Repair{ID: fmt.Sprint("r", k), Cost: 200 * rng.Float64(), Minutes: 100 * rng.Float64(), Fixes: make([]float64, faults)}
		r.Fixes[k%faults] = 0.5 + 0.5*float64(rng.IntN(2))
		if rng.IntN(3) == 0 {
			r.Fixes[rng.IntN(faults)] = rng.Float64()
		}
		c.Repairs = append(c.Repairs, r)
	}
	if rng.IntN(4) > 0 {
		c.ReplaceAll = &ReplaceAll{Cost: 100 + 500*rng.Float64(), Minutes: 60}
	}
	if t := c.Tests[len(c.Tests)-1]; rng.IntN(2) == 0 && len(t.Outcomes) > 0 {
		c.Evidence = append(c.Evidence, shown(t.ID, t.Outcomes[0]))
	}
	done := rng.IntN(3 * len(c.Repairs))
	for k := range c.Repairs {
		if done == 0 || k == done {
			c.Evidence = append(c.Evidence, Evidence{Repair: c.Repairs[k].ID})
		}
	}
	return c
}

// TestInvariants: whatever is in a case, the figures fit together.
func TestInvariants(t *testing.T) {
	several, stuck := 0, 0
	for seed := range uint64(60) {
		c := mixedCase(seed)
		if c.Check() != nil {
			continue
		}
		a := mustAdvise(t, c)
		if _, err := json.Marshal(a); err != nil {
			t.Fatalf("case %d: %v", seed, err)
		}
		if a.Next.Kind == KindNothing {
			stuck++
			continue
		}
		if c.Several > 1 {
			several++
		}
		fits := func(what string, ok bool) {
			if !ok {
				t.Errorf("case %d: %s: %+v", seed, what, a)
			}
		}
		tiny := 1e-9 * (1 + a.ExpectedCost)
		fits("money and minutes come to the cost", math.Abs(a.ExpectedMoney+c.HourValue/60*a.ExpectedMinutes-a.ExpectedCost) <= tiny)
		fits("no plan beats the bound", a.LowerBound <= a.ExpectedCost+tiny)
		fits("the whole unit is a chance", a.ChanceReplaceAll >= 0 && a.ChanceReplaceAll <= 1)
		fits("the saving is no loss", a.ExpectedSaving == nil || *a.ExpectedSaving >= -tiny)
		for i := 1; i < len(a.Ranked); i++ {
			fits("cheapest first", a.Ranked[i].ExpectedCost >= a.Ranked[i-1].ExpectedCost)
		}
		for _, f := range a.Flips {
			fits("a flip leads elsewhere", f.To.ID != a.Next.ID && f.FlipsAt >= 0 && !math.IsNaN(f.FlipsAt))
			fits("a flip can be: "+f.Input, f.FlipsAt > 1e-6 || f.FlipsAt == f.Now && f.Beyond == Above)
			fits("a flip lies on its side: "+f.Input, f.FlipsAt == f.Now || (f.FlipsAt > f.Now) == (f.Beyond == Above))
		}
		// Without a whole unit a repair with any chance at all is tried before the plan
		// ends, so that bands in which a fault is ruled out wholly come cheaper.
		if l := looked(t, c); c.ReplaceAll != nil && a.Method == Exact {
			// The two may cut a reading into other bands, which is worth some percents.
			fits("the look-ahead is no cheaper", l.options[0].cost >= a.ExpectedCost*(1-1e-3))
			plan := l.account(0)
			fits("the look-ahead's plan costs its estimate", math.Abs(plan.cost-l.options[0].cost) <= tiny)
		}
	}
	if several < 20 || stuck == 0 {
		t.Errorf("%d cases with several faults and %d with nothing left: the cases do not try what they are for", several, stuck)
	}
}
