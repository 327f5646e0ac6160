package web

import (
	"net/http"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// jobOf loads the rebuild and the job that the address names.
func (s *Server) jobOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Job, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "job")
	if err != nil {
		return nil, nil, err
	}
	job := rb.Job(id)
	if job == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindJob, ID: id}
	}
	return rb, job, nil
}

func (s *Server) jobEditShow(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setJob(job)
	f.Set("rev", trimNumber(float64(job.Rev)))
	return s.jobEditForm(w, r, http.StatusOK, rb, job, f)
}

func (s *Server) jobEditForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, job *rebuild.Job, f *Form) error {
	frame, err := s.frame(r, "Edit: "+job.Title, "jobs", rb)
	if err != nil {
		return err
	}
	return s.show(w, status, "job_form", jobFormPage{
		Frame: frame, jobFields: newJobFields(rb, f), Job: job,
		Cautions: knowledge.CautionsAt(job.Zone, string(job.Safety)),
	})
}

// jobEdit takes the form's fields over into the job; its routes and its outcome
// stay as they are.
func (s *Server) jobEdit(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	edited := *job
	f.readJob(&edited, rb.Car.Currency)
	edited.Rev = f.rev()
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditJob(edited) }, toJob(rb, job.ID))
		if !f.take(err) {
			return err
		}
		f.explainChosen("The route that is chosen", "safety")
	}
	return s.jobEditForm(w, r, http.StatusUnprocessableEntity, rb, job, f)
}

// toJob leads to the job's page whatever was recorded.
func toJob(rb *rebuild.Rebuild, id int64) func(store.Record) string {
	return func(store.Record) string { return jobPath(rb, id) }
}

// jobChoose decides which way the job goes; route 0 takes the choice back.
func (s *Server) jobChoose(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	route, rev := f.whole("route", "the route"), f.rev()
	if len(f.Problems) > 0 {
		return badRequest("Which route was meant? Go back to the job and choose it there.")
	}
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.ChooseRoute(job.ID, rev, route) }, toJob(rb, job.ID))
}
