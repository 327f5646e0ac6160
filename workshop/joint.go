package workshop

import (
	"cmp"
	"slices"

	"wreckwright/bench/joint"
	"wreckwright/rebuild"
)

// JointLine is a joint with where it stands.
type JointLine struct {
	*rebuild.Joint
	Stand rebuild.JointStand
}

// Open reports whether something is missing until it is proven.
func (l JointLine) Open() bool { return !l.Stand.Proven() }

// Joints are all joints of a rebuild, those first that keep the car off the road.
type Joints struct {
	Lines         []JointLine
	Safety        int // on which lives hang
	SafetyProven  int
	Proven        int // of all
	RetorqueDue   int
	SafetyToCheck int // tight, and wanting only the second person
}

// JointsOf says of each joint where it stands on that day: safety joints that are
// not proven come first, then others that are not, then those that are; within
// that by zone and name.
func JointsOf(r *rebuild.Rebuild, today string) Joints {
	var all Joints
	stands := r.JointStands()
	for i := range r.Joints {
		j := &r.Joints[i]
		l := JointLine{j, stands.Of(*j, today)}
		all.Lines = append(all.Lines, l)
		all.count(l)
	}
	zones := map[string]int{}
	for i, z := range rebuild.ZonePlaces {
		zones[z.Key] = i + 1
	}
	slices.SortStableFunc(all.Lines, func(a, b JointLine) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(zones[a.Zone], zones[b.Zone]), cmp.Compare(a.Title, b.Title))
	})
	return all
}

func (all *Joints) count(l JointLine) {
	if l.Stand.Proven() {
		all.Proven++
	}
	if l.Stand.RetorqueDue {
		all.RetorqueDue++
	}
	if !l.Safety.Critical() {
		return
	}
	all.Safety++
	switch {
	case l.Stand.Proven():
		all.SafetyProven++
	case l.WantsSecond() && len(l.Stand.Why) == 1:
		all.SafetyToCheck++
	}
}

func (l JointLine) rank() int {
	switch {
	case l.Open() && l.Safety.Critical():
		return 0
	case l.Open():
		return 1
	case l.Stand.RetorqueDue:
		return 2
	}
	return 3
}

// WantsSecond reports whether it is tight and a second person has still to check
// it.
func (l JointLine) WantsSecond() bool {
	t := l.Stand.Last
	return l.Safety.Critical() && t != nil && t.SecondBy == "" && t.Alone == ""
}

// openSafetyJoints are the joints on which lives hang and that are not proven on
// that day, in the order of the book.
func openSafetyJoints(r *rebuild.Rebuild, today string) []JointLine {
	var open []JointLine
	stands := r.JointStands()
	for i := range r.Joints {
		if l := (JointLine{&r.Joints[i], stands.Of(r.Joints[i], today)}); l.Safety.Critical() && l.Open() {
			open = append(open, l)
		}
	}
	return open
}

// SameSpecification reports whether two joints are tightened alike: the two sides
// of an axle.
func SameSpecification(a, b *rebuild.Joint) bool {
	return a.TorqueNm > 0 && a.Thread == b.Thread && a.Count == b.Count && a.TorqueNm == b.TorqueNm && a.AngleDeg == b.AngleDeg &&
		slices.Equal(a.Passes, b.Passes) && a.OneTime == b.OneTime && a.Locking == b.Locking
}

// LastAlike is the latest tightening, whole with all its passes, of another joint of
// the same specification; nil: there is none.
func LastAlike(r *rebuild.Rebuild, j *rebuild.Joint) (*rebuild.Joint, *rebuild.Tightening) {
	var of *rebuild.Joint
	var last *rebuild.Tightening
	for i := range r.Joints {
		other := &r.Joints[i]
		if other.ID == j.ID || !SameSpecification(j, other) {
			continue
		}
		for k := range other.Tightenings {
			t := &other.Tightenings[k]
			whole := t.Passes == len(other.Passes)+1 && (other.AngleDeg == 0) == (t.AngleDeg == 0)
			if whole && (last == nil || t.At > last.At) {
				of, last = other, t
			}
		}
	}
	return of, last
}

// WheelOrder is the order in which the bolts of a wheel are tightened, by their
// place around the circle; nil where the joint is no wheel. A joint that is
// tightened once more after some way, with as many fasteners as a wheel has, is
// taken as one.
func WheelOrder(j *rebuild.Joint) []int {
	if j.RetorqueAfterKm == 0 {
		return nil
	}
	order, err := joint.StarOrder(j.Count)
	if err != nil {
		return nil
	}
	return order
}
