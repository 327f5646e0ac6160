package rebuild

import "fmt"

// adding is the change that enters an item whose number is given already.
func adding[T Item](item T, check func(T) error, what string) (Change, error) {
	if err := check(item); err != nil {
		return Change{}, err
	}
	c := Change{What: what, nextID: item.ItemID() + 1}
	c.add(item)
	return c, nil
}

// editing is the change that replaces an item; old is nil where it is gone.
func editing[T Item](old *T, item T, check func(T) error, what string) (Change, error) {
	if old == nil {
		return Change{}, &Conflict{Kind: item.ItemKind(), ID: item.ItemID(), Label: item.Label()}
	}
	if err := fresh(*old, item); err != nil {
		return Change{}, err
	}
	if err := check(item); err != nil {
		return Change{}, err
	}
	return changed(what, *old, item), nil
}

// removing is the change that takes an item out.
func removing[T Item](items []T, id int64, rev int, kind Kind, what string) (Change, error) {
	old := lookup(items, id)
	if old == nil {
		return Change{}, &Missing{kind, id}
	}
	item := *old
	if item.Revision() != rev {
		return Change{}, &Conflict{kind, id, item.Label(), item}
	}
	c := Change{What: fmt.Sprintf("%s %q", what, short(item.Label()))}
	c.remove(item)
	return c, nil
}

// jobThere refuses a number that is of no job; 0 is none.
func (r *Rebuild) jobThere(id int64, field string) error {
	if id != 0 && r.Job(id) == nil {
		return &Invalid{[]Problem{{field, fmt.Sprintf("job %d is not there any more", id)}}}
	}
	return nil
}

// AddPerson enters somebody who works; the number and revision are given here.
func (r *Rebuild) AddPerson(p Person) (Change, error) {
	p.ID, p.Rev, p.Hours = r.nextID(), 0, weekInOrder(p.Hours)
	return adding(p, r.checkPerson, fmt.Sprintf("entered when %s works", short(p.Name)))
}

// EditPerson replaces a person. p.Rev is the revision the form was opened with.
func (r *Rebuild) EditPerson(p Person) (Change, error) {
	p.Hours = weekInOrder(p.Hours)
	return editing(lookup(r.People, p.ID), p, r.checkPerson, fmt.Sprintf("changed when %s works", short(p.Name)))
}

// DeletePerson takes somebody out; jobs need that person no more.
func (r *Rebuild) DeletePerson(id int64, rev int) (Change, error) {
	c, err := removing(r.People, id, rev, KindPerson, "took out")
	if err != nil {
		return c, err
	}
	return r.loosened(c, KindPerson, id), nil
}

func (r *Rebuild) checkPerson(p Person) error {
	if err := p.Validate(); err != nil {
		return err
	}
	if own := r.OwnHands(); p.Own && own != nil && own.ID != p.ID {
		return &Invalid{[]Problem{{"own", fmt.Sprintf("%s has the own hands already; there can be one such person only", short(own.Name))}}}
	}
	return r.whoStays(p)
}

// whoStays refuses to make own hands of a person whom jobs name as a helper.
func (r *Rebuild) whoStays(p Person) error {
	if !p.Own {
		return nil
	}
	for i := range r.JobPlans {
		if k := &r.JobPlans[i]; k.named(KindPerson, p.ID) {
			return &Invalid{[]Problem{{"own", fmt.Sprintf("%s is named as a helper of %s; take that out first", short(p.Name), r.titleOf(k.JobID))}}}
		}
	}
	return nil
}

func (r *Rebuild) titleOf(job int64) string {
	if j := r.Job(job); j != nil {
		return fmt.Sprintf("%q", short(j.Title))
	}
	return fmt.Sprintf("job %d", job)
}

// AddThing enters something that jobs share; its number and revision are given
// here.
func (r *Rebuild) AddThing(t Thing) (Change, error) {
	t.ID, t.Rev = r.nextID(), 0
	return adding(t, Thing.Validate, fmt.Sprintf("entered the shared thing %q", short(t.Name)))
}

// EditThing replaces a thing. t.Rev is the revision the form was opened with.
func (r *Rebuild) EditThing(t Thing) (Change, error) {
	return editing(lookup(r.Things, t.ID), t, r.checkThing, fmt.Sprintf("changed the shared thing %q", short(t.Name)))
}

func (r *Rebuild) checkThing(t Thing) error {
	if err := t.Validate(); err != nil {
		return err
	}
	for _, k := range r.JobPlans {
		for _, h := range k.Holds {
			if h.Thing == t.ID && h.Count > t.Count {
				return &Invalid{[]Problem{{"count", fmt.Sprintf("%s holds %d of it, so there must be as many; change that first", r.titleOf(k.JobID), h.Count)}}}
			}
		}
	}
	return nil
}

// DeleteThing takes a thing out; jobs hold it no more.
func (r *Rebuild) DeleteThing(id int64, rev int) (Change, error) {
	c, err := removing(r.Things, id, rev, KindThing, "took out the shared thing")
	if err != nil {
		return c, err
	}
	return r.loosened(c, KindThing, id), nil
}

// AddMilestone enters a milestone; its number and revision are given here.
func (r *Rebuild) AddMilestone(m Milestone) (Change, error) {
	m.ID, m.Rev = r.nextID(), 0
	return adding(m, r.checkMilestone, fmt.Sprintf("set the milestone %q", short(m.Label())))
}

// EditMilestone replaces a milestone. m.Rev is the revision the form was opened
// with.
func (r *Rebuild) EditMilestone(m Milestone) (Change, error) {
	return editing(lookup(r.Milestones, m.ID), m, r.checkMilestone, fmt.Sprintf("changed the milestone %q", short(m.Label())))
}

// DeleteMilestone takes a milestone out.
func (r *Rebuild) DeleteMilestone(id int64, rev int) (Change, error) {
	return removing(r.Milestones, id, rev, KindMilestone, "took out the milestone")
}

func (r *Rebuild) checkMilestone(m Milestone) error {
	if err := m.Validate(r.Car.Currency); err != nil {
		return err
	}
	for _, id := range m.Jobs {
		if err := r.jobThere(id, "jobs"); err != nil {
			return err
		}
	}
	if other := r.MilestoneOf(m.Gate); m.Gate != "" && other != nil && other.ID != m.ID {
		return &Invalid{[]Problem{{"gate", fmt.Sprintf("the gate %q has a milestone already; change that one", m.Gate)}}}
	}
	return nil
}

// SetTimetable enters or replaces what holds for the whole plan. t.ID is 0 where
// there was none when the form was opened, else t.Rev is its revision then.
func (r *Rebuild) SetTimetable(t Timetable) (Change, error) {
	return r.setTimetable(t, "changed what holds for the whole plan")
}

func (r *Rebuild) setTimetable(t Timetable, what string) (Change, error) {
	check := func(t Timetable) error { return t.Validate(r.Car.Currency) }
	now := r.Timetable()
	switch {
	case t.ID == 0 && now.ID == 0:
		t.ID, t.Rev = r.nextID(), 0
		return adding(t, check, what)
	case t.ID == 0:
		return Change{}, &Conflict{KindTimetable, now.ID, now.Label(), now}
	}
	return editing(lookup(r.Timetables, t.ID), t, check, what)
}

// KeepPlan keeps a plan as it stands: what later ones are held against. nil takes
// that back, so that the earliest mark counts again.
func (r *Rebuild) KeepPlan(stand *PlanStand) (Change, error) {
	t := r.Timetable()
	t.Kept = stand
	what := "holds later plans against the first one again"
	if stand != nil {
		what = "kept the plan of " + stand.On + " to hold later ones against it"
	}
	return r.setTimetable(t, what)
}
