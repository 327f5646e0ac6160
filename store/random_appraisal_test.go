package store_test

import (
	"math"

	"pgregory.net/rapid"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// anyAppraisal draws one that keeps the rules mostly.
func anyAppraisal(t *rapid.T, currency string) rebuild.Appraisal {
	discount := anyNumber(t, 0.5)
	return rebuild.Appraisal{
		FirstUsed: rapid.SampledFrom([]string{"", "1999-12-31"}).Draw(t, "first used"),
		Events:    anyList(t, 4, anyEvent), Value: anyRange(t),
		MarkerDiscount: uncertain.Range{Low: discount, Likely: discount, High: discount + anyNumber(t, 0.5)},
		SellingPercent: anyNumber(t, 100), SellingFixed: anySum(t, currency, 0), Fees: anyBands(t, currency), FeeTax: anyNumber(t, 1), PriceTax: anyNumber(t, 1),
		Other: anyList(t, 3, func(t *rapid.T) rebuild.OtherCost {
			return rebuild.OtherCost{Name: anyText(t, 1, 10), Cost: anySum(t, currency, 0)}
		}),
		WantedProfit: anySum(t, currency, 0), Confidence: rapid.Float64Range(0.5, 0.99).Draw(t, "confidence"), Step: anySum(t, currency, 0),
		Keep: rapid.Bool().Draw(t, "keep"), Asking: anySum(t, currency, 0),
	}
}

// anyList draws up to most; an empty list now as nil, now as such.
func anyList[T any](t *rapid.T, most int, one func(*rapid.T) T) []T {
	list := rapid.SliceOfN(rapid.Custom(one), 0, most).Draw(t, "list")
	if len(list) == 0 && rapid.Bool().Draw(t, "nil") {
		return nil
	}
	return list
}

func anyEvent(t *rapid.T) rebuild.HistoryEvent {
	e := rebuild.HistoryEvent{
		On: rapid.SampledFrom([]string{"1999-12-31", "2012-05-01", "2024-02-29"}).Draw(t, "day"), Kind: rapid.SampledFrom(rebuild.HistoryKinds).Draw(t, "kind"),
		Unit: rapid.SampledFrom([]string{"", "km", "mi"}).Draw(t, "unit"), Jurisdiction: anyText(t, 0, 5), Note: anyText(t, 0, 20),
	}
	if e.Kind == rebuild.EventOdometer || rapid.Bool().Draw(t, "read") {
		reading := rapid.Int64Range(0, 9_999_999).Draw(t, "reading")
		e.Odometer = &reading
	}
	switch e.Kind {
	case rebuild.EventWriteOff:
		e.Category = anyText(t, 0, 5)
	case rebuild.EventInspection:
		e.Result = rapid.SampledFrom([]string{"", "pass", "fail"}).Draw(t, "result")
	case rebuild.EventImport:
		e.From = anyText(t, 0, 5)
	}
	return e
}

func anyBands(t *rapid.T, currency string) []rebuild.FeeBand {
	bands := anyList(t, 4, func(t *rapid.T) rebuild.FeeBand {
		return rebuild.FeeBand{Fixed: anySum(t, currency, 0), Percent: anyNumber(t, 100), Minimum: anySum(t, currency, 0)}
	})
	for i := range bands {
		if i > 0 || rapid.Bool().Draw(t, "a zero said") {
			bands[i].From = amount.New(int64(i)*rapid.Int64Range(1, 1_000_000).Draw(t, "width"), currency)
		}
	}
	return bands
}

func anyPurchase(t *rapid.T, currency string) rebuild.Purchase {
	p10, more := anyNumber(t, 1000), anyNumber(t, 1000)
	b := rebuild.Bought{
		MaxBid: anySum(t, currency, 0), Chance: anyNumber(t, 1), ExpectedProfit: math.Copysign(anyNumber(t, 1000), rapid.Float64Range(-1, 1).Draw(t, "sign")),
		Cost: rebuild.ExpectedCost{Mean: anyNumber(t, 1000), P10: p10, P50: p10 + more, P80: p10 + more, P90: p10 + 2*more}, JobCount: rapid.IntRange(0, 40).Draw(t, "jobs"),
	}
	if rapid.Bool().Draw(t, "safe") {
		b.SafeBid = b.MaxBid
	}
	return rebuild.Purchase{
		On: rapid.SampledFrom([]string{"2026-02-28", "1999-12-31"}).Draw(t, "day"), Price: amount.New(rapid.Int64Range(0, 1_000_000).Draw(t, "price"), currency),
		Fees: anySum(t, currency, 0), Seller: anyText(t, 0, 10), Bought: b,
	}
}
