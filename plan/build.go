package plan

import "slices"

// builder makes schedules out of lists; it keeps its columns between calls.
type builder struct {
	g          *network
	work       []int64 // of each node
	start, end []int64 // of the last schedule
	profile    profile
	keys       []int64
	list       []int32
	made       int // schedules so far
}

func newBuilder(g *network) *builder {
	return &builder{
		g: g, work: slices.Clone(g.likely), start: make([]int64, g.n), end: make([]int64, g.n),
		keys: make([]int64, g.n), list: make([]int32, g.n),
	}
}

// worth is what a schedule is judged by, the less the better: lateness of the
// milestones first, then the finish.
//
// ref: DESIGN_PLAN
func (b *builder) worth() int64 { return 1000*b.g.late(b.end) + finish(b.end) }

// serial is the serial scheme: each node of the list starts as soon as its
// predecessors, its calendar and what is left of the resources allow.
//
// ref: KOLISCH_1996 serial scheme
func (b *builder) serial(list []int32) {
	g := b.g
	b.made++
	b.profile.reset(g.capacity, 0)
	for i := range int32(g.n) {
		if g.fixed[i] {
			b.start[i] = g.release[i]
			b.end[i] = g.end(i, b.start[i], b.work[i])
			b.profile.take(g.needs[i], b.start[i], b.end[i])
		}
	}
	for _, i := range list {
		if g.fixed[i] {
			continue
		}
		t := g.release[i]
		for _, a := range g.before[i] {
			t = max(t, b.end[a.node]+a.lag)
		}
		b.fit(i, t)
	}
}

func (b *builder) fit(i int32, t int64) {
	g, needs := b.g, b.g.needs[i]
	end := t + b.work[i]
	for {
		if g.timed {
			t = g.begin(i, t)
			end = g.end(i, t, b.work[i])
		}
		if len(needs) == 0 || end <= t {
			break
		}
		j := b.profile.conflict(needs, b.profile.find(t), end)
		if j < 0 {
			b.profile.take(needs, t, end)
			break
		}
		t = b.profile.at[j+1]
		end = t + b.work[i]
	}
	b.start[i], b.end[i] = t, end
}

// backward is the serial scheme from the end: each node of the list, the last
// first, ends as late as its successors and the resources allow. Release and
// slots are left to the forward pass that follows. Time runs down from horizon.
func (b *builder) backward(list []int32, horizon int64) {
	g := b.g
	b.made++
	b.profile.reset(g.capacity, 0)
	for _, i := range list {
		if g.fixed[i] {
			continue
		}
		t := int64(0)
		for _, a := range g.behind[i] {
			t = max(t, horizon-b.start[a.node]+a.lag)
		}
		b.fitBack(i, t, horizon)
	}
}

func (b *builder) fitBack(i int32, t, horizon int64) {
	g, needs := b.g, b.g.needs[i]
	end := t + b.work[i]
	for {
		if c := g.calendar[i]; c != nil {
			at := c.lastOpen(horizon - t)
			t, end = horizon-at, horizon-c.before(at, b.work[i])
		}
		if len(needs) == 0 || end <= t {
			break
		}
		j := b.profile.conflict(needs, b.profile.find(t), end)
		if j < 0 {
			b.profile.take(needs, t, end)
			break
		}
		t = b.profile.at[j+1]
		end = t + b.work[i]
	}
	b.start[i], b.end[i] = horizon-end, horizon-t
}

// justifyRight is the first half of double justification of the last schedule:
// everything as late as it goes, the last end first. It gives how long the plan is
// then. The second half puts everything as early as it goes, the first start first;
// without calendars and slots the finish never comes later.
//
// ref: VALLS_2005 double justification
func (b *builder) justifyRight() (length int64) {
	b.sortBy(b.end)
	slices.Reverse(b.list)
	horizon := finish(b.end)
	b.backward(b.list, horizon)
	return horizon - slices.Min(b.start)
}

// justifyLeft is the second half of it.
func (b *builder) justifyLeft() {
	b.sortBy(b.start)
	b.serial(b.list)
}

// placeBits is room for the number of a node below its time in one sort key.
const placeBits = 10

// sortBy puts into list the nodes by a time, where equal in the order of the
// network.
func (b *builder) sortBy(time []int64) {
	for i, t := range time {
		b.keys[i] = t<<placeBits | int64(b.g.place[i])
	}
	slices.Sort(b.keys)
	for k, key := range b.keys {
		b.list[k] = b.g.topo[key&(1<<placeBits-1)]
	}
}
