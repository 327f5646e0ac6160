package rebuild

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Circle is a chain of strip items each of which is said to have come off before
// the next, back to the first: no order can honour it.
type Circle []*StripItem

// String names the circle: "A" before "B" before "A".
func (c Circle) String() string {
	parts := make([]string, 0, len(c)+1)
	for _, s := range c {
		parts = append(parts, fmt.Sprintf("%q", short(s.What)))
	}
	if len(c) > 0 {
		parts = append(parts, parts[0])
	}
	return strings.Join(parts, " before ")
}

// circleThrough finds a circle that the item closes with those of the trail, the
// item itself as it is given; nil: none.
func (r *Rebuild) circleThrough(s StripItem) Circle {
	at := func(id int64) *StripItem {
		if id == s.ID {
			return &s
		}
		return r.StripItem(id)
	}
	return circleFrom(s.ID, at)
}

// circleFrom follows After from an item back to itself, depth first.
func circleFrom(start int64, at func(int64) *StripItem) Circle {
	seen := map[int64]bool{}
	var path Circle
	var follow func(id int64) bool
	follow = func(id int64) bool {
		s := at(id)
		if s == nil || seen[id] {
			return false
		}
		seen[id] = true
		path = append(path, s)
		for _, before := range s.After {
			if before == start || follow(before) {
				return true
			}
		}
		path = path[:len(path)-1]
		return false
	}
	if !follow(start) {
		return nil
	}
	// After leads from what came off later to what came off before it.
	slices.Reverse(path)
	return path
}

// laterOff orders by the moment it came off, the latest first; of equal ones what
// was entered later.
func laterOff(a, b *StripItem) int {
	return cmp.Or(instant(b.At).Compare(instant(a.At)), cmp.Compare(b.ID, a.ID))
}

// refitOrder orders things that are off so that each goes back before those that
// had to come off before it, and else what came off last first (Kahn's method).
// A circle is broken at its member that came off last, and named.
func refitOrder(off []*StripItem) ([]*StripItem, []Circle) {
	left := slices.SortedFunc(slices.Values(off), laterOff)
	waits := map[int64]int{} // for how many things that are left
	for _, s := range left {
		waits[s.ID] = 0
	}
	count := func(s *StripItem, by int) {
		for _, id := range s.After {
			if _, there := waits[id]; there {
				waits[id] += by
			}
		}
	}
	for _, s := range left {
		count(s, 1)
	}
	var order []*StripItem
	var circles []Circle
	for len(left) > 0 {
		at := slices.IndexFunc(left, func(s *StripItem) bool { return waits[s.ID] == 0 })
		if at < 0 {
			circle := firstCircle(left)
			circles = append(circles, circle)
			at = slices.Index(left, slices.MinFunc(circle, laterOff))
		}
		next := left[at]
		order = append(order, next)
		left = slices.Delete(left, at, at+1)
		count(next, -1)
		delete(waits, next.ID)
	}
	return order, circles
}

// firstCircle finds a circle among things of which none is free.
func firstCircle(left []*StripItem) Circle {
	byID := make(map[int64]*StripItem, len(left))
	for _, s := range left {
		byID[s.ID] = s
	}
	at := func(id int64) *StripItem { return byID[id] }
	for _, s := range left {
		if circle := circleFrom(s.ID, at); circle != nil {
			return circle
		}
	}
	return left[:1] // not reached: where none is free there is a circle
}
