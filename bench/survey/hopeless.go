package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A shape that fits this badly, in doubts of the readings, with a tenth of them left
// out, is no shape to look for wrong readings in.
const (
	hopelessSDs   = 2.4
	hopelessShare = 0.1
)

// hopeless reports that a large network has found no shape that its readings fit: to
// take them out one by one would take most of them. A small one may be thrown that far
// off by a few gross errors, and is searched.
func (n *network) hopeless(x []float64) bool {
	if len(n.ids) <= largePoints {
		return false
	}
	spare := max(n.used()-n.size()+3, 1)
	return n.squaresBut(hopelessShare, x) > hopelessSDs*hopelessSDs*float64(spare)
}

// dropped is the adjustment without reading k, which is marked as out, to first
// order: exact enough to choose the next, and quick in a large network.
func (a *adjustment) dropped(k int) *adjustment {
	n := a.net
	e := n.equation(n.readings[k], a.x)
	size := n.size()
	u := mat.NewVecDense(size, nil)
	for i := range size {
		var sum float64
		for s := range e.n {
			sum += a.q.At(i, e.at[s]) * e.by[s]
		}
		u.SetVec(i, sum)
	}
	sd := n.readings[k].sd
	left := sd * sd * a.r[k]
	next := &adjustment{net: n, x: append([]float64(nil), a.x...), q: mat.NewSymDense(size, nil), defect: a.defect, dof: a.dof - 1}
	for i := range next.x {
		next.x[i] += u.AtVec(i) * a.v[k] / left
	}
	next.q.CopySym(a.q)
	next.q.SymRankOne(next.q, 1/math.Max(left, 1e-12), u)
	next.squares = n.squares(next.x)
	next.examine()
	return next
}
