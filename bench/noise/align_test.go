package noise

import (
	"context"
	"errors"
	"math"
	"testing"
)

// TestAlign finds when a recording began in a longer track, and says so where it
// cannot.
func TestAlign(t *testing.T) {
	var long Track
	for at := 0.0; at <= 90; at++ {
		long.AtS = append(long.AtS, at)
		long.ShaftHz = append(long.ShaftHz, 10+4*math.Sin(at/7)+2*math.Sin(at/3.1))
	}
	const began = 33.6
	piece := long.within(began, began+25)
	for i := range piece.AtS {
		piece.AtS[i] -= began
	}
	x := trackedNoise(31, 8000, piece, 0, 0)
	got, err := Align(context.Background(), Case{Samples: x, Rate: 8000, Track: &long}, 0, 90)
	if err != nil || !got.Clear || math.Abs(got.StartsS-began) > 0.3 {
		t.Errorf("%+v, %v; want %.1f s", got, err, began)
	}
	for name, c := range map[string]struct {
		x     []float32
		track Track
	}{
		"steady speed": {wheelNoise(2, 8000, 25, 14, 0, 0, 0), Track{[]float64{0, 90}, []float64{14, 14}}},
		"noise alone":  {gaussian(5, 8000*25), long},
	} {
		got, err := Align(context.Background(), Case{Samples: c.x, Rate: 8000, Track: &c.track}, 0, 90)
		if err != nil || got.Clear {
			t.Errorf("%s: %+v, %v; want not clear", name, got, err)
		}
	}
	short := Track{[]float64{0, 10}, []float64{14, 15}}
	if _, err := Align(context.Background(), Case{Samples: x, Rate: 8000, Track: &short}, 0, 90); !errors.As(err, new(*InputError)) {
		t.Errorf("a track that is too short: %v", err)
	}
}
