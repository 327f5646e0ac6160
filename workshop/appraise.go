package workshop

import (
	"context"
	"errors"
	"strings"
	"time"

	"wreckwright/appraise/bid"
	"wreckwright/appraise/history"
	"wreckwright/appraise/identity"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Appraised is what is known of a car before it is bought. Each part that cannot
// be answered yet is nil and has its reason.
type Appraised struct {
	Identity *identity.Result
	Story    *history.Result
	Bid      *bid.Result
	Asking   *bid.Point // at the price asked or the bid in mind; nil: none said

	FirstUseTaken string // the day the story took for the first use, where none is entered

	WhyNoIdentity, WhyNoStory, WhyNoBid string

	Outlook Outlook // of the work that is expected
}

// Barred reports that the car may never return to the road as far as is known: a
// sum worked out from what it would fetch there is then worth nothing.
func (a *Appraised) Barred() bool { return a.Story != nil && a.Story.MayReturn == history.No }

// Appraise answers the three questions before buying: is the number possible, may
// the car return to the road and does its story hold, and what is the most to pay.
func (w *Workshop) Appraise(ctx context.Context, r *rebuild.Rebuild) (Appraised, error) {
	today := w.today()
	return w.appraised.get(ctx, w.life, r, today, func(life context.Context) (Appraised, error) {
		outlook, err := w.Forecast(life, r)
		if err != nil {
			return Appraised{}, err
		}
		a := Appraised{Outlook: outlook}
		a.identify(r, today)
		a.read(r, today)
		if err := a.weigh(life, r); err != nil {
			return Appraised{}, err
		}
		return a, nil
	})
}

// identify reads the VIN.
func (a *Appraised) identify(r *rebuild.Rebuild, today string) {
	if r.Car.VIN == "" {
		a.WhyNoIdentity = "no VIN is entered"
		return
	}
	with := identity.Options{NorthAmerica: northAmerican(r.Car.Jurisdiction)}
	if day, err := time.Parse(time.DateOnly, today); err == nil {
		with.ThisYear = day.Year()
	}
	result, err := identity.Read(r.Car.VIN, VINTables(), with)
	if err != nil {
		a.WhyNoIdentity = err.Error()
		return
	}
	a.Identity = &result
}

func northAmerican(jurisdiction string) bool {
	return jurisdiction == "US" || jurisdiction == "CA-ON" || jurisdiction == "CA-BC"
}

// read judges the history.
func (a *Appraised) read(r *rebuild.Rebuild, today string) {
	c, err := historyCase(r, today)
	if err != nil {
		a.WhyNoStory = err.Error()
		return
	}
	if len(c.Events) == 0 { // without a word of its past "yes" would be a guess
		a.WhyNoStory = "nothing of its story is entered"
		return
	}
	result, err := history.Read(c, HistoryRules())
	if err != nil {
		a.WhyNoStory = err.Error()
		return
	}
	a.Story = &result
	if r.Appraisal.FirstUsed == "" {
		a.FirstUseTaken = c.Vehicle.FirstUsed.Format(time.DateOnly)
	}
}

// firstUse is the day of first use as entered. Where it is not, a mark must not
// stay unjudged for it: the earliest day stands in that the car's year or an event
// of its history gives.
func firstUse(r *rebuild.Rebuild, now time.Time) (time.Time, error) {
	if day, err := time.Parse(time.DateOnly, r.Appraisal.FirstUsed); err == nil {
		return day, nil
	}
	if len(r.Appraisal.Events) == 0 && r.Car.Category == "" {
		return time.Time{}, errors.New("the day of first use is not entered")
	}
	first := now
	for _, e := range r.Appraisal.Events {
		if day, err := time.Parse(time.DateOnly, e.On); err == nil && day.Before(first) {
			first = day
		}
	}
	if year := time.Date(r.Car.Year, time.January, 1, 0, 0, 0, 0, time.UTC); r.Car.Year > 0 && year.Before(first) {
		first = year
	}
	return first, nil
}

// historyCase is the car's past as the engine takes it. The category that stands
// with the car counts like a write-off told of today, where no event gives the
// same: what is harder is never passed over.
func historyCase(r *rebuild.Rebuild, today string) (history.Case, error) {
	now, err := time.Parse(time.DateOnly, today)
	if err != nil {
		return history.Case{}, errors.New("what day it is today is not known")
	}
	first, err := firstUse(r, now)
	if err != nil {
		return history.Case{}, err
	}
	c := history.Case{
		Jurisdiction: r.Car.Jurisdiction, Today: now,
		Vehicle: history.Vehicle{FirstUsed: first, DistanceUnit: r.Car.DistanceUnit, ModelYear: r.Car.Year},
	}
	told := false
	for _, e := range r.Appraisal.Events {
		on, err := time.Parse(time.DateOnly, e.On)
		if err != nil {
			continue // rebuild.Validate lets no such day in
		}
		event := history.Event{Date: on, Kind: string(e.Kind), Unit: e.Unit, Result: e.Result, Category: e.Category, Jurisdiction: e.Jurisdiction, From: e.From, Note: e.Note}
		if e.Odometer != nil {
			event.Odometer = new(float64(*e.Odometer))
		}
		told = told || strings.EqualFold(e.Category, r.Car.Category)
		c.Events = append(c.Events, event)
	}
	for _, t := range r.OfficialTests {
		if on, err := time.Parse(time.DateOnly, t.On); err == nil && t.Result == rebuild.TestPass {
			c.Passed = append(c.Passed, on)
		}
	}
	if r.Car.Category != "" && !told {
		c.Events = append(c.Events, history.Event{
			Date: now, Undated: true, Kind: history.WriteOff, Category: r.Car.Category, Note: "the category entered with the car; the day of the write-off is not known",
		})
	}
	return c, nil
}

// weigh works out the most to pay.
func (a *Appraised) weigh(ctx context.Context, r *rebuild.Rebuild) error {
	if r.Appraisal.Value.High <= 0 {
		a.WhyNoBid = "what the car would be worth when done is not entered"
		return nil
	}
	result, err := bid.Run(ctx, bidCase(r, &a.Outlook))
	var wrong *bid.InputError
	if errors.As(err, &wrong) {
		a.WhyNoBid = err.Error()
		return nil
	}
	if err != nil {
		return err
	}
	a.Bid = &result
	if asking := r.Appraisal.Asking; asking.Minor > 0 {
		a.Asking = new(result.At(asking.Float()))
	}
	return nil
}

// bidCase is the appraisal as the engine takes it. What was spent already (a look
// at the car, a report) is sunk: it changes no bid.
func bidCase(r *rebuild.Rebuild, o *Outlook) bid.Case {
	p := &r.Appraisal
	c := bid.Case{
		Currency: r.Car.Currency, Digits: amount.Digits(r.Car.Currency),
		Value: p.Value, Discount: p.MarkerDiscount, Keep: p.Keep,
		Selling: bid.Selling{Percent: p.SellingPercent, Fixed: p.SellingFixed.Float()},
		FeeTax:  p.FeeTax, PriceTax: p.PriceTax,
		Wanted: p.WantedProfit.Float(), Confidence: p.Confidence, Step: p.BidStep(r.Car.Currency).Float(),
		Trials: o.Trials, Seed: o.Seed, Costs: stillToCome(o),
	}
	for _, d := range o.Result.Drivers {
		c.Drivers = append(c.Drivers, bid.Driver{Name: d.Name, VarianceShare: d.VarianceShare})
	}
	for _, f := range p.Fees {
		c.Fees = append(c.Fees, bid.Band{From: f.From.Float(), Fixed: f.Fixed.Float(), Percent: f.Percent, Minimum: f.Minimum.Float()})
	}
	for _, other := range p.Other {
		c.Other = append(c.Other, bid.Other{Name: other.Name, Cost: uncertain.Certain(other.Cost.Float())})
	}
	return c
}

// stillToCome is what the work costs in each trial, what is spent left out.
func stillToCome(o *Outlook) []float64 {
	costs := make([]float64, len(o.Sample()))
	for i, total := range o.Sample() {
		costs[i] = total - o.Spent
	}
	return costs
}

// PurchaseAt is a purchase at that hammer price with its fees, and what was
// expected of it, to be kept beside what happens.
func (a *Appraised) PurchaseAt(r *rebuild.Rebuild, on string, price amount.Amount, seller string) rebuild.Purchase {
	code := r.Car.Currency
	p := rebuild.Purchase{On: on, Price: price, Seller: seller}
	remaining := a.Outlook.Remaining
	p.Bought.Cost = rebuild.ExpectedCost{Mean: remaining.Mean, P10: remaining.P10, P50: remaining.P50, P80: remaining.P80, P90: remaining.P90}
	p.Bought.JobCount = len(a.Outlook.Result.Jobs)
	paid := bidCase(r, &a.Outlook).AllIn(price.Float())
	p.Price = amount.FromFloat(paid.Bid+paid.PriceTax, code)
	p.Fees = amount.FromFloat(paid.Fee+paid.FeeTax, code)
	if a.Bid == nil {
		return p
	}
	at := a.Bid.At(price.Float())
	p.Bought.Chance, p.Bought.ExpectedProfit = at.Chance, at.ExpectedProfit
	if a.Bid.MaxBid != nil {
		p.Bought.MaxBid = amount.FromFloat(*a.Bid.MaxBid, code)
	}
	if a.Bid.SafeBid != nil {
		p.Bought.SafeBid = amount.FromFloat(*a.Bid.SafeBid, code)
	}
	return p
}
