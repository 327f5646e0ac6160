package survey

import (
	"cmp"
	"math"
	"slices"
)

// How many of the points that fit worst are placed anew together: two that hold one
// another on the wrong side do not come back one by one.
var replacements = []int{2, 4, 8}

// bearings is from how many sides a point is placed anew.
const bearings = 8

// replaced places the points anew that fit worst, and keeps what fits better.
func (n *network) replaced(x []float64, squares, enough float64) ([]float64, float64) {
	for _, count := range replacements {
		if 2*count > len(n.ids) || n.mostFit(x, enough) {
			break
		}
		y, then := n.roughly(n.anew(x, count))
		y, then = n.unfolded(y, then, enough)
		if then < squares*0.999 {
			x, squares = y, then
		}
	}
	return x, squares
}

// anew places the count points that fit worst one after another by their readings
// to those that are placed, the one with most of these first.
func (n *network) anew(start []float64, count int) []float64 {
	x := append([]float64(nil), start...)
	tied := n.tied()
	placed := make([]bool, len(n.ids))
	for i := range placed {
		placed[i] = true
	}
	loose := n.worstFit(x, tied)[:count]
	for _, i := range loose {
		placed[i] = false
	}
	for len(loose) > 0 {
		next, known := 0, []reading(nil)
		for k, i := range loose {
			if list := toPlaced(tied[i], i, placed); len(list) > len(known) {
				next, known = k, list
			}
		}
		i := loose[next]
		copy(x[i*n.dims:], n.fromAllSides(known, i, x))
		placed[i] = true
		loose = slices.Delete(loose, next, next+1)
	}
	return x
}

// worstFit are the points in order of how badly their readings fit, the worst
// first.
func (n *network) worstFit(x []float64, tied [][]reading) []int {
	order, misfit := make([]int, len(n.ids)), make([]float64, len(n.ids))
	for i := range order {
		order[i] = i
		sum, _, _ := n.pull(tied[i], i, x[i*n.dims:(i+1)*n.dims], x)
		misfit[i] = sum / float64(max(len(tied[i]), 1))
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(misfit[b], misfit[a]) })
	return order
}

// toPlaced are the readings of point i that need no point that is yet to be placed.
func toPlaced(tied []reading, i int, placed []bool) []reading {
	var list []reading
	for _, r := range tied {
		if r.kind == height || placed[r.from+r.to-i] {
			list = append(list, r)
		}
	}
	return list
}

// fromAllSides is the best place of point i from starts all round its neighbours.
func (n *network) fromAllSides(known []reading, i int, x []float64) []float64 {
	best := append([]float64(nil), x[i*n.dims:(i+1)*n.dims]...)
	lowest, _, _ := n.pull(known, i, best, x)
	var c [2]float64
	var reach, lines float64
	for _, r := range known {
		if r.kind == distance {
			other := (r.from + r.to - i) * n.dims
			c[0], c[1], reach, lines = c[0]+x[other], c[1]+x[other+1], reach+r.mm, lines+1
		}
	}
	if lines == 0 {
		return best
	}
	for k := range bearings {
		angle := 2 * math.Pi * float64(k) / bearings
		p := append([]float64(nil), x[i*n.dims:(i+1)*n.dims]...)
		p[0], p[1] = (c[0]+reach*math.Cos(angle))/lines, (c[1]+reach*math.Sin(angle))/lines
		if squares, at := n.alone(known, i, p, x); squares < lowest {
			lowest, best = squares, at
		}
	}
	return best
}
