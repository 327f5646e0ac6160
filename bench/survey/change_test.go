package survey

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"wreckwright/outside"
)

// pulled is the second survey of testdata/two.py.
func pulled(t testing.TB) Case {
	c := car(t, false)
	c.Distances = must[Distance](t)(ReadDistances(file(t, "car1_after_dist.csv")))
	c.Heights = must[Height](t)(ReadHeights(file(t, "car1_after_heights.csv")))
	return c
}

func compared(t testing.TB, before, after Case) Change {
	t.Helper()
	r, err := Compare(before, after)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func movedNames(list []Moved) []string {
	ids := ofMoved(list)
	slices.Sort(ids)
	return ids
}

// What moved between the two, with its doubt and the congruence, against
// testdata/two.py.
func TestBeforeAndAfterAgainstScipy(t *testing.T) {
	r := compared(t, car(t, true), pulled(t))
	if got := movedNames(r.Moved); !slices.Equal(got, []string{"L01", "R06"}) {
		t.Fatalf("moved %v", got)
	}
	points, values := recorded(t, "car1_two_scipy.csv")
	cases := []outside.Case{
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "congruence of all", Got: r.Congruence.Before.Value, Want: values["before"], Tolerance: 1e-3, Why: "the frame is laid on by another way; second order of 9 mm over 4 m"},
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "congruence of those that stand still", Got: r.Congruence.After.Value, Want: values["after"], Tolerance: 1e-3, Why: "as above"},
	}
	if len(points) != 24 || len(r.Points) != 24 {
		t.Fatalf("%d points recorded, %d compared", len(points), len(r.Points))
	}
	for i, want := range points {
		for k, w := range []float64{want.X, want.Y, want.Z} {
			cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "moved between, " + r.Points[i].ID + " " + "xyz"[k:k+1], Got: r.Points[i].D[k], Want: w, Tolerance: 1e-5, Why: "as above"})
		}
		if want.Point == "R06" {
			for k, axis := range []string{"x", "y", "z"} {
				cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "doubt of R06 in " + axis, Got: r.Points[i].SD[k], Want: values["sd_"+axis+"_of_R06"], Tolerance: 1e-4, Why: "as above"})
			}
		}
	}
	outside.Check(t, cases)
	if r.Congruence.After.DoF != 60 {
		t.Errorf("%+v", r.Congruence)
	}
}

// The words: what the pull did, what is still out, how far that was out before.
func TestAfterThePull(t *testing.T) {
	r := compared(t, car(t, true), pulled(t))
	if !strings.Contains(r.Why, "L01 (front-left) has gone back 4, out 7 and down 5 mm") || !strings.Contains(r.Why, "R06 (front-right) has gone out 4 and down 9 mm") {
		t.Errorf("%s", r.Why)
	}
	var r06 *StillOut
	for k, s := range r.StillOut {
		if s.ID == "R06" {
			r06 = &r.StillOut[k]
		}
	}
	if r06 == nil || len(r06.BeforeMm) != 3 || math.Abs(r06.AfterMm[2]-r06.BeforeMm[2]+9) > 3*math.Hypot(1.5, r06.SDMm[2]) || r.Verdict == Pass {
		t.Errorf("%s, still out %+v", r.Verdict, r.StillOut)
	}
}

// Without nominal points and heights over a plane twice, a mirrored second survey
// is turned round; only the after survey with nominal points gives its axes.
func TestTwoSurveysInAnyFrame(t *testing.T) {
	plain := func(c Case) Case {
		c.Nominal, c.Pairs = nil, nil
		return c
	}
	for name, r := range map[string]Change{
		"no nominal":       compared(t, plain(car(t, true)), plain(pulled(t))),
		"nominal after":    compared(t, plain(car(t, true)), pulled(t)),
		"nominal before":   compared(t, car(t, true), plain(pulled(t))),
		"distances shared": compared(t, car(t, true), pulled(t)),
	} {
		if got := movedNames(r.Moved); !slices.Equal(got, []string{"L01", "R06"}) {
			t.Errorf("%s: moved %v", name, got)
			continue
		}
		for _, m := range r.Moved {
			if m.ID == "R06" && (math.Abs(m.SizeMm-9.4) > 1 || math.Abs(m.DZ+8.6) > 1) {
				t.Errorf("%s: %+v", name, m)
			}
			if (name == "no nominal") != (m.Where == "") {
				t.Errorf("%s: %+v", name, m)
			}
		}
	}
}

// The same survey twice, and what cannot be compared.
func TestNothingMovedAndNothingToCompare(t *testing.T) {
	same := compared(t, car(t, true), car(t, true))
	if len(same.Moved) != 0 || !strings.Contains(same.Why, "nothing is seen to have moved") || same.Congruence.Before.Value > 1e-6 {
		t.Errorf("%s %+v", same.Why, same.Congruence)
	}
	alone := car(t, false)
	alone.Nominal = nil
	if r := compared(t, alone, car(t, true)); !strings.Contains(r.Why, "cannot be told") || len(r.Points) != 0 {
		t.Errorf("%s", r.Why)
	}
	other := car(t, true)
	rename := func(id *string) { *id = "X" + *id }
	for k := range other.Distances {
		rename(&other.Distances[k].From)
		rename(&other.Distances[k].To)
	}
	for k := range other.Heights {
		rename(&other.Heights[k].Point)
	}
	other.Nominal, other.Pairs = nil, nil
	r := compared(t, car(t, true), other)
	if !strings.Contains(r.Why, "only 0 points in both surveys") || len(r.OnlyBefore) != 24 || len(r.OnlyAfter) != 24 {
		t.Errorf("%s", r.Why)
	}
	_, err := Compare(car(t, true), Case{})
	var part *PartError
	var wrong *InputError
	if !errors.As(err, &part) || part.Part != PartAfter || !errors.As(err, &wrong) || wrong.Input != InDistances {
		t.Errorf("%v", err)
	}
}

// twice draws two surveys of one body, a point moved by so much between them.
func twice(base Case, by float64, chance *rand.Rand) (before, after Case, moved string) {
	place := map[string][3]float64{}
	for _, p := range base.Nominal {
		place[p.Point] = [3]float64{p.X + chance.NormFloat64(), p.Y + chance.NormFloat64(), p.Z + chance.NormFloat64()}
	}
	read := func() Case {
		c := Case{Nominal: base.Nominal}
		for _, d := range base.Distances {
			a, b := place[d.From], place[d.To]
			d.Mm = rms(a[:], b[:], 3) + chance.NormFloat64()
			c.Distances = append(c.Distances, d)
		}
		for _, p := range base.Nominal {
			for range 2 {
				c.Heights = append(c.Heights, Height{Point: p.Point, Mm: place[p.Point][2] + 400 + 1.5*chance.NormFloat64()})
			}
		}
		return c
	}
	before = read()
	moved = base.Nominal[chance.IntN(len(base.Nominal))].Point
	v := [3]float64{chance.NormFloat64(), chance.NormFloat64(), chance.NormFloat64()}
	x, length := place[moved], math.Sqrt(dot(v[:], v[:]))
	for k := range x {
		x[k] += by * v[k] / length
	}
	place[moved] = x
	return before, read(), moved
}

// changes counts over drawn pairs of surveys how often the moved point was named
// and how often another was.
func changes(t testing.TB, surveys int, by float64) (named, falsely int) {
	base, chance := car(t, false), rand.New(rand.NewPCG(57, 2))
	for range surveys {
		before, after, moved := twice(base, by, chance)
		r, err := Compare(before, after)
		if err != nil {
			surveys--
			continue
		}
		other := false
		for _, m := range r.Moved {
			if m.ID == moved && by > 0 {
				named++
			} else {
				other = true
			}
		}
		if other {
			falsely++
		}
	}
	return named, falsely
}

// Forty pairs of surveys refute a risk of 1 % (false) and 95 % named at 12 mm only
// where they fall short by more than chance does once in a thousand.
func TestFewSimulatedChanges(t *testing.T) {
	named, falsely := changes(t, 40, 12)
	if named < 33 || falsely > 4 {
		t.Errorf("of 40, %d named, %d with another", named, falsely)
	}
	if _, falsely = changes(t, 40, 0); falsely > 4 {
		t.Errorf("of 40 unchanged, %d with a moved point", falsely)
	}
}

// BenchmarkChange reports over 300 pairs of surveys the shares named and falsely
// named, with 12 mm and with nothing moved.
func BenchmarkChange(b *testing.B) {
	for b.Loop() {
		named, falsely := changes(b, 300, 12)
		_, still := changes(b, 300, 0)
		b.ReportMetric(float64(named)/300, "named")
		b.ReportMetric(float64(falsely)/300, "falsely")
		b.ReportMetric(float64(still)/300, "unmoved-falsely")
	}
}
