package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// reference is the points that have a nominal place.
type reference struct {
	index []int // in the network
	at    []float64
	sd    []float64
}

func (c Case) reference(n numbering, dims int) reference {
	var r reference
	for _, p := range c.Nominal {
		i, ok := n.of[p.Point]
		if !ok {
			continue
		}
		r.index = append(r.index, i)
		r.at = append(r.at, []float64{p.X, p.Y, p.Z}[:dims]...)
		r.sd = append(r.sd, p.SDMm)
	}
	return r
}

func pick(x []float64, index []int, dims int) []float64 {
	var out []float64
	for _, i := range index {
		out = append(out, x[i*dims:(i+1)*dims]...)
	}
	return out
}

func pickCovariance(q *mat.SymDense, index []int, dims int) *mat.SymDense {
	out := mat.NewSymDense(len(index)*dims, nil)
	for a, i := range index {
		for b, j := range index {
			for s := range dims {
				for t := range dims {
					if a*dims+s <= b*dims+t {
						out.SetSym(a*dims+s, b*dims+t, q.At(i*dims+s, j*dims+t))
					}
				}
			}
		}
	}
	return out
}

// robust is the motion of p to q that points far off hardly pull: weights fall
// with the square of what is left, against the median of it.
//
// ref: DESIGN_SURVEY
func robust(p, q []float64, dims int) motion {
	points := len(p) / dims
	weight := make([]float64, points)
	for i := range weight {
		weight[i] = 1
	}
	m := fit(p, q, weight, dims)
	for range 30 {
		left := make([]float64, points)
		moved := m.apply(p)
		for i := range points {
			left[i] = rms(moved[i*dims:(i+1)*dims], q[i*dims:(i+1)*dims], dims)
		}
		scale := max(median(left), 0.1)
		for i := range weight {
			weight[i] = 1 / (1 + math.Pow(left[i]/(2*scale), 2))
		}
		m = fit(p, q, weight, dims)
	}
	return m
}

// comparison is a field as found, seen from the places that stand still.
type comparison struct {
	found
	d     []float64
	q     *mat.SymDense // with build scatter
	read  *mat.SymDense // of the readings alone
	dims  int
	frame motion
	plane plane // of a mirror
}

// compare sets the adjusted points against the nominal ones.
func (r reference) compare(a *adjustment) (comparison, bool) {
	dims := a.net.dims
	x := pick(a.x, r.index, dims)
	m := robust(x, r.at, dims)
	var c comparison
	for range 2 {
		f, read := r.field(a, m)
		result, ok := f.localise()
		if !ok {
			return comparison{frame: m}, false
		}
		c = comparison{found: result, dims: dims, frame: m}
		var good, also bool
		c.d, c.q, good = f.framed(result.still, f.q)
		_, c.read, also = f.framed(result.still, read)
		if !good || !also {
			return c, false
		}
		weight := make([]float64, len(r.index))
		for _, i := range result.still {
			weight[i] = 1
		}
		m = fit(x, r.at, weight, dims)
	}
	return c, true
}

// field is how the points laid on by m differ from the nominal ones, and the covariance
// of the readings alone.
func (r reference) field(a *adjustment, m motion) (*field, *mat.SymDense) {
	dims := a.net.dims
	x := pick(a.x, r.index, dims)
	read := pickCovariance(m.covariance(a.q), r.index, dims)
	q := mat.NewSymDense(len(x), nil)
	q.CopySym(read)
	for i, sd := range r.sd {
		for k := range dims {
			q.SetSym(i*dims+k, i*dims+k, q.At(i*dims+k, i*dims+k)+sd*sd)
		}
	}
	d := m.apply(x)
	for i := range d {
		d[i] -= r.at[i]
	}
	return &field{d: d, q: q, free: motions(r.at, dims), dims: dims}, read
}
