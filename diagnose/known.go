package diagnose

import (
	"cmp"
	"math"
	"slices"
)

// mostAble bounds the repairs that are weighed exactly against one another for
// one set of several faults.
const mostAble = 8

// knownCosts is, by set, the least expected cost for one who knows which faults
// are there and, after each repair, which are left: perfect information. No plan
// costs less. avail says which repairs can still be done.
//
// ref: TROUBLESHOOT_PROBLEMS perfect information
func (p *problem) knownCosts(avail func(k int) bool) []float64 {
	able := make([][]int, len(p.sets.having)) // by fault, the repairs that may cure it
	for k := range p.repairs {
		if avail(k) {
			for _, f := range p.repairs[k].faults {
				able[f] = append(able[f], k)
			}
		}
	}
	known := make([]float64, len(p.sets.members))
	var d knownSet
	for i, members := range p.sets.members {
		switch {
		case len(members) == 1:
			known[i] = p.knownFault(members[0], able[members[0]])
		case d.load(members, able):
			known[i] = d.solve(p)
		default:
			for _, f := range members {
				known[i] = math.Max(known[i], known[f]) // the sets of one come first, in the order of the faults
			}
		}
	}
	return known
}

// knownFault tries the repairs of one fault by chance per cost, up to where the
// whole unit is cheaper.
func (p *problem) knownFault(f int, able []int) float64 {
	if len(able) > 1 {
		able = slices.Clone(able)
		slices.SortStableFunc(able, func(a, b int) int {
			x, y := &p.repairs[a], &p.repairs[b]
			return cmp.Compare(y.fixes[f]*x.effort.cost, x.fixes[f]*y.effort.cost)
		})
	}
	spent, left := 0.0, 1.0
	best := p.wholeCost(1)
	for _, k := range able {
		spent += left * p.repairs[k].effort.cost
		left *= 1 - p.repairs[k].fixes[f]
		if p.whole != nil {
			best = min(best, spent+p.wholeCost(left))
		}
	}
	if p.whole == nil {
		return spent
	}
	return best
}

// knownSet solves one known set of several faults by dynamic programming over
// the repairs that can still be done and the members that are left, both as bits.
type knownSet struct {
	members []int
	able    []int
	value   []float64 // [repairs<<len(members) | members left]
}

// load prepares a set; false: it has too many repairs.
func (d *knownSet) load(members []int, able [][]int) bool {
	d.members, d.able = members, d.able[:0]
	for _, f := range members {
		for _, k := range able[f] {
			if !slices.Contains(d.able, k) {
				d.able = append(d.able, k)
			}
		}
	}
	return len(d.able) <= mostAble
}

func (d *knownSet) solve(p *problem) float64 {
	n := len(d.members)
	d.value = slices.Grow(d.value[:0], 1<<(len(d.able)+n))[:1<<(len(d.able)+n)]
	for repairs := range 1 << len(d.able) {
		d.value[repairs<<n] = 0
		for left := 1; left < 1<<n; left++ {
			d.value[repairs<<n|left] = d.best(p, repairs, left)
		}
	}
	return d.value[len(d.value)-1]
}

// best is the least cost with these repairs and members left.
func (d *knownSet) best(p *problem, repairs, left int) float64 {
	best, tried := p.wholeCost(1), false
	for j, k := range d.able {
		if repairs>>j&1 == 0 {
			continue
		}
		c := &p.repairs[k]
		total := c.effort.cost
		touched := false
		for after := left; ; after = (after - 1) & left { // every part of left
			chance := d.chance(c, left, after)
			total += chance * d.value[(repairs&^(1<<j))<<len(d.members)|after]
			touched = touched || (after != left && chance > 0)
			if after == 0 {
				break
			}
		}
		if touched {
			best, tried = min(best, total), true
		}
	}
	if p.whole == nil && !tried {
		return 0 // nothing is left to do
	}
	return best
}

// chance is how likely a repair leaves after of left.
func (d *knownSet) chance(c *cure, left, after int) float64 {
	p := 1.0
	for i, f := range d.members {
		switch {
		case left>>i&1 == 0:
		case after>>i&1 == 1:
			p *= 1 - c.fixes[f]
		default:
			p *= c.fixes[f]
		}
	}
	return p
}
