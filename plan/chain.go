package plan

import "slices"

// critical is one chain from the first task to the finish in which each holds
// the next back, through precedence or through who hands over to whom. Where
// several hold a task back, the longest of them is taken.
func (p Problem) critical(g *network, flow [][]int32, start, end []int64) []string {
	y := newPlayer(g, KeepOrder, g.topo, flow)
	copy(y.start, start)
	copy(y.end, end)
	last := finish(end)
	at := int32(-1)
	for i, e := range end {
		if e == last && (at < 0 || i < g.tasks && (int(at) >= g.tasks || end[i]-start[i] > end[at]-start[at])) {
			at = int32(i)
		}
	}
	chain := []string{}
	for range g.n {
		if int(at) < g.tasks {
			chain = append(chain, p.Tasks[at].ID)
		}
		next := int32(-1)
		y.causes(at, func(j int32) {
			if next < 0 || end[j]-start[j] > end[next]-start[next] {
				next = j
			}
		})
		if next < 0 {
			break
		}
		at = next
	}
	slices.Reverse(chain)
	return chain
}

// slacks are how much later each node may end without moving the last end, the
// order of the plan kept.
func slacks(g *network, flow [][]int32, start, end []int64, last int64) []int64 {
	late := make([]int64, g.n)
	for i := range late {
		late[i] = last
	}
	order := make([]int32, g.n)
	copy(order, g.topo)
	slices.SortStableFunc(order, func(a, b int32) int {
		switch {
		case start[a] != start[b]:
			return int(min(1, max(-1, start[b]-start[a])))
		}
		return int(g.place[b] - g.place[a])
	})
	for _, i := range order {
		// i comes after all that it holds back: its latest end is known by now.
		latestStart := g.calendar[i].before(g.calendar[i].lastOpen(late[i]), g.likely[i])
		if g.slots[i] != nil || g.fixed[i] {
			latestStart = start[i]
		}
		for _, a := range g.before[i] {
			late[a.node] = min(late[a.node], latestStart-a.lag)
		}
		if g.idle[i] {
			continue // it waits for nobody's hands where it takes nothing
		}
		for _, j := range flow[i] {
			late[j] = min(late[j], latestStart)
		}
	}
	out := make([]int64, g.n)
	for i := range out {
		out[i] = max(0, late[i]-end[i])
	}
	return out
}
