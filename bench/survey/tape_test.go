package survey

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// sketchOf is the points of the car, roughly; marks on the floor where asked.
func sketchOf(t testing.TB, marks bool) Sketch {
	s := Sketch{}
	for _, p := range car(t, false).Nominal {
		s.Points = append(s.Points, Sketched{ID: p.Point, X: math.Round(p.X/50) * 50, Y: math.Round(p.Y/50) * 50, Z: math.Round(p.Z/50) * 50})
	}
	if marks {
		s.Heights = HeightsNone
		for k, p := range [][2]float64{{2400, 0}, {700, 1000}, {700, -1000}, {-700, 1000}, {-700, -1000}, {-2300, 0}} {
			s.Points = append(s.Points, Sketched{ID: fmt.Sprintf("F%d", k+1), X: p[0], Y: p[1], Z: -450, Floor: true})
		}
	}
	return s
}

// measure reads a tape list on the car as it should be, with the usual doubt.
func measure(t testing.TB, s Sketch, tape Tape, chance *rand.Rand) Case {
	c := Case{Nominal: car(t, false).Nominal}
	place := map[string][]float64{}
	for _, p := range s.Points {
		place[p.ID] = []float64{p.X, p.Y, p.Z}
	}
	for _, p := range c.Nominal {
		place[p.Point] = []float64{p.X, p.Y, p.Z}
	}
	for _, l := range tape.Lines {
		c.Distances = append(c.Distances, Distance{From: l.From, To: l.To, Mm: rms(place[l.From], place[l.To], 3) + chance.NormFloat64()})
	}
	times := map[HeightPlan]int{HeightsTwice: 2, HeightsOnce: 1}[s.Heights]
	for range times {
		for _, id := range tape.Heights {
			c.Heights = append(c.Heights, Height{Point: id, Mm: place[id][2] + 400 + 1.5*chance.NormFloat64()})
		}
	}
	return c
}

// A list for a fresh survey gives a survey that is worked out, fixes every point,
// and finds a point 12 mm out.
func TestTapeListMakesASoundSurvey(t *testing.T) {
	for name, s := range map[string]Sketch{
		"heights twice": sketchOf(t, false),
		"floor marks":   sketchOf(t, true),
		"heights once":  func() Sketch { s := sketchOf(t, false); s.Heights = HeightsOnce; return s }(),
	} {
		t.Run(name, func(t *testing.T) {
			tape, err := TapeList(s)
			if err != nil {
				t.Fatal(err)
			}
			if tape.MeanRedundancy < defaultRedundancy-0.01 || tape.LeastRedundancy < leastChecked {
				t.Errorf("redundancy %.2f, least %.2f", tape.MeanRedundancy, tape.LeastRedundancy)
			}
			for _, p := range tape.Points {
				if !p.Fixed || p.Lines < linesEach {
					t.Errorf("%+v", p)
				}
			}
			c := measure(t, s, tape, rand.New(rand.NewPCG(1, 57)))
			r := examine(t, c)
			if len(r.Weak) != 0 || len(r.Moved) != 0 || r.Dimensions != 3 {
				t.Errorf("weak %+v, moved %+v", r.Weak, r.Moved)
			}
			t.Logf("%d lines, redundancy %.2f, least %.2f", len(tape.Lines), tape.MeanRedundancy, tape.LeastRedundancy)
		})
	}
}

// A person walks round once: the groups follow one another, each from a point
// further on, and no line is longer than the tape or listed twice.
func TestTapeListWalksRoundOnce(t *testing.T) {
	s := sketchOf(t, false)
	s.ReachMm = 2000
	tape, err := TapeList(s)
	if err != nil {
		t.Fatal(err)
	}
	if len(tape.Walk) != 24 || tape.Walk[0] != "L01" || tape.Walk[23] != "R01" || len(tape.Heights) != 24 {
		t.Errorf("walk %v", tape.Walk)
	}
	seen := map[[2]string]bool{}
	for k, l := range tape.Lines {
		from, to := slices.Index(tape.Walk, l.From), slices.Index(tape.Walk, l.To)
		if from >= to || l.Mm > 2000 || seen[[2]string{l.From, l.To}] {
			t.Errorf("%+v", l)
		}
		seen[[2]string{l.From, l.To}] = true
		if k > 0 {
			before := tape.Lines[k-1]
			same := before.From == l.From
			if same != (before.Group == l.Group) || !same && slices.Index(tape.Walk, before.From) > from {
				t.Errorf("%+v after %+v", l, before)
			}
		}
	}
}

// Lines to a strut top stay on its side and within a bay of it: L07 is 880 mm
// further back, L08 is 1400.
func TestTapeListGoesNotThroughTheBody(t *testing.T) {
	s := sketchOf(t, false)
	s.Points = append(s.Points, Sketched{ID: "TL", X: 1400, Y: 550, Z: 850}, Sketched{ID: "TR", X: 1400, Y: -550, Z: 850})
	tape, err := TapeList(s)
	if err != nil {
		t.Fatal(err)
	}
	lines := 0
	for _, l := range tape.Lines {
		if l.From != "TL" && l.To != "TL" {
			continue
		}
		lines++
		other := strings.Replace(l.From+l.To, "TL", "", 1)
		if other != "TR" && (other[0] != 'L' || other > "L07") {
			t.Errorf("%+v passes through the body", l)
		}
	}
	if lines < linesEach {
		t.Errorf("%d lines", lines)
	}
}

// The covariance kept while readings are added is the inverse of the normal
// equations with the sketch's doubt, and its square is its square.
func TestDesignKeepsTheInverse(t *testing.T) {
	s := sketchOf(t, false)
	d := s.design(3)
	lines := s.withDefaults().candidates()
	for k := 0; k < len(lines); k += 3 {
		d.add(lines[k])
	}
	d.add(reading{kind: height, from: 3, to: -1, sd: 1.5})
	d.add(reading{kind: level, from: 4, to: 7, sd: 1})
	for k := range d.net.readings {
		if r := &d.net.readings[k]; r.kind == distance {
			r.mm = d.net.equation(*r, d.x).value
		}
	}
	m, _ := d.net.normals(d.x)
	for i := range len(d.x) {
		m.SetSym(i, i, m.At(i, i)+1/(roughMm*roughMm))
	}
	var chol mat.Cholesky
	if !chol.Factorize(m) {
		t.Fatal("no factor")
	}
	var want mat.SymDense
	if err := chol.InverseTo(&want); err != nil {
		t.Fatal(err)
	}
	var square mat.Dense
	square.Mul(&want, &want)
	for i := range len(d.x) {
		for j := range len(d.x) {
			if math.Abs(d.q.At(i, j)-want.At(i, j)) > 1e-5 || math.Abs(d.q2.At(i, j)-square.At(i, j)) > 1e-4*roughMm*roughMm {
				t.Fatalf("%d,%d: %g and %g, want %g and %g", i, j, d.q.At(i, j), d.q2.At(i, j), want.At(i, j), square.At(i, j))
			}
		}
	}
}

// A square with both diagonals (redundancies 1/8 and 1/4 by hand) and once all
// is read the doubts of the adjustment itself.
func TestDesignAgainstTheAdjustment(t *testing.T) {
	s := Sketch{Heights: HeightsNone, Points: []Sketched{{ID: "A"}, {ID: "B", X: 1000}, {ID: "C", X: 1000, Y: 1000}, {ID: "D", Y: 1000}}}
	d := s.design(2)
	for _, l := range s.withDefaults().candidates() {
		d.add(l)
	}
	for k, r := range d.redundancies() {
		want := 0.125
		if d.net.readings[k].mm > 1001 {
			want = 0.25
		}
		if math.Abs(r-want) > 1e-3 {
			t.Errorf("redundancy %v, want %v", r, want)
		}
	}
	c := car(t, true)
	sketch := Sketch{Heights: HeightsOnce}
	for _, p := range c.Nominal {
		sketch.Points = append(sketch.Points, Sketched{ID: p.Point, X: p.X, Y: p.Y, Z: p.Z})
	}
	state, err := Progress(sketch, c)
	if err != nil {
		t.Fatal(err)
	}
	e, err := examined(c)
	if err != nil {
		t.Fatal(err)
	}
	f := &field{d: make([]float64, len(e.a.x)), free: motions(e.a.x, 3), dims: 3}
	all := make([]int, len(e.n.ids))
	for i := range all {
		all[i] = i
	}
	_, q, _ := f.framed(all, e.a.q)
	for i, id := range e.n.ids {
		lengths, _ := axes(q, 3*i, 3)
		for _, p := range state.Points {
			if p.ID == id && math.Abs(p.SDMm-lengths[0]) > 0.03*lengths[0] {
				t.Errorf("%s: doubt %.4f foretold, %.4f adjusted", id, p.SDMm, lengths[0])
			}
		}
	}
}

// While readings come in: nothing known, then more and more, then done; the doubt
// of no point is told too small.
func TestProgress(t *testing.T) {
	s := sketchOf(t, false)
	tape, err := TapeList(s)
	if err != nil {
		t.Fatal(err)
	}
	all := measure(t, s, tape, rand.New(rand.NewPCG(1, 57)))
	state, err := Progress(s, Case{})
	if err != nil || state.Fixed != 0 || state.Done || len(state.Next) != nextReadings || state.Points[0].SDMm != roughMm {
		t.Fatalf("%v %+v", err, state)
	}
	fixed := 0
	for n := 20; n <= len(all.Distances); n += 20 {
		state, err = Progress(s, Case{Distances: all.Distances[:n], Heights: all.Heights})
		if err != nil {
			t.Fatal(err)
		}
		// The doubt is told against the best known points: as these change, one may fall back.
		if state.Fixed < fixed-1 || state.Done {
			t.Errorf("%d lines: %d fixed, %d before, done %v", n, state.Fixed, fixed, state.Done)
		}
		fixed = state.Fixed
	}
	state, err = Progress(s, Case{Distances: all.Distances, Heights: all.Heights})
	if err != nil || !state.Done || state.Fixed != 24 {
		t.Errorf("%v: %d fixed, done %v", err, state.Fixed, state.Done)
	}
	alone, err := Progress(s, Case{Distances: all.Distances})
	if err != nil || alone.Done || alone.Next[0].Kind != "height" || alone.Points[0].Direction != "in height" {
		t.Errorf("%v: by distances alone %+v", err, alone)
	}
}

// What is proposed lowers the doubt, whatever has been read.
func TestNextAlwaysHelps(t *testing.T) {
	s := sketchOf(t, false)
	lines := s.withDefaults().candidates()
	rapid.Check(t, func(t *rapid.T) {
		var c Case
		for _, k := range rapid.SliceOfN(rapid.IntRange(0, len(lines)-1), 0, 60).Draw(t, "lines") {
			c.Distances = append(c.Distances, Distance{From: s.Points[lines[k].from].ID, To: s.Points[lines[k].to].ID})
		}
		for _, k := range rapid.SliceOfN(rapid.IntRange(0, 23), 0, 30).Draw(t, "heights") {
			c.Heights = append(c.Heights, Height{Point: s.Points[k].ID})
		}
		state, err := Progress(s, c)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range state.Next {
			if !(f.LowersMm > 0) {
				t.Fatalf("%+v", f)
			}
		}
		for _, p := range state.Points {
			if !(p.SDMm > 0) || p.SDMm > roughMm || p.Fixed && p.Lines < leastLines {
				t.Fatalf("%+v", p)
			}
		}
	})
}

func TestSketchMistakes(t *testing.T) {
	four := []Sketched{{ID: "A"}, {ID: "B", X: 1000}, {ID: "C", X: 1000, Y: 1000}, {ID: "D", Y: 1000}}
	for _, test := range []struct {
		s    Sketch
		c    Case
		in   Input
		row  int
		says string
	}{
		{s: Sketch{Points: four[:3]}, in: InSketch, says: "3 points"},
		{s: Sketch{Points: append(four[:3:3], Sketched{})}, in: InSketch, row: 4, says: "a point without a name"},
		{s: Sketch{Points: append(four[:4:4], Sketched{ID: "A"})}, in: InSketch, row: 5, says: "A is point 1 already"},
		{s: Sketch{Points: append(four[:4:4], Sketched{ID: "E", X: math.NaN()})}, in: InSketch, row: 5, says: "E lies beyond"},
		{s: Sketch{Points: four, ReachMm: 10}, in: InSketch, says: "a reach of 10 mm"},
		{s: Sketch{Points: four, Redundancy: 0.9}, in: InSketch, says: "a redundancy of 0.9"},
		{s: Sketch{Points: four, Heights: "thrice"}, in: InSketch, says: `heights "thrice"`},
		{s: Sketch{Points: four}, c: Case{Distances: []Distance{{From: "A", To: "X", Row: 7}}}, in: InDistances, row: 7, says: "X is not among the points"},
		{s: Sketch{Points: four}, c: Case{Distances: []Distance{{From: "A", To: "A", Row: 7}}}, in: InDistances, row: 7, says: "A to itself"},
		{s: Sketch{Points: four}, c: Case{Heights: []Height{{Point: "X", Row: 2}}}, in: InHeights, row: 2, says: "X is not among the points"},
		{s: Sketch{Points: four}, c: Case{Levels: []Level{{From: "A", To: "X", Row: 2}}}, in: InLevels, row: 2, says: "X is not among the points"},
	} {
		_, err := Progress(test.s, test.c)
		var wrong *InputError
		if !errors.As(err, &wrong) || wrong.Input != test.in || wrong.Row != test.row || !strings.HasPrefix(wrong.Problem, test.says) {
			t.Errorf("%q: %v", test.says, err)
		}
	}
	_, err := TapeList(Sketch{Points: four, ReachMm: 500})
	if err == nil || !strings.Contains(err.Error(), "too few lines lead to A, B, C, D") {
		t.Errorf("%v", err)
	}
}

// BenchmarkTapeList is the largest sketch.
func BenchmarkTapeList(b *testing.B) {
	chance := rand.New(rand.NewPCG(3, 7))
	s := Sketch{}
	for i := range MaxSketched {
		s.Points = append(s.Points, Sketched{ID: fmt.Sprint(i), X: 4000 * chance.Float64(), Y: 1500*chance.Float64() - 750, Z: 200 * chance.Float64()})
	}
	for b.Loop() {
		if _, err := TapeList(s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkProgress is a car with all its readings.
func BenchmarkProgress(b *testing.B) {
	s, c := sketchOf(b, false), car(b, true)
	for b.Loop() {
		if _, err := Progress(s, c); err != nil {
			b.Fatal(err)
		}
	}
}
