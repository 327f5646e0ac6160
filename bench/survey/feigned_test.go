package survey

import (
	"strings"
	"testing"
)

// On random lines a wrong reading that nothing shows moves a point that stands still. It
// is told as one or the other: 100 surveys with two readings wrong by 10 mm, where
// before ten named a sound point.
func TestAWrongReadingFeignsNoMovement(t *testing.T) {
	named, either := 0, 0
	for seed := range 60 {
		s := drawing{points: 24, lines: 100, heights: 2, wrong: 2, moveMm: 12, scatterMm: 1, nominal: true}.draw(uint64(seed + 500))
		r := examine(t, s.c)
		for _, m := range r.Moved {
			if m.ID != s.moved {
				named++
			}
		}
		if strings.Contains(strings.Join(r.Notes, " "), "Either ") {
			either++
		}
	}
	if named > 3 || either == 0 {
		t.Errorf("%d sound points named, %d told as either", named, either)
	}
}
