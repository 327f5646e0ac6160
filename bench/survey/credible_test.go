package survey

import "testing"

// Distances alone and nominal points, no point moved: none is called so, and none
// fails.
func TestNoDamageIsInventedByDistancesAlone(t *testing.T) {
	for _, test := range []struct {
		drawing
		surveys, most int
	}{
		{drawing{points: 24, lines: 100, nominal: true, scatterMm: 0.6}, 25, 1},
		{drawing{points: 16, lines: 60, nominal: true, scatterMm: 0.6}, 25, 1},
	} {
		named := 0
		for seed := range test.surveys {
			s := test.draw(uint64(seed))
			r := examine(t, s.c)
			if len(r.Moved) > 0 || r.Verdict == Fail {
				named++
				t.Logf("%d points, seed %d: %s: %s %v", test.points, seed, r.Verdict, r.Why, r.Notes)
			}
		}
		if named > test.most {
			t.Errorf("%d points: %d of %d", test.points, named, test.surveys)
		}
	}
}

// A movement along what distances do fix is still named.
func TestAMovementIsNamedByDistancesAlone(t *testing.T) {
	named := 0
	for seed := range 20 {
		s := drawing{points: 24, lines: 140, nominal: true, scatterMm: 0.6, moveMm: 25}.draw(uint64(seed))
		for _, m := range examine(t, s.c).Moved {
			if m.ID == s.moved {
				named++
			}
		}
	}
	t.Logf("%d of 20", named)
	if named < 14 {
		t.Errorf("%d of 20 named", named)
	}
}

// Two readings wrong and one point moved: another point is hardly ever named.
func TestASoundPointIsHardlyNamedByDistancesAlone(t *testing.T) {
	falsely := 0
	for seed := range 40 {
		s := drawing{points: 24, lines: 100, wrong: 2, moveMm: 12, scatterMm: 1, nominal: true}.draw(uint64(seed + 500))
		for _, m := range examine(t, s.c).Moved {
			if m.ID != s.moved {
				falsely++
			}
		}
	}
	if falsely > 4 {
		t.Errorf("%d of 40", falsely)
	}
}

// Words name no direction that the readings do not fix.
func TestWordsRestOnWhatIsFixed(t *testing.T) {
	m := Moved{ID: "R4", DX: -14, DY: 13, DZ: 12, Where: "front-right", sure: [3]bool{true, true, false}}
	if got := groups([]Moved{m}); len(got) != 1 || got[0] != "R4 (front-right) has gone back 14 and in 13 mm." {
		t.Errorf("%q", got)
	}
	m.sure = [3]bool{}
	if got := groups([]Moved{m}); len(got) != 1 || got[0] != "R4 (front-right) has moved; which way, the readings do not fix." {
		t.Errorf("%q", got)
	}
}
