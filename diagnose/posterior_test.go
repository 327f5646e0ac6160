package diagnose

import (
	"fmt"
	"testing"

	"wreckwright/outside"
)

// TestPosteriorsOnTheWay holds the chances after some results of P1 and P2.
func TestPosteriorsOnTheWay(t *testing.T) {
	p1, _ := readReference(t, "p1")
	p2, _ := readReference(t, "p2")
	failed := func(repair string) Evidence { return Evidence{Repair: repair} }
	var cases []outside.Case
	for _, r := range []struct {
		c        Case
		evidence []Evidence
		want     []float64
	}{
		{p1, []Evidence{shown("t1", "wet")}, []float64{.1333333333, .0705882353, .0470588235, .1045751634, .6209150327, .0235294118}},
		{p1, []Evidence{shown("t1", "dry"), shown("t2", "<10s")}, []float64{.7700681449, .0156801206, .0348447124, .1705166779, .0054058729, .0034844712}},
		{p1, []Evidence{shown("t1", "dry"), shown("t2", "<10s"), failed("r1")}, []float64{0, .0681946422, .1515436494, .7415965822, .0235107612, .0151543649}},
		{p1, []Evidence{shown("t1", "dry"), shown("t2", ">35s"), shown("t4", "normal")}, []float64{.0358954584, .4222995107, .4117420229, .1033286037, .0042117637, .0225226406}},
		{p1, []Evidence{shown("t1", "dry"), shown("t2", ">35s"), shown("t4", "normal"), shown("t3", "differs")}, []float64{.0035647403, .0419381212, .9404623678, .0102614552, .0004182658, .0033550497}},
		{p1, []Evidence{shown("t1", "dry"), shown("t2", "10-35s"), shown("t4", "normal"), failed("r4")}, []float64{.4991316733, .1247829183, .2202051500, .1293119604, .0195217332, .0070465648}},
		{p2, []Evidence{shown("t1", "pos"), shown("t2", "pos")}, []float64{.1374045802, .7613231552, .0137404580, .0569974555, .0152671756, .0152671756}},
		{p2, []Evidence{shown("t1", "neg"), shown("t2", "neg"), shown("t3", "neg"), shown("t4", "c"), shown("t5", "neg")}, []float64{.0775290169, .1624417496, .1412135664, .5788833260, .0128084868, .0271238543}},
		{p2, []Evidence{shown("t1", "pos"), shown("t2", "neg"), failed("r1")}, []float64{0, .3591836735, .3306122449, .0380952381, .2312925170, .0408163265}},
	} {
		r.c.Evidence = r.evidence
		got, err := Posterior(r.c)
		if err != nil {
			t.Fatal(err)
		}
		for f, want := range r.want {
			cases = append(cases, outside.Case{
				Source: "TROUBLESHOOT_PROBLEMS", Where: "posteriors on the way", What: fmt.Sprintf("F%d after %v", f+1, r.evidence),
				Got: got[f], Want: want, Tolerance: 6e-11, Why: "printed to 10 decimals",
			})
		}
	}
	outside.Check(t, cases)
}

// TestWorthOfOneTest holds what each test is worth with no other after it: the
// cost without tests less the expected cost without tests after it.
func TestWorthOfOneTest(t *testing.T) {
	var cases []outside.Case
	for name, want := range map[string][]float64{
		"p1": {50.9925, 125.223, 61.295, 69.703},
		"p2": {25.64, 20.875, 6.145, 23.962, 20.3412},
		"p4": {32.82, 27.15},
	} {
		c, _ := readReference(t, name)
		s := solved(t, c)
		without, err := s.by.withoutTests(s.b.weight)
		if err != nil {
			t.Fatal(err)
		}
		for k := range s.p.tests {
			after, then := make([]float64, len(s.b.weight)), 0.0
			for o := range s.p.tests[k].rows {
				s.p.tests[k].weigh(after, s.b.weight, o)
				cost, err := s.by.withoutTests(after)
				if err != nil {
					t.Fatal(err)
				}
				then += cost
			}
			cases = append(cases, outside.Case{
				Source: "TROUBLESHOOT_PROBLEMS", Where: "worth of one test", What: fmt.Sprintf("%s test %d", name, k+1),
				Got: without - then, Want: want[k], Tolerance: 6e-5, Why: "printed to 2 to 4 decimals, exact where shorter",
			})
		}
	}
	outside.Check(t, cases)
}
