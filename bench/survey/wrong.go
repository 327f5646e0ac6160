package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The risks that are taken, each over the whole survey.
const (
	fitRisk     = 0.05 // ref: DESIGN_SURVEY
	readingRisk = 0.03 // ref: DESIGN_SURVEY
	movedRisk   = 0.01 // ref: DESIGN_SURVEY
)

// Readings whose standardised residuals move together more than this cannot be
// told apart.
const alike = 0.98 // ref: DESIGN_SURVEY

// leastRedundancy is the share of an error that has to show before a reading is
// taken out.
const leastRedundancy = 0.02 // ref: DESIGN_SURVEY

func chiSquare(p float64, dof int) float64 {
	return distuv.ChiSquared{K: float64(dof)}.Quantile(p)
}

func beyondChiSquare(value float64, dof int) float64 {
	return distuv.ChiSquared{K: float64(dof)}.Survival(value)
}

// critical is the standardised residual that one of n sound readings passes
// with the risk.
func critical(risk float64, n int) float64 {
	return distuv.UnitNormal.Quantile(1 - risk/float64(2*max(n, 1)))
}

// fits reports whether the residuals are as the readings' doubt says.
func (a *adjustment) fits() bool {
	return a.dof <= 0 || a.squares <= chiSquare(1-fitRisk/2, a.dof)
}

// doubtful is a reading that may be wrong but cannot be told from others.
type doubtful struct{ readings []int }

// snoop takes wrong readings out one at a time, adjusting again after each, and
// then takes back those that the rest foretells. At most as many are taken out
// as there are readings to spare.
//
// ref: DESIGN_SURVEY
func (a *adjustment) snoop() (*adjustment, []doubtful, error) {
	limit := critical(readingRisk, a.net.used())
	var open []doubtful
	for a.dof > 1 {
		worst := a.worst()
		if worst < 0 || math.Abs(a.w[worst]) <= limit {
			break
		}
		if same := a.sameAs(worst); len(same) > 1 {
			open = append(open, doubtful{same})
			break
		}
		a.net.readings[worst].out = true
		next, err := a.net.adjust(a.x)
		if err != nil {
			return nil, nil, err
		}
		a = next
	}
	if a.dof == 1 && !a.fits() {
		open = append(open, doubtful{a.sameAs(a.worst())})
	}
	back, err := a.takeBack(limit)
	return back, open, err
}

func (a *adjustment) worst() int {
	worst := -1
	for k, r := range a.net.readings {
		if !r.out && a.r[k] >= leastRedundancy && (worst < 0 || math.Abs(a.w[k]) > math.Abs(a.w[worst])) {
			worst = k
		}
	}
	return worst
}

// sameAs are the readings whose standardised residuals cannot be told from that
// of k, with k.
func (a *adjustment) sameAs(k int) []int {
	if k < 0 {
		return nil
	}
	n := a.net
	e := n.equation(n.readings[k], a.x)
	along := make([]float64, n.size())
	for i := range along {
		for s := range e.n {
			along[i] += a.q.At(i, e.at[s]) * e.by[s]
		}
	}
	var same []int
	for j, r := range n.readings {
		if r.out || a.r[j] <= 1e-6 {
			continue
		}
		other := n.equation(r, a.x)
		var sum float64
		for s := range other.n {
			sum -= other.by[s] * along[other.at[s]]
		}
		if j == k {
			sum += r.sd * r.sd
		}
		together := sum / (n.readings[k].sd * r.sd * math.Sqrt(a.r[k]*a.r[j]))
		if j == k || math.Abs(together) > alike {
			same = append(same, j)
		}
	}
	return same
}

// takeBack takes readings back that the others foretell, the best first.
func (a *adjustment) takeBack(limit float64) (*adjustment, error) {
	tried := map[int]bool{}
	for {
		var out []int
		for k, r := range a.net.readings {
			if r.out && !tried[k] && math.Abs(a.w[k]) <= limit {
				out = append(out, k)
			}
		}
		if len(out) == 0 {
			return a, nil
		}
		best := slices.MinFunc(out, func(p, q int) int { return compare(math.Abs(a.w[p]), math.Abs(a.w[q])) })
		tried[best] = true
		a.net.readings[best].out = false
		next, err := a.net.adjust(a.x)
		if err != nil {
			return nil, err
		}
		if k := next.worst(); k >= 0 && math.Abs(next.w[k]) > limit && !next.fits() {
			a.net.readings[best].out = true
			continue
		}
		a = next
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
