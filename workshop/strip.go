package workshop

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

// StripWords are what to offer while something comes off: what was used before
// comes first, the most often used before the rest.
type StripWords struct {
	Threads, Tools, Connectors []string
	// ToolFor is the tool that was last used with a thread.
	ToolFor map[string]string
}

// mostWords bounds each list: nobody reads on.
const mostWords = 40

// Common sizes of a car, offered until others were used (common practice, no
// source).
var (
	commonThreads = []string{"M6", "M8", "M10x1.25", "M10x1.5", "M12x1.25", "M12x1.5", "M14x1.5", "plastic rivet", "clip", "self-tapping screw"}
	commonTools   = []string{"8 mm socket", "10 mm socket", "13 mm socket", "15 mm socket", "16 mm socket", "17 mm socket", "18 mm socket", "19 mm socket", "21 mm socket", "T20", "T25", "T30", "5 mm hex", "6 mm hex", "trim lever"}
)

// WordsForStrip gathers them from the trail.
func WordsForStrip(r *rebuild.Rebuild) StripWords {
	threads, tools, connectors := map[string]int{}, map[string]int{}, map[string]int{}
	w := StripWords{ToolFor: map[string]string{}}
	for _, s := range r.Trail() {
		for _, f := range s.Fasteners {
			threads[f.Thread]++
			tools[f.Tool]++
			if f.Thread != "" && f.Tool != "" {
				w.ToolFor[f.Thread] = f.Tool
			}
		}
		for _, k := range s.Connectors {
			connectors[k.Name]++
		}
	}
	w.Threads, w.Tools, w.Connectors = byUse(threads, commonThreads), byUse(tools, commonTools), byUse(connectors, nil)
	return w
}

// byUse lists the words by how often they were used, then the common ones.
func byUse(used map[string]int, common []string) []string {
	delete(used, "")
	list := slices.SortedFunc(maps.Keys(used), func(a, b string) int {
		return cmp.Or(cmp.Compare(used[b], used[a]), strings.Compare(a, b))
	})
	for _, c := range common {
		if used[c] == 0 {
			list = append(list, c)
		}
	}
	return list[:min(len(list), mostWords)]
}

// lastOff and mostOffered bound what is offered as having come off before.
const lastOff, mostOffered = 6, 18

// CameOffBefore are the things to offer as what had to come off first, the latest
// first: the last few that are off, and those of the zone. Those that are named
// already are always among them.
func CameOffBefore(r *rebuild.Rebuild, zone string, but int64, named []int64) []*rebuild.StripItem {
	trail := r.Trail()
	slices.Reverse(trail)
	var offered []*rebuild.StripItem
	off := 0
	for _, s := range trail {
		if s.ID == but {
			continue
		}
		if s.Off() {
			off++
		}
		near := s.Off() && (off <= lastOff || zone != "" && s.Zone == zone)
		if slices.Contains(named, s.ID) || near && len(offered) < mostOffered {
			offered = append(offered, s)
		}
	}
	return offered
}

// JobsToOffer are the jobs that may need something off: those ahead, of the zone
// before the others, and those that are named already.
func JobsToOffer(r *rebuild.Rebuild, zone string, named []int64) (near, other []*rebuild.Job) {
	for i := range r.Jobs {
		switch j := &r.Jobs[i]; {
		case slices.Contains(named, j.ID) || j.Ahead() && zone != "" && j.Zone == zone:
			near = append(near, j)
		case j.Ahead():
			other = append(other, j)
		}
	}
	return near, other
}

// JointsToOffer are the joints that something may undo: of the zone and named
// already, and the others.
func JointsToOffer(r *rebuild.Rebuild, zone string, named []int64) (near, other []*rebuild.Joint) {
	for i := range r.Joints {
		if j := &r.Joints[i]; slices.Contains(named, j.ID) || zone != "" && j.Zone == zone {
			near = append(near, j)
		} else {
			other = append(other, j)
		}
	}
	return near, other
}

// TakeOff enters a thing that came off, its fasteners together in the next free
// bag; loose leaves them without one.
func TakeOff(r *rebuild.Rebuild, s rebuild.StripItem, loose bool) (rebuild.Change, error) {
	s.Fasteners = slices.Clone(s.Fasteners)
	bag := r.NextBag()
	for i := range s.Fasteners {
		if f := &s.Fasteners[i]; !loose && f.Bag == "" {
			f.Bag = bag
		}
	}
	return r.AddStripItem(s)
}

// OffFor are the things that came off for any of the jobs or in the zone, still
// off first, else the latest first.
func OffFor(r *rebuild.Rebuild, jobs []int64, zone string) []*rebuild.StripItem {
	trail := r.Trail()
	slices.Reverse(trail)
	list := slices.DeleteFunc(trail, func(s *rebuild.StripItem) bool {
		ofJob := slices.ContainsFunc(s.Jobs, func(id int64) bool { return slices.Contains(jobs, id) })
		return !ofJob && (zone == "" || s.Zone != zone)
	})
	slices.SortStableFunc(list, func(a, b *rebuild.StripItem) int { return compareBool(b.Off(), a.Off()) })
	return list
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}
