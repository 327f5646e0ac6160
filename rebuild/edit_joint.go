package rebuild

import (
	"fmt"
	"slices"
)

// AddJoint enters a joint; its number and revision are given here.
func (r *Rebuild) AddJoint(j Joint) (Change, error) {
	j.ID, j.Rev = r.nextID(), 0
	r.freezeCalibration(nil, &j)
	if err := r.checkJoint(j); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("added the joint %q", short(j.Title)), nextID: j.ID + 1}
	c.add(j)
	return r.withJobsSetBack(c)
}

// EditJoint replaces a joint. j.Rev is the revision the form was opened with. A
// safety-critical job that leaned on a joint that is not proven any more is set
// back from proven to done.
func (r *Rebuild) EditJoint(j Joint) (Change, error) {
	return r.editJoint(j, fmt.Sprintf("changed the joint %q", short(j.Title)))
}

func (r *Rebuild) editJoint(j Joint, what string) (Change, error) {
	old := r.Joint(j.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindJoint, ID: j.ID, Label: j.Title}
	}
	if err := fresh(*old, j); err != nil {
		return Change{}, err
	}
	r.freezeCalibration(old, &j)
	if err := r.checkJoint(j); err != nil {
		return Change{}, err
	}
	return r.withJobsSetBack(changed(what, *old, j))
}

// Tighten enters that a joint was tightened.
func (r *Rebuild) Tighten(id int64, rev int, t Tightening) (Change, error) {
	old, err := r.jointAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	if p := t.problems(); len(p) > 0 {
		return Change{}, &Invalid{p}
	}
	j := *old
	j.Tightenings = append(slices.Clone(old.Tightenings), t)
	what := fmt.Sprintf("tightened the joint %q to %.4g N·m", short(j.Title), t.TorqueNm)
	if t.AngleDeg > 0 {
		what += fmt.Sprintf(" and %.4g degrees", t.AngleDeg)
	}
	return r.editJoint(j, what)
}

// UndoJoint enters that a joint was undone though nothing came off by it.
func (r *Rebuild) UndoJoint(id int64, rev int, u Undoing) (Change, error) {
	old, err := r.jointAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	j := *old
	j.Undone = append(slices.Clone(old.Undone), u)
	return r.editJoint(j, fmt.Sprintf("undid the joint %q", short(j.Title)))
}

// DeleteJoint takes a joint out with all that was recorded of it, and out of the
// strip items that name it.
func (r *Rebuild) DeleteJoint(id int64, rev int) (Change, error) {
	old, err := r.jointAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("deleted the joint %q", short(old.Title))}
	r.loosen(&c, KindJoint, id)
	c.remove(*old)
	return c, nil
}

func (r *Rebuild) jointAt(id int64, rev int) (*Joint, error) {
	old := r.Joint(id)
	if old == nil {
		return nil, &Missing{KindJoint, id}
	}
	if old.Rev != rev {
		return nil, &Conflict{KindJoint, id, old.Title, *old}
	}
	return old, nil
}

func (r *Rebuild) checkJoint(j Joint) error {
	if err := j.Validate(); err != nil {
		return err
	}
	for i, t := range j.Tightenings {
		if t.Tool != 0 && r.Tool(t.Tool) == nil {
			return &Invalid{[]Problem{{fmt.Sprintf("tightenings.%d.tool", i+1), fmt.Sprintf("tool %d is not there any more", t.Tool)}}}
		}
	}
	return r.knownJobs(j.Jobs)
}

// freezeCalibration keeps with each tightening when its tool had last been
// calibrated, as known when it was entered: a later calibration of the tool says
// nothing of it, and must not take the proof away either. A day that was not
// known then is filled in once the tool has one.
func (r *Rebuild) freezeCalibration(old, j *Joint) {
	j.Tightenings = slices.Clone(j.Tightenings)
	for i := range j.Tightenings {
		t := &j.Tightenings[i]
		t.CalibratedOn = ""
		if old != nil {
			same := slices.IndexFunc(old.Tightenings, func(o Tightening) bool { return o.At == t.At && o.Tool == t.Tool })
			if same >= 0 {
				t.CalibratedOn = old.Tightenings[same].CalibratedOn
			}
		}
		if tool := r.Tool(t.Tool); tool != nil && t.CalibratedOn == "" {
			t.CalibratedOn = tool.CalibratedOn
		}
	}
}

// withJobsSetBack sets those safety-critical jobs back from proven to done, of
// which the change leaves a joint unproven, and says so in the journal line.
func (r *Rebuild) withJobsSetBack(c Change) (Change, error) {
	next, err := r.Apply(c)
	if err != nil {
		return Change{}, err
	}
	stands := next.JointStands()
	for i := range next.Jobs {
		j := next.Jobs[i]
		if stands.unprovenOf(j) == nil {
			continue
		}
		back := j
		back.State = JobDone
		back.Rev++
		c.edit(j, back)
		c.What += fmt.Sprintf("; the job %q is done, but proven no more", short(j.Title))
	}
	return c, nil
}

// unprovenOf is a joint that keeps the job from being proven: lives hang on
// the job, and the joint is not proven. Nil: there is none, or the job does not
// stand as proven.
func (b JointStands) unprovenOf(job Job) *Joint {
	if job.State != JobProven || !job.Safety.Critical() {
		return nil
	}
	for i := range b.r.Joints {
		if j := &b.r.Joints[i]; j.NeededBy(job.ID) && !b.Of(*j, "").Proven() {
			return j
		}
	}
	return nil
}

// JointsOf lists the joints that the job wants tight.
func (r *Rebuild) JointsOf(job int64) []*Joint {
	return those(r.Joints, func(j *Joint) bool { return j.NeededBy(job) })
}

// StripOf lists the things that are off for the job.
func (r *Rebuild) StripOf(job int64) []*StripItem {
	return those(r.Strip, func(s *StripItem) bool { return slices.Contains(s.Jobs, job) })
}

// StripUndoing lists the things that undid the joint when they came off.
func (r *Rebuild) StripUndoing(joint int64) []*StripItem {
	return those(r.Strip, func(s *StripItem) bool { return s.Undoes(joint) })
}

func those[T any](items []T, do func(*T) bool) []*T {
	var list []*T
	for i := range items {
		if do(&items[i]) {
			list = append(list, &items[i])
		}
	}
	return list
}
