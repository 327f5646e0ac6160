package demo

import (
	"cmp"
	"context"
	"errors"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// weighingEvents are what happens before the car is bought, and the purchase.
func (p *player) weighingEvents() []event {
	car, page := p.story.Car, p.story.Weighed
	if car.Begun == 0 {
		return p.pastEvents()
	}
	all := []event{{Deed{Day: car.Begun}, orderWeigh, "the appraisal", p.weigh}}
	for _, l := range page.Walk {
		all = append(all, event{l.Deed, orderWeigh, "the look at " + l.Zone, func(ctx context.Context, who by) error { return p.lookAt(ctx, who, l) }})
	}
	if page.Purchase.Price != "" {
		all = append(all, event{Deed{Day: car.Bought}, orderWeigh, "the purchase", p.buy})
	}
	return all
}

// pastEvents enter the past of a car that nobody weighed before it was bought.
func (p *player) pastEvents() []event {
	if p.story.Weighed.FirstUsed == 0 {
		return nil
	}
	return []event{{Deed{Day: p.story.Car.Bought}, orderWeigh, "the car's past", p.weigh}}
}

func (p *player) weigh(ctx context.Context, who by) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		a := r.Appraisal
		if err := p.story.Weighed.fill(&a, r.Car.Currency, p.clock.date); err != nil {
			return rebuild.Change{}, err
		}
		return r.EditAppraisal(a, p.clock.date(p.clock.day))
	})
	return err
}

// lookAt notes what was seen in a zone, as the walk-round does.
func (p *player) lookAt(ctx context.Context, who by, l lookPage) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		note, err := workshop.Look{
			Zone: l.Zone, Seen: l.Seen, Words: l.Words, Severity: rebuild.Severity(l.Severity),
			Depth: cmp.Or(l.Depth, "outside"), On: p.clock.date(p.clock.day),
		}.Note(r)
		if err != nil {
			return rebuild.Change{}, err
		}
		return r.NoteDamage(note)
	})
	return err
}

// buy makes the candidate a rebuild, with what the workshop expected of it on
// that day.
func (p *player) buy(ctx context.Context, who by) error {
	r, err := p.book.Load(ctx, p.id)
	if err != nil {
		return err
	}
	price, err := amount.Parse(p.story.Weighed.Purchase.Price, r.Car.Currency, '.')
	if err != nil {
		return err
	}
	day := p.clock.date(p.clock.day)
	bench := workshop.New(p.book, silent, func() string { return day })
	appraised, err := bench.Appraise(ctx, r)
	if err := errors.Join(err, bench.Close()); err != nil {
		return err
	}
	_, err = p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.Buy(appraised.PurchaseAt(r, day, price, p.story.Weighed.Purchase.From), day)
	})
	return err
}
