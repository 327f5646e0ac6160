package rebuild

import "wreckwright/money/amount"

// Milestone is a point that somebody wants to reach by a date: a gate, or one of
// the person's own.
type Milestone struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Name       string        `json:"name"`         // empty for a gate: it has its own
	Gate       Gate          `json:"gate"`         // empty: an own milestone
	Jobs       []int64       `json:"jobs"`         // of an own one: reached when they are done; none: when all is done
	WishedOn   string        `json:"wished_on"`    // ISO date by whose morning it should be reached; empty: none
	LateOnce   amount.Amount `json:"late_once"`    // what it costs once to miss it: a deposit, a slot lost
	LatePerDay amount.Amount `json:"late_per_day"` // what each day late costs
	Note       string        `json:"note"`
}

// ItemKind is part of [Item].
func (m Milestone) ItemKind() Kind { return KindMilestone }

// ItemID is part of [Item].
func (m Milestone) ItemID() int64 { return m.ID }

// Revision is part of [Item].
func (m Milestone) Revision() int { return m.Rev }

// Label is part of [Item].
func (m Milestone) Label() string {
	if m.Name == "" {
		return string(m.Gate)
	}
	return m.Name
}

// Validate checks the milestone by itself.
func (m Milestone) Validate(currency string) error {
	var c checks
	c.oneOfIfSaid(string(m.Gate), "gate", "the gate", names(Gates)...)
	c.that(m.Name != "" || m.Gate != "", "name", "give the milestone a name, or say which gate it is")
	c.text(m.Name, "name", "the milestone's name", 0, 120)
	c.distinct(m.Jobs, "jobs", "job")
	c.that(len(m.Jobs) <= maxNamed, "jobs", "it names %d jobs; at most %d fit", len(m.Jobs), maxNamed)
	c.that(m.Gate == "" || len(m.Jobs) == 0, "jobs", "what must be done before the gate %q is said by its rules; give an own milestone the jobs", m.Gate)
	c.date(m.WishedOn, "wished_on", "the wished date", false)
	c.sumFromZero(m.LateOnce, currency, "late_once", "what it costs to miss it")
	c.sumFromZero(m.LatePerDay, currency, "late_per_day", "what each day late costs")
	c.that(m.WishedOn != "" || m.LateOnce.IsZero() && m.LatePerDay.IsZero(), "wished_on", "being late costs something, so say by which day it is wished")
	c.text(m.Note, "note", "the note", 0, 2000)
	return c.err()
}

// MilestoneOf is the milestone of a gate, or nil.
func (r *Rebuild) MilestoneOf(g Gate) *Milestone {
	for i := range r.Milestones {
		if r.Milestones[i].Gate == g {
			return &r.Milestones[i]
		}
	}
	return nil
}
