package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// ownFrame lays the points out without nominal ones: the origin in the middle,
// y from the right points of the pairs to the left ones, else x along the
// longest spread; the first pair ahead of the last. Heights keep z, else marks on the
// floor lie below the rest.
func (a *adjustment) ownFrame(t twins, floor []int) motion {
	dims := a.net.dims
	c := centre(a.x, dims)
	var m motion
	level := dims == 3 && a.net.hasHeights()
	switch {
	case level || dims == 2:
		m = a.inPlan(t, c)
	default:
		m = a.inSpace(t, floor)
	}
	to := make([]float64, dims)
	if level {
		to[2] = c[2]
	}
	m = m.through(c, to)
	if len(t.left) > 1 {
		x := m.apply(a.x)
		last := len(t.left) - 1
		front := x[t.left[0]*dims] + x[t.right[0]*dims]
		if front < x[t.left[last]*dims]+x[t.right[last]*dims] {
			for k := range dims {
				m.r.Set(0, k, -m.r.At(0, k))
			}
			m = m.through(c, to)
		}
	}
	if dims == 3 && !level && a.above(m, floor) {
		for k := range dims {
			m.r.Set(2, k, -m.r.At(2, k))
		}
		m = m.through(c, to)
	}
	return m
}

// above reports that marks on the floor lie above the middle of all.
func (a *adjustment) above(m motion, floor []int) bool {
	x := m.apply(a.x)
	var sum float64
	for _, i := range floor {
		sum += x[3*i+2]
	}
	return sum > 0
}

// inPlan turns about the vertical only.
func (a *adjustment) inPlan(t twins, c []float64) motion {
	dims := a.net.dims
	var y [2]float64
	for i := range t.left {
		for k := range 2 {
			y[k] += a.x[t.left[i]*dims+k] - a.x[t.right[i]*dims+k]
		}
	}
	if len(t.left) == 0 {
		var xx, xy, yy float64
		for i := 0; i < len(a.x); i += dims {
			dx, dy := a.x[i]-c[0], a.x[i+1]-c[1]
			xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
		}
		angle := math.Atan2(2*xy, xx-yy) / 2
		y = [2]float64{-math.Sin(angle), math.Cos(angle)}
	}
	length := math.Hypot(y[0], y[1])
	if length == 0 {
		y, length = [2]float64{0, 1}, 1
	}
	r := mat.NewDense(dims, dims, nil)
	if dims == 3 {
		r.Set(2, 2, 1)
	}
	r.Set(0, 0, y[1]/length)
	r.Set(0, 1, -y[0]/length)
	r.Set(1, 0, y[0]/length)
	r.Set(1, 1, y[1]/length)
	return motion{r: r, dims: dims}
}

// inSpace puts y from the right points of the pairs to the left ones, x along the
// longest spread square to it, and z along the rest. Three marks on the floor or more
// say which way z is; without pairs it is the shortest spread.
func (a *adjustment) inSpace(t twins, floor []int) motion {
	var z, y []float64
	if n := pick(a.x, floor, 3); len(floor) >= 3 && !inOneLine(n) {
		_, along := spreads(n)
		z = along[0]
	}
	if len(t.left) > 0 {
		y = make([]float64, 3)
		for i := range t.left {
			for k := range 3 {
				y[k] += a.x[t.left[i]*3+k] - a.x[t.right[i]*3+k]
			}
		}
	}
	var held [][]float64
	for _, v := range [][]float64{z, y} {
		if v != nil {
			held = append(held, v)
		}
	}
	g := orthonormal(held, 3)
	_, along := spreads(squareTo(a.x, g))
	var columns [][]float64 // z, y, x as far as they are known, then the longest spread, then the rest
	for c := range held {
		columns = append(columns, mat.Col(nil, c, g))
	}
	columns = orthonormalList(append(columns, along[2], along[1], along[0]))
	r := mat.NewDense(3, 3, nil)
	for row, c := range axisOrder(z != nil, y != nil) {
		r.SetRow(row, columns[c])
	}
	return motion{r: r, dims: 3}
}

// axisOrder is which column is x, y and z: those held come first, z before y, then the
// longest spread.
func axisOrder(zHeld, yHeld bool) [3]int {
	switch {
	case zHeld && yHeld:
		return [3]int{2, 1, 0}
	case zHeld:
		return [3]int{1, 2, 0}
	case yHeld:
		return [3]int{1, 0, 2}
	}
	return [3]int{0, 1, 2}
}

// squareTo is the places with their parts along the columns of g taken off.
func squareTo(x []float64, g *mat.Dense) []float64 {
	c := centre(x, 3)
	out := make([]float64, len(x))
	_, columns := g.Dims()
	for i := 0; i < len(x); i += 3 {
		for k := range 3 {
			out[i+k] = x[i+k] - c[k]
		}
		for b := range columns {
			v := mat.Col(nil, b, g)
			s := dot(out[i:i+3], v)
			for k := range 3 {
				out[i+k] -= s * v[k]
			}
		}
	}
	return out
}

// orthonormalList are three directions square to one another, from those that lead.
func orthonormalList(columns [][]float64) [][]float64 {
	g := orthonormal(columns, 3)
	var list [][]float64
	for c := range 3 {
		list = append(list, mat.Col(nil, c, g))
	}
	return list
}

// spreads are the squared spreads of places in space, the shortest first, with their
// directions.
func spreads(x []float64) ([]float64, [3][]float64) {
	c := centre(x, 3)
	s := mat.NewSymDense(3, nil)
	for i := 0; i < len(x); i += 3 {
		for p := range 3 {
			for q := p; q < 3; q++ {
				s.SetSym(p, q, s.At(p, q)+(x[i+p]-c[p])*(x[i+q]-c[q]))
			}
		}
	}
	along := [3][]float64{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}}
	var eig mat.EigenSym
	if !eig.Factorize(s, true) {
		return nil, along
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	for k := range along {
		along[k] = mat.Col(nil, k, &vectors)
	}
	return eig.Values(nil), along
}
