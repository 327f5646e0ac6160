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
