package main

import (
	"fmt"

	"wreckwright/appraise/bid"
	"wreckwright/casefile"
	"wreckwright/money/amount"
	"wreckwright/money/forecast"
	"wreckwright/uncertain"
)

// readBidCase reads the case file of a bid. The error is a [*casefile.Error].
func readBidCase(file *casefile.File) (bidCase, error) {
	root := file.Root()
	jobs := forecast.NewCase(readCurrency(root))
	jobs.HourValue = root.Need("hour_value").Number(hourValueBounds)
	readSettings(root, &jobs)
	jobs.Jobs = readJobs(root.Need("jobs"))
	jobs.Hidden = readHidden(root)
	if v, ok := root.May("closed"); ok {
		jobs.Closed = readClosed(v)
	}
	c := bid.Case{
		Currency: jobs.Currency, Digits: amount.Digits(jobs.Currency), Seed: jobs.Seed, Trials: jobs.Trials,
		Value:    root.Need("value_when_done").Range(uncertain.MoneyBounds),
		FeeTax:   root.Need("fee_tax").Number(bid.ShareBounds),
		PriceTax: root.Need("price_tax").Number(bid.ShareBounds),
		Wanted:   root.Need("wanted_profit").Number(uncertain.MoneyBounds),
	}
	c.Confidence = root.Need("confidence").Number(bid.ConfidenceBounds)
	c.Step = readStep(root.Need("step"), c.Digits)
	if v, ok := root.May("keep"); ok {
		c.Keep = v.Bool()
	}
	readSale(root, &c)
	if v, ok := root.May("other"); ok {
		c.Other = readOther(v)
	}
	c.Fees = readBands(root.Need("buyer_fees"))
	return bidCase{jobs, c}, file.Err()
}

// readStep reads the step of the bids, in whole coins.
func readStep(v casefile.Value, digits int) float64 {
	step := v.Number(uncertain.MoneyBounds)
	if err := bid.WholeCoins(step, digits); err != nil {
		v.Fail(err.Error(), "a step above zero, such as 50")
		return 1
	}
	return step
}

// readSale reads discount and selling cost, which a car that is kept may leave
// out.
func readSale(root *casefile.Mapping, c *bid.Case) {
	need := func(key string) (casefile.Value, bool) {
		if c.Keep {
			return root.May(key)
		}
		return root.Need(key), true
	}
	if v, ok := need("marker_discount"); ok {
		c.Discount = v.Range(bid.ShareBounds)
	}
	if v, ok := need("selling"); ok {
		m := v.Mapping()
		c.Selling = bid.Selling{Percent: m.Need("percent").Number(bid.PercentBounds), Fixed: m.Need("fixed").Number(uncertain.MoneyBounds)}
	}
}

func readOther(list casefile.Value) []bid.Other {
	var other []bid.Other
	for _, v := range list.List() {
		m := v.Mapping()
		other = append(other, bid.Other{Name: m.Need("name").Text(), Cost: m.Need("cost").Range(uncertain.MoneyBounds)})
	}
	return other
}

// readBands reads the buyer's fees. Bands stand in order, the first from 0; one
// that begins where another does overlaps it.
func readBands(list casefile.Value) []bid.Band {
	var bands []bid.Band
	for i, v := range list.List() {
		m := v.Mapping()
		from := m.Need("from")
		b := bid.Band{From: from.Number(uncertain.MoneyBounds)}
		switch {
		case i == 0 && b.From != 0:
			from.Fail(fmt.Sprintf("%g leaves lower prices without a band", b.From), "0 in the first band")
		case i > 0 && b.From == bands[i-1].From:
			from.Fail(fmt.Sprintf("%g overlaps the band before it, which begins there too", b.From), "each band from another price")
		case i > 0 && b.From < bands[i-1].From:
			from.Fail(fmt.Sprintf("%g is below the band before it (%g)", b.From, bands[i-1].From), "bands in order, the lowest first")
		}
		given := false
		for _, k := range []struct {
			key   string
			to    *float64
			bound uncertain.Bounds
		}{{"fixed", &b.Fixed, uncertain.MoneyBounds}, {"percent", &b.Percent, bid.PercentBounds}, {"minimum", &b.Minimum, uncertain.MoneyBounds}} {
			if value, ok := m.May(k.key); ok {
				*k.to, given = value.Number(k.bound), true
			}
		}
		if !given {
			m.Fail("names no fee", "fixed, percent or minimum; fixed: 0 for none")
		}
		bands = append(bands, b)
	}
	return bands
}
