package rebuild

import "fmt"

// AddTool enters a tool; its number and revision are given here.
func (r *Rebuild) AddTool(t Tool) (Change, error) {
	t.ID, t.Rev = r.nextID(), 0
	if err := t.Validate(); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("added the tool %q", short(t.Title)), nextID: t.ID + 1}
	c.add(t)
	return c, nil
}

// EditTool replaces a tool. t.Rev is the revision the form was opened with. What
// was tightened with it keeps the calibration that it had then.
func (r *Rebuild) EditTool(t Tool) (Change, error) {
	old := r.Tool(t.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindTool, ID: t.ID, Label: t.Title}
	}
	if err := fresh(*old, t); err != nil {
		return Change{}, err
	}
	if err := t.Validate(); err != nil {
		return Change{}, err
	}
	what := fmt.Sprintf("changed the tool %q", short(t.Title))
	if t.CalibratedOn != "" && t.CalibratedOn != old.CalibratedOn {
		what = fmt.Sprintf("entered that the tool %q was calibrated on %s", short(t.Title), t.CalibratedOn)
	}
	return r.withJobsSetBack(changed(what, *old, t))
}

// DeleteTool takes a tool out. Refused while a joint was tightened with it, for
// the record of that would lose what shows it right.
func (r *Rebuild) DeleteTool(id int64, rev int) (Change, error) {
	old := r.Tool(id)
	if old == nil {
		return Change{}, &Missing{KindTool, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindTool, id, old.Title, *old}
	}
	if joints := r.JointsTightenedWith(id); len(joints) > 0 {
		return Change{}, &Invalid{[]Problem{{"tool", fmt.Sprintf("the joint %q was tightened with %q, so the tool stays in the book; say in its note when it is gone", short(joints[0].Title), short(old.Title))}}}
	}
	c := Change{What: fmt.Sprintf("deleted the tool %q", short(old.Title))}
	c.remove(*old)
	return c, nil
}

// JointsTightenedWith lists the joints that were tightened with the tool.
func (r *Rebuild) JointsTightenedWith(tool int64) []*Joint {
	return those(r.Joints, func(j *Joint) bool { return j.TightenedWith(tool) })
}
