package survey

import (
	"gonum.org/v1/gonum/mat"
)

// A point that only distances hold can often stand on either side of its
// neighbours' plane. foldRounds is how often all points are tried.
const foldRounds = 3

// neighbours are the points that distances tie to point i.
func (n *network) neighbours(i int) []int {
	var list []int
	seen := map[int]bool{}
	for _, r := range n.readings {
		if r.out || r.kind != distance || r.from != i && r.to != i {
			continue
		}
		if j := r.from + r.to - i; !seen[j] {
			seen[j] = true
			list = append(list, j)
		}
	}
	return list
}

// A point that stands in its neighbours' plane is tried off it.
const (
	inPlaneMm  = 2.0
	offPlaneMm = 50.0
)

// folded is point i mirrored in the plane (in plan: the line) that lies closest to
// its neighbours.
func (n *network) folded(i int, x []float64) []float64 {
	dims := n.dims
	near := pick(x, n.neighbours(i), dims)
	c := centre(near, dims)
	s := mat.NewSymDense(dims, nil)
	for k := 0; k < len(near); k += dims {
		for a := range dims {
			for b := a; b < dims; b++ {
				s.SetSym(a, b, s.At(a, b)+(near[k+a]-c[a])*(near[k+b]-c[b]))
			}
		}
	}
	p := append([]float64(nil), x[i*dims:(i+1)*dims]...)
	var eig mat.EigenSym
	if !eig.Factorize(s, true) {
		return p
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	normal := mat.Col(nil, 0, &vectors)
	image := plane{normal: normal, offset: dot(normal, c)}.image(p)
	if rms(image, p, dims) < inPlaneMm {
		// In the plane itself nothing draws it out of it.
		for k := range image {
			image[k] += offPlaneMm * normal[k]
		}
	}
	return image
}

// alone moves point i only, from p, to where its readings fit best; with the sum
// of their squares.
func (n *network) alone(i int, p, x []float64) ([]float64, float64) {
	dims := n.dims
	own := &network{ids: n.ids, dims: dims}
	for _, r := range n.readings {
		if !r.out && (r.from == i || r.to == i) {
			own.readings = append(own.readings, r)
		}
	}
	y := append([]float64(nil), x...)
	copy(y[i*dims:], p)
	now := own.squares(y)
	damping := 1e-3
	for range 40 {
		step, ok := own.stepOf(i, y, damping)
		if !ok {
			break
		}
		next := append([]float64(nil), y...)
		for k := range dims {
			next[i*dims+k] += step[k]
		}
		if then := own.squares(next); then < now {
			y, now = next, then
			damping /= 10
			continue
		}
		if damping *= 10; damping > 1e6 {
			break
		}
	}
	return y, now
}

// stepOf is a damped step of one point.
func (n *network) stepOf(i int, x []float64, damping float64) ([]float64, bool) {
	dims := n.dims
	m, right := mat.NewSymDense(dims, nil), mat.NewVecDense(dims, nil)
	var trace float64
	for _, r := range n.readings {
		e := n.equation(r, x)
		by := make([]float64, dims)
		for s := range e.n {
			if k := e.at[s] - i*dims; k >= 0 && k < dims {
				by[k] += e.by[s]
			}
		}
		p := 1 / (r.sd * r.sd)
		for a := range dims {
			right.SetVec(a, right.AtVec(a)-p*by[a]*(e.value-r.mm))
			for b := a; b < dims; b++ {
				m.SetSym(a, b, m.At(a, b)+p*by[a]*by[b])
			}
			trace += p * by[a] * by[a]
		}
	}
	for a := range dims {
		m.SetSym(a, a, m.At(a, a)+damping*trace+1e-12)
	}
	var chol mat.Cholesky
	var step mat.VecDense
	if !chol.Factorize(m) || chol.SolveVecTo(&step, right) != nil {
		return nil, false
	}
	return step.RawVector().Data, true
}

// sided are the points that a reading of a height or of a difference holds on
// their side.
func (n *network) sided() []bool {
	list := make([]bool, len(n.ids))
	for _, r := range n.readings {
		if r.kind == distance || r.out {
			continue
		}
		list[r.from] = true
		if r.kind == level {
			list[r.to] = true
		}
	}
	return list
}

// unfolded tries the other side for every point of a shape that does not fit, and
// keeps what fits better.
func (n *network) unfolded(x []float64, squares, enough float64) ([]float64, float64) {
	for range foldRounds {
		before := squares
		for i, sided := range n.sided() {
			if squares <= enough {
				return x, squares
			}
			if sided {
				continue
			}
			_, own := n.alone(i, x[i*n.dims:(i+1)*n.dims], x)
			y, other := n.alone(i, n.folded(i, x), x)
			if other >= own {
				continue
			}
			if y, then := n.solve(y); then < squares*0.999 {
				x, squares = y, then
			}
		}
		if squares >= before*0.999 {
			break
		}
	}
	return x, squares
}

// undecided are the points that stand as well elsewhere as where they are put:
// mirrored in their neighbours' plane the readings fit hardly worse. A point whose
// height was read has a side.
func (a *adjustment) undecided(limit float64) []int {
	n := a.net
	var list []int
	margin := chiSquare(1-readingRisk, n.dims)
	sided := n.sided()
	for i := range n.ids {
		if sided[i] {
			continue
		}
		p := a.x[i*n.dims : (i+1)*n.dims]
		_, own := n.alone(i, p, a.x)
		y, other := n.alone(i, n.folded(i, a.x), a.x)
		// The neighbours may give a little to let the point in on the other side.
		if other-own > margin*10 || rms(y[i*n.dims:(i+1)*n.dims], p, n.dims) <= limit {
			continue
		}
		y, squares := n.solve(y)
		if squares-a.squares <= margin && n.differs(y, a.x, i) > limit {
			list = append(list, i)
		}
	}
	return list
}

// differs is how far point i lies from its place in x once all are laid on.
func (n *network) differs(y, x []float64, i int) float64 {
	moved := robust(y, x, n.dims).apply(y)
	return rms(moved[i*n.dims:(i+1)*n.dims], x[i*n.dims:(i+1)*n.dims], n.dims)
}
