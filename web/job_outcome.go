package web

import (
	"net/http"

	"wreckwright/rebuild"
)

// setOutcome fills the form that says how the job stands.
func (f *Form) setOutcome(j *rebuild.Job) {
	f.Set("state", string(j.State))
	f.Set("waiting_for", j.WaitingFor)
	f.Set("done_on", j.DoneOn)
	if j.HoursSpent > 0 {
		f.Set("hours_spent", trimNumber(j.HoursSpent))
	}
	f.setBox("failed", j.Failed)
	f.setBox("cost_nothing", j.CostNothing)
	f.Set("proof", j.Proof)
	f.setFiles(j.Proofs)
}

func (f *Form) setBox(field string, ticked bool) {
	if ticked {
		f.Set(field, "1")
	}
}

// readOutcome reads how the job stands. A finished job without a day was
// finished today; one that is not finished has none.
func (f *Form) readOutcome(had []rebuild.Attachment, today string) rebuild.Outcome {
	o := rebuild.Outcome{
		State:       rebuild.JobState(f.Value("state")),
		WaitingFor:  f.Value("waiting_for"),
		DoneOn:      f.Value("done_on"),
		HoursSpent:  f.number("hours_spent", "the hours spent"),
		Failed:      f.Has("failed", "1"),
		CostNothing: f.Has("cost_nothing", "1"),
		Proof:       f.Value("proof"),
		Proofs:      f.keptFiles(had),
	}
	switch {
	case o.State != rebuild.JobDone && o.State != rebuild.JobProven:
		o.DoneOn = ""
	case o.DoneOn == "":
		o.DoneOn = today
	}
	if o.DoneOn != "" || o.State == rebuild.JobDropped {
		o.WaitingFor = "" // nothing is waited for any more
	}
	return o
}

// jobOutcome moves a job to another state and keeps what came out.
func (s *Server) jobOutcome(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	proofs, err := s.editedFiles(r, f, job.Proofs, s.uploads)
	if err != nil {
		return err
	}
	outcome, rev := f.readOutcome(proofs, s.today()), f.rev()
	f.notAhead("done_on", "the day it was done", s.today())
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.SetOutcome(job.ID, rev, outcome) }, toJob(rb, job.ID))
		if !f.take(err) {
			return err
		}
	}
	return s.jobPage(w, r, http.StatusUnprocessableEntity, rb, job, f, proofs)
}
