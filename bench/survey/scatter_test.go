package survey

import (
	"strings"
	"testing"
)

// Readings that scatter by 1.6 mm entered as 1 still show a point 42 mm out, and
// invent none.
func TestReadingsThatScatterMoreAreJudgedWithThat(t *testing.T) {
	for _, test := range []struct {
		moveMm float64
		fails  int // of 20, at least
	}{{42, 16}, {0, 0}} {
		fails, falsely, said := 0, 0, 0
		for seed := range 20 {
			s := drawing{points: 24, lines: 110, heights: 2, nominal: true, scatterMm: 0.6, sdMm: 1.6, moveMm: test.moveMm}.draw(uint64(seed))
			r := examine(t, s.c)
			if r.Verdict == Fail {
				fails++
			}
			for _, m := range r.Moved {
				if m.ID != s.moved {
					falsely++
				}
			}
			if strings.Contains(strings.Join(r.Notes, " "), "Your readings scatter like 1.") {
				said++
			}
		}
		if fails < test.fails || test.moveMm == 0 && fails > 1 || falsely > 2 || said < 10 {
			t.Errorf("moved %g: %d fail, %d falsely moved, said %d times", test.moveMm, fails, falsely, said)
		}
	}
}
