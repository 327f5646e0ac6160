package survey

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"wreckwright/outside"
)

// recordsAt is where the published networks lie; their readings may not be passed
// on, and without them these tests are skipped.
func recordsAt(t *testing.T) string {
	dir := os.Getenv("WRECKWRIGHT_DATA")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "data")
	}
	dir = filepath.Join(dir, "geometry")
	if _, err := os.Stat(filepath.Join(dir, "hoepke_free_points.csv")); err != nil {
		t.Skip("the published networks are not here (WRECKWRIGHT_DATA names the folder that holds geometry/): nothing was compared with them")
	}
	return dir
}

// table is a CSV by line and heading; numbers only where asked for.
type table []map[string]string

func readTable(t *testing.T, dir, name string) table {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out table
	for _, l := range lines[1:] {
		row := map[string]string{}
		for k, cell := range l {
			row[lines[0][k]] = cell
		}
		out = append(out, row)
	}
	return out
}

func (r table) number(t *testing.T, line int, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[line][name], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// published is a free network in plan, in mm from the mean of its approximate
// coordinates.
type published struct {
	points, lines table
	net           *network
	start         []float64
	mean          [2]float64
}

func readPublished(t *testing.T, name string) published {
	dir := recordsAt(t)
	p := published{points: readTable(t, dir, name+"_free_points.csv"), lines: readTable(t, dir, name+"_free_distances.csv"), net: &network{dims: 2}}
	of := map[string]int{}
	for k := range p.points {
		of[p.points[k]["id"]] = k
		p.net.ids = append(p.net.ids, p.points[k]["id"])
		for d, axis := range []string{"x", "y"} {
			p.mean[d] += p.points.number(t, k, axis) / float64(len(p.points))
		}
	}
	for k := range p.points {
		for d, axis := range []string{"x", "y"} {
			p.start = append(p.start, 1000*(p.points.number(t, k, axis)-p.mean[d]))
		}
	}
	for k := range p.lines {
		p.net.readings = append(p.net.readings, reading{from: of[p.lines[k]["from"]], to: of[p.lines[k]["to"]], mm: 1000 * p.lines.number(t, k, "obs_m"), sd: 1000 * p.lines.number(t, k, "sigma_m")})
	}
	return p
}

// The published free networks: coordinates, residuals, redundancies and
// standardised residuals as printed; coordinates and sigma0 as scipy has them
// (testdata/free.py).
func TestPublishedFreeNetworks(t *testing.T) {
	for _, name := range []string{"hoepke", "strangborre"} {
		t.Run(name, func(t *testing.T) {
			p := readPublished(t, name)
			a, err := p.net.adjust(p.start)
			if err != nil {
				t.Fatal(err)
			}
			var cases []outside.Case
			even := make([]float64, len(p.points))
			var printed []float64
			for k := range p.points {
				even[k] = 1
				printed = append(printed, 1000*(p.points.number(t, k, "adj_x")-p.mean[0]), 1000*(p.points.number(t, k, "adj_y")-p.mean[1]))
			}
			for i, got := range fit(a.x, printed, even, 2).apply(a.x) {
				cases = append(cases, outside.Case{Source: "KRUMM_2020", Where: "free networks", What: fmt.Sprintf("%s coordinate %d, mm", name, i), Got: got, Want: printed[i], Tolerance: 0.02, Why: "printed to 5 decimals of a metre, laid on as a whole"})
			}
			for k := range p.lines {
				cases = append(cases,
					outside.Case{Source: "KRUMM_2020", Where: "free networks", What: fmt.Sprintf("%s residual %d, mm", name, k), Got: a.v[k], Want: 1000 * p.lines.number(t, k, "v_m"), Tolerance: 1e-3, Why: "printed to 6 decimals of a metre"},
					outside.Case{Source: "KRUMM_2020", Where: "free networks", What: fmt.Sprintf("%s redundancy %d", name, k), Got: a.r[k], Want: p.lines.number(t, k, "redundancy"), Tolerance: 1e-4, Why: "printed to 4 decimals"},
					outside.Case{Source: "KRUMM_2020", Where: "free networks", What: fmt.Sprintf("%s standardised residual %d", name, k), Got: a.w[k], Want: p.lines.number(t, k, "w_apriori"), Tolerance: 1e-3, Why: "printed to 3 decimals"},
				)
			}
			want, values := recorded(t, name+"_scipy.csv")
			if len(want) != len(p.points) {
				t.Fatalf("%d points recorded", len(want))
			}
			var scipy []float64
			for _, w := range want {
				scipy = append(scipy, w.X, w.Y)
			}
			for i, got := range fit(a.x, p.start, even, 2).apply(a.x) {
				cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: fmt.Sprintf("%s coordinate %d, mm", name, i), Got: got, Want: scipy[i], Tolerance: 1e-6, Why: "both solvers stop at their rounding"})
			}
			cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "optimize.least_squares", What: name + " sigma0", Got: math.Sqrt(a.squares / float64(a.dof)), Want: values["sigma0"], Tolerance: 1e-9, Why: "both solvers stop at their rounding"})
			outside.Check(t, cases)
			if a.defect != 3 {
				t.Errorf("defect %d", a.defect)
			}
		})
	}
}
