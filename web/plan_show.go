package web

import (
	"html/template"
	"math"
	"mime"
	"net/http"
	"strconv"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// planPage is when it is done: the finish and the milestones with their chances,
// the plan over time, what later plans are held against.
type planPage struct {
	Frame
	Plan   *workshop.WorkPlan
	Line   template.HTML
	Hidden int // tasks that the line leaves out
	All    bool
	Goals  []goalLine
	Delays []delayLine
	Drift  drift
}

// goalLine is a milestone with where it stands.
type goalLine struct {
	plan.Reached
	workshop.PlanGoal
	P50, P80 string // dates
	Href     string
}

// delayLine is a task whose delay would cost most.
type delayLine struct {
	Title, Href string
	Days        float64 // that the finish comes later for a day
	Cost        float64
	Criticality float64
}

// shownDelays is how many of them are listed.
const shownDelays = 6

func (s *Server) planShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.planFrame(r, "Plan", rb)
	if err != nil {
		return err
	}
	page := planPage{Frame: frame, All: r.URL.Query().Get("all") == "1"}
	if page.Plan, err = s.workshop.Planned(r.Context(), rb); err != nil {
		return err
	}
	if page.Plan.Why == "" {
		page.Line, page.Hidden = planLine(frame, page.Plan, page.All)
		page.Goals = goalLines(frame, page.Plan)
		page.Delays = delayLines(frame, page.Plan)
	}
	history, err := s.workshop.PlanHistory(r.Context(), rb)
	if err != nil {
		return err
	}
	page.Drift = driftOf(page.Plan, history)
	return s.showPart(w, r, "plan", "plan-status", page)
}

// goalLines are the milestones ahead, the earliest first as the plan has them.
func goalLines(f Frame, p *workshop.WorkPlan) []goalLine {
	var lines []goalLine
	for i, reached := range p.Reached {
		lines = append(lines, goalLine{
			reached, p.Goals[i], isoDate(p.Date(reached.Quantiles.P50)), isoDate(p.Date(reached.Quantiles.P80)), f.goalPath(p.Goals[i]),
		})
	}
	return lines
}

func isoDate(t time.Time) string { return t.Format(time.DateOnly) }

// goalPath is the page of a milestone: a gate's own, or its form.
func (f Frame) goalPath(g workshop.PlanGoal) string {
	if g.Gate != "" {
		return f.GatePath(g.Gate)
	}
	return f.Base() + planMilestones.path + "/" + number(g.MilestoneID)
}

func number(id int64) string { return strconv.FormatInt(id, 10) }

// delayLines are the tasks whose delay costs most days or money, the dearest first.
func delayLines(f Frame, p *workshop.WorkPlan) []delayLine {
	var lines []delayLine
	for i, d := range p.Doubt.Tasks {
		if d.DelayDays < 0.1 && d.DelayCost < 1 {
			continue
		}
		lines = append(lines, delayLine{p.Tasks[i].Title, f.taskPath(p.Tasks[i]), d.DelayDays, d.DelayCost, d.Criticality})
	}
	byMost(lines, func(l delayLine) float64 { return 1e6*l.Cost + l.Days })
	return lines[:min(len(lines), shownDelays)]
}

// taskPath is where a task of the plan is to be found in the book.
func (f Frame) taskPath(t workshop.PlanTask) string {
	if t.DeliveryID != 0 {
		return f.Base() + planDeliveries.path + "/" + number(t.DeliveryID)
	}
	return f.To(t.Target)
}

// Days says a number of days as a person would: "3 days", "half a day".
func (f Frame) Days(v float64) string { return daysWords(v) }

func daysWords(v float64) string {
	rounded := math.Round(math.Abs(v))
	switch {
	case math.Abs(v) < 0.05:
		return "no time"
	case math.Abs(v) < 0.3:
		return "a few hours"
	case math.Abs(v) < 0.75:
		return "half a day"
	case rounded <= 1:
		return "1 day"
	}
	return trimNumber(rounded) + " days"
}

// drift is the plan as it stood first and now.
type drift struct {
	Since string
	Kept  bool
	Rows  []driftRow
}

type driftRow struct {
	Name      string
	Then, Now string // dates with an even chance
	Later     int    // days, earlier where negative
}

// Moved says how far a date moved.
func (r driftRow) Moved() string {
	switch {
	case r.Later > 0:
		return plural(r.Later, "day later", "days later")
	case r.Later < 0:
		return plural(-r.Later, "day earlier", "days earlier")
	}
	return "the same"
}

// driftOf holds the plan against an earlier one, milestone by milestone.
func driftOf(p *workshop.WorkPlan, h workshop.PlanHistory) drift {
	if h.First == nil || p.Why != "" {
		return drift{}
	}
	d := drift{Since: h.First.On, Kept: h.Kept}
	then := map[string]string{}
	for _, m := range h.First.Reached {
		then[m.Key] = m.P50
	}
	for _, m := range p.Stand.Reached {
		if was, ok := then[m.Key]; ok {
			d.Rows = append(d.Rows, newDriftRow(m.Name, was, m.P50))
		}
	}
	d.Rows = append(d.Rows, newDriftRow("All of it", h.First.P50, p.Stand.P50))
	return d
}

func newDriftRow(name, then, now string) driftRow {
	row := driftRow{Name: name, Then: then, Now: now}
	a, errA := time.Parse(time.DateOnly, then)
	b, errB := time.Parse(time.DateOnly, now)
	if errA == nil && errB == nil {
		row.Later = int(math.Round(b.Sub(a).Hours() / 24))
	}
	return row
}

// planKeep keeps the plan as it stands, so that later ones are held against it, or
// goes back to the first there was.
func (s *Server) planKeep(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var stand *rebuild.PlanStand
	if !f.Has("first", "1") {
		p, err := s.workshop.Planned(r.Context(), rb)
		if err != nil {
			return err
		}
		if p.Why != "" {
			return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "plan", Text: "there is no plan to keep: " + p.Why}}}
		}
		kept := p.Stand
		stand = &kept
	}
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.KeepPlan(stand) },
		func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/plan" })
}

// planCalendar hands out the plan as a calendar file.
func (s *Server) planCalendar(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	text, err := s.workshop.Calendar(r.Context(), rb, s.now())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": rb.Car.Name + " plan.ics"}))
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write([]byte(text)) // the reader may have gone
	return nil
}
