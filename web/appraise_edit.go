package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// appraisalEdit reads one of the page's forms into the appraisal and keeps it;
// refused, the page comes back with that form as typed.
func (s *Server) appraisalEdit(w http.ResponseWriter, r *http.Request, open string, read func(*Form, *rebuild.Rebuild, *rebuild.Appraisal)) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	edited := rb.Appraisal
	edited.Rev = f.rev()
	read(f, rb, &edited)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(now *rebuild.Rebuild) (rebuild.Change, error) {
			return now.EditAppraisal(edited, s.today())
		}, func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/appraise#" + open })
		if err == nil || !f.take(err) {
			return err
		}
	}
	page := appraisePage{Open: open}
	switch open {
	case "worth":
		page.Worth = f
	case "fees":
		page.Fees = f
	case "story":
		page.Story = f
	case "event":
		page.Event = f
	}
	return s.appraiseForm(w, r, http.StatusUnprocessableEntity, rb, page)
}

func (s *Server) appraiseWorth(w http.ResponseWriter, r *http.Request) error {
	return s.appraisalEdit(w, r, "worth", func(f *Form, rb *rebuild.Rebuild, a *rebuild.Appraisal) {
		code := rb.Car.Currency
		a.Keep = f.Has("keep", "1")
		a.Value = f.costRange("value", "the value when done", code)
		a.MarkerDiscount = shareRange(f.numberRange("marker_discount", "the marker's discount"))
		a.SellingPercent = f.number("selling_percent", "the selling cost in percent")
		a.SellingFixed = f.money("selling_fixed", "the fixed selling cost", code)
		a.WantedProfit = f.money("wanted_profit", "the profit wanted", code)
		a.Confidence = f.share("confidence", "the chance wanted", rebuild.DefaultConfidence)
		a.Step = f.money("step", "the step of bids", code)
		a.Asking = f.money("asking", "the price asked", code)
	})
}

// worthForm opens on what is known.
func worthForm(rb *rebuild.Rebuild) *Form {
	a := &rb.Appraisal
	f := &Form{}
	f.setCosts("value", a.Value)
	f.setRange("marker_discount", scaled(a.MarkerDiscount, 100))
	f.setNumber("selling_percent", a.SellingPercent)
	f.setMoney("selling_fixed", a.SellingFixed)
	f.setMoney("wanted_profit", a.WantedProfit)
	f.setNumber("confidence", 100*a.Confidence)
	f.setMoney("step", a.BidStep(rb.Car.Currency))
	f.setMoney("asking", a.Asking)
	if a.Keep {
		f.Set("keep", "1")
	}
	return f
}

// shareRange turns a range in percent into one of shares.
func shareRange(r uncertain.Range) uncertain.Range { return scaled(r, 0.01) }

func scaled(r uncertain.Range, by float64) uncertain.Range {
	return uncertain.Range{Low: tidyShare(r.Low * by), Likely: tidyShare(r.Likely * by), High: tidyShare(r.High * by)}
}

// tidyShare takes off what a multiplication of decimals leaves behind.
func tidyShare(v float64) float64 {
	tidy, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return tidy
}

func (s *Server) appraiseFees(w http.ResponseWriter, r *http.Request) error {
	return s.appraisalEdit(w, r, "fees", func(f *Form, rb *rebuild.Rebuild, a *rebuild.Appraisal) {
		code := rb.Car.Currency
		a.Fees, a.Other = nil, nil
		for i := 1; i <= len(f.Values); i++ {
			n := strconv.Itoa(i)
			if f.filled("from."+n, "fixed."+n, "percent."+n, "minimum."+n) {
				a.Fees = append(a.Fees, rebuild.FeeBand{
					From: f.money("from."+n, "from, in band "+n, code), Fixed: f.money("fixed."+n, "fixed, in band "+n, code),
					Percent: f.number("percent."+n, "percent, in band "+n), Minimum: f.money("minimum."+n, "at least, in band "+n, code),
				})
			}
			if f.filled("other."+n, "cost."+n) {
				a.Other = append(a.Other, rebuild.OtherCost{Name: f.Value("other." + n), Cost: f.money("cost."+n, "other cost "+n, code)})
			}
		}
		a.FeeTax = f.share("fee_tax", "the tax on the fees", 0)
		a.PriceTax = f.share("price_tax", "the tax on the price", 0)
	})
}

// filled reports whether any of the fields holds something.
func (f *Form) filled(fields ...string) bool {
	return slices.ContainsFunc(fields, func(name string) bool { return f.Value(name) != "" })
}

func feesForm(a *rebuild.Appraisal) *Form {
	f := &Form{}
	for i, b := range a.Fees {
		n := strconv.Itoa(i + 1)
		f.setMoney("from."+n, b.From)
		if b.From.Minor == 0 {
			f.Set("from."+n, "0")
		}
		f.setMoney("fixed."+n, b.Fixed)
		f.setNumber("percent."+n, b.Percent)
		f.setMoney("minimum."+n, b.Minimum)
	}
	for i, o := range a.Other {
		n := strconv.Itoa(i + 1)
		f.Set("other."+n, o.Name)
		f.setMoney("cost."+n, o.Cost)
	}
	f.setNumber("fee_tax", tidyShare(100*a.FeeTax))
	f.setNumber("price_tax", tidyShare(100*a.PriceTax))
	return f
}

// appraiseStory replaces first use and all events by what stands in the lines.
func (s *Server) appraiseStory(w http.ResponseWriter, r *http.Request) error {
	return s.appraisalEdit(w, r, "story", func(f *Form, rb *rebuild.Rebuild, a *rebuild.Appraisal) {
		a.FirstUsed = f.Value("first_used")
		var problems []rebuild.Problem
		a.Events, problems = workshop.ReadEventLines(f.Value("events"), rb.Car.Jurisdiction == "US")
		f.Problems = append(f.Problems, problems...)
	})
}

// appraiseEvent adds one event.
func (s *Server) appraiseEvent(w http.ResponseWriter, r *http.Request) error {
	return s.appraisalEdit(w, r, "event", func(f *Form, _ *rebuild.Rebuild, a *rebuild.Appraisal) {
		e := rebuild.HistoryEvent{
			On: f.Value("on"), Kind: rebuild.HistoryKind(f.Value("kind")), Category: strings.ToUpper(f.Value("event_category")),
			Result: f.Value("result"), Jurisdiction: f.Value("jurisdiction"), From: f.Value("from"), Note: f.Value("note"),
		}
		if f.Value("odometer") != "" {
			e.Odometer = new(f.whole("odometer", "the odometer reading"))
		}
		a.Events = append(slices.Clone(a.Events), e)
	})
}

// appraiseBuy turns the candidate into a rebuild.
func (s *Server) appraiseBuy(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	price := f.money("price", "the price", rb.Car.Currency)
	if f.Value("price") == "" {
		f.problem("price", "the price is missing; 0 where nothing was paid")
	}
	if len(f.Problems) == 0 {
		appraised, err := s.workshop.Appraise(r.Context(), rb)
		if err != nil {
			return err
		}
		purchase := appraised.PurchaseAt(rb, f.Value("bought_on"), price, f.Value("seller"))
		err = s.change(w, r, func(now *rebuild.Rebuild) (rebuild.Change, error) {
			if now.Version != rb.Version {
				return rebuild.Change{}, fmt.Errorf("%w", &rebuild.Conflict{Kind: rebuild.KindAppraisal, ID: 1, Label: "the appraisal", Now: now.Appraisal})
			}
			return now.Buy(purchase, s.today())
		}, func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/now" })
		if err == nil || !f.take(err) {
			return err
		}
	}
	return s.appraiseForm(w, r, http.StatusUnprocessableEntity, rb, appraisePage{Open: "buy", Buy: f})
}
