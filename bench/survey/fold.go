package survey

import (
	"gonum.org/v1/gonum/mat"
)

// A point that only distances hold can often stand on either side of its
// neighbours' plane. foldRounds is how often all points are tried.
// In one sweep a point turns where it fits clearly better on the other side.
const (
	foldRounds  = 3
	sweeps      = 6
	clearlyLess = 0.8
	turnsLarge  = 12 // of the points that fit worst, in a large network
)

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

// folded is point i mirrored in the plane that lies closest to its neighbours; in
// plan, and where a reading holds its height, in the line there.
func (n *network) folded(i int, x []float64, held bool) []float64 {
	dims := n.dims
	across := dims
	if held {
		across = 2
	}
	near := flattened(pick(x, n.neighbours(i), dims), dims, across)
	c := centre(near, across)
	s := mat.NewSymDense(across, nil)
	for k := 0; k < len(near); k += across {
		for a := range across {
			for b := a; b < across; b++ {
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
	image := plane{normal: normal, offset: dot(normal, c)}.image(p[:across])
	if rms(image, p[:across], across) < inPlaneMm {
		// In the plane itself nothing draws it out of it.
		for k := range image {
			image[k] += offPlaneMm * normal[k]
		}
	}
	return append(image, p[across:]...)
}

// flattened leaves the first directions of each place.
func flattened(x []float64, dims, keep int) []float64 {
	var out []float64
	for k := 0; k < len(x); k += dims {
		out = append(out, x[k:k+keep]...)
	}
	return out
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
// keeps what fits better: first all that gain by it at once, then one by one.
func (n *network) unfolded(x []float64, squares, enough float64) ([]float64, float64) {
	for range foldRounds {
		if squares <= enough {
			break
		}
		y, then := n.roughly(n.swept(x))
		if then >= squares*0.999 {
			break
		}
		x, squares = y, then
	}
	if n.hopeless(x) {
		return x, squares
	}
	for range foldRounds {
		before := squares
		x, squares = n.turnedEach(x, squares, enough)
		if squares <= enough || squares >= before*0.999 {
			break
		}
	}
	return x, squares
}

// swept has each point in turn where it fits best on either side.
func (n *network) swept(start []float64) []float64 {
	x := append([]float64(nil), start...)
	sided := n.sided()
	tied := n.tied()
	for range sweeps {
		turned := 0
		for i := range n.ids {
			own, at := n.alone(tied[i], i, x[i*n.dims:(i+1)*n.dims], x)
			other, there := n.alone(tied[i], i, n.folded(i, x, sided[i]), x)
			if other < own*clearlyLess {
				at = there
				turned++
			}
			copy(x[i*n.dims:], at)
		}
		if turned == 0 {
			break
		}
	}
	return x
}

// turnedEach turns the points one by one, each time with all others following.
func (n *network) turnedEach(x []float64, squares, enough float64) ([]float64, float64) {
	sided := n.sided()
	tied := n.tied()
	order := n.worstFit(x, tied)
	if len(order) > largePoints {
		order = order[:turnsLarge]
	}
	for _, i := range order {
		if squares <= enough {
			break
		}
		own, _ := n.alone(tied[i], i, x[i*n.dims:(i+1)*n.dims], x)
		other, at := n.alone(tied[i], i, n.folded(i, x, sided[i]), x)
		if other >= own {
			continue
		}
		y := append([]float64(nil), x...)
		copy(y[i*n.dims:], at)
		if y, then := n.roughly(y); then < squares*0.999 {
			x, squares = y, then
		}
	}
	return x, squares
}

// undecided are the points that stand as well elsewhere as where they are put:
// mirrored in their neighbours' plane the readings fit hardly worse. A point whose
// height was read has a side there, but not in plan.
func (a *adjustment) undecided(limit float64) []int {
	n := a.net
	var list []int
	margin := chiSquare(1-readingRisk, n.dims)
	sided, tied := n.sided(), n.tied()
	give := 10.0
	if len(n.ids) > largePoints {
		give = 1
	}
	for i := range n.ids {
		p := a.x[i*n.dims : (i+1)*n.dims]
		own, _ := n.alone(tied[i], i, p, a.x)
		other, at := n.alone(tied[i], i, n.folded(i, a.x, sided[i]), a.x)
		// The neighbours may give a little to let the point in on the other side.
		if other-own > margin*give || rms(at, p, n.dims) <= limit {
			continue
		}
		if len(n.ids) > largePoints {
			list = append(list, i)
			continue
		}
		y := append([]float64(nil), a.x...)
		copy(y[i*n.dims:], at)
		y, squares := n.roughly(y)
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
