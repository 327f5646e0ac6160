package noise

import (
	"context"
	"errors"
	"math"
	"testing"
)

// TestSpectrogram: a tone that begins half-way stands in its row, from there on.
func TestSpectrogram(t *testing.T) {
	const rate = 16000
	x := make([]float32, 4*rate)
	for i := range x {
		if i >= 2*rate {
			x[i] = float32(math.Cos(2 * math.Pi * 3000 * float64(i) / rate))
		}
	}
	m, err := Spectrogram(context.Background(), x, rate, 100, 80)
	if err != nil {
		t.Fatal(err)
	}
	for i, at := range m.Across {
		loudest := 0
		for r := range m.Down {
			if m.DB[r][i] > m.DB[loudest][i] {
				loudest = r
			}
		}
		if at > 2.1 && (math.Abs(m.Down[loudest]-3000) > 60 || m.DB[loudest][i] < -1) || at < 1.9 && m.DB[loudest][i] > -100 {
			t.Fatalf("at %.2f s the loudest is %.0f Hz at %.0f dB", at, m.Down[loudest], m.DB[loudest][i])
		}
	}
	if _, err := Spectrogram(context.Background(), x[:100], rate, 100, 80); !errors.As(err, new(*InputError)) {
		t.Errorf("100 samples: %v", err)
	}
}

// TestWaterfall: an order stands upright over all speeds, a hum of fixed
// frequency does not.
func TestWaterfall(t *testing.T) {
	track := runUp(20)
	x := trackedNoise(4, 8000, track, hub.Turning(1, 0).BPFO, 0.6)
	for i := range x {
		x[i] += float32(0.1 * math.Cos(2*math.Pi*100*float64(i)/8000))
	}
	g := hub
	c := Case{Samples: x, Rate: 8000, Track: &track, Bearing: &g}
	for name, draw := range map[string]func(context.Context, Case) (Matrix, error){"sound": Waterfall, "envelope": EnvelopeWaterfall} {
		m, err := draw(context.Background(), c)
		if err != nil {
			t.Fatal(err)
		}
		level := func(order float64) float64 {
			k, sum, n := int(math.Round(order*frameTurns))-1, 0.0, 0
			for r := range m.DB {
				if v := math.Max(m.DB[r][k], m.DB[r][k-1]); !math.IsNaN(v) {
					sum, n = sum+v, n+1
				}
			}
			return sum / float64(n)
		}
		order := map[string]float64{"sound": 1, "envelope": 5.8}[name]
		for other := 9.4; other < 11; other += 0.3 {
			if level(order) < level(other)+6 {
				t.Errorf("%s: order %.1f at %.1f dB, order %.1f at %.1f dB", name, order, level(order), other, level(other))
			}
		}
	}
	steady := Track{[]float64{0, 20}, []float64{12, 12.01}}
	c.Track = &steady
	if _, err := Waterfall(context.Background(), c); !errors.As(err, new(*InputError)) {
		t.Errorf("a steady speed: %v", err)
	}
	c.Track = nil
	if _, err := Waterfall(context.Background(), c); !errors.As(err, new(*InputError)) {
		t.Errorf("no track: %v", err)
	}
}
