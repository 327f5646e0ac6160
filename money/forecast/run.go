package forecast

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"wreckwright/uncertain"
)

// Run makes the forecast. It fails with an [*InputError] where a figure of the
// case cannot be, and with the context's error where that ends first.
func Run(ctx context.Context, c Case) (Result, error) {
	if err := c.Validate(); err != nil {
		return Result{}, fmt.Errorf("forecast: %w", err)
	}
	bias := uncertain.LearnBias(c.Closed)
	sample, err := draw(ctx, c, bias)
	if err != nil {
		return Result{}, fmt.Errorf("forecast: %w", err)
	}
	r := Result{
		Currency: c.Currency, Ceiling: c.Ceiling, Spent: c.Spent, Bias: bias,
		Correlation: c.Correlation, Trials: c.Trials, Seed: c.Seed,
	}
	r.summarise(c, sample)
	r.itemise(c, sample)
	r.Cautions = cautions(c, r)
	r.Working = explain(c, r)
	return r, nil
}

// sample is all trials of a run.
type sample struct {
	remaining, hours []float64 // of each trial
	moments          uncertain.CoMoments
	hoursOf          []float64 // mean hours of each job
}

// blockSums is what one block leaves behind beside its trials.
type blockSums struct {
	moments uncertain.CoMoments
	hoursOf []float64
}

func draw(ctx context.Context, c Case, bias uncertain.Bias) (*sample, error) {
	sim := newSimulation(c, bias)
	s := &sample{remaining: make([]float64, c.Trials), hours: make([]float64, c.Trials)}
	sums := make([]blockSums, (c.Trials+uncertain.BlockTrials-1)/uncertain.BlockTrials)
	err := uncertain.Blocks(ctx, c.Trials, func() func(block, first, count int) {
		b := sim.newBench()
		return func(block, first, count int) {
			remaining, hours := s.remaining[first:first+count], s.hours[first:first+count]
			items, hoursOf := b.block(first, count, remaining, hours)
			sums[block] = blockSums{uncertain.CoMomentsOf(items, remaining), hoursOf}
		}
	})
	if err != nil {
		return nil, err
	}
	s.hoursOf = make([]float64, len(c.Jobs))
	for _, block := range sums {
		s.moments.Join(block.moments)
		add(s.hoursOf, block.hoursOf, 1/float64(c.Trials))
	}
	return s, nil
}

// summarise fills the figures of the sums.
func (r *Result) summarise(c Case, s *sample) {
	hours := uncertain.MomentsOf(s.hours)
	var group sync.WaitGroup
	group.Go(func() { uncertain.SortFloats(s.hours) })
	uncertain.SortFloats(s.remaining)
	group.Wait()
	total := s.moments.Total
	r.Remaining = summary(total, s.remaining)
	r.Hours = summary(hours, s.hours)
	r.sortedHours = s.hours
	r.sorted = s.remaining
	for i := range r.sorted {
		r.sorted[i] += c.Spent
	}
	total.Mean += c.Spent
	r.Total = summary(total, r.sorted)
	r.Intervals = QuantileIntervals{
		P10: uncertain.QuantileInterval(r.sorted, 0.1, 0.95), P50: uncertain.QuantileInterval(r.sorted, 0.5, 0.95),
		P80: uncertain.QuantileInterval(r.sorted, 0.8, 0.95), P90: uncertain.QuantileInterval(r.sorted, 0.9, 0.95),
	}
	if c.Ceiling != nil {
		chance, standardError := r.ChanceWithin(*c.Ceiling)
		interval := uncertain.Wilson(int(math.Round(chance*float64(c.Trials))), c.Trials, 0.95)
		r.ChanceUnderCeiling, r.StandardError, r.ChanceInterval = &chance, &standardError, &interval
	}
	r.Plain.Value = plainTotal(c)
	r.Plain.Chance, _ = r.ChanceWithin(r.Plain.Value)
	r.Histogram = newHistogram(r.sorted, histogramBins)
	for p := 0.005; p < 1; p += 0.01 {
		r.Curve = append(r.Curve, Point{math.Round(p*1000) / 1000, r.Quantile(p)})
	}
}

func summary(m uncertain.Moments, sorted []float64) Summary {
	return Summary{
		Mean: m.Mean, SD: math.Sqrt(m.Variance()),
		P10: uncertain.SampleQuantile(sorted, 0.1), P50: uncertain.SampleQuantile(sorted, 0.5),
		P80: uncertain.SampleQuantile(sorted, 0.8), P90: uncertain.SampleQuantile(sorted, 0.9),
	}
}

func plainTotal(c Case) float64 {
	sum := c.Spent
	for _, j := range c.Jobs {
		sum += max(0, j.Cost.Likely-j.Paid)
		if j.Hours != nil {
			sum += c.HourValue * max(0, j.Hours.Likely-j.HoursDone)
		}
	}
	return sum
}

// itemise fills the figures of the jobs and hidden items.
func (r *Result) itemise(c Case, s *sample) {
	shares := s.moments.Shares()
	r.Jobs = make([]JobFigures, 0, len(c.Jobs))
	r.Hidden = make([]HiddenFigures, 0, len(c.Hidden))
	r.Drivers = make([]Driver, 0, len(shares))
	for k, j := range c.Jobs {
		r.Jobs = append(r.Jobs, JobFigures{
			Key: j.Key, Name: j.Name, ExpectedCost: s.moments.Mean[k],
			ExpectedHours: s.hoursOf[k], VarianceShare: shares[k],
		})
		r.Drivers = append(r.Drivers, Driver{j.Name, shares[k]})
	}
	for i, h := range c.Hidden {
		k := len(c.Jobs) + i
		poisson := uncertain.CompoundPoisson{Expected: h.Expected, Severity: h.Cost}
		r.Hidden = append(r.Hidden, HiddenFigures{
			Name: h.Name(), ExpectedItems: h.Expected, ExpectedCost: s.moments.Mean[k],
			ChanceOfNone: poisson.ChanceOfNone(), VarianceShare: shares[k],
		})
		r.Drivers = append(r.Drivers, Driver{h.Name(), shares[k]})
	}
	for i, o := range c.Other {
		k := len(c.Jobs) + len(c.Hidden) + i
		r.Other = append(r.Other, OtherFigures{o.Name, s.moments.Mean[k], shares[k]})
		r.Drivers = append(r.Drivers, Driver{o.Name, shares[k]})
	}
	slices.SortStableFunc(r.Drivers, func(a, b Driver) int { return cmp.Compare(b.VarianceShare, a.VarianceShare) })
}

const histogramBins = 60

// newHistogram sorts a sorted sample into bins of equal width.
func newHistogram(sorted []float64, bins int) Histogram {
	from, to := uncertain.SampleQuantile(sorted, 0.001), uncertain.SampleQuantile(sorted, 0.999)
	h := Histogram{From: from, Width: (to - from) / float64(bins), Counts: make([]int, bins)}
	for _, v := range sorted {
		switch {
		case v < from:
			h.Below++
		case v > to:
			h.Above++
		case h.Width == 0:
			h.Counts[0]++
		default:
			h.Counts[min(int((v-from)/h.Width), bins-1)]++
		}
	}
	return h
}
