package survey

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Axes without heights: the true places come back though the car is no wider than it
// is high over its marks, and though no pair stands first.
func TestAxesOverFloorMarks(t *testing.T) {
	for _, deep := range []float64{900, 400} {
		for _, floor := range []bool{true, false} {
			c, place := sevenPairs(deep)
			if !floor {
				c.Floor = nil
			}
			r := examine(t, c)
			want := place["L0"]
			for _, p := range r.Points {
				if p.ID != "L0" {
					continue
				}
				var z float64
				if p.Z != nil {
					z = math.Abs(*p.Z)
				}
				if math.Abs(p.X-want[0]) > 30 || math.Abs(math.Abs(p.Y)-want[1]) > 30 || math.Abs(z-math.Abs(want[2])) > 30 {
					t.Errorf("%g mm deep, floor %t: L0 at %.0f, %.0f, %.0f; want %.0f", deep, floor, p.X, p.Y, z, want)
				}
			}
		}
	}
}

// sevenPairs is a narrow car over six marks, all lines exact; places from the middle
// of all.
func sevenPairs(deep float64) (Case, map[string][]float64) {
	var c Case
	place := map[string][]float64{}
	var ids []string
	add := func(id string, p ...float64) { ids, place[id] = append(ids, id), p }
	for i := range 7 {
		x, y, z := 2000-650*float64(i), 260+20*math.Sin(float64(i)), 60*math.Cos(2*float64(i))
		add(fmt.Sprintf("L%d", i), x, y, z)
		add(fmt.Sprintf("R%d", i), x, -y, z)
		c.Pairs = append(c.Pairs, Pair{Left: fmt.Sprintf("L%d", i), Right: fmt.Sprintf("R%d", i)})
	}
	for k, p := range [][2]float64{{2200, 300}, {2200, -300}, {0, 420}, {0, -420}, {-2100, 300}, {-2100, -300}} {
		id := fmt.Sprintf("F%d", k)
		add(id, p[0], p[1], -deep)
		c.Floor = append(c.Floor, id)
	}
	mean := make([]float64, 3)
	for i, a := range ids {
		for k := range mean {
			mean[k] += place[a][k] / float64(len(ids))
		}
		for _, b := range ids[:i] {
			c.Distances = append(c.Distances, Distance{From: b, To: a, Mm: rms(place[a], place[b], 3)})
		}
	}
	for _, p := range place {
		for k := range mean {
			p[k] -= mean[k]
		}
	}
	return c, place
}

// Nominal points that are no shape are a mistake, not a result without numbers.
func TestNominalPointsAreAShape(t *testing.T) {
	header := "point,x,y,z\n"
	for _, test := range []struct{ name, nominal, says string }{
		{"alike", header + "A,5,5,5\nB,5,5,5\nC,5,5,5\nD,5,5,5\n", "B lies at the place of A"},
		{"three together", header + "A,5,5,5\nB,5,5.4,5\nC,5,5,5\nD,5,5,10\n", "B lies at the place of A"},
		{"in line", header + "A,0,0,0\nB,1000,0,0\nC,2000,0,1\nD,3000,0,0\n", "all nominal points that were measured lie in one line"},
	} {
		_, err := examineText(square, "", "", test.nominal, "")
		if err == nil || !strings.HasPrefix(err.Error(), test.says) {
			t.Errorf("%s: %v", test.name, err)
		}
	}
}

// A pair of which one point was not measured is left out and told; a name that is
// nowhere is refused.
func TestAPairNotMeasuredIsLeftOut(t *testing.T) {
	c := car(t, true)
	c.Nominal = append(c.Nominal, Nominal{Point: "L99", X: 100, Y: 500, Z: 200})
	c.Pairs = append(c.Pairs, Pair{Left: "L99", Right: "R99", Row: 14})
	if _, err := Examine(c); err == nil || !strings.HasPrefix(err.Error(), "L99 is in no distance") {
		t.Errorf("%v", err)
	}
	c.Nominal = append(c.Nominal, Nominal{Point: "R99", X: 100, Y: -500, Z: 200})
	if r := examine(t, c); !strings.Contains(strings.Join(r.Notes, " "), "left out: L99, R99.") {
		t.Errorf("%q", r.Notes)
	}
}
