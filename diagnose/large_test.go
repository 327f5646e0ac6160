package diagnose

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// largeCase is a random case of the size that must be answered in a moment:
// faults with a repair each, tests of three outcomes, some measured.
func largeCase(seed uint64, faults, tests, repairs, measured, several int) Case {
	rng := rand.New(rand.NewPCG(seed, 1))
	c := Case{Currency: "EUR", HourValue: 30, Several: several, ReplaceAll: &ReplaceAll{Cost: 3000, Minutes: 300}}
	for f := range faults {
		c.Faults = append(c.Faults, Fault{ID: fmt.Sprintf("f%d", f), Prior: 0.005 + 0.1*rng.Float64()*rng.Float64()})
	}
	for k := range tests {
		t := Test{ID: fmt.Sprintf("t%d", k), Cost: 5 * rng.Float64(), Minutes: 5 + 40*rng.Float64()}
		if k >= tests-measured {
			for range faults {
				t.Measured = append(t.Measured, Reading{Shape: Lognormal, Centre: 5 + 60*rng.Float64(), Spread: 1.2 + 0.5*rng.Float64()})
			}
		} else {
			t.Outcomes = []string{"low", "usual", "high"}
			for range faults {
				t.Chance = append(t.Chance, randomRow(rng, 3))
			}
		}
		c.Tests = append(c.Tests, t)
	}
	for k := range repairs {
		r := Repair{ID: fmt.Sprintf("r%d", k), Cost: 20 + 400*rng.Float64(), Minutes: 30 + 200*rng.Float64(), Fixes: make([]float64, faults)}
		r.Fixes[k%faults] = 0.7 + 0.3*rng.Float64()
		c.Repairs = append(c.Repairs, r)
	}
	return c
}

// randomRow is a row of chances that leans to one outcome.
func randomRow(rng *rand.Rand, n int) []float64 {
	row := make([]float64, n)
	total := 0.0
	for o := range row {
		row[o] = 0.05 + rng.ExpFloat64()*rng.ExpFloat64()
		total += row[o]
	}
	for o := range row {
		row[o] /= total
	}
	return row
}

// BenchmarkLarge is 40 faults, 30 tests and 40 repairs, flips included.
func BenchmarkLarge(b *testing.B) {
	for _, size := range []struct {
		name              string
		measured, several int
	}{{"outcomes", 0, 1}, {"some_measured", 10, 1}, {"all_measured", 30, 1}, {"two_at_once", 0, 2}, {"two_at_once_some_measured", 10, 2}} {
		b.Run(size.name, func(b *testing.B) {
			c := largeCase(3, 40, 30, 40, size.measured, size.several)
			for b.Loop() {
				a, err := Advise(context.Background(), c)
				if err != nil || a.Method != LookAhead {
					b.Fatal(a.Method, err)
				}
			}
		})
	}
}
