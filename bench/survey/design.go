package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// roughMm is how well a sketched place is known before anything is read.
const roughMm = 100.0 // ref: DESIGN_SURVEY_AIDS

// A longer line costs more: one of lineCostMm twice a short one.
const lineCostMm = 2000.0 // ref: DESIGN_SURVEY_AIDS

// design is what readings that are yet to be made will say of points at x: the
// covariance q and its square, both kept as readings are added.
type design struct {
	net   *network
	x     []float64
	q, q2 *mat.SymDense
	lines []map[int]bool // of each point, the points it is measured to
}

func newDesign(ids []string, x []float64, dims int) *design {
	size := len(x)
	d := &design{net: &network{ids: ids, dims: dims}, x: x, q: mat.NewSymDense(size, nil), q2: mat.NewSymDense(size, nil)}
	for i := range size {
		d.q.SetSym(i, i, roughMm*roughMm)
		d.q2.SetSym(i, i, roughMm*roughMm*roughMm*roughMm)
	}
	d.lines = make([]map[int]bool, len(ids))
	for i := range ids {
		d.lines[i] = map[int]bool{}
	}
	return d
}

// variance is that of what the points say of a reading, by q or its square.
func (e equation) variance(q *mat.SymDense) float64 {
	var sum float64
	for s := range e.n {
		for t := range e.n {
			sum += e.by[s] * e.by[t] * q.At(e.at[s], e.at[t])
		}
	}
	return sum
}

// gain is by how much a reading would lower the sum of all variances, for what
// it costs.
func (d *design) gain(r reading) float64 {
	e := d.net.equation(r, d.x)
	gain := e.variance(d.q2) / (r.sd*r.sd + e.variance(d.q))
	if r.kind == distance {
		gain /= 1 + e.value/lineCostMm
	}
	return gain
}

// add takes a reading into account: q loses u u', its square what follows from
// that.
func (d *design) add(r reading) {
	d.net.readings = append(d.net.readings, r)
	if r.kind == distance {
		d.lines[r.from][r.to], d.lines[r.to][r.from] = true, true
	}
	e := d.net.equation(r, d.x)
	size := len(d.x)
	u, scale := mat.NewVecDense(size, nil), 1/math.Sqrt(r.sd*r.sd+e.variance(d.q))
	for i := range size {
		var sum float64
		for s := range e.n {
			sum += e.by[s] * d.q.At(i, e.at[s])
		}
		u.SetVec(i, sum*scale)
	}
	var qu mat.VecDense
	qu.MulVec(d.q, u)
	d.q2.RankTwo(d.q2, -1, u, &qu)
	d.q2.SymRankOne(d.q2, mat.Dot(u, u), u)
	d.q.SymRankOne(d.q, -1, u)
}

// redundancies are the share of an error of each reading that the others show.
func (d *design) redundancies() []float64 {
	list := make([]float64, len(d.net.readings))
	for k, r := range d.net.readings {
		list[k] = 1 - d.net.equation(r, d.x).variance(d.q)/(r.sd*r.sd)
	}
	return list
}

// leastLines is how many lines a point needs before its doubt is told.
const leastLines = 3

// doubts tells of each point how well it is known against those that are known
// best; limit is up to which doubt (95 %) a point counts as
// fixed.
func (d *design) doubts(limit float64) []PointDoubt {
	dims := d.net.dims
	list := make([]PointDoubt, len(d.net.ids))
	var anchors []int
	for i, id := range d.net.ids {
		list[i] = PointDoubt{ID: id, SDMm: roughMm, Lines: len(d.lines[i])}
		if list[i].Lines >= leastLines {
			anchors = append(anchors, i)
		}
	}
	f := &field{d: make([]float64, len(d.x)), free: motions(d.x, dims), dims: dims}
	for range 4 {
		if len(anchors) < leastLines {
			return list
		}
		_, q, ok := f.framed(anchors, d.q)
		if !ok {
			return list
		}
		var sds []float64
		for i := range list {
			list[i].tell(q, i, dims)
			list[i].Fixed = list[i].Lines >= leastLines && sureSDs*list[i].SDMm <= limit
		}
		for _, i := range anchors {
			sds = append(sds, list[i].SDMm)
		}
		most := max(limit, 2*median(sds))
		var next []int
		for _, i := range anchors {
			if list[i].SDMm <= most {
				next = append(next, i)
			}
		}
		if len(next) == len(anchors) {
			break
		}
		anchors = next
	}
	return list
}

// tell fills in the worst direction of a point.
func (p *PointDoubt) tell(q *mat.SymDense, i, dims int) {
	lengths, along := axes(q, i*dims, dims)
	p.SDMm = min(lengths[0], roughMm)
	most := 0
	for k := range along[0] {
		if math.Abs(along[0][k]) > math.Abs(along[0][most]) {
			most = k
		}
	}
	p.Direction = directions[most]
}
