package survey

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// lengths is a table of distances between points; 0 where not measured.
type lengths struct {
	n      int
	mm     []float64
	weight []float64
}

func (l *lengths) at(i, j int) float64 { return l.mm[i*l.n+j] }

// measured is the table of a network in dims dimensions: where heights tell how
// much a line slopes, its part in plan.
func (n *network) measured(heights []float64) *lengths {
	l := &lengths{n: len(n.ids), mm: make([]float64, len(n.ids)*len(n.ids)), weight: make([]float64, len(n.ids)*len(n.ids))}
	for _, r := range n.readings {
		if r.kind != distance || r.out {
			continue
		}
		mm := r.mm
		if heights != nil {
			rise := heights[r.from] - heights[r.to]
			mm = math.Sqrt(max(mm*mm-rise*rise, mm*mm*1e-4))
		}
		for _, at := range []int{r.from*l.n + r.to, r.to*l.n + r.from} {
			l.mm[at], l.weight[at] = mm, 1/(r.sd*r.sd)
		}
	}
	return l
}

// filled has the shortest path where nothing was measured.
func (l *lengths) filled() *lengths {
	f := &lengths{n: l.n, mm: append([]float64(nil), l.mm...)}
	for i, v := range f.mm {
		if v == 0 && i/f.n != i%f.n {
			f.mm[i] = math.Inf(1)
		}
	}
	for k := range f.n {
		for i := range f.n {
			ik := f.mm[i*f.n+k]
			if math.IsInf(ik, 1) {
				continue
			}
			for j := range f.n {
				if d := ik + f.mm[k*f.n+j]; d < f.mm[i*f.n+j] {
					f.mm[i*f.n+j] = d
				}
			}
		}
	}
	return f
}

// scaled is classical scaling: the places in dims dimensions whose inner
// products come closest, and all eigenvalues, the largest last.
//
// ref: TORGERSON_1952 p. 408
func (l *lengths) scaled(dims int) ([]float64, []float64) {
	b := mat.NewSymDense(l.n, nil)
	mean := make([]float64, l.n)
	var all float64
	for i := range l.n {
		for j := range l.n {
			mean[i] += l.at(i, j) * l.at(i, j) / float64(l.n)
		}
		all += mean[i] / float64(l.n)
	}
	for i := range l.n {
		for j := i; j < l.n; j++ {
			b.SetSym(i, j, -0.5*(l.at(i, j)*l.at(i, j)-mean[i]-mean[j]+all))
		}
	}
	x := make([]float64, l.n*dims)
	var eig mat.EigenSym
	if !eig.Factorize(b, true) {
		return x, nil
	}
	values := eig.Values(nil)
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	for k := range dims {
		c := l.n - 1 - k
		length := math.Sqrt(max(values[c], 0))
		for i := range l.n {
			x[i*dims+k] = length * vectors.At(i, c)
		}
	}
	return x, values
}

// majorised lowers the stress of x by steps that never raise it.
//
// ref: DESIGN_SURVEY
func (l *lengths) majorised(x []float64, dims, rounds int) []float64 {
	v := mat.NewSymDense(l.n, nil)
	for i := range l.n {
		var sum float64
		for j := range l.n {
			sum += l.weight[i*l.n+j]
			if j > i {
				v.SetSym(i, j, 1/float64(l.n)-l.weight[i*l.n+j])
			}
		}
		v.SetSym(i, i, sum+1/float64(l.n))
	}
	var chol mat.Cholesky
	if !chol.Factorize(v) {
		return x
	}
	for range rounds {
		right := mat.NewDense(l.n, dims, nil)
		for i := range l.n {
			for j := range l.n {
				w := l.weight[i*l.n+j]
				if w == 0 {
					continue
				}
				var d float64
				for k := range dims {
					d += (x[i*dims+k] - x[j*dims+k]) * (x[i*dims+k] - x[j*dims+k])
				}
				d = math.Sqrt(max(d, 1e-12))
				for k := range dims {
					right.Set(i, k, right.At(i, k)+w*l.at(i, j)/d*(x[i*dims+k]-x[j*dims+k]))
				}
			}
		}
		var next mat.Dense
		if err := chol.SolveTo(&next, right); err != nil {
			return x
		}
		x = append([]float64(nil), next.RawMatrix().Data...)
	}
	return x
}

// The starts without nominal points.
const (
	largePoints = 60
	largeTries  = 300 // of a large network in space: so many for all its points together
	rounds      = 80
	sameShare   = 1e-6
	fewWrong    = 0.05 // share of the readings that may be wrong in a shape that is taken for the right one
)

// search draws start places from the readings alone.
type search struct {
	table   *lengths
	heights []float64 // take a direction out of the search; nil without
	dims    int       // of the search
	first   []float64
	spread  float64
	chance  *rand.Rand
}

func (n *network) search() *search {
	s := &search{heights: n.givenHeights(nil), dims: n.dims, chance: rand.New(rand.NewPCG(9, uint64(len(n.ids))))}
	s.table = n.measured(nil)
	if n.dims == 3 && s.heights != nil {
		s.dims, s.table = 2, n.measured(s.heights)
	}
	s.first, _ = s.table.filled().scaled(s.dims)
	s.spread = math.Sqrt(dot(s.first, s.first) / float64(len(s.first)))
	return s
}

// place is start place number try: by scaling, from above, then shaken more and
// more.
func (s *search) place(try, dims int) []float64 {
	x := append([]float64(nil), s.first...)
	switch {
	case try == 1:
		x = s.table.fromAbove(s.dims)
	case try > 1:
		for i := range x {
			x[i] += s.chance.NormFloat64() * s.spread * 0.4 * float64(try-1)
		}
	}
	x = s.table.majorised(x, s.dims, rounds)
	if s.dims < dims {
		return lifted(x, s.heights)
	}
	return x
}

// fromDistances is the best of several starts from the readings alone, each with
// its points turned to the side where they fit. It stops early at one that
// fits but for a few readings.
func (n *network) fromDistances(enough float64) []float64 {
	s := n.search()
	tries := []int{0, 1, 2, 3, 4, 5, 6, 7}
	switch {
	case len(n.ids) > largePoints && s.dims == 3:
		tries = []int{1, 0, 2, 3}[:max(1, min(largeTries/len(n.ids), 4))]
	case len(n.ids) > largePoints:
		tries = tries[:2]
	}
	var best []float64
	lowest := math.Inf(1)
	for _, try := range tries {
		x, squares := n.roughly(s.place(try, n.dims))
		x, squares = n.unfolded(x, squares, enough)
		if len(n.ids) <= largePoints || s.dims < 3 || !n.hopeless(x) {
			x, squares = n.replaced(x, squares, enough)
		}
		if best == nil || squares < lowest*(1-sameShare) {
			best, lowest = x, squares
		}
		if n.mostFit(best, enough) {
			break
		}
	}
	return best
}

// mostFit reports that the readings fit but for a few, which may be wrong.
func (n *network) mostFit(x []float64, enough float64) bool {
	return n.squaresBut(fewWrong, x) <= enough
}

// squaresBut is the sum of squares without the share of the readings that fits worst.
func (n *network) squaresBut(share float64, x []float64) float64 {
	var list []float64
	for _, r := range n.readings {
		if !r.out {
			v := (n.equation(r, x).value - r.mm) / r.sd
			list = append(list, v*v)
		}
	}
	slices.Sort(list)
	var sum float64
	for _, v := range list[:len(list)-int(share*float64(len(list)))] {
		sum += v
	}
	return sum
}

// fromAbove is majorised with two directions more than asked for, in which points
// pass one another, and then laid flat into those of the largest spread.
func (l *lengths) fromAbove(dims int) []float64 {
	above := dims + 2
	x, _ := l.filled().scaled(above)
	x = l.majorised(x, above, rounds)
	c := centre(x, above)
	s := mat.NewDense(l.n, above, nil)
	for i := range x {
		s.Set(i/above, i%above, x[i]-c[i%above])
	}
	var svd mat.SVD
	if !svd.Factorize(s, mat.SVDThin) {
		flat, _ := l.filled().scaled(dims)
		return flat
	}
	var v, flat mat.Dense
	svd.VTo(&v)
	flat.Mul(s, v.Slice(0, above, 0, dims))
	return append([]float64(nil), flat.RawMatrix().Data...)
}

// lifted puts heights onto a plan.
func lifted(plan, heights []float64) []float64 {
	x := make([]float64, 0, len(heights)*3)
	for i, z := range heights {
		x = append(x, plan[2*i], plan[2*i+1], z)
	}
	return x
}

// fromNominal starts at the nominal points; what is not among them is put where
// its distances to placed points fit best, below the others where both sides
// fit, as marks on the floor are.
func (n *network) fromNominal(at map[int][]float64) []float64 {
	x := make([]float64, n.size())
	placed := make([]bool, len(n.ids))
	var c [3]float64
	for i, p := range at {
		copy(x[i*n.dims:(i+1)*n.dims], p)
		placed[i] = true
		for k := range n.dims {
			c[k] += p[k] / float64(len(at))
		}
	}
	for {
		next, most := -1, 0
		for i := range n.ids {
			if count := n.placedLines(i, placed); !placed[i] && (count > most || next < 0) {
				next, most = i, count
			}
		}
		if next < 0 {
			return x
		}
		n.place(next, x, placed, c)
		placed[next] = true
	}
}

func (n *network) placedLines(i int, placed []bool) int {
	count := 0
	for _, r := range n.readings {
		if r.kind == distance && (r.from == i && placed[r.to] || r.to == i && placed[r.from]) {
			count++
		}
	}
	return count
}

// place puts one point by its lines to placed ones, the best of eight starts.
func (n *network) place(i int, x []float64, placed []bool, c [3]float64) {
	best, lowest := []float64(nil), math.Inf(1)
	for try := range 8 {
		p := make([]float64, n.dims)
		for k := range p {
			p[k] = c[k]
		}
		if n.dims == 3 {
			p[2] -= 400
		}
		p[0] += 1000 * math.Cos(float64(try)*math.Pi/4)
		p[1] += 1000 * math.Sin(float64(try)*math.Pi/4)
		s := n.placeFrom(i, p, x, placed)
		if s < lowest*0.8 {
			best, lowest = p, s
		}
	}
	copy(x[i*n.dims:], best)
}

// placeFrom moves p by steps to each line's sphere in turn, then gives the sum
// of squares.
func (n *network) placeFrom(i int, p, x []float64, placed []bool) float64 {
	var s float64
	for range 200 {
		s = 0
		move, count := make([]float64, n.dims), 0.0
		for _, r := range n.readings {
			if r.kind != distance || r.from != i && r.to != i {
				continue
			}
			other := r.from + r.to - i
			if !placed[other] {
				continue
			}
			var d float64
			for k := range p {
				d += (p[k] - x[other*n.dims+k]) * (p[k] - x[other*n.dims+k])
			}
			d = math.Sqrt(max(d, 1e-9))
			s += (d - r.mm) * (d - r.mm)
			for k := range p {
				move[k] += (r.mm - d) / d * (p[k] - x[other*n.dims+k])
			}
			count++
		}
		if count == 0 {
			return 0
		}
		for k := range p {
			p[k] += 1.5 * move[k] / count
		}
	}
	return s
}
