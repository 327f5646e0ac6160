package store

import (
	"slices"
	"strings"

	"wreckwright/rebuild"
)

var appraisals = table[rebuild.Appraisal]{
	"appraisal", strings.Fields(`number rev first_used value_low value_likely value_high marker_discount_low marker_discount_likely marker_discount_high
		selling_percent selling_fixed_minor fee_tax price_tax wanted_profit_minor confidence step_minor keep asking_minor
		bought_on bought_price_minor bought_fees_minor max_bid_minor safe_bid_minor chance expected_profit
		cost_mean cost_p10 cost_p50 cost_p80 cost_p90 job_count`),
	func(a *rebuild.Appraisal, currency *string) []any {
		bought := func(of func(*rebuild.Bought) any) any { return part[rebuild.Bought]{&a.Bought, of} }
		return []any{
			only{1},
			&a.Rev, &a.FirstUsed, &a.Value.Low, &a.Value.Likely, &a.Value.High, &a.MarkerDiscount.Low, &a.MarkerDiscount.Likely, &a.MarkerDiscount.High,
			&a.SellingPercent,
			sum{&a.SellingFixed, currency},
			&a.FeeTax, &a.PriceTax,
			sum{&a.WantedProfit, currency},
			&a.Confidence,
			sum{&a.Step, currency},
			&a.Keep,
			sum{&a.Asking, currency},
			// The day, which is never null, tells first that there is a purchase.
			bought(func(b *rebuild.Bought) any { return &b.On }),
			bought(func(b *rebuild.Bought) any { return sum{&b.Price, currency} }),
			bought(func(b *rebuild.Bought) any { return sum{&b.Fees, currency} }),
			bought(func(b *rebuild.Bought) any { return sum{&b.MaxBid, currency} }),
			bought(func(b *rebuild.Bought) any { return sum{&b.SafeBid, currency} }),
			bought(func(b *rebuild.Bought) any { return &b.Chance }),
			bought(func(b *rebuild.Bought) any { return &b.ExpectedProfit }),
			bought(func(b *rebuild.Bought) any { return &b.Cost.Mean }),
			bought(func(b *rebuild.Bought) any { return &b.Cost.P10 }),
			bought(func(b *rebuild.Bought) any { return &b.Cost.P50 }),
			bought(func(b *rebuild.Bought) any { return &b.Cost.P80 }),
			bought(func(b *rebuild.Bought) any { return &b.Cost.P90 }),
			bought(func(b *rebuild.Bought) any { return &b.JobCount }),
		}
	},
}

// placed is a part of the appraisal with its place in a list, from 1.
type placed[T any] struct {
	place int64
	item  T
}

var appraisalEvents = table[placed[rebuild.HistoryEvent]]{
	"appraisal_event", strings.Fields("number place on_day kind odometer unit category result country came_from note"),
	func(row *placed[rebuild.HistoryEvent], _ *string) []any {
		e := &row.item
		return []any{only{1}, &row.place, &e.On, &e.Kind, &e.Odometer, &e.Unit, &e.Category, &e.Result, &e.Jurisdiction, &e.From, &e.Note}
	},
}

var appraisalFeeBands = table[placed[rebuild.FeeBand]]{
	"appraisal_fee_band", strings.Fields("number place from_minor fixed_minor percent minimum_minor"),
	func(row *placed[rebuild.FeeBand], currency *string) []any {
		b := &row.item
		return []any{only{1}, &row.place, sum{&b.From, currency}, sum{&b.Fixed, currency}, &b.Percent, sum{&b.Minimum, currency}}
	},
}

var appraisalOthers = table[placed[rebuild.OtherCost]]{
	"appraisal_other", strings.Fields("number place name cost_minor"),
	func(row *placed[rebuild.OtherCost], currency *string) []any {
		return []any{only{1}, &row.place, &row.item.Name, sum{&row.item.Cost, currency}}
	},
}

func (w *rows) keepAppraisal(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Appraisal)
	after, _ := e.After.(rebuild.Appraisal)
	return firstError(
		func() error { return keepRow(w, appraisals, e) },
		func() error { return keepPlaced(w, appraisalEvents, before.Events, after.Events) },
		func() error { return keepPlaced(w, appraisalFeeBands, before.Fees, after.Fees) },
		func() error { return keepPlaced(w, appraisalOthers, before.Other, after.Other) },
	)
}

// keepPlaced writes a list of the appraisal anew where it differs.
func keepPlaced[T comparable](w *rows, t table[placed[T]], before, after []T) error {
	if slices.Equal(before, after) {
		return nil
	}
	if _, err := w.exec("delete from "+t.name+" where rebuild_id = ?", w.id); err != nil {
		return err
	}
	for i, item := range after {
		if err := insert(w, t, placed[T]{int64(i + 1), item}); err != nil {
			return err
		}
	}
	return nil
}
