package rebuild_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

// anyTrail draws things that are off, their relations free (circles too) or only
// to numbers below their own.
func anyTrail(t *rapid.T, free bool) []rebuild.StripItem {
	n := rapid.IntRange(1, 14).Draw(t, "things")
	trail := make([]rebuild.StripItem, n)
	for i := range trail {
		s := &trail[i]
		s.ID, s.What = int64(i+1), fmt.Sprintf("t%d", i+1)
		s.At = fmt.Sprintf("2026-02-%02dT10:00:00Z", rapid.IntRange(1, 5).Draw(t, "day"))
		for k := range n {
			if (free && k != i || k < i) && rapid.IntRange(0, 4).Draw(t, "after") == 0 {
				s.After = append(s.After, int64(k+1))
			}
		}
		if rapid.IntRange(0, 5).Draw(t, "back") == 0 {
			s.BackAt = "2026-03-01T10:00:00Z"
		}
	}
	return trail
}

// TestRefitHonoursEveryRelation holds that the list has each thing that is off
// once, that each goes back before what came off before it, that of what is free
// the latest goes first, and that the order of entry in memory does not matter.
func TestRefitHonoursEveryRelation(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := &rebuild.Rebuild{Strip: anyTrail(rt, false)}
		f := r.Refit()
		if len(f.Circles) > 0 {
			rt.Fatalf("a circle where there is none: %s", f.Circles[0])
		}
		at := placesOf(rt, r, f)
		for _, step := range f.Steps {
			for before := range cameOffBefore(r, step.Item) {
				if p, off := at[before]; off && p < at[step.Item.ID] {
					rt.Fatalf("%d goes back before %d, which came off after it", before, step.Item.ID)
				}
			}
		}
		latestFirst(rt, r, f, at)
		if again := r.Refit(); !reflect.DeepEqual(f, again) {
			rt.Fatal("asked again it differs")
		}
	})
}

// cameOffBefore are the things that had to come off before one, also through what
// is back already.
func cameOffBefore(r *rebuild.Rebuild, s *rebuild.StripItem) map[int64]bool {
	before := map[int64]bool{}
	for todo := slices.Clone(s.After); len(todo) > 0; todo = todo[1:] {
		if id := todo[0]; !before[id] && id != s.ID {
			before[id] = true
			if other := r.StripItem(id); !other.Off() {
				todo = append(todo, other.After...)
			}
		}
	}
	return before
}

// placesOf holds that the list is a permutation of what is off.
func placesOf(t *rapid.T, r *rebuild.Rebuild, f rebuild.Refit) map[int64]int {
	at := map[int64]int{}
	for i, step := range f.Steps {
		if _, twice := at[step.Item.ID]; twice || !step.Item.Off() {
			t.Fatalf("%d is listed twice or is back", step.Item.ID)
		}
		at[step.Item.ID] = i
	}
	if off := len(r.StillOff("")); off != len(at) {
		t.Fatalf("%d are listed, %d are off", len(at), off)
	}
	return at
}

// latestFirst holds, for each place of the list, that nothing that came off later
// was free to go.
func latestFirst(t *rapid.T, r *rebuild.Rebuild, f rebuild.Refit, at map[int64]int) {
	free := func(s *rebuild.StripItem, place int) bool {
		for _, other := range f.Steps {
			if cameOffBefore(r, other.Item)[s.ID] && at[other.Item.ID] >= place {
				return false
			}
		}
		return true
	}
	for i, step := range f.Steps {
		for _, later := range f.Steps[i+1:] {
			newer := later.Item.At > step.Item.At || later.Item.At == step.Item.At && later.Item.ID > step.Item.ID
			if newer && free(later.Item, i) {
				t.Fatalf("%d goes back at place %d though %d was free and came off later", step.Item.ID, i, later.Item.ID)
			}
		}
	}
}

// TestCirclesAreNamed draws relations at will: the list stays complete, and there
// are circles just when no order can honour all (told apart by taking free things
// away until none is left), each a true chain.
func TestCirclesAreNamed(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := &rebuild.Rebuild{Strip: anyTrail(rt, true)}
		f := r.Refit()
		placesOf(rt, r, f)
		if got, want := len(f.Circles) > 0, stuck(r, r.StillOff("")); got != want {
			rt.Fatalf("circles %v, want %v", f.Circles, want)
		}
		for _, circle := range f.Circles {
			for i, s := range circle {
				next := circle[(i+1)%len(circle)]
				if !cameOffBefore(r, next)[s.ID] {
					rt.Fatalf("%s: nobody said that %d came off before %d", circle, s.ID, next.ID)
				}
			}
			parts := strings.Split(circle.String(), " before ")
			if len(parts) != len(circle)+1 || parts[0] != parts[len(parts)-1] {
				rt.Fatalf("the circle is called %s", circle)
			}
		}
	})
}

// stuck takes away what nothing waits for until nothing can be taken away.
func stuck(r *rebuild.Rebuild, left []*rebuild.StripItem) bool {
	for {
		some := slices.DeleteFunc(slices.Clone(left), func(s *rebuild.StripItem) bool {
			return !slices.ContainsFunc(left, func(o *rebuild.StripItem) bool { return cameOffBefore(r, o)[s.ID] })
		})
		if len(some) == len(left) {
			return len(left) > 0
		}
		left = some
	}
}

// TestAPartIsClosed holds that a part of the list has what was asked for, what that
// needs, and nothing else.
func TestAPartIsClosed(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := &rebuild.Rebuild{Strip: anyTrail(rt, false)}
		wanted := rapid.SliceOfN(rapid.Int64Range(1, 14), 0, 3).Draw(rt, "wanted")
		f := r.RefitOf(nil, wanted)
		listed := map[int64]bool{}
		for _, step := range f.Steps {
			listed[step.Item.ID] = true
		}
		for _, s := range r.StillOff("") {
			needed := slices.Contains(wanted, s.ID)
			for id := range cameOffBefore(r, s) {
				needed = needed || listed[id]
			}
			if needed != listed[s.ID] {
				rt.Fatalf("item %d is needed %v and listed %v (wanted %v)", s.ID, needed, listed[s.ID], wanted)
			}
		}
		if f.Circles != nil {
			rt.Fatal("a circle")
		}
	})
}
