package plan

// Policy is how the work is carried on when things take other times than likely.
// Both decide only on what has happened by then; a schedule made anew with the
// lengths of a trial would see the future and be too good.
//
// ref: DESIGN_PLAN
type Policy string

const (
	// KeepOrder keeps who hands over to whom as planned: a task starts when its
	// predecessors and those whose people or place it takes over are done.
	// Nothing that gets shorter can make anything later.
	KeepOrder Policy = "planned order"
	// TakeNext looks, whenever something ends or arrives or work opens, down the
	// plan's order and starts what can start. It does not wait idly for a late
	// part, but can put a long task in the way of one that would have been ready
	// a moment later, so that a shorter task can make the finish later (Graham).
	// Before a slot it begins nothing that would likely still be in the way of it.
	//
	// ref: GRAHAM_1969 anomalies
	TakeNext Policy = "next that can start"
)

// player plays a plan once with given lengths.
type player struct {
	g          *network
	policy     Policy
	order      []int32   // of the nodes, as planned
	rank       []int32   // of a node in it
	flow       [][]int32 // who hands over to whom
	start, end []int64

	refused []int32 // of what could not start: the resource of which too little was free last; -1: none
	freedAt []int64 // when there was enough of it; -1: not yet
	begun   []bool

	free      []int32
	missing   []int32
	readyAt   []int64
	running   []int32 // begun, not ended
	waiting   []int32 // may begin at readyAt
	candidate []int32 // may begin now, by rank
}

func newPlayer(g *network, policy Policy, order []int32, flow [][]int32) *player {
	y := &player{
		g: g, policy: policy, order: order, rank: make([]int32, g.n), flow: flow,
		start: make([]int64, g.n), end: make([]int64, g.n), missing: make([]int32, g.n), readyAt: make([]int64, g.n),
		refused: make([]int32, g.n), freedAt: make([]int64, g.n), begun: make([]bool, g.n),
	}
	for k, i := range order {
		y.rank[i] = int32(k)
	}
	return y
}

// play sets start and end of every node for the lengths.
func (y *player) play(work []int64) {
	if y.policy == KeepOrder {
		y.keepOrder(work)
		return
	}
	y.takeNext(work)
}

func (y *player) keepOrder(work []int64) {
	g := y.g
	for _, i := range y.order {
		t := g.release[i]
		if !g.fixed[i] {
			for _, a := range g.before[i] {
				t = max(t, y.end[a.node]+a.lag)
			}
			for _, j := range y.givers(i, work[i]) {
				t = max(t, y.end[j])
			}
			if g.timed {
				t = g.begin(i, t)
			}
		}
		y.start[i], y.end[i] = t, g.end(i, t, work[i])
	}
}

// givers are those whose people or place a node takes over. What turns out not to
// be needed takes over nothing; whoever is next waits for all who had it before.
func (y *player) givers(i int32, work int64) []int32 {
	if y.g.idle[i] && work == 0 {
		return nil
	}
	return y.flow[i]
}

// takeNext is the parallel scheme by the plan's order.
//
// ref: KOLISCH_1996 parallel scheme
func (y *player) takeNext(work []int64) {
	now := y.begin(work)
	for left := y.g.n; left > 0; {
		left -= y.complete(now)
		y.arrive(now)
		next, again := y.startAll(now, work)
		if again {
			continue // something without length was done at once
		}
		for _, i := range y.running {
			next = min(next, y.end[i])
		}
		for _, i := range y.waiting {
			next = min(next, y.readyAt[i])
		}
		now = next
	}
}

// begin puts everything back to the start and what has begun already in place.
func (y *player) begin(work []int64) int64 {
	g := y.g
	y.free = append(y.free[:0], g.capacity...)
	y.running, y.waiting, y.candidate = y.running[:0], y.waiting[:0], y.candidate[:0]
	copy(y.readyAt, g.release)
	for i := range int32(g.n) {
		y.missing[i], y.refused[i], y.begun[i] = int32(len(g.before[i])), noResource, g.fixed[i]
		switch {
		case g.fixed[i]:
			y.start[i] = g.release[i]
			y.end[i] = g.end(i, y.start[i], work[i])
			y.hold(i, 1)
			y.running = append(y.running, i)
		case y.missing[i] == 0:
			y.waiting = append(y.waiting, i)
		}
	}
	return 0
}

func (y *player) hold(i, sign int32) {
	for _, n := range y.g.needs[i] {
		y.free[n.resource] -= sign * n.count
	}
}

// complete ends what is done by now and tells how many that were.
func (y *player) complete(now int64) int {
	done := 0
	for k := 0; k < len(y.running); {
		i := y.running[k]
		if y.end[i] > now {
			k++
			continue
		}
		y.running[k] = y.running[len(y.running)-1]
		y.running = y.running[:len(y.running)-1]
		y.hold(i, -1)
		done++
		for _, a := range y.g.behind[i] {
			y.readyAt[a.node] = max(y.readyAt[a.node], y.end[i]+a.lag)
			if y.missing[a.node]--; y.missing[a.node] == 0 {
				y.waiting = append(y.waiting, a.node)
			}
		}
	}
	return done
}

// arrive moves what may begin by now among the candidates, by rank.
func (y *player) arrive(now int64) {
	for k := 0; k < len(y.waiting); {
		i := y.waiting[k]
		if y.readyAt[i] > now {
			k++
			continue
		}
		y.waiting[k] = y.waiting[len(y.waiting)-1]
		y.waiting = y.waiting[:len(y.waiting)-1]
		at := len(y.candidate)
		y.candidate = append(y.candidate, i)
		for ; at > 0 && y.rank[y.candidate[at-1]] > y.rank[i]; at-- {
			y.candidate[at] = y.candidate[at-1]
		}
		y.candidate[at] = i
	}
}

// startAll starts what can start now. It gives the next time at which work opens
// for something that was ready, and whether something was done at once.
func (y *player) startAll(now int64, work []int64) (next int64, again bool) {
	g := y.g
	next = never
	kept := y.candidate[:0]
	for _, i := range y.candidate {
		if work[i] > 0 && !y.mayHave(i, now) {
			kept = append(kept, i)
			continue
		}
		if g.timed {
			if t := g.begin(i, now); t > now {
				next = min(next, t)
				kept = append(kept, i)
				continue
			}
			if work[i] > 0 && y.spoilsSlot(i, now) {
				kept = append(kept, i)
				continue
			}
		}
		y.start[i], y.end[i] = now, g.end(i, now, work[i])
		again = again || y.end[i] <= now
		y.hold(i, 1)
		y.begun[i] = true
		y.running = append(y.running, i)
	}
	y.candidate = kept
	return next, again
}

const noResource = int32(-1)

// mayHave reports that what a node needs is free, and notes what is missing or
// since when nothing is.
func (y *player) mayHave(i int32, now int64) bool {
	if r := y.lacks(i); r != noResource {
		y.refused[i], y.freedAt[i] = r, -1
		return false
	}
	if y.refused[i] != noResource && y.freedAt[i] < 0 {
		y.freedAt[i] = now
	}
	return true
}

// lacks is a resource of which too little is free for a node.
func (y *player) lacks(i int32) int32 {
	for _, n := range y.g.needs[i] {
		if y.free[n.resource] < n.count {
			return n.resource
		}
	}
	return noResource
}

// causes calls note for every node that held a node back in the last play: its
// predecessors where it started as soon as they allowed, else those that handed
// their people or place over to it.
func (y *player) causes(i int32, note func(int32)) {
	g := y.g
	if g.fixed[i] {
		return
	}
	ready := g.release[i]
	for _, a := range g.before[i] {
		ready = max(ready, y.end[a.node]+a.lag)
	}
	if s := g.slots[i]; s != nil && y.start[i] == s[0] && ready < s[0] {
		return // it waited for its first slot, not for anything before it
	}
	freed, givers := y.freed(i)
	for _, a := range g.before[i] {
		if at := y.end[a.node] + a.lag; at == ready && at >= freed && at > g.release[i] {
			note(a.node)
		}
	}
	if freed < ready || freed <= g.release[i] {
		return
	}
	for _, j := range givers {
		if y.end[j] == freed && j != i && (y.policy == KeepOrder || g.mask[j]&(1<<y.refused[i]) != 0) {
			note(j)
		}
	}
}

// freed is when the last of what a node took over was freed, and who may have done
// that; -1 where it took over nothing.
func (y *player) freed(i int32) (at int64, givers []int32) {
	if y.policy == TakeNext {
		if y.refused[i] == noResource {
			return -1, nil
		}
		return y.freedAt[i], y.order
	}
	at, givers = -1, y.givers(i, y.end[i]-y.start[i])
	for _, j := range givers {
		if y.end[j] <= y.start[i] && j != i {
			at = max(at, y.end[j])
		}
	}
	return at, givers
}

// trace marks every node on which the last end hung, and counts it.
func (y *player) trace(seen []bool, count func(int32)) {
	clear(seen)
	last := finish(y.end)
	var stack []int32
	push := func(i int32) {
		if !seen[i] {
			seen[i] = true
			count(i)
			stack = append(stack, i)
		}
	}
	for i, e := range y.end {
		if e == last {
			push(int32(i))
		}
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		y.causes(i, push)
	}
}
