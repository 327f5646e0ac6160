package diagnose

import "testing"

// TestIgnoredTest: a test costs no more than its price above the best plan, since
// its result can be ignored, whatever the method; and the plan behind each figure
// comes to it.
func TestIgnoredTest(t *testing.T) {
	held := 0
	for seed := range uint64(60) {
		for _, c := range []Case{smallCase(seed, seed%2 == 0), mixedCase(seed)} {
			if c.Check() != nil {
				continue
			}
			b, err := believe(c)
			if err != nil {
				t.Fatal(err)
			}
			large, err := solveLarge(t.Context(), &c, b)
			if err != nil {
				t.Fatal(err)
			}
			all := []*solution{large}
			if s, err := solveExactly(t.Context(), &c, b); err == nil {
				all = append(all, s)
			}
			for _, s := range all {
				if s.stuck() {
					continue
				}
				most, often := s.options[0].cost, s.account(0).tests
				for i, o := range s.options {
					if a := s.account(i); s.method == LookAhead && !near(a.cost, o.cost) {
						t.Errorf("case %d: the plan of %v costs %v", seed, o, a.cost)
					}
					if o.kind != KindTest || c.Several > 1 && often[o.k] > 0 {
						continue // done before a repair, a test sees other faults than after it
					}
					held++
					if price := s.p.tests[o.k].effort.cost; o.cost > (most+price)*(1+1e-5) {
						t.Errorf("case %d, %s: test %d costs %v, more than its %v above %v", seed, s.method, o.k, o.cost, price, most)
					}
				}
			}
		}
	}
	if held < 300 {
		t.Errorf("only %d tests were looked at", held)
	}
}
