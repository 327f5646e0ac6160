package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// member is one list of the population with what it is worth.
type member struct {
	list         []int32
	start        []int64
	worth        int64
	finish, late int64
	mark         uint64 // of its start times: two members that are the same plan are one too many
}

// hunt is one search.
type hunt struct {
	g      *network
	b      *builder
	dice   *rand.Rand
	budget int
	bound  int64 // nothing is worth less
	best   member
	tell   func()
	pool   []member
	values [rules][]int64
	grain  float64
	size   int // of a full pool
	key    []int64
	known  map[uint64]bool // marks of schedules made from lists and by justification
}

// The settings of the search, chosen by measurement on public instances
// (docs/decisions/0045).
//
// ref: DESIGN_PLAN
const (
	poolGrowth   = 1.13 // members for the square root of the budget
	poolLeast    = 20
	poolMost     = 400
	mixShare     = 0.5  // of the children; the others are one parent with a stretch thrown anew
	swapChance   = 0.04 // of two neighbours in a mixed child
	budgetPerOne = 3    // schedules: one by the list, two by justification
)

func newHunt(g *network, b bare, budget int, bound int64, seed uint64) *hunt {
	h := &hunt{
		g: g, b: newBuilder(g), dice: rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)),
		budget: budget, bound: bound, key: make([]int64, g.n), known: map[uint64]bool{}, best: member{worth: never},
		size: min(poolMost, max(poolLeast, int(poolGrowth*math.Sqrt(float64(budget))))),
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
		if !h.over(ctx) {
			h.enter(h.evaluate(h.parallel(byRule(h.g, h.values[r]))))
		}
	}
	h.fill(ctx)
	for !h.over(ctx) {
		h.breed()
	}
}

// parallel is the order of starts that the parallel scheme gives a list: at every
// moment something ends, what can start is started. It often does better than the
// serial one where much is short, and can miss every best plan.
//
// ref: KOLISCH_1996 parallel scheme
func (h *hunt) parallel(list []int32) []int32 {
	y := newPlayer(h.g, TakeNext, list, nil)
	y.play(h.g.likely)
	h.b.made++
	h.b.sortBy(y.start)
	return slices.Clone(h.b.list)
}

// fill completes the pool by sampling.
func (h *hunt) fill(ctx context.Context) {
	for tries := 0; len(h.pool) < h.size && tries < 4*h.size && !h.over(ctx); tries++ {
		r := latestFinish
		if h.dice.IntN(3) == 0 {
			r = latestStart
		}
		h.enter(h.evaluate(sampled(h.g, h.values[r], h.grain, h.dice)))
	}
}

// evaluate makes the schedule of a list, improves it and gives the better of
// both as a member whose list is its order of starts. A schedule that was there
// before is not improved again.
func (h *hunt) evaluate(list []int32) member {
	b := h.b
	b.serial(list)
	m := h.member()
	if known := h.known[m.mark]; !known && m.worth > h.bound && b.made+2 <= h.budget {
		h.known[m.mark] = true
		if shorter := b.justifyRight(); h.promises(shorter) {
			b.justifyLeft()
			if again := h.member(); again.worth <= m.worth {
				m = again
				h.known[m.mark] = true
			}
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

// promises reports whether a plan that is so long once everything is as late as it
// goes is worth the second half of a justification: it gets into the better half
// of the pool. With calendars its length says too little.
//
// ref: DESIGN_PLAN
func (h *hunt) promises(length int64) bool {
	return h.g.timed || len(h.pool) < h.size || length <= h.pool[len(h.pool)/2].worth
}

// member takes the builder's schedule as a member.
func (h *hunt) member() member {
	b := h.b
	b.sortBy(b.start)
	m := member{list: slices.Clone(b.list), start: slices.Clone(b.start), worth: b.worth(), finish: finish(b.end), late: h.g.late(b.end), mark: 14695981039346656037}
	for _, s := range b.start {
		m.mark = (m.mark ^ uint64(s)) * 1099511628211
	}
	return m
}

// enter puts a member into the pool, the best first, unless it is there already
// or worse than all of a full pool. In a full pool it takes the place of what is
// most like it among the worse half: a plan that differs from another in one idle
// task is no other plan, and a pool full of such ones stands still.
//
// ref: DESIGN_PLAN
func (h *hunt) enter(m member) {
	for _, o := range h.pool {
		if o.mark == m.mark && o.worth == m.worth {
			return
		}
	}
	if len(h.pool) >= h.size {
		if m.worth > h.pool[len(h.pool)-1].worth {
			return
		}
		gone := h.alike(m)
		h.pool = slices.Delete(h.pool, gone, gone+1)
	}
	k := 0
	for k < len(h.pool) && h.pool[k].worth < m.worth {
		k++
	}
	h.pool = slices.Insert(h.pool, k, m)
}

// alike is the place of the member in the worse half of the pool, and not better
// than m, of which the fewest starts differ from those of m.
func (h *hunt) alike(m member) int {
	at, least := len(h.pool)-1, h.g.n+1
	for k := len(h.pool) - 1; k >= len(h.pool)/2 && h.pool[k].worth >= m.worth; k-- {
		differ := 0
		for i, s := range h.pool[k].start {
			if s != m.start[i] {
				differ++
			}
		}
		if differ < least {
			at, least = k, differ
		}
	}
	return at
}

// breed makes one child: of two parents, or of one with a stretch of its list
// thrown anew. A parent is the better of two drawn.
func (h *hunt) breed() {
	mother := h.pool[h.pick()].list
	var child []int32
	if h.dice.Float64() < mixShare {
		child = h.mix(mother, h.pool[h.pick()].list)
		h.swap(child)
	} else {
		child = h.throw(mother)
	}
	h.enter(h.evaluate(child))
}

func (h *hunt) pick() int { return min(h.dice.IntN(len(h.pool)), h.dice.IntN(len(h.pool))) }

// mix gives a stretch of the mother's nodes the places that they have in her
// list, all others those of the father's; the precedence settles the rest.
func (h *hunt) mix(mother, father []int32) []int32 {
	n := len(mother)
	for k, i := range father {
		h.key[i] = int64(2 * k)
	}
	width := int((0.2 + 0.5*h.dice.Float64()) * float64(n))
	at := h.dice.IntN(n - width + 1)
	for k := at; k < at+width; k++ {
		h.key[mother[k]] = int64(2*k - 1)
	}
	return byRule(h.g, h.key)
}

// throw gives the nodes of a stretch new places within it.
func (h *hunt) throw(list []int32) []int32 {
	const fine = 1000 // places between two nodes
	n := len(list)
	for k, i := range list {
		h.key[i] = int64(fine * k)
	}
	width := min(n, max(3, int(h.dice.Float64()*float64(n))))
	at := h.dice.IntN(n - width + 1)
	for k := at; k < at+width; k++ {
		h.key[list[k]] = int64(fine*at + h.dice.IntN(fine*width))
	}
	return byRule(h.g, h.key)
}

// swap exchanges some neighbours that do not depend on one another.
func (h *hunt) swap(list []int32) {
	for k := 1; k < len(list); k++ {
		if h.dice.Float64() >= swapChance {
			continue
		}
		i, j := list[k-1], list[k]
		if !slices.ContainsFunc(h.g.before[j], func(a arc) bool { return a.node == i }) {
			list[k-1], list[k] = j, i
		}
	}
}
