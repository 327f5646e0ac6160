package survey

import "math"

// Distances alone hardly fix heights, and what a point has moved by is not linear in
// them: a sound point can come out far off its place. So a movement counts only where
// the readings contradict the nominal place itself, all points that stand still being
// held at theirs within the build scatter.
//
// ref: DESIGN_SURVEY_AIDS
//
// Nor does it count where leaving one of its readings out would do.
func (e *examination) incredible(ref reference, moved []int) (list map[int]bool, apart []feigned) {
	net := e.a.net
	list = map[int]bool{}
	if net.dims < 3 || net.hasHeights() {
		return list, nil
	}
	single := chiSquare(1-movedRisk/float64(len(ref.index)), net.dims)
	free := map[int]bool{}
	for _, k := range moved {
		free[k] = true
	}
	for _, k := range moved {
		without := e.heldAt(ref, free)
		free[k] = false
		with := e.heldAt(ref, free)
		if with.squares-without.squares <= single {
			list[k] = true
			continue // it stands still for those that follow
		}
		if r := with.explains(ref.index[k], with.squares-without.squares-single); r >= 0 {
			apart = append(apart, feigned{k, r})
		}
		free[k] = true
	}
	return list, apart
}

// held is a network with places held.
type held struct {
	net     *network
	x       []float64
	squares float64
}

// explains is a distance at point i without which the sum of squares falls by so much at
// least; -1 where there is none.
func (h held) explains(i int, fall float64) int {
	a, err := h.net.at(h.x, h.squares)
	if err != nil {
		return -1
	}
	best := -1
	for k, r := range h.net.readings {
		if r.kind == distance && !r.out && (r.from == i || r.to == i) && a.w[k]*a.w[k] >= fall && (best < 0 || math.Abs(a.w[k]) > math.Abs(a.w[best])) {
			best = k
		}
	}
	return best
}

// heldAt is the least sum of squares with the nominal points held at their places but
// for those that are free.
func (e *examination) heldAt(ref reference, free map[int]bool) held {
	net := &network{ids: e.a.net.ids, dims: e.a.net.dims, readings: append([]reading(nil), e.a.net.readings...)}
	now := e.frame.apply(e.a.x)
	nominal := append([]float64(nil), now...)
	for k, i := range ref.index {
		copy(nominal[i*net.dims:(i+1)*net.dims], ref.at[k*net.dims:(k+1)*net.dims])
		if free[k] {
			continue
		}
		for axis := range net.dims {
			net.readings = append(net.readings, reading{kind: place, from: i, to: -1, axis: axis, mm: ref.at[k*net.dims+axis], sd: ref.sd[k]})
		}
	}
	x, squares := net.solveTo(nominal, 1e-3, 100)
	if y, then := net.solveTo(now, 1e-3, 100); then < squares {
		x, squares = y, then
	}
	return held{net, x, squares}
}

// keepCredible leaves the movements that the readings do not bear out, and has their
// points among those that may stand elsewhere.
func (e *examination) keepCredible(ref reference) {
	drop, apart := e.incredible(ref, e.result.moved)
	var moved []int
	var chance []float64
	for k, i := range e.result.moved {
		if drop[i] {
			e.loosely = append(e.loosely, ref.index[i])
			continue
		}
		moved, chance = append(moved, i), append(chance, e.result.chance[k])
	}
	e.result.moved, e.result.chance = moved, chance
	e.set(apart)
}
