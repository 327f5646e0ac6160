package web

import (
	"fmt"
	"net/http"
	"strconv"
	"unicode/utf8"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// jobFormPage is the form of a job: a new one, with room for the first route to
// do it, or one that exists.
type jobFormPage struct {
	Frame
	jobFields
	Job      *rebuild.Job // nil for a new one
	Route    routeFields  // of a new job only
	Cautions []knowledge.Caution
	// AskSafety says that a finding is safety-critical and nobody said yet what
	// the job touches.
	AskSafety bool
}

// firstRoute prefixes the fields of a new job's first route, as the problems of
// the job name them.
const firstRoute = "routes.1."

// jobNewShow opens the form on the findings that the address names.
func (s *Server) jobNewShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("safety", string(rebuild.SafetyNone))
	f.Set(firstRoute+"kind", string(rebuild.Repair))
	f.Set(firstRoute+"method", string(rebuild.MethodPlain))
	f.Set(firstRoute+"choose", "1")
	if err := f.presetJob(rb, r.URL.Query()["finding"]); err != nil {
		return err
	}
	return s.jobNewForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) jobNewForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.frame(r, "New job", "jobs", rb)
	if err != nil {
		return err
	}
	class := rebuild.SafetyClass(f.Value("safety"))
	page := jobFormPage{
		Frame: frame, jobFields: newJobFields(rb, f), Route: newRouteFields(f, firstRoute, rb.Car.Currency),
		Cautions: knowledge.CautionsAt(f.Value("zone"), string(class)), AskSafety: class == "",
	}
	return s.show(w, status, "job_form", page)
}

// presetJob fills the form from the findings that the new job is to settle:
// what is known is not asked again.
func (f *Form) presetJob(rb *rebuild.Rebuild, ids []string) error {
	f.Set("findings", ids...)
	critical := false
	for _, text := range ids {
		id, _ := strconv.ParseInt(text, 10, 64)
		found := rb.Finding(id)
		if found == nil {
			return notFound(fmt.Sprintf("There is no finding %q in this rebuild.", text))
		}
		if f.Value("title") == "" {
			f.Set("title", firstLine(found.What, 200))
			f.Set("zone", found.Zone)
		}
		critical = critical || found.Safety
	}
	if critical {
		f.Set("safety", string(likelyClass[f.Value("zone")]))
	}
	return nil
}

// likelyClass is what a safety-critical finding most likely touches, where the
// zone leaves little choice; elsewhere the person is asked. It only fills the
// form: the person sees it before it counts.
//
// ref: COMMON_PRACTICE
var likelyClass = map[string]rebuild.SafetyClass{
	"front-left-corner": rebuild.SafetySuspension, "front-right-corner": rebuild.SafetySuspension,
	"rear-left-corner": rebuild.SafetySuspension, "rear-right-corner": rebuild.SafetySuspension,
	"left-sill": rebuild.SafetyStructure, "right-sill": rebuild.SafetyStructure, "roof": rebuild.SafetyStructure,
}

// firstLine is the beginning of a text that fits into a title.
func firstLine(text string, most int) string {
	for i, r := range text {
		if r == '\n' {
			text = text[:i]
			break
		}
	}
	for utf8.RuneCountInString(text) > most {
		_, last := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-last]
	}
	return text
}

// jobAdd enters a job and, when something was typed there, its first route.
func (s *Server) jobAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	job := rebuild.Job{State: rebuild.JobOpen}
	f.readJob(&job, rb.Car.Currency)
	if f.hasRoute(firstRoute) {
		job.Routes = []rebuild.Route{f.readRoute(firstRoute, rb.Car.Currency)}
		if f.Has(firstRoute+"choose", "1") {
			job.Chosen = 1
		}
	}
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddJob(job) }, toAdded(rb))
		if !f.take(err) {
			return err
		}
		f.explainChosen("the first route", firstRoute+"choose")
	}
	return s.jobNewForm(w, r, http.StatusUnprocessableEntity, rb, f)
}

// toAdded leads to the page of the job that a change added.
func toAdded(rb *rebuild.Rebuild) func(store.Record) string {
	return func(record store.Record) string {
		for _, e := range record.Edits {
			if e.Before == nil && e.Kind() == rebuild.KindJob {
				return jobPath(rb, e.ID())
			}
		}
		return Frame{Rebuild: rb}.Base() + "/jobs"
	}
}

// explainChosen says of which way a bar speaks, and moves it to the field where
// it can be helped.
func (f *Form) explainChosen(which, field string) {
	for i, p := range f.Problems {
		if p.Field == "chosen" {
			f.Problems[i] = rebuild.Problem{Field: field, Text: which + " cannot be the chosen one: " + p.Text}
		}
	}
}

// jobPath is the address of a job's page.
func jobPath(rb *rebuild.Rebuild, id int64) string {
	return Frame{Rebuild: rb}.Base() + "/jobs/" + strconv.FormatInt(id, 10)
}
