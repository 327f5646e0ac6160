package rebuild

import (
	"fmt"
	"math"
	"slices"
	"time"

	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// How much one appraisal may list: far above any car.
const (
	maxEvents     = 500
	maxFeeBands   = 20
	maxOtherCosts = 50
)

// firstCarYear is that of the first car; a classic's history goes back far.
const firstCarYear = 1886

// Validate checks the appraisal by itself. Days in the future it cannot know;
// see [Appraisal.ValidateOn].
func (a Appraisal) Validate(currency string) error { return a.ValidateOn(currency, "") }

// ValidateOn checks the appraisal and that nothing in it lies after today, an
// ISO date; empty: that is not checked.
func (a Appraisal) ValidateOn(currency, today string) error {
	var c checks
	a.checkHistory(&c, today)
	a.checkSale(&c, currency)
	a.checkBuying(&c, currency)
	if a.Bought != nil {
		c.fold("bought.", a.Bought.problems(currency, today))
	}
	return c.err()
}

func (a Appraisal) checkHistory(c *checks, today string) {
	c.dateSince(firstCarYear, a.FirstUsed, "first_used", "the day of its first use", false)
	c.notAfter(today, a.FirstUsed, "first_used", "the day of its first use")
	c.that(len(a.Events) <= maxEvents, "events", "there are %d events in its history; at most %d fit", len(a.Events), maxEvents)
	for i, e := range a.Events {
		at, name := fmt.Sprintf("events.%d.", i+1), fmt.Sprintf("event %d", i+1)
		c.fold(at, e.problems(name, today))
		c.that(!isDay(e.On) || !isDay(a.FirstUsed) || e.On >= a.FirstUsed, at+"on",
			"%s (%s) of %s is before its first use on %s; one of the two days is wrong", name, e.Kind, e.On, a.FirstUsed)
	}
}

func (e HistoryEvent) problems(name, today string) []Problem {
	var c checks
	c.dateSince(firstCarYear, e.On, "on", "the day of "+name, true)
	c.notAfter(today, e.On, "on", "the day of "+name)
	c.oneOf(string(e.Kind), "kind", "the kind of "+name, names(HistoryKinds)...)
	if e.Odometer != nil {
		c.that(*e.Odometer >= 0 && *e.Odometer < 10_000_000, "odometer", "the odometer reading %d of %s is not between 0 and 9,999,999", *e.Odometer, name)
	}
	c.that(e.Odometer != nil || e.Kind != EventOdometer, "odometer", "the reading of %s is missing", name)
	c.oneOfIfSaid(e.Unit, "unit", "the odometer's unit of "+name, "km", "mi")
	c.text(e.Jurisdiction, "jurisdiction", "the place of "+name, 0, 40)
	c.text(e.Note, "note", "the note of "+name, 0, 500)
	e.checkParticulars(&c, name)
	return c.problems
}

// checkParticulars holds that what only some kinds of events say stands with
// those.
func (e HistoryEvent) checkParticulars(c *checks, name string) {
	c.text(e.Category, "category", "the salvage category of "+name, 0, 40)
	gives := []HistoryKind{EventWriteOff, EventScrapped, EventDestroyed, EventRegistration, EventImport}
	c.that(e.Category == "" || slices.Contains(gives, e.Kind), "category",
		"%s (%s) has a salvage category; only a write-off, a scrapping, a registration or an import gives one", name, e.Kind)
	c.oneOfIfSaid(e.Result, "result", "the result of "+name, "pass", "fail")
	c.that(e.Result == "" || e.Kind == EventInspection, "result", "%s (%s) has a result; only an inspection gives one", name, e.Kind)
	c.text(e.From, "from", "where it came from in "+name, 0, 40)
	c.that(e.From == "" || e.Kind == EventImport, "from", "%s (%s) says where the car came from; only an import does", name, e.Kind)
}

func (a Appraisal) checkSale(c *checks, currency string) {
	c.rangeOf(a.Value, "value", "the value when done", maxCost)
	d, typed := a.MarkerDiscount, func(share float64) float64 { return math.Round(1e8*share) / 1e6 }
	percent := uncertain.Range{Low: typed(d.Low), Likely: typed(d.Likely), High: typed(d.High)}
	if err := percent.Validate(uncertain.Bounds{Min: 0, Max: 100}); err != nil {
		c.that(false, "marker_discount", "the share of the value that the salvage marker takes, in %%: %v", err)
	}
	c.percent(a.SellingPercent, "selling_percent", "the cost of selling")
	c.sumFromZero(a.SellingFixed, currency, "selling_fixed", "the fixed cost of selling")
	c.sumFromZero(a.WantedProfit, currency, "wanted_profit", "the profit wanted")
	c.that(a.Confidence >= 0.5 && a.Confidence <= 0.99, "confidence", "how sure the profit must be is between 50 %% and 99 %%, not %.4g %%", a.Confidence*100)
}

func (a Appraisal) checkBuying(c *checks, currency string) {
	c.that(len(a.Fees) <= maxFeeBands, "fees", "there are %d fee bands; at most %d fit", len(a.Fees), maxFeeBands)
	for i, b := range a.Fees {
		at, name := fmt.Sprintf("fees.%d.", i+1), fmt.Sprintf("fee band %d", i+1)
		c.fold(at, b.problems(currency, name))
		if i == 0 {
			c.that(b.From.Minor == 0, at+"from", "fee band 1 begins at %s, which leaves lower prices without a fee; the first band begins at 0", b.From)
			continue
		}
		before := a.Fees[i-1].From
		c.that(b.From.Minor != before.Minor, at+"from", "%s and fee band %d overlap: both begin at %s", name, i, b.From)
		c.that(b.From.Minor >= before.Minor, at+"from", "%s begins at %s, below the band before it (%s); put the bands in order", name, b.From, before)
	}
	c.chance(a.FeeTax, "fee_tax", "the tax on the fees")
	c.chance(a.PriceTax, "price_tax", "the tax on the price")
	c.that(len(a.Other) <= maxOtherCosts, "other", "there are %d other costs; at most %d fit", len(a.Other), maxOtherCosts)
	for i, o := range a.Other {
		at := fmt.Sprintf("other.%d.", i+1)
		c.text(o.Name, at+"name", fmt.Sprintf("the name of other cost %d", i+1), 1, 120)
		c.sumFromZero(o.Cost, currency, at+"cost", fmt.Sprintf("other cost %d", i+1))
	}
	c.sumFromZero(a.Step, currency, "step", "the step of bids")
	c.sumFromZero(a.Asking, currency, "asking", "the price asked")
}

func (b FeeBand) problems(currency, name string) []Problem {
	var c checks
	c.sumFromZero(b.From, currency, "from", "the price at which "+name+" begins")
	c.sumFromZero(b.Fixed, currency, "fixed", "the fixed fee of "+name)
	c.percent(b.Percent, "percent", "the fee of "+name)
	c.sumFromZero(b.Minimum, currency, "minimum", "the least fee of "+name)
	return c.problems
}

func (b Bought) problems(currency, today string) []Problem {
	var c checks
	c.date(b.On, "on", "the day of the purchase", true)
	c.notAfter(today, b.On, "on", "the day of the purchase")
	c.that(b.Price.Currency != "", "price", "the price paid is missing")
	c.sumFromZero(b.Price, currency, "price", "the price paid")
	c.sumFromZero(b.Fees, currency, "fees", "the fees paid")
	c.sumFromZero(b.MaxBid, currency, "max_bid", "the largest bid")
	c.sumFromZero(b.SafeBid, currency, "safe_bid", "the safe bid")
	c.that(b.SafeBid.Minor <= b.MaxBid.Minor, "safe_bid", "the safe bid %s is above the largest bid %s", b.SafeBid, b.MaxBid)
	c.chance(b.Chance, "chance", "the chance of the profit")
	c.that(math.Abs(b.ExpectedProfit) <= maxWorth, "expected_profit", "the profit expected then (%.4g) is out of bounds", b.ExpectedProfit)
	low, high := b.Cost.P10, b.Cost.P90
	c.that(b.Cost.Mean >= 0 && b.Cost.Mean <= maxWorth && low >= 0 && high <= maxWorth && low <= b.Cost.P50 && b.Cost.P50 <= b.Cost.P80 && b.Cost.P80 <= high,
		"cost", "the cost expected then is not in order: 0 <= 10 %% <= 50 %% <= 80 %% <= 90 %% point")
	c.that(b.JobCount >= 0 && b.JobCount <= 100_000, "job_count", "the number of jobs %d makes no sense", b.JobCount)
	return c.problems
}

// maxWorth bounds a forecast: that of many jobs may be far above one of them.
const maxWorth = 1e13

func (c *checks) oneOfIfSaid(s, field, name string, known ...string) {
	if s != "" {
		c.oneOf(s, field, name, known...)
	}
}

func (c *checks) percent(p float64, field, name string) {
	c.that(p >= 0 && p <= 100, field, "%s must be between 0 %% and 100 %%, not %.4g %%", name, p)
}

func (c *checks) sumFromZero(a amount.Amount, currency, field, name string) {
	c.money(a, currency, field, name)
	c.that(a.Minor >= 0, field, "%s cannot be below zero", name)
}

// notAfter refuses days in the future; an empty today knows none.
func (c *checks) notAfter(today, day, field, name string) {
	c.that(today == "" || !isDay(day) || day <= today, field, "%s %s is in the future: today is %s", name, day, today)
}

func isDay(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}
