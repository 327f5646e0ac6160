package forecast

import (
	"context"
	"fmt"
	"testing"

	"wreckwright/uncertain"
)

// benchCase is a rebuild of the given number of jobs as the numpy model in
// testdata/numpy_model.py builds it: every job has cost and hours, a quarter
// may fail, a fifth may not be needed, and three hidden items are expected.
func benchCase(jobs, trials int) Case {
	c := NewCase("EUR")
	c.Trials, c.HourValue, c.Spent = trials, 25, 10_000
	c.Ceiling = new(38_000.0)
	for i := range jobs {
		size := 100 + 10*float64(i)
		j := Job{
			Name:  fmt.Sprintf("job %d", i),
			Cost:  uncertain.Range{Low: 0.8 * size, Likely: size, High: 1.6 * size},
			Hours: &uncertain.Range{Low: 2, Likely: 3, High: 6},
		}
		if i%4 == 0 {
			j.Works = new(0.75)
			j.Fallback = &Fallback{
				Cost:  uncertain.Range{Low: 2 * size, Likely: 2.5 * size, High: 3.5 * size},
				Hours: &uncertain.Range{Low: 1, Likely: 2, High: 4},
			}
		}
		if i%5 == 0 {
			j.Needed = new(0.9)
		}
		c.Jobs = append(c.Jobs, j)
	}
	c.Hidden = []Hidden{{Expected: 3, Cost: uncertain.Range{Low: 80, Likely: 250, High: 1500}}}
	return c
}

func BenchmarkForecast(b *testing.B) {
	for _, size := range []struct{ jobs, trials int }{
		{40, 100_000}, // the case that is compared with numpy
		{10, 100_000},
		{20, 100_000},
		{80, 100_000},
		{160, 100_000},
		{40, 10_000},
		{40, 20_000},
		{40, 200_000},
		{40, 400_000},
	} {
		b.Run(fmt.Sprintf("jobs=%d/trials=%d", size.jobs, size.trials), func(b *testing.B) {
			c := benchCase(size.jobs, size.trials)
			for b.Loop() {
				if _, err := Run(context.Background(), c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
