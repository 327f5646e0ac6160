package web

import (
	"html/template"
	"math"
	"net/http"
	"strconv"
	"strings"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// whatIf is the sliders and what they come to. Without script they are a plain
// form; with it each move asks for the part of the page that changes.
type whatIf struct {
	Sliders []slider
	Jobs    []Option // that could go another way: "3:7" is job 3 by its route 7
	Job     string
	Outlook *workshop.Outlook // nil while nothing is moved
	Bar     template.HTML
	Wrong   string // why it could not be worked out
	Rows    []whatIfRow
}

// slider is one figure to move.
type slider struct {
	Name, Label, Unit string
	Min, Max, Step    float64
	Value             float64
	Neutral           float64
}

// whatIfRow is one figure as it is and as it would be.
type whatIfRow struct{ Label, Now, Then, Change string }

func (s *Server) whatIfShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	if r.Header.Get("HX-Request") != "true" {
		page, err := s.moneyPage(r, rb)
		if err != nil {
			return err
		}
		return s.show(w, http.StatusOK, "money", page)
	}
	page := moneyPage{}
	if page.Frame, err = s.frame(r, "Money", "money", rb); err != nil {
		return err
	}
	page.WhatIf = s.whatIf(r, page.Frame)
	return s.showPart(w, r, "money", "money-what-if", page)
}

// whatIf reads the sliders out of the address and, where one is moved, asks the
// workshop.
func (s *Server) whatIf(r *http.Request, frame Frame) whatIf {
	rb := frame.Rebuild
	w := whatIf{Sliders: sliders(rb), Jobs: otherRoutes(rb), Job: r.URL.Query().Get("job")}
	moved := w.Job != ""
	for i := range w.Sliders {
		moved = w.Sliders[i].read(r.URL.Query().Get(w.Sliders[i].Name)) || moved
	}
	if !moved {
		return w
	}
	outlook, err := s.workshop.WhatIf(r.Context(), rb, w.tweak())
	if err != nil {
		s.log.Debug("what-if not worked out", "path", r.URL.RequestURI(), "error", err)
		w.Wrong = err.Error()
		return w
	}
	w.Outlook = &outlook
	w.Rows = whatIfRows(frame, &outlook)
	bar := chart.CeilingBar{
		Head: chart.Head{ID: "what-if-bar", Title: "What it would come to"}, Money: frame.drawnMoney(),
		Spent: outlook.Spent, P50: outlook.Total.P50, P80: outlook.Total.P80,
	}
	if outlook.Ceiling != nil {
		bar.Ceiling = *outlook.Ceiling
	}
	w.Bar = chart.NewCeilingBar(bar).HTML()
	return w
}

// sliders are what can be moved, each at where it stands.
func sliders(rb *rebuild.Rebuild) []slider {
	ceiling, hour := rb.Car.Ceiling.Float(), rb.Car.HourValue.Float()
	list := []slider{
		{"costs", "All costs ahead", "%", -50, 100, 5, 0, 0},
		{"hidden", "Faults still hidden", "%", -100, 200, 10, 0, 0},
		{"common", "How much jobs run over together: 0 not at all, 0.95 nearly always", "", 0, 0.95, 0.05, rb.Car.Correlation, rb.Car.Correlation},
		{"hour", "Worth of an own hour", rb.Car.Currency, 0, max(100, 2*math.Ceil(hour)), 1, hour, hour},
	}
	if ceiling > 0 {
		step := math.Pow(10, math.Floor(math.Log10(ceiling))-1)
		list = append(list, slider{"ceiling", "Ceiling", rb.Car.Currency, math.Floor(ceiling/2/step) * step, math.Ceil(ceiling*1.5/step) * step, step / 4, ceiling, ceiling})
	}
	return list
}

// read takes a slider's value out of the address, held to its bounds; false
// where it was not moved.
func (s *slider) read(text string) bool {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) {
		return false
	}
	s.Value = min(max(v, s.Min), s.Max)
	if !s.moved() {
		s.Value = s.Neutral
	}
	return s.moved()
}

// moved reports whether the slider stands elsewhere than the figure itself. A
// browser puts a figure between two steps on the nearer one: that is no move.
func (s slider) moved() bool { return math.Abs(s.Value-s.Neutral) > s.Step/2+1e-9 }

// Says is a slider's value in words, thousands grouped.
func (s slider) Says() string {
	return strings.TrimSpace(group(s.Show(s.Value)) + " " + s.Unit)
}

// Show writes a slider's value for a field.
func (s slider) Show(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (w whatIf) tweak() workshop.Tweak {
	var t workshop.Tweak
	for _, s := range w.Sliders {
		switch {
		case !s.moved():
		case s.Name == "costs":
			t.CostPercent = s.Value
		case s.Name == "hidden":
			t.HiddenPercent = s.Value
		case s.Name == "common":
			t.Correlation = &s.Value
		case s.Name == "hour":
			t.HourValue = &s.Value
		case s.Name == "ceiling":
			t.Ceiling = &s.Value
		}
	}
	if job, route, ok := readOtherRoute(w.Job); ok {
		t.Jobs = []workshop.JobTweak{{JobID: job, Route: route}}
	}
	return t
}

// mostOtherRoutes bounds the list of other ways.
const mostOtherRoutes = 200

// otherRoutes are the ways that jobs ahead do not go now and may.
func otherRoutes(rb *rebuild.Rebuild) []Option {
	options := []Option{{"", "As planned"}}
	for i := range rb.Jobs {
		j := &rb.Jobs[i]
		planned, ok := j.Planned()
		if !j.Ahead() || !ok {
			continue
		}
		for _, route := range j.Routes {
			if route.ID == planned.ID || len(rebuild.Bars(j.Safety, route)) > 0 {
				continue
			}
			options = append(options, Option{
				strconv.FormatInt(j.ID, 10) + ":" + strconv.FormatInt(route.ID, 10),
				j.Title + ": " + route.Name + " instead",
			})
		}
		if len(options) > mostOtherRoutes {
			break
		}
	}
	return options
}

func whatIfRows(f Frame, o *workshop.Outlook) []whatIfRow {
	base := o.Base
	money := func(label string, now, then float64) whatIfRow {
		return whatIfRow{label, f.Whole(now), f.Whole(then), signed(f, then-now)}
	}
	rows := []whatIfRow{
		money("Half of all ways it may go stay under", base.Total.P50, o.Total.P50),
		money("Four in five stay under", base.Total.P80, o.Total.P80),
		money("On average", base.Total.Mean, o.Total.Mean),
	}
	if base.ChanceUnderCeiling != nil && o.ChanceUnderCeiling != nil {
		now, then := *base.ChanceUnderCeiling, *o.ChanceUnderCeiling
		rows = append(rows, whatIfRow{"Chance to stay under the ceiling", percent(now), percent(then), points(then - now)})
	}
	return rows
}

func signed(f Frame, v float64) string {
	if math.Round(v) > 0 {
		return "+" + f.Whole(v)
	}
	return f.Whole(v)
}

// points is a difference of two chances, in points of a hundred.
func points(d float64) string {
	n := math.Round(100 * d)
	switch {
	case n > 0:
		return "+" + strconv.FormatFloat(n, 'f', 0, 64) + " points"
	case n < 0:
		return "\u2212" + strconv.FormatFloat(-n, 'f', 0, 64) + " points"
	}
	return "the same"
}

func readOtherRoute(text string) (job, route int64, ok bool) {
	before, after, found := strings.Cut(text, ":")
	job, errJob := strconv.ParseInt(before, 10, 64)
	route, errRoute := strconv.ParseInt(after, 10, 64)
	return job, route, found && errJob == nil && errRoute == nil
}
