package workshop

import (
	"errors"
	"slices"
	"strings"
	"sync"

	"wreckwright/bench/joint"
	"wreckwright/rebuild"
)

// jointTables are put together once: they are the same for every joint.
var jointTables = sync.OnceValue(JointTables)

// ExamineJoint has the engine look at a joint with the tables of knowledge. The
// error is a [*joint.InputError].
func ExamineJoint(c joint.Case) (joint.Result, error) { return joint.Examine(c, jointTables()) }

// JointReckoning is what the engine says of a joint's specification.
type JointReckoning struct {
	Result *joint.Result // nil: nothing can be said
	Asked  joint.Case    // what was asked, for the calculator to open on
	Wrong  string        // why nothing can be said
	Breaks bool          // Wrong says that the torque breaks the bolt
	// NoTorque says that the joint names no torque, so that Result is of the torque
	// that it would need, not of one that it has.
	NoTorque bool
	// SnugOnly says that an angle follows the torque, of which nothing is known
	// without the grip: Result is of the torque alone, and no verdict.
	SnugOnly bool
	Assumed  []string // what was taken since the book does not say
}

// ReckonJoint has the engine look at a joint's specification. gripMm is the
// thickness of what is clamped; 0: not known.
func ReckonJoint(j *rebuild.Joint, gripMm float64) JointReckoning {
	k := JointReckoning{Asked: jointCase(j, gripMm)}
	if j.Thread == "" {
		k.Wrong = "the thread and its strength class are not said: “M12x1.5-10.9”, as it is marked on the head"
		return k
	}
	asked := k.Asked
	k.NoTorque = j.TorqueNm == 0
	if asked.AngleDeg > 0 && (k.NoTorque || gripMm == 0) {
		k.SnugOnly = !k.NoTorque
		asked.AngleDeg, asked.NewBolt, asked.GripMm = 0, false, 0
	}
	r, err := ExamineJoint(asked)
	if err != nil {
		in, _ := JointMistake(err)
		k.Wrong, k.Breaks = err.Error(), in == joint.InTorque
		return k
	}
	k.Result = &r
	k.Assumed = assumedOf(j, asked)
	return k
}

// TooMuch says why the torque stretches the bolt too far, for whoever has the wrench
// in hand; empty: it does not, or nothing can be said.
func (k JointReckoning) TooMuch() string {
	switch {
	case k.Breaks:
		return k.Wrong
	case k.Result == nil || k.NoTorque || k.Result.Verdict != joint.Fail:
		return ""
	case k.Result.Utilisation.Value > 1 || k.Result.State == joint.Strips:
		return k.Result.Why
	}
	return ""
}

// jointCase asks the engine about a joint of the book.
func jointCase(j *rebuild.Joint, gripMm float64) joint.Case {
	c := joint.Case{Thread: j.Thread, Surface: SurfaceOf(j.Lubricant), AngleDeg: j.AngleDeg, NewBolt: j.OneTime && j.AngleDeg > 0, GripMm: gripMm}
	if j.TorqueNm > 0 {
		c.TorqueNm = &j.TorqueNm
	}
	if j.Friction > 0 {
		c.Friction = &j.Friction
	}
	if WheelOrder(j) != nil {
		c.Head = "cone"
	}
	return c
}

func assumedOf(j *rebuild.Joint, c joint.Case) []string {
	var list []string
	if j.Friction == 0 && j.Lubricant == "" {
		list = append(list, "lightly oiled threads and faces, since no lubricant is said")
	}
	if j.Friction == 0 && j.Lubricant != "" && c.Surface == "" {
		list = append(list, "lightly oiled threads and faces, since the tables do not know “"+j.Lubricant+"”")
	}
	if c.Head == "cone" {
		list = append(list, "a conical seat, as wheels have")
	} else {
		list = append(list, "a plain hexagon head")
	}
	if j.Locking == rebuild.LockNut {
		list = append(list, "no running torque of the locking nut: measure it and add it")
	}
	return list
}

// surfaceWords are what people write of a lubricant, and the surface that it is.
var surfaceWords = []struct{ word, key string }{
	{"stainless", "stainless-dry"},
	{"rust", "rusty"},
	{"wax", "wax"},
	{"zinc", "zinc"},
	{"grease", "grease"},
	{"paste", "grease"},
	{"anti-seize", "grease"},
	{"copper", "grease"},
	{"oil", "oiled"},
	{"dry", "dry"},
	{"clean", "dry"},
	{"locking", "dry"},
}

// SurfaceOf is the key of the surface that a lubricant makes; empty: none known.
func SurfaceOf(lubricant string) string {
	said := strings.ToLower(lubricant)
	if said == "" {
		return ""
	}
	for _, s := range jointTables().Surfaces {
		if said == s.Key || said == strings.ToLower(s.Name) {
			return s.Key
		}
	}
	for _, w := range surfaceWords {
		if strings.Contains(said, w.word) {
			if w.key == "stainless-dry" && strings.Contains(said, "oil") {
				return "stainless-oiled"
			}
			return w.key
		}
	}
	return ""
}

// DryAgainstOiled are the two surfaces of which a person most often takes the one
// for the other, at the same torque. Nil where the engine compares none.
func (k JointReckoning) DryAgainstOiled() []joint.Condition { return DryAgainstOiled(k.Result) }

// DryAgainstOiled picks dry and oiled out of what a result compares.
func DryAgainstOiled(r *joint.Result) []joint.Condition {
	if r == nil {
		return nil
	}
	var both []joint.Condition
	for _, key := range []string{"dry", "oiled"} {
		i := slices.IndexFunc(r.Conditions, func(c joint.Condition) bool { return c.Key == key })
		if i >= 0 {
			both = append(both, r.Conditions[i])
		}
	}
	if len(both) < 2 {
		return nil
	}
	return both
}

// JointMistake is the input that the engine refused; false where the error is of
// another kind.
func JointMistake(err error) (joint.Input, bool) {
	var mistake *joint.InputError
	if !errors.As(err, &mistake) {
		return "", false
	}
	return mistake.Input, true
}
