package survey

import (
	"gonum.org/v1/gonum/mat"
)

// twins are the points of pairs: left[i] mirrors right[i].
type twins struct {
	left, right []int
	sd          float64 // build scatter of each point
}

func (c Case) twins(n numbering) twins {
	t := twins{sd: UsualScatterMm}
	for _, p := range c.Pairs {
		t.left, t.right = append(t.left, n.of[p.Left]), append(t.right, n.of[p.Right])
	}
	if len(c.Nominal) > 0 {
		var scatter []float64
		for _, p := range c.Nominal {
			scatter = append(scatter, p.SDMm)
		}
		t.sd = median(scatter)
	}
	return t
}

// plane is where normal . x = offset.
type plane struct {
	normal []float64
	offset float64
}

// mirrorPlane is the plane over which the left points l come closest to the
// right points r, in one step: its normal is the eigenvector of the largest
// eigenvalue of the sum of e e' - 4 m m', e being the pair's difference and m
// its middle from the middle of all.
//
// ref: DESIGN_SURVEY
func mirrorPlane(l, r []float64, use []int, dims int) plane {
	middle := make([]float64, dims)
	for _, i := range use {
		for k := range dims {
			middle[k] += (l[i*dims+k] + r[i*dims+k]) / 2 / float64(len(use))
		}
	}
	s := mat.NewSymDense(dims, nil)
	for _, i := range use {
		for a := range dims {
			for b := a; b < dims; b++ {
				ea, eb := l[i*dims+a]-r[i*dims+a], l[i*dims+b]-r[i*dims+b]
				ma, mb := (l[i*dims+a]+r[i*dims+a])/2-middle[a], (l[i*dims+b]+r[i*dims+b])/2-middle[b]
				s.SetSym(a, b, s.At(a, b)+ea*eb-4*ma*mb)
			}
		}
	}
	p := plane{normal: make([]float64, dims)}
	var eig mat.EigenSym
	if eig.Factorize(s, true) {
		var vectors mat.Dense
		eig.VectorsTo(&vectors)
		p.normal = mat.Col(nil, dims-1, &vectors)
	}
	var side float64
	for _, i := range use {
		for k := range dims {
			side += p.normal[k] * (l[i*dims+k] - r[i*dims+k])
		}
	}
	if side < 0 {
		for k := range p.normal {
			p.normal[k] = -p.normal[k]
		}
	}
	p.offset = dot(p.normal, middle)
	return p
}

func (p plane) image(x []float64) []float64 {
	s := 2 * (dot(p.normal, x) - p.offset)
	out := make([]float64, len(x))
	for k := range x {
		out[k] = x[k] - s*p.normal[k]
	}
	return out
}

// compare sets each left point against the image of its right one.
func (t twins) compare(x []float64, q *mat.SymDense, dims int) (comparison, bool) {
	l, r := pick(x, t.left, dims), pick(x, t.right, dims)
	use := make([]int, len(t.left))
	for i := range use {
		use[i] = i
	}
	var c comparison
	for range 3 {
		p := mirrorPlane(l, r, use, dims)
		f, read := t.field(x, q, p, dims)
		result, ok := f.localise()
		if !ok {
			return comparison{}, false
		}
		var good, also bool
		c = comparison{found: result, dims: dims, plane: p}
		c.d, c.q, good = f.framed(result.still, f.q)
		_, c.read, also = f.framed(result.still, read)
		if !good || !also {
			return c, false
		}
		use = result.still
	}
	return c, true
}

// field is how the left points differ from the images of the right ones in p, and the
// covariance of the readings alone.
func (t twins) field(x []float64, q *mat.SymDense, p plane, dims int) (*field, *mat.SymDense) {
	l, r := pick(x, t.left, dims), pick(x, t.right, dims)
	f := &field{d: p.apart(l, r, dims), free: p.tilts(l, r, dims), dims: dims}
	read := t.covariance(q, p, dims)
	f.q = mat.NewSymDense(len(l), nil)
	f.q.CopySym(read)
	for i := range f.d {
		f.q.SetSym(i, i, f.q.At(i, i)+2*t.sd*t.sd)
	}
	return f, read
}

// apart is left minus the image of right.
func (p plane) apart(l, r []float64, dims int) []float64 {
	d := make([]float64, 0, len(l))
	for i := 0; i < len(l); i += dims {
		image := p.image(r[i : i+dims])
		for k := range dims {
			d = append(d, l[i+k]-image[k])
		}
	}
	return d
}

// tilts is what a shift or a tilt of the plane does to the differences. It is
// taken at the mean of each point and its image: at the raw points the damage
// itself would count as a further freedom.
func (p plane) tilts(l, r []float64, dims int) *mat.Dense {
	columns := [][]float64{make([]float64, len(l))}
	for i := range l {
		columns[0][i] = -2 * p.normal[i%dims]
	}
	for _, t := range across(p.normal) {
		v := make([]float64, len(l))
		for i := 0; i < len(l); i += dims {
			mean := p.image(l[i : i+dims])
			for k := range dims {
				mean[k] = (mean[k] + r[i+k]) / 2
			}
			along, off := dot(t, mean), dot(p.normal, mean)-p.offset
			for k := range dims {
				v[i+k] = 2*along*p.normal[k] + 2*off*t[k]
			}
		}
		columns = append(columns, v)
	}
	return orthonormal(columns, len(l))
}

// across are directions perpendicular to n and to one another.
func across(n []float64) [][]float64 {
	dims := len(n)
	columns := [][]float64{append([]float64(nil), n...)}
	for k := range dims {
		v := make([]float64, dims)
		v[k] = 1
		columns = append(columns, v)
	}
	g := orthonormal(columns, dims)
	_, k := g.Dims()
	var list [][]float64
	for c := 1; c < k && c < dims; c++ {
		list = append(list, mat.Col(nil, c, g))
	}
	return list
}

// covariance is that of left minus image of right.
func (t twins) covariance(q *mat.SymDense, p plane, dims int) *mat.SymDense {
	size := len(t.left) * dims
	h := mat.NewDense(size, q.SymmetricDim(), nil)
	for i := range t.left {
		for a := range dims {
			h.Set(i*dims+a, t.left[i]*dims+a, 1)
			for b := range dims {
				mirror := -2 * p.normal[a] * p.normal[b]
				if a == b {
					mirror++
				}
				h.Set(i*dims+a, t.right[i]*dims+b, -mirror)
			}
		}
	}
	var hq, hqh mat.Dense
	hq.Mul(h, q)
	hqh.Mul(&hq, h.T())
	out := mat.NewSymDense(size, nil)
	for i := range size {
		for j := i; j < size; j++ {
			out.SetSym(i, j, (hqh.At(i, j)+hqh.At(j, i))/2)
		}
	}
	return out
}
