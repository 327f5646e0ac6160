package uncertain

import (
	"fmt"
	"math"
)

// VarianceShare is how much of the variance of a result one input accounts
// for: First on its own, Total together with all its interactions.
type VarianceShare struct {
	First, FirstError float64
	Total, TotalError float64
}

// VarianceShares estimates the shares of every input of f, which takes inputs
// numbers uniform on 0..1, from n (inputs + 2) calls:
//
//	First_i = mean( f(B) (f(AB_i) - f(A)) ) / V
//	Total_i = mean( (f(A) - f(AB_i))^2 ) / 2V
//
// where AB_i is A with the i-th input taken from B. The errors are the
// standard errors of those means, V taken as known.
//
// ref: SALTELLI_2010 table 2 (b); JANSEN_1999 total index
func VarianceShares(f func(x []float64) float64, inputs, n int, seed uint64) ([]VarianceShare, error) {
	if inputs < 1 || n < 2 {
		return nil, fmt.Errorf("variance shares of %d inputs from %d points: at least 1 input and 2 points are needed", inputs, n)
	}
	points := newPointPairs(inputs, n, seed)
	fa, fb := make([]float64, n), make([]float64, n)
	for t := range n {
		fa[t], fb[t] = f(points.row(t, -1, false)), f(points.row(t, -1, true))
	}
	both := MomentsOf(append(append([]float64(nil), fa...), fb...))
	shares := make([]VarianceShare, inputs)
	if both.Variance() == 0 {
		return shares, nil
	}
	for i := range shares {
		shares[i] = points.share(f, i, fa, fb, both)
	}
	return shares, nil
}

// pointPairs are the two independent sets of points A and B.
type pointPairs struct {
	a, b    []Stream
	scratch []float64
	n       int
}

func newPointPairs(inputs, n int, seed uint64) *pointPairs {
	p := &pointPairs{scratch: make([]float64, inputs), n: n}
	for i := range inputs {
		name := fmt.Sprint(i)
		p.a = append(p.a, NewStream(seed, name, "A"))
		p.b = append(p.b, NewStream(seed, name, "B"))
	}
	return p
}

// row is point t of A (or of B), with the input swap taken from B.
func (p *pointPairs) row(t, swap int, fromB bool) []float64 {
	for i := range p.scratch {
		if fromB || i == swap {
			p.scratch[i] = p.b[i].Uniform(t)
		} else {
			p.scratch[i] = p.a[i].Uniform(t)
		}
	}
	return p.scratch
}

func (p *pointPairs) share(f func([]float64) float64, i int, fa, fb []float64, both Moments) VarianceShare {
	first, total := make([]float64, p.n), make([]float64, p.n)
	for t := range p.n {
		swapped := f(p.row(t, i, false))
		// Centring f(B) changes no expected value and takes most of the noise away.
		first[t] = (fb[t] - both.Mean) * (swapped - fa[t])
		total[t] = (fa[t] - swapped) * (fa[t] - swapped) / 2
	}
	s, st, v, n := MomentsOf(first), MomentsOf(total), both.Variance(), float64(p.n)
	return VarianceShare{
		First: s.Mean / v, FirstError: math.Sqrt(s.Variance()/n) / v,
		Total: st.Mean / v, TotalError: math.Sqrt(st.Variance()/n) / v,
	}
}
