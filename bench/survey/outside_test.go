package survey

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"wreckwright/outside"
)

// The whole list of coordinates against testdata/adjust.py.
func TestCoordinatesAgainstScipy(t *testing.T) {
	r := examine(t, car(t, true))
	var cases []outside.Case
	add := func(what string, got, want, tolerance float64) {
		cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: what, Got: got, Want: want, Tolerance: tolerance, Why: "both solvers stop at their rounding"})
	}
	recorded := must[Nominal](t)(ReadNominal(file(t, "car1_scipy.csv")))
	if len(recorded) != 24 {
		t.Fatalf("%d points recorded", len(recorded))
	}
	for i, want := range recorded {
		p := r.Points[i]
		if p.ID != want.Point {
			t.Fatalf("point %d is %s, recorded %s", i, p.ID, want.Point)
		}
		add(p.ID+" x", p.X, want.X, 1e-6)
		add(p.ID+" y", p.Y, want.Y, 1e-6)
		add(p.ID+" z", *p.Z, want.Z, 1e-6)
	}
	for line := range strings.Lines(string(file(t, "car1_scipy.csv"))) {
		if text, ok := strings.CutPrefix(line, "# sigma0 "); ok {
			want, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			if err != nil {
				t.Fatal(err)
			}
			add("sigma0", r.Sigma0, want, 1e-9)
		}
	}
	outside.Check(t, cases)
}

// plan is a flat network with the lines of a table.
func planOf(points int, lines [][3]float64, sd float64) *network {
	n := &network{dims: 2}
	for i := range points {
		n.ids = append(n.ids, string(rune('A'+i)))
	}
	for _, l := range lines {
		n.readings = append(n.readings, reading{kind: distance, from: int(l[0]), to: int(l[1]), mm: l[2], sd: sd})
	}
	return n
}

// Four points P, 1, 2, 3 in metres, all six distances.
func TestAgainstAPublishedFreeNetwork(t *testing.T) {
	n := planOf(4, [][3]float64{{1, 0, 100.01}, {2, 0, 100.02}, {3, 0, 100.03}, {1, 2, 184.785}, {2, 3, 141.44}, {1, 3, 184.805}}, 0.01)
	start := []float64{170.71, 170.71, 170.71, 270.71, 100, 100, 241.42, 100}
	a, err := n.adjust(start)
	if err != nil {
		t.Fatal(err)
	}
	const where = "example 12.4"
	var cases []outside.Case
	for i, want := range []float64{170.71227, 170.71853, 170.70320, 270.72133, 99.99121, 99.99714, 241.43332, 99.98300} {
		cases = append(cases, outside.Case{Source: "STRANG_BORRE_1997", Where: "example 12.4", What: fmt.Sprintf("%s: coordinate %d, m", where, i), Got: a.x[i], Want: want, Tolerance: 1e-5, Why: "5 decimals"})
	}
	for i, want := range []float64{-7.197, -5.088, -5.090, 3.895, 2.108, 3.896} {
		cases = append(cases, outside.Case{Source: "STRANG_BORRE_1997", Where: "example 12.4", What: fmt.Sprintf("residual %d, mm", i), Got: 1000 * a.v[i], Want: want, Tolerance: 1e-3, Why: "3 decimals"})
	}
	for i, want := range []float64{0.3743, 0.1871, 0.1872, 0.1096, 0.0321, 0.1097} {
		cases = append(cases, outside.Case{Source: "STRANG_BORRE_1997", Where: "example 12.4", What: fmt.Sprintf("redundancy %d", i), Got: a.r[i], Want: want, Tolerance: 1e-4, Why: "4 decimals"})
	}
	s0 := math.Sqrt(a.squares)
	cases = append(cases,
		outside.Case{Source: "STRANG_BORRE_1997", Where: "example 12.4", What: "sigma0", Got: s0, Want: 1.176363, Tolerance: 1e-5, Why: "6 decimals"},
		outside.Case{Source: "STRANG_BORRE_1997", Where: "example 12.4", What: "sd of P in x, mm", Got: 1000 * s0 * math.Sqrt(a.q.At(0, 0)), Want: 10.792, Tolerance: 1e-3, Why: "3 decimals"},
		outside.Case{Source: "STRANG_BORRE_1997", Where: "example 12.4", What: "sd of P in y, mm", Got: 1000 * s0 * math.Sqrt(a.q.At(1, 1)), Want: 6.817, Tolerance: 1e-3, Why: "3 decimals"},
	)
	outside.Check(t, cases)
	if a.dof != 1 || a.defect != 3 {
		t.Errorf("dof %d, defect %d", a.dof, a.defect)
	}
}

// Seven points in space: the covariance is the pseudo-inverse, sigma0 and the
// largest standardised residual are those of an independent solver.
func TestSevenPointsInSpace(t *testing.T) {
	c := Case{Distances: must[Distance](t)(ReadDistances(file(t, "seven_dist.csv")))}
	r := examine(t, c)
	var largest float64
	for _, v := range r.Residuals {
		largest = max(largest, math.Abs(v.W))
	}
	cases := []outside.Case{
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "seven points, sum of squares", Got: r.Chi2.Value, Want: 4.551316, Tolerance: 1e-6, Why: "6 decimals"},
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "seven points, sigma0", Got: r.Sigma0, Want: 0.870949, Tolerance: 1e-6, Why: "6 decimals"},
		{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: "seven points, largest w", Got: largest, Want: 1.7496, Tolerance: 1e-4, Why: "4 decimals"},
	}
	for i, want := range []float64{0.43673, 0.27712, 0.13730, 0.14481, 0.14853, 0.50767, 0.11702} {
		cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: fmt.Sprintf("redundancy %d", i), Got: r.Residuals[i].Redundancy, Want: want, Tolerance: 1e-5, Why: "5 decimals"})
	}
	outside.Check(t, cases)
	c.Distances[slicesIndex(c.Distances, "P2", "P4")].Mm += 12
	if got := wrongNames(examine(t, c)); len(got) != 1 || got[0] != "P2-P4" {
		t.Errorf("wrong readings %v, want P2-P4", got)
	}
}

func slicesIndex(list []Distance, from, to string) int {
	for k, d := range list {
		if d.From == from && d.To == to {
			return k
		}
	}
	return -1
}

// A square with both diagonals: redundancies by hand.
func TestSquareByHand(t *testing.T) {
	diagonal := 1000 * math.Sqrt2
	n := planOf(4, [][3]float64{{0, 1, 1000}, {1, 2, 1000}, {2, 3, 1000}, {3, 0, 1000}, {0, 2, diagonal}, {1, 3, diagonal}}, 1)
	a, err := n.adjust([]float64{0, 0, 1000, 0, 1000, 1000, 0, 1000})
	if err != nil {
		t.Fatal(err)
	}
	for k, r := range a.r {
		want := 0.125
		if k > 3 {
			want = 0.25
		}
		if math.Abs(r-want) > 1e-9 {
			t.Errorf("redundancy %d is %v, want %v", k, r, want)
		}
	}
	if trace := mat.Trace(a.q); math.Abs(trace-2.25) > 1e-9 {
		t.Errorf("trace %v, want 2.25", trace)
	}
}

func TestRigidFitAgainstThePaper(t *testing.T) {
	p, q := []float64{0, 0, 1, 0, 0, 2}, []float64{0, 0, -1, 0, 0, 2}
	m := fit(p, q, []float64{1, 1, 1}, 2)
	var cases []outside.Case
	for k, want := range []float64{0.8320503, 0.5547002, -0.5547002, 0.8320503} {
		cases = append(cases, outside.Case{Source: "UMEYAMA_1991", Where: "eq. 40-42", What: fmt.Sprintf("turn %d of the example", k), Got: m.r.At(k/2, k%2), Want: want, Tolerance: 1e-7, Why: "7 decimals"})
	}
	outside.Check(t, cases)
	if got := rms(m.apply(p), q, 2); math.Abs(got-0.7872452) > 1e-7 {
		t.Errorf("rms %v", got)
	}
}

// Five points in space against an independent computation of the same fit
// (numpy, singular values).
func TestRigidFitInSpace(t *testing.T) {
	p := []float64{2080, 430, 310, 1120, -410, 165, 520, 690, 175, -560, -705, 180, -1930, 500, 385}
	q := []float64{1956.1, 1065.8, -32.3, 1316.0, -44.2, -104.2, 413.4, 768.5, 198.4, -118.5, -913.1, 211.8, -1709.7, -285.7, 874.9}
	m := fit(p, q, []float64{1, 1, 1, 1, 1}, 3)
	for k, want := range []float64{.91313894, -.32516854, .24585095, .35198416, .93314404, -.07313926, -.20563176, .15332194, .96654434} {
		if got := m.r.At(k/3, k%3); math.Abs(got-want) > 1e-8 {
			t.Errorf("turn %d is %.8f, want %.8f", k, got, want)
		}
	}
	for k, want := range []float64{119.928063, -44.802812, 29.949622} {
		if math.Abs(m.t[k]-want) > 1e-6 {
			t.Errorf("shift %d is %.6f, want %.6f", k, m.t[k], want)
		}
	}
	mirrored := append([]float64(nil), p...)
	for i := 2; i < len(mirrored); i += 3 {
		mirrored[i] = -mirrored[i]
	}
	if got := rms(fit(p, mirrored, []float64{1, 1, 1, 1, 1}, 3).apply(p), mirrored, 3); math.Abs(got-134.5705) > 1e-4 {
		t.Errorf("a mirror image fits with rms %v, want 134.5705", got)
	}
}

// Classical scaling of a tetrahedron and a cube: eigenvalues by hand.
func TestScalingByHand(t *testing.T) {
	l := &lengths{n: 4, mm: make([]float64, 16)}
	for k := range l.mm {
		if k/4 != k%4 {
			l.mm[k] = 1000
		}
	}
	_, values := l.scaled(3)
	var cases []outside.Case
	for k, want := range []float64{0, 500000, 500000, 500000} {
		cases = append(cases, outside.Case{Source: "TORGERSON_1952", Where: "p. 408", What: fmt.Sprintf("eigenvalue %d of a tetrahedron of edge 1000", k), Got: values[k], Want: want, Tolerance: 1e-6, Why: "edge squared by a half; rounding"})
	}
	outside.Check(t, cases)
}

// Four tests with chances 0.01, 0.02, 0.03 and 0.04 become 0.04, 0.06, 0.06, 0.06.
func TestHolm(t *testing.T) {
	var values []float64
	for _, p := range []float64{0.04, 0.01, 0.03, 0.02} {
		values = append(values, chiSquare(1-p, 3))
	}
	got := holm(values, 4, 3)
	var cases []outside.Case
	for k, want := range []float64{0.06, 0.04, 0.06, 0.06} {
		cases = append(cases, outside.Case{Source: "HOLM_1979", Where: "p. 67", What: fmt.Sprintf("chance %d", k), Got: got[k], Want: want, Tolerance: 1e-9, Why: "by hand; rounding of the quantile"})
	}
	outside.Check(t, cases)
}

// Five pairs of which the first left point was moved by (6, -9, 4): the plane as
// an independent reflect-and-fit finds it.
func TestMirrorPlane(t *testing.T) {
	l := []float64{2083.2, 434.2, 314.9, 1388.5, 356.6, 191.0, 516.0, 695.7, 177.3, -562.5, 705.8, 181.0, -1933.3, 494.0, 386.4}
	r := []float64{2081.0, -416.0, 308.1, 1391.3, -334.6, 188.6, 524.0, -683.8, 172.8, -556.0, -703.8, 177.0, -1927.5, -507.8, 383.6}
	for _, test := range []struct {
		use  []int
		want []float64
	}{
		{[]int{0, 1, 2, 3, 4}, []float64{-.00426816, .99998318, .00392833, 3.721978}},
		{[]int{1, 2, 3, 4}, []float64{-.00515411, .99998212, .00303308, 4.213794}},
	} {
		p := mirrorPlane(l, r, test.use, 3)
		for k, want := range test.want {
			got := append(append([]float64(nil), p.normal...), p.offset)[k]
			if math.Abs(got-want) > 1e-6 {
				t.Errorf("%v: %d is %.8f, want %.8f", test.use, k, got, want)
			}
		}
	}
}

// The congruence of the car with an exact nominal list, as the independent
// solver has it.
func TestCongruence(t *testing.T) {
	c := car(t, true)
	for k := range c.Nominal {
		c.Nominal[k].SDMm = smallestSDMm
	}
	r := examine(t, c)
	if math.Abs(r.Congruence.Before.Value-302.211) > 0.01 || math.Abs(r.Congruence.After.Value-58.708) > 0.01 || r.Congruence.After.DoF != 63 {
		t.Errorf("%+v, want 302.211 and 58.708 at 63", r.Congruence)
	}
	for k, want := range []float64{4.608, 3.475, 1.424} {
		if got := r.Moved[0].HalfAxesMm[k]; math.Abs(got-want) > 2e-3 {
			t.Errorf("half axis %d is %.3f, want %.3f", k, got, want)
		}
	}
}
