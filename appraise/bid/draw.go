package bid

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"wreckwright/uncertain"
)

// columns are the trials: what the car brings, what it costs, what is left
// before it is paid for. value and keeps are the two factors of net.
type columns struct {
	value, keeps, net []float64
	jobs              []float64
	others            [][]float64
	costs, before     []float64
}

// draw draws value, discount and other costs in every trial.
func draw(ctx context.Context, c Case) (*columns, error) {
	n := trials(c)
	column := func() []float64 { return make([]float64, n) }
	s := &columns{value: column(), keeps: column(), net: column(), jobs: c.Costs, costs: column(), before: column()}
	if len(c.Costs) == 0 {
		s.jobs = column()
	}
	for range c.Other {
		s.others = append(s.others, column())
	}
	plan := planDraws(c)
	err := uncertain.Blocks(ctx, n, func() func(block, first, count int) {
		zero := make([]float64, uncertain.BlockTrials)
		return func(_, first, count int) {
			plan.value.fill(s.value[first:first+count], first, zero)
			plan.discount.fill(s.keeps[first:first+count], first, zero)
			for k, other := range plan.others {
				other.fill(s.others[k][first:first+count], first, zero)
			}
			s.combine(c, first, first+count)
		}
	})
	return s, err
}

// trials is how many trials a case has.
func trials(c Case) int {
	switch {
	case len(c.Costs) > 0:
		return len(c.Costs)
	case c.Trials > 0:
		return c.Trials
	}
	return DefaultTrials
}

// combine fills what follows from the draws in the trials from..to. keeps holds
// the discount before and the share that is left of the value after.
func (s *columns) combine(c Case, from, to int) {
	left := 1 - c.Selling.Percent/100
	for i := from; i < to; i++ {
		s.keeps[i] = 1 - min(1, s.keeps[i])
		s.net[i] = s.value[i]*s.keeps[i]*left - c.Selling.Fixed
		cost := s.jobs[i]
		for _, other := range s.others {
			cost += other[i]
		}
		s.costs[i] = cost
		s.before[i] = s.net[i] - cost
	}
}

// input is one range with its random numbers.
type input struct {
	curve  uncertain.Curve
	stream uncertain.Stream
	known  uncertain.Range
}

type draws struct {
	value, discount input
	others          []input
}

// planDraws gives each input a stream of its own; other costs of the same name
// have different ones.
func planDraws(c Case) draws {
	of := func(r uncertain.Range, item, name string) input {
		return input{r.Curve(), uncertain.NewStream(c.Seed, item, name), r}
	}
	p := draws{value: of(c.Value, "car", "value when done"), discount: of(c.Discount, "car", "marker discount")}
	seen := map[string]int{}
	for _, o := range c.Other {
		seen[o.Name]++
		p.others = append(p.others, of(o.Cost, o.Name, fmt.Sprintf("other cost %d", seen[o.Name])))
	}
	return p
}

// fill draws a column; zero is a column of zeros: nothing is shared with other
// inputs.
func (in input) fill(dst []float64, first int, zero []float64) {
	if in.known.IsCertain() {
		for i := range dst {
			dst[i] = in.known.Likely
		}
		return
	}
	in.curve.Draw(dst, 1, in.stream, first, zero)
}

// drivers divides the variance of the money before the purchase. The value and
// what the discount leaves of it are multiplied; their product is divided as
//
//	v k - mv mk = (v - mv)(k + mk)/2 + (k - mk)(v + mv)/2
//
// which gives each half of what they do together. The jobs' part is divided by
// the forecast's own shares: value and discount know nothing of the jobs, so a
// job's covariance with the profit is that with the sum of the jobs.
//
// ref: DESIGN_SHARES; DESIGN_BID drivers
func (s *columns) drivers(c Case) []Driver {
	left := 1 - c.Selling.Percent/100
	meanValue, meanKeeps := uncertain.MomentsOf(s.value).Mean, uncertain.MomentsOf(s.keeps).Mean
	ofValue, ofDiscount := make([]float64, len(s.value)), make([]float64, len(s.value))
	for i, v := range s.value {
		k := s.keeps[i]
		ofValue[i] = left * (v - meanValue) * (k + meanKeeps) / 2
		ofDiscount[i] = left * (k - meanKeeps) * (v + meanValue) / 2
	}
	costs := append([][]float64{s.jobs}, s.others...)
	shares := uncertain.CoMomentsOf(append(costs, ofValue, ofDiscount), s.before).Shares()
	n := len(shares)
	list := []Driver{{"value when done", shares[n-2]}}
	if !c.Keep {
		list = append(list, Driver{"marker discount", shares[n-1]})
	}
	list = append(list, dividedJobs(c.Drivers, -shares[0])...)
	for i, o := range c.Other {
		list = append(list, Driver{o.Name, -shares[i+1]})
	}
	for i, d := range list {
		if math.Abs(d.VarianceShare) < noShare {
			list[i].VarianceShare = 0
		}
	}
	slices.SortStableFunc(list, func(a, b Driver) int { return cmp.Compare(b.VarianceShare, a.VarianceShare) })
	return list
}

// noShare is what rounding leaves of a share that is none.
const noShare = 1e-12

// dividedJobs divides the jobs' share among them; where nobody says how, it
// stays whole.
func dividedJobs(drivers []Driver, share float64) []Driver {
	sum := 0.0
	for _, d := range drivers {
		sum += d.VarianceShare
	}
	if sum == 0 && share != 0 {
		return []Driver{{"jobs and hidden damage", share}}
	}
	var list []Driver
	for _, d := range drivers {
		if sum != 0 {
			d.VarianceShare *= share / sum
		}
		list = append(list, d)
	}
	return list
}
