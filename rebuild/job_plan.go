package rebuild

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/uncertain"
)

// JobPlan is what the plan has to know of a job besides its hours. A job has one
// at most; one without is done by own hands whenever its turn comes.
type JobPlan struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	JobID int64   `json:"job"`
	After []int64 `json:"after"` // jobs that are done before it begins

	WithoutMe bool       `json:"without_me"` // own hands are not needed
	Helpers   []int64    `json:"helpers"`    // people besides own hands
	Holds     []ThingUse `json:"holds"`      // from its start to its end

	WaitDays  float64 `json:"wait_days"` // after its end before what follows may begin: curing, drying
	NotBefore string  `json:"not_before"`
	Noisy     bool    `json:"noisy"`    // not in quiet hours
	Daylight  bool    `json:"daylight"` // wants daylight
	SetUp     string  `json:"set_up"`   // what has to be set up for it; jobs with the same text share it

	// Outside says that somebody else does it elsewhere. It takes OutsideDays of
	// the calendar and begins on one of the Slots, where there are any.
	Outside     bool            `json:"outside"`
	CarGoes     bool            `json:"car_goes"` // the car itself is away meanwhile: nothing else is done on it
	OutsideDays uncertain.Range `json:"outside_days"`
	Slots       []string        `json:"slots"` // ISO dates, ascending

	StartedAt string `json:"started_at"` // RFC 3339, when it really began; empty: not yet
	DoneAt    string `json:"done_at"`    // RFC 3339, when it was really done
	Note      string `json:"note"`
}

// ThingUse is how many of a thing a job holds.
type ThingUse struct {
	Thing int64 `json:"thing"`
	Count int   `json:"count"`
}

// ItemKind is part of [Item].
func (p JobPlan) ItemKind() Kind { return KindJobPlan }

// ItemID is part of [Item].
func (p JobPlan) ItemID() int64 { return p.ID }

// Revision is part of [Item].
func (p JobPlan) Revision() int { return p.Rev }

// Label is part of [Item].
func (p JobPlan) Label() string { return fmt.Sprintf("of job %d", p.JobID) }

const (
	maxWaitDays    = 365
	maxOutsideDays = 365
	maxSlots       = 100
)

// Validate checks it by itself.
func (p JobPlan) Validate() error {
	var c checks
	c.that(p.JobID > 0, "job", "say which job it is of")
	c.distinct(p.After, "after", "job")
	c.that(!slices.Contains(p.After, p.JobID), "after", "a job cannot come after itself")
	c.that(len(p.After) <= maxNamed, "after", "it comes after %d jobs; at most %d fit", len(p.After), maxNamed)
	p.checkWho(&c)
	c.number(p.WaitDays, maxWaitDays, "wait_days", "the wait after it", "days")
	c.date(p.NotBefore, "not_before", "the day before which it cannot begin", false)
	c.text(p.SetUp, "set_up", "what has to be set up", 0, 80)
	p.checkOutside(&c)
	c.moment(p.StartedAt, "started_at", "the moment it began", false)
	c.moment(p.DoneAt, "done_at", "the moment it was done", false)
	if p.StartedAt != "" && p.DoneAt != "" {
		c.that(!instant(p.DoneAt).Before(instant(p.StartedAt)), "done_at", "it was done on %s, before it began on %s", day(p.DoneAt), day(p.StartedAt))
	}
	c.text(p.Note, "note", "the note", 0, 2000)
	return c.err()
}

func (p JobPlan) checkWho(c *checks) {
	c.distinct(p.Helpers, "helpers", "person")
	c.that(len(p.Helpers) <= maxNamed, "helpers", "%d people are named; at most %d fit", len(p.Helpers), maxNamed)
	c.that(!p.WithoutMe || len(p.Helpers) > 0 || p.Outside, "helpers", "somebody has to do it: you, a helper, or somebody outside")
	c.that(len(p.Holds) <= maxNamed, "holds", "it holds %d things; at most %d fit", len(p.Holds), maxNamed)
	for i, h := range p.Holds {
		at := fmt.Sprintf("holds.%d", i+1)
		c.that(h.Thing > 0, at, "there is no thing %d", h.Thing)
		c.that(h.Count >= 1 && h.Count <= maxThings, at, "it must hold 1 to %d of a thing, not %d", maxThings, h.Count)
		twice := slices.ContainsFunc(p.Holds[:i], func(o ThingUse) bool { return o.Thing == h.Thing })
		c.that(!twice, at, "thing %d is named twice", h.Thing)
	}
}

func (p JobPlan) checkOutside(c *checks) {
	c.rangeOf(p.OutsideDays, "outside_days", "how many days it takes outside", maxOutsideDays)
	c.that(p.Outside || p.OutsideDays == uncertain.Range{}, "outside_days", "only work that somebody else does takes days outside")
	c.that(!p.Outside || p.OutsideDays.High > 0, "outside_days", "say how many days it takes outside")
	c.that(p.Outside || !p.CarGoes, "car_goes", "only for work that somebody else does is the car away")
	c.that(p.Outside || len(p.Slots) == 0, "slots", "only work that somebody else does has slots")
	c.that(!p.Outside || len(p.Helpers) == 0, "helpers", "work that somebody else does elsewhere needs no helper here")
	c.that(len(p.Slots) <= maxSlots, "slots", "there are %d slots; at most %d fit", len(p.Slots), maxSlots)
	for i, s := range p.Slots {
		at := fmt.Sprintf("slots.%d", i+1)
		c.date(s, at, "the day of a slot", true)
		c.that(i == 0 || p.Slots[i-1] < s, at, "the slot %s does not come after the one before it; write each once, the earliest first", s)
	}
}

// PlanOfJob is what the plan knows of a job, or nil.
func (r *Rebuild) PlanOfJob(job int64) *JobPlan {
	for i := range r.JobPlans {
		if r.JobPlans[i].JobID == job {
			return &r.JobPlans[i]
		}
	}
	return nil
}

// jobCircle is a chain of jobs each of which comes after the next, back to the
// first, that p closes with the plans of the others; nil: none.
func (r *Rebuild) jobCircle(p JobPlan) []int64 {
	after := make(map[int64][]int64, len(r.JobPlans)+1)
	for i := range r.JobPlans {
		after[r.JobPlans[i].JobID] = r.JobPlans[i].After
	}
	after[p.JobID] = p.After
	return circleOf(p.JobID, func(id int64) []int64 { return after[id] })
}

// circleOf follows what comes before a number back to the number itself, depth
// first.
func circleOf(start int64, before func(int64) []int64) []int64 {
	seen := map[int64]bool{}
	var path []int64
	var follow func(id int64) bool
	follow = func(id int64) bool {
		if seen[id] {
			return false
		}
		seen[id] = true
		path = append(path, id)
		for _, other := range before(id) {
			if other == start || follow(other) {
				return true
			}
		}
		path = path[:len(path)-1]
		return false
	}
	if follow(start) {
		return path
	}
	return nil
}

// circleInWords names a chain of jobs by their titles.
func (r *Rebuild) circleInWords(circle []int64) string {
	parts := make([]string, 0, len(circle)+1)
	for _, id := range append(slices.Clone(circle), circle[0]) {
		title := fmt.Sprintf("job %d", id)
		if j := r.Job(id); j != nil {
			title = fmt.Sprintf("%q", short(j.Title))
		}
		parts = append(parts, title)
	}
	return strings.Join(parts, " after ")
}
