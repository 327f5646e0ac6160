package rebuild

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/uncertain"
)

// DamageNote is what one look at a zone brought to light and what follows from
// it, entered at once: see [Rebuild.NoteDamage].
type DamageNote struct {
	Zone     string
	Findings []Finding // new ones; their zone is the note's
	Jobs     []NotedJob
	// OpenShare is how far the look opened the zone. A zone that is open further
	// stays so.
	OpenShare float64
	Reserve   *HiddenReserve // nil leaves the zone's as it is
}

// NotedJob is a job that findings suggest.
type NotedJob struct {
	Job      Job   // as suggested; the findings it settles are given by Settles
	Settles  []int // places in DamageNote.Findings
	Anywhere bool  // one such job serves the whole car, not only this zone
}

// HiddenReserve is what may hide in a zone: see [Zone].
type HiddenReserve struct {
	Expected float64
	Cost     uncertain.Range
}

// NoteDamage enters all that a look at a zone brought to light as one change, so
// that one undo takes all of it back.
//
// What is noted already is not noted again: a finding that says the same of the
// zone and is not settled gets the new photos, and a job ahead with the same
// title (of the same zone, unless Anywhere) settles the new findings too instead
// of standing there twice. A suggestion is not a choice: a suggested job is open
// and goes no route yet. A note that changes nothing is refused.
func (r *Rebuild) NoteDamage(n DamageNote) (Change, error) {
	zone := r.Zone(n.Zone)
	if zone == nil {
		return Change{}, &Invalid{[]Problem{{"zone", fmt.Sprintf("there is no zone %q; tap one on the drawing", n.Zone)}}}
	}
	d := damageNoting{now: r}
	ids := make([]int64, len(n.Findings))
	for i, f := range n.Findings {
		f.Zone = n.Zone
		ids[i] = d.finding(f)
	}
	for _, j := range n.Jobs {
		d.job(n.Zone, j, ids)
	}
	d.zone(*zone, n)
	if d.err != nil {
		return Change{}, d.err
	}
	d.change.Edits = folded(d.change.Edits)
	if len(d.change.Edits) == 0 {
		return Change{}, &Invalid{[]Problem{{"seen", "all of this is noted already"}}}
	}
	d.change.What = d.sentence(zone.Label(), len(n.Findings))
	return d.change, nil
}

// damageNoting puts one change together step by step, each step made for the
// rebuild as the steps before it leave it. After an error nothing more happens.
type damageNoting struct {
	now    *Rebuild
	change Change
	err    error

	findings, jobs int // new
	reserve        bool
}

// do makes one step; false when it cannot be made.
func (d *damageNoting) do(step Change, err error) bool {
	if d.err == nil {
		d.err = err
	}
	if d.err == nil {
		d.now, d.err = d.now.Apply(step)
	}
	if d.err != nil {
		return false
	}
	d.change.Edits = append(d.change.Edits, step.Edits...)
	d.change.nextID = d.now.NextID
	return true
}

// finding enters a finding, or finds the one that says the same; it gives its
// number.
func (d *damageNoting) finding(f Finding) int64 {
	if old := d.now.sameFinding(f); old != nil {
		with := *old
		with.Photos = photosToo(old.Photos, f.Photos)
		if len(with.Photos) > len(old.Photos) {
			d.do(d.now.EditFinding(with))
		}
		return old.ID
	}
	id := d.now.nextID()
	if d.do(d.now.AddFinding(f)) {
		d.findings++
	}
	return id
}

// sameFinding is the finding that says the same of the same zone and is not
// settled, or nil.
func (r *Rebuild) sameFinding(f Finding) *Finding {
	states := r.FindingStates()
	for i := range r.Findings {
		old := &r.Findings[i]
		stands := states[old.ID] == FindingOpen || states[old.ID] == FindingPlanned
		if stands && old.Zone == f.Zone && strings.EqualFold(old.What, f.What) {
			return old
		}
	}
	return nil
}

func photosToo(had, more []Attachment) []Attachment {
	all := slices.Clone(had)
	for _, a := range more {
		if !slices.ContainsFunc(all, func(b Attachment) bool { return b.Hash == a.Hash }) {
			all = append(all, a)
		}
	}
	return all
}

// job enters a suggested job, or lets the one that is there settle the findings
// as well. ids are the numbers of the note's findings.
func (d *damageNoting) job(zone string, n NotedJob, ids []int64) {
	var settles []int64
	for _, place := range n.Settles {
		if place < 0 || place >= len(ids) {
			d.do(Change{}, fmt.Errorf("the job %q settles finding %d of a note that has %d", n.Job.Title, place+1, len(ids)))
			return
		}
		if !slices.Contains(settles, ids[place]) {
			settles = append(settles, ids[place])
		}
	}
	if old := d.now.sameJob(n.Job.Title, zone, n.Anywhere); old != nil {
		with := *old
		with.Findings = slices.Clone(old.Findings)
		for _, id := range settles {
			if !old.Settles(id) {
				with.Findings = append(with.Findings, id)
			}
		}
		if len(with.Findings) > len(old.Findings) {
			d.do(d.now.EditJob(with))
		}
		return
	}
	j := n.Job
	j.Zone, j.Findings = zone, settles
	j.State, j.Chosen, j.Estimate = JobOpen, 0, nil
	if d.do(d.now.AddJob(j)) {
		d.jobs++
	}
}

// sameJob is the job ahead with that title, of the zone or anywhere, or nil.
func (r *Rebuild) sameJob(title, zone string, anywhere bool) *Job {
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if j.Ahead() && strings.EqualFold(j.Title, title) && (anywhere || j.Zone == zone) {
			return j
		}
	}
	return nil
}

// zone opens the zone and sets its reserve.
func (d *damageNoting) zone(z Zone, n DamageNote) {
	before := z
	z.OpenShare = max(z.OpenShare, n.OpenShare)
	if n.Reserve != nil {
		z.HiddenExpected, z.HiddenCost = n.Reserve.Expected, n.Reserve.Cost
	}
	if !SameItem(before, z) && d.do(d.now.EditZone(z)) {
		d.reserve = n.Reserve != nil
	}
}

// sentence says for the journal what was done; it follows "you".
func (d *damageNoting) sentence(zone string, seen int) string {
	zone = strings.ToLower(zone)
	var also []string
	if d.jobs > 0 {
		also = append(also, counted(d.jobs, "job", "jobs"))
	}
	if d.reserve {
		also = append(also, "a reserve for what may hide")
	}
	with := ""
	if len(also) > 0 {
		with = ", with " + strings.Join(also, " and ")
	}
	switch {
	case d.findings > 0:
		return fmt.Sprintf("noted %s at the zone %s%s", counted(d.findings, "finding", "findings"), zone, with)
	case seen > 0:
		return fmt.Sprintf("noted more of what was seen at the zone %s%s", zone, with)
	}
	return fmt.Sprintf("looked at the zone %s and found nothing%s", zone, with)
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// folded makes one edit of all that concern the same item, so that the change can
// be taken back item by item.
func folded(edits []Edit) []Edit {
	var out []Edit
	for _, e := range edits {
		at := slices.IndexFunc(out, func(o Edit) bool { return o.Kind() == e.Kind() && o.ID() == e.ID() })
		if at < 0 {
			out = append(out, e)
			continue
		}
		out[at].After = e.After
	}
	return out
}
