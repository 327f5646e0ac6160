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
		m = a.inSpace(t, c)
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

// inSpace puts z along the shortest spread.
func (a *adjustment) inSpace(t twins, c []float64) motion {
	s := mat.NewSymDense(3, nil)
	for i := 0; i < len(a.x); i += 3 {
		for p := range 3 {
			for q := p; q < 3; q++ {
				s.SetSym(p, q, s.At(p, q)+(a.x[i+p]-c[p])*(a.x[i+q]-c[q]))
			}
		}
	}
	columns := [][]float64{}
	if len(t.left) > 0 {
		y := make([]float64, 3)
		for i := range t.left {
			for k := range 3 {
				y[k] += a.x[t.left[i]*3+k] - a.x[t.right[i]*3+k]
			}
		}
		columns = append(columns, y)
	}
	var eig mat.EigenSym
	if eig.Factorize(s, true) {
		var vectors mat.Dense
		eig.VectorsTo(&vectors)
		order := []int{0, 2, 1}
		if len(t.left) == 0 {
			order = []int{1, 0, 2}
		}
		for _, k := range order {
			columns = append(columns, mat.Col(nil, k, &vectors))
		}
	}
	g := orthonormal(columns, 3)
	r := mat.NewDense(3, 3, nil)
	for k := range 3 {
		r.Set(1, k, g.At(k, 0))
		r.Set(2, k, g.At(k, 1))
		r.Set(0, k, g.At(k, 2))
	}
	return motion{r: r, dims: 3}
}
