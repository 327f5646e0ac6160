package workshop

import (
	"math"

	"wreckwright/bench/recharge"
)

// CurvePoint is one point of a fitted curve.
type CurvePoint struct{ AtS, Bar float64 }

// pointsOfCurve are enough for a smooth line.
const pointsOfCurve = 40

// FittedHolds are the curves that the engine fitted to the settled holds
// together: cooling and leak, and the leak alone. nil where it fitted none.
//
// The pressure after a stop is u(t) (1 + a exp(-t/tau)) with 1/u^2 = 1/p^2 + 2 g
// (1 - pa/pm) t, all absolute; see package recharge.
func (r Recharged) FittedHolds() (fitted, leak [][]CurvePoint) {
	res := r.Result
	if res == nil || res.Settle == nil || res.LeakConductance == nil || res.CutInBar == nil || res.CutOutBar == nil {
		return nil, nil
	}
	const pa = recharge.AtmosphereBar
	start := *res.CutOutBar + pa - res.Settle.DropBar
	middle := (*res.CutInBar+*res.CutOutBar)/2 + pa
	rate := 2 * res.LeakConductance.Value * (1 - pa/middle)
	if !(start > 0) || !(res.Settle.TimeConstantS > 0) {
		return nil, nil
	}
	for i := 1; i < len(r.Cycles); i++ {
		from, to := r.Cycles[i-1].OffS, r.Cycles[i].OnS
		if !r.Cycles[i].Settled || !(to > from) {
			continue
		}
		var both, alone []CurvePoint
		for k := range pointsOfCurve + 1 {
			// Closer at the beginning, where the gas cools.
			t := (to - from) * math.Pow(float64(k)/pointsOfCurve, 2)
			u := 1 / math.Sqrt(math.Max(1/(start*start)+rate*t, 1e-9))
			both = append(both, CurvePoint{from + t, u*(1+res.Settle.DropBar/start*math.Exp(-t/res.Settle.TimeConstantS)) - pa})
			alone = append(alone, CurvePoint{from + t, u - pa})
		}
		fitted, leak = append(fitted, both), append(leak, alone)
	}
	return fitted, leak
}
