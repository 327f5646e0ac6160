package plan

import (
	"slices"
	"strings"
	"time"

	"wreckwright/slips"
)

// checkCycles names the first circle of tasks that wait for one another.
func (p Problem) checkCycles() error {
	links, index := p.links(), p.index()
	const (
		unseen = iota
		open
		closed
	)
	state := make([]int, len(links))
	var trail []int
	var circle []int
	var visit func(i int) bool
	visit = func(i int) bool {
		state[i] = open
		trail = append(trail, i)
		for _, l := range links[i] {
			j := index[l.ID]
			if state[j] == open {
				circle = append(slices.Clone(trail[slices.Index(trail, j):]), j)
				return true
			}
			if state[j] == unseen && visit(j) {
				return true
			}
		}
		state[i] = closed
		trail = trail[:len(trail)-1]
		return false
	}
	for i := range links {
		if state[i] == unseen && visit(i) {
			return p.circleMistake(circle)
		}
	}
	return nil
}

// circleMistake words a circle as a chain, each after the next. It is put at the
// link by which the first of the chain waits for the second.
func (p Problem) circleMistake(circle []int) error {
	var names []string
	for _, i := range circle {
		names = append(names, p.nodeID(i))
	}
	e := InputError{
		Part: InTask, Index: circle[0], ID: names[0], Key: "after",
		Problem:  "goes round in a circle: " + strings.Join(names, " after "),
		Expected: "an order that has a beginning",
	}
	if e.Index >= len(p.Tasks) {
		e.Part, e.Index = InMilestone, e.Index-len(p.Tasks)
	}
	e.Item = slices.IndexFunc(p.links()[circle[0]], func(l Link) bool { return l.ID == names[1] })
	return &e
}

// links are what each node comes after: the tasks, then the milestones.
func (p Problem) links() [][]Link {
	var out [][]Link
	for _, t := range p.Tasks {
		out = append(out, t.After)
	}
	for _, m := range p.Milestones {
		out = append(out, m.After)
	}
	return out
}

func (p Problem) index() map[string]int {
	out := map[string]int{}
	for i := range len(p.Tasks) + len(p.Milestones) {
		out[p.nodeID(i)] = i
	}
	return out
}

func (p Problem) nodeID(i int) string {
	if i < len(p.Tasks) {
		return p.Tasks[i].ID
	}
	return p.Milestones[i-len(p.Tasks)].ID
}

// date is the calendar date of a day.
func (p Problem) date(day float64) string {
	return p.midnight(day).Format(time.DateOnly)
}

// floorDay is the whole day within which a time lies; a millionth of a day is
// allowed for rounding.
func floorDay(day float64) int {
	d := int(day)
	if float64(d) > day {
		d--
	}
	if day-float64(d) > 1-1e-6 {
		d++
	}
	return d
}

// nearest is the known id that is a slip or two away.
func nearest(id string, known map[string]bool) string {
	best, least := "", 3
	for name := range known {
		d := slips.Between(strings.ToLower(id), strings.ToLower(name))
		if d < least && d < len(name) || d == least && d < 3 && name < best {
			best, least = name, d
		}
	}
	return best
}
