package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Arrange looks for the best order and gives it with its dates, its critical
// chain and lower bounds. It fails with an [*InputError] where something cannot
// be. A context that ends stops the search early; what was found by then is
// given, without an error.
func Arrange(ctx context.Context, p Problem, s Search) (Schedule, error) {
	if err := p.Check(); err != nil {
		return Schedule{}, err
	}
	g, err := newNetwork(p)
	if err != nil {
		return Schedule{}, err
	}
	free := newBare(g, g.likely)
	budget := cmp.Or(s.Schedules, SchedulesFor(1, g.n))
	h := newHunt(g, free, budget, math.MinInt64, p.Seed)
	low := bounds{best: finish(free.earlyEnd)}
	if s.OnBetter != nil {
		h.tell = func() { s.OnBetter(h.progress(low.best)) }
	}
	// The bounds take longer than a schedule: there is one to show before.
	h.evaluate(byRule(g, h.values[latestFinish]))
	low = lowerBounds(g, free, p, h.best.finish)
	h.bound = low.best + 1000*g.late(free.earlyEnd)
	h.run(ctx, p.listFrom(g, s.From))
	return p.schedule(g, h, low), nil
}

func (h *hunt) progress(bound int64) Progress {
	return Progress{
		Schedules: h.b.made, Budget: h.budget, LowerBound: toDays(bound),
		FinishDay: toDays(h.best.finish), LateDays: toDays(h.best.late),
	}
}

// listFrom makes a list out of the ids of an earlier plan; what it does not know
// goes by its latest finish, behind.
func (p Problem) listFrom(g *network, ids []string) []int32 {
	if len(ids) == 0 {
		return nil
	}
	rank := map[string]int64{}
	for k, id := range ids {
		rank[id] = int64(k)
	}
	value := make([]int64, g.n)
	for i := range g.n {
		if r, ok := rank[p.nodeID(i)]; ok {
			value[i] = r
		} else {
			value[i] = int64(len(ids) + i)
		}
	}
	return byRule(g, value)
}

// schedule tells the best of a search in days.
func (p Problem) schedule(g *network, h *hunt, low bounds) Schedule {
	h.b.serial(h.best.list)
	h.b.made--
	start, end := h.b.start, h.b.end
	last := finish(end)
	s := Schedule{
		Reached: []Reached{}, FinishDay: toDays(last), FinishDate: p.date(toDays(last)),
		LowerBound: toDays(low.best), Search: Found{Schedules: h.b.made, Budget: h.budget, Stopped: "time"},
	}
	switch {
	case h.best.worth <= h.bound:
		s.Search.Proven, s.Search.Stopped = true, "proven best"
	case h.b.made+budgetPerOne > h.budget:
		s.Search.Stopped = "budget"
	}
	for _, b := range low.list {
		s.Bounds = append(s.Bounds, Bound{b.name, toDays(b.at)})
	}
	for _, i := range h.best.list {
		s.Order = append(s.Order, p.nodeID(int(i)))
	}
	flow := flowArcs(g, h.best.list, start, end)
	slack := slacks(g, flow, start, end, last)
	for i, t := range p.Tasks {
		s.Placed = append(s.Placed, p.placed(t, start[i], end[i], slack[i]))
	}
	for k, m := range p.Milestones {
		s.Reached = append(s.Reached, p.reached(m, end[g.tasks+k]))
	}
	s.Critical = p.critical(g, flow, start, end)
	return s
}

func (p Problem) placed(t Task, start, end, slack int64) Placed {
	out := Placed{
		ID: t.ID, Name: t.Name, StartDay: toDays(start), EndDay: toDays(end),
		StartDate: p.date(toDays(start)), EndDate: p.date(toDays(end)), SlackDays: toDays(slack),
		Wait: t.Wait, Outside: t.Outside, Done: t.DoneDay != nil,
	}
	out.Started = t.StartedDay != nil && !out.Done
	return out
}

func (p Problem) reached(m Milestone, at int64) Reached {
	out := Reached{ID: m.ID, Name: m.Name, Day: toDays(at), Date: p.date(toDays(at)), ByDay: m.ByDay}
	if m.ByDay != nil {
		out.ByDate = p.date(*m.ByDay)
		out.LateDays = math.Max(0, toDays(at)-*m.ByDay)
	}
	return out
}

// holder is some units of a resource with those who hold them one after the other:
// one that takes time, then any that take time in some trials only.
type holder struct {
	nodes []int32 // none: nobody has had them yet
	count int32
	end   int64 // when they are free in the schedule; -1: from the beginning
}

// flowArcs are who hands over to whom in a schedule: each node gets the units it
// holds from nodes that are done with them, from its own predecessors first.
// Nodes that keep these arcs never hold more than there is, however long they
// take. One that is more likely than not to take nothing has its turn in the list
// all the same: it may get units that are still held by then, and hands on what it
// got together with all who had it before.
//
// ref: DESIGN_PLAN
func flowArcs(g *network, list []int32, start, end []int64) [][]int32 {
	flow := make([][]int32, g.n)
	for r, capacity := range g.capacity {
		holders := []holder{{nil, capacity, -1}}
		for _, i := range list {
			at := slices.IndexFunc(g.needs[i], func(n need) bool { return n.resource == int32(r) })
			if at < 0 || start[i] == end[i] && !g.idle[i] {
				continue
			}
			want := g.needs[i][at].count
			g.sortHolders(holders, i, start[i])
			var passed []holder
			for k := range holders {
				h := &holders[k]
				if want == 0 {
					break
				}
				if h.end > start[i] && !g.idle[i] {
					continue
				}
				took := min(want, h.count)
				h.count, want = h.count-took, want-took
				passed = append(passed, holder{append(slices.Clone(h.nodes), i), took, max(h.end, end[i])})
				for _, j := range h.nodes {
					if !slices.Contains(flow[i], j) {
						flow[i] = append(flow[i], j)
					}
				}
			}
			holders = slices.DeleteFunc(holders, func(h holder) bool { return h.count == 0 })
			if !g.idle[i] {
				passed = []holder{{[]int32{i}, g.needs[i][at].count, end[i]}}
			}
			holders = append(holders, passed...)
		}
	}
	return flow
}

// sortHolders puts first those that come before i anyway, then those that are
// free, the last that was freed first; at the end those that are not free yet.
func (g *network) sortHolders(holders []holder, i int32, start int64) {
	slices.SortStableFunc(holders, func(a, b holder) int {
		byEnd := cmp.Compare(b.end, a.end)
		if a.end > start {
			byEnd = -byEnd
		}
		return cmp.Or(
			cmp.Compare(b2i(!g.followsAll(i, a.nodes)), b2i(!g.followsAll(i, b.nodes))),
			cmp.Compare(b2i(a.end > start), b2i(b.end > start)), byEnd,
		)
	})
}

func (g *network) followsAll(i int32, nodes []int32) bool {
	return !slices.ContainsFunc(nodes, func(j int32) bool {
		return !slices.ContainsFunc(g.before[i], func(a arc) bool { return a.node == j })
	})
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
