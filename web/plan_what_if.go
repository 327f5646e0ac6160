package web

import (
	"errors"
	"math"
	"net/http"
	"strconv"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// planIfPage asks what a change would do to the plan: nothing is saved.
type planIfPage struct {
	Frame
	Form     *Form
	Why      string // why there is no plan to change
	Jobs     []Option
	People   []Option
	Arriving []*rebuild.Delivery // that could come sooner
	Outside  []Option            // jobs that have slots
	Effect   *workshop.PlanEffect
	Goals    []goalChange
	Wrong    string
}

// goalChange is the chance of one wished date before and after.
type goalChange struct{ Name, Before, After, Change string }

func (s *Server) planIfShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.planFrame(r, "What if", rb)
	if err != nil {
		return err
	}
	f := &Form{Values: map[string][]string(r.URL.Query())}
	page := planIfPage{Frame: frame, Form: f, Outside: slotted(rb), People: []Option{{"", "Nobody"}, {"0", "Me"}}}
	for _, h := range rb.Helpers() {
		page.People = append(page.People, Option{number(h.ID), h.Name})
	}
	for i := range rb.Deliveries {
		if d := &rb.Deliveries[i]; !d.Arrived() && d.Faster != nil {
			page.Arriving = append(page.Arriving, d)
		}
	}
	p, err := s.workshop.Planned(r.Context(), rb)
	if err != nil {
		return err
	}
	page.Jobs = droppable(rb, p)
	if page.Why = p.Why; page.Why == "" {
		if err := page.work(s, r, p); err != nil {
			return err
		}
	}
	return s.showPart(w, r, "plan_what_if", "plan_what_if-effect", page)
}

// work asks for the effect of what was chosen, where something was.
func (page *planIfPage) work(s *Server, r *http.Request, p *workshop.WorkPlan) error {
	tweak, some := page.Form.readTweak(page.Arriving)
	if len(page.Form.Problems) > 0 {
		page.Wrong = page.Form.Problems[0].Text
		return nil
	}
	if !some {
		return nil
	}
	effect, err := s.workshop.WhatIfPlan(r.Context(), page.Rebuild, tweak)
	var invalid *rebuild.Invalid
	switch {
	case errors.As(err, &invalid):
		page.Wrong = invalid.Error()
		return nil
	case err != nil:
		return err
	}
	page.Effect = &effect
	for _, c := range effect.Milestones {
		for i, m := range p.Problem.Milestones {
			if m.ID == c.ID {
				page.Goals = append(page.Goals, goalChange{p.Goals[i].Name, percent(c.Before), percent(c.After), points(math.Round(100*c.After)/100 - math.Round(100*c.Before)/100)})
			}
		}
	}
	return nil
}

// readTweak reads what is asked; false where nothing is.
func (f *Form) readTweak(arriving []*rebuild.Delivery) (workshop.PlanTweak, bool) {
	var t workshop.PlanTweak
	t.Drop = f.ids("drop")
	if f.Value("helper") != "" || f.Value("helper_on") != "" {
		t.ExtraDay = f.readHelperDay()
	}
	for _, d := range arriving {
		if f.Has("faster", number(d.ID)) {
			t.Faster = append(t.Faster, d.ID)
		}
	}
	if job := f.whole("slot_job", "the job"); job != 0 {
		if day := f.Value("slot_on"); day != "" {
			t.Slot = map[int64][]string{job: {day}}
		} else {
			f.problem("slot_on", "say on which day the other slot is")
		}
	}
	return t, len(t.Drop)+len(t.ExtraDay)+len(t.Faster)+len(t.Slot) > 0
}

func (f *Form) readHelperDay() []workshop.HelperDay {
	if f.Value("helper") == "" || f.Value("helper_on") == "" {
		f.problem("helper_on", "say who comes besides, and on which day")
		return nil
	}
	if _, err := time.Parse(time.DateOnly, f.Value("helper_on")); err != nil {
		f.problem("helper_on", "%q is no date", f.Value("helper_on"))
		return nil
	}
	from, to := f.Value("helper_from"), f.Value("helper_to")
	if from == "" && to == "" {
		from, to = "9:00", "17:00"
	}
	a, b := f.stretchOfDay("helper_on", "the day besides", from, to)
	return []workshop.HelperDay{{Person: f.whole("helper", "who comes"), On: f.Value("helper_on"), From: a, To: b}}
}

// droppable are the jobs in the plan: those that could be left out.
func droppable(rb *rebuild.Rebuild, p *workshop.WorkPlan) []Option {
	options := []Option{{"", "None"}}
	for i := range rb.Jobs {
		j := &rb.Jobs[i]
		if _, there := p.TaskOfJob(j.ID); there {
			options = append(options, Option{strconv.FormatInt(j.ID, 10), j.Title})
		}
		if len(options) > mostOtherRoutes {
			break
		}
	}
	return options
}

// slotted are the jobs that somebody else does.
func slotted(rb *rebuild.Rebuild) []Option {
	var options []Option
	for i := range rb.JobPlans {
		p := &rb.JobPlans[i]
		if j := rb.Job(p.JobID); p.Outside && j != nil && j.Ahead() {
			options = append(options, Option{strconv.FormatInt(j.ID, 10), j.Title})
		}
	}
	return options
}
