package rebuild_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func gbp(minor int64) amount.Amount { return amount.New(minor, "GBP") }

func goodAppraisal() rebuild.Appraisal {
	reading := int64(61_200)
	return rebuild.Appraisal{
		FirstUsed: "2012-05-01",
		Events: []rebuild.HistoryEvent{
			{On: "2018-04-30", Kind: rebuild.EventInspection, Odometer: &reading, Unit: "mi", Result: "pass"},
			{On: "2019-02-11", Kind: rebuild.EventWriteOff, Category: "S", Note: "hit on the right side"},
			{On: "2012-05-01", Kind: rebuild.EventImport, From: "IE"},
		},
		Value: uncertain.Range{Low: 21_000, Likely: 23_500, High: 26_000}, MarkerDiscount: uncertain.Range{Low: 0.15, Likely: 0.22, High: 0.3},
		SellingPercent: 2, SellingFixed: gbp(30_000),
		Fees:   []rebuild.FeeBand{{Fixed: gbp(15_000)}, {From: gbp(250_000), Percent: 6, Minimum: gbp(20_000)}},
		FeeTax: 0.2, Other: []rebuild.OtherCost{{Name: "transport", Cost: gbp(45_000)}},
		WantedProfit: gbp(200_000), Confidence: 0.8, Step: gbp(5_000), Asking: gbp(950_000),
	}
}

func goodBought() rebuild.Bought {
	return rebuild.Bought{
		MaxBid: gbp(915_000), SafeBid: gbp(900_000), Chance: 0.84, ExpectedProfit: 3150,
		Cost: rebuild.ExpectedCost{Mean: 6100, P10: 4200, P50: 5900, P80: 7400, P90: 8300}, JobCount: 4,
	}
}

func goodPurchase() rebuild.Purchase {
	return rebuild.Purchase{On: "2026-02-10", Price: gbp(880_000), Fees: gbp(71_600), Seller: "Harbour Salvage", Bought: goodBought()}
}

const today = "2026-02-11"

// weighed is a candidate with finding 1, job 2 (route 3) and a good appraisal.
func weighed(t testing.TB) *rebuild.Rebuild {
	t.Helper()
	car := goodCar()
	car.Candidate, car.BoughtOn = true, ""
	c, err := rebuild.New(car)
	if err != nil {
		t.Fatal(err)
	}
	r := applied(t, &rebuild.Rebuild{ID: 1}, c)
	r = done(t, r, func() (rebuild.Change, error) { return r.AddFinding(goodFinding()) })
	j := goodJob()
	j.Findings = []int64{1}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddJob(j) })
	return done(t, r, func() (rebuild.Change, error) { return r.EditAppraisal(goodAppraisal(), today) })
}

func TestAppraisalRules(t *testing.T) {
	reading := func(n int64) *int64 { return &n }
	cases := []struct {
		name        string
		edit        func(*rebuild.Appraisal)
		field, says string
	}{
		{"as it should be", func(*rebuild.Appraisal) {}, "", ""},
		{"nothing is known", func(a *rebuild.Appraisal) { *a = rebuild.NewAppraisal() }, "", ""},
		{"bought", func(a *rebuild.Appraisal) { b := goodBought(); b.On, b.Price = today, gbp(1); a.Bought = &b }, "", ""},

		{"first use tomorrow", func(a *rebuild.Appraisal) { a.FirstUsed, a.Events = "2026-02-12", nil }, "first_used", "in the future: today is 2026-02-11"},
		{"first use today", func(a *rebuild.Appraisal) { a.FirstUsed, a.Events = today, nil }, "", ""},
		{"a classic", func(a *rebuild.Appraisal) { a.FirstUsed = "1931-06-01" }, "", ""},
		{"first use before cars", func(a *rebuild.Appraisal) { a.FirstUsed = "1885-12-31" }, "first_used", "between 1886 and 2200"},
		{"first use on no day", func(a *rebuild.Appraisal) { a.FirstUsed = "05/2012" }, "first_used", "write it like"},
		{"an event before first use", func(a *rebuild.Appraisal) { a.Events[1].On = "2012-04-30" }, "events.2.on", "event 2 (write-off) of 2012-04-30 is before its first use on 2012-05-01"},
		{"an event before an unknown first use", func(a *rebuild.Appraisal) { a.FirstUsed, a.Events[1].On = "", "1990-01-01" }, "", ""},
		{"an event tomorrow", func(a *rebuild.Appraisal) { a.Events[0].On = "2026-02-12" }, "events.1.on", "the day of event 1 2026-02-12 is in the future"},
		{"an event on no day", func(a *rebuild.Appraisal) { a.Events[0].On = "2018-02-29" }, "events.1.on", "write it like"},
		{"an event without a day", func(a *rebuild.Appraisal) { a.Events[0].On = "" }, "events.1.on", "the day of event 1 is missing"},
		{"an unknown kind", func(a *rebuild.Appraisal) { a.Events[1] = rebuild.HistoryEvent{On: today, Kind: "dream"} }, "events.2.kind", `"dream"; it is one of: registration`},
		{"a reading below zero", func(a *rebuild.Appraisal) { a.Events[0].Odometer = reading(-1) }, "events.1.odometer", "-1 of event 1"},
		{"a reading beyond any", func(a *rebuild.Appraisal) { a.Events[0].Odometer = reading(10_000_000) }, "events.1.odometer", "9,999,999"},
		{"a reading of zero", func(a *rebuild.Appraisal) { a.Events[0].Odometer = reading(0) }, "", ""},
		{"a reading that is none", func(a *rebuild.Appraisal) {
			a.Events[0] = rebuild.HistoryEvent{On: today, Kind: rebuild.EventOdometer}
		}, "events.1.odometer", "missing"},
		{"an unknown unit", func(a *rebuild.Appraisal) { a.Events[0].Unit = "leagues" }, "events.1.unit", "km, mi"},
		{"a long category", func(a *rebuild.Appraisal) { a.Events[1].Category = strings.Repeat("S", 41) }, "events.2.category", "41 characters; at most 40"},
		{"a category of a sale", func(a *rebuild.Appraisal) { a.Events[1].Kind = rebuild.EventSale }, "events.2.category", "event 2 (sale) has a salvage category"},
		{"an unknown result", func(a *rebuild.Appraisal) { a.Events[0].Result = "maybe" }, "events.1.result", "pass, fail"},
		{"a result of a service", func(a *rebuild.Appraisal) { a.Events[0].Kind = rebuild.EventService }, "events.1.result", "only an inspection"},
		{"an inspection from abroad", func(a *rebuild.Appraisal) { a.Events[0].From = "IE" }, "events.1.from", "only an import"},
		{"a long note", func(a *rebuild.Appraisal) { a.Events[0].Note = strings.Repeat("x", 501) }, "events.1.note", "at most 500"},
		{"500 events", func(a *rebuild.Appraisal) { a.Events = many(500, a.Events[1]) }, "", ""},
		{"501 events", func(a *rebuild.Appraisal) { a.Events = many(501, a.Events[1]) }, "events", "at most 500"},

		{"a value out of order", func(a *rebuild.Appraisal) { a.Value.Low = 24_000 }, "value", "above likely"},
		{"a value that is no number", func(a *rebuild.Appraisal) { a.Value.High = math.NaN() }, "value", "not a number"},
		{"a discount of more than all", func(a *rebuild.Appraisal) { a.MarkerDiscount.High = 1.01 }, "marker_discount", "above 1"},
		{"selling takes more than all", func(a *rebuild.Appraisal) { a.SellingPercent = 100.5 }, "selling_percent", "not 100.5 %"},
		{"selling takes all", func(a *rebuild.Appraisal) { a.SellingPercent = 100 }, "", ""},
		{"selling in other money", func(a *rebuild.Appraisal) { a.SellingFixed = amount.New(1, "EUR") }, "selling_fixed", "kept in GBP"},
		{"selling brings money", func(a *rebuild.Appraisal) { a.SellingFixed = gbp(-1) }, "selling_fixed", "below zero"},
		{"a loss wanted", func(a *rebuild.Appraisal) { a.WantedProfit = gbp(-1) }, "wanted_profit", "below zero"},
		{"barely sure", func(a *rebuild.Appraisal) { a.Confidence = 0.49 }, "confidence", "between 50 % and 99 %, not 49 %"},
		{"even", func(a *rebuild.Appraisal) { a.Confidence = 0.5 }, "", ""},
		{"certain", func(a *rebuild.Appraisal) { a.Confidence = 1 }, "confidence", "not 100 %"},
		{"sure by no number", func(a *rebuild.Appraisal) { a.Confidence = math.NaN() }, "confidence", "between"},

		{"the first band begins higher", func(a *rebuild.Appraisal) { a.Fees[0].From = gbp(1) }, "fees.1.from", "leaves lower prices without a fee"},
		{"bands overlap", func(a *rebuild.Appraisal) { a.Fees[1].From = gbp(0) }, "fees.2.from", "fee band 2 and fee band 1 overlap: both begin at 0.00 GBP"},
		{"bands out of order", func(a *rebuild.Appraisal) { a.Fees = append(a.Fees, rebuild.FeeBand{From: gbp(100_000)}) }, "fees.3.from", "fee band 3 begins at 1000.00 GBP, below the band before it (2500.00 GBP)"},
		{"a band of more than all", func(a *rebuild.Appraisal) { a.Fees[1].Percent = 101 }, "fees.2.percent", "not 101 %"},
		{"a band below nothing", func(a *rebuild.Appraisal) { a.Fees[1].Percent = -1 }, "fees.2.percent", "not -1 %"},
		{"a fee below nothing", func(a *rebuild.Appraisal) { a.Fees[1].Fixed = gbp(-1) }, "fees.2.fixed", "the fixed fee of fee band 2"},
		{"a least fee in other money", func(a *rebuild.Appraisal) { a.Fees[1].Minimum = amount.New(5, "EUR") }, "fees.2.minimum", "kept in GBP"},
		{"20 bands", func(a *rebuild.Appraisal) { a.Fees = bands(20) }, "", ""},
		{"21 bands", func(a *rebuild.Appraisal) { a.Fees = bands(21) }, "fees", "at most 20"},
		{"a tax as a percentage", func(a *rebuild.Appraisal) { a.FeeTax = 20 }, "fee_tax", "not 2000 %"},
		{"a tax below nothing", func(a *rebuild.Appraisal) { a.PriceTax = -0.1 }, "price_tax", "not -10 %"},
		{"an unnamed cost", func(a *rebuild.Appraisal) { a.Other[0].Name = "" }, "other.1.name", "the name of other cost 1 is missing"},
		{"a cost below nothing", func(a *rebuild.Appraisal) { a.Other[0].Cost = gbp(-1) }, "other.1.cost", "below zero"},
		{"51 costs", func(a *rebuild.Appraisal) { a.Other = many(51, a.Other[0]) }, "other", "at most 50"},
		{"a step backwards", func(a *rebuild.Appraisal) { a.Step = gbp(-1) }, "step", "below zero"},
		{"an asking price in other money", func(a *rebuild.Appraisal) { a.Asking = amount.New(5, "EUR") }, "asking", "kept in GBP"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			a := goodAppraisal()
			c.edit(&a)
			complains(t, a.ValidateOn("GBP", today), c.field, c.says)
		})
	}
	future := goodAppraisal()
	future.Events[0].On = "2026-02-12"
	complains(t, future.Validate("GBP"), "", "")
}

func many[T any](n int, one T) []T {
	all := make([]T, n)
	for i := range all {
		all[i] = one
	}
	return all
}

func bands(n int) []rebuild.FeeBand {
	all := make([]rebuild.FeeBand, n)
	for i := range all {
		all[i].From = gbp(int64(i) * 100_000)
	}
	return all
}

func TestBidStep(t *testing.T) {
	a := rebuild.NewAppraisal()
	if a.BidStep("GBP") != gbp(5_000) || a.BidStep("JPY") != amount.New(50, "JPY") {
		t.Errorf("steps of %s and %s", a.BidStep("GBP"), a.BidStep("JPY"))
	}
	if a.Step = gbp(25); a.BidStep("GBP") != gbp(25) {
		t.Errorf("steps of %s", a.BidStep("GBP"))
	}
}

func TestEditAppraisal(t *testing.T) {
	r := weighed(t)
	a := r.Appraisal
	a.Rev = 7
	var conflict *rebuild.Conflict
	if _, err := r.EditAppraisal(a, today); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindAppraisal {
		t.Errorf("on another revision: %v", err)
	}
	for says, edit := range map[string]func(*rebuild.Appraisal){
		"changed the appraisal":                                         func(*rebuild.Appraisal) {},
		"changed the appraisal: the car's history":                      func(a *rebuild.Appraisal) { a.Events = a.Events[:1] },
		"changed the appraisal: its value and sale":                     func(a *rebuild.Appraisal) { a.Keep = true },
		"changed the appraisal: the costs of buying":                    func(a *rebuild.Appraisal) { a.Other = nil },
		"changed the appraisal: the profit wanted":                      func(a *rebuild.Appraisal) { a.Confidence = 0.9 },
		"changed the appraisal: the bid in mind":                        func(a *rebuild.Appraisal) { a.Asking = gbp(1) },
		"changed the appraisal: the costs of buying, the profit wanted": func(a *rebuild.Appraisal) { a.FeeTax, a.WantedProfit = 0, gbp(0) },
	} {
		a := r.Appraisal
		edit(&a)
		c, err := r.EditAppraisal(a, today)
		if err != nil || c.What != says {
			t.Errorf("%q (%v), want %q", c.What, err, says)
			continue
		}
		next := applied(t, r, c)
		back, err := c.Inverse(next)
		if err != nil {
			t.Fatalf("the way back: %v", err)
		}
		if undone := applied(t, next, back); !rebuild.SameItem(undone.Appraisal, r.Appraisal) || undone.Appraisal.Rev != 3 {
			t.Errorf("undone it is %+v", undone.Appraisal)
		}
	}
	a = r.Appraisal
	a.Asking = amount.New(5, "EUR")
	_, err := r.EditAppraisal(a, today)
	complains(t, err, "asking", "kept in GBP")
	_, err = r.EditAppraisal(r.Appraisal, "2019-02-10")
	complains(t, err, "events.2.on", "in the future")
}

// TestWhatWasExpectedStays holds that no edit mends what stood at the purchase.
func TestWhatWasExpectedStays(t *testing.T) {
	r := weighed(t)
	forged := r.Appraisal
	b := goodBought()
	b.On, b.Price = today, gbp(1)
	forged.Bought = &b
	if early := done(t, r, func() (rebuild.Change, error) { return r.EditAppraisal(forged, today) }); early.Appraisal.Bought != nil {
		t.Error("an edit bought the car")
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.Buy(goodPurchase(), today) })
	want := *r.Appraisal.Bought
	for _, bought := range []*rebuild.Bought{nil, &b} {
		a := r.Appraisal
		a.Bought, a.Confidence = bought, 0.9
		r = done(t, r, func() (rebuild.Change, error) { return r.EditAppraisal(a, today) })
		if r.Appraisal.Bought == nil || *r.Appraisal.Bought != want {
			t.Errorf("it became %+v", r.Appraisal.Bought)
		}
	}
}

func TestBuy(t *testing.T) {
	r := weighed(t)
	c, err := r.Buy(goodPurchase(), today)
	if err != nil {
		t.Fatal(err)
	}
	if c.What != "bought Skua for 8800.00 GBP and 716.00 GBP of fees" {
		t.Errorf("the journal says %q", c.What)
	}
	next := applied(t, r, c)
	if next.Car.Candidate || next.Car.BoughtOn != "2026-02-10" || next.Car.Rev != r.Car.Rev+1 {
		t.Errorf("the car is %+v", next.Car)
	}
	want := goodBought()
	want.On, want.Price, want.Fees = "2026-02-10", gbp(880_000), gbp(71_600)
	if got := next.Appraisal.Bought; got == nil || *got != want {
		t.Errorf("kept is %+v", got)
	}
	if s := next.Stages[0]; s.State != rebuild.StageDone || s.DoneOn != "2026-02-10" {
		t.Errorf("the stage is %+v", s)
	}
	entries := []rebuild.Entry{
		{ID: 4, On: "2026-02-10", Amount: gbp(880_000), Kind: rebuild.EntryPurchase, Supplier: "Harbour Salvage", What: "the car"},
		{ID: 5, On: "2026-02-10", Amount: gbp(71_600), Kind: rebuild.EntryFee, Supplier: "Harbour Salvage", What: "the buyer's fees"},
	}
	if !reflect.DeepEqual(next.Entries, entries) || next.NextID != 6 {
		t.Errorf("entries %+v, next number %d", next.Entries, next.NextID)
	}
	if !reflect.DeepEqual(next.Findings, r.Findings) || !reflect.DeepEqual(next.Jobs, r.Jobs) {
		t.Error("findings or jobs were not carried over as they are")
	}
	if err := next.Validate(); err != nil {
		t.Error(err)
	}
	if len(next.EntriesWithoutJob()) != 0 {
		t.Error("the purchase counts as a cost that lacks its job")
	}
	_, err = next.Buy(goodPurchase(), today)
	complains(t, err, "candidate", "Skua is no candidate any more")
}

// TestUndoOfBuyTakesAllBack goes back, forth and back again.
func TestUndoOfBuyTakesAllBack(t *testing.T) {
	r := weighed(t)
	c, err := r.Buy(goodPurchase(), today)
	if err != nil {
		t.Fatal(err)
	}
	now := applied(t, r, c)
	bought := now
	for i := range 4 {
		back, err := c.Inverse(now)
		if err != nil {
			t.Fatalf("turn %d: %v", i, err)
		}
		now, c = applied(t, now, back), back
		like := r
		if i%2 == 1 {
			like = bought
		}
		for _, pair := range [][2]rebuild.Item{{now.Car, like.Car}, {now.Appraisal, like.Appraisal}, {now.Stages[0], like.Stages[0]}} {
			if !rebuild.SameItem(pair[0], pair[1]) {
				t.Errorf("turn %d: %+v, want %+v", i, pair[0], pair[1])
			}
		}
		if len(now.Entries) != len(like.Entries) || now.Validate() != nil {
			t.Errorf("turn %d: entries %+v (%v)", i, now.Entries, now.Validate())
		}
	}
}

func TestUndoOfBuyUnderALaterEdit(t *testing.T) {
	r := weighed(t)
	c, err := r.Buy(goodPurchase(), today)
	if err != nil {
		t.Fatal(err)
	}
	r = applied(t, r, c)
	a := r.Appraisal
	a.Confidence = 0.9
	r = done(t, r, func() (rebuild.Change, error) { return r.EditAppraisal(a, today) })
	var conflict *rebuild.Conflict
	if _, err := c.Inverse(r); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindAppraisal {
		t.Errorf("got %v", err)
	}
}

func TestPurchaseRules(t *testing.T) {
	cases := []struct {
		name        string
		edit        func(*rebuild.Purchase)
		field, says string
	}{
		{"as it should be", func(*rebuild.Purchase) {}, "", ""},
		{"nothing was expected", func(p *rebuild.Purchase) { p.Bought = rebuild.Bought{} }, "", ""},
		{"no seller", func(p *rebuild.Purchase) { p.Seller = "" }, "", ""},
		{"a loss expected", func(p *rebuild.Purchase) { p.Bought.ExpectedProfit = -9000 }, "", ""},
		{"no day", func(p *rebuild.Purchase) { p.On = "" }, "on", "the day of the purchase is missing"},
		{"tomorrow", func(p *rebuild.Purchase) { p.On = "2026-02-12" }, "on", "in the future"},
		{"no price", func(p *rebuild.Purchase) { p.Price = amount.Amount{} }, "price", "missing"},
		{"a price in other money", func(p *rebuild.Purchase) { p.Price = amount.New(5, "EUR") }, "price", "kept in GBP"},
		{"a price below zero", func(p *rebuild.Purchase) { p.Price = gbp(-1) }, "price", "below zero"},
		{"fees below zero", func(p *rebuild.Purchase) { p.Fees = gbp(-1) }, "fees", "below zero"},
		{"a long seller", func(p *rebuild.Purchase) { p.Seller = strings.Repeat("x", 121) }, "seller", "at most 120"},
		{"safe above largest", func(p *rebuild.Purchase) { p.Bought.SafeBid = gbp(915_001) }, "safe_bid", "above the largest bid"},
		{"a chance above one", func(p *rebuild.Purchase) { p.Bought.Chance = 1.1 }, "chance", "110 %"},
		{"a profit that is no number", func(p *rebuild.Purchase) { p.Bought.ExpectedProfit = math.NaN() }, "expected_profit", "out of bounds"},
		{"a cost out of order", func(p *rebuild.Purchase) { p.Bought.Cost.P80 = 9000 }, "cost", "not in order"},
		{"a cost that is no number", func(p *rebuild.Purchase) { p.Bought.Cost.P50 = math.NaN() }, "cost", "not in order"},
		{"fewer jobs than none", func(p *rebuild.Purchase) { p.Bought.JobCount = -1 }, "job_count", "-1"},
	}
	r := weighed(t)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := goodPurchase()
			c.edit(&p)
			_, err := r.Buy(p, today)
			complains(t, err, c.field, c.says)
		})
	}
	gift := goodPurchase()
	gift.Price, gift.Fees = gbp(0), amount.Amount{}
	given := done(t, r, func() (rebuild.Change, error) { return r.Buy(gift, today) })
	if len(given.Entries) != 0 || given.Car.Candidate || given.Validate() != nil {
		t.Errorf("given away: entries %+v (%v)", given.Entries, given.Validate())
	}
}

func TestACandidateStaysOneUntilBought(t *testing.T) {
	r := weighed(t)
	car := r.Car
	car.Candidate, car.Colour = false, "blue"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditCar(car) })
	if !r.Car.Candidate || r.Car.Colour != "blue" {
		t.Errorf("the car is %+v", r.Car)
	}
	car = r.Car
	car.BoughtOn = "2026-01-05"
	_, err := r.EditCar(car)
	complains(t, err, "bought_on", "a candidate is not bought yet")
	broken := *r
	b := goodBought()
	b.On, b.Price = today, gbp(1)
	broken.Appraisal.Bought = &b
	complains(t, broken.Validate(), "car.1.candidate", "says that it was bought")
	ordinary := started(t)
	car = ordinary.Car
	car.Candidate = true
	if ordinary = done(t, ordinary, func() (rebuild.Change, error) { return ordinary.EditCar(car) }); ordinary.Car.Candidate {
		t.Error("a rebuild became a candidate")
	}
	_, err = ordinary.Buy(goodPurchase(), today)
	complains(t, err, "candidate", "has been bought")
}

// TestSumsOfAnAppraisalFixTheCurrency goes through what is money and what not.
func TestSumsOfAnAppraisalFixTheCurrency(t *testing.T) {
	cases := []struct {
		name  string
		edit  func(*rebuild.Appraisal)
		fixed bool
	}{
		{"nothing", func(*rebuild.Appraisal) {}, false},
		{"history and shares", func(a *rebuild.Appraisal) {
			good := goodAppraisal()
			a.FirstUsed, a.Events, a.MarkerDiscount, a.FeeTax, a.SellingPercent = good.FirstUsed, good.Events, good.MarkerDiscount, 0.2, 2
		}, false},
		{"a band of percent only", func(a *rebuild.Appraisal) { a.Fees = []rebuild.FeeBand{{Percent: 5}} }, false},
		{"a value", func(a *rebuild.Appraisal) { a.Value = uncertain.Certain(1) }, true},
		{"a band", func(a *rebuild.Appraisal) { a.Fees = []rebuild.FeeBand{{Minimum: gbp(1)}} }, true},
		{"another cost", func(a *rebuild.Appraisal) { a.Other = []rebuild.OtherCost{{Name: "x", Cost: gbp(1)}} }, true},
		{"a step", func(a *rebuild.Appraisal) { a.Step = gbp(1) }, true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := started(t)
			a := r.Appraisal
			c.edit(&a)
			first, err := r.EditAppraisal(a, today)
			if err != nil {
				t.Fatal(err)
			}
			r = applied(t, r, first)
			car := r.Car
			car.Currency, car.Ceiling, car.HourValue = "EUR", amount.Amount{}, amount.Amount{}
			_, err = r.EditCar(car)
			if fixed := err != nil; fixed != c.fixed {
				t.Errorf("fixed %v (%v), want %v", fixed, err, c.fixed)
			}
		})
	}
}
