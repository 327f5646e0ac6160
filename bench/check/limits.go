package check

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// knownDof is from where a Student t distribution is taken for a normal one; the
// chances differ by less than 1e-7.
const knownDof = 1e6

// below is the chance that a value measured as y lies below x.
func (d component) below(y, x float64) float64 {
	switch {
	case d.u == 0 && y < x:
		return 1
	case d.u == 0:
		return 0
	case d.dof > knownDof:
		return distuv.UnitNormal.CDF((x - y) / d.u)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: d.dof}.CDF((x - y) / d.u)
}

// outside is the chance that a value measured as y lies outside the limits. A
// value at a limit lies within it.
//
// ref: JCGM_106 7.3; JCGM_106 7.4
func (d component) outside(y float64, lower, upper *float64) float64 {
	var p float64
	if lower != nil {
		p += d.below(y, *lower)
	}
	if upper != nil {
		// The far tail by symmetry keeps its digits.
		p += d.below(-y, -*upper)
	}
	return math.Min(p, 1)
}

// acceptance is the limits moved inwards so that the risk at them is the one
// borne; ok is false where the doubt leaves nothing between two limits. Beyond
// both limits counts, so the bands are those of a single limit only where the
// other is far.
//
// ref: JCGM_106 8.3.2
func (d component) acceptance(lower, upper *float64, risk float64) (low, high *float64, ok bool) {
	reach := d.reach(risk)
	if lower != nil && upper != nil {
		middle := *lower + (*upper-*lower)/2
		if d.outside(middle, lower, upper) > risk {
			return nil, nil, false
		}
		gap := d.solve(*lower, middle, lower, upper, risk) - *lower
		return new(*lower + gap), new(*upper - gap), true
	}
	if lower != nil {
		return new(*lower + reach), nil, true
	}
	return nil, new(*upper - reach), true
}

// reach is how far inside a single limit the risk has fallen to the one borne.
func (d component) reach(risk float64) float64 {
	zero, far := 0.0, d.u
	for range 200 {
		if d.outside(far, &zero, nil) <= risk {
			break
		}
		far *= 2
	}
	return d.solve(0, far, &zero, nil, risk)
}

// solve halves the way from a, where the risk is above the one borne, to b,
// where it is not.
func (d component) solve(a, b float64, lower, upper *float64, risk float64) float64 {
	for range 200 {
		m := a + (b-a)/2
		if m == a || m == b {
			break
		}
		if d.outside(m, lower, upper) > risk {
			a = m
		} else {
			b = m
		}
	}
	return b
}
