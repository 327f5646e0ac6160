package rebuild

import (
	"fmt"
	"slices"
)

// AddFinding enters a new finding; its number and revision are given here.
func (r *Rebuild) AddFinding(f Finding) (Change, error) {
	f.ID, f.Rev = r.nextID(), 0
	if err := f.Validate(); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("added the finding %q", short(f.What)), nextID: f.ID + 1}
	c.add(f)
	return c, nil
}

// EditFinding replaces a finding. f.Rev is the revision the form was opened with.
func (r *Rebuild) EditFinding(f Finding) (Change, error) {
	old := r.Finding(f.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindFinding, ID: f.ID, Label: f.What}
	}
	if err := fresh(*old, f); err != nil {
		return Change{}, err
	}
	if err := f.Validate(); err != nil {
		return Change{}, err
	}
	return changed(fmt.Sprintf("changed the finding %q", short(f.What)), *old, f), nil
}

// DeleteFinding takes a finding out, and out of the jobs that settle it and the
// cases about it.
func (r *Rebuild) DeleteFinding(id int64, rev int) (Change, error) {
	old := r.Finding(id)
	if old == nil {
		return Change{}, &Missing{KindFinding, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindFinding, id, old.What, *old}
	}
	c := Change{What: fmt.Sprintf("deleted the finding %q", short(old.What))}
	for _, j := range r.JobsOf(id) {
		without := *j
		without.Findings = slices.DeleteFunc(slices.Clone(j.Findings), func(f int64) bool { return f == id })
		without.Rev++
		c.edit(*j, without)
	}
	r.loosen(&c, KindFinding, id)
	c.remove(*old)
	return c, nil
}

func (r *Rebuild) nextID() int64 { return max(r.NextID, 1) }

// short cuts a text for a journal line.
func short(s string) string {
	runes := []rune(s)
	if len(runes) <= 60 {
		return s
	}
	return string(runes[:59]) + "…"
}
