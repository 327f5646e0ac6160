package survey

import "testing"

// A flat survey stays in plan: a plan stuck in the wrong minimum is no reason for
// heights.
func TestAFlatSurveyStaysInPlan(t *testing.T) {
	for _, lines := range []int{32, 40} {
		space, wrong := 0, 0
		for seed := range 40 {
			s := drawing{points: 12, lines: lines, flat: true, pairs: true}.draw(uint64(seed))
			r := examine(t, s.c)
			if r.Dimensions == 3 {
				space++
			} else if s.off(r) > 25 {
				wrong++
			}
		}
		if space > 0 || wrong > 1 {
			t.Errorf("%d lines: %d of 40 in space, %d wrong", lines, space, wrong)
		}
	}
}
