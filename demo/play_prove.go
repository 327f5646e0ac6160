package demo

import (
	"context"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// proving is the page of what was read and looked at on the way to the road.
type proving struct {
	Confirmed []confirmedPage `yaml:"confirmed"`
	Rehearsed []rehearsedPage `yaml:"rehearsed"`
}

type confirmedPage struct {
	Deed     `yaml:",inline"`
	Cautions []string `yaml:"cautions"` // keys of hazards
}

type rehearsedPage struct {
	Deed   `yaml:",inline"`
	Item   string   `yaml:"item"`
	Result string   `yaml:"result"`
	Value  *float64 `yaml:"value"`
	Note   string   `yaml:"note"`
}

func (p *player) provingEvents() []event {
	var all []event
	for _, c := range p.story.Proving.Confirmed {
		all = append(all, event{c.Deed, orderMove, "cautions read", func(ctx context.Context, who by) error { return p.confirm(ctx, who, c) }})
	}
	for _, h := range p.story.Proving.Rehearsed {
		all = append(all, event{h.Deed, orderMove, "inspection item " + h.Item, func(ctx context.Context, who by) error { return p.rehearse(ctx, who, h) }})
	}
	return all
}

func (p *player) confirm(ctx context.Context, who by, page confirmedPage) error {
	var words []rebuild.Confirmation
	for _, hazard := range page.Cautions {
		caution, _ := knowledge.CautionFor(hazard)
		words = append(words, rebuild.Confirmation{Of: rebuild.ConfirmCaution, Key: hazard, Text: caution.Name, At: p.moment(), By: who})
	}
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.Confirm(words...) })
	return err
}

func (p *player) rehearse(ctx context.Context, who by, page rehearsedPage) error {
	item, _ := knowledge.InspectionItemFor(page.Item)
	seen := rebuild.Rehearsed{Key: page.Item, Result: rebuild.ItemResult(page.Result), Value: page.Value, Note: page.Note, At: p.moment(), By: who}
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		if old := r.RehearsedItem(page.Item); old != nil {
			seen.Rev = old.Rev
		}
		return r.Rehearse(seen, item.Name)
	})
	return err
}

// checkProving finds hazards and items that there are none of.
func (s story) checkProving(say complain) {
	for _, c := range s.Proving.Confirmed {
		for _, hazard := range c.Cautions {
			if _, ok := knowledge.CautionFor(hazard); !ok {
				say("there is no caution for %q", hazard)
			}
		}
	}
	for _, h := range s.Proving.Rehearsed {
		if _, ok := knowledge.InspectionItemFor(h.Item); !ok {
			say("there is no inspection item %q", h.Item)
		}
	}
}
