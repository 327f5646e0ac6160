package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// The most weak points that get proposals, and the readings proposed for each.
const (
	proposals       = 12
	readingsPerWeak = 2
)

// sureSDs is how many standard deviations either side hold 95 %: a point is fixed to
// a limit where so many lie within it.
const sureSDs = 1.96

var directions = []string{"fore and aft", "across", "in height"}

// weak names the points whose doubt (95 %) is over the limit in some direction, the
// worst first, with the further readings that would narrow it most.
func (a *adjustment) weak(limit float64) []Weak {
	dims := a.net.dims
	type one struct {
		point int
		sd    float64
		along []float64
	}
	var list []one
	for i := range a.net.ids {
		lengths, along := axes(a.q, i*dims, dims)
		if sureSDs*lengths[0] > limit {
			list = append(list, one{i, lengths[0], along[0]})
		}
	}
	slices.SortFunc(list, func(p, q one) int { return cmp.Compare(q.sd, p.sd) })
	out := []Weak{}
	for k, w := range list {
		most := 0
		for d := range w.along {
			if math.Abs(w.along[d]) > math.Abs(w.along[most]) {
				most = d
			}
		}
		weak := Weak{ID: a.net.ids[w.point], SDMm: w.sd, Direction: directions[most], Measure: []string{}, SDThenMm: w.sd}
		if k < proposals {
			weak.Measure, weak.SDThenMm = a.propose(w.point, w.along)
		}
		out = append(out, weak)
	}
	return out
}

// propose chooses readings at a point one after another, each that which takes
// most off the variance along a direction.
//
// ref: DESIGN_SURVEY
func (a *adjustment) propose(point int, along []float64) ([]string, float64) {
	dims := a.net.dims
	q := mat.NewSymDense(a.q.SymmetricDim(), nil)
	q.CopySym(a.q)
	had := map[int]bool{point: true}
	for _, r := range a.net.readings {
		if r.kind == distance && (r.from == point || r.to == point) && !r.out {
			had[r.from], had[r.to] = true, true
		}
	}
	names := []string{}
	heightRead := dims < 3
	for range readingsPerWeak {
		best, gain := reading{from: -1}, 0.0
		var bestEffect []float64
		try := func(r reading) {
			effect, g := a.gain(q, r, point, along)
			if g > gain {
				best, gain, bestEffect = r, g, effect
			}
		}
		for j := range a.net.ids {
			if !had[j] {
				try(reading{from: point, to: j, sd: UsualTapeSDMm})
			}
		}
		if !heightRead {
			try(reading{kind: height, from: point, to: -1, sd: UsualHeightSDMm})
		}
		if best.from < 0 {
			break
		}
		if best.kind == height {
			heightRead = true
			names = append(names, "height of "+a.net.ids[point])
		} else {
			had[best.to] = true
			names = append(names, a.net.ids[point]+" to "+a.net.ids[best.to])
		}
		q.SymRankOne(q, -1, mat.NewVecDense(len(bestEffect), bestEffect))
	}
	var left float64
	for s := range dims {
		for t := range dims {
			left += along[s] * along[t] * q.At(point*dims+s, point*dims+t)
		}
	}
	return names, math.Sqrt(max(left, 0))
}

// gain is by how much a reading lowers the variance along a direction, and the
// vector whose outer product the covariance loses.
func (a *adjustment) gain(q *mat.SymDense, r reading, point int, along []float64) ([]float64, float64) {
	dims := a.net.dims
	e := a.net.equation(r, a.x)
	effect := make([]float64, q.SymmetricDim())
	for i := range effect {
		for s := range e.n {
			effect[i] += q.At(i, e.at[s]) * e.by[s]
		}
	}
	variance := r.sd * r.sd
	for s := range e.n {
		variance += e.by[s] * effect[e.at[s]]
	}
	scale := 1 / math.Sqrt(variance)
	var share float64
	for i := range effect {
		effect[i] *= scale
	}
	for k := range dims {
		share += along[k] * effect[point*dims+k]
	}
	return effect, share * share
}

// mostInHeight reports that heights would mend most of what is weak.
func mostInHeight(weak []Weak, points int) bool {
	count := 0
	for _, w := range weak {
		if w.Direction == directions[2] {
			count++
		}
	}
	return 2*count > points
}

func weakNote(weak []Weak) string {
	return fmt.Sprintf("Distances hardly fix the heights here: %s is doubtful by +-%.2g mm in height (95 %%), and other shapes may fit as well. Read the height of every point over one level plane, each twice, or run lines to marks on the floor.", weak[0].ID, sureSDs*weak[0].SDMm)
}
