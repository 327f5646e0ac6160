package diagnose

import (
	"context"
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// flipOf is where an input flips, upwards or downwards; NaN: nowhere.
func flipOf(a Advice, input string, up bool) float64 {
	for _, f := range a.Flips {
		if f.Input == input && (f.FlipsAt > f.Now) == up {
			return f.FlipsAt
		}
	}
	return math.NaN()
}

func TestFlips(t *testing.T) {
	p3, _ := readReference(t, "p3")
	p4, _ := readReference(t, "p4")
	a3, a4 := mustAdvise(t, p3), mustAdvise(t, p4)
	outside.Check(t, []outside.Case{
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "what flips the next action", What: "P3, cost of B2", Got: flipOf(a3, "repairs.r2.cost", true), Want: 6.25, Tolerance: 1e-9, Why: "exact"},
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "what flips the next action", What: "P4, P(F3) down", Got: flipOf(a4, "faults.f3.prior", false), Want: .164923697, Tolerance: 6e-10, Why: "printed to 9 decimals"},
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "what flips the next action", What: "P4, P(F3) up", Got: flipOf(a4, "faults.f3.prior", true), Want: .579971032, Tolerance: 6e-10, Why: "printed to 9 decimals"},
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "what flips the next action", What: "P4, P(s2 changes | F2)", Got: flipOf(a4, "tests.t2.outcomes.f2.changes", false), Want: .729, Tolerance: 1e-6, Why: "the slope is taken over a step of 1e-6"},
		{Source: "TROUBLESHOOT_PROBLEMS", Where: "what flips the next action", What: "P4, s2 in all", Got: 15 + flipOf(a4, "tests.t2.cost", true), Want: 19.481481, Tolerance: 6e-7, Why: "printed to 6 decimals; 15 is the half hour"},
	})
	for _, f := range a4.Flips {
		if f.Approximate {
			t.Errorf("%s is only estimated, in a case of four tests and repairs", f.Input)
		}
	}
}

// TestFlipsAreFlips: a little beyond, another action is best; a little before,
// the same.
func TestFlipsAreFlips(t *testing.T) {
	for _, name := range problems {
		c, _ := readReference(t, name)
		s := solved(t, c)
		f := &flipper{ctx: context.Background(), s: s, own: s.options[0]}
		for i, o := range s.options {
			f.plans = append(f.plans, planned{first: o, account: s.account(i)})
		}
		checked := 0
		for _, in := range s.inputs(f.plans) {
			for _, way := range []float64{1, -1} {
				at, ok := f.crossing(in, way, f.plans)
				if !ok || checked >= 25 {
					continue
				}
				at, keep, err := f.settle(at, f.plans)
				if err != nil {
					t.Fatal(err)
				}
				if !keep || !at.sure {
					continue
				}
				checked++
				if beyond := firstAt(t, c, at, 1+1e-5); same(beyond, f.own) {
					t.Errorf("%s, %s: still %v beyond %v", name, in.name, beyond, in.value(at.u))
				}
				if before := firstAt(t, c, at, 1-1e-5); f.differs(before) {
					t.Errorf("%s, %s: already %v before %v", name, in.name, before, in.value(at.u))
				}
			}
		}
		if checked == 0 {
			t.Errorf("%s: no flip was checked", name)
		}
	}
}

// firstAt is the first action with an input moved by a share of the flip.
func firstAt(t *testing.T, c Case, at found, share float64) option {
	t.Helper()
	moved := c.clone()
	at.in.set(&moved, at.in.value(at.u*share))
	return solved(t, moved).options[0]
}

// buyFirst bisects for the price of the whole unit at and below which buying it
// now is best.
func buyFirst(t *testing.T, c Case) float64 {
	t.Helper()
	low, high := 0.0, c.effort(c.ReplaceAll.Cost, c.ReplaceAll.Minutes).cost
	for range 40 {
		mid := (low + high) / 2
		moved := c.clone()
		moved.ReplaceAll.Cost, moved.ReplaceAll.Minutes = mid, 0
		if solved(t, moved).options[0].kind == KindReplace {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func TestPriceOfTheWholeUnit(t *testing.T) {
	var cases []outside.Case
	for name, want := range map[string]float64{"p1": 173.421, "p4": 148.148148, "p2": 88.0434} {
		c, _ := readReference(t, name)
		cases = append(cases, outside.Case{
			Source: "TROUBLESHOOT_PROBLEMS", Where: "price at which the whole unit is bought now", What: name,
			Got: buyFirst(t, c), Want: want, Tolerance: 5e-4, Why: "printed to 3 or 4 decimals",
		})
	}
	outside.Check(t, cases)
}

func TestWorthOfAnHour(t *testing.T) {
	c, _ := readReference(t, "p1")
	var cases []outside.Case
	for _, r := range []struct {
		perMinute, want float64
		first           string
	}{{0, 346.394169, "t2"}, {1.0 / 6, 381.412370, "t1"}, {.25, 398.717805, "t1"}, {.5, 449.330031, "t1"}, {1, 549.046486, "t1"}, {2, 747.348012, "t2"}} {
		// The reference's table names t1 at 2 per minute; its own value there is that
		// of t2 first (t1: 747.518733), and testdata/solver.py says t2 too.
		c.HourValue = 60 * r.perMinute
		s := solved(t, c)
		for _, o := range s.options { // two free tests tie at 0
			if q := s.action(o); q.ID == r.first && !near(o.cost, s.options[0].cost) {
				t.Errorf("at %v per minute %s first costs %v, the best %v", r.perMinute, r.first, o.cost, s.options[0].cost)
			}
		}
		cases = append(cases, outside.Case{
			Source: "TROUBLESHOOT_PROBLEMS", Where: "P1 against the worth of an hour", What: fmt.Sprintf("%v per minute", r.perMinute),
			Got: s.options[0].cost, Want: r.want, Tolerance: 6e-7, Why: "printed to 6 decimals",
		})
	}
	outside.Check(t, cases)
}

// TestBothTestsOrNone: P5's tests pay up to 25 each.
func TestBothTestsOrNone(t *testing.T) {
	c, _ := readReference(t, "p5")
	for cost, want := range map[float64]Kind{24.99: KindTest, 25.01: KindRepair} {
		c.Tests[0].Cost, c.Tests[1].Cost = cost, cost
		if got := mustAdvise(t, c).Next; got.Kind != want {
			t.Errorf("at %v each the next action is %v, want a %s", cost, got, want)
		}
	}
}

// TestTie: of two repairs that are the same to the case either may come first,
// and the least that makes the first dearer puts the other before it.
func TestTie(t *testing.T) {
	c := coin(.5, 50)
	a := mustAdvise(t, c)
	if got := flipOf(a, "repairs.r0.cost", true); !math.IsNaN(got) {
		t.Errorf("flips at %v, above the present value", got)
	}
	for _, f := range a.Flips {
		if f.Input == "repairs.r0.cost" && f.FlipsAt == f.Now && f.Beyond == Above && f.To.ID == "r1" && !f.Approximate {
			return
		}
	}
	t.Errorf("next is %v; no flip of its cost at the present value among %+v", a.Next, a.Flips)
}
