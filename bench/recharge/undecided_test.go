package recharge

import (
	"strings"
	"testing"
)

// TestUndecidedTells: where times alone leave it open, the reason is what was read
// and not other readings, of which there are none; and who timed more intervals
// than count is told so.
func TestUndecidedTells(t *testing.T) {
	for _, c := range []struct {
		name  string
		runs  []PumpRun
		wants []string
		never []string
	}{
		{
			"three minutes, runs rather long", evenRuns(3, 186, 186, 186),
			[]string{"over the two minutes of common practice, but the pump runs 1.6 % of the time at rest, where about 0.9 % is usual"},
			[]string{"other readings", "left out"},
		},
		{
			"five minutes, runs that scatter",
			[]PumpRun{{0, 3.1}, {300.5, 303.2}, {601, 604}, {900, 903}},
			[]string{"over the two minutes of common practice, but that nothing is wrong is not sure enough to pass it"},
			[]string{"other readings", "left out"},
		},
		{
			"one short, one after the fill", evenRuns(3, 20, 300, 305, 298),
			[]string{"2 settled intervals, where 3 are asked for", "2 of 4 intervals left out"},
			nil,
		},
		{"one alone", evenRuns(3, 40), []string{"1 settled interval, where 3 are asked for"}, []string{"left out"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Examine(t.Context(), Case{Runs: c.runs})
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict != CannotTell {
				t.Errorf("%s: %s", r.Verdict, r.Why)
			}
			for _, want := range c.wants {
				if !strings.Contains(r.Why, want) {
					t.Errorf("%s; want %q", r.Why, want)
				}
			}
			for _, never := range c.never {
				if strings.Contains(r.Why, never) {
					t.Errorf("%q in %s", never, r.Why)
				}
			}
		})
	}
}
