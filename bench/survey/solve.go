package survey

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// solve goes from x to the least squares, by steps of Gauss and Newton damped
// as far as a step fails to help (Levenberg and Marquardt). It gives the place
// and the weighted sum of squares.
//
// ref: DESIGN_SURVEY
func (n *network) solve(start []float64) ([]float64, float64) { return n.solveTo(start, finestMm, 200) }

// roughly is solve as far as a search needs it.
func (n *network) roughly(start []float64) ([]float64, float64) {
	most := 60
	if len(n.ids) > largePoints {
		most = 12
	}
	return n.solveTo(start, 0.01, most)
}

// finestMm is the step under which nothing changes any more.
const finestMm = 1e-8

// So many steps in a row that gain no more than the rounding end the search: along what
// the readings hardly fix they would go on for ever.
const (
	idleSteps = 3
	noGain    = 1e-11
)

// solveTo stops at steps under smallest, or after so many rounds.
func (n *network) solveTo(start []float64, smallest float64, most int) ([]float64, float64) {
	x := append([]float64(nil), start...)
	now := n.squares(x)
	damping, idle := 1e-4, 0
	for range most {
		m, right := n.normals(x)
		step, ok := n.step(m, right, x, damping)
		for ok {
			next := make([]float64, len(x))
			largest := 0.0
			for i := range x {
				next[i] = x[i] + step[i]
				largest = max(largest, math.Abs(step[i]))
			}
			then := n.squares(next)
			if then <= now*(1+1e-12)+1e-18 {
				if idle++; now-then > noGain*now {
					idle = 0
				}
				x, now = next, min(now, then)
				if idle == idleSteps {
					return x, now
				}
				damping = max(damping/20, 1e-14)
				if largest < smallest {
					return x, n.squares(x)
				}
				break
			}
			if largest < 10*smallest {
				return x, now
			}
			damping *= 10
			if damping > 1e8 {
				return x, now
			}
			step, ok = n.step(m, right, x, damping)
		}
		if !ok {
			damping *= 100
			if damping > 1e8 {
				return x, now
			}
		}
	}
	return x, now
}

// step solves the damped normal equations. The motions of the whole are held.
func (n *network) step(m *mat.SymDense, right, x []float64, damping float64) ([]float64, bool) {
	scale := mat.Trace(m) / float64(n.size())
	var held *mat.SymDense
	switch {
	case n.anchored():
		held = mat.NewSymDense(n.size(), nil)
		held.CopySym(m)
	case n.hasHeights():
		held = holding(m, n.freedoms(m, x), scale)
	default:
		held = holding(m, motions(x, n.dims), scale)
	}
	for i := range n.size() {
		held.SetSym(i, i, held.At(i, i)+damping*scale)
	}
	var chol mat.Cholesky
	if !chol.Factorize(held) {
		return nil, false
	}
	var step mat.VecDense
	if err := chol.SolveVecTo(&step, mat.NewVecDense(len(right), right)); err != nil {
		var condition mat.Condition
		if !errors.As(err, &condition) || math.IsInf(float64(condition), 0) {
			return nil, false
		}
	}
	return step.RawVector().Data, true
}

// anchored reports that places are held, so that the whole cannot move.
func (n *network) anchored() bool {
	return len(n.readings) > 0 && n.readings[len(n.readings)-1].kind == place
}

// hasHeights reports readings of heights or of their differences.
func (n *network) hasHeights() bool {
	for _, r := range n.readings {
		if r.kind != distance && !r.out {
			return true
		}
	}
	return false
}

// holding is m with the columns of g made stiff: m + scale g g'.
func holding(m *mat.SymDense, g *mat.Dense, scale float64) *mat.SymDense {
	size := m.SymmetricDim()
	held := mat.NewSymDense(size, nil)
	held.CopySym(m)
	_, k := g.Dims()
	for c := range k {
		column := mat.NewVecDense(size, mat.Col(nil, c, g))
		held.SymRankOne(held, scale, column)
	}
	return held
}

// adjustment is a network at its least squares with its doubt.
type adjustment struct {
	net     *network
	x       []float64
	squares float64
	q       *mat.SymDense // covariance with the datum spread over all points, mm2
	defect  int           // motions and, where the shape is loose, more
	loose   []int         // points that the readings leave loose
	dof     int
	v, r, w []float64 // residual, redundancy and standardised residual of each reading
}

// looseShare is the eigenvalue, against the mean, under which a shape can give.
const looseShare = 1e-9

// adjust solves and works out the doubt.
func (n *network) adjust(start []float64) (*adjustment, error) {
	return n.at(n.solve(start))
}

// at works out the doubt of a shape.
func (n *network) at(x []float64, squares float64) (*adjustment, error) {
	a := &adjustment{net: n, x: x, squares: squares}
	m, _ := n.normals(x)
	g := n.freedoms(m, x)
	_, a.defect = g.Dims()
	scale := mat.Trace(m) / float64(n.size())
	var chol mat.Cholesky
	if chol.Factorize(holding(m, g, scale)) && chol.Cond() < 1/looseShare {
		var inverse mat.SymDense
		if err := chol.InverseTo(&inverse); err != nil {
			return nil, err
		}
		a.q = holding(&inverse, g, -1/scale)
	} else {
		a.pseudo(m, scale)
	}
	a.dof = n.used() - (n.size() - a.defect)
	a.examine()
	return a, nil
}

// pseudo is the covariance where the shape can give: over what is fixed, with
// the loose points named.
func (a *adjustment) pseudo(m *mat.SymDense, scale float64) {
	size := m.SymmetricDim()
	a.q = mat.NewSymDense(size, nil)
	var eig mat.EigenSym
	if !eig.Factorize(m, true) {
		return
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	a.defect = 0
	free := mat.NewDense(size, size, nil)
	for c, value := range eig.Values(nil) {
		column := mat.NewVecDense(size, mat.Col(nil, c, &vectors))
		if value < looseShare*scale {
			free.SetCol(a.defect, column.RawVector().Data)
			a.defect++
			continue
		}
		a.q.SymRankOne(a.q, 1/value, column)
	}
	a.nameLoose(free)
}

// nameLoose names the points that move in a free direction which is no motion
// of the whole.
func (a *adjustment) nameLoose(free *mat.Dense) {
	dims := a.net.dims
	g := motions(a.x, dims)
	_, k := g.Dims()
	moves := make([]float64, len(a.net.ids))
	for c := range a.defect {
		column := mat.Col(nil, c, free)
		for b := range k {
			motion := mat.Col(nil, b, g)
			s := dot(column, motion)
			for i := range column {
				column[i] -= s * motion[i]
			}
		}
		for i := range moves {
			for d := range dims {
				moves[i] += column[i*dims+d] * column[i*dims+d]
			}
		}
	}
	for i, move := range moves {
		if move > 1e-3 {
			a.loose = append(a.loose, i)
		}
	}
}

// lifts is by how much the height of each point follows an error of 1 mm in a
// reading that takes part.
func (a *adjustment) lifts(r reading) []float64 {
	e := a.net.equation(r, a.x)
	rises := make([]float64, len(a.net.ids))
	for i := range rises {
		for s := range e.n {
			rises[i] += a.q.At(3*i+2, e.at[s]) * e.by[s] / (r.sd * r.sd)
		}
	}
	return rises
}

// foretold is the variance of what the points say of a reading.
func (a *adjustment) foretold(e equation) float64 {
	var sum float64
	for s := range e.n {
		for t := range e.n {
			sum += e.by[s] * e.by[t] * a.q.At(e.at[s], e.at[t])
		}
	}
	return sum
}

// examine works out the residuals.
func (a *adjustment) examine() {
	n := a.net
	a.v, a.r, a.w = make([]float64, len(n.readings)), make([]float64, len(n.readings)), make([]float64, len(n.readings))
	for k, r := range n.readings {
		e := n.equation(r, a.x)
		a.v[k] = e.value - r.mm
		if r.out {
			a.w[k] = a.v[k] / math.Sqrt(r.sd*r.sd+a.foretold(e))
			continue
		}
		a.r[k] = 1 - a.foretold(e)/(r.sd*r.sd)
		if a.r[k] > 1e-6 {
			a.w[k] = a.v[k] / (r.sd * math.Sqrt(a.r[k]))
		}
	}
}
