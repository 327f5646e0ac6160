package survey

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// square is four points with all six distances.
const square = "from,to,mm,sd\nA,B,1000,1\nB,C,1000,1\nC,D,1000,1\nD,A,1000,1\nA,C,1414.2,1\nB,D,1414.2,1\n"

func TestMistakesNameTheirLine(t *testing.T) {
	for _, test := range []struct {
		name                                       string
		distances, heights, levels, nominal, pairs string
		in                                         Input
		row                                        int
		says                                       string
	}{
		{name: "empty", distances: "", in: InDistances, says: "the file is empty"},
		{name: "header", distances: "a,b\n", in: InDistances, row: 1, says: `the first line is "a,b"`},
		{name: "no lines", distances: "from,to,mm\n", in: InDistances, says: "there are no distances"},
		{name: "number", distances: square + "A,B,12x\n", in: InDistances, row: 8, says: `"12x" is no number`},
		{name: "nan", distances: square + "A,B,NaN\n", in: InDistances, row: 8, says: `"NaN" is no number`},
		{name: "missing value", distances: square + "A,B\n", in: InDistances, row: 8, says: `"" is no number`},
		{name: "too many", distances: square + "A,B,1,1,1\n", in: InDistances, row: 8, says: "5 values under 4 headings"},
		{name: "no name", distances: square + ",B,1\n", in: InDistances, row: 8, says: "the name of a point is missing"},
		{name: "sd", distances: square + "A,B,1000,0\n", in: InDistances, row: 8, says: "sd 0"},
		{name: "itself", distances: square + "A,A,5\n", in: InDistances, row: 8, says: "A to itself"},
		{name: "negative", distances: square + "A,B,-5\n", in: InDistances, row: 8, says: "A to B: -5 mm"},
		{name: "repeats", distances: square + "B,A,1010\n", in: InDistances, row: 8, says: "B to A: 1010 mm here, 1000 mm on line 2"},
		{name: "few", distances: square + "A,E,500\nB,E,900\n", in: InDistances, row: 8, says: "E has distances to 2 points only"},
		{name: "triangle", distances: strings.Replace(square, "A,C,1414.2", "A,C,2414.2", 1), in: InDistances, row: 6, says: "A to C is 2414.2 mm, longer than by way of B: 1000 + 1000 mm (lines 2 and 3)"},
		{name: "apart", distances: square + "E,F,1000\nF,G,1000\nG,H,1000\nH,E,1000\nE,G,1414\nF,H,1414\n", in: InDistances, row: 8, says: "no chain of distances leads from A to E"},
		{name: "line", distances: "from,to,mm\nA,B,100\nA,C,200\nA,D,300\nB,C,100\nB,D,200\nC,D,100\n", in: InDistances, says: "all points lie in one line"},
		{name: "height of nobody", distances: square, heights: "point,mm\nX,100\n", in: InHeights, row: 2, says: "X is in no distance"},
		{name: "heights apart", distances: square, heights: "point,mm\nA,100\nA,120\n", in: InHeights, row: 3, says: "A: 120 mm here, 100 mm on line 2"},
		{name: "level of nobody", distances: square, levels: "from,to,mm\nA,X,100\n", in: InLevels, row: 2, says: "X is in no distance"},
		{name: "level of itself", distances: square, levels: "from,to,mm\nA,A,100\n", in: InLevels, row: 2, says: "A to itself"},
		{name: "levels apart", distances: square, levels: "from,to,mm\nA,B,100\nB,A,100\n", in: InLevels, row: 3, says: "A over B: 100 mm here, -100 mm on line 2"},
		{name: "level without a number", distances: square, levels: "from,to,mm\nA,B,\n", in: InLevels, row: 2, says: `"" is no number`},
		{name: "nominal twice", distances: square, nominal: "point,x,y,z\nA,0,0,0\nA,0,0,0\n", in: InNominal, row: 3, says: "A stands on line 2 already"},
		{name: "nominal of others", distances: square, nominal: "point,x,y,z\nX,0,0,0\nA,0,0,0\n", in: InNominal, says: "1 point of the list measured"},
		{name: "pair of nobody", distances: square, pairs: "left,right\nA,X\n", in: InPairs, row: 2, says: "X is in no distance"},
		{name: "pair twice", distances: square, pairs: "left,right\nA,B\nA,C\n", in: InPairs, row: 3, says: "A is in the pair of line 2 already"},
		{name: "pair of itself", distances: square, pairs: "left,right\nA,A\n", in: InPairs, row: 2, says: "A mirrors itself"},
		{name: "few pairs", distances: square, pairs: "left,right\nA,B\nC,D\n", in: InPairs, says: "2 of at least 3 pairs"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := examineText(test.distances, test.heights, test.levels, test.nominal, test.pairs)
			var wrong *InputError
			if !errors.As(err, &wrong) {
				t.Fatalf("%v", err)
			}
			if wrong.Input != test.in || wrong.Row != test.row || wrong.Problem != test.says && !strings.HasPrefix(wrong.Problem, test.says) || wrong.Expected == "" {
				t.Errorf("%s line %d: %s; expected %s", wrong.Input, wrong.Row, wrong.Problem, wrong.Expected)
			}
		})
	}
}

// examineText works out lists as they stand in files; empty ones are not given.
func examineText(distances, heights, levels, nominal, pairs string) (Result, error) {
	var c Case
	var err error
	if c.Distances, err = ReadDistances([]byte(distances)); err != nil {
		return Result{}, err
	}
	if heights != "" {
		if c.Heights, err = ReadHeights([]byte(heights)); err != nil {
			return Result{}, err
		}
	}
	if levels != "" {
		if c.Levels, err = ReadLevels([]byte(levels)); err != nil {
			return Result{}, err
		}
	}
	if nominal != "" {
		if c.Nominal, err = ReadNominal([]byte(nominal)); err != nil {
			return Result{}, err
		}
	}
	if pairs != "" {
		if c.Pairs, err = ReadPairs([]byte(pairs)); err != nil {
			return Result{}, err
		}
	}
	return Examine(c)
}

// A square in plan: no z, and one wrong diagonal cannot be told from the rest.
func TestASquareHasNoHeights(t *testing.T) {
	r, err := examineText(square, "", "", "", "")
	if err != nil {
		t.Fatal(err)
	}
	if r.Dimensions != 2 || r.Points[0].Z != nil || r.Chi2.DoF != 1 || r.Verdict != CannotTell {
		t.Errorf("%d dimensions, %d to spare, %s", r.Dimensions, r.Chi2.DoF, r.Verdict)
	}
	r, err = examineText(strings.Replace(square, "A,C,1414.2", "A,C,1444.2", 1), "", "", "", "")
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Blunders) != 0 || len(r.Suspects) != 1 || len(r.Suspects[0].Readings) != 6 {
		t.Errorf("blunders %+v, suspects %+v", r.Blunders, r.Suspects)
	}
}

// A car whose points all lie at one height, without heights read.
func TestAFlatCarHasNoHeights(t *testing.T) {
	c := car(t, false)
	place := map[string]Nominal{}
	for k := range c.Nominal {
		c.Nominal[k].Z = 200
		place[c.Nominal[k].Point] = c.Nominal[k]
	}
	for k, d := range c.Distances {
		a, b := place[d.From], place[d.To]
		c.Distances[k].Mm = rms([]float64{a.X, a.Y}, []float64{b.X, b.Y}, 2)
	}
	r := examine(t, c)
	if r.Dimensions != 2 || r.Points[0].Z != nil || len(r.Moved) != 0 || len(r.Blunders) != 0 || r.Verdict != Pass {
		t.Errorf("%d dimensions, moved %v, wrong %v, %s: %s", r.Dimensions, r.Moved, r.Blunders, r.Verdict, r.Why)
	}
	net := &network{ids: number(c.Distances).ids, dims: 3}
	of := number(c.Distances).of
	for _, d := range c.Distances {
		net.readings = append(net.readings, reading{from: of[d.From], to: of[d.To], mm: d.Mm, sd: 1})
	}
	x := make([]float64, net.size())
	for id, i := range of {
		copy(x[3*i:], []float64{place[id].X, place[id].Y, 200})
	}
	a, err := net.adjust(x)
	if err != nil {
		t.Fatal(err)
	}
	if a.defect != 27 || len(a.loose) == 0 {
		t.Errorf("defect %d, want 27; loose %v", a.defect, a.loose)
	}
}

func FuzzLists(f *testing.F) {
	f.Add(square, "point,mm\nA,100\nB,100\n", "", "point,x,y,z\nA,0,0,0\nB,1000,0,0\nC,1000,1000,0\nD,0,1000,5\n", "left,right\nA,B\n")
	f.Add(square, "", "from,to,mm\nA,B,10\nB,C,-10\nC,D,0,0.5\n", "", "left,right\nA,B\nC,D\n")
	f.Add("from,to,mm\nA,B,1e300\n\"", "point,mm,sd\n", "from,to,mm,sd\n", "", "")
	f.Add("from,to,mm,sd\nA,B,1,100\nA,C,1,0.001\nA,D,50000,1\nB,C,1\nB,D,1\nC,D,1\n", "", "", "", "")
	f.Fuzz(func(t *testing.T, distances, heights, levels, nominal, pairs string) {
		r, err := examineText(distances, heights, levels, nominal, pairs)
		var wrong *InputError
		if err != nil && (!errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "") {
			t.Fatalf("%v", err)
		}
		if err == nil && (r.Verdict == "" || strings.Contains(fmt.Sprint(r.Points), "NaN")) {
			t.Fatalf("%+v", r)
		}
	})
}
