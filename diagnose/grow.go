package diagnose

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// How far plans of the look-ahead are grown.
const (
	grownPlans = 4    // the cheapest, so many
	grownNear  = 1.15 // and no more than this times the cheapest
	grownWork  = 2e6  // runs of the sequence, times sets of faults and repairs, in all
	grownMore  = 8e6  // the same where sets times repairs come to no more than grownSmall
	grownSmall = 400
	grownLeast = 1e-7 // a part that could gain no more than this share of the cost stays
	grownWide  = 4    // actions looked at two steps deep on the way
)

// grown is a looker whose cheapest plans go on looking ahead: where a plan of two
// steps would fall back on the sequence, the parts that could gain most look two
// steps ahead from there, and so on, while the effort lasts. A part is replaced
// only by a cheaper one, so that a grown plan costs no more than it did, and what
// it costs is what following it comes to.
type grown struct {
	*looker
	plans map[option]*strategy // by action, without its cost
}

func (g *grown) strategyOf(w []float64, o option) *strategy {
	if s, ok := g.plans[option{kind: o.kind, k: o.k}]; ok {
		return s
	}
	return g.looker.strategyOf(w, o)
}

// grow grows the cheapest plans of a look-ahead; the third step may put another
// action first.
func (s *solution) grow(ctx context.Context) error {
	l, ok := s.by.(*looker)
	if !ok || len(s.options) == 0 {
		return nil
	}
	n := 0
	for n < min(len(s.options), grownPlans) && s.options[n].cost <= grownNear*s.options[0].cost {
		n++
	}
	size, work := len(s.p.sets.members)*(len(s.p.repairs)+1), grownWork
	if size <= grownSmall {
		work = grownMore
	}
	runs := work / float64(size)
	n = min(n, int(min(grownPlans, runs/max(1, s.p.replanRuns()))))
	plans := make([]*strategy, n)
	var turn atomic.Int64
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := int(turn.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(turn.Add(1)) - 1 {
				g := &gardener{ctx: ctx, p: s.p, limit: runs / float64(n)}
				plans[i] = g.grow(l, s.b.weight, s.options[i])
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	g := &grown{looker: l, plans: map[option]*strategy{}}
	for i, plan := range plans {
		o := &s.options[i]
		g.plans[option{kind: o.kind, k: o.k}] = plan
		o.cost = min(o.cost, s.p.account(plan, s.b.weight).cost)
	}
	sortOptions(s.options)
	s.by = g
	return nil
}

// replanRuns is about how often the sequence is worked out to look two steps ahead
// once.
func (p *problem) replanRuns() float64 {
	rows := 0
	for k := range p.tests {
		rows += len(p.tests[k].coarse)
	}
	rows += len(p.repairs)
	each := float64(rows) / float64(max(1, len(p.tests)+len(p.repairs)))
	return float64(rows) + grownWide*grownWide*each*each
}

// gardener grows one plan.
type gardener struct {
	ctx   context.Context
	p     *problem
	limit float64 // runs of the sequence
	runs  float64
	buds  []bud
}

// bud is a part of a plan that may be replaced.
type bud struct {
	at           **strategy
	w            []float64
	tested, used []bool
	cost, gain   float64 // what it costs, and the most that can be gained
}

func (g *gardener) grow(l *looker, w []float64, o option) *strategy {
	own := newLooker(l.ctx, g.p)
	own.deep, own.wide = l.deep, l.wide
	plan := own.strategyOf(w, o)
	if o.kind == KindReplace {
		return plan
	}
	least := grownLeast * o.cost
	g.branch(plan, w, make([]bool, len(g.p.tests)), make([]bool, len(g.p.repairs)))
	for len(g.buds) > 0 && g.ctx.Err() == nil && g.runs+g.p.replanRuns() < g.limit {
		i := 0
		for j := range g.buds {
			if g.buds[j].gain > g.buds[i].gain {
				i = j
			}
		}
		b := g.buds[i]
		g.buds[i] = g.buds[len(g.buds)-1]
		g.buds = g.buds[:len(g.buds)-1]
		if b.gain < least {
			break
		}
		g.replan(b)
	}
	return plan
}

// branch makes buds of all that may follow the first action of a plan.
func (g *gardener) branch(s *strategy, w []float64, tested, used []bool) {
	costs := &account{p: g.p, known: map[*strategy][]float64{}}
	add := func(at **strategy, after []float64, tested, used []bool) {
		b := bud{at: at, w: after, tested: tested, used: used}
		b.cost = dot(costs.setCosts(*at), after)
		if b.gain = b.cost - g.p.bound(after); b.gain > 0 {
			g.buds = append(g.buds, b)
		}
	}
	switch s.kind {
	case KindTest:
		tested = slices.Clone(tested)
		tested[s.k] = !g.p.tests[s.k].again
		for o := range s.next {
			after := make([]float64, len(w))
			g.p.tests[s.k].weigh(after, w, o)
			add(&s.next[o], after, tested, used)
		}
	case KindRepair:
		used = slices.Clone(used)
		used[s.k] = true
		after := slices.Clone(w)
		g.p.repairs[s.k].apply(&g.p.sets, after)
		add(&s.next[0], after, tested, used)
	}
}

// replan looks two steps ahead from a bud and takes what is cheaper.
func (g *gardener) replan(b bud) {
	l := newLooker(g.ctx, g.p)
	copy(l.tested, b.tested)
	copy(l.used, b.used)
	all := slices.DeleteFunc(g.p.actions(), func(o option) bool { return !l.open(o) })
	for i := range all {
		all[i].cost = l.oneStep(b.w, all[i], true)
	}
	sortOptions(all)
	l.inner, l.wide = all, grownWide
	best := option{cost: b.cost * (1 - rounding)}
	for _, o := range all[:min(len(all), grownWide)] {
		cost, then := l.twoSteps(b.w, o)
		if g.ctx.Err() != nil {
			return
		}
		if cost < best.cost {
			best = option{kind: o.kind, k: o.k, cost: cost}
			l.deep[option{kind: o.kind, k: o.k}] = then
		}
	}
	g.runs += l.runs
	if best.kind != "" {
		*b.at = l.strategyOf(b.w, best)
	}
	if (*b.at).kind != KindReplace && !math.IsInf(b.cost, 0) {
		g.branch(*b.at, b.w, b.tested, b.used)
	}
}
