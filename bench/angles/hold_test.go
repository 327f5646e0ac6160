package angles_test

import (
	"strings"
	"testing"

	"wreckwright/bench/angles"
)

// A wheel that looks bent, or whose reading no car shows, is not turned at; the
// toe of its axle waits with it, and the front waits for the rear.
func TestNothingIsTurnedAtABentWheel(t *testing.T) {
	read := func(front, rear, camber float64) *angles.Wheel {
		return &angles.Wheel{Edges: &angles.Edges{RimMm: 480, FrontMm: front, RearMm: rear}, CamberDeg: &camber}
	}
	limits := func(low, high float64) angles.Limits { return angles.Limits{Low: low, High: high} }
	car := func() angles.Case {
		return angles.Case{
			Wheels: [4]*angles.Wheel{read(152, 147, -1), read(150, 150, -1), read(150, 147, -1), read(150, 149, -1)},
			Want: [2]angles.Want{
				{"total_toe_deg": limits(0.05, 0.15), "camber_deg": limits(-1.5, -0.5)},
				{"total_toe_deg": limits(0.1, 0.2), "camber_deg": limits(-1.5, -0.5)},
			},
			TieRod: &angles.TieRod{PitchMm: 1.5, ArmMm: 130, AngleDeg: 90}, Doubt: angles.Doubt{LineMm: 0.1, CamberDeg: 0.02},
		}
	}
	for _, c := range []struct {
		name   string
		change func(*angles.Case)
		hold   []string // wheels that wait
		again  bool     // for a reading
		turned string   // wheels at which something is turned
	}{
		{"sound", func(*angles.Case) {}, nil, false, "RL RR FL FR"},
		{"front edge 15.2 for 152", func(c *angles.Case) { c.Wheels[angles.FL] = read(15.2, 147, -1) }, []string{"FL"}, true, "RL RR"},
		{"camber -12", func(c *angles.Case) { c.Wheels[angles.FR] = read(150, 150, -12) }, []string{"FR"}, true, "RL RR"},
		{"rear edge misread", func(c *angles.Case) { c.Wheels[angles.RR] = read(150, 49, -1) }, []string{"RR"}, true, ""},
		{"upright bent", func(c *angles.Case) {
			w := read(150, 150, -2.9)
			w.Sweep = &angles.Sweep{OutDeg: 20, CamberOutDeg: -1.5, InDeg: 20, CamberInDeg: -3.3, Pitch: &angles.Pitch{OutDeg: 4.2, InDeg: -4.2}}
			c.Wheels[angles.FR] = w
			c.Want[0]["included_deg"] = limits(20, 21) // whatever was read, it is off
		}, []string{"FR"}, false, "RL RR"},
	} {
		x := car()
		c.change(&x)
		r, err := angles.Examine(x)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		var hold, turned []string
		for _, h := range r.Hold {
			hold = append(hold, h.Wheel)
			if h.ReadAgain != c.again {
				t.Errorf("%s: %+v", c.name, h)
			}
		}
		for _, a := range r.Adjust {
			turned = append(turned, a.Wheel)
		}
		if strings.Join(hold, " ") != strings.Join(c.hold, " ") || strings.Join(turned, " ") != c.turned {
			t.Errorf("%s: held %v, turned at %v; expected %v and %s", c.name, hold, turned, c.hold, c.turned)
		}
	}
}
