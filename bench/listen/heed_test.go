package listen

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// asked is a context that ends once it was asked so often; 0 for never.
type asked struct {
	context.Context
	times, after int
}

// Err is part of [context.Context].
func (a *asked) Err() error {
	if a.times++; a.after > 0 && a.times >= a.after {
		return context.Canceled
	}
	return nil
}

// TestNobodyWaits: at whatever step the context ends, so does the listening; and it
// is looked at often after the last sample was read. The sounds are invented.
func TestNobodyWaits(t *testing.T) {
	g := newGarage(8000, 40, 1)
	g.room(0.002, 0.01)
	g.sounds(gear(54), 8, 14)
	g.sounds(gear(54), 26, 32)
	whole := g.record()
	blocks := len(whole.Mono)/blockLength + 2
	never := &asked{Context: t.Context()}
	if r, err := Hear(never, whole, Options{}); err != nil || len(r.Runs) != 2 {
		t.Fatal(len(r.Runs), err)
	}
	if never.times < blocks+20 {
		t.Errorf("asked %d times for %d blocks", never.times, blocks)
	}
	for after := 1; after <= never.times; after += 1 + after/4 {
		again := Samples{Rate: whole.Rate, Mono: whole.Mono}
		if _, err := Hear(&asked{Context: t.Context(), after: after}, &again, Options{}); !errors.Is(err, context.Canceled) {
			t.Errorf("ended at the %d. of %d questions: %v", after, never.times, err)
		}
	}
}

// TestSilent: a recording without any sound says so, not that no pump ran.
func TestSilent(t *testing.T) {
	for name, level := range map[string]float32{"nothing": 0, "the last bit": 1.0 / (1 << 15)} {
		s := &Samples{Rate: 8000, Mono: make([]float32, 80000)}
		for i := range s.Mono {
			s.Mono[i] = level * float32(i%2)
		}
		r, err := Hear(t.Context(), s, Options{})
		if err != nil || len(r.Runs) != 0 || len(r.Cautions) != 1 || !strings.HasPrefix(r.Cautions[0], "the recording is silent from start to end: ") {
			t.Errorf("%s: %d runs, %q, %v", name, len(r.Runs), r.Cautions, err)
		}
	}
}
