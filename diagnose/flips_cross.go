package diagnose

import (
	"cmp"
	"math"
	"slices"
)

// crossing is the nearest u in one direction beyond which a plan with another
// first action costs less than every plan with the present one.
func (f *flipper) crossing(in input, way float64, plans []planned) (found, bool) {
	var own, other []line
	for _, p := range plans {
		at, slope := in.line(p.account)
		l := line{at: at, slope: way * slope, first: p.first}
		switch {
		case same(p.first, f.own):
			own = append(own, l)
		default:
			other = append(other, l)
		}
	}
	best := found{in: in, u: math.Inf(1)}
	for _, a := range own {
		for _, b := range other {
			x := (b.at - a.at) / (a.slope - b.slope)
			if x > 0 && x < best.u && crosses(own, other, x) {
				best.u = x
			}
		}
	}
	if math.IsInf(best.u, 1) {
		return best, false
	}
	best.to = lowest(other, best.u*(1+1e-6)).first
	best.cost = lowest(other, best.u).value(best.u)
	best.u *= way
	best.cost /= 1 + in.mass*best.u
	v := in.value(best.u)
	best.distance = in.distance(v)
	edge := in.edge()
	inside := v > edge && v < in.top-edge
	return best, inside && best.distance <= flipFarthest
}

// edge is how near the ends of what can be nothing is looked for: an amount that
// would have to be all but nothing is no flip.
func (in input) edge() float64 {
	if in.chance {
		return 1e-9 * min(1, in.now)
	}
	return 1e-4 * in.scale
}

// crosses reports whether the others are as cheap as the own at x, and cheaper
// beyond.
func crosses(own, other []line, x float64) bool {
	size := math.Abs(own[0].at)
	if lowest(own, x).value(x) < lowest(other, x).value(x)-1e-9*size {
		return false
	}
	x *= 1 + flipBeyond
	return lowest(other, x).value(x) < lowest(own, x).value(x)-flipLess*size
}

// line is a plan's cost along an input.
type line struct {
	at, slope float64
	first     option
}

func (l line) value(x float64) float64 { return l.at + l.slope*x }

func lowest(lines []line, x float64) line {
	return slices.MinFunc(lines, func(a, b line) int { return cmp.Compare(a.value(x), b.value(x)) })
}

// distance is how far a move is: in log-odds of a chance, else the logarithm of
// the factor by which the whole cost of the action grows or shrinks.
func (in input) distance(v float64) float64 {
	if in.chance {
		return math.Abs(logit(v) - logit(in.now))
	}
	scale := in.scale
	if scale <= 0 {
		scale = 1
	}
	return math.Abs(math.Log(math.Max(0.05, (scale+v-in.now)/scale)))
}

// logit keeps chances of 0 and 1 comparable with others.
func logit(p float64) float64 {
	p = math.Min(math.Max(p, 1e-3), 1-1e-3)
	return math.Log(p / (1 - p))
}
