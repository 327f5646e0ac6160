package survey

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"wreckwright/working"
)

const underACar = "Under a raised car: stand it on stands on level, firm ground, never on a jack alone; the maker's lifting points and procedure stand above this."

// tell fills in the result.
func (e *examination) tell() {
	a := e.a
	e.r.Dimensions, e.r.Defect = a.net.dims, a.defect
	e.tellPoints()
	e.tellReadings()
	times := orElse(e.scatter, 1)
	e.r.Chi2 = Chi2{Value: a.squares * times * times, DoF: a.dof}
	if a.dof > 0 {
		e.r.Sigma0 = times * math.Sqrt(a.squares/float64(a.dof))
		e.r.Chi2.Low, e.r.Chi2.High = chiSquare(fitRisk/2, a.dof), chiSquare(1-fitRisk/2, a.dof)
	}
	e.r.Weak = a.weak(e.c.ToleranceMm)
	if a.net.dims == 3 && mostInHeight(e.r.Weak, len(a.net.ids)) {
		e.note(weakNote(e.r.Weak))
	}
	e.noteScatter()
	e.verdict()
	e.work()
	e.r.Cautions = []string{underACar}
	e.r.Moved, e.r.Compared, e.r.Groups, e.r.Notes = orEmpty(e.r.Moved), orEmpty(e.r.Compared), orEmpty(e.r.Groups), orEmpty(e.r.Notes)
	e.r.Blunders, e.r.Suspects = orEmpty(e.r.Blunders), orEmpty(e.r.Suspects)
}

func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func (e *examination) tellPoints() {
	dims := e.a.net.dims
	sd := func(at int) float64 { return math.Sqrt(max(e.a.q.At(at, at), 0)) }
	for i, id := range e.n.ids {
		p := Point{ID: id, X: e.a.x[i*dims], Y: e.a.x[i*dims+1], SX: sd(i * dims), SY: sd(i*dims + 1)}
		if dims == 3 {
			p.Z, p.SZ = new(e.a.x[i*dims+2]), new(sd(i*dims+2))
		}
		e.r.Points = append(e.r.Points, p)
	}
}

func (e *examination) name(r reading) (kind, from, to string) {
	if r.kind == height {
		return r.kind.String(), e.n.ids[r.from], ""
	}
	return r.kind.String(), e.n.ids[r.from], e.n.ids[r.to]
}

func (e *examination) tellReadings() {
	for k, r := range e.a.net.readings {
		kind, from, to := e.name(r)
		e.r.Residuals = append(e.r.Residuals, Residual{Kind: kind, From: from, To: to, Mm: r.mm, ResidualMm: e.a.v[k], W: e.a.w[k], Redundancy: e.a.r[k], Out: r.out, Line: r.row})
		if r.out && r.aside == 0 {
			e.r.Blunders = append(e.r.Blunders, Blunder{Kind: kind, From: from, To: to, ByMm: -e.a.v[k], SDMm: math.Abs(e.a.v[k] / e.a.w[k]), Line: r.row})
		}
	}
	for _, open := range e.open {
		var names []string
		for _, k := range open.readings {
			names = append(names, ReadingName(e.name(e.a.net.readings[k])))
		}
		why := "one of these is wrong and the readings cannot tell which: measure each again, then something further"
		if e.a.net.readings[open.readings[0]].aside > 0 {
			why = "one of these is wrong and the readings cannot tell which: all are left out, measure each again"
		}
		e.r.Suspects = append(e.r.Suspects, Suspect{Readings: names, Why: why})
	}
}

func (e *examination) work() {
	w := working.Working{}
	a := e.a
	w.Add("unknowns", "points x dimensions - free motions of the whole", float64(a.net.size()-a.defect), "", "DESIGN_SURVEY")
	w.Add("redundancy", "readings used - unknowns", float64(a.dof), "", "DESIGN_SURVEY")
	w.Add("sum of squares", "sum of (residual / sd)^2", a.squares, "", "DESIGN_SURVEY")
	w.Add("limit of a standardised residual", fmt.Sprintf("normal point of %g shared over all readings, both sides", readingRisk), critical(readingRisk, a.net.used()), "", "DESIGN_SURVEY")
	if e.done {
		w.Add("congruence of all", "differences weighted by their covariance, frame fitted", e.result.before.value, "", "DESIGN_SURVEY")
		w.Add("congruence of those that stand still", "the same without the moved", e.result.after.value, "", "DESIGN_SURVEY")
	}
	w.Add("mean doubt of a coordinate", "root of the mean variance", math.Sqrt(mat.Trace(a.q)/float64(a.net.size())), "mm", "DESIGN_SURVEY")
	e.r.Working = w
}
