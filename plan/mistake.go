package plan

import "fmt"

// Part is the part of a problem that a mistake is about.
type Part string

// The parts.
const (
	InProblem   Part = ""
	InResource  Part = "resource"
	InTask      Part = "task"
	InMilestone Part = "milestone"
)

// InputError says which figure of a problem cannot be.
type InputError struct {
	Part     Part
	Index    int    // of the resource, task or milestone
	ID       string // its id, where it has one
	Key      string // "after", "uses", "days", ...
	Item     int    // of the list under the key; -1 where it is about all of it
	Problem  string // "goes round in a circle: strip, weld, strip"
	Expected string
}

// Error words the mistake for the person who typed it.
func (e *InputError) Error() string {
	where := e.Key
	if e.Part != InProblem {
		name := fmt.Sprintf("%q", e.ID)
		if e.ID == "" {
			name = fmt.Sprint(e.Index + 1)
		}
		where = fmt.Sprintf("%s %s", e.Part, name)
		if e.Key != "" {
			where += ", " + e.Key
		}
	}
	return fmt.Sprintf("plan: %s: %s; expected %s", where, e.Problem, e.Expected)
}
