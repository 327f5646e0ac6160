package plan

import (
	"context"
	"math/rand/v2"
	"slices"
)

// member is one list of the population with what it is worth.
type member struct {
	list  []int32
	worth int64
	mark  uint64 // of its start times: two members that are the same plan are one too many
}

// hunt is one search.
type hunt struct {
	g       *network
	b       *builder
	dice    *rand.Rand
	budget  int
	bound   int64 // nothing is worth less
	best    member
	tell    func()
	pool    []member
	values  [rules][]int64
	grain   float64
	child   []int32
	present []bool
	stale   int // children since the pool last changed
}

// The sizes of the search, chosen by measurement on j30 and j60 (docs/decisions).
//
// ref: DESIGN_PLAN
const (
	poolSize     = 40
	swapChance   = 0.04
	staleLimit   = 150
	budgetPerOne = 3 // schedules: one by the list, two by justification
)

func newHunt(g *network, b bare, budget int, bound int64, seed uint64) *hunt {
	h := &hunt{
		g: g, b: newBuilder(g), dice: rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)),
		budget: budget, bound: bound, child: make([]int32, 0, g.n), present: make([]bool, g.n),
		best: member{worth: never},
	}
	for r := range rules {
		h.values[r] = priorities(g, b, r)
	}
	total := int64(0)
	for _, w := range g.likely {
		total += w
	}
	h.grain = max(1, float64(total)/float64(g.n)/5)
	return h
}

func (h *hunt) over(ctx context.Context) bool {
	return h.best.worth <= h.bound || h.b.made >= h.budget || ctx.Err() != nil
}

// run searches until nothing better can exist, the budget is used up or the
// context ends. There is always at least one schedule.
func (h *hunt) run(ctx context.Context, from []int32) {
	if from != nil {
		h.enter(h.evaluate(from))
	}
	for r := range rules {
		if h.best.list == nil || !h.over(ctx) {
			h.enter(h.evaluate(byRule(h.g, h.values[r])))
		}
	}
	h.fill(ctx)
	for !h.over(ctx) {
		h.breed()
		if h.stale > staleLimit {
			h.renew(ctx)
		}
	}
}

// fill completes the pool by sampling.
func (h *hunt) fill(ctx context.Context) {
	for tries := 0; len(h.pool) < poolSize && tries < 4*poolSize && !h.over(ctx); tries++ {
		r := latestFinish
		if h.dice.IntN(3) == 0 {
			r = latestStart
		}
		h.enter(h.evaluate(sampled(h.g, h.values[r], h.grain, h.dice)))
	}
}

// renew begins again with the best of all and new samples.
func (h *hunt) renew(ctx context.Context) {
	h.pool = append(h.pool[:0], h.best)
	h.stale = 0
	h.fill(ctx)
}

// evaluate makes the schedule of a list, improves it and gives the better of
// both as a member whose list is its order of starts.
func (h *hunt) evaluate(list []int32) member {
	b := h.b
	b.serial(list)
	m := h.member()
	if m.worth > h.bound && b.made+2 <= h.budget {
		b.justify()
		if again := h.member(); again.worth <= m.worth {
			m = again
		}
	}
	if m.worth < h.best.worth {
		h.best = m
		if h.tell != nil {
			h.tell()
		}
	}
	return m
}

// member takes the builder's schedule as a member.
func (h *hunt) member() member {
	b := h.b
	b.sortBy(b.start)
	m := member{list: slices.Clone(b.list), worth: b.worth(), mark: 14695981039346656037}
	for _, s := range b.start {
		m.mark = (m.mark ^ uint64(s)) * 1099511628211
	}
	return m
}

// enter puts a member into the pool, the best first, unless it is there already
// or worse than all of a full pool.
func (h *hunt) enter(m member) {
	h.stale++
	for _, o := range h.pool {
		if o.mark == m.mark && o.worth == m.worth {
			return
		}
	}
	if len(h.pool) >= poolSize {
		if m.worth > h.pool[len(h.pool)-1].worth {
			return
		}
		h.pool = h.pool[:len(h.pool)-1]
	}
	k := 0
	for k < len(h.pool) && h.pool[k].worth < m.worth {
		k++
	}
	h.pool = slices.Insert(h.pool, k, m)
	if k < poolSize/2 {
		h.stale = 0
	}
}

// breed makes one child of two parents, each the better of two drawn.
func (h *hunt) breed() {
	mother, father := h.pool[h.pick()], h.pool[h.pick()]
	n := h.g.n
	one, two := h.dice.IntN(n), h.dice.IntN(n)
	h.cross(mother.list, father.list, min(one, two), max(one, two))
	h.mutate()
	h.enter(h.evaluate(h.child))
}

func (h *hunt) pick() int { return min(h.dice.IntN(len(h.pool)), h.dice.IntN(len(h.pool))) }

// cross is two-point crossover: the mother's nodes up to the first point, then
// the father's in his order up to the second, then the rest in hers. Each part
// keeps the precedence, so that the whole does.
//
// ref: HARTMANN_1998 two-point crossover
func (h *hunt) cross(mother, father []int32, one, two int) {
	h.child = append(h.child[:0], mother[:one]...)
	clear(h.present)
	for _, i := range h.child {
		h.present[i] = true
	}
	for _, list := range [][]int32{father, mother} {
		for _, i := range list {
			if len(h.child) == two {
				break
			}
			if !h.present[i] {
				h.present[i] = true
				h.child = append(h.child, i)
			}
		}
		two = len(mother)
	}
}

// mutate swaps neighbours that do not depend on one another.
func (h *hunt) mutate() {
	for k := 1; k < len(h.child); k++ {
		if h.dice.Float64() >= swapChance {
			continue
		}
		i, j := h.child[k-1], h.child[k]
		if !slices.ContainsFunc(h.g.before[j], func(a arc) bool { return a.node == i }) {
			h.child[k-1], h.child[k] = j, i
		}
	}
}
