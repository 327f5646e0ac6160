package web

import (
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wreckwright/appraise/bid"
	"wreckwright/appraise/history"
	"wreckwright/chart"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// appraisePage weighs one car: the number, the story, the bid; after the purchase
// it shows what was expected beside what happened.
type appraisePage struct {
	Frame
	Appraised *workshop.Appraised
	Appraisal *rebuild.Appraisal
	Curve     template.HTML
	Timeline  template.HTML
	EventList template.HTML
	Story     *Form // first use and the events as lines
	Event     *Form // one more event
	Worth     *Form // value, sale, profit, confidence
	Fees      *Form // bands, taxes, other costs
	Buy       *Form
	Open      string // the form that is open: worth, fees, story, event, buy
	Kinds     []Option
	Places    []Option // where an event happened
	Origins   []Option // where an import came from
	BandRows  []int
	OtherRows []int
	Since     []sinceRow // what was expected at the purchase beside today
}

// sinceRow is one figure as expected at the purchase and as it stands.
type sinceRow struct{ Label, Then, Now string }

func (s *Server) appraiseShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.appraiseForm(w, r, http.StatusOK, rb, appraisePage{Open: r.URL.Query().Get("open")})
}

// appraiseForm shows the page; forms that page already has are kept, so that a
// refused one comes back as typed.
func (s *Server) appraiseForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, page appraisePage) error {
	var err error
	if page.Frame, err = s.frame(r, "Appraise", "appraise", rb); err != nil {
		return err
	}
	appraised, err := s.workshop.Appraise(r.Context(), rb)
	if err != nil {
		return err
	}
	page.Appraised, page.Appraisal = &appraised, &rb.Appraisal
	page.Kinds = optionsOf(rebuild.HistoryKinds)
	page.Places = append([]Option{{"", "here, or not said"}}, jurisdictionOptions()...)
	page.Origins = append([]Option{{"", "no import, or not known"}}, jurisdictionOptions()...)
	page.openForms(rb)
	if appraised.Bid != nil && rb.Appraisal.Bought == nil { // afterwards there is nothing left to bid
		page.Curve = bidCurve(page.Frame, &appraised)
	}
	if appraised.Story != nil {
		page.Timeline, page.EventList = timelineOf(page.Frame, appraised.Story)
	}
	if rb.Appraisal.Bought != nil {
		page.Since = since(page.Frame, rb, &appraised)
	}
	return s.show(w, status, "appraise", page)
}

// openForms fills the forms that are not shown again.
func (p *appraisePage) openForms(rb *rebuild.Rebuild) {
	a := &rb.Appraisal
	if p.Worth == nil {
		p.Worth = worthForm(rb)
	}
	if p.Fees == nil {
		p.Fees = feesForm(a)
	}
	if p.Story == nil {
		p.Story = &Form{}
		p.Story.Set("first_used", a.FirstUsed)
		p.Story.Set("events", workshop.EventLines(a.Events))
	}
	if p.Event == nil {
		p.Event = &Form{}
	}
	if p.Buy == nil {
		p.Buy = &Form{}
		p.Buy.Set("bought_on", p.Today)
		if a.Asking.Minor > 0 {
			p.Buy.Set("price", a.Asking.Number())
		}
	}
	p.BandRows = p.Fees.rowsFor(len(a.Fees), "from", "fixed", "percent", "minimum")
	p.OtherRows = p.Fees.rowsFor(len(a.Other), "other", "cost")
}

// rowsFor numbers the rows of a list in a form: those there are or were typed,
// and two to add.
func (f *Form) rowsFor(n int, fields ...string) []int {
	for name := range f.Values {
		field, row, _ := strings.Cut(name, ".")
		if at, err := strconv.Atoi(row); err == nil && slices.Contains(fields, field) && f.Value(name) != "" {
			n = max(n, min(at, mostRows))
		}
	}
	rows := make([]int, n+2)
	for i := range rows {
		rows[i] = i + 1
	}
	return rows
}

// mostRows is more than what an appraisal takes; it bounds the form.
const mostRows = 60

func bidCurve(f Frame, a *workshop.Appraised) template.HTML {
	c := chart.BidCurve{Head: chart.Head{ID: "bids", Title: "What a bid leads to"}, Money: f.drawnMoney(), Wanted: a.Bid.Wanted}
	add := func(p bid.Point) {
		c.Points = append(c.Points, chart.BidPoint{Bid: p.Bid, Chance: p.Chance, ExpectedProfit: p.ExpectedProfit})
	}
	for _, p := range a.Bid.Curve {
		add(p)
	}
	for _, e := range a.Bid.Edges {
		c.Edges = append(c.Edges, e.Above)
	}
	kinds := map[string]chart.BidMarkKind{"cautious": chart.BidCautious, "chosen": chart.BidChosen, "even": chart.BidEven}
	for _, m := range a.Bid.Marked {
		if kind, ok := kinds[m.Name]; ok && m.Bid != nil {
			add(a.Bid.At(*m.Bid))
			c.Marks = append(c.Marks, chart.BidMark{Kind: kind, Bid: *m.Bid, Confidence: m.Confidence})
		}
	}
	if a.Bid.SafeBid != nil && a.Bid.MaxBid != nil && *a.Bid.SafeBid != *a.Bid.MaxBid {
		add(a.Bid.At(*a.Bid.SafeBid))
		c.Marks = append(c.Marks, chart.BidMark{Kind: chart.BidSafe, Bid: *a.Bid.SafeBid})
	}
	if a.Asking != nil {
		add(*a.Asking)
		c.Marks = append(c.Marks, chart.BidMark{Kind: chart.BidAsking, Bid: a.Asking.Bid})
	}
	return chart.NewBidCurve(c).HTML()
}

func timelineOf(f Frame, story *history.Result) (figure, list template.HTML) {
	t := chart.Timeline{
		Head: chart.Head{ID: "story", Title: "The car's story"}, Unit: story.Unit, Today: dayOf(f.Today), Group: f.drawnMoney().Group, Linked: true,
	}
	before := 0.0
	for _, p := range story.Timeline {
		label := p.Result
		if p.Category != "" {
			label = "category " + p.Category
		}
		if p.Undated {
			label += ", day not known, told today"
		}
		weight := chart.EventWeight(p.Severity)
		if p.Severity == "" {
			weight = chart.EventPlain
		}
		t.Events = append(t.Events, chart.TimelineEvent{Date: dayOf(p.Date), Kind: p.Kind, Label: label, Weight: weight})
		if p.Odometer == nil {
			continue
		}
		t.Readings = append(t.Readings, chart.OdometerReading{Date: dayOf(p.Date), Distance: *p.Odometer, Doubt: doubtOf(p, before)})
		before = *p.Odometer
	}
	return chart.NewTimeline(t).HTML(), t.List()
}

// doubtOf says how a reading stands to the one before it. A fall names both.
func doubtOf(p history.Point, before float64) chart.ReadingDoubt {
	switch {
	case slices.Contains(p.Flags, "odometer-falls") && *p.Odometer < before:
		return chart.ReadingFalls
	case !p.InLine || slices.Contains(p.Flags, "pace-implausible"):
		return chart.ReadingOffPace
	}
	return chart.ReadingSound
}

// since puts what was expected at the purchase beside what is known today.
func since(f Frame, rb *rebuild.Rebuild, a *workshop.Appraised) []sinceRow {
	b, o := rb.Appraisal.Bought, &a.Outlook
	paid, now := amount.New(b.Price.Minor+b.Fees.Minor, rb.Car.Currency), boughtFor(rb)
	work := now.Float()
	rows := []sinceRow{
		{"Price and fees", f.WholeOf(paid), f.WholeOf(now)},
		{"All else, expected", f.Whole(b.Cost.Mean), f.Whole(o.Total.Mean - work)},
		{"One in ten cheaper", f.Whole(b.Cost.P10), f.Whole(o.Total.P10 - work)},
		{"One in ten dearer", f.Whole(b.Cost.P90), f.Whole(o.Total.P90 - work)},
		{"Jobs counted", strconv.Itoa(b.JobCount), strconv.Itoa(jobsCounted(rb))},
	}
	if a.Bid != nil && b.Weighed() {
		rows = append(rows, sinceRow{"Profit, expected", f.Whole(b.ExpectedProfit), f.Whole(a.Bid.Net.Mean - o.Total.Mean)})
	}
	return rows
}

// jobsCounted is how many jobs are not dropped.
func jobsCounted(rb *rebuild.Rebuild) int {
	n := 0
	for i := range rb.Jobs {
		if rb.Jobs[i].State != rebuild.JobDropped {
			n++
		}
	}
	return n
}

// boughtFor is what the ledger says of the purchase: price and fees.
func boughtFor(rb *rebuild.Rebuild) amount.Amount {
	var sum int64
	for i := range rb.Entries {
		if e := &rb.Entries[i]; e.Kind == rebuild.EntryPurchase || e.Kind == rebuild.EntryFee && e.JobID == 0 && e.On == rb.Appraisal.Bought.On {
			sum += e.Amount.Minor
		}
	}
	return rb.Amount(sum)
}
