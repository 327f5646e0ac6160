package rebuild

import (
	"fmt"
	"slices"
)

// naming lists what names something which may go - cases, strip items, joints,
// shakedown runs, inspection items, what belongs to the plan - each as it is and as
// it would be without.
func (r *Rebuild) naming(kind Kind, id int64) []Edit {
	var edits []Edit
	for _, k := range r.casesNaming(kind, id) {
		edits = append(edits, Edit{*k, k.without(kind, id)})
	}
	for i := range r.Strip {
		if s := &r.Strip[i]; s.namesAny(kind, id) {
			edits = append(edits, Edit{*s, s.without(kind, id)})
		}
	}
	for i := range r.Shakedown {
		if s := &r.Shakedown[i]; s.names(kind, id) {
			edits = append(edits, Edit{*s, s.without(kind, id)})
		}
	}
	for i := range r.Rehearsal {
		if h := &r.Rehearsal[i]; kind == KindEvidence && h.EvidenceID == id {
			edits = append(edits, Edit{*h, h.without()})
		}
	}
	edits = append(edits, r.planNaming(kind, id)...)
	if kind != KindJob {
		return edits
	}
	for _, j := range r.JointsOf(id) {
		loose := *j
		loose.Jobs = without(j.Jobs, id)
		loose.Rev++
		edits = append(edits, Edit{*j, loose})
	}
	return edits
}

// loosen takes what goes out of all that names it and says so in the journal
// line. A step of a case keeps its value when the measurement behind it goes.
func (r *Rebuild) loosen(c *Change, kind Kind, id int64) {
	count := map[Kind]int{}
	label := map[Kind]string{}
	for _, e := range r.naming(kind, id) {
		if e.After == nil {
			c.remove(e.Before) // its own plan goes with a job
			continue
		}
		c.edit(e.Before, e.After)
		count[e.Kind()]++
		label[e.Kind()] = r.nameOf(e.Before)
	}
	for _, k := range []Kind{KindCase, KindStripItem, KindJoint, KindShakedownRun, KindRehearsed, KindJobPlan, KindMilestone, KindDelivery, KindSheet} {
		switch {
		case count[k] == 1:
			c.What += fmt.Sprintf("; the %s %s names it no more", k, label[k])
		case count[k] > 1:
			c.What += fmt.Sprintf("; %d %s name it no more", count[k], plural(k))
		}
	}
}

func (s *StripItem) namesAny(kind Kind, id int64) bool {
	switch kind {
	case KindStripItem:
		return slices.Contains(s.After, id)
	case KindJob:
		return slices.Contains(s.Jobs, id)
	case KindJoint:
		return s.Undoes(id)
	}
	return false
}

// without is the item's next revision with nothing that names that other one.
func (s *StripItem) without(kind Kind, id int64) StripItem {
	loose := *s
	loose.Rev++
	switch kind {
	case KindStripItem:
		loose.After = without(s.After, id)
	case KindJob:
		loose.Jobs = without(s.Jobs, id)
	case KindJoint:
		loose.Joints = without(s.Joints, id)
	}
	return loose
}

func without(ids []int64, id int64) []int64 {
	return slices.DeleteFunc(slices.Clone(ids), func(other int64) bool { return other == id })
}
