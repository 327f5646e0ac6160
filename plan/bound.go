package plan

import "slices"

// bounds are the reasons why the finish cannot come earlier, in ticks.
type bounds struct {
	list []tickBound
	best int64
}

type tickBound struct {
	name string
	at   int64
}

func (b *bounds) add(name string, at int64) {
	b.list = append(b.list, tickBound{name, at})
	b.best = max(b.best, at)
}

// lowerBounds works out the critical path, what each resource has to do, and,
// where no calendars are in the way, the windows of all tasks.
func lowerBounds(g *network, free bare, p Problem, upper int64) bounds {
	var b bounds
	b.add("critical path", finish(free.earlyEnd))
	for r := range g.capacity {
		if at := workload(g, free, int32(r)); at > 0 {
			b.add("work of "+p.Resources[r].ID, at)
		}
	}
	if !g.timed && b.best < upper {
		b.add("windows of the tasks", windowBound(g, free, b.best, upper))
	}
	return b
}

// workload is when a resource can be done with all its tasks: the first can
// begin no earlier than the earliest of them, and after the last the shortest
// of what follows remains. With calendars the hours are worked in the widest of
// them; where they differ, only spans that all tasks share count.
func workload(g *network, free bare, r int32) int64 {
	tail := tails(g)
	work, head, rest := int64(0), never, never
	var calendars []*calendar
	for i := range g.n {
		for _, n := range g.needs[i] {
			if n.resource != r || g.fixed[i] || g.likely[i] == 0 {
				continue
			}
			work += g.likely[i] * int64(n.count)
			head, rest = min(head, free.earlyStart[i]), min(rest, tail[i])
			if !slices.Contains(calendars, g.calendar[i]) {
				calendars = append(calendars, g.calendar[i])
			}
		}
	}
	if work == 0 || len(calendars) > 1 {
		return 0
	}
	capacity := int64(g.capacity[r])
	at := calendars[0].after(head, (work+capacity-1)/capacity)
	if g.timed {
		rest = 0 // what follows may begin anywhere in its own calendar
	}
	return at + rest
}

// tails are the least times between the end of each node and the finish.
func tails(g *network) []int64 {
	tail := make([]int64, g.n)
	for k := g.n - 1; k >= 0; k-- {
		i := g.topo[k]
		for _, a := range g.behind[i] {
			tail[i] = max(tail[i], a.lag+g.likely[a.node]+tail[a.node])
		}
	}
	return tail
}

// windowBound is the least finish that the windows of all tasks do not
// contradict, found by bisection: a finish is refuted where windows, tightened
// until nothing moves, hold more work than there is room for.
//
// ref: DESIGN_PLAN
func windowBound(g *network, free bare, low, high int64) int64 {
	grain := grainOf(g)
	w := newWindows(g, free)
	low = (low + grain - 1) / grain * grain
	for high-low >= grain { // low is a bound, high is reached
		middle := low + (high-low)/grain/2*grain
		if w.refutes(middle) {
			low = middle + grain
		} else {
			high = middle
		}
	}
	return low
}

// grainOf is the greatest time that divides all given ones: every start of an
// active schedule is a multiple of it.
func grainOf(g *network) int64 {
	d := int64(0)
	put := func(v int64) {
		for v != 0 {
			d, v = v, d%v
		}
	}
	for i := range g.n {
		put(g.likely[i])
		put(g.release[i])
		put(g.until[i])
		for _, a := range g.before[i] {
			put(a.lag)
		}
	}
	return max(d, 1)
}
