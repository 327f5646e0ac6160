package web

import (
	"fmt"
	"net/http"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// caseEdit changes what a case is about.
func (s *Server) caseEdit(w http.ResponseWriter, r *http.Request) error {
	return s.caseChange(w, r, "about", func(_ *rebuild.Rebuild, f *Form, k *rebuild.Case) string {
		f.readAbout(k)
		return ""
	})
}

// readAbout reads the symptom and what it belongs to.
func (f *Form) readAbout(k *rebuild.Case) {
	k.Title, k.Note, k.Together = f.Value("title"), f.Value("note"), f.Has("together", "1")
	k.Findings = nil
	for _, id := range f.Values["findings"] {
		n, err := strconv.ParseInt(id, 10, 64)
		if err != nil {
			f.problem("findings", "there is no finding %q", id)
			continue
		}
		k.Findings = append(k.Findings, n)
	}
}

// caseJob makes a job of a case, with its routes, and goes on to it.
func (s *Server) caseJob(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.caseOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	k := *now
	k.Rev = f.rev()
	err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		job, err := s.workshop.JobOfCase(rb, &k, f.Value("fault"))
		if err != nil {
			return rebuild.Change{}, err
		}
		return workshop.AddJobOfCase(rb, k, job)
	}, toAdded(rb))
	if !f.take(err) {
		return err
	}
	return s.caseForm(w, r, http.StatusUnprocessableEntity, rb, now, f, "job")
}

// caseFile gives the case as a file for the command.
func (s *Server) caseFile(w http.ResponseWriter, r *http.Request) error {
	rb, k, err := s.caseOf(r)
	if err != nil {
		return err
	}
	d, err := s.workshop.Diagnose(r.Context(), rb, k)
	if err != nil {
		return err
	}
	if d.Asked.Case.Faults == nil {
		return &StatusError{http.StatusUnprocessableEntity, "No file of that", fmt.Sprintf("There is nothing to weigh in the case %q, so there is no file of it.", k.Title)}
	}
	d.Asked.Title = k.Title
	text, err := d.Asked.YAML()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/yaml; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="case-%d.yaml"`, k.ID))
	_, _ = w.Write(text)
	return nil
}

// toAddedCase leads to the case that a change opened.
func toAddedCase(rb *rebuild.Rebuild) func(store.Record) string {
	return func(record store.Record) string {
		for _, e := range record.Edits {
			if e.Before == nil && e.Kind() == rebuild.KindCase {
				return casePath(rb, e.ID())
			}
		}
		return Frame{Rebuild: rb}.Base() + "/cases"
	}
}
