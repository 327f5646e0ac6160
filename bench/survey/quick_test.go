package survey

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// corners of an invented body in plan, y to the left: front, middle, rear.
type body map[string][2]float64

func straight() body {
	return body{
		"FL": {2000, 450}, "FR": {2000, -450}, "ML": {900, 610}, "MR": {900, -610}, "RL": {-700, 520}, "RR": {-700, -520},
	}
}

var quickEnds = map[QuickLine][2]string{
	DiagonalFromLeft: {"FL", "RR"}, DiagonalFromRight: {"FR", "RL"}, CrossFront: {"FL", "FR"}, CrossMiddle: {"ML", "MR"},
	CrossRear: {"RL", "RR"}, SideLeft: {"FL", "RL"}, SideRight: {"FR", "RR"},
}

// quickOf reads each line of the body so many times, with chance if there is any.
func quickOf(b body, times int, sides bool, chance *rand.Rand) QuickCase {
	var c QuickCase
	for _, l := range QuickLines {
		if !sides && (l == SideLeft || l == SideRight) {
			continue
		}
		for range times {
			p, q := b[quickEnds[l][0]], b[quickEnds[l][1]]
			mm := math.Hypot(p[0]-q[0], p[1]-q[1])
			if chance != nil {
				mm += chance.NormFloat64()
			}
			c.Readings = append(c.Readings, QuickReading{Line: l, Mm: mm})
		}
	}
	return c
}

func quickly(t testing.TB, c QuickCase) QuickResult {
	t.Helper()
	r, err := ExamineQuick(c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestQuickVerdicts(t *testing.T) {
	for _, test := range []struct {
		name    string
		move    string
		by      [2]float64
		sides   bool
		times   int
		verdict string
		says    string
	}{
		{"straight", "FL", [2]float64{}, true, 2, Pass, ""},
		{"straight, no sides", "FL", [2]float64{}, false, 2, Pass, ""},
		{"front left back", "FL", [2]float64{-15, 0}, true, 2, Fail, "the front left corner has gone back or the front right one forward"},
		{"front right back", "FR", [2]float64{-15, 0}, true, 1, Fail, "the front right corner has gone back or the front left one forward"},
		{"rear left forward", "RL", [2]float64{15, 0}, true, 2, Fail, "the rear left corner has gone forward or the rear right one back"},
		{"front left out", "FL", [2]float64{0, 20}, true, 2, Fail, "or a corner has gone in or out"},
		{"no sides", "FL", [2]float64{-15, 0}, false, 2, Fail, "measure both sides to tell which"},
		{"no sides, read once", "FL", [2]float64{-15, 0}, false, 1, CannotTell, "measure both sides to tell which"},
		{"at the edge", "FL", [2]float64{-3.4, 0}, true, 2, CannotTell, ""},
		{"only the middle", "ML", [2]float64{0, 30}, true, 2, Pass, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := straight()
			b[test.move] = [2]float64{b[test.move][0] + test.by[0], b[test.move][1] + test.by[1]}
			r := quickly(t, quickOf(b, test.times, test.sides, nil))
			if r.Verdict != test.verdict || !strings.Contains(strings.Join(r.Notes, " "), test.says) {
				t.Errorf("%s: %s %q", r.Verdict, r.Why, r.Notes)
			}
			if len(r.CannotSee) < 4 || len(r.Cautions) == 0 || (len(r.CannotSee) == 5) == test.sides {
				t.Errorf("cannot see %q", r.CannotSee)
			}
		})
	}
}

// The front gone sideways by 20 mm: the sides agree, and the amount and the way
// are told.
func TestQuickSidewaysFront(t *testing.T) {
	b := straight()
	for _, p := range []string{"FL", "FR"} {
		b[p] = [2]float64{b[p][0], b[p][1] - 20}
	}
	r := quickly(t, quickOf(b, 2, false, nil))
	if !strings.Contains(r.Notes[0], "stands 20 mm to the right of the rear") {
		t.Errorf("%q", r.Notes)
	}
}

// A front gone straight back does not show, unless the maker's figures are there.
func TestQuickSeesAlikeDamageByTheMakersFigures(t *testing.T) {
	b := straight()
	maker := quickOf(b, 1, true, nil)
	for _, p := range []string{"FL", "FR"} {
		b[p] = [2]float64{b[p][0] - 25, b[p][1]}
	}
	c := quickOf(b, 2, true, nil)
	if r := quickly(t, c); r.Verdict != Pass || !strings.Contains(strings.Join(r.CannotSee, " "), "alike on both sides") {
		t.Errorf("%s %q", r.Verdict, r.CannotSee)
	}
	for k := range c.Readings {
		c.Readings[k].MakerMm = maker.Readings[k/2].Mm
	}
	r := quickly(t, c)
	if r.Verdict != Fail || strings.Contains(strings.Join(r.CannotSee, " "), "alike on both sides") || len(r.Checks) != 9 {
		t.Errorf("%s: %s %q", r.Verdict, r.Why, r.CannotSee)
	}
}

// Six lengths of a square have 1 to spare, and a diagonal shows half of its
// error (redundancy 1/4, by hand): 8 mm are 4 doubts.
func TestQuickFindsAMisreadLine(t *testing.T) {
	square := body{"FL": {1000, 500}, "FR": {1000, -500}, "ML": {500, 500}, "MR": {500, -500}, "RL": {0, 500}, "RR": {0, -500}}
	c := quickOf(square, 1, true, nil)
	for k := range c.Readings {
		if c.Readings[k].Line == DiagonalFromLeft {
			c.Readings[k].Mm += 8
		}
	}
	r := quickly(t, c)
	if got := r.Working[0].Value; math.Abs(got-4) > 0.02 {
		t.Errorf("misfit %v, want 4", got)
	}
	if r.Verdict != CannotTell || !strings.Contains(r.Why, "do not make one shape") {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
}

// A straight body hardly ever fails, a corner 12 mm out always does not pass:
// the bounds are those of the stated risks.
func TestQuickRisks(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 9))
	const draws = 2000
	failed, passed := 0, 0
	for range draws {
		if drawnVerdict(straight(), true, chance) == Fail {
			failed++
		}
		b := straight()
		b["FL"] = [2]float64{2000 - 12, 450}
		if drawnVerdict(b, true, chance) == Pass {
			passed++
		}
	}
	if failed > draws/20 || passed > draws/20 {
		t.Errorf("of %d, %d straight ones failed and %d bent ones passed", draws, failed, passed)
	}
	// At the edge of the tolerance the stated risk of a false pass is 5 %.
	passed = 0
	for range draws {
		b := straight()
		b["FL"], b["FR"] = edge(b)
		if drawnVerdict(b, false, chance) == Pass {
			passed++
		}
	}
	if passed > draws*6/100 {
		t.Errorf("of %d at the edge %d passed", draws, passed)
	}
}

// drawnVerdict reads each line twice with chance, and again where the two differ
// by more than is allowed.
func drawnVerdict(b body, sides bool, chance *rand.Rand) string {
	for {
		if r, err := ExamineQuick(quickOf(b, 2, sides, chance)); err == nil {
			return r.Verdict
		}
	}
}

// edge moves the front sideways until the diagonals differ by 3 mm.
func edge(b body) (fl, fr [2]float64) {
	low, high := 0.0, 50.0
	for range 60 {
		s := (low + high) / 2
		fl, fr = [2]float64{2000, 450 + s}, [2]float64{2000, -450 + s}
		d := math.Hypot(fl[0]-b["RR"][0], fl[1]-b["RR"][1]) - math.Hypot(fr[0]-b["RL"][0], fr[1]-b["RL"][1])
		if d < 3 {
			low = s
		} else {
			high = s
		}
	}
	return fl, fr
}

func TestQuickMistakes(t *testing.T) {
	good := func() QuickCase { return quickOf(straight(), 1, true, nil) }
	for _, test := range []struct {
		name string
		make func(*QuickCase)
		says string
	}{
		{"a cross missing", func(c *QuickCase) { c.Readings = c.Readings[1:] }, "across the front is not measured"},
		{"one side", func(c *QuickCase) { c.Readings = append(c.Readings[:3:3], c.Readings[4:]...) }, "one side is measured, the other is not"},
		{"strange line", func(c *QuickCase) { c.Readings[0].Line = "bumper" }, `"bumper" is no line of this check`},
		{"negative", func(c *QuickCase) { c.Readings[0].Mm = -1 }, "across the front: -1 mm"},
		{"nan", func(c *QuickCase) { c.Readings[0].Mm = math.NaN() }, "across the front: NaN mm"},
		{"maker", func(c *QuickCase) { c.Readings[0].MakerMm = -1 }, "across the front: -1 mm given by the maker"},
		{"repeats", func(c *QuickCase) { c.Readings = append(c.Readings, QuickReading{Line: CrossFront, Mm: 910}) }, "across the front: 910 mm here, 900 mm before"},
		{"triangle", func(c *QuickCase) { c.Readings[1].Mm = 4000 }, "front left to rear right is 4000 mm, longer than across the front and right side, front to rear together"},
		{"crosses", func(c *QuickCase) { c.Readings[1].Mm, c.Readings[2].Mm = 800, 800 }, "the diagonals are 800 + 800 mm, shorter than the crosses at both ends"},
		{"sd", func(c *QuickCase) { c.SDMm = -1 }, "sd -1 mm"},
		{"tolerance", func(c *QuickCase) { c.ToleranceMm = -1 }, "a tolerance of -1 mm"},
	} {
		c := good()
		test.make(&c)
		_, err := ExamineQuick(c)
		var wrong *InputError
		if !errors.As(err, &wrong) || !strings.HasPrefix(wrong.Problem, test.says) || wrong.Expected == "" {
			t.Errorf("%s: %v", test.name, err)
		}
	}
}

// The width of the middle is checked by no other line: read once it condemns
// nothing, read twice it does.
func TestQuickMiddleReadOnce(t *testing.T) {
	for times, want := range map[int]string{1: CannotTell, 2: Fail} {
		c := quickOf(straight(), times, true, nil)
		for k := range c.Readings {
			if c.Readings[k].Line == CrossMiddle {
				c.Readings[k].MakerMm = 1200
			}
		}
		if r := quickly(t, c); r.Verdict != want {
			t.Errorf("read %d times: %s: %s", times, r.Verdict, r.Why)
		}
	}
}
