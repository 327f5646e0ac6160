package plan

import (
	"cmp"
	"slices"
)

// windows are the times between which each node must lie if the finish is to
// come by a given time.
type windows struct {
	g            *network
	tail, first  []int64
	start, end   []int64 // earliest start, latest end
	pairs        [][2]int32
	users        [][]int32 // of each resource
	count        [][]int64 // what each of them needs of it
	starts, ends []int64
}

func newWindows(g *network, free bare) *windows {
	w := &windows{
		g: g, tail: tails(g), first: free.earlyStart, start: make([]int64, g.n), end: make([]int64, g.n),
		users: make([][]int32, len(g.capacity)), count: make([][]int64, len(g.capacity)),
	}
	for i := range int32(g.n) {
		for _, n := range g.needs[i] {
			if g.likely[i] > 0 && !g.fixed[i] {
				w.users[n.resource] = append(w.users[n.resource], i)
				w.count[n.resource] = append(w.count[n.resource], int64(n.count))
			}
		}
	}
	for i := range int32(g.n) {
		for j := range i {
			if w.clash(i, j) {
				w.pairs = append(w.pairs, [2]int32{i, j})
			}
		}
	}
	return w
}

// passesMost bounds the tightening: lengths that differ greatly creep towards one
// another in steps of the shorter. What is tightened by then holds all the same.
const passesMost = 100

// overfullMost bounds the users of a resource for which every stretch of time is
// looked at: the work grows with their third power.
const overfullMost = 130

// clash reports two nodes that cannot run at the same time.
func (w *windows) clash(i, j int32) bool {
	g := w.g
	if g.fixed[i] || g.fixed[j] || g.likely[i] == 0 || g.likely[j] == 0 {
		return false
	}
	for _, a := range g.needs[i] {
		for _, b := range g.needs[j] {
			if a.resource == b.resource && a.count+b.count > g.capacity[a.resource] {
				return true
			}
		}
	}
	return false
}

// refutes reports that no schedule ends by the horizon.
func (w *windows) refutes(horizon int64) bool {
	copy(w.start, w.first)
	for i, t := range w.tail {
		w.end[i] = horizon - t
	}
	moved := true
	for pass := 0; moved && pass < passesMost; pass++ {
		moved = false
		if w.precede(&moved) || w.order(&moved) || w.timetables(&moved) {
			return true
		}
	}
	for r := range w.users {
		if len(w.users[r]) <= overfullMost && w.overfull(r) {
			return true
		}
	}
	return false
}

// raise and lower tighten a window; they report that nothing fits any more.
func (w *windows) raise(i int32, t int64, moved *bool) bool {
	if t > w.start[i] {
		w.start[i], *moved = t, true
	}
	return w.start[i]+w.g.likely[i] > w.end[i] && !w.g.fixed[i]
}

func (w *windows) lower(i int32, t int64, moved *bool) bool {
	if t < w.end[i] {
		w.end[i], *moved = t, true
	}
	return w.start[i]+w.g.likely[i] > w.end[i] && !w.g.fixed[i]
}

func (w *windows) precede(moved *bool) bool {
	g := w.g
	for _, i := range g.topo {
		for _, a := range g.before[i] {
			// What has begun may last longer than its likely length.
			done := max(w.start[a.node]+g.likely[a.node], g.until[a.node])
			if w.raise(i, done+a.lag, moved) {
				return true
			}
		}
	}
	for k := g.n - 1; k >= 0; k-- {
		i := g.topo[k]
		for _, a := range g.behind[i] {
			if w.lower(i, w.end[a.node]-g.likely[a.node]-a.lag, moved) {
				return true
			}
		}
	}
	return false
}

// order settles pairs that cannot run together: where one cannot come first, the
// other does.
//
// ref: DESIGN_PLAN
func (w *windows) order(moved *bool) bool {
	work := w.g.likely
	for _, pair := range w.pairs {
		i, j := pair[0], pair[1]
		iFirst := w.start[i]+work[i] <= w.end[j]-work[j]
		jFirst := w.start[j]+work[j] <= w.end[i]-work[i]
		switch {
		case !iFirst && !jFirst:
			return true
		case !iFirst:
			i, j = j, i
			fallthrough
		case !jFirst:
			if w.raise(j, w.start[i]+work[i], moved) || w.lower(i, w.end[j]-work[j], moved) {
				return true
			}
		}
	}
	return false
}

// timetables holds every resource to what must run at each time whatever the
// order: the part of a window that a node covers wherever it lies in it.
func (w *windows) timetables(moved *bool) bool {
	for r := range w.users {
		if w.timetable(r, moved) {
			return true
		}
	}
	return false
}

// change is a step of what must run.
type change struct{ at, count int64 }

func (w *windows) timetable(r int, moved *bool) bool {
	var steps []change
	for k, i := range w.users[r] {
		late, early := w.end[i]-w.g.likely[i], w.start[i]+w.g.likely[i]
		if late < early {
			steps = append(steps, change{late, w.count[r][k]}, change{early, -w.count[r][k]})
		}
	}
	slices.SortFunc(steps, func(a, b change) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.count, b.count)) })
	capacity, level := int64(w.g.capacity[r]), int64(0)
	for k := range steps {
		if level += steps[k].count; level > capacity {
			return true
		}
		steps[k].count = level
	}
	for k, i := range w.users[r] {
		if w.pushed(i, w.count[r][k], capacity, steps, moved) {
			return true
		}
	}
	return false
}

// pushed moves the earliest start of a node behind the pieces of a timetable
// that leave it no room. A node with a part that must run is left alone: its own
// share is in the timetable.
func (w *windows) pushed(i int32, count, capacity int64, steps []change, moved *bool) bool {
	if w.end[i]-w.g.likely[i] < w.start[i]+w.g.likely[i] {
		return false
	}
	for k := 0; k+1 < len(steps); k++ {
		if steps[k].count+count > capacity && steps[k].at < w.start[i]+w.g.likely[i] && steps[k+1].at > w.start[i] {
			if w.raise(i, steps[k+1].at, moved) {
				return true
			}
		}
	}
	return false
}

// overfull reports a stretch of time in which more must be worked than fits:
// each node with the least that lies in it, pushed to either end of its window.
//
// ref: DESIGN_PLAN
func (w *windows) overfull(r int) bool {
	users, count, work := w.users[r], w.count[r], w.g.likely
	w.starts, w.ends = w.starts[:0], w.ends[:0]
	for _, i := range users {
		w.starts = append(w.starts, w.start[i], w.end[i]-work[i])
		w.ends = append(w.ends, w.end[i], w.start[i]+work[i])
	}
	slices.Sort(w.starts)
	slices.Sort(w.ends)
	starts, ends := slices.Compact(w.starts), slices.Compact(w.ends)
	capacity := int64(w.g.capacity[r])
	for _, from := range starts {
		for _, to := range ends {
			if to <= from {
				continue
			}
			sum, room := int64(0), capacity*(to-from)
			for k, i := range users {
				left := w.start[i] + work[i] - from
				right := to - (w.end[i] - work[i])
				if inside := min(left, right, work[i], to-from); inside > 0 {
					sum += inside * count[k]
				}
			}
			if sum > room {
				return true
			}
		}
	}
	return false
}
