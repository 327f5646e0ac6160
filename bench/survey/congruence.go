package survey

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// field is a difference at each of some places, its covariance, and the shapes
// that it may take without anything having moved (the frame).
type field struct {
	d    []float64
	q    *mat.SymDense
	free *mat.Dense
	dims int
}

func (f *field) places() int { return len(f.d) / f.dims }

// agreement is how well the places of a set agree.
type agreement struct {
	value float64
	dof   int
	drops []float64 // by how much the value falls without each place of the set
}

// agree tests the places of a set against one another.
func (f *field) agree(set []int) (agreement, bool) {
	rows := f.rows(set)
	_, k := f.free.Dims()
	q := mat.NewSymDense(len(rows), nil)
	g := mat.NewDense(len(rows), k, nil)
	d := mat.NewVecDense(len(rows), nil)
	for a, r := range rows {
		d.SetVec(a, f.d[r])
		for c := range k {
			g.Set(a, c, f.free.At(r, c))
		}
		for b := a; b < len(rows); b++ {
			q.SetSym(a, b, f.q.At(r, rows[b]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(q) {
		return agreement{}, false
	}
	var p mat.SymDense
	if err := chol.InverseTo(&p); err != nil {
		return agreement{}, false
	}
	w, ok := without(&p, g)
	if !ok {
		return agreement{}, false
	}
	var y mat.VecDense
	y.MulVec(w, d)
	result := agreement{value: mat.Dot(&y, d), dof: len(rows) - k, drops: make([]float64, len(set))}
	for j := range set {
		result.drops[j] = f.drop(w, &y, j)
	}
	return result, true
}

func (f *field) rows(set []int) []int {
	var rows []int
	for _, i := range set {
		for k := range f.dims {
			rows = append(rows, i*f.dims+k)
		}
	}
	return rows
}

// without is p - p g (g'p g)^-1 g'p: the weights once the frame is fitted.
func without(p *mat.SymDense, g *mat.Dense) (*mat.Dense, bool) {
	var pg, m, half, part, w mat.Dense
	pg.Mul(p, g)
	m.Mul(g.T(), &pg)
	if err := half.Solve(&m, pg.T()); err != nil {
		return nil, false
	}
	part.Mul(&pg, &half)
	w.Sub(p, &part)
	return &w, true
}

func (f *field) drop(w *mat.Dense, y *mat.VecDense, j int) float64 {
	block := mat.DenseCopyOf(w.Slice(j*f.dims, (j+1)*f.dims, j*f.dims, (j+1)*f.dims))
	part := y.SliceVec(j*f.dims, (j+1)*f.dims)
	var s mat.VecDense
	if err := s.SolveVec(block, part); err != nil {
		return 0
	}
	return mat.Dot(&s, part)
}

// found is what localise says: the places that stand still, those that moved
// with how sure that is, and whether those that stand still agree.
type found struct {
	still    []int
	moved    []int
	chance   []float64 // of each moved place: that so much appears where none moved, corrected for the number of places
	before   agreement
	after    agreement
	agreeing bool
}

// localise sets places free one at a time, the one that explains most first,
// until the rest agrees; then takes back those that agree with the rest after
// all. More than half always stand still.
//
// ref: DESIGN_SURVEY
func (f *field) localise() (found, bool) {
	all := make([]int, f.places())
	for i := range all {
		all[i] = i
	}
	r := found{still: all}
	now, ok := f.agree(r.still)
	if !ok || now.dof <= 0 {
		return r, false
	}
	r.before = now
	single := chiSquare(1-movedRisk/float64(len(all)), f.dims)
	for len(r.still)-1 > len(all)/2 {
		worst := largest(now.drops)
		if now.drops[worst] <= single {
			break
		}
		r.moved = append(r.moved, r.still[worst])
		r.still = slices.Delete(slices.Clone(r.still), worst, worst+1)
		if now, ok = f.agree(r.still); !ok || now.dof <= 0 {
			return r, false
		}
	}
	r.after = now
	f.takeBackPlaces(&r, single)
	r.agreeing = r.after.value <= chiSquare(1-movedRisk, r.after.dof)
	r.chance = holm(f.rises(r), f.places(), f.dims)
	return r, true
}

func largest(list []float64) int {
	best := 0
	for i, v := range list {
		if v > list[best] {
			best = i
		}
	}
	return best
}

// rises is by how much the value rises with each moved place put back.
func (f *field) rises(r found) []float64 {
	rises := make([]float64, len(r.moved))
	for k, i := range r.moved {
		with, ok := f.agree(append(slices.Clone(r.still), i))
		if ok {
			rises[k] = with.value - r.after.value
		}
	}
	return rises
}

func (f *field) takeBackPlaces(r *found, single float64) {
	for len(r.moved) > 0 {
		rises := f.rises(*r)
		least := 0
		for k, v := range rises {
			if v < rises[least] {
				least = k
			}
		}
		if rises[least] > single {
			return
		}
		r.still = append(slices.Clone(r.still), r.moved[least])
		r.moved = slices.Delete(slices.Clone(r.moved), least, least+1)
		r.after, _ = f.agree(r.still)
	}
}

// holm corrects chances for tests places having been tested.
//
// ref: HOLM_1979 p. 67
func holm(values []float64, tests, dims int) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(values[b], values[a]) })
	chances := make([]float64, len(values))
	sofar := 0.0
	for rank, i := range order {
		p := beyondChiSquare(max(values[i], 0), dims) * float64(tests-rank)
		sofar = min(1, max(sofar, p))
		chances[i] = sofar
	}
	return chances
}

// framed is the field and a covariance of it as seen from the places that stand
// still, whose mean turn and shift are zero.
func (f *field) framed(still []int, q *mat.SymDense) ([]float64, *mat.SymDense, bool) {
	size := len(f.d)
	_, k := f.free.Dims()
	b := mat.NewDense(size, k, nil)
	for _, r := range f.rows(still) {
		for c := range k {
			b.Set(r, c, f.free.At(r, c))
		}
	}
	// The whole is (1 - gk) q (1 - gk)' with a thin g, so it is put together from
	// thin parts.
	var bg, fold, kq, kqk, gkqk mat.Dense
	bg.Mul(b.T(), f.free)
	if err := fold.Solve(&bg, b.T()); err != nil {
		return nil, nil, false
	}
	kq.Mul(&fold, q)
	kqk.Mul(&kq, fold.T())
	gkqk.Mul(f.free, &kqk)
	var shift, part mat.VecDense
	shift.MulVec(&fold, mat.NewVecDense(size, f.d))
	part.MulVec(f.free, &shift)
	d := make([]float64, size)
	out := mat.NewSymDense(size, nil)
	for i := range size {
		d[i] = f.d[i] - part.AtVec(i)
		for j := i; j < size; j++ {
			v := q.At(i, j)
			for c := range k {
				v += gkqk.At(i, c)*f.free.At(j, c) - f.free.At(i, c)*kq.At(c, j) - kq.At(c, i)*f.free.At(j, c)
			}
			out.SetSym(i, j, v)
		}
	}
	return d, out, true
}

// axes are the half-axes of an ellipsoid of one place at one standard
// deviation, the longest first, with their directions.
func axes(q *mat.SymDense, at, dims int) ([]float64, [][]float64) {
	block := mat.NewSymDense(dims, nil)
	for a := range dims {
		for b := a; b < dims; b++ {
			block.SetSym(a, b, q.At(at+a, at+b))
		}
	}
	var eig mat.EigenSym
	lengths, directions := make([]float64, dims), make([][]float64, dims)
	if !eig.Factorize(block, true) {
		return lengths, directions
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	values := eig.Values(nil)
	for k := range dims {
		lengths[k] = math.Sqrt(max(values[dims-1-k], 0))
		directions[k] = mat.Col(nil, dims-1-k, &vectors)
	}
	return lengths, directions
}
