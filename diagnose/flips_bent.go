package diagnose

import "math"

// What the search along an input that plans do not depend on linearly may take.
const (
	bentParts = 4  // in which the way is looked through for the first change
	bentSteps = 40 // of halving
)

// tie is an input whose least move makes an action better that costs the same as
// the next one now: it flips where it stands.
func (f *flipper) tie(in input, way float64) (found, bool) {
	own, other := math.Inf(1), math.Inf(1)
	at := found{in: in}
	for _, p := range f.plans {
		_, slope := in.line(p.account)
		switch slope *= way; {
		case same(p.first, f.own):
			if p.cost <= f.own.cost*(1+1e-9) {
				own = min(own, slope)
			}
		case p.first.cost <= f.own.cost*(1+1e-9) && slope < other:
			other = slope
			at.to = p.first
		}
	}
	at.cost = f.own.cost
	at.way = way
	v := in.value(way * f.step(in, way))
	inside := v >= 0 && v <= in.top && (way > 0 || in.now > 0)
	return at, inside && other < own-1e-9*(math.Abs(own)+math.Abs(other))
}

// step is a small move of an input.
func (f *flipper) step(in input, way float64) float64 {
	end := in.end[0]
	if way < 0 {
		end = in.end[1]
	}
	return flipBeyond * math.Abs(end)
}

// settleTie solves the case with the input moved a little.
func (f *flipper) settleTie(at found) (_ found, keep bool, err error) {
	if f.s.method == LookAhead || !f.afford() {
		return at, true, nil
	}
	moved := at
	moved.u = at.way * f.step(at.in, at.way)
	there, err := f.solveAt(moved)
	if err != nil || there == nil {
		return at, false, err
	}
	ours, tied := math.Inf(1), math.Inf(1)
	for _, o := range there.options {
		switch {
		case same(o, f.own):
			ours = o.cost
		case same(o, at.to):
			tied = o.cost
		}
	}
	at.sure = true
	return at, tied < ours*(1-1e-12), nil
}

// settleBent finds where the next action changes along an input on which plans do
// not depend linearly, by solving the case at points along the way: the first of
// its parts in which the better action changes is halved.
func (f *flipper) settleBent(at found) (_ found, keep bool, err error) {
	if f.s.method == LookAhead {
		return at, true, nil
	}
	end := at.in.end[0]
	if at.u < 0 {
		end = at.in.end[1]
	}
	low, high := 0.0, math.NaN()
	for k := 1; k <= bentParts; k++ {
		u := end * float64(k) / bentParts
		changed, to, ok, err := f.changed(at, u)
		if err != nil || !ok {
			return at, true, err // not to be solved: an estimate
		}
		if changed {
			high, at.to = u, to
			break
		}
		low = u
	}
	if math.IsNaN(high) {
		return at, false, nil
	}
	for range bentSteps {
		if math.Abs(high-low) <= 1e-9*math.Abs(end) {
			at.sure = true
			break
		}
		mid := (low + high) / 2
		changed, to, ok, err := f.changed(at, mid)
		if err != nil {
			return at, false, err
		}
		if !ok {
			break
		}
		if changed {
			high, at.to = mid, to
		} else {
			low = mid
		}
	}
	at.u, at.cost = high, at.to.cost
	at.distance = at.in.distance(at.in.value(at.u))
	return at, at.distance <= flipFarthest, nil
}

// changed reports whether another action is better with the input moved by u; ok
// is false where it cannot be solved.
func (f *flipper) changed(at found, u float64) (changed bool, to option, ok bool, err error) {
	if !f.afford() {
		return false, to, false, nil
	}
	at.u = u
	there, err := f.solveAt(at)
	if err != nil || there == nil {
		return false, to, false, err
	}
	ours, best := f.compare(there)
	return best.cost < ours.cost*(1-1e-12), best, true, nil
}
