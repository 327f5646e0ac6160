package plan

// spoilsSlot reports that a node, begun now, would likely still hold at a slot what
// the node of that slot needs: work begun the evening before an appointment keeps
// the car on its stands overnight. Slots are looked at of what can begin then, and
// of what only waits for work that is going on. Nothing is held back where the slot
// is likely lost anyway, nor what the plan has before it where another slot comes
// soon.
//
// ref: DESIGN_PLAN
func (y *player) spoilsSlot(i int32, now int64) bool {
	g := y.g
	for _, k := range g.slotted {
		if k == i || y.begun[k] || g.slots[i] != nil && y.rank[i] < y.rank[k] {
			continue
		}
		ready, foreseen := y.foreseen(k, now)
		if !foreseen {
			continue
		}
		slot := g.begin(k, ready)
		if slot <= now && y.lacks(k) != noResource {
			slot = g.begin(k, now+1)
		}
		soon := g.begin(k, slot+1) <= slot+tickWeek
		if g.end(i, now, g.usual[i]) <= slot || soon && y.rank[i] < y.rank[k] {
			continue
		}
		if r := y.clashAt(k, i, now, slot); r != noResource {
			y.refused[i], y.freedAt[i] = r, -1
			return true
		}
	}
	return false
}

// foreseen is when a node can likely begin, where all that comes before is done or
// going on.
func (y *player) foreseen(k int32, now int64) (ready int64, ok bool) {
	ready = max(now, y.g.release[k])
	for _, a := range y.g.before[k] {
		if !y.begun[a.node] {
			return 0, false
		}
		end := y.end[a.node]
		if end > now {
			end = y.likelyEnd(a.node, now)
		}
		ready = max(ready, end+a.lag)
	}
	return ready, true
}

// likelyEnd is when a node that is going on is likely done, as far as is known now:
// soon, where it takes longer than likely already.
func (y *player) likelyEnd(i int32, now int64) int64 {
	return max(now+1, y.g.end(i, y.start[i], y.g.usual[i]))
}

// clashAt is a resource of which k likely finds enough at its slot, but not with i
// beside it.
func (y *player) clashAt(k, i int32, now, slot int64) int32 {
	clash := noResource
	for _, n := range y.g.needs[k] {
		free := y.g.capacity[n.resource]
		for _, j := range y.running {
			if y.likelyEnd(j, now) > slot {
				free -= y.g.needOf(j, n.resource)
			}
		}
		if free < n.count {
			return noResource
		}
		if free-y.g.needOf(i, n.resource) < n.count {
			clash = n.resource
		}
	}
	return clash
}

func (g *network) needOf(i, resource int32) int32 {
	for _, n := range g.needs[i] {
		if n.resource == resource {
			return n.count
		}
	}
	return 0
}
