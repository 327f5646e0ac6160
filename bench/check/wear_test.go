package check

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func points(xy ...float64) []WearPoint {
	var list []WearPoint
	for i := 0; i < len(xy); i += 2 {
		list = append(list, WearPoint{xy[i], xy[i+1]})
	}
	return list
}

func TestWearVerdicts(t *testing.T) {
	u := Instrument{SD: new(0.01)}
	for _, tt := range []struct {
		name, verdict, word string
		c                   WearCase
	}{
		{"plenty", Pass, "likely 20000 km left", WearCase{Points: points(0, 6, 10000, 5.9, 20000, 5.8), Limit: 5.6, Instrument: u}},
		{"wanted and reached", Pass, "it goes the 5000 km wanted", WearCase{Points: points(0, 6, 10000, 5.9, 20000, 5.8), Limit: 5.6, Instrument: u, Want: new(5000.0)}},
		{"wanted and not reached", Fail, "chance of only", WearCase{Points: points(0, 6, 10000, 5.9, 20000, 5.8), Limit: 5.6, Instrument: u, Want: new(90000.0)}},
		{"wanted and open", CannotTell, "50 %", WearCase{Points: points(0, 6, 10000, 5.9, 20000, 5.8), Limit: 5.6, Instrument: u, Want: new(20000.0)}},
		{"worn", Fail, "worn beyond the limit", WearCase{Points: points(0, 6, 10000, 5.5), Limit: 5.6, Instrument: u}},
		{"rising, given out of order", Pass, "likely 10000 mi left", WearCase{Points: points(20000, 3, 0, 1, 10000, 2), Limit: 4, Instrument: u, DistanceUnit: "mi"}},
		{"away from the limit", CannotTell, "do not go towards", WearCase{Points: points(0, 6, 10000, 6.1, 20000, 6.2), Limit: 5.6, Instrument: u, Side: WearsDown}},
		{"worn out, and always was", Fail, "from the first reading on", WearCase{Points: points(0, 2.9, 1000, 2.8, 2000, 2.7, 3000, 2.6), Limit: 3, Instrument: u}},
		{"the same, known to wear down", Fail, "worn beyond the limit", WearCase{Points: points(0, 2.9, 1000, 2.8, 2000, 2.7, 3000, 2.6), Limit: 3, Instrument: u, Side: WearsDown, Want: new(100.0)}},
		{"the same, known to wear up", CannotTell, "do not go towards", WearCase{Points: points(0, 2.9, 1000, 2.8, 2000, 2.7, 3000, 2.6), Limit: 3, Instrument: u, Side: WearsUp}},
		{"beyond by scatter only", CannotTell, "do not go towards", WearCase{Points: points(0, 2.9, 1000, 2.91, 2000, 2.88, 3000, 2.89), Limit: 3, Instrument: Instrument{SD: new(0.05)}}},
		{"begins at its limit", Fail, "worn beyond the limit", WearCase{Points: points(0, 3, 1000, 2.9, 2000, 2.8), Limit: 3, Instrument: u, Side: WearsDown}},
		{"grown beyond its most, and always was", Fail, "from the first reading on", WearCase{Points: points(0, 1.1, 1000, 1.2, 2000, 1.3), Limit: 1, Instrument: u}},
		{"all scatter", CannotTell, "no end that these readings show", WearCase{Points: points(0, 6, 10000, 6.4, 20000, 5.9), Limit: 5.6}},
	} {
		r, err := Wear(tt.c)
		if err != nil {
			t.Fatalf("%s: %v", tt.name, err)
		}
		if r.Verdict != tt.verdict || !strings.Contains(r.Why, tt.word) {
			t.Errorf("%s: %s, %q; want %s, %q", tt.name, r.Verdict, r.Why, tt.verdict, tt.word)
		}
	}
}

func TestWearMistakes(t *testing.T) {
	u := Instrument{SD: new(0.01)}
	for _, tt := range []struct {
		key string
		c   WearCase
	}{
		{"points", WearCase{Points: points(0, 1), Instrument: u}},
		{"points", WearCase{Points: points(5, 1, 5, 2), Instrument: u}},
		{"points[2].at", WearCase{Points: points(5, 1, -5, 2), Instrument: u}},
		{"points[1].value", WearCase{Points: points(5, math.NaN(), 6, 2), Instrument: u}},
		{"instrument_limit", WearCase{Points: points(0, 1, 6, 2)}},
		{"instrument_sd", WearCase{Points: points(0, 1, 6, 2), Instrument: Instrument{SD: new(-1.0)}}},
		{"limit", WearCase{Points: points(0, 1, 6, 2), Instrument: u, Limit: 1}},
		{"side", WearCase{Points: points(0, 1, 6, 2), Instrument: u, Limit: 3, Side: "left"}},
		{"limit", WearCase{Points: points(0, 1, 6, 2), Instrument: u, Limit: math.NaN()}},
		{"want", WearCase{Points: points(0, 1, 6, 2), Instrument: u, Want: new(-1.0)}},
		{"risk", WearCase{Points: points(0, 1, 6, 2), Instrument: u, Risk: 0.7}},
		{"distance_unit", WearCase{Points: points(0, 1, 6, 2), Instrument: u, DistanceUnit: "m"}},
	} {
		_, err := Wear(tt.c)
		var wrong *InputError
		if !errors.As(err, &wrong) || wrong.Key != tt.key {
			t.Errorf("%v; want %s", err, tt.key)
		}
	}
}

// TestWearEdges: where an end of the distance is given, the chance that a
// reading there is beyond the limit is the risk.
func TestWearEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := WearCase{Limit: 0, Risk: rapid.Float64Range(0.01, 0.3).Draw(t, "risk")}
		for i := range rapid.IntRange(3, 8).Draw(t, "n") {
			c.Points = append(c.Points, WearPoint{float64(1000 * i), 10 - 0.3*float64(i) + rapid.Float64Range(-1, 1).Draw(t, "e")})
		}
		r, err := Wear(c)
		if err != nil {
			t.Fatal(err)
		}
		if r.ReadingSD < 1e-3 {
			t.Skip("no scatter to speak of: the edges are the line")
		}
		for _, x := range []struct {
			at   *float64
			want float64
		}{{r.Remaining.Low, 1 - c.Risk}, {r.Remaining.Likely, 0.5}, {r.Remaining.High, c.Risk}} {
			if x.at == nil || *x.at == 0 {
				continue
			}
			c.Want = x.at
			again, err := Wear(c)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(*again.Chance-x.want) > 1e-5 {
				t.Errorf("chance %g at %g; want %g", *again.Chance, *x.at, x.want)
			}
		}
	})
}
