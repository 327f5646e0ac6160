package demo

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// proving is the page of what was read and looked at on the way to the road.
type proving struct {
	Confirmed []confirmedPage `yaml:"confirmed"`
	Rehearsed []rehearsedPage `yaml:"rehearsed"`
}

type confirmedPage struct {
	Deed     `yaml:",inline"`
	Cautions []string `yaml:"cautions"` // keys of hazards
	Musts    []string `yaml:"musts"`    // keys of what the law asks for
	Story    bool     `yaml:"story"`    // what the car's story asks for, all of it
}

type rehearsedPage struct {
	Deed   `yaml:",inline"`
	Item   string   `yaml:"item"`
	Items  []string `yaml:"items"` // more of them, all alike
	Result string   `yaml:"result"`
	Value  *float64 `yaml:"value"`
	Note   string   `yaml:"note"`
}

func (p *player) provingEvents() []event {
	var all []event
	for _, c := range p.story.Proving.Confirmed {
		all = append(all, event{c.Deed, orderMove, "cautions read", func(ctx context.Context, who by) error { return p.confirm(ctx, who, c) }})
	}
	for _, h := range p.story.Proving.each() {
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
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		asked := workshop.MustDos(r, p.clock.date(p.clock.day))
		for _, key := range page.Musts {
			i := slices.IndexFunc(asked, func(m workshop.MustDo) bool { return m.Key == key })
			if i < 0 {
				return rebuild.Change{}, fmt.Errorf("nothing like %q is asked for", key)
			}
			words = append(words, rebuild.Confirmation{Of: rebuild.ConfirmMustDo, Key: key, Text: asked[i].Text, At: p.moment(), By: who})
		}
		for _, m := range asked {
			if page.Story && strings.HasPrefix(m.Key, "law-") {
				words = append(words, rebuild.Confirmation{Of: rebuild.ConfirmMustDo, Key: m.Key, Text: m.Text, At: p.moment(), By: who})
			}
		}
		return r.Confirm(words...)
	})
	return err
}

// each is every item by itself.
func (v proving) each() []rehearsedPage {
	var all []rehearsedPage
	for _, h := range v.Rehearsed {
		if h.Item != "" {
			all = append(all, h)
		}
		for _, item := range h.Items {
			one := h
			one.Item = item
			all = append(all, one)
		}
	}
	return all
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
	for _, h := range s.Proving.each() {
		if _, ok := knowledge.InspectionItemFor(h.Item); !ok {
			say("there is no inspection item %q", h.Item)
		}
	}
}
