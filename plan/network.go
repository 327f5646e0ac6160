package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wreckwright/uncertain"
)

// arc is a node that must end lag ticks before another may start.
type arc struct {
	node int32
	lag  int64
}

// need is how much of a resource a node holds.
type need struct{ resource, count int32 }

// network is a problem made ready for scheduling: tasks first, then milestones
// as nodes without length. Times are ticks.
type network struct {
	tasks, n int
	likely   []int64
	calendar []*calendar
	release  []int64
	fixed    []bool  // begun or done: release is when it really began
	until    []int64 // of a fixed node: no earlier end than this
	usual    []int64 // the likely length where it is needed
	slots    [][]int64
	lastSlot []int64 // the last of them, before today's was put to now
	slotted  []int32 // the nodes that have slots
	every    []int64
	before   [][]arc // predecessors
	behind   [][]arc // successors
	needs    [][]need
	mask     []uint64 // the resources in needs, a bit each
	capacity []int32
	due      []int64 // wished time; never where there is none
	topo     []int32 // an order in which each comes after its predecessors
	place    []int32 // of a node in topo
	timed    bool    // some calendar or slot is there
	outside  []bool  // runs on calendar days
	idle     []bool  // takes nothing in the schedule, but time in some trials
}

const never = int64(1) << 60

// newNetwork makes the network of a problem that passed [Problem.Check].
func newNetwork(p Problem) (*network, error) {
	calendars, err := p.calendars()
	if err != nil {
		return nil, err
	}
	n := len(p.Tasks) + len(p.Milestones)
	g := &network{
		tasks: len(p.Tasks), n: n, likely: make([]int64, n), calendar: make([]*calendar, n), release: make([]int64, n),
		fixed: make([]bool, n), until: make([]int64, n), slots: make([][]int64, n), every: make([]int64, n),
		before: make([][]arc, n), behind: make([][]arc, n), needs: make([][]need, n), mask: make([]uint64, n), due: make([]int64, n),
		usual: make([]int64, n), lastSlot: make([]int64, n), idle: make([]bool, n), outside: make([]bool, n),
	}
	copy(g.calendar, calendars)
	for _, r := range p.Resources {
		g.capacity = append(g.capacity, int32(r.Capacity))
	}
	today := toTicks(p.TodayDay)
	for i, t := range p.Tasks {
		g.addTask(p, i, t, today)
	}
	for i := range n {
		g.due[i] = never
	}
	for k, m := range p.Milestones {
		if m.ByDay != nil {
			g.due[len(p.Tasks)+k] = toTicks(*m.ByDay)
		}
	}
	g.connect(p)
	if all := g.span(); all > MaxSpan*tickDay {
		return nil, &InputError{
			Key: "tasks", Item: -1, Problem: fmt.Sprintf("take %.0f days one after the other", toDays(all)),
			Expected: fmt.Sprintf("%d at most", MaxSpan),
		}
	}
	return g, nil
}

func (g *network) addTask(p Problem, i int, t Task, today int64) {
	g.likely[i] = p.ticks(t, t.planned())
	g.usual[i] = p.ticks(t, t.usual())
	g.release[i] = max(today, toTicks(t.NotBeforeDay))
	switch {
	case t.DoneDay != nil:
		g.fixed[i], g.calendar[i] = true, nil
		g.release[i] = toTicks(*t.DoneDay)
		if t.StartedDay != nil {
			g.release[i] = toTicks(*t.StartedDay)
		}
		g.likely[i] = toTicks(*t.DoneDay) - g.release[i]
		return
	case t.StartedDay != nil:
		g.fixed[i], g.release[i], g.until[i] = true, toTicks(*t.StartedDay), today
		if !t.ownWork() {
			gone := toDays(g.calendar[i].between(g.release[i], today))
			g.usual[i] = p.ticks(t, t.expected(gone))
			g.likely[i] = g.usual[i]
		}
	case len(t.SlotDays) > 0:
		for _, d := range t.SlotDays {
			g.slots[i] = append(g.slots[i], toTicks(p.slotMoment(d)))
		}
		slices.Sort(g.slots[i])
		g.lastSlot[i] = toTicks(slices.Max(t.SlotDays))
		g.slotted = append(g.slotted, int32(i))
		g.every[i] = max(tickHour, toTicks(cmp.Or(t.SlotEvery, DefaultSlotEvery)))
	}
	g.outside[i] = !t.ownWork()
	g.idle[i] = g.likely[i] == 0 && !g.fixed[i] && t.mayLast()
	g.timed = g.timed || g.calendar[i] != nil || g.slots[i] != nil
	for _, u := range t.Uses {
		if u.Count > 0 {
			g.addNeed(i, int32(slices.IndexFunc(p.Resources, func(r Resource) bool { return r.ID == u.Resource })), int32(u.Count))
		}
	}
}

// slotMoment is when work begins on a slot: one of today is not over because it is
// ten o'clock already.
func (p Problem) slotMoment(day float64) float64 {
	if math.Floor(day) == math.Floor(p.TodayDay) {
		return max(day, p.TodayDay)
	}
	return day
}

func (g *network) addNeed(i int, resource, count int32) {
	g.mask[i] |= 1 << resource
	for k := range g.needs[i] {
		if g.needs[i][k].resource == resource {
			g.needs[i][k].count += count
			return
		}
	}
	g.needs[i] = append(g.needs[i], need{resource, count})
}

func (t Task) length() uncertain.Range {
	if t.Hours != nil {
		return *t.Hours
	}
	return *t.Days
}

// planned is the length in a schedule: what is more likely than not to be.
//
// ref: DESIGN_PLAN
func (t Task) planned() float64 {
	if t.Skip >= 0.5 && t.StartedDay == nil {
		return 0
	}
	return t.usual()
}

// expected is the length with an even chance of a wait that has lasted so long and is
// not over: what it was likely to take at first says little by then.
func (t Task) expected(gone float64) float64 {
	curve := t.length().Curve()
	if curve.Range.IsCertain() || gone <= 0 {
		return t.usual()
	}
	even := (1 + curve.CDF(gone)) / 2
	return max(gone, curve.Quantile(min(even, almostSure)))
}

// usual is the likely length of a task that is needed.
func (t Task) usual() float64 {
	length := t.length().Likely
	if t.Again != nil && t.Again.Chance >= 0.5 {
		length += t.Again.length().Likely
	}
	return length
}

func (a Again) length() uncertain.Range {
	if a.Hours != nil {
		return *a.Hours
	}
	return *a.Days
}

// mayLast reports that a task takes time in some trial.
func (t Task) mayLast() bool {
	more := t.Again != nil && t.Again.Chance > 0 && t.Again.length().High > 0
	return t.Skip < 1 && (t.length().High > 0 || more)
}

// sure reports that a task takes one length whatever happens.
func (t Task) sure() bool {
	certain := t.DoneDay != nil || t.length().IsCertain()
	return certain && (t.Skip == 0 || t.Skip == 1) && (t.Again == nil || t.Again.Chance == 0 || t.Again.Chance == 1 && t.Again.length().IsCertain())
}

// connect puts the arcs and the order in. Arcs to what has begun already bind
// nothing any more.
func (g *network) connect(p Problem) {
	index, links := p.index(), p.links()
	for i, list := range links {
		if g.fixed[i] {
			continue
		}
		for _, l := range list {
			j, lag := index[l.ID], toTicks(l.LagDays)
			g.before[i] = append(g.before[i], arc{int32(j), lag})
			g.behind[j] = append(g.behind[j], arc{int32(i), lag})
		}
	}
	missing := make([]int, g.n)
	var ready []int32
	for i := range g.n {
		if missing[i] = len(g.before[i]); missing[i] == 0 {
			ready = append(ready, int32(i))
		}
	}
	g.place = make([]int32, g.n)
	for len(ready) > 0 {
		i := ready[0]
		ready = ready[1:]
		g.place[i] = int32(len(g.topo))
		g.topo = append(g.topo, i)
		for _, a := range g.behind[i] {
			if missing[a.node]--; missing[a.node] == 0 {
				ready = append(ready, a.node)
			}
		}
	}
}

// begin is the first time from t on at which a node may start, people apart. Own
// work on a slot begins with the first hour after it; outside work takes the next
// slot where what it holds is away.
func (g *network) begin(i int32, t int64) int64 {
	if g.slots[i] == nil {
		return g.calendar[i].nextOpen(t)
	}
	s := g.slot(i, t)
	for g.outside[i] {
		open := g.calendar[i].nextOpen(s)
		if open == s {
			break
		}
		s = g.slot(i, open)
	}
	return s
}

// slot is the first slot of a node from t on.
func (g *network) slot(i int32, t int64) int64 {
	s := g.slots[i]
	k, _ := slices.BinarySearch(s, t)
	if k < len(s) {
		return s[k]
	}
	last := g.lastSlot[i]
	return last + (t-last+g.every[i]-1)/g.every[i]*g.every[i]
}

// end is when a node that starts at t is done.
func (g *network) end(i int32, t, work int64) int64 {
	return max(g.until[i], g.calendar[i].after(t, work))
}

// lateMost is where lateness is cut off, so that a thousand times it is still a
// number: a million days.
const lateMost = 1_000_000 * tickDay

// late is how many ticks all milestones together are late.
func (g *network) late(end []int64) int64 {
	sum := int64(0)
	for i := g.tasks; i < g.n; i++ {
		sum += max(0, end[i]-g.due[i])
	}
	return min(sum, lateMost)
}

// span is how long everything takes one after the other, its gaps included: no
// schedule is longer.
func (g *network) span() int64 {
	sum, latest := int64(0), int64(0)
	for i := range int32(g.n) {
		latest = max(latest, g.release[i])
		if s := g.slots[i]; s != nil {
			latest = max(latest, s[len(s)-1])
			sum += g.every[i]
		}
		if c := g.calendar[i]; c != nil {
			sum += c.after(c.until, g.likely[i]) // what is closed before until counts as a gap
		} else {
			sum += g.likely[i]
		}
		for _, a := range g.before[i] {
			sum += a.lag
		}
	}
	return sum + latest
}

// finish is the last end of all.
func finish(end []int64) int64 {
	last := int64(0)
	for _, e := range end {
		last = max(last, e)
	}
	return last
}
