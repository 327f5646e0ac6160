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
	return circleFrom(s.ID, at, func(s *StripItem) []int64 { return s.After })
}

// circleFrom follows what came off before an item back to the item itself.
func circleFrom(start int64, at func(int64) *StripItem, after func(*StripItem) []int64) Circle {
	ids := circleOf(start, func(id int64) []int64 {
		s := at(id)
		if s == nil {
			return nil
		}
		return slices.DeleteFunc(slices.Clone(after(s)), func(other int64) bool { return at(other) == nil })
	})
	var circle Circle
	for _, id := range ids {
		circle = append(circle, at(id))
	}
	// That leads from what came off later to what came off before it.
	slices.Reverse(circle)
	return circle
}

// laterOff orders by the moment it came off, the latest first; of equal ones what
// was entered later.
func laterOff(a, b *StripItem) int {
	return cmp.Or(instant(b.At).Compare(instant(a.At)), cmp.Compare(b.ID, a.ID))
}

// goFirst are, by the item, the things still off that go back before it: those
// that came off after it, be it through something between them that is back
// already.
func (r *Rebuild) goFirst() map[int64][]*StripItem {
	first := map[int64][]*StripItem{}
	for i := range r.Strip {
		s := &r.Strip[i]
		if !s.Off() {
			continue
		}
		seen := map[int64]bool{s.ID: true}
		var before func(ids []int64)
		before = func(ids []int64) {
			for _, id := range ids {
				if seen[id] {
					continue
				}
				seen[id] = true
				first[id] = append(first[id], s)
				if other := r.StripItem(id); other != nil && !other.Off() {
					before(other.After)
				}
			}
		}
		before(s.After)
	}
	return first
}

// refitOrder orders things that are off so that each goes back after those that
// go first, and else what came off last first (Kahn's method). A circle is broken
// at its member that came off last, and named.
func refitOrder(off []*StripItem, first map[int64][]*StripItem) ([]*StripItem, []Circle) {
	left := slices.SortedFunc(slices.Values(off), laterOff)
	listed := map[int64]bool{}
	for _, s := range left {
		listed[s.ID] = true
	}
	waits, behind := map[int64]int{}, map[int64][]int64{} // for how many that are left; which wait for it
	for _, s := range left {
		for _, f := range first[s.ID] {
			if listed[f.ID] {
				waits[s.ID]++
				behind[f.ID] = append(behind[f.ID], s.ID)
			}
		}
	}
	var order []*StripItem
	var circles []Circle
	for len(left) > 0 {
		at := slices.IndexFunc(left, func(s *StripItem) bool { return waits[s.ID] == 0 })
		if at < 0 {
			circle := firstCircle(left, behind)
			circles = append(circles, circle)
			at = slices.IndexFunc(left, func(s *StripItem) bool { return slices.Contains(circle, s) })
		}
		next := left[at]
		order = append(order, next)
		left = slices.Delete(left, at, at+1)
		for _, id := range behind[next.ID] {
			waits[id]--
		}
	}
	return order, circles
}

// firstCircle finds a circle among things of which none is free.
func firstCircle(left []*StripItem, behind map[int64][]int64) Circle {
	byID := make(map[int64]*StripItem, len(left))
	for _, s := range left {
		byID[s.ID] = s
	}
	at := func(id int64) *StripItem { return byID[id] }
	after := func(s *StripItem) []int64 { return behind[s.ID] }
	for _, s := range left {
		if circle := circleFrom(s.ID, at, after); circle != nil {
			return circle
		}
	}
	return left[:1] // not reached: where none is free there is a circle
}
