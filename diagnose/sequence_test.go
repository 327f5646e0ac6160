package diagnose

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

// TestSequenceByHand sums the terms of P0's order: a3 a2 a5 a1 a4.
func TestSequenceByHand(t *testing.T) {
	c, _ := readReference(t, "p0")
	s := looked(t, c)
	q := newSequencer(s.p)
	if got := fmt.Sprint(q.order(s.b.weight, make([]bool, 5))); got != "[2 1 4 0 3]" {
		t.Errorf("order %s", got)
	}
	outside.Check(t, []outside.Case{{
		Source: "HECKERMAN_1995", Where: "sequence by chance per cost", What: "10 + .8 x 20 + .55 x 5 + .5 x 50 + .1 x 40",
		Got: q.cost(s.b.weight, make([]bool, 5)), Want: 57.75, Tolerance: 1e-12, Why: "exact",
	}})
}

// permutations calls f with every order of 0..n-1.
func permutations(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var walk func(k int)
	walk = func(k int) {
		if k == n {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			walk(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	walk(0)
}

// TestChancePerCostIsBest: with one repair for each fault, no order and no point
// to buy the whole unit is better.
func TestChancePerCostIsBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		c := Case{Several: 1, ReplaceAll: &ReplaceAll{Cost: rapid.Float64Range(1, 400).Draw(t, "whole")}}
		total := 0.0
		for i := range n {
			c.Faults = append(c.Faults, Fault{ID: fmt.Sprint("f", i), Prior: rapid.Float64Range(0.01, 1).Draw(t, "prior")})
			total += c.Faults[i].Prior
			r := Repair{ID: fmt.Sprint("r", i), Cost: rapid.Float64Range(1, 100).Draw(t, "cost"), Fixes: make([]float64, n)}
			r.Fixes[i] = rapid.Float64Range(0.3, 1).Draw(t, "fixes")
			c.Repairs = append(c.Repairs, r)
		}
		best := math.Inf(1)
		permutations(n, func(order []int) {
			spent, left := 0.0, 1.0
			best = min(best, c.ReplaceAll.Cost)
			for _, k := range order {
				spent += left * c.Repairs[k].Cost
				left -= c.Faults[k].Prior / total * c.Repairs[k].Fixes[k]
				best = min(best, spent+left*c.ReplaceAll.Cost)
			}
		})
		b, err := believe(c)
		if err != nil {
			t.Fatal(err)
		}
		p := newProblem(&c, b, 1, nil)
		if got := newSequencer(p).cost(b.weight, make([]bool, n)); math.Abs(got-best) > 1e-9*best {
			t.Fatalf("%v, the best of all orders %v", got, best)
		}
	})
}

// TestInspections: a part that can be looked at is a test with a certain
// outcome. The best plan may repair blind and need not look at the last suspect.
func TestInspections(t *testing.T) {
	var cases []outside.Case
	for whole, want := range map[float64]float64{1000: 83.5, 200: 83.5, 90: 78.5, 85: 76, 60: 59} {
		c := Case{Several: 1, ReplaceAll: &ReplaceAll{Cost: whole}}
		for i, p := range []float64{.5, .3, .2} {
			c.Faults = append(c.Faults, Fault{ID: fmt.Sprint("f", i), Prior: p})
			look := Test{ID: fmt.Sprint("t", i), Cost: []float64{10, 20, 5}[i], Outcomes: []string{"bad", "good"}}
			r := Repair{ID: fmt.Sprint("r", i), Cost: []float64{100, 50, 30}[i], Fixes: make([]float64, 3)}
			r.Fixes[i] = 1
			for f := range 3 {
				if f == i {
					look.Chance = append(look.Chance, []float64{1, 0})
				} else {
					look.Chance = append(look.Chance, []float64{0, 1})
				}
			}
			c.Tests, c.Repairs = append(c.Tests, look), append(c.Repairs, r)
		}
		cases = append(cases, outside.Case{
			Source: "TROUBLESHOOT_PROBLEMS", Where: "E0, full search", What: fmt.Sprintf("whole unit at %v", whole),
			Got: solved(t, c).options[0].cost, Want: want, Tolerance: 1e-9, Why: "exact",
		})
	}
	outside.Check(t, cases)
}
