package web

import (
	"net/http"
	"slices"
	"strconv"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// jobPlanPage is what the plan has to know of one job.
type jobPlanPage struct {
	Frame
	Job     *rebuild.Job
	Plan    rebuild.JobPlan
	Form    *Form
	Doers   []Option
	Helpers []tickBox // where there are several
	After   boxes
	Others  []Option
	Holds   []heldThing
	SetUps  []string // that other jobs name
}

// heldThing is a shared thing in the form of a job.
type heldThing struct {
	Thing *rebuild.Thing
	Field string
}

// Who does a job, in the form: the plan keeps it in three fields.
const (
	whoMe      = "me"
	whoBoth    = "both"
	whoHelper  = "helper"
	whoOutside = "outside"
)

func (s *Server) jobPlanShow(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	p := planOfJob(rb, job.ID)
	f.setJobPlan(p)
	f.Set("rev", strconv.Itoa(p.Rev))
	return s.jobPlanForm(w, r, http.StatusOK, rb, job, f)
}

func planOfJob(rb *rebuild.Rebuild, job int64) rebuild.JobPlan {
	if p := rb.PlanOfJob(job); p != nil {
		return *p
	}
	return rebuild.JobPlan{JobID: job}
}

func (s *Server) jobPlanForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, job *rebuild.Job, f *Form) error {
	frame, err := s.planFrame(r, "How it is planned: "+job.Title, rb)
	if err != nil {
		return err
	}
	page := jobPlanPage{
		Frame: frame, Job: job, Plan: planOfJob(rb, job.ID), Form: f, Doers: whoOptions(rb),
		After: f.afterBoxes(rb, job), Others: jobOptions(rb, "No other", job.ID), SetUps: setUps(rb),
	}
	if helpers := rb.Helpers(); len(helpers) > 1 {
		for _, h := range helpers {
			page.Helpers = append(page.Helpers, f.box("helpers", h.ID, h.Name))
		}
	}
	for i := range rb.Things {
		page.Holds = append(page.Holds, heldThing{&rb.Things[i], holdField(rb.Things[i].ID)})
	}
	return s.show(w, status, "plan_job", page)
}

func holdField(thing int64) string { return "holds." + strconv.FormatInt(thing, 10) }

// whoOptions are who may do a job: helpers only where there are some.
func whoOptions(rb *rebuild.Rebuild) []Option {
	options := []Option{{whoMe, "I do"}}
	switch helpers := rb.Helpers(); {
	case len(helpers) == 1:
		options = append(options, Option{whoBoth, helpers[0].Name + " and I"}, Option{whoHelper, helpers[0].Name + " alone"})
	case len(helpers) > 1:
		options = append(options, Option{whoBoth, "A helper and I"}, Option{whoHelper, "A helper alone"})
	}
	return append(options, Option{whoOutside, "Somebody elsewhere"})
}

// afterBoxes are the jobs that may have to be done first: those named and those
// in the same place first.
func (f *Form) afterBoxes(rb *rebuild.Rebuild, job *rebuild.Job) boxes {
	near, other := workshop.JobsToOffer(rb, job.Zone, f.ids("after"))
	but := func(jobs []*rebuild.Job) []tickBox {
		var list []tickBox
		for _, box := range f.boxesOf("after", jobs) {
			if box.ID != job.ID {
				list = append(list, box)
			}
		}
		return list
	}
	return boxesFrom(but(near), but(other))
}

// setUps are the texts by which jobs share what is set up.
func setUps(rb *rebuild.Rebuild) []string {
	var list []string
	seen := map[string]bool{"": true}
	for i := range rb.JobPlans {
		if text := rb.JobPlans[i].SetUp; !seen[text] {
			seen[text] = true
			list = append(list, text)
		}
	}
	return list
}

func (f *Form) setJobPlan(p rebuild.JobPlan) {
	f.Set("plan", strconv.FormatInt(p.ID, 10))
	f.Set("who", whoOf(p))
	f.setIDs("helpers", p.Helpers)
	f.setIDs("after", p.After)
	for _, h := range p.Holds {
		f.Set(holdField(h.Thing), strconv.Itoa(h.Count))
	}
	f.setNumber("wait_days", p.WaitDays)
	f.Set("not_before", p.NotBefore)
	f.setBox("noisy", p.Noisy)
	f.setBox("daylight", p.Daylight)
	f.Set("set_up", p.SetUp)
	f.setBox("car_goes", p.CarGoes)
	f.setRange("outside_days", p.OutsideDays)
	for i, day := range p.Slots {
		f.setAt("slot", i+1, day)
	}
	f.Set("started_at", localMoment(p.StartedAt))
	f.Set("done_at", localMoment(p.DoneAt))
	f.Set("note", p.Note)
}

func whoOf(p rebuild.JobPlan) string {
	switch {
	case p.Outside:
		return whoOutside
	case p.WithoutMe:
		return whoHelper
	case len(p.Helpers) > 0:
		return whoBoth
	}
	return whoMe
}

func (f *Form) readJobPlan(p *rebuild.JobPlan, rb *rebuild.Rebuild, now time.Time) {
	p.ID, p.Rev = f.whole("plan", "the plan of the job"), f.rev()
	p.After = f.named("after", "the job before it")
	f.readWho(p, rb, now.Format(time.DateOnly))
	p.Holds = nil
	for i := range rb.Things {
		field := holdField(rb.Things[i].ID)
		if n := f.whole(field, "how many of "+rb.Things[i].Name+" it holds"); n != 0 {
			p.Holds = append(p.Holds, rebuild.ThingUse{Thing: rb.Things[i].ID, Count: int(n)})
		}
	}
	p.WaitDays = f.number("wait_days", "the wait after it")
	p.NotBefore, p.SetUp, p.Note = f.Value("not_before"), f.Value("set_up"), f.Value("note")
	p.Noisy, p.Daylight = f.Has("noisy", "1"), f.Has("daylight", "1")
	p.StartedAt = f.moment("started_at", "the moment it began", p.StartedAt, now)
	p.DoneAt = f.moment("done_at", "the moment it was done", p.DoneAt, now)
}

// moment reads a field for date and time that may be emptied.
func (f *Form) moment(field, name, had string, now time.Time) string {
	if f.Value(field) == "" {
		return ""
	}
	return f.readMoment(field, name, had, now)
}

// readWho reads who does the job. Where there is one helper it is that one.
func (f *Form) readWho(p *rebuild.JobPlan, rb *rebuild.Rebuild, today string) {
	who := f.Value("who")
	p.Outside, p.WithoutMe, p.Helpers = who == whoOutside, who == whoHelper || who == whoOutside, nil
	if who == whoBoth || who == whoHelper {
		p.Helpers = f.ids("helpers")
		if helpers := rb.Helpers(); len(helpers) == 1 {
			p.Helpers = []int64{helpers[0].ID}
		}
		if len(p.Helpers) == 0 {
			f.problem("helpers", "say which helper")
		}
	}
	had := p.Slots
	p.CarGoes, p.OutsideDays, p.Slots = false, f.numberRange("outside_days", "how many days it takes outside"), nil
	if !p.Outside {
		p.OutsideDays = rebuild.JobPlan{}.OutsideDays // of no matter: what was typed waits in the form
		return
	}
	p.CarGoes = f.Has("car_goes", "1")
	for row := 1; row <= f.closeRows("slot"); row++ {
		on := f.at("slot", row)
		if on != "" && on < today && !slices.Contains(had, on) {
			f.problem(rowOf(row, "slots")[0], "the slot %s is past: today is %s", on, today)
		}
		p.Slots = append(p.Slots, on)
	}
}

// jobPlanEdit keeps what the plan has to know of a job.
func (s *Server) jobPlanEdit(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	p := planOfJob(rb, job.ID)
	f.readJobPlan(&p, rb, s.now())
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.SetJobPlan(p) }, toJob(rb, job.ID))
		if !f.take(err) {
			return err
		}
	}
	return s.jobPlanForm(w, r, http.StatusUnprocessableEntity, rb, job, f)
}

// jobStart keeps with one tap that work on a job began now.
func (s *Server) jobStart(w http.ResponseWriter, r *http.Request) error {
	return s.jobTap(w, r, (*rebuild.Rebuild).StartJob)
}

// jobFinish keeps with one tap that a job is done now.
func (s *Server) jobFinish(w http.ResponseWriter, r *http.Request) error {
	return s.jobTap(w, r, (*rebuild.Rebuild).FinishJob)
}

func (s *Server) jobTap(w http.ResponseWriter, r *http.Request, tap func(*rebuild.Rebuild, int64, string) (rebuild.Change, error)) error {
	id, err := pathNumber(r, "job")
	if err != nil {
		return err
	}
	if _, err := readForm(r); err != nil {
		return err
	}
	at := s.now().Format(time.RFC3339)
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return tap(rb, id, at) },
		func(store.Record) string { return backTo(r, "/r/"+r.PathValue("rebuild")+"/plan/today") })
}
