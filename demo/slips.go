package demo

import (
	"context"
	"fmt"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// The slips: mistakes at the keyboard that are taken back.
const (
	slipCostTwice      = "cost twice"
	slipDeletedJob     = "deleted job"
	slipDeletedFinding = "deleted finding"
	slipWrongRoute     = "wrong route"
	slipSeverity       = "severity and back and again" // undone, then redone after all
)

var slips = []string{slipCostTwice, slipDeletedJob, slipDeletedFinding, slipWrongRoute, slipSeverity}

func (p *player) slipEvents() []event {
	var all []event
	for _, s := range p.story.Slips {
		all = append(all, event{s.Deed, orderSlip, s.Slip, func(ctx context.Context, who by) error { return p.slip(ctx, who, s) }})
	}
	return all
}

func (p *player) slip(ctx context.Context, who by, s slipPage) error {
	if _, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return p.mistake(r, s) }); err != nil {
		return err
	}
	_, _, err := p.book.Undo(ctx, store.By{Who: who}, p.id, 0)
	if err == nil && s.Slip == slipSeverity {
		_, _, err = p.book.Redo(ctx, store.By{Who: who}, p.id)
	}
	return err
}

func (p *player) mistake(r *rebuild.Rebuild, s slipPage) (rebuild.Change, error) {
	job, finding := r.Job(p.jobs[s.Job]), r.Finding(p.findings[s.Finding])
	switch s.Slip {
	case slipCostTwice:
		return r.AddEntries(*r.Entry(p.entries[s.Cost]))
	case slipDeletedJob:
		return r.DeleteJob(job.ID, job.Rev)
	case slipDeletedFinding:
		return r.DeleteFinding(finding.ID, finding.Rev)
	case slipWrongRoute:
		return r.ChooseRoute(job.ID, job.Rev, job.Routes[s.Route-1].ID)
	case slipSeverity:
		worse := *finding
		worse.Severity = rebuild.Severity(s.Severity)
		return r.EditFinding(worse)
	}
	return rebuild.Change{}, fmt.Errorf("there is no slip %q", s.Slip)
}
