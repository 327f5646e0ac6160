package web

import (
	"html/template"
	"net/http"
	"time"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// moneyPage is the money of a rebuild: what it will come to and with what doubt,
// what drives the doubt, what if, and what doing it at home saves.
type moneyPage struct {
	Frame
	Outlook      *workshop.Outlook
	Distribution template.HTML
	Fan          template.HTML
	Drivers      []moneyDriver
	DriverBars   template.HTML
	Savings      workshop.Savings
	MoreSavings  int // jobs that the list leaves out
	WhatIf       whatIf
	Finish       workshop.Finish
	Record       string // what the closed jobs say, in words
	Empty        bool   // nothing to forecast yet
}

// moneyDriver is one driver of the doubt with the page that can lower it.
type moneyDriver struct {
	workshop.Driver
	Href string
}

// driversShown is how many drivers the figure names.
const driversShown = 8

func (s *Server) moneyShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	page, err := s.moneyPage(r, rb)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "money", page)
}

func (s *Server) moneyPage(r *http.Request, rb *rebuild.Rebuild) (moneyPage, error) {
	page := moneyPage{}
	var err error
	if page.Frame, err = s.frame(r, "Money", "money", rb); err != nil {
		return page, err
	}
	outlook, err := s.workshop.Forecast(r.Context(), rb)
	if err != nil {
		return page, err
	}
	page.Outlook = &outlook
	page.Empty = len(rb.Jobs) == 0 && len(outlook.Result.Hidden) == 0
	if page.Savings, err = s.workshop.Savings(rb); err != nil {
		return page, err
	}
	page.MoreSavings = shortenSavings(&page.Savings)
	page.WhatIf = s.whatIf(r, page.Frame)
	history, err := s.workshop.History(r.Context(), rb)
	if err != nil {
		return page, err
	}
	page.Finish = history.Finish
	page.Record = outlook.Bias.Words()
	if !page.Empty {
		page.Distribution = distributionOf(page.Frame, "total", &outlook)
		page.Drivers, page.DriverBars = driversOf(page.Frame, outlook.Drivers)
	}
	if len(history.Spent) > 0 || !page.Empty {
		page.Fan = fanOf(page.Frame, &outlook, history)
	}
	return page, nil
}

// savingsShown is how many jobs the list of savings holds: the largest savings of
// each kind. The table of all jobs has the others.
const savingsShown = 100

// shortenSavings takes the end off a long list and gives the number of jobs that
// it left out. The sums at the end of the working stay.
func shortenSavings(s *workshop.Savings) int {
	more := len(s.Jobs) - savingsShown
	if more <= 0 {
		return 0
	}
	s.Jobs = s.Jobs[:savingsShown]
	const sums = 3
	if n := len(s.Working); n > sums {
		s.Working = s.Working[n-sums:]
	}
	return more
}

// distributionOf draws what the whole may come to, the ceiling on it.
func distributionOf(f Frame, id string, o *workshop.Outlook) template.HTML {
	d := chart.Distribution{
		Head: chart.Head{ID: id, Title: "What it may come to in the end"}, Money: f.drawnMoney(), Bins: binsOf(o),
		P10: o.Total.P10, P50: o.Total.P50, P80: o.Total.P80, P90: o.Total.P90, Spent: o.Spent,
	}
	if o.Ceiling != nil {
		d.Ceiling = *o.Ceiling
	}
	return chart.NewDistribution(d).HTML()
}

// binsOf are the forecast's bins as shares of all trials. The few beyond the
// ends are left out of the drawing; the figures count them.
func binsOf(o *workshop.Outlook) []chart.Bin {
	h := o.Histogram
	if h.Width == 0 {
		return []chart.Bin{{Low: o.Total.P50 - 0.5, High: o.Total.P50 + 0.5, Share: 1}}
	}
	bins := make([]chart.Bin, len(h.Counts))
	for i, n := range h.Counts {
		low := h.From + float64(i)*h.Width
		bins[i] = chart.Bin{Low: low, High: low + h.Width, Share: float64(n) / float64(o.Trials)}
	}
	return bins
}

func driversOf(f Frame, drivers []workshop.Driver) ([]moneyDriver, template.HTML) {
	figure := chart.Drivers{Head: chart.Head{ID: "drivers", Title: "Where the doubt comes from"}}
	var list []moneyDriver
	rest := 0.0
	for i, d := range drivers {
		if i >= driversShown {
			rest += d.Share
			continue
		}
		target := workshop.Target{Page: "job", ID: d.JobID}
		switch {
		case d.JobID == 0 && d.Zone == "":
			target = workshop.Target{Page: "plan"}
		case d.JobID == 0:
			target = workshop.Target{Page: "zone", Zone: d.Zone}
		}
		list = append(list, moneyDriver{d, f.To(target)})
		figure.Items = append(figure.Items, chart.Driver{Name: capital(d.Name), Share: d.Share})
	}
	if rest != 0 {
		figure.Items = append(figure.Items, chart.Driver{Name: "All others together", Share: rest})
	}
	return list, chart.NewDrivers(figure).HTML()
}

// fanOf draws money over time. Where own hours have a worth the earlier totals
// hold it and the ledger does not; the text beside the figure says so.
func fanOf(f Frame, o *workshop.Outlook, history workshop.Fan) template.HTML {
	fan := chart.Fan{
		Head: chart.Head{ID: "fan", Title: "Spent and expected over time"}, Money: f.drawnMoney(),
		Today: dayOf(history.Today), P10: o.Total.P10, P50: o.Total.P50, P90: o.Total.P90,
	}
	if history.Finish.Known {
		fan.FinishP10, fan.FinishP50, fan.FinishP90 = dayOf(history.Finish.P10), dayOf(history.Finish.P50), dayOf(history.Finish.P90)
	}
	if history.Ceiling != nil {
		fan.Ceiling = *history.Ceiling
	}
	for _, step := range history.Spent {
		fan.Spent = append(fan.Spent, chart.SpentPoint{Date: dayOf(step.On), Total: step.Amount})
	}
	for _, m := range history.Marks {
		fan.Earlier = append(fan.Earlier, chart.Outlook{Date: dayOf(m.On), P10: m.P10, P50: m.P50, P90: m.P90})
	}
	return chart.NewFan(fan).HTML()
}

// dayOf is the moment of an ISO date; the zero time where it is none.
func dayOf(iso string) time.Time {
	d, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return time.Time{}
	}
	return d
}
