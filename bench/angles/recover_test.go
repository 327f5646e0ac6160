package angles

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// turned is v turned about the unit vector k.
func turned(v, k vector, angle float64) vector {
	s, c := math.Sincos(angle)
	return v.times(c).plus(k.cross(v).times(s)).plus(k.times(k.dot(v) * (1 - c)))
}

// built is a wheel to be read.
type built struct {
	side, caster, axis, camber, toe, out, in float64
	up                                       vector
}

// read steers the wheel to a turntable angle by halving and reads it.
func (b built) read(turn float64) (camber, pitch float64) {
	k := vector{-math.Tan(b.caster * degree), -b.side * math.Tan(b.axis*degree), 1}.unit()
	h0 := -b.side * b.toe * degree
	spin := spinAxis(b.side, h0, b.camber*degree)
	edge := vector{math.Cos(h0), math.Sin(h0), 0}
	level := func(a vector) vector { return a.times(b.side).cross(vector{0, 0, 1}) }
	low, high := -1.4, 1.4
	for range 80 {
		mid := (low + high) / 2
		l := level(turned(spin, k, mid))
		if math.Atan2(l[1], l[0]) < h0+b.side*turn*degree {
			low = mid
		} else {
			high = mid
		}
	}
	spin, edge = turned(spin, k, low), turned(edge, k, low)
	across := spin.times(b.side).cross(b.up).unit()
	rise := across.cross(spin.times(b.side))
	return math.Asin(-spin.dot(b.up)) / degree, math.Atan2(edge.dot(rise), edge.dot(across)) / degree
}

func (b built) wheel(brake bool) *Wheel {
	straight, _ := b.read(0)
	w := &Wheel{CamberDeg: &straight, Edges: &Edges{RimMm: 450, FrontMm: 150 + 450*math.Sin(b.toe*degree), RearMm: 150}}
	co, po := b.read(b.out)
	ci, pi := b.read(-b.in)
	w.Sweep = &Sweep{OutDeg: b.out, CamberOutDeg: co, InDeg: b.in, CamberInDeg: ci}
	if brake {
		w.Sweep.Pitch = &Pitch{po, pi}
	}
	return w
}

// Whatever a wheel is built as, that is what its readings give.
func TestAnyWheelIsRecovered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		floor := Floor{NoseDownDeg: draw("nose down", -2, 2)}
		floor.LeftHigherDeg[0] = draw("left higher", -2, 2)
		b := built{
			side: 1, caster: draw("caster", -5, 14), axis: draw("axis", 0, 20), camber: draw("camber", -5, 4), toe: draw("toe", -2, 2),
			out: draw("out", 8, 30), in: draw("in", 8, 30), up: floor.up(0),
		}
		n := FL
		if rapid.Bool().Draw(t, "right") {
			b.side, n = -1, FR
		}
		c := Case{Floor: floor, Doubt: UsualDoubt()}
		c.Wheels[n] = b.wheel(rapid.Bool().Draw(t, "brake"))
		r, err := Examine(c)
		if err != nil {
			t.Fatal(err)
		}
		w := r.Wheels[n.String()]
		for _, x := range []struct {
			name      string
			got, want float64
		}{{"toe", *w.Toe, b.toe}, {"camber", *w.Camber, b.camber}, {"caster", *w.Caster, b.caster}, {"axis", *w.SteeringAxis, b.axis}} {
			if math.Abs(x.got-x.want) > 1e-7 {
				t.Fatalf("%s: %.9f, built as %.9f", x.name, x.got, x.want)
			}
		}
	})
}

// Seen in a mirror, left and right change places and nothing else does but the
// thrust angle and the set-back, which change sign.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string) float64 { return rapid.Float64Range(120, 160).Draw(t, name) }
		var c, m Case
		for _, n := range Corners {
			w := &Wheel{Edges: &Edges{450, mm("front"), mm("rear")}, HubXMm: new(mm("x") + 2600*float64(1-n.axle()))}
			c.Wheels[n], m.Wheels[n^1] = w, w
		}
		c.Doubt, m.Doubt = UsualDoubt(), UsualDoubt()
		a, errA := Examine(c)
		b, errB := Examine(m)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		near := func(name string, x, y float64) {
			if math.Abs(x-y) > 1e-9 {
				t.Fatalf("%s: %g and %g", name, x, y)
			}
		}
		near("thrust", *a.Thrust, -*b.Thrust)
		near("line error", *a.LineError, -*b.LineError)
		near("thrust sd", *a.ThrustSD, *b.ThrustSD)
		for _, axle := range axleNames {
			near("total toe", *a.Axles[axle].TotalToe, *b.Axles[axle].TotalToe)
			near("set-back", *a.Axles[axle].SetBackMm, -*b.Axles[axle].SetBackMm)
		}
		near("toe", *a.Wheels["FL"].ToThrust, *b.Wheels["FR"].ToThrust)
	})
}

// The standard deviations are what readings drawn at random scatter by.
func TestDoubtsAgainstDraws(t *testing.T) {
	b := built{side: 1, caster: 6, axis: 12, camber: -1, toe: 0.2, out: 20, in: 18, up: vector{0, 0, 1}}
	for _, brake := range []bool{true, false} {
		c := Case{Doubt: Doubt{LineMm: 0.3, RimMm: 0.5, CamberDeg: 0.05, PitchDeg: 0.1, TurnDeg: 0.2}}
		c.Wheels[FL] = b.wheel(brake)
		sd := doubts(&c)
		draws := rand.New(rand.NewPCG(1, 2))
		const n = 20000
		sum, square := figures{}, figures{}
		for range n {
			d := c.clone()
			for _, r := range d.readings() {
				*r.at += r.sd * draws.NormFloat64()
			}
			for name, x := range compute(d) {
				sum[name] += x
				square[name] += x * x
			}
		}
		for name, want := range sd {
			mean := sum[name] / n
			got := math.Sqrt(square[name]/n - mean*mean)
			if math.Abs(got/want-1) > 0.025 { // five times the scatter of a standard deviation out of n draws
				t.Errorf("brake %v, %s: drawn %.5f, propagated %.5f", brake, name, got, want)
			}
		}
	}
}
