package survey

import "math"

// clearer is by how much the evidence of one explanation has to beat that of
// another before it is taken: 3 is odds of 4.5 to 1.
const clearer = 3.0 // ref: DESIGN_SURVEY

// mostRivals is with how many others a wrong reading is set aside.
const mostRivals = 3 // ref: DESIGN_SURVEY

// slipMm is the scale of a misreading: a wrong mark, a wrong figure.
const slipMm = 20.0 // ref: DESIGN_SURVEY

// evidence is twice the logarithm of how much better the readings are explained
// with an error of reading k than without: its standardised residual squared,
// less what an error of unusual size and a further unknown cost. The error is
// taken as normal about 0 with the scale of a misreading.
//
// ref: DESIGN_SURVEY
func (a *adjustment) evidence(k int) float64 {
	sd := a.net.readings[k].sd
	doubt := sd * sd / a.r[k]
	known := slipMm * slipMm / (slipMm*slipMm + doubt)
	return a.w[k]*a.w[k]*known - math.Log(1+slipMm*slipMm/doubt)
}

// together is the correlation of the standardised residual of a reading with
// that of every other; 0 for those taken out or not checked.
func (a *adjustment) together(k int) []float64 {
	n := a.net
	e := n.equation(n.readings[k], a.x)
	along := make([]float64, n.size())
	for i := range along {
		for s := range e.n {
			along[i] += a.q.At(i, e.at[s]) * e.by[s]
		}
	}
	list := make([]float64, len(n.readings))
	for j, r := range n.readings {
		if r.out || a.r[j] <= 1e-6 {
			continue
		}
		other := n.equation(r, a.x)
		var sum float64
		for s := range other.n {
			sum -= other.by[s] * along[other.at[s]]
		}
		if j == k {
			sum += r.sd * r.sd
		}
		list[j] = sum / (n.readings[k].sd * r.sd * math.Sqrt(a.r[k]*a.r[j]))
	}
	return list
}

// rivals are the readings that explain nearly as much as k if they are wrong in
// its place: without either, the other fits.
func (a *adjustment) rivals(k int, limit float64) []int {
	var list []int
	for j, r := range a.together(k) {
		if j == k || a.r[j] < leastRedundancy || a.evidence(k)-a.evidence(j) > clearer {
			continue
		}
		left := math.Sqrt(max(1-r*r, 1e-12))
		if math.Abs(a.w[j]-r*a.w[k]) <= limit*left && math.Abs(a.w[k]-r*a.w[j]) <= limit*left {
			list = append(list, j)
		}
	}
	return list
}

// withoutOneOf takes k out; with its rivals, where enough readings remain.
func (a *adjustment) withoutOneOf(k int, rivals []int, set int) (*adjustment, error) {
	n := a.net
	n.readings[k].out = true
	if len(rivals) == 0 || len(rivals) > mostRivals {
		if len(n.ids) > largePoints {
			return a.dropped(k), nil
		}
		return n.adjust(a.x)
	}
	for _, j := range append(rivals, k) {
		n.readings[j].out, n.readings[j].aside = true, set
	}
	next, err := n.adjust(a.x)
	if err != nil {
		return nil, err
	}
	if len(next.loose) == 0 && next.dof > 0 {
		return next, nil
	}
	n.readings[k].aside = 0
	for _, j := range rivals {
		n.readings[j].out, n.readings[j].aside = false, 0
	}
	return n.adjust(a.x)
}

// settle looks at each set that was put aside again, now that the others are
// sound: where one member explains it clearly best, it alone stays out.
func (a *adjustment) settle() (*adjustment, []doubtful, error) {
	sets := map[int][]int{}
	most := 0
	for k, r := range a.net.readings {
		if r.aside > 0 {
			sets[r.aside] = append(sets[r.aside], k)
			most = max(most, r.aside)
		}
	}
	var open []doubtful
	for number := 1; number <= most; number++ {
		set := sets[number]
		if len(set) == 0 {
			continue
		}
		best, err := a.clearest(set)
		if err != nil {
			return nil, nil, err
		}
		a.net.outOnly(set, best)
		if best < 0 {
			open = append(open, doubtful{set})
		}
		if a, err = a.net.adjust(a.x); err != nil {
			return nil, nil, err
		}
	}
	return a, open, nil
}

// clearest is the reading of a set whose error explains clearly most; -1 where
// none does.
func (a *adjustment) clearest(set []int) (int, error) {
	for _, k := range set {
		a.net.readings[k].out = false
	}
	all, err := a.net.adjust(a.x)
	if err != nil {
		return -1, err
	}
	best, first, second := -1, math.Inf(-1), math.Inf(-1)
	for _, k := range set {
		if all.r[k] < leastRedundancy {
			return -1, nil
		}
		switch v := all.evidence(k); {
		case v > first:
			best, first, second = k, v, first
		case v > second:
			second = v
		}
	}
	if first-second < clearer {
		return -1, nil
	}
	return best, nil
}

// outOnly leaves one of a set out and no longer aside; below 0 all stay aside.
func (n *network) outOnly(set []int, only int) {
	for _, k := range set {
		r := &n.readings[k]
		r.out = only < 0 || k == only
		if only >= 0 {
			r.aside = 0
		}
	}
}
