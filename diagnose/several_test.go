package diagnose

import (
	"context"
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// noisyOr is a test that comes out positive by a leak or by any fault's link.
func noisyOr(id string, cost, leak float64, links ...float64) Test {
	t := Test{ID: id, Cost: cost, Outcomes: []string{"pos", "neg"}, Healthy: []float64{leak, 1 - leak}}
	for _, link := range links {
		neg := (1 - leak) * (1 - link)
		t.Chance = append(t.Chance, []float64{1 - neg, neg})
	}
	return t
}

// hydraulics is the reference's P7: independent faults, noisy-OR tests.
func hydraulics() Case {
	c := Case{Several: 2, ReplaceAll: &ReplaceAll{Cost: 400}, Tests: []Test{
		noisyOr("m1", 10, .02, .9, 0, .7, 0), noisyOr("m2", 15, .05, 0, .8, 0, .9), noisyOr("m3", 8, .01, .5, .5, 0, .5),
	}}
	for i, q := range []float64{.20, .10, .15, .05} {
		c.Faults = append(c.Faults, Fault{ID: fmt.Sprintf("f%d", i+1), Prior: q})
	}
	for i, cost := range []float64{60, 90, 40, 120} {
		r := Repair{ID: fmt.Sprintf("r%d", i+1), Cost: cost, Fixes: make([]float64, 4)}
		r.Fixes[i] = 1
		c.Repairs = append(c.Repairs, r)
	}
	return c
}

// upToFour is the case with sets of up to four faults, which is all of them: what
// the file's `several: 2` cuts off at two.
func upToFour(t *testing.T, c Case, evidence ...Evidence) *belief {
	t.Helper()
	c.Evidence = evidence
	b, err := c.believeOn(newSets(len(c.Faults), 4))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func shown(test, outcome string) Evidence { return Evidence{Test: test, Outcome: outcome} }

func TestSeveralFaultsAtOnce(t *testing.T) {
	c := hydraulics()
	var cases []outside.Case
	add := func(what string, got, want []float64) {
		for f := range want {
			cases = append(cases, outside.Case{
				Source: "TROUBLESHOOT_PROBLEMS", Where: "P7, posteriors", What: fmt.Sprintf("F%d, %s", f+1, what),
				Got: got[f], Want: want[f], Tolerance: 6e-11, Why: "printed to 10 decimals",
			})
		}
	}
	marginal := func(e ...Evidence) []float64 {
		b := upToFour(t, c, e...)
		return b.sets.marginal(b.weight)
	}
	add("symptom", marginal(), []float64{.4777830865, .2388915432, .3583373149, .1194457716})
	add("m1 pos", marginal(shown("m1", "pos")), []float64{.6779045142, .1043202675, .4229537433, .0521601338})
	add("m1 pos, m2 neg", marginal(shown("m1", "pos"), shown("m2", "neg")), []float64{.6819755690, .0228145103, .4254937291, .0054945941})
	add("all pos", marginal(shown("m1", "pos"), shown("m2", "pos"), shown("m3", "pos")), []float64{.7698582584, .5727117920, .3213520530, .3230124377})
	add("all neg", marginal(shown("m1", "neg"), shown("m2", "neg"), shown("m3", "neg")), []float64{.1651666598, .1470164774, .6726619834, .0351141718})
	add("m1 pos, r1 done", marginal(shown("m1", "pos"), Evidence{Repair: "r1"}), []float64{0, .2033970254, .8246483194, .1016985127})

	b := upToFour(t, c)
	sizes := make([]float64, 4)
	for i, m := range b.sets.members {
		sizes[len(m)-1] += b.weight[i]
	}
	add("number of faults", sizes, []float64{.8197563306, .1663879599, .0134973722, .0003583373})

	e := newExact(context.Background(), newProblem(&c, b, 1, nil), exactRepeats)
	options, err := e.solve(b.weight)
	if err != nil {
		t.Fatal(err)
	}
	noTests, err := e.withoutTests(b.weight)
	if err != nil {
		t.Fatal(err)
	}
	if first := options[0]; first.kind != KindTest || first.k != 2 {
		t.Errorf("first is %v, want m3", first)
	}
	outside.Check(t, append(cases,
		outside.Case{Source: "TROUBLESHOOT_PROBLEMS", Where: "P7, optimum", What: "all sets", Got: options[0].cost, Want: 602729198103.0 / 4784000000, Tolerance: 1e-9, Why: "a fraction"},
		outside.Case{Source: "TROUBLESHOOT_PROBLEMS", Where: "P7, optimum", What: "without tests", Got: noTests, Want: 130.8026755853, Tolerance: 6e-11, Why: "printed to 10 decimals"},
		outside.Case{Source: "TROUBLESHOOT_PROBLEMS", Where: "P7, optimum", What: "perfect information", Got: e.p.bound(b.weight), Want: 78.8342092690, Tolerance: 6e-11, Why: "printed to 10 decimals"}))
}

// TestTwoAtOnceByEnumeration sums over all sets of one or two by hand.
func TestTwoAtOnceByEnumeration(t *testing.T) {
	c := hydraulics()
	c.Evidence = []Evidence{shown("m1", "pos"), shown("m2", "neg")}
	got, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	q, m1, m2 := []float64{.20, .10, .15, .05}, []float64{.9, 0, .7, 0}, []float64{0, .8, 0, .9}
	want, total := make([]float64, 4), 0.0
	for set := 1; set < 16; set++ {
		w, none1, none2, n := 1.0, 0.98, 0.95, 0
		for f := range q {
			if set>>f&1 == 0 {
				w *= 1 - q[f]
				continue
			}
			w *= q[f]
			none1 *= 1 - m1[f]
			none2 *= 1 - m2[f]
			n++
		}
		if n > 2 {
			continue
		}
		w *= (1 - none1) * none2
		total += w
		for f := range q {
			if set>>f&1 == 1 {
				want[f] += w
			}
		}
	}
	for f := range want {
		if math.Abs(got[f]-want[f]/total) > 1e-12 {
			t.Errorf("fault %d: %v, by enumeration %v", f+1, got[f], want[f]/total)
		}
	}
	if a := mustAdvise(t, c); len(a.Cautions) == 0 {
		t.Error("a case with several faults says nothing of those left out")
	}
}

// TestStaleTest: a test done before a repair saw the faults of that time.
func TestStaleTest(t *testing.T) {
	c := hydraulics()
	before, after := c, c
	before.Evidence = []Evidence{shown("m1", "pos"), {Repair: "r1"}}
	after.Evidence = []Evidence{{Repair: "r1"}, shown("m1", "pos")}
	p, err := Posterior(before)
	if err != nil {
		t.Fatal(err)
	}
	q, err := Posterior(after)
	if err != nil {
		t.Fatal(err)
	}
	if !(q[2] > p[2]) {
		t.Errorf("F3, which m1 shows: %v where m1 was positive after the repair of F1, %v where before; want more", q[2], p[2])
	}
}

func TestThreeOrMore(t *testing.T) {
	var cases []outside.Case
	for _, r := range []struct{ q, upToTwo float64 }{{.01, .9774}, {.03, .8327}, {.05, .6291}} {
		c := Case{}
		for range 40 {
			c.Faults = append(c.Faults, Fault{Prior: r.q})
		}
		cases = append(cases, outside.Case{
			Source: "TROUBLESHOOT_PROBLEMS", Where: "share of one, two and three faults of 40", What: fmt.Sprintf("up to two at %v each", r.q),
			Got: 1 - c.threeOrMore(), Want: r.upToTwo, Tolerance: 5.1e-5, Why: "printed to 4 decimals",
		})
	}
	outside.Check(t, cases)
}

// TestImposing: two faults that pull a test to different outcomes have an even
// chance to show.
func TestImposing(t *testing.T) {
	test := Test{Outcomes: []string{"low", "usual", "high"}, Healthy: []float64{0, 1, 0}, Chance: [][]float64{{1, 0, 0}, {0, 0, 1}, {0, 1, 0}}}
	s := newSets(3, 2)
	rows := test.setRows(&s)
	for i, want := range [][]float64{{1, 0, 0}, {0, 0, 1}, {0, 1, 0}, {.5, 0, .5}, {1, 0, 0}, {0, 0, 1}} {
		for o := range want {
			if math.Abs(rows[o][i]-want[o]) > 1e-15 {
				t.Errorf("faults %v, %s: %v, want %v", s.members[i], test.Outcomes[o], rows[o][i], want[o])
			}
		}
	}
	test.Healthy = nil
	test.Chance = [][]float64{{.06, .94, 0}, {.06, .94, 0}, {.95, .05, 0}}
	if row := test.healthyRow(); row[1] != .94 {
		t.Errorf("healthy row %v, want that of a fault that leaves the test alone", row)
	}
}
