package workshop

import (
	"fmt"
	"slices"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// Concern is something of the book that stands open about an item of the
// inspection.
type Concern struct {
	Kind  rebuild.Kind // finding or job
	ID    int64
	Title string
	State string // in words: "danger, planned"
	Fails bool   // as bad as seen to fail
}

// bookChanges are what of a book can make a look at an item stale, or stands open
// about it, each with its words in one form.
type bookChanges struct {
	changes []bookChange
	open    []bookOpen
	fails   map[string][]*rebuild.Evidence // by quantity, those that failed and count
}

// bookChange is something that was undone, came off or was found.
type bookChange struct {
	knowledge.Named
	on    string // RFC 3339, or the day
	text  string
	found bool // it was observed, not done
}

type bookOpen struct {
	knowledge.Named
	Concern
}

func changesOf(r *rebuild.Rebuild) bookChanges {
	b := bookChanges{fails: map[string][]*rebuild.Evidence{}}
	b.undone(r)
	b.found(r)
	b.jobs(r)
	for _, t := range checkThings(r) {
		if e := r.EvidenceAt(t.ID); t.State == string(rebuild.VerdictFail) && e != nil {
			if s, ok := ReadCheckSettings(e); ok {
				b.fails[s.Quantity] = append(b.fails[s.Quantity], e)
			}
		}
	}
	return b
}

// undone are joints undone and things that came off, whenever that was.
func (b *bookChanges) undone(r *rebuild.Rebuild) {
	for i := range r.Joints {
		j := &r.Joints[i]
		name := knowledge.NameOf(j.Title, j.Zone, []string{classOfJoint(j)})
		for _, u := range j.Undone {
			b.changes = append(b.changes, bookChange{name, u.At, fmt.Sprintf("%q was undone on %s", j.Title, dayOf(u.At)), false})
		}
	}
	for i := range r.Strip {
		s := &r.Strip[i]
		classes := knowledge.PartClasses(s.What)
		text := fmt.Sprintf("%q came off on %s", s.What, dayOf(s.At))
		b.changes = append(b.changes, bookChange{knowledge.NameOf(s.What, s.Zone, classes), s.At, text, false})
		for _, id := range s.Joints {
			if j := r.Joint(id); j != nil {
				b.changes = append(b.changes, bookChange{knowledge.NameOf(j.Title, j.Zone, []string{classOfJoint(j)}), s.At, fmt.Sprintf("%q was undone on %s", j.Title, dayOf(s.At)), false})
			}
		}
	}
}

// found are findings: those that stand, as open, and all that do as changes.
func (b *bookChanges) found(r *rebuild.Rebuild) {
	states := r.FindingStates()
	for i := range r.Findings {
		f := &r.Findings[i]
		if states[f.ID] == rebuild.FindingDismissed {
			continue
		}
		name := knowledge.NameOf(f.What, f.Zone, nil)
		b.changes = append(b.changes, bookChange{name, f.On, fmt.Sprintf("found on %s: %s", f.On, f.What), true})
		if states[f.ID] == rebuild.FindingSettled {
			continue
		}
		fails := f.Severity == rebuild.Danger || f.Severity == rebuild.Major
		b.open = append(b.open, bookOpen{name, Concern{rebuild.KindFinding, f.ID, f.What, fmt.Sprintf("%s, %s", f.Severity, states[f.ID]), fails}})
	}
}

func (b *bookChanges) jobs(r *rebuild.Rebuild) {
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if j.State == rebuild.JobDone || j.State == rebuild.JobProven || j.State == rebuild.JobDropped {
			continue
		}
		b.open = append(b.open, bookOpen{knowledge.NameOf(j.Title, j.Zone, nil), Concern{rebuild.KindJob, j.ID, j.Title, jobStateWords(j), false}})
	}
}

// put says of an item what of the book makes the look at it stale and what stands
// open about it.
func (b bookChanges) put(l *InspectionLine) {
	for _, o := range b.open {
		if l.About.Tells(o.Named) {
			l.Open = append(l.Open, o.Concern)
		}
	}
	if l.Seen == nil {
		return
	}
	for _, c := range b.changes {
		if after(c.on, l.Seen.At) && c.about(l) && !slices.Contains(l.Stale, c.text) {
			l.Stale = append(l.Stale, c.text)
		}
	}
	for _, e := range b.fails[l.CheckKey] {
		if l.CheckKey != "" && e.On >= dayOf(l.Seen.At) && l.About.Within(knowledge.NameOf(e.Title, "", nil)) {
			l.Stale = append(l.Stale, fmt.Sprintf("%q failed on %s", e.Title, e.On))
		}
	}
}

// about reports whether the change has to do with an item.
func (c bookChange) about(l *InspectionLine) bool {
	if c.found {
		return l.About.Tells(c.Named)
	}
	return l.About.Holds(c.Named)
}

// after reports that a change came after a moment. Of a change only its day may be
// known: that of the same day came before.
func after(on, moment string) bool {
	if len(on) <= len("2006-01-02") {
		return on > dayOf(moment)
	}
	a, err := time.Parse(time.RFC3339, on)
	b, wrong := time.Parse(time.RFC3339, moment)
	return err == nil && wrong == nil && a.After(b)
}
