package noise

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"wreckwright/outside"
)

// piece is an invented piece of road: noise and a hum of an order, 20 dB of level
// a factor of ten in its amplitude.
func piece(seed uint64, tag RoadTag, shaftHz, hum float64) RoadPart {
	const rate = 8000
	x := gaussian(seed, 5*rate)
	for i := range x {
		x[i] += float32(hum * math.Cos(2*math.Pi*5.8*shaftHz*float64(i)/rate))
	}
	return RoadPart{Tag: tag, Samples: x, Rate: rate, ShaftHz: shaftHz}
}

func hearRoad(t *testing.T, parts []RoadPart) Road {
	t.Helper()
	r, err := HearRoad(context.Background(), parts)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func roadTest(r Road, name string) RoadTest {
	for _, x := range r.Tests {
		if x.Name == name {
			return x
		}
	}
	return RoadTest{}
}

// weaves is four weaves to each side.
func weaves(left, right float64) []RoadPart {
	var parts []RoadPart
	for i := range uint64(4) {
		parts = append(parts, piece(100+i, RoadWeaveLeft, 14, left), piece(200+i, RoadWeaveRight, 14, right))
	}
	return parts
}

// TestRoadTests: each comparison finds what was put into the pieces, and says so
// when it cannot.
func TestRoadTests(t *testing.T) {
	db := func(x float64) float64 { return 0.05 * math.Pow(10, x/20) }
	cruise := []RoadPart{piece(1, RoadCruise, 14, db(0)), piece(2, RoadCruise, 14, db(0)), piece(3, RoadCruise, 14, db(0))}
	three := func(tag RoadTag, hum float64) []RoadPart {
		return append([]RoadPart{piece(11, tag, 14, hum), piece(12, tag, 14, hum), piece(13, tag, 14, hum)}, cruise...)
	}
	for _, c := range []struct {
		name, test, want string
		parts            []RoadPart
		diff             float64
	}{
		{"right side loaded is louder", TestWeave, LouderLeft, weaves(db(5), db(0)), 5},
		{"left side loaded is louder", TestWeave, LouderRight, weaves(db(0), db(5)), -5},
		{"neither", TestWeave, Same, weaves(db(0), db(0)), 0},
		{"in between", TestWeave, "", weaves(db(2), db(0)), 2},
		{"one weave each", TestWeave, "", weaves(db(5), db(0))[:2], 5},
		{"same on another surface", TestSurface, Same, three(RoadOtherSurface, db(0)), 0},
		{"other on another surface", TestSurface, Changes, three(RoadOtherSurface, db(-7)), -7},
		{"stays in neutral", TestNeutral, Same, three(RoadNeutral, db(0)), 0},
		{"gone in neutral", TestNeutral, Gone, three(RoadNeutral, db(-14)), -14},
		{"changes with the throttle", TestTorque, Changes, []RoadPart{piece(1, RoadDrive, 14, db(6)), piece(2, RoadDrive, 14, db(6)), piece(3, RoadDrive, 14, db(6)), piece(4, RoadCoast, 14, db(0)), piece(5, RoadCoast, 14, db(0)), piece(6, RoadCoast, 14, db(0))}, 6},
	} {
		got := roadTest(hearRoad(t, c.parts), c.test)
		if got.Outcome != c.want || math.Abs(got.DifferenceDB-c.diff) > 0.7 {
			t.Errorf("%s: %q by %+.2f dB (sd %.2f), want %q: %s", c.name, got.Outcome, got.DifferenceDB, got.SD, c.want, got.Why)
		}
	}
	silent := roadTest(hearRoad(t, []RoadPart{piece(1, RoadCruise, 14, 0), piece(2, RoadOtherSurface, 14, 0)}), TestSurface)
	if silent.Outcome != "" || silent.Likely != nil || !strings.Contains(silent.Why, "no line") {
		t.Errorf("surface without a hum: %+v", silent)
	}
}

// TestRoadSpeedCorrected: a faster piece is no louder hum.
func TestRoadSpeedCorrected(t *testing.T) {
	faster := piece(9, RoadNeutral, 14*1.2, 0.05*math.Pow(1.2, speedPower/20))
	r := hearRoad(t, []RoadPart{piece(1, RoadCruise, 14, 0.05), faster})
	if got := roadTest(r, TestNeutral); math.Abs(got.DifferenceDB) > 1 || got.SD < speedPowerSD*math.Log10(1.2) {
		t.Errorf("%+v", got)
	}
}

// TestRoadTurnsWithTrack: a piece whose speed changes is measured over its angle.
func TestRoadTurnsWithTrack(t *testing.T) {
	track := Track{AtS: []float64{0, 8}, ShaftHz: []float64{10, 14}}
	x := gaussian(5, 8*8000)
	angle := 0.0
	for i := range x {
		angle += track.hz(float64(i)/8000) / 8000
		x[i] += float32(0.1 * math.Cos(2*math.Pi*5.8*angle))
	}
	r := hearRoad(t, []RoadPart{{Tag: RoadDrive, Samples: x, Rate: 8000, Track: &track}, piece(3, RoadCoast, 12, 0.1)})
	if !r.ByLines || math.Abs(r.Levels[0].DB-r.Levels[1].DB) > 1 {
		t.Errorf("lines %v, levels %+v", r.Orders, r.Levels)
	}
}

// TestPlaces: the corner that is clearly loudest is named.
func TestPlaces(t *testing.T) {
	var parts []RoadPart
	for i, corner := range Corners {
		hum := 0.05
		if corner == "RL" {
			hum = 0.12
		}
		p := piece(40+uint64(i), RoadCruise, 14, hum)
		p.Place = corner
		parts = append(parts, p)
	}
	if got := roadTest(hearRoad(t, parts), TestPlace); got.Outcome != "RL" {
		t.Errorf("%+v", got)
	}
	for i := range parts {
		parts[i] = piece(50+uint64(i), RoadCruise, 14, 0.05)
		parts[i].Place = Corners[i]
	}
	if got := roadTest(hearRoad(t, parts), TestPlace); got.Outcome != "" {
		t.Errorf("all alike: %+v", got)
	}
}

// TestWeaveNeverSaysTheWrongSide: over many drives with a true difference, the
// side that is named is the right one, and none is named without any.
func TestWeaveNeverSaysTheWrongSide(t *testing.T) {
	wrong, named, none := 0, 0, 0
	for seed := range uint64(400) {
		noise := gaussian(seed, 64)
		drive := func(truth float64) RoadTest {
			r := Road{ByLines: true}
			for i := range 4 {
				r.Levels = append(r.Levels,
					RoadLevel{Tag: RoadWeaveLeft, DB: truth + 15*float64(noise[2*i]), SD: 0.5},
					RoadLevel{Tag: RoadWeaveRight, DB: 15 * float64(noise[2*i+1]), SD: 0.5})
			}
			r.compare()
			return roadTest(r, TestWeave)
		}
		switch drive(5).Outcome {
		case LouderLeft:
			named++
		case LouderRight, Same:
			wrong++
		}
		if o := drive(0).Outcome; o == LouderLeft || o == LouderRight {
			none++
		}
	}
	t.Logf("scatter 1.5 dB, 4 weaves a side, truth 5 dB: named right %d, wrong %d of 400; truth 0: a side named in %d", named, wrong, none)
	if wrong > 2 || none > 4 || named < 200 {
		t.Errorf("named right %d, wrong %d, a side without a difference %d of 400", named, wrong, none)
	}
}

// TestDifferenceAgainstScipy: two groups by Student's t.
func TestDifferenceAgainstScipy(t *testing.T) {
	db, sd := difference([]RoadLevel{{DB: 61}, {DB: 63}, {DB: 64}}, []RoadLevel{{DB: 58}, {DB: 59}, {DB: 61}})
	outside.Check(t, []outside.Case{
		{Source: "SCIPY_1_10", Where: "stats.t", What: "difference of two means, dB", Got: db, Want: 62.666666667 - 59.333333333, Tolerance: 1e-6, Why: "exact"},
		{Source: "SCIPY_1_10", Where: "stats.t", What: "half of its 95 % interval, dB: t.ppf(0.975, 4) sqrt(7/9 + 7/9)", Got: normal975 * sd, Want: 2.7764451052 * 1.2472191289, Tolerance: 1e-6, Why: "printed to 10 decimals"},
	})
}

// TestRoadMistakes name the piece.
func TestRoadMistakes(t *testing.T) {
	good := piece(1, RoadCruise, 14, 0.05)
	short, standing, silent := good, good, good
	short.Samples = good.Samples[:8000]
	standing.ShaftHz = 0
	silent.Samples = make([]float32, 40000)
	for name, c := range map[string]struct {
		parts []RoadPart
		want  string
	}{
		"one":      {[]RoadPart{good}, "at least two pieces"},
		"short":    {[]RoadPart{good, short}, "piece 2 (cruise): recording"},
		"standing": {[]RoadPart{good, standing}, "piece 2 (cruise): speed"},
		"silent":   {[]RoadPart{silent, good}, "piece 1 (cruise): recording: silence"},
	} {
		_, err := HearRoad(context.Background(), c.parts)
		if !errors.As(err, new(*InputError)) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}
