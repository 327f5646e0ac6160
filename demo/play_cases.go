package demo

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

func (p *player) caseEvents() []event {
	var all []event
	for _, k := range p.story.Cases {
		what := "case " + k.Key
		all = append(all, event{k.Deed, orderCase, what, func(ctx context.Context, who by) error { return p.openCase(ctx, who, k) }})
		for _, s := range k.Steps {
			all = append(all, event{s.Deed, orderTried, what, func(ctx context.Context, who by) error { return p.try(ctx, who, k.Key, s) }})
		}
		for _, n := range k.NotNow {
			all = append(all, event{n.Deed, orderTried, what, func(ctx context.Context, who by) error { return p.notNow(ctx, who, k.Key, n.What) }})
		}
	}
	return all
}

// openCase copies a fault model into the book, as a person does who looks for the
// cause of a symptom.
func (p *player) openCase(ctx context.Context, who by, k casePage) error {
	model, known := knowledge.FaultModelFor(k.Model)
	if !known {
		return fmt.Errorf("there is no fault model %q", k.Model)
	}
	opened := rebuild.Case{
		On: p.clock.date(k.Day), Title: k.Title, ModelFrom: model.Key, Model: string(model.YAML),
		Together: k.Together, State: rebuild.CaseOpen, Note: k.Note,
	}
	for _, key := range k.Findings {
		opened.Findings = append(opened.Findings, p.findings[key])
	}
	for _, key := range k.Jobs {
		opened.Jobs = append(opened.Jobs, p.jobs[key])
	}
	var err error
	p.cases[k.Key], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddCase(opened) })
	return err
}

// try enters what was tried and how it came out, in the words of the case's page.
func (p *player) try(ctx context.Context, who by, key string, s triedPage) error {
	step := s.step()
	step.At = p.clock.at.Round(time.Second).Format(time.RFC3339)
	return p.editCase(ctx, who, key, func(bench *workshop.Workshop, r *rebuild.Rebuild, k *rebuild.Case) (string, error) {
		if s.Measured != "" {
			step.EvidenceID = p.measured[s.Measured]
		}
		if step.EvidenceID != 0 && step.Kind == rebuild.StepTest {
			offer, err := bench.OfferOf(r, k, step.What, step.EvidenceID)
			if err != nil {
				return "", err
			}
			step.Value, step.ValueSD = &offer.Value, offer.SD
		}
		k.Steps = append(slices.Clone(k.Steps), step)
		if step.Cured {
			k.State, k.Cause = rebuild.CaseSolved, s.Cause
		}
		return fmt.Sprintf("noted in the case %q: %s", k.Title, bench.StepInWords(k, step)), nil
	})
}

// notNow leaves out what cannot be done as things are.
func (p *player) notNow(ctx context.Context, who by, key, what string) error {
	return p.editCase(ctx, who, key, func(bench *workshop.Workshop, _ *rebuild.Rebuild, k *rebuild.Case) (string, error) {
		k.NotNow = append(slices.Clone(k.NotNow), what)
		return fmt.Sprintf("left out for now in the case %q: %s", k.Title, bench.ActionName(k, what)), nil
	})
}

// editCase makes one change to a case; alter gives the journal's words.
func (p *player) editCase(ctx context.Context, who by, key string, alter func(*workshop.Workshop, *rebuild.Rebuild, *rebuild.Case) (string, error)) error {
	bench := workshop.New(p.book, silent, func() string { return p.clock.date(p.clock.day) })
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		k := *r.Case(p.cases[key])
		what, err := alter(bench, r, &k)
		if err != nil {
			return rebuild.Change{}, err
		}
		c, err := r.EditCase(k)
		c.What = what
		return c, err
	})
	return errors.Join(err, bench.Close())
}

func (s triedPage) step() rebuild.CaseStep {
	step := rebuild.CaseStep{Kind: rebuild.StepTest, What: s.Test, Outcome: s.Outcome, Value: s.Value, Cured: s.Cured, Note: s.Note}
	if s.Repair != "" {
		step.Kind, step.What = rebuild.StepRepair, s.Repair
	}
	return step
}
