package chart

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// The expected ticks are written by hand from the rule: the step is the smallest of 1, 2, 5 x 10^n that makes no more
// steps than wanted (common practice, no source).
func TestTicksByHand(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      int
		ticks     []float64
	}{
		{0, 10, 5, []float64{0, 2, 4, 6, 8, 10}},
		{0, 10, 10, []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}},
		{0, 10, 4, []float64{0, 5, 10}},
		{0, 1, 5, []float64{0, 0.2, 0.4, 0.6, 0.8, 1}},
		{21340, 49000, 4, []float64{30000, 40000}},
		{21340, 49000, 6, []float64{25000, 30000, 35000, 40000, 45000}},
		{-3, 3, 3, []float64{-2, 0, 2}},
		{0.13, 0.42, 3, []float64{0.2, 0.3, 0.4}},
		{1e9, 3e9, 2, []float64{1e9, 2e9, 3e9}},
		{7, 7, 5, []float64{7}},
		{5, 4, 5, nil},
		{math.NaN(), 4, 5, nil},
		{0, math.Inf(1), 5, nil},
	} {
		if got := Ticks(c.low, c.high, c.want); !reflect.DeepEqual(got, c.ticks) {
			t.Errorf("Ticks(%v, %v, %d) = %v, want %v", c.low, c.high, c.want, got, c.ticks)
		}
	}
}

func TestNiceStepByHand(t *testing.T) {
	for _, c := range []struct {
		span float64
		want int
		step float64
	}{{100, 10, 10}, {100, 9, 20}, {100, 4, 50}, {100, 5, 20}, {100, 1, 100}, {101, 1, 200}, {0.3, 3, 0.1}, {0, 5, 1}, {-2, 5, 1}, {9, 0, 1}} {
		if got := NiceStep(c.span, c.want); math.Abs(got-c.step) > 1e-12*c.step {
			t.Errorf("NiceStep(%v, %d) = %v, want %v", c.span, c.want, got, c.step)
		}
	}
}

func TestTicksHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e9, 1e9).Draw(t, "low")
		high := low + rapid.Float64Range(1e-3, 1e9).Draw(t, "width")
		want := rapid.IntRange(1, 30).Draw(t, "want")
		ticks := Ticks(low, high, want)
		if len(ticks) > want+1 {
			t.Fatalf("%d ticks, wanted about %d", len(ticks), want)
		}
		slack := (high - low) * 1e-6
		for i, v := range ticks {
			if v < low-slack || v > high+slack {
				t.Fatalf("tick %v outside %v..%v", v, low, high)
			}
			if i > 0 && v <= ticks[i-1] {
				t.Fatalf("ticks do not rise: %v", ticks)
			}
		}
	})
}

func TestScale(t *testing.T) {
	s := Scale{Low: 10, High: 20, From: 100, To: 0}
	for v, want := range map[float64]float64{10: 100, 20: 0, 15: 50, 12: 80, 5: 100, 25: 0} {
		if got := s.At(v); math.Abs(got-want) > 1e-9 {
			t.Errorf("At(%v) = %v, want %v", v, got, want)
		}
	}
	if got := (Scale{Low: 3, High: 3, From: 0, To: 10}).At(3); got != 5 {
		t.Errorf("an empty scale puts its value at %v, want the middle, 5", got)
	}
}

func TestMoneyText(t *testing.T) {
	for _, c := range []struct {
		m    Money
		v    float64
		want string
	}{
		{Money{}, 38000, "38,000"},
		{pounds, 38000, "£38,000"},
		{pounds, 999.6, "£1,000"},
		{pounds, 0, "£0"},
		{pounds, -0.2, "£0"},
		{pounds, -1234567, "−£1,234,567"},
		{pounds, 100, "£100"},
		{Money{Symbol: "€", Group: ".", After: true}, 12500, "12.500\u202f€"},
		{Money{Symbol: "CHF", Group: "’"}, 12500, "CHF\u202f12’500"},
		{pounds, math.NaN(), "–"},
	} {
		if got := c.m.Text(c.v); got != c.want {
			t.Errorf("%+v of %v = %q, want %q", c.m, c.v, got, c.want)
		}
	}
}

func TestPercent(t *testing.T) {
	for v, want := range map[float64]string{0: "0 %", 0.004: "< 1 %", 0.01: "1 %", 0.234: "23 %", 1: "100 %"} {
		if got := percent(v); got != want {
			t.Errorf("percent(%v) = %q, want %q", v, got, want)
		}
	}
}
