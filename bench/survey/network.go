package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// kind is what a reading tells.
type kind int

const (
	distance kind = iota
	height        // of from over one level plane; to is -1
	level         // of to over from
	place         // one coordinate of from, along axis; to is -1
)

func (k kind) String() string { return [...]string{"distance", "height", "level", "place"}[k] }

// reading is one observation.
type reading struct {
	kind
	from, to int
	axis     int
	mm, sd   float64
	row      int
	out      bool // taken out as wrong
	aside    int  // number of the set of which one is wrong, with which it was taken out; 0: none
}

// network is points by number and the readings between them.
type network struct {
	ids      []string
	dims     int // 2 in plan, 3 in space
	readings []reading
}

func (n *network) size() int { return len(n.ids) * n.dims }

// used is how many readings take part.
func (n *network) used() int {
	count := 0
	for _, r := range n.readings {
		if !r.out {
			count++
		}
	}
	return count
}

// equation is what a reading ought to be at x, and how that follows the
// coordinates: at by by; a height has one coordinate, a difference of heights
// two, a distance 2 x dims.
type equation struct {
	value float64
	at    [6]int
	by    [6]float64
	n     int
}

func (n *network) equation(r reading, x []float64) equation {
	var e equation
	switch r.kind {
	case place:
		e.at[0], e.by[0], e.n = r.from*n.dims+r.axis, 1, 1
		e.value = x[e.at[0]]
		return e
	case height:
		e.at[0], e.by[0], e.n = r.from*n.dims+2, 1, 1
		e.value = x[e.at[0]]
		return e
	case level:
		e.at[0], e.by[0] = r.from*n.dims+2, -1
		e.at[1], e.by[1], e.n = r.to*n.dims+2, 1, 2
		e.value = x[e.at[1]] - x[e.at[0]]
		return e
	}
	var sum float64
	var along [3]float64
	for k := range n.dims {
		along[k] = x[r.to*n.dims+k] - x[r.from*n.dims+k]
		sum += along[k] * along[k]
	}
	e.value = math.Sqrt(sum)
	d := max(e.value, 1e-9)
	e.n = 2 * n.dims
	for k := range n.dims {
		e.at[k], e.by[k] = r.from*n.dims+k, -along[k]/d
		e.at[n.dims+k], e.by[n.dims+k] = r.to*n.dims+k, along[k]/d
	}
	return e
}

// squares is the weighted sum of the squared residuals.
func (n *network) squares(x []float64) float64 {
	var sum float64
	for _, r := range n.readings {
		if r.out {
			continue
		}
		v := (n.equation(r, x).value - r.mm) / r.sd
		sum += v * v
	}
	return sum
}

// normals are the normal equations at x, with the right side.
func (n *network) normals(x []float64) (*mat.SymDense, []float64) {
	size := n.size()
	m := mat.NewSymDense(size, nil)
	right := make([]float64, size)
	for _, r := range n.readings {
		if r.out {
			continue
		}
		e := n.equation(r, x)
		p := 1 / (r.sd * r.sd)
		for a := range e.n {
			right[e.at[a]] -= p * e.by[a] * (e.value - r.mm)
			for b := range e.n {
				if e.at[a] <= e.at[b] {
					m.SetSym(e.at[a], e.at[b], m.At(e.at[a], e.at[b])+p*e.by[a]*e.by[b])
				}
			}
		}
	}
	return m, right
}

// motions are the ways in which points at x move together as one body, as
// orthonormal columns: shifts, then turns about the centre. Points in one line
// lack a turn.
func motions(x []float64, dims int) *mat.Dense {
	size, points := len(x), len(x)/dims
	c := centre(x, dims)
	var columns [][]float64
	for k := range dims {
		v := make([]float64, size)
		for i := range points {
			v[i*dims+k] = 1
		}
		columns = append(columns, v)
	}
	planes := [][2]int{{0, 1}}
	if dims == 3 {
		planes = [][2]int{{0, 1}, {1, 2}, {2, 0}}
	}
	for _, p := range planes {
		v := make([]float64, size)
		for i := range points {
			v[i*dims+p[0]] = -(x[i*dims+p[1]] - c[p[1]])
			v[i*dims+p[1]] = x[i*dims+p[0]] - c[p[0]]
		}
		columns = append(columns, v)
	}
	return orthonormal(columns, size)
}

// orthonormal makes columns perpendicular and of length 1, and leaves out what
// depends on those before.
func orthonormal(columns [][]float64, size int) *mat.Dense {
	var kept [][]float64
	for _, v := range columns {
		before := math.Sqrt(dot(v, v))
		for range 2 {
			for _, k := range kept {
				s := dot(v, k)
				for i := range v {
					v[i] -= s * k[i]
				}
			}
		}
		length := math.Sqrt(dot(v, v))
		if length <= 1e-9*before || length == 0 {
			continue
		}
		for i := range v {
			v[i] /= length
		}
		kept = append(kept, v)
	}
	if len(kept) == 0 {
		return &mat.Dense{}
	}
	g := mat.NewDense(size, len(kept), nil)
	for k, v := range kept {
		g.SetCol(k, v)
	}
	return g
}

// freedoms are the motions that the readings do not notice: all six without
// heights, three with three heights or more, four with levelled differences.
func (n *network) freedoms(m *mat.SymDense, x []float64) *mat.Dense {
	g := motions(x, n.dims)
	var mg, s mat.Dense
	mg.Mul(m, g)
	s.Mul(g.T(), &mg)
	k, _ := s.Dims()
	sym := mat.NewSymDense(k, nil)
	for a := range k {
		for b := a; b < k; b++ {
			sym.SetSym(a, b, (s.At(a, b)+s.At(b, a))/2)
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(sym, true) {
		return g
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	var columns [][]float64
	limit := 1e-9 * mat.Trace(m) / float64(n.size())
	for c, v := range eig.Values(nil) {
		if v > limit {
			continue
		}
		column := make([]float64, n.size())
		for i := range column {
			for a := range k {
				column[i] += g.At(i, a) * vectors.At(a, c)
			}
		}
		columns = append(columns, column)
	}
	return orthonormal(columns, n.size())
}

func dot(a, b []float64) float64 {
	var sum float64
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func centre(x []float64, dims int) []float64 {
	c := make([]float64, dims)
	points := float64(len(x) / dims)
	for i, v := range x {
		c[i%dims] += v / points
	}
	return c
}
