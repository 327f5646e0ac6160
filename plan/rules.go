package plan

import "math/rand/v2"

// rule is a priority rule: the node with the least value first.
type rule int

// The rules, out of the net without resources.
//
// ref: KOLISCH_1996 priority rules
const (
	latestFinish   rule = iota // LFT
	latestStart                // LST
	mostSuccessors             // MTS: all that follow, near and far
	greatestRank               // GRPW: own length and that of the next ones
	rules
)

// bare is the net without limits of resources: earliest and latest times.
type bare struct{ earlyStart, earlyEnd, lateStart, lateEnd []int64 }

// newBare makes the forward and the backward pass. Latest times are those that
// keep the earliest finish.
//
// ref: HILLIER_LIEBERMAN critical path
func newBare(g *network, work []int64) bare {
	b := bare{make([]int64, g.n), make([]int64, g.n), make([]int64, g.n), make([]int64, g.n)}
	for _, i := range g.topo {
		t := g.release[i]
		for _, a := range g.before[i] {
			t = max(t, b.earlyEnd[a.node]+a.lag)
		}
		if !g.fixed[i] {
			t = g.begin(i, t)
		}
		b.earlyStart[i], b.earlyEnd[i] = t, g.end(i, t, work[i])
	}
	b.backwardFrom(g, work, finish(b.earlyEnd))
	return b
}

// backwardFrom sets the latest times that keep a horizon.
func (b *bare) backwardFrom(g *network, work []int64, horizon int64) {
	for k := g.n - 1; k >= 0; k-- {
		i := g.topo[k]
		t := horizon
		for _, a := range g.behind[i] {
			t = min(t, b.lateStart[a.node]-a.lag)
		}
		b.lateEnd[i] = g.calendar[i].lastOpen(t)
		b.lateStart[i] = g.calendar[i].before(b.lateEnd[i], work[i])
	}
}

// priorities are the values of a rule.
func priorities(g *network, b bare, r rule) []int64 {
	switch r {
	case latestFinish:
		return b.lateEnd
	case latestStart:
		return b.lateStart
	case mostSuccessors:
		return followers(g)
	}
	out := make([]int64, g.n)
	for i := range out {
		out[i] = -g.likely[i]
		for _, a := range g.behind[i] {
			out[i] -= g.likely[a.node]
		}
	}
	return out
}

// followers is minus the number of all nodes that come after each.
func followers(g *network) []int64 {
	words := (g.n + 63) / 64
	sets := make([]uint64, g.n*words)
	out := make([]int64, g.n)
	for k := g.n - 1; k >= 0; k-- {
		i := int(g.topo[k])
		mine := sets[i*words : (i+1)*words]
		for _, a := range g.behind[i] {
			j := int(a.node)
			for w, bits := range sets[j*words : (j+1)*words] {
				mine[w] |= bits
			}
			mine[j/64] |= 1 << (j % 64)
		}
		for _, bits := range mine {
			for ; bits != 0; bits &= bits - 1 {
				out[i]--
			}
		}
	}
	return out
}

// byRule is the list that a rule makes: of the nodes whose predecessors are in
// it the one with the least value comes next, of equal ones the first.
func byRule(g *network, value []int64) []int32 {
	return chooseList(g, func(eligible []int32) int {
		best := 0
		for k, i := range eligible {
			j := eligible[best]
			if value[i] < value[j] || value[i] == value[j] && i < j {
				best = k
			}
		}
		return best
	})
}

// sampled is a list drawn by regret: of the nodes whose predecessors are in it
// each comes next with a chance that grows with how much better its value is
// than the worst, grain added.
//
// ref: DESIGN_PLAN
func sampled(g *network, value []int64, grain float64, dice *rand.Rand) []int32 {
	weights := make([]float64, 0, g.n)
	return chooseList(g, func(eligible []int32) int {
		worst := value[eligible[0]]
		for _, i := range eligible {
			worst = max(worst, value[i])
		}
		weights = weights[:0]
		sum := 0.0
		for _, i := range eligible {
			w := float64(worst-value[i]) + grain
			weights = append(weights, w)
			sum += w
		}
		at := dice.Float64() * sum
		for k, w := range weights {
			if at -= w; at < 0 {
				return k
			}
		}
		return len(eligible) - 1
	})
}

// chooseList builds a list that keeps the precedence, one choice at a time.
func chooseList(g *network, choose func(eligible []int32) int) []int32 {
	missing := make([]int, g.n)
	var eligible []int32
	for i := range g.n {
		if missing[i] = len(g.before[i]); missing[i] == 0 {
			eligible = append(eligible, int32(i))
		}
	}
	list := make([]int32, 0, g.n)
	for len(eligible) > 0 {
		k := choose(eligible)
		i := eligible[k]
		eligible[k] = eligible[len(eligible)-1]
		eligible = eligible[:len(eligible)-1]
		list = append(list, i)
		for _, a := range g.behind[i] {
			if missing[a.node]--; missing[a.node] == 0 {
				eligible = append(eligible, a.node)
			}
		}
	}
	return list
}
