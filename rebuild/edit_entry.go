package rebuild

import "fmt"

// AddEntries enters one or more ledger lines as one change.
func (r *Rebuild) AddEntries(entries ...Entry) (Change, error) {
	next := r.nextID()
	c := Change{What: fmt.Sprintf("entered %d costs", len(entries))}
	if len(entries) == 0 {
		return c, &Invalid{[]Problem{{"entries", "there is no cost to enter"}}}
	}
	for i, e := range entries {
		e.ID, e.Rev = next, 0
		next++
		if err := r.checkEntry(e); err != nil {
			if len(entries) > 1 {
				return Change{}, fmt.Errorf("line %d: %w", i+1, err)
			}
			return Change{}, err
		}
		c.add(e)
	}
	if len(entries) == 1 {
		c.What = fmt.Sprintf("entered the cost %q, %s", short(entries[0].Label()), entries[0].Amount)
	}
	c.nextID = next
	return c, nil
}

// EditEntry replaces a ledger line. e.Rev is the revision the form was opened with.
func (r *Rebuild) EditEntry(e Entry) (Change, error) {
	old := r.Entry(e.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindEntry, ID: e.ID, Label: e.Label()}
	}
	if err := fresh(*old, e); err != nil {
		return Change{}, err
	}
	if err := r.checkEntry(e); err != nil {
		return Change{}, err
	}
	return changed(fmt.Sprintf("changed the cost %q", short(e.Label())), *old, e), nil
}

// DeleteEntry takes a ledger line out.
func (r *Rebuild) DeleteEntry(id int64, rev int) (Change, error) {
	old := r.Entry(id)
	if old == nil {
		return Change{}, &Missing{KindEntry, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindEntry, id, old.Label(), *old}
	}
	c := Change{What: fmt.Sprintf("deleted the cost %q, %s", short(old.Label()), old.Amount)}
	c.remove(*old)
	return c, nil
}

func (r *Rebuild) checkEntry(e Entry) error {
	if err := e.Validate(r.Car.Currency); err != nil {
		return err
	}
	if e.Amount.IsZero() {
		return &Invalid{[]Problem{{"amount", "the amount is nothing: only what was paid, or came back, goes into the ledger"}}}
	}
	if e.JobID != 0 && r.Job(e.JobID) == nil {
		return &Invalid{[]Problem{{"job", fmt.Sprintf("job %d is not there any more", e.JobID)}}}
	}
	return nil
}

// EntriesWithoutJob lists costs that should belong to a job and do not, latest
// first: people forget to say what a part was for.
func (r *Rebuild) EntriesWithoutJob() []*Entry {
	var loose []*Entry
	for i := len(r.Entries) - 1; i >= 0; i-- {
		e := &r.Entries[i]
		if e.JobID == 0 && !e.General && e.Kind.WantsJob() {
			loose = append(loose, e)
		}
	}
	return loose
}

// JobsWithoutCost lists finished jobs to which no cost in the ledger belongs and
// that nobody said cost nothing: people forget to write costs down. A part that
// was sold is no cost.
func (r *Rebuild) JobsWithoutCost() []*Job {
	has := make(map[int64]bool, len(r.Jobs))
	for i := range r.Entries {
		if e := &r.Entries[i]; e.Kind != EntrySale {
			has[e.JobID] = true
		}
	}
	var silent []*Job
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if j.Finished() && !has[j.ID] && !j.CostNothing {
			silent = append(silent, j)
		}
	}
	return silent
}
