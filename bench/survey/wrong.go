package survey

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The risks that are taken, each over the whole survey.
const (
	fitRisk     = 0.05  // ref: DESIGN_SURVEY
	readingRisk = 0.015 // ref: DESIGN_SURVEY
	movedRisk   = 0.005 // ref: DESIGN_SURVEY
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
// then takes back those that the rest foretells. Where another reading explains
// as much, both are set aside. At most as many are taken out as there are readings
// to spare.
//
// ref: DESIGN_SURVEY
func (a *adjustment) snoop() (*adjustment, []doubtful, error) {
	limit := critical(readingRisk, a.net.used())
	var open []doubtful
	stale := false
	for sets := 1; a.dof > 1; sets++ {
		worst := a.worst(limit)
		if worst < 0 && stale {
			var err error
			if a, err = a.net.adjust(a.x); err != nil {
				return nil, nil, err
			}
			stale = false
			continue
		}
		if worst < 0 {
			break
		}
		if same := a.sameAs(worst); len(same) > 1 {
			open = append(open, doubtful{same})
			break
		}
		next, err := a.withoutOneOf(worst, a.rivals(worst, limit), sets)
		if err != nil {
			return nil, nil, err
		}
		a, stale = next, len(a.net.ids) > largePoints
	}
	if a.dof == 1 && !a.fits() {
		open = append(open, doubtful{a.sameAs(a.worst(0))})
	}
	a, err := a.takeBack(limit)
	if err != nil {
		return nil, nil, err
	}
	a, aside, err := a.settle()
	return a, append(open, aside...), err
}

// worst is the reading over the limit whose error explains most; -1 where none
// is over it.
func (a *adjustment) worst(limit float64) int {
	worst, most := -1, 0.0
	for k, r := range a.net.readings {
		if r.out || a.r[k] < leastRedundancy || math.Abs(a.w[k]) <= limit {
			continue
		}
		if v := a.evidence(k); worst < 0 || v > most {
			worst, most = k, v
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
	same := []int{}
	for j, together := range a.together(k) {
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
			if r.out && r.aside == 0 && !tried[k] && math.Abs(a.w[k]) <= limit {
				out = append(out, k)
			}
		}
		if len(out) == 0 {
			return a, nil
		}
		best := slices.MinFunc(out, func(p, q int) int { return cmp.Compare(math.Abs(a.w[p]), math.Abs(a.w[q])) })
		tried[best] = true
		a.net.readings[best].out = false
		next, err := a.net.adjust(a.x)
		if err != nil {
			return nil, err
		}
		if next.worst(limit) >= 0 && !next.fits() {
			a.net.readings[best].out = true
			continue
		}
		a = next
	}
}
