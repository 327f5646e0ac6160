package survey

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wreckwright/outside"
)

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// must is for lists that are known to be good.
func must[T any](t testing.TB) func([]T, error) []T {
	return func(list []T, err error) []T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
}

func car(t testing.TB, heights bool) Case {
	c := Case{
		Distances: must[Distance](t)(ReadDistances(file(t, "car1_dist.csv"))),
		Nominal:   must[Nominal](t)(ReadNominal(file(t, "car1_nominal.csv"))),
		Pairs:     must[Pair](t)(ReadPairs(file(t, "car1_pairs.csv"))),
	}
	if heights {
		c.Heights = must[Height](t)(ReadHeights(file(t, "car1_heights.csv")))
	}
	return c
}

func examine(t testing.TB, c Case) Result {
	t.Helper()
	r, err := Examine(c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// wrongNames are the readings taken out, in order of the file.
func wrongNames(r Result) (list []string) {
	for _, b := range r.Blunders {
		list = append(list, b.From+"-"+b.To)
	}
	return list
}

func TestTheCarWithHeights(t *testing.T) {
	r := examine(t, car(t, true))
	outside.Check(t, []outside.Case{
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "car with heights, sum of squares", Got: r.Chi2.Value, Want: 52.2381, Tolerance: 1e-4, Why: "printed to 4 decimals"},
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "car with heights, sigma0", Got: r.Sigma0, Want: 0.92540, Tolerance: 1e-5, Why: "printed to 5 decimals"},
		{Source: "SCIPY_1_10", Where: "stats.chi2", What: "lower bound at 61", Got: r.Chi2.Low, Want: 41.303, Tolerance: 1e-3, Why: "printed to 3 decimals"},
	})
	if r.Chi2.DoF != 61 || r.Defect != 3 || r.Dimensions != 3 {
		t.Errorf("dof %d, defect %d, dimensions %d; want 61, 3, 3", r.Chi2.DoF, r.Defect, r.Dimensions)
	}
	holdsTheTruth(t, r)
	m := r.Moved[0]
	for k, want := range []float64{6.383, -8.922, 4.153} {
		if got := []float64{m.DX, m.DY, m.DZ}[k]; math.Abs(got-want) > 1e-3 {
			t.Errorf("displacement %d is %.4f, want %.3f", k, got, want)
		}
	}
	if r.Verdict != Fail || !strings.Contains(r.Why, "L01 (front-left) has gone forward 6, in 9 and up 4 mm") {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
}

// holdsTheTruth: the two readings that were falsified and the one point that was
// moved, and no others.
func holdsTheTruth(t *testing.T, r Result) {
	t.Helper()
	if got := wrongNames(r); !slices.Equal(got, []string{"L06-R07", "R09-R11"}) {
		t.Errorf("wrong readings %v", got)
	}
	if len(r.Moved) != 1 || !strings.HasPrefix(r.Moved[0].ID, "L01") {
		t.Fatalf("moved %+v", r.Moved)
	}
}

// Without heights the search throws out R10-R11, which is good, and has to take
// it back; heights are told as not fixed.
func TestTheCarByDistancesAlone(t *testing.T) {
	r := examine(t, car(t, false))
	outside.Check(t, []outside.Case{{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "car, distances only, sum of squares", Got: r.Chi2.Value, Want: 32.3186, Tolerance: 1e-4, Why: "printed to 4 decimals"}})
	holdsTheTruth(t, r)
	if len(r.Weak) != 24 || r.Weak[0].Direction != "in height" || r.Weak[0].SDThenMm > 2 || !strings.HasPrefix(r.Weak[0].Measure[0], "height of") {
		t.Errorf("weak: %d, first %+v", len(r.Weak), r.Weak[0])
	}
	for _, c := range r.Compared {
		if c.Verdict == Pass {
			t.Errorf("%s passes though no height is known", c.ID)
		}
	}
}

// Marks on the floor, which are not in the nominal list, in place of heights.
func TestTheCarOverFloorMarks(t *testing.T) {
	r := examine(t, Case{
		Distances: must[Distance](t)(ReadDistances(file(t, "car1floor_dist.csv"))),
		Nominal:   must[Nominal](t)(ReadNominal(file(t, "car1floor_nominal.csv"))),
	})
	outside.Check(t, []outside.Case{{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "car over floor marks, sum of squares", Got: r.Chi2.Value, Want: 83.7852, Tolerance: 1e-4, Why: "printed to 4 decimals"}})
	holdsTheTruth(t, r)
}

// Without nominal points, starting from the distances alone.
func TestTheCarAgainstItsMirror(t *testing.T) {
	c := car(t, true)
	c.Nominal = nil
	r := examine(t, c)
	if math.Abs(r.Chi2.Value-52.2381) > 1e-4 {
		t.Errorf("sum of squares %v from distances alone", r.Chi2.Value)
	}
	holdsTheTruth(t, r)
	for k, want := range []float64{6.69, -8.87, 3.07} {
		if got := []float64{r.Moved[0].DX, r.Moved[0].DY, r.Moved[0].DZ}[k]; math.Abs(got-want) > 0.006 {
			t.Errorf("asymmetry %d is %.3f, want %.2f", k, got, want)
		}
	}
	if r.Against != AgainstMirror || r.Verdict == Pass {
		t.Errorf("%s, %s", r.Against, r.Verdict)
	}
}

// One height misread by 20 mm looks like a point that moved: it is named, with
// the warning, and condemns nothing.
func TestAMisreadHeightCondemnsNoPoint(t *testing.T) {
	c := car(t, true)
	for k := range c.Heights {
		if c.Heights[k].Point == "R05" {
			c.Heights[k].Mm += 20
		}
	}
	r := examine(t, c)
	for _, p := range r.Compared {
		if p.ID == "R05" && p.Verdict != CannotTell {
			t.Errorf("R05: %s", p.Verdict)
		}
	}
	if !strings.Contains(strings.Join(r.Notes, " "), "Nothing checks the height of L01, R05:") {
		t.Errorf("notes %q", r.Notes)
	}
}

// Neither heights nor nominal points: no verdict, and it says what to read.
func TestDistancesAndPairsAloneGiveNoVerdict(t *testing.T) {
	c := car(t, false)
	c.Nominal = nil
	r := examine(t, c)
	if r.Dimensions != 3 || r.Verdict != CannotTell || !strings.Contains(r.Why+strings.Join(r.Notes, " "), "height of every point") {
		t.Errorf("%d dimensions, %s: %s %q", r.Dimensions, r.Verdict, r.Why, r.Notes)
	}
}

// Three points of a corner moved alike are told as the corner.
func TestACornerIsTold(t *testing.T) {
	c := car(t, false)
	place := map[string][]float64{}
	for _, p := range c.Nominal {
		x := []float64{p.X, p.Y, p.Z}
		if slices.Contains([]string{"L01", "L02", "L03"}, p.Point) {
			x[0], x[1] = x[0]-9, x[1]-6
		}
		place[p.Point] = x
		for range 2 {
			c.Heights = append(c.Heights, Height{Point: p.Point, Mm: p.Z + 400})
		}
	}
	for k, d := range c.Distances {
		c.Distances[k].Mm = rms(place[d.From], place[d.To], 3)
	}
	r := examine(t, c)
	if len(r.Groups) != 1 || !strings.HasPrefix(r.Groups[0], "The front-left corner (") || !strings.HasSuffix(r.Groups[0], "has gone back 9 and in 6 mm.") || r.Verdict != Fail {
		t.Errorf("%s %q", r.Verdict, r.Groups)
	}
}
