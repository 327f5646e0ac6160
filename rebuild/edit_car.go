package rebuild

import (
	"slices"

	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// EditCar replaces what is known of the car. car.Rev is the revision the form
// was opened with.
func (r *Rebuild) EditCar(car Car) (Change, error) {
	car.Candidate = r.Car.Candidate
	if err := fresh(r.Car, car); err != nil {
		return Change{}, err
	}
	if err := car.Validate(); err != nil {
		return Change{}, err
	}
	if car.Currency != r.Car.Currency && r.hasMoney() {
		return Change{}, &Invalid{[]Problem{{"currency", "the currency cannot change once sums were entered: this rebuild is kept in " + r.Car.Currency}}}
	}
	return changed("changed the car's data", r.Car, car), nil
}

func (r *Rebuild) hasMoney() bool {
	for i := range r.Jobs {
		if HasMoney(r.Jobs[i]) {
			return true
		}
	}
	for i := range r.Zones {
		if HasMoney(r.Zones[i]) {
			return true
		}
	}
	return HasMoney(r.Appraisal) || len(r.Entries) > 0 || r.planHasMoney()
}

// HasMoney reports whether an item holds sums or estimates that mean something
// only in the rebuild's currency as it was when they were entered. The car's own
// sums name theirs.
func HasMoney(item Item) bool {
	switch v := item.(type) {
	case Appraisal:
		return v.Value != (uncertain.Range{}) || slices.ContainsFunc(v.sums(), func(a amount.Amount) bool { return a != amount.Amount{} })
	case Zone:
		return v.HiddenCost != (uncertain.Range{})
	case Job:
		return v.Reference != (amount.Amount{}) || len(v.Routes) > 0
	case Entry:
		return true
	case interface{ sums() []amount.Amount }:
		return slices.ContainsFunc(v.sums(), func(a amount.Amount) bool { return a != amount.Amount{} })
	}
	return false
}

// EditZone sets how far a zone is open and what may hide in it.
func (r *Rebuild) EditZone(z Zone) (Change, error) {
	old := lookup(r.Zones, z.Number)
	if old == nil {
		return Change{}, &Missing{KindZone, z.Number}
	}
	if err := fresh(*old, z); err != nil {
		return Change{}, err
	}
	if err := z.Validate(); err != nil {
		return Change{}, err
	}
	return changed("changed the zone "+z.Label(), *old, z), nil
}

// EditStage sets the state of a stage.
func (r *Rebuild) EditStage(s Stage) (Change, error) {
	old := lookup(r.Stages, s.Number)
	if old == nil {
		return Change{}, &Missing{KindStage, s.Number}
	}
	if err := fresh(*old, s); err != nil {
		return Change{}, err
	}
	if err := s.Validate(); err != nil {
		return Change{}, err
	}
	return changed("set the stage "+s.Label()+" to "+string(s.State), *old, s), nil
}

// fresh refuses an edit that was begun on an older revision.
func fresh(now, edited Item) error {
	if now.Revision() == edited.Revision() {
		return nil
	}
	return &Conflict{Kind: now.ItemKind(), ID: now.ItemID(), Label: now.Label(), Now: now}
}

// changed is the change of one item, its revision moved on.
func changed(what string, before, after Item) Change {
	c := Change{What: what}
	c.edit(before, withRevision(after, before.Revision()+1))
	return c
}
