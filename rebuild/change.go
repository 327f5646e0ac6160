package rebuild

import (
	"encoding/json"
	"fmt"
	"slices"
	"sort"
)

// Edit is one item as it was and as it becomes. Before nil: added. After nil:
// deleted.
type Edit struct {
	Before, After Item
}

// Kind is the kind of the edited item.
func (e Edit) Kind() Kind { return e.item().ItemKind() }

// ID is the number of the edited item.
func (e Edit) ID() int64 { return e.item().ItemID() }

func (e Edit) item() Item {
	if e.After != nil {
		return e.After
	}
	return e.Before
}

// Change is one thing a person did: a sentence for the journal and its edits.
type Change struct {
	What  string // "added the finding ...": follows "you"
	Edits []Edit

	nextID int64 // the rebuild's NextID afterwards; 0 leaves it
}

// Added is the first item that the change adds, or nil.
func (c Change) Added() Item {
	for _, e := range c.Edits {
		if e.Before == nil {
			return e.After
		}
	}
	return nil
}

func (c *Change) add(after Item) { c.Edits = append(c.Edits, Edit{After: tidy(after)}) }

func (c *Change) edit(before, after Item) {
	c.Edits = append(c.Edits, Edit{Before: before, After: tidy(after)})
}

func (c *Change) remove(before Item) { c.Edits = append(c.Edits, Edit{Before: before}) }

// Inverse is the change that takes c back, for the rebuild as it is now: items
// keep growing revisions, so that a tab opened before the undo is told. It is
// refused with [Conflict] when something that c touched was changed since, when
// something refers by now to what would go, or when what would come back refers
// to something gone; and with [Invalid] where c started the rebuild, or where the
// currency would change under sums already entered.
func (c Change) Inverse(now *Rebuild) (Change, error) {
	inverse := Change{What: "undid: " + c.What}
	for i := len(c.Edits) - 1; i >= 0; i-- {
		e := c.Edits[i]
		if e.Before == nil && !deletable(e.Kind()) {
			return Change{}, &Invalid{[]Problem{{"", "the start of a rebuild cannot be undone; put the rebuild away instead"}}}
		}
		current := now.Item(e.Kind(), e.ID())
		if !SameItem(current, e.After) {
			return Change{}, &Conflict{Kind: e.Kind(), ID: e.ID(), Label: e.item().Label(), Now: current}
		}
		to := e.Before
		if to != nil {
			to = withRevision(to, nextRevision(e, current))
		}
		inverse.Edits = append(inverse.Edits, Edit{Before: current, After: to})
	}
	next, err := now.Apply(inverse)
	if err != nil {
		return Change{}, err
	}
	return inverse, now.fits(inverse, next)
}

// deletable reports whether items of the kind come and go; the others are there
// from the start.
func deletable(kind Kind) bool {
	return !slices.Contains([]Kind{KindCar, KindAppraisal, KindZone, KindStage}, kind)
}

// nextRevision is above every revision that the item is known to have had: those
// in the edit, and the present one, which undo and redo may have moved further.
func nextRevision(e Edit, current Item) int {
	rev := 0
	for _, item := range []Item{e.Before, e.After, current} {
		if item != nil {
			rev = max(rev, item.Revision())
		}
	}
	return rev + 1
}

// SameItem compares what two items say, leaving their revisions aside: after an
// undo and a redo an item says the same under a later revision.
func SameItem(a, b Item) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	x, errX := json.Marshal(tidy(withRevision(a, 0)))
	y, errY := json.Marshal(tidy(withRevision(b, 0)))
	return errX == nil && errY == nil && string(x) == string(y)
}

// Apply gives the next version of the rebuild. The receiver is unchanged. The
// change must have been made for this version; each edit's Before is checked
// against what is there.
func (r *Rebuild) Apply(c Change) (*Rebuild, error) {
	next := *r
	next.NextID = max(r.NextID, c.nextID, 1)
	touched := map[Kind]bool{}
	for _, e := range c.Edits {
		if err := next.check(e); err != nil {
			return nil, err
		}
		if !touched[e.Kind()] {
			next.unshare(e.Kind())
			touched[e.Kind()] = true
		}
		next.put(e)
		next.NextID = max(next.NextID, nextFree(e))
	}
	next.Version++
	return &next, nil
}

// nextFree keeps numbers from being used twice, also when a deleted item comes
// back by undo in a restored book.
func nextFree(e Edit) int64 {
	if !deletable(e.Kind()) {
		return 0
	}
	free := e.ID() + 1
	for _, item := range []Item{e.Before, e.After} {
		if j, ok := item.(Job); ok {
			for _, route := range j.Routes {
				free = max(free, route.ID+1)
			}
		}
	}
	return free
}

func (r *Rebuild) check(e Edit) error {
	if e.Before == nil && e.After == nil {
		return fmt.Errorf("an edit that neither adds nor removes anything")
	}
	if e.Before != nil && e.After != nil && (e.Before.ItemKind() != e.After.ItemKind() || e.Before.ItemID() != e.After.ItemID()) {
		return fmt.Errorf("an edit that turns the %s %d into the %s %d", e.Before.ItemKind(), e.Before.ItemID(), e.After.ItemKind(), e.After.ItemID())
	}
	if e.After == nil && !deletable(e.Kind()) {
		return fmt.Errorf("an edit that takes the %s %q away", e.Kind(), e.item().Label())
	}
	now := r.Item(e.Kind(), e.ID())
	fresh := now == nil && e.Before == nil
	known := now != nil && e.Before != nil && now.Revision() == e.Before.Revision()
	if fresh || known {
		return nil
	}
	return &Conflict{Kind: e.Kind(), ID: e.ID(), Label: e.item().Label(), Now: now}
}

// Item is the item of that kind and number as it stands, or nil.
func (r *Rebuild) Item(kind Kind, id int64) Item {
	switch kind {
	case KindCar:
		if r.Version == 0 {
			return nil
		}
		return r.Car
	case KindAppraisal:
		if r.Version == 0 {
			return nil
		}
		return r.Appraisal
	case KindZone:
		return value(lookup(r.Zones, id))
	case KindStage:
		return value(lookup(r.Stages, id))
	case KindFinding:
		return value(lookup(r.Findings, id))
	case KindJob:
		return value(lookup(r.Jobs, id))
	case KindEntry:
		return value(lookup(r.Entries, id))
	case KindEvidence:
		return value(lookup(r.Evidence, id))
	case KindCase:
		return value(lookup(r.Cases, id))
	case KindStripItem:
		return value(lookup(r.Strip, id))
	case KindJoint:
		return value(lookup(r.Joints, id))
	case KindTool:
		return value(lookup(r.Tools, id))
	case KindGatePass:
		return value(lookup(r.GatePasses, id))
	case KindShakedownRun:
		return value(lookup(r.Shakedown, id))
	case KindRehearsed:
		return value(lookup(r.Rehearsal, id))
	case KindOfficialTest:
		return value(lookup(r.OfficialTests, id))
	case KindConfirmation:
		return value(lookup(r.Confirmations, id))
	case KindSheet:
		return value(lookup(r.Sheets, id))
	case KindPerson:
		return value(lookup(r.People, id))
	case KindThing:
		return value(lookup(r.Things, id))
	case KindMilestone:
		return value(lookup(r.Milestones, id))
	case KindJobPlan:
		return value(lookup(r.JobPlans, id))
	case KindDelivery:
		return value(lookup(r.Deliveries, id))
	case KindTimetable:
		return value(lookup(r.Timetables, id))
	}
	return nil
}

// value turns a nil pointer into a nil interface.
func value[T Item](p *T) Item {
	if p == nil {
		return nil
	}
	return *p
}

func (r *Rebuild) unshare(kind Kind) {
	switch kind {
	case KindZone:
		r.Zones = slices.Clone(r.Zones)
	case KindStage:
		r.Stages = slices.Clone(r.Stages)
	case KindFinding:
		r.Findings = slices.Clone(r.Findings)
	case KindJob:
		r.Jobs = slices.Clone(r.Jobs)
	case KindEntry:
		r.Entries = slices.Clone(r.Entries)
	case KindEvidence:
		r.Evidence = slices.Clone(r.Evidence)
	case KindCase:
		r.Cases = slices.Clone(r.Cases)
	case KindStripItem:
		r.Strip = slices.Clone(r.Strip)
	case KindJoint:
		r.Joints = slices.Clone(r.Joints)
	case KindTool:
		r.Tools = slices.Clone(r.Tools)
	case KindGatePass:
		r.GatePasses = slices.Clone(r.GatePasses)
	case KindShakedownRun:
		r.Shakedown = slices.Clone(r.Shakedown)
	case KindRehearsed:
		r.Rehearsal = slices.Clone(r.Rehearsal)
	case KindOfficialTest:
		r.OfficialTests = slices.Clone(r.OfficialTests)
	case KindConfirmation:
		r.Confirmations = slices.Clone(r.Confirmations)
	case KindSheet:
		r.Sheets = slices.Clone(r.Sheets)
	case KindPerson:
		r.People = slices.Clone(r.People)
	case KindThing:
		r.Things = slices.Clone(r.Things)
	case KindMilestone:
		r.Milestones = slices.Clone(r.Milestones)
	case KindJobPlan:
		r.JobPlans = slices.Clone(r.JobPlans)
	case KindDelivery:
		r.Deliveries = slices.Clone(r.Deliveries)
	case KindTimetable:
		r.Timetables = slices.Clone(r.Timetables)
	}
}

func (r *Rebuild) put(e Edit) {
	switch e.Kind() {
	case KindCar:
		if car, ok := e.After.(Car); ok {
			r.Car = car
		}
	case KindAppraisal:
		if appraisal, ok := e.After.(Appraisal); ok {
			r.Appraisal = appraisal
		}
	case KindZone:
		r.Zones = place[Zone](r.Zones, e)
	case KindStage:
		r.Stages = place[Stage](r.Stages, e)
	case KindFinding:
		r.Findings = place[Finding](r.Findings, e)
	case KindJob:
		r.Jobs = place[Job](r.Jobs, e)
	case KindEntry:
		r.Entries = place[Entry](r.Entries, e)
	case KindEvidence:
		r.Evidence = place[Evidence](r.Evidence, e)
	case KindCase:
		r.Cases = place[Case](r.Cases, e)
	case KindStripItem:
		r.Strip = place[StripItem](r.Strip, e)
	case KindJoint:
		r.Joints = place[Joint](r.Joints, e)
	case KindTool:
		r.Tools = place[Tool](r.Tools, e)
	case KindGatePass:
		r.GatePasses = place[GatePass](r.GatePasses, e)
	case KindShakedownRun:
		r.Shakedown = place[ShakedownRun](r.Shakedown, e)
	case KindRehearsed:
		r.Rehearsal = place[Rehearsed](r.Rehearsal, e)
	case KindOfficialTest:
		r.OfficialTests = place[OfficialTest](r.OfficialTests, e)
	case KindConfirmation:
		r.Confirmations = place[Confirmation](r.Confirmations, e)
	case KindSheet:
		r.Sheets = place[Sheet](r.Sheets, e)
	case KindPerson:
		r.People = place[Person](r.People, e)
	case KindThing:
		r.Things = place[Thing](r.Things, e)
	case KindMilestone:
		r.Milestones = place[Milestone](r.Milestones, e)
	case KindJobPlan:
		r.JobPlans = place[JobPlan](r.JobPlans, e)
	case KindDelivery:
		r.Deliveries = place[Delivery](r.Deliveries, e)
	case KindTimetable:
		r.Timetables = place[Timetable](r.Timetables, e)
	}
}

// place sets, inserts or deletes one item in a slice sorted by number.
func place[T Item](items []T, e Edit) []T {
	at := sort.Search(len(items), func(i int) bool { return items[i].ItemID() >= e.ID() })
	after, keep := e.After.(T)
	found := at < len(items) && items[at].ItemID() == e.ID()
	switch {
	case found && keep:
		items[at] = after
	case found:
		items = slices.Delete(items, at, at+1)
	case keep:
		items = slices.Insert(items, at, after)
	}
	return nilWhenEmpty(items)
}
