package workshop

import (
	"context"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wreckwright/appraise/bid"
	"wreckwright/appraise/history"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func weighs(change func(*rebuild.Appraisal)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		a := r.Appraisal
		change(&a)
		return r.EditAppraisal(a, today)
	}
}

// aCandidate is a rebuild that is weighed only.
func aCandidate(t testing.TB, steps ...step) *rebuild.Rebuild {
	t.Helper()
	car := aCar()
	car.Candidate, car.Ceiling = true, amount.Amount{}
	change, err := rebuild.New(car)
	if err != nil {
		t.Fatal(err)
	}
	r, err := (&rebuild.Rebuild{ID: 1}).Apply(change)
	if err != nil {
		t.Fatal(err)
	}
	return more(t, r, steps...)
}

func weighed(t testing.TB, r *rebuild.Rebuild) Appraised {
	t.Helper()
	a, err := open(t).Appraise(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// normalRange has the 10 and 90 % points of a normal distribution; 1.2815516 is
// its 90 % point (NIST Engineering Statistics Handbook, 1.3.6.7.1).
func normalRange(mean, sd float64) uncertain.Range {
	return uncertain.Range{Low: mean - 1.2815516*sd, Likely: mean, High: mean + 1.2815516*sd}
}

// Solved by hand: value N(16000, 900), one job N(6200, 1100), profit 1,500 with
// 0.8 (0.8416212 standard deviations). What is left is N(9800, 1421.267), so
// 9800 - 0.8416212 x 1421.267 - 1500 = 7103.83 may be paid in all. The price has
// 5 % tax, the fee is 6 % with 20 % tax: the bid is 7103.83/1.122 = 6331.40.
func TestMostToPayOfANormalCase(t *testing.T) {
	r := aCandidate(t, aJob("straighten", 0, func(j *rebuild.Job) { j.Routes[0].Cost = normalRange(6200, 1100) }), weighs(func(a *rebuild.Appraisal) {
		a.Value, a.WantedProfit, a.Confidence = normalRange(16000, 900), amount.New(150_000, "GBP"), 0.8
		a.Fees, a.FeeTax, a.PriceTax, a.Step = []rebuild.FeeBand{{Percent: 6}}, 0.2, 0.05, amount.New(100, "GBP")
	}))
	a := weighed(t, r)
	if a.Bid == nil || a.Bid.MaxBid == nil {
		t.Fatalf("no bid: %s", a.WhyNoBid)
	}
	// Four standard errors of that quantile, sqrt(p (1 - p)/n)/density, and one step.
	density := math.Exp(-0.8416212*0.8416212/2) / math.Sqrt(2*math.Pi) / 1421.267
	tolerance := 4*math.Sqrt(0.8*0.2/float64(a.Outlook.Trials))/density/1.122 + 1
	if got := *a.Bid.MaxBid; math.Abs(got-6331.40) > tolerance {
		t.Errorf("the most to pay is %.2f; want 6331.40 within %.2f", got, tolerance)
	}
}

// What was spent on the look before the purchase is gone whatever is bid, and a
// worn-out reserve or a finished job changes nothing either.
func TestSunkCostsChangeNoBid(t *testing.T) {
	value := weighs(func(a *rebuild.Appraisal) { a.Value = uncertain.Certain(10_000) })
	before := weighed(t, aCandidate(t, aJob("mend", 2000), value))
	after := weighed(t, aCandidate(t, aJob("mend", 2000), value, pays(12_000, 0, func(e *rebuild.Entry) { e.Kind, e.General = rebuild.EntryFee, true })))
	if *before.Bid.MaxBid != 8000 || *after.Bid.MaxBid != 8000 {
		t.Errorf("the most to pay is %v, and %v after 120 were spent; want 8000", *before.Bid.MaxBid, *after.Bid.MaxBid)
	}
	if after.Outlook.Spent != 120 {
		t.Errorf("%v is spent", after.Outlook.Spent)
	}
}

func TestBidCaseOfAnAppraisal(t *testing.T) {
	r := aCandidate(t, aJob("mend", 300), weighs(func(a *rebuild.Appraisal) {
		a.Value, a.MarkerDiscount, a.Keep = uncertain.Range{Low: 9000, Likely: 10_000, High: 12_000}, uncertain.Certain(0.2), true
		a.SellingPercent, a.SellingFixed, a.FeeTax, a.PriceTax = 3, amount.New(9_950, "GBP"), 0.2, 0.05
		a.Fees = []rebuild.FeeBand{{Fixed: amount.New(5_000, "GBP")}, {From: amount.New(100_000, "GBP"), Percent: 6, Minimum: amount.New(8_000, "GBP")}}
		a.Other = []rebuild.OtherCost{{Name: "transport", Cost: amount.New(45_050, "GBP")}}
		a.WantedProfit, a.Confidence, a.Step = amount.New(150_000, "GBP"), 0.9, amount.New(2_500, "GBP")
	}))
	o := look(t, r)
	got := bidCase(r, &o)
	if len(got.Costs) != o.Trials || slices.Max(got.Costs) != 300 || slices.Min(got.Costs) != 300 {
		t.Errorf("%d costs from %v to %v; want %d times 300", len(got.Costs), slices.Min(got.Costs), slices.Max(got.Costs), o.Trials)
	}
	if len(got.Drivers) != 1 || got.Drivers[0].Name != "mend" {
		t.Errorf("drivers %+v", got.Drivers)
	}
	got.Costs, got.Drivers = nil, nil
	want := bid.Case{
		Currency: "GBP", Digits: 2, Value: uncertain.Range{Low: 9000, Likely: 10_000, High: 12_000}, Discount: uncertain.Certain(0.2), Keep: true,
		Selling: bid.Selling{Percent: 3, Fixed: 99.5}, FeeTax: 0.2, PriceTax: 0.05,
		Fees:   []bid.Band{{Fixed: 50}, {From: 1000, Percent: 6, Minimum: 80}},
		Other:  []bid.Other{{Name: "transport", Cost: uncertain.Certain(450.5)}},
		Wanted: 1500, Confidence: 0.9, Step: 25, Trials: o.Trials, Seed: o.Seed,
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if err := want.Validate(); err != nil {
		t.Error(err)
	}
}

func TestStepOfACurrencyWithoutDecimals(t *testing.T) {
	r := aCandidate(t, withCar(func(c *rebuild.Car) { c.Currency, c.HourValue = "JPY", amount.Amount{} }), weighs(func(a *rebuild.Appraisal) { a.Value = uncertain.Certain(1_000_030) }))
	a := weighed(t, r)
	if a.Bid == nil || *a.Bid.MaxBid != 1_000_000 {
		t.Errorf("the most to pay is %+v (%s)", a.Bid, a.WhyNoBid)
	}
}

func past(day string, kind rebuild.HistoryKind, category string) rebuild.HistoryEvent {
	return rebuild.HistoryEvent{On: day, Kind: kind, Category: category}
}

// The category that stands with the car is told of, and never passed over for a
// softer one among the events.
func TestCategoryOfTheCarInItsStory(t *testing.T) {
	for _, c := range []struct {
		name, category string
		events         []rebuild.HistoryEvent
		told           []string
		may            string
	}{
		{"none", "", nil, nil, ""},
		{"with the car only", "S", nil, []string{"S"}, history.Yes},
		{"with the car and by an event", "s", []rebuild.HistoryEvent{past("2025-03-01", rebuild.EventWriteOff, "S")}, []string{"S"}, history.Yes},
		{"of an event only", "", []rebuild.HistoryEvent{past("2025-03-01", rebuild.EventWriteOff, "B")}, []string{"B"}, history.No},
		{"harder than that of the event", "B", []rebuild.HistoryEvent{past("2025-03-01", rebuild.EventWriteOff, "S")}, []string{"S", "B"}, history.No},
		{"of an unknown kind", "Z9", nil, []string{"Z9"}, history.Unknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := aCandidate(t, withCar(func(car *rebuild.Car) { car.Category = c.category }), weighs(func(a *rebuild.Appraisal) { a.FirstUsed, a.Events = "2019-01-01", c.events }))
			story, err := historyCase(r, today)
			if err != nil {
				t.Fatal(err)
			}
			var told []string
			for _, e := range story.Events {
				told = append(told, e.Category)
			}
			if !slices.Equal(told, c.told) {
				t.Errorf("told %q; want %q", told, c.told)
			}
			a := weighed(t, r)
			may := ""
			if a.Story != nil {
				may = a.Story.MayReturn
			}
			if may != c.may || a.Barred() != (c.may == history.No) {
				t.Errorf("%+v (%s); want %q", a.Story, a.WhyNoStory, c.may)
			}
		})
	}
}

// An official test that was entered answers whether one was passed, at the story as
// at the hand-over; one that was failed does not.
func TestOfficialTestsCountInTheStory(t *testing.T) {
	for result, due := range map[rebuild.TestResult]bool{rebuild.TestPass: false, rebuild.TestFail: true} {
		r := aCandidate(t, category("N"), weighs(func(a *rebuild.Appraisal) { a.FirstUsed = "2017-01-10" }), func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddOfficialTest(rebuild.OfficialTest{On: "2026-06-01", Jurisdiction: "UK", Result: result})
		})
		asked := false
		for _, m := range MustDos(r, today) {
			asked = asked || strings.Contains(m.Text, "must be passed")
		}
		if asked != due {
			t.Errorf("%s: the test is asked for %v, want %v", result, asked, due)
		}
	}
}

// A mark is judged though the day of first use is not known, and the page can say
// which day stood in.
func TestMarkIsJudgedWithoutTheDayOfFirstUse(t *testing.T) {
	scrapped := []rebuild.HistoryEvent{{On: "2021-03-04", Kind: rebuild.EventScrapped}, {On: "2020-02-03", Kind: rebuild.EventInspection, Result: "pass"}}
	for _, c := range []struct {
		name, category string
		year           int
		events         []rebuild.HistoryEvent
		may, taken     string
	}{
		{"a category", "B", 0, nil, history.No, today},
		{"a category and a year", "B", 2017, nil, history.No, "2017-01-01"},
		{"events", "", 0, scrapped, history.No, "2020-02-03"},
		{"events and a year", "", 2017, scrapped, history.No, "2017-01-01"},
		{"an event before the car's year", "", 2021, scrapped, history.No, "2020-02-03"},
	} {
		a := weighed(t, aCandidate(t, withCar(func(car *rebuild.Car) { car.Category, car.Year = c.category, c.year }), weighs(func(a *rebuild.Appraisal) { a.FirstUsed, a.Events = "", c.events })))
		if a.Story == nil || a.Story.MayReturn != c.may || a.FirstUseTaken != c.taken {
			t.Errorf("%s: %+v, taken %q (%s); want %s and %s", c.name, a.Story, a.FirstUseTaken, a.WhyNoStory, c.may, c.taken)
		}
	}
	if a := weighed(t, aCandidate(t, weighs(func(a *rebuild.Appraisal) { a.FirstUsed = "2019-01-01" }))); a.Story != nil || !strings.Contains(a.WhyNoStory, "nothing of its story") {
		t.Errorf("without any event: %+v (%s); want no story", a.Story, a.WhyNoStory)
	}
}

// Who is to be asked follows the matter: no vehicle register knows of finance.
func TestLenderAndPoliceAreNamed(t *testing.T) {
	a := weighed(t, aCandidate(t, weighs(func(a *rebuild.Appraisal) {
		a.FirstUsed, a.Events = "2019-01-01", []rebuild.HistoryEvent{{On: "2021-03-04", Kind: rebuild.EventFinance}, {On: "2021-04-04", Kind: rebuild.EventStolen}}
	})))
	for rule, want := range map[string]string{"finance-open": "ask the lender", "stolen": "ask the police"} {
		if !slices.ContainsFunc(a.Story.Findings, func(f history.Finding) bool { return f.Rule == rule && strings.Contains(f.Text, want) }) {
			t.Errorf("%s does not say %q: %+v", rule, want, a.Story.Findings)
		}
	}
}

func TestEventsAsTheEngineTakesThem(t *testing.T) {
	events := []rebuild.HistoryEvent{
		{On: "2021-02-03", Kind: rebuild.EventInspection, Odometer: new(int64(21_000)), Unit: "km", Result: "pass", Note: "dry"},
		{On: "2022-02-03", Kind: rebuild.EventImport, Jurisdiction: "UK", From: "DE"},
	}
	r := aCandidate(t, withCar(func(c *rebuild.Car) { c.Year = 2018 }), weighs(func(a *rebuild.Appraisal) { a.FirstUsed, a.Events = "2019-01-01", events }))
	c, err := historyCase(r, today)
	if err != nil {
		t.Fatal(err)
	}
	if c.Jurisdiction != "UK" || c.Vehicle.DistanceUnit != "mi" || c.Vehicle.ModelYear != 2018 || c.Vehicle.FirstUsed.Format("2006-01-02") != "2019-01-01" || c.Today.Format("2006-01-02") != today {
		t.Errorf("the case is %+v", c)
	}
	if e := c.Events[0]; e.Kind != history.Inspection || *e.Odometer != 21_000 || e.Unit != "km" || e.Result != "pass" || e.Note != "dry" {
		t.Errorf("the inspection is %+v", e)
	}
	if e := c.Events[1]; e.Kind != history.Import || e.Jurisdiction != "UK" || e.From != "DE" {
		t.Errorf("the import is %+v", e)
	}
	for _, kind := range rebuild.HistoryKinds {
		one := weighed(t, aCandidate(t, weighs(func(a *rebuild.Appraisal) {
			a.FirstUsed, a.Events = "2019-01-01", []rebuild.HistoryEvent{{On: "2021-02-03", Kind: kind, Odometer: new(int64(5))}}
		})))
		if one.Story == nil {
			t.Errorf("the engine does not know %s: %s", kind, one.WhyNoStory)
		}
	}
}

func TestWhatIsMissingIsSaid(t *testing.T) {
	a := weighed(t, aCandidate(t))
	if a.Identity != nil || a.Story != nil || a.Bid != nil || a.Asking != nil || a.Barred() {
		t.Errorf("out of nothing: %+v", a)
	}
	for why, want := range map[string]string{a.WhyNoIdentity: "VIN", a.WhyNoStory: "first use", a.WhyNoBid: "worth"} {
		if !strings.Contains(why, want) {
			t.Errorf("%q does not name the %s", why, want)
		}
	}
}

func TestPurchaseAtKeepsWhatWasExpected(t *testing.T) {
	r := aCandidate(t, aJob("mend", 2000), aJob("dropped", 50, inState(rebuild.JobDropped)), weighs(func(a *rebuild.Appraisal) {
		a.Value, a.WantedProfit = uncertain.Certain(10_000), amount.New(100_000, "GBP")
		a.Fees, a.FeeTax, a.PriceTax = []rebuild.FeeBand{{Fixed: amount.New(10_000, "GBP")}}, 0.2, 0.05
	}))
	a := weighed(t, r)
	// 10,000 - 2,000 - 1,000 = 7,000 in all; less the fee of 120: 6,880/1.05 =
	// 6,552, in steps of 50: 6,550. At 5,000: 5,250 with tax, and 120.
	p := a.PurchaseAt(r, "2026-06-29", amount.New(500_000, "GBP"), "Somebody")
	want := rebuild.Purchase{On: "2026-06-29", Price: amount.New(525_000, "GBP"), Fees: amount.New(12_000, "GBP"), Seller: "Somebody"}
	want.Bought = rebuild.Bought{
		MaxBid: amount.New(655_000, "GBP"), SafeBid: amount.New(655_000, "GBP"), Chance: 1, ExpectedProfit: 2630,
		Cost: rebuild.ExpectedCost{Mean: 2000, P10: 2000, P50: 2000, P80: 2000, P90: 2000}, JobCount: 1,
	}
	p.Bought.ExpectedProfit = math.Round(p.Bought.ExpectedProfit*100) / 100
	if p != want {
		t.Errorf("got  %+v\nwant %+v", p, want)
	}
	unknown := aCandidate(t, aJob("mend", 2000))
	a = weighed(t, unknown)
	if p := a.PurchaseAt(unknown, "2026-06-29", amount.New(500_000, "GBP"), ""); p.Bought.Weighed() || p.Bought.Cost.Mean != 2000 || !p.Fees.IsZero() {
		t.Errorf("without a value: %+v", p)
	}
}
