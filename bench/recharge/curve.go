package recharge

import "math"

// CurvePoint is one point of a fitted curve: seconds of the log, gauge pressure.
type CurvePoint struct{ AtS, Bar float64 }

// FittedHold is what was fitted to one hold, from the stop of the pump to its
// next start.
type FittedHold struct {
	Whole []CurvePoint // cooling and leak
	Leak  []CurvePoint // the leak alone
}

// pointsOfCurve are enough for a smooth line.
const pointsOfCurve = 40

// FittedHolds are the curves of the holds that cooling and leak were fitted to,
// in the order of time; nil where nothing was fitted. A hold that the log's end
// cuts off is left out.
func (r Result) FittedHolds() []FittedHold {
	var out []FittedHold
	for k, i := range r.fitAt {
		if i+1 >= len(r.Cycles) {
			continue
		}
		from, to := r.Cycles[i].OffS, r.Cycles[i+1].OnS
		var h FittedHold
		for n := range pointsOfCurve + 1 {
			// Closer at the beginning, where the gas cools.
			t := (to - from) * math.Pow(float64(n)/pointsOfCurve, 2)
			h.Whole = append(h.Whole, CurvePoint{from + t, r.fit.at(k, t) - AtmosphereBar})
			h.Leak = append(h.Leak, CurvePoint{from + t, r.fit.relaxedAt(k, t) - AtmosphereBar})
		}
		out = append(out, h)
	}
	return out
}
