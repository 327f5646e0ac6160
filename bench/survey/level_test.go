package survey

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"wreckwright/outside"
)

// recorded is what a script of testdata wrote: coordinates, and values by name.
func recorded(t testing.TB, name string) ([]Nominal, map[string]float64) {
	data := file(t, name)
	values := map[string]float64{}
	for line := range strings.Lines(string(data)) {
		fields := strings.Fields(line)
		if len(fields) != 3 || fields[0] != "#" {
			continue
		}
		v, err := strconv.ParseFloat(fields[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		values[fields[1]] = v
	}
	return must[Nominal](t)(ReadNominal(data)), values
}

// The car with differences of height levelled between its points, no height over
// a plane: the whole list of coordinates against testdata/level.py.
func TestLevelledDifferencesAgainstScipy(t *testing.T) {
	c := car(t, false)
	c.Levels = must[Level](t)(ReadLevels(file(t, "car1_levels.csv")))
	r := examine(t, c)
	holdsTheTruth(t, r)
	points, values := recorded(t, "car1_levels_scipy.csv")
	cases := []outside.Case{
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "levelled, sigma0", Got: r.Sigma0, Want: values["sigma0"], Tolerance: 1e-9, Why: "both solvers stop at their rounding"},
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "levelled, sum of squares", Got: r.Chi2.Value, Want: values["squares"], Tolerance: 1e-7, Why: "both solvers stop at their rounding"},
	}
	if len(points) != 24 || r.Defect != int(values["defect"]) {
		t.Fatalf("%d points recorded, defect %d against %g", len(points), r.Defect, values["defect"])
	}
	for i, want := range points {
		p := r.Points[i]
		for k, got := range []float64{p.X, p.Y, *p.Z} {
			cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "levelled, " + p.ID + " " + "xyz"[k:k+1], Got: got, Want: []float64{want.X, want.Y, want.Z}[k], Tolerance: 1e-6, Why: "both solvers stop at their rounding"})
		}
	}
	outside.Check(t, cases)
}

// A level read the wrong way about is found and said which way it is wrong.
func TestALevelTheWrongWayAbout(t *testing.T) {
	c := car(t, false)
	c.Levels = must[Level](t)(ReadLevels(file(t, "car1_levels.csv")))
	var want float64
	for k, l := range c.Levels {
		if l.From == "L03" && l.To == "L04" {
			c.Levels[k].Mm = -l.Mm
			want = -2 * l.Mm
		}
	}
	r := examine(t, c)
	for _, b := range r.Blunders {
		if b.Kind == "level" {
			if b.From != "L03" || b.To != "L04" || math.Abs(b.ByMm-want) > 4*b.SDMm {
				t.Errorf("%+v, want L03 to L04 by %g", b, want)
			}
			return
		}
	}
	t.Errorf("no level among %+v", r.Blunders)
}

// Without nominal points the levels give the start as well: the same shape.
func TestLevelsWithoutNominalPoints(t *testing.T) {
	c := car(t, false)
	c.Levels = must[Level](t)(ReadLevels(file(t, "car1_levels.csv")))
	c.Nominal = nil
	r := examine(t, c)
	_, values := recorded(t, "car1_levels_scipy.csv")
	if math.Abs(r.Chi2.Value-values["squares"]) > 1e-6 || r.Against != AgainstMirror {
		t.Errorf("sum of squares %v, want %v; against %s", r.Chi2.Value, values["squares"], r.Against)
	}
	holdsTheTruth(t, r)
}

// Heights to start from: a chain hangs on a point that was read; another hangs
// on nothing and lies as its surroundings do.
func TestHeightsToStartFrom(t *testing.T) {
	n := &network{ids: make([]string, 6), dims: 3, readings: []reading{
		{kind: height, from: 0, to: -1, mm: 500},
		{kind: height, from: 0, to: -1, mm: 502},
		{kind: level, from: 0, to: 1, mm: 10},
		{kind: level, from: 2, to: 1, mm: -5},
		{kind: level, from: 3, to: 4, mm: 40},
	}}
	got := n.givenHeights([]float64{101, 111, 116, 80, 120, 90})
	for i, want := range []float64{501, 511, 516, 480, 520, 490} {
		if math.Abs(got[i]-want) > 1e-9 {
			t.Errorf("point %d at %g, want %g", i, got[i], want)
		}
	}
	if n.readings = nil; n.givenHeights(nil) != nil {
		t.Error("heights out of nothing")
	}
}
