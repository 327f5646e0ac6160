package demo

import (
	"context"

	"wreckwright/rebuild"
)

func (p *player) findingEvents() []event {
	var all []event
	for _, f := range p.story.Findings {
		all = append(all, event{f.Deed, orderFinding, "finding " + f.Key, func(ctx context.Context, who by) error { return p.addFinding(ctx, who, f) }})
		for _, c := range f.Changes {
			all = append(all, event{c.Deed, orderFinding, "finding " + f.Key, func(ctx context.Context, who by) error {
				return p.editFinding(ctx, who, f.Key, c)
			}})
		}
	}
	return all
}

func (p *player) addFinding(ctx context.Context, who by, f findingPage) error {
	photos, err := p.draw(ctx, f.Photos)
	if err != nil {
		return err
	}
	p.findings[f.Key], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{
			Zone: f.Zone, What: f.What, HowFound: rebuild.HowFound(f.How), Severity: rebuild.Severity(f.Severity),
			Safety: f.Safety, On: p.clock.date(f.Day), Photos: photos,
		})
	})
	return err
}

func (p *player) editFinding(ctx context.Context, who by, key string, c findingChange) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		finding := *r.Finding(p.findings[key])
		if c.Severity != "" {
			finding.Severity = rebuild.Severity(c.Severity)
		}
		if c.Dismissed != "" {
			finding.Dismissed = c.Dismissed
		}
		return r.EditFinding(finding)
	})
	return err
}
