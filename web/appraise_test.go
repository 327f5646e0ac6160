package web

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// newCandidate is the survey rig with a second car that is not bought yet.
func newCandidate(t testing.TB) *surveyRig {
	t.Helper()
	g := newSurveyRig(t)
	w := g.post("/new", url.Values{"name": {"Norvane Tern"}, "jurisdiction": {"UK"}, "distance_unit": {"mi"}, "currency": {"GBP"}, "candidate": {"1"}})
	g.wants(w, http.StatusSeeOther)
	g.id = 2
	if to := w.Header().Get("Location"); !strings.HasPrefix(to, g.path("/appraise")) {
		t.Fatalf("a new candidate opens on %q", to)
	}
	return g
}

func (g *surveyRig) rev() string { return fmt.Sprint(g.now().Appraisal.Rev) }

// send posts one of the appraisal's forms with the revision that stands.
func (g *surveyRig) send(form string, pairs ...string) {
	g.t.Helper()
	w := g.post(g.path("/appraise/"+form), g.fields(pairs...))
	g.wants(w, http.StatusSeeOther)
	if to := w.Header().Get("Location"); !strings.HasPrefix(to, g.path("/appraise?did=")) {
		g.t.Errorf("%s goes on to %q", form, to)
	}
}

func (g *surveyRig) fields(pairs ...string) url.Values {
	v := url.Values{"rev": {g.rev()}}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	return v
}

// weighByHand enters what makes every figure certain. What it brings is
// 10,000 x 0.8 x 0.95 - 100 = 7,500; less 400 for transport it is 7,100, and with
// 1,000 of profit 6,100 may be paid in all. The fee from 2,500 upwards is 6 %
// and 20 % tax on it: h x 1.072 <= 6,100 at h = 5,690, in steps of 50: 5,650.
func (g *surveyRig) weighByHand() {
	g.t.Helper()
	g.send("worth", "value.likely", "10,000", "marker_discount.likely", "20", "selling_percent", "5", "selling_fixed", "100",
		"wanted_profit", "1000", "confidence", "80", "asking", "5000", "step", "50")
	g.send("fees", "from.1", "0", "fixed.1", "150", "from.2", "2500", "percent.2", "6", "minimum.2", "200", "fee_tax", "20", "other.1", "Transport", "cost.1", "400")
}

const typedStory = "2018-05-01 registration\n2021-05-02 inspection 21,000 pass\n2026-02-11 write-off category S - front left"

func TestCandidateIsWeighedBoughtAndHeldAgainstWhatHappens(t *testing.T) {
	g := newCandidate(t)
	g.wants(g.get(g.path("/appraise")), 200, "Before buying", "Cannot tell", "The day of first use is not entered.",
		"What the car would be worth when done is not entered.", "No VIN is entered.", "Nothing is entered yet.", "Bought it?", `href="/r/2/walk"`)

	g.send("story", "first_used", "2018-05-01", "events", typedStory)
	g.send("event", "on", "2026-04-30", "kind", "odometer", "odometer", "44,100", "note", "at the viewing")
	page := g.get(g.path("/appraise"))
	g.wants(page, 200, "yes, as entered", "44,100", "category S", "Before it goes on the road", "To be told on a sale", "Road Traffic Act 1988", "Information, no legal advice")
	g.send("event", "on", "2020-01-02", "kind", "import", "jurisdiction", "UK", "from", "DE")
	if e := g.now().Appraisal.Events[4]; e.Jurisdiction != "UK" || e.From != "DE" {
		t.Errorf("kept %+v", e)
	}
	g.wants(g.post(g.path("/undo"), url.Values{"request": {"u"}, "back": {g.path("/appraise")}}), http.StatusSeeOther)
	if events := g.now().Appraisal.Events; len(events) != 4 || events[3].Note != "at the viewing" || *events[3].Odometer != 44_100 || events[2].Category != "S" {
		t.Errorf("kept %+v", events)
	}

	g.weighByHand()
	g.wants(g.get(g.path("/appraise")), 200, `<p class="figure-big">£5,650</p>`, "All in it comes to £6,057; £6,100 may be paid for a profit of £1,000 with a chance of 80",
		"Price asked, 100", "£5,360", "£1,740", "What a bid leads to", "!Safe, whatever")

	buy := url.Values{"bought_on": {"2026-05-03"}, "price": {"5,000"}, "seller": {"A private seller"}}
	w := g.post(g.path("/appraise/buy"), buy)
	g.wants(w, http.StatusSeeOther)
	if to := w.Header().Get("Location"); !strings.HasPrefix(to, g.path("/now?did=")) {
		t.Errorf("the purchase goes on to %q", to)
	}
	checkPurchase(t, g.now())
	g.wants(g.get(w.Header().Get("Location")), 200, "Done: you bought Norvane Tern for 5000.00 GBP and 360.00 GBP of fees")

	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddJob(rebuild.Job{Title: "Wing", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen, Routes: []rebuild.Route{{
			Kind: rebuild.Used, Method: rebuild.MethodPlain, Name: "Used wing", Cost: uncertain.Certain(700), Works: 1,
		}}})
	})
	rows := sinceRows(g.get(g.path("/appraise")).Body.String())
	for label, want := range map[string][2]string{
		"Price and fees": {"£5,360", "£5,360"}, "All else, expected": {"£0", "£700"}, "Jobs counted": {"0", "1"},
		"Profit, expected": {"£1,740", "£1,440"}, // 7,500 - 5,360 - 700
	} {
		if rows[label] != want {
			t.Errorf("%s: %q; want %q", label, rows[label], want)
		}
	}
	g.wants(g.get(g.path("/appraise")), 200, "As it was weighed", "The most to pay was worked out as £5,650", "!Bought it?", "!Add an event", "!What a bid leads to")
	g.wants(g.get(g.path("/car")), 200, "How it was weighed before it was bought")
}

func checkPurchase(t *testing.T, rb *rebuild.Rebuild) {
	t.Helper()
	if rb.Car.Candidate || rb.Car.BoughtOn != "2026-05-03" || rb.Stages[0].State != rebuild.StageDone || rb.Stages[0].DoneOn != "2026-05-03" {
		t.Errorf("car %+v, stage %+v", rb.Car, rb.Stages[0])
	}
	if e := rb.Entries; len(e) != 2 || e[0].Amount != amount.New(500_000, "GBP") || e[0].Kind != rebuild.EntryPurchase ||
		e[1].Amount != amount.New(36_000, "GBP") || e[1].Kind != rebuild.EntryFee || e[1].Supplier != "A private seller" {
		t.Errorf("the ledger holds %+v", e)
	}
	want := rebuild.Bought{
		On: "2026-05-03", Price: amount.New(500_000, "GBP"), Fees: amount.New(36_000, "GBP"),
		MaxBid: amount.New(565_000, "GBP"), SafeBid: amount.New(565_000, "GBP"), Chance: 1, ExpectedProfit: 1740,
	}
	got := *rb.Appraisal.Bought
	if got.ExpectedProfit = round2(got.ExpectedProfit); got != want {
		t.Errorf("expected was %+v; want %+v", got, want)
	}
}

// sinceRows reads the table of what was expected and what happened.
func sinceRows(page string) map[string][2]string {
	rows := map[string][2]string{}
	for _, m := range regexp.MustCompile(`<tr><th scope="row">([^<]+)</th><td class="num">([^<]*)</td><td class="num">([^<]*)</td></tr>`).FindAllStringSubmatch(page, -1) {
		rows[m[1]] = [2]string{m[2], m[3]}
	}
	return rows
}

func TestPurchaseIsTakenBack(t *testing.T) {
	g := newCandidate(t)
	g.weighByHand()
	before := g.now()
	g.wants(g.post(g.path("/appraise/buy"), url.Values{"bought_on": {"2026-05-03"}, "price": {"5000"}}), http.StatusSeeOther)
	g.wants(g.post(g.path("/undo"), url.Values{"request": {"u"}, "back": {g.path("/now")}}), http.StatusSeeOther)
	after := g.now()
	if !after.Car.Candidate || len(after.Entries) != 0 || after.Appraisal.Bought != nil || after.Stages[0].State != before.Stages[0].State {
		t.Errorf("after the undo: %+v, %+v, %+v", after.Car, after.Entries, after.Appraisal)
	}
	g.wants(g.get(g.path("/appraise")), 200, "Bought it?", "£5,650", "!What was expected, and what happened")
}

// What was expected stays as it was, whatever is edited afterwards.
func TestWhatWasExpectedIsFrozen(t *testing.T) {
	g := newCandidate(t)
	g.weighByHand()
	g.wants(g.post(g.path("/appraise/buy"), url.Values{"bought_on": {"2026-05-03"}, "price": {"5000"}}), http.StatusSeeOther)
	g.send("worth", "value.likely", "20000", "confidence", "60")
	rb := g.now()
	if rb.Appraisal.Value.Likely != 20_000 || rb.Appraisal.Bought.MaxBid != amount.New(565_000, "GBP") || rb.Appraisal.Bought.Chance != 1 {
		t.Errorf("kept %+v with %+v", rb.Appraisal, rb.Appraisal.Bought)
	}
}

func TestRefusedAppraisalComesBackAsTyped(t *testing.T) {
	g := newCandidate(t)
	g.send("story", "first_used", "2018-05-01", "events", typedStory)
	before := g.now().Appraisal
	for _, c := range []struct {
		form  string
		pairs []string
		says  []string
	}{
		{"story", []string{"first_used", "2018-05-01", "events", "2019-04-30 inspection 7,400 mi pass\n\nnonsense here"}, []string{"line 3", "does not begin with a day", "7,400 mi pass\n\nnonsense here", `<details id="lines" open`}},
		{"story", []string{"first_used", "2018-05-01", "events", "2019-04-30 dance"}, []string{"line 1", "after the day comes what happened", "2019-04-30 dance"}},
		{"story", []string{"first_used", "2018-05-01", "events", "2026-05-05 sale"}, []string{"in the future: today is 2026-05-04", "2026-05-05 sale"}},
		{"story", []string{"first_used", "2018-05-01", "events", "2018-04-30 sale"}, []string{"before its first use on 2018-05-01"}},
		{"story", []string{"first_used", "2027-01-01", "events", ""}, []string{"the day of its first use 2027-01-01 is in the future"}},
		{"story", []string{"first_used", "soon", "events", ""}, []string{"soon", "is not a date"}},
		{"event", []string{"on", "2026-05-05", "kind", "sale", "note", "my words"}, []string{"in the future", `value="my words"`, `<details id="event" open`}},
		{"event", []string{"on", "2018-04-30", "kind", "sale"}, []string{"before its first use"}},
		{"event", []string{"on", "2020-04-30", "kind", "dance"}, []string{"the kind of event 4"}},
		{"event", []string{"on", "", "kind", "sale"}, []string{"the day of event 4"}},
		{"event", []string{"on", "2020-04-30", "kind", "odometer"}, []string{"the reading of event 4 is missing"}},
		{"event", []string{"on", "2020-04-30", "kind", "sale", "odometer", "many"}, []string{"is not a whole number", `value="many"`}},
		{"event", []string{"on", "2020-04-30", "kind", "sale", "event_category", "s"}, []string{"only a write-off", `value="s"`}},
		{"worth", []string{"value.low", "9000"}, []string{"needs all three figures", `value="9000"`, `<details id="worth" open`}},
		{"worth", []string{"value.likely", "much"}, []string{"much"}},
		{"worth", []string{"value.likely", "9000", "marker_discount.likely", "120"}, []string{"the share of the value that the salvage marker takes, in %", "(120) is above 100", `value="120"`}},
		{"worth", []string{"selling_percent", "101"}, []string{"must be between 0 % and 100 %, not 101 %", `value="101"`}},
		{"worth", []string{"confidence", "40"}, []string{"between 50 % and 99 %, not 40 %"}},
		{"worth", []string{"wanted_profit", "-5"}, []string{"cannot be below zero"}},
		{"fees", []string{"from.1", "0", "fixed.1", "100", "from.2", "5000", "percent.2", "6", "from.3", "2500", "percent.3", "5"}, []string{"fee band 3 begins at 2500.00 GBP, below the band before it (5000.00 GBP); put the bands in order", `<details id="fees" open`, `value="2500"`}},
		{"fees", []string{"from.1", "100", "fixed.1", "100"}, []string{"the first band begins at 0"}},
		{"fees", []string{"from.1", "0", "from.2", "0", "percent.2", "6"}, []string{"overlap: both begin at"}},
		{"fees", []string{"from.1", "0", "percent.1", "150"}, []string{"the fee of fee band 1 must be between 0 % and 100 %, not 150 %", `value="150"`}},
		{"fees", []string{"fee_tax", "120"}, []string{"the tax on the fees", `value="120"`}},
		{"fees", []string{"other.1", "", "cost.1", "30"}, []string{"the name of other cost 1"}},
		{"buy", []string{"bought_on", "2026-05-03", "seller", "Somebody"}, []string{"the price is missing; 0 where nothing was paid", `value="Somebody"`}},
		{"buy", []string{"bought_on", "2026-06-03", "price", "5000"}, []string{"in the future", `value="5000"`}},
		{"buy", []string{"bought_on", "", "price", "5000"}, []string{"the day of the purchase"}},
	} {
		t.Run(c.form+" "+strings.Join(c.pairs, " "), func(t *testing.T) {
			w := g.post(g.path("/appraise/"+c.form), g.fields(c.pairs...))
			g.wants(w, http.StatusUnprocessableEntity, c.says...)
			for _, fault := range checkStructure(w.Body.String()) {
				t.Error(fault)
			}
		})
	}
	if now := g.now(); !rebuild.SameItem(now.Appraisal, before) || !now.Car.Candidate {
		t.Errorf("a refused form changed it: %+v", now.Appraisal)
	}
}

func TestTwoTabsWeighOneCar(t *testing.T) {
	g := newCandidate(t)
	g.send("worth", "value.likely", "10000", "confidence", "80")
	w := g.post(g.path("/appraise/worth"), url.Values{"request": {"a"}, "rev": {"0"}, "value.likely": {"9999"}, "confidence": {"80"}})
	g.wants(w, http.StatusConflict, "Changed meanwhile", "9999", `href="/r/2/appraise"`)
	for _, fault := range checkStructure(w.Body.String()) {
		t.Error(fault)
	}
	if v := g.now().Appraisal.Value.Likely; v != 10_000 {
		t.Errorf("the value is %v", v)
	}
	g.send("story", "first_used", "2018-05-01", "events", typedStory)
	w = g.post(g.path("/appraise/story"), url.Values{"request": {"b"}, "rev": {"1"}, "first_used": {"2018-05-02"}, "events": {""}})
	g.wants(w, http.StatusConflict, "registration, 1 May 2018; inspection, 2 May 2021, odometer 21000, result pass; write-off, 11 Feb 2026, salvage category S, note front left", "Chance wanted</dt><dd>80\u00a0%")
	g.wants(g.get(g.path("/history")), 200, "registration, 1 May 2018", "!map[")
	// The other tab bought it meanwhile.
	g.wants(g.post(g.path("/appraise/buy"), url.Values{"bought_on": {"2026-05-03"}, "price": {"5000"}}), http.StatusSeeOther)
	g.wants(g.post(g.path("/appraise/buy"), url.Values{"bought_on": {"2026-05-03"}, "price": {"4000"}}), http.StatusUnprocessableEntity, "is no candidate any more")
	g.wants(g.post(g.path("/appraise/fees"), url.Values{"rev": {"1"}, "fee_tax": {"20"}}), http.StatusConflict)
	if n := len(g.now().Entries); n != 1 {
		t.Errorf("%d entries; want the one purchase", n)
	}
}

func TestAppraisalSentTwiceCountsOnce(t *testing.T) {
	g := newCandidate(t)
	event := g.fields("request", "token-1", "on", "2020-04-30", "kind", "sale")
	buy := url.Values{"request": {"token-2"}, "bought_on": {"2026-05-03"}, "price": {"5000"}}
	for range 2 {
		g.wants(g.post(g.path("/appraise/event"), event), http.StatusSeeOther)
	}
	for range 2 {
		g.wants(g.post(g.path("/appraise/buy"), buy), http.StatusSeeOther)
	}
	if rb := g.now(); len(rb.Appraisal.Events) != 1 || len(rb.Entries) != 1 {
		t.Errorf("%d events, %d entries; want 1, 1", len(rb.Appraisal.Events), len(rb.Entries))
	}
}

func TestNoCarToWeigh(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get("/r/99/appraise"), http.StatusNotFound)
	for _, form := range []string{"worth", "fees", "story", "event", "buy"} {
		g.wants(g.post("/r/99/appraise/"+form, url.Values{"rev": {"0"}}), http.StatusNotFound)
	}
}

func TestCandidateHasTabsOfItsOwn(t *testing.T) {
	g := newCandidate(t)
	tab := `href="/r/2/appraise" aria-current="page">Appraise</a>`
	g.wants(g.get(g.path("/appraise")), 200, tab, `!href="/r/2/now"`)
	g.wants(g.get(g.path("/jobs")), 200, `href="/r/2/appraise">Appraise</a>`, `!href="/r/2/now"`)
	g.wants(g.get(g.path("/walk")), 200, "What that leaves to pay for the car")
	g.wants(g.get("/r/1/walk"), 200, "!What that leaves to pay")
	g.wants(g.post(g.path("/appraise/buy"), url.Values{"bought_on": {"2026-05-03"}, "price": {"0"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/jobs")), 200, `href="/r/2/now"`, "!>Appraise</a>")
	if n := len(g.now().Entries); n != 0 {
		t.Errorf("%d entries for a car that was a gift", n)
	}
}

func TestRebuildThatWasNeverACandidate(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/appraise")), 200, "was not weighed here before it was bought", "!What was expected, and what happened", "!Bought it?", "!Add an event", "!Enter it")
	g.wants(g.get(g.path("/car")), 200, "!How it was weighed")
	g.wants(g.post(g.path("/appraise/buy"), url.Values{"bought_on": {"2026-05-03"}, "price": {"5000"}}), http.StatusUnprocessableEntity, "has been bought")
}

func TestWhatABidLeadsTo(t *testing.T) {
	t.Run("no bid reaches the chance", func(t *testing.T) {
		g := newCandidate(t)
		g.weighByHand()
		g.send("worth", "value.likely", "10000", "wanted_profit", "20000", "confidence", "80")
		g.wants(g.get(g.path("/appraise")), 200, "No bid", "none reaches it", "!£5,650")
		g.wants(g.get("/appraise"), 200, ">none<")
	})
	t.Run("to keep", func(t *testing.T) {
		// Nothing is taken off for sale or marker: 10,000 - 400 - 1,000 = 8,600;
		// 8,600 / 1.072 = 8,022, in steps of 50: 8,000, which is 8,576 all in.
		g := newCandidate(t)
		g.weighByHand()
		g.send("worth", "value.likely", "10000", "marker_discount.likely", "20", "selling_percent", "5", "selling_fixed", "100", "wanted_profit", "1000", "confidence", "80", "keep", "1")
		g.wants(g.get(g.path("/appraise")), 200, `<p class="figure-big">£8,000</p>`, "All in it comes to £8,576", `name="keep" value="1" checked`)
	})
	t.Run("an edge where a higher bid comes cheaper", func(t *testing.T) {
		// 600 up to 2,000, then 100: 1,500 comes to 2,100, 2,000 to 2,100 too. With
		// 2,150 to spend the most is 2,050, but 1,600 would not be affordable.
		g := newCandidate(t)
		g.send("worth", "value.likely", "2150", "confidence", "80")
		g.send("fees", "from.1", "0", "fixed.1", "600", "from.2", "2000", "fixed.2", "100")
		g.wants(g.get(g.path("/appraise")), 200, `<p class="figure-big">£2,050</p>`, "Safe, whatever the hammer falls at: £1,550.")
		g.wants(g.get("/appraise"), 200, "£2,050", "safe £1,550")
	})
	t.Run("a car that may not return", func(t *testing.T) {
		g := newCandidate(t)
		g.weighByHand()
		g.send("story", "first_used", "2018-05-01", "events", "2026-02-11 write-off category B\n2026-02-12 finance")
		g.wants(g.get(g.path("/appraise")), 200, "nothing, for the road", "would hold only if that were wrong", "this purchase: see", `!<p class="figure-big">£5,650</p>`)
		g.wants(g.get("/appraise"), 200, "not for the road", "!£5,650")
	})
	t.Run("an event of another place", func(t *testing.T) {
		g := newCandidate(t)
		g.weighByHand()
		g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
			a := r.Appraisal
			a.FirstUsed = "2018-05-01"
			a.Events = []rebuild.HistoryEvent{{On: "2025-02-11", Kind: rebuild.EventWriteOff, Category: "Z9", Jurisdiction: "Atlantis"}}
			return r.EditAppraisal(a, "2026-05-04")
		})
		g.wants(g.get(g.path("/appraise")), 200, "unknown: ask the authority", "!yes, as entered")
	})
}

func TestUnknownJurisdictionIsRefused(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post("/new", url.Values{"name": {"Norvane Tern"}, "jurisdiction": {"Atlantis"}, "distance_unit": {"mi"}, "currency": {"GBP"}, "candidate": {"1"}}),
		http.StatusUnprocessableEntity, "Atlantis", `value="Norvane Tern"`)
}

func TestNumberThatIsNone(t *testing.T) {
	for vin, says := range map[string][]string{
		"NVTERNO0DEM000001":   {"NVTERNO0DEM000001", "Position 7: the letter O is never used in a VIN"}, // a letter O
		"NVTERN00DEM00":       {"13", "17", "The car"},
		"NVTERN00DEM0000011X": {"17"},
		"":                    {"No VIN is entered."},
	} {
		t.Run(vin, func(t *testing.T) {
			g := newCandidate(t)
			w := g.post(g.path("/car"), url.Values{"rev": {"0"}, "vin": {vin}})
			if len(vin) > 17 {
				g.wants(w, http.StatusUnprocessableEntity, says...)
				return
			}
			g.wants(w, http.StatusSeeOther)
			g.wants(g.get(g.path("/appraise")), 200, says...)
		})
	}
}

func TestCandidatesSideBySide(t *testing.T) {
	g := newSurveyRig(t)
	page := g.get("/appraise")
	g.wants(page, 200, "No car is being weighed", `href="/new?candidate"`, "!Norvane Skua")
	g.wants(g.get("/new?candidate"), 200, `name="candidate" value="1" checked`)
	start := func(car rebuild.Car) {
		car.Jurisdiction, car.DistanceUnit, car.Candidate = "DE", "km", true
		if _, err := g.book.Start(t.Context(), store.By{Who: "Kim"}, car); err != nil {
			t.Fatal(err)
		}
	}
	start(rebuild.Car{Name: "Tern", Currency: "EUR"})
	start(rebuild.Car{Name: "Knot", Currency: "SEK"})
	start(rebuild.Car{Name: "Put away", Currency: "EUR", Shelved: true})
	g.id = 2
	g.send("worth", "value.likely", "3000", "confidence", "80", "asking", "900")
	page = g.get("/appraise")
	g.wants(page, 200, "€3,000", "€900", "€2,100", `href="/r/2/appraise">Tern`, `href="/r/3/appraise">Knot`, "what the car would be worth when done is not entered", "!Put away", "!Norvane Skua")
	for _, fault := range checkStructure(page.Body.String()) {
		t.Error(fault)
	}
}

// A category told with the car has no day: the drawing says so, and an empty car is
// no free one.
func TestCategoryAloneIsDrawnWithoutADay(t *testing.T) {
	g := newCandidate(t)
	g.wants(g.get(g.path("/appraise")), 200, `Cannot tell</p><p>Nothing is entered yet.`)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "category": {"B"}, "vin": {"1M8GDM9A1KP042788"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/appraise")), 200, "day not known, told today", "stands in for it", "The VIN as entered cannot be right")
}
