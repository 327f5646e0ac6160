package demo

import (
	"cmp"
	"context"
	"slices"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

func (p *player) jobEvents() []event {
	var all []event
	for _, j := range p.story.Jobs {
		what := "job " + j.Key
		all = append(all, event{j.Deed, orderJob, what, func(ctx context.Context, who by) error { return p.addJob(ctx, who, j) }})
		if j.Choose != nil {
			all = append(all, event{j.Choose.Deed, orderChoice, what, func(ctx context.Context, who by) error {
				return p.choose(ctx, who, j.Key, j.Choose.Route)
			}})
		}
		for _, q := range j.Requotes {
			all = append(all, event{q.Deed, orderChoice, what, func(ctx context.Context, who by) error { return p.requote(ctx, who, j.Key, q) }})
		}
		for _, m := range j.Timed {
			all = append(all, event{m.Deed, orderTimed, what, func(ctx context.Context, who by) error { return p.timePump(ctx, who, j.Key, m) }})
		}
		for _, m := range j.Moves {
			all = append(all, event{m.Deed, orderMove, what, func(ctx context.Context, who by) error { return p.move(ctx, who, j.Key, m) }})
		}
	}
	return all
}

func (p *player) addJob(ctx context.Context, who by, j jobPage) error {
	job := rebuild.Job{
		Title: j.Title, Zone: j.Zone, Stage: stageNumber(j.Stage), Safety: rebuild.SafetyClass(cmp.Or(j.Safety, string(rebuild.SafetyNone))),
		Needed: orCertain(j.Needed), ReferenceFrom: j.ReferenceFrom, Note: j.Note, State: rebuild.JobOpen,
	}
	for _, key := range j.Findings {
		job.Findings = append(job.Findings, p.findings[key])
	}
	for _, r := range j.Routes {
		job.Routes = append(job.Routes, r.route())
	}
	if j.Reference != "" {
		var err error
		if job.Reference, err = amount.Parse(j.Reference, p.story.Car.Currency, '.'); err != nil {
			return err
		}
	}
	var err error
	p.jobs[j.Key], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddJob(job) })
	return err
}

func (r routePage) route() rebuild.Route {
	route := rebuild.Route{
		Kind: rebuild.RouteKind(r.Kind), Method: rebuild.Method(cmp.Or(r.Method, string(rebuild.MethodPlain))), Name: r.Name,
		Cost: rangeOf(r.Cost), Hours: rangeOf(r.Hours), Works: orCertain(r.Works), Basis: r.Basis,
	}
	if r.Fallback != nil {
		route.Fallback = &rebuild.Fallback{Name: r.Fallback.Name, Cost: rangeOf(r.Fallback.Cost), Hours: rangeOf(r.Fallback.Hours)}
	}
	return route
}

func orCertain(chance *float64) float64 {
	if chance == nil {
		return 1
	}
	return *chance
}

// choose decides on a route by its place from 1; 0 is the first.
func (p *player) choose(ctx context.Context, who by, key string, place int) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		job := r.Job(p.jobs[key])
		return r.ChooseRoute(job.ID, job.Rev, job.Routes[max(place, 1)-1].ID)
	})
	return err
}

// requote is a later offer for a route: the estimate of the choice stays.
func (p *player) requote(ctx context.Context, who by, key string, q requote) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		job := r.Job(p.jobs[key])
		route := job.Routes[max(q.Route, 1)-1]
		route.Cost, route.Basis = rangeOf(q.Cost), q.Basis
		return r.SetRoute(job.ID, job.Rev, route)
	})
	return err
}

// move takes a job to another state; the day it was first done stays.
func (p *player) move(ctx context.Context, who by, key string, m move) error {
	proofs, err := p.draw(ctx, m.Proofs)
	if err != nil {
		return err
	}
	_, err = p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		job := r.Job(p.jobs[key])
		o := rebuild.Outcome{
			State: rebuild.JobState(m.State), WaitingFor: m.WaitingFor, DoneOn: job.DoneOn, HoursSpent: m.Hours,
			Failed: m.Failed, CostNothing: m.CostNothing, Proof: m.Proof, Proofs: proofs,
		}
		if over := []rebuild.JobState{rebuild.JobDone, rebuild.JobProven}; o.DoneOn == "" && slices.Contains(over, o.State) {
			o.DoneOn = p.clock.date(m.Day)
		}
		return r.SetOutcome(job.ID, job.Rev, o)
	})
	return err
}
