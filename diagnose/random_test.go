package diagnose

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// smallCase is a random case of five faults and three tests, as in the
// reference's ensembles: one perfect repair for each fault; dependent adds one
// that cures several and makes some repairs imperfect.
func smallCase(seed uint64, dependent bool) Case {
	rng := rand.New(rand.NewPCG(seed, 2))
	const faults = 5
	c := Case{Currency: "EUR", Several: 1}
	total := 0.0
	for f := range faults {
		c.Faults = append(c.Faults, Fault{ID: fmt.Sprint("f", f), Prior: math.Pow(rng.ExpFloat64(), 1.2) + 0.01})
		r := Repair{ID: fmt.Sprint("r", f), Cost: math.Round(20 + 180*rng.Float64()), Fixes: make([]float64, faults)}
		r.Fixes[f] = 1
		if dependent && rng.Float64() < 0.4 {
			r.Fixes[f] = 0.7 + 0.3*rng.Float64()
		}
		c.Repairs = append(c.Repairs, r)
		total += r.Cost
	}
	if dependent {
		r := Repair{ID: "several", Fixes: make([]float64, faults)}
		for _, f := range rng.Perm(faults)[:2+rng.IntN(2)] {
			r.Fixes[f] = 1
			r.Cost += c.Repairs[f].Cost
		}
		r.Cost *= 0.5 + 0.45*rng.Float64()
		c.Repairs = append(c.Repairs, r)
	}
	for k := range 3 {
		t := Test{ID: fmt.Sprint("t", k), Cost: math.Round(3 + 25*rng.Float64())}
		t.Outcomes = []string{"a", "b", "c"}[:2+rng.IntN(2)]
		for range faults {
			t.Chance = append(t.Chance, randomRow(rng, len(t.Outcomes)))
		}
		c.Tests = append(c.Tests, t)
	}
	c.ReplaceAll = &ReplaceAll{Cost: math.Round(total * (0.45 + 0.45*rng.Float64()))}
	return c
}

// excess is how much more a plan costs than the best, as a share.
type excess struct{ mean, worst, plain float64 }

// lookAheadExcess measures the look-ahead, followed, and the plain order by
// chance per cost on n random cases; it fails where the look-ahead is the dearer.
func lookAheadExcess(t testing.TB, first, n int, dependent bool) excess {
	var x excess
	for i := range n {
		c := smallCase(uint64(first+i), dependent)
		s := solved(t, c)
		best := s.options[0].cost
		got := lookAheadCost(t, c)
		plain := newSequencer(s.p).cost(s.b.weight, make([]bool, len(s.p.repairs)))
		if got > plain*(1+1e-9) || got < best*(1-1e-9) {
			t.Errorf("case %d: the look-ahead costs %v, chance per cost %v, the best plan %v", first+i, got, plain, best)
		}
		x.mean += (got/best - 1) / float64(n)
		x.plain += (plain/best - 1) / float64(n)
		x.worst = max(x.worst, got/best-1)
	}
	return x
}

func TestLookAheadExcess(t *testing.T) {
	for _, dependent := range []bool{false, true} {
		x := lookAheadExcess(t, 1, 60, dependent)
		t.Logf("dependent %v: mean %.3f %%, worst %.2f %%, plain chance per cost %.1f %%", dependent, 100*x.mean, 100*x.worst, 100*x.plain)
		if x.mean > 0.003 {
			t.Errorf("dependent %v: %.3f %% over the optimum on average; want under 0.3 %%", dependent, 100*x.mean)
		}
	}
}

// BenchmarkLookAheadExcess prints how much the look-ahead, followed, costs over
// the exact optimum.
func BenchmarkLookAheadExcess(b *testing.B) {
	for name, dependent := range map[string]bool{"independent": false, "dependent": true} {
		b.Run(name, func(b *testing.B) {
			var x excess
			for b.Loop() {
				x = lookAheadExcess(b, 1000, 300, dependent)
			}
			b.ReportMetric(100*x.mean, "%mean")
			b.ReportMetric(100*x.worst, "%worst")
			b.ReportMetric(100*x.plain, "%plain")
		})
	}
}

// BenchmarkExact is the exact solver on twelve actions and more.
func BenchmarkExact(b *testing.B) {
	for _, size := range []struct{ faults, tests, measured int }{{6, 6, 0}, {6, 6, 1}, {6, 6, 2}, {5, 8, 0}, {8, 4, 0}, {8, 8, 0}, {10, 10, 0}} {
		b.Run(fmt.Sprintf("faults%d_tests%d_measured%d", size.faults, size.tests, size.measured), func(b *testing.B) {
			c := largeCase(9, size.faults, size.tests, size.faults, size.measured, 1)
			exact := 0.0
			for b.Loop() {
				if mustAdvise(b, c).Method == Exact {
					exact = 1
				}
			}
			b.ReportMetric(exact, "exact")
		})
	}
}

// drawn is a random small case for the properties.
func drawn(t *rapid.T) Case {
	return smallCase(rapid.Uint64().Draw(t, "seed"), rapid.Bool().Draw(t, "dependent"))
}

// evidenceFor draws results that can be.
func evidenceFor(t *rapid.T, c Case) []Evidence {
	var all []Evidence
	for _, test := range c.Tests {
		if rapid.Bool().Draw(t, "done") {
			all = append(all, Evidence{Test: test.ID, Outcome: rapid.SampledFrom(test.Outcomes).Draw(t, "outcome")})
		}
	}
	if rapid.Bool().Draw(t, "repaired") {
		all = append(all, Evidence{Repair: c.Repairs[rapid.IntRange(0, len(c.Repairs)-1).Draw(t, "repair")].ID})
	}
	return all
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b)) }

// TestOrderOfEvidence: the order in which results came does not matter, and the
// chances sum to 1.
func TestOrderOfEvidence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		c.Evidence = evidenceFor(t, c)
		p, err := Posterior(c)
		if err != nil {
			t.Skip(err)
		}
		c.Evidence = rapid.Permutation(c.Evidence).Draw(t, "order")
		q, err := Posterior(c)
		if err != nil {
			t.Fatal(err)
		}
		for f := range p {
			if math.Abs(p[f]-q[f]) > 1e-12 {
				t.Fatalf("%v in one order, %v in another", p, q)
			}
		}
		if !near(sum(p), 1) {
			t.Fatalf("the chances sum to %v", sum(p))
		}
	})
}

// TestRenaming: a case with its faults, tests and repairs in another order is
// the same case.
func TestRenaming(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		a := mustSolve(t, c)
		order := rapid.Permutation([]int{0, 1, 2, 3, 4}).Draw(t, "faults")
		d := c.clone()
		for i, f := range order {
			d.Faults[i] = c.Faults[f]
			for k := range d.Tests {
				if i == 0 {
					d.Tests[k].Chance = slices.Clone(c.Tests[k].Chance)
				}
				d.Tests[k].Chance[i] = c.Tests[k].Chance[f]
			}
			for k := range d.Repairs {
				if i == 0 {
					d.Repairs[k].Fixes = slices.Clone(c.Repairs[k].Fixes)
				}
				d.Repairs[k].Fixes[i] = c.Repairs[k].Fixes[f]
			}
		}
		slices.Reverse(d.Tests)
		slices.Reverse(d.Repairs)
		b := mustSolve(t, d)
		for _, q := range a {
			if i := slices.IndexFunc(b, func(r Action) bool { return r.Kind == q.Kind && r.ID == q.ID }); i < 0 || !near(b[i].ExpectedCost, q.ExpectedCost) {
				t.Fatalf("%v and %v", a, b)
			}
		}
	})
}

// mustSolve is the exact cost of every action.
func mustSolve(t interface{ Fatal(...any) }, c Case) []Action {
	b, err := believe(c)
	if err != nil {
		t.Fatal(err)
	}
	s, err := solveExactly(context.Background(), &c, b)
	if err != nil {
		t.Fatal(err)
	}
	var all []Action
	for _, o := range s.options {
		all = append(all, s.action(o))
	}
	return all
}

func value(t interface{ Fatal(...any) }, c Case) float64 { return mustSolve(t, c)[0].ExpectedCost }

// TestSandwich: perfect information, the optimum, the look-ahead followed, its
// own estimate, chance per cost and the whole unit cost more in this order.
func TestSandwich(t *testing.T) {
	for seed := range uint64(120) {
		c := smallCase(5000+seed, seed%2 == 0)
		s := solved(t, c)
		l := looked(t, c)
		chain := []float64{
			s.p.bound(s.b.weight), s.options[0].cost, lookAheadCost(t, c), l.options[0].cost,
			newSequencer(s.p).cost(s.b.weight, make([]bool, len(s.p.repairs))), c.ReplaceAll.Cost,
		}
		for i := 1; i < len(chain); i++ {
			if chain[i] < chain[i-1]*(1-1e-9) {
				t.Errorf("case %d: %v is not in order", seed, chain)
			}
		}
		if got := l.account(0).cost; !near(got, l.options[0].cost) {
			t.Errorf("case %d: the plan proposed costs %v, its estimate is %v", seed, got, l.options[0].cost)
		}
		if got := s.account(0); !near(got.cost, s.options[0].cost) || got.whole < 0 || got.whole > 1+1e-12 {
			t.Errorf("case %d: the plan costs %v with chance %v of the whole unit, its value is %v", seed, got.cost, got.whole, s.options[0].cost)
		}
	}
}

// TestMoreIsNoWorse: what can also be done never makes it dearer, a dearer
// action never cheaper, and all costs twice as high are twice the cost.
func TestMoreIsNoWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		v := value(t, c)
		fewer := c.clone()
		fewer.Tests = fewer.Tests[1:]
		if w := value(t, fewer); w < v*(1-1e-9) {
			t.Fatalf("a test less costs %v, not %v", w, v)
		}
		fewer = c.clone()
		fewer.Repairs = fewer.Repairs[1:]
		if w := value(t, fewer); w < v*(1-1e-9) {
			t.Fatalf("a repair less costs %v, not %v", w, v)
		}
		dearer := c.clone()
		dearer.Repairs[0].Cost *= 1.3
		dearer.Tests[0].Minutes, dearer.HourValue = 30, 20
		if w := value(t, dearer); w < v*(1-1e-9) {
			t.Fatalf("dearer comes to %v, not %v", w, v)
		}
		double := c.clone()
		for i := range double.Tests {
			double.Tests[i].Cost *= 2
		}
		for i := range double.Repairs {
			double.Repairs[i].Cost *= 2
		}
		double.ReplaceAll.Cost *= 2
		if w := value(t, double); !near(w, 2*v) {
			t.Fatalf("twice as dear comes to %v, not twice %v", w, v)
		}
	})
}

// TestSplitFault: a fault cut in two that behave alike changes nothing.
func TestSplitFault(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		share := rapid.Float64Range(0.05, 0.95).Draw(t, "share")
		d := c.clone()
		d.Faults = append(d.Faults, Fault{ID: "half", Prior: c.Faults[0].Prior * (1 - share)})
		d.Faults[0].Prior *= share
		for i := range d.Tests {
			d.Tests[i].Chance = append(slices.Clone(d.Tests[i].Chance), d.Tests[i].Chance[0])
		}
		for i := range d.Repairs {
			d.Repairs[i].Fixes = append(slices.Clone(d.Repairs[i].Fixes), d.Repairs[i].Fixes[0])
		}
		if v, w := value(t, c), value(t, d); !near(w, v) {
			t.Fatalf("%v, with the fault cut in two %v", v, w)
		}
	})
}

// TestConcave: between two sets of priors the cost is no less than in between.
func TestConcave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		x, y, z := c.clone(), c.clone(), c.clone()
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		var sx, sy float64
		for f := range c.Faults {
			x.Faults[f].Prior = rapid.Float64Range(0.01, 1).Draw(t, "x")
			y.Faults[f].Prior = rapid.Float64Range(0.01, 1).Draw(t, "y")
			sx, sy = sx+x.Faults[f].Prior, sy+y.Faults[f].Prior
		}
		for f := range c.Faults {
			z.Faults[f].Prior = share*x.Faults[f].Prior/sx + (1-share)*y.Faults[f].Prior/sy
		}
		if chord := share*value(t, x) + (1-share)*value(t, y); value(t, z) < chord*(1-1e-9) {
			t.Fatalf("%v in between, the chord is at %v", value(t, z), chord)
		}
	})
}

// TestUselessTest: a test that comes out alike under every fault is worth
// nothing, and no test is worth more than perfect information.
func TestUselessTest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		c.Tests = c.Tests[:1]
		b, err := believe(c)
		if err != nil {
			t.Fatal(err)
		}
		s, err := solveExactly(context.Background(), &c, b)
		if err != nil {
			t.Fatal(err)
		}
		most, err := s.perfectInformation()
		if err != nil {
			t.Fatal(err)
		}
		without := most + s.p.bound(b.weight)
		for _, q := range mustSolve(t, c) {
			if worth := without - (q.ExpectedCost - c.Tests[0].Cost); q.Kind == KindTest && (worth < -1e-9 || worth > most+1e-9) {
				t.Fatalf("the test is worth %v, perfect information %v", worth, most)
			}
		}
		for f := range c.Faults {
			c.Tests[0].Chance[f] = c.Tests[0].Chance[0]
		}
		for _, q := range mustSolve(t, c) {
			if q.Kind == KindTest && !near(q.ExpectedCost, without+c.Tests[0].Cost) {
				t.Fatalf("a useless test first comes to %v, want %v and its cost", q.ExpectedCost, without)
			}
		}
	})
}

// TestOneAtATime: sets of one fault are what a case with one fault at a time is.
func TestOneAtATime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		for f := range c.Faults {
			c.Faults[f].Prior /= 10
		}
		total := 0.0
		for _, f := range c.Faults {
			total += f.Prior
		}
		c.Evidence = evidenceFor(t, c)
		p, err := Posterior(c)
		if err != nil {
			t.Skip(err)
		}
		d := c.clone()
		d.Several = 2
		for f := range d.Faults { // odds in proportion to the priors
			q := d.Faults[f].Prior / total
			d.Faults[f].Prior = q / (1 + q)
		}
		b, err := d.believeOn(newSets(len(d.Faults), 1))
		if err != nil {
			t.Fatal(err)
		}
		for f := range p {
			if math.Abs(p[f]-b.weight[f]) > 1e-12 {
				t.Fatalf("%v, as sets of one %v", p, b.weight)
			}
		}
	})
}
