package web

import (
	"net/http"
	"strings"

	"wreckwright/rebuild"
)

// driveAdd keeps how a stage of the shakedown went, with what was found in it.
func (s *Server) driveAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	run := s.readRun(r, f, rb)
	photos, err := s.uploads(r, f, "photos")
	if err != nil {
		return err
	}
	run.Photos = addPhotos(s.filesBack(r, f), photos)
	found := s.readFound(f, run.Photos)
	if len(f.Problems) == 0 {
		_, record, err := s.workshop.AddRun(r.Context(), s.by(r), rb.ID, run, found...)
		if err == nil {
			return s.goOn(w, r, withDid(Frame{Rebuild: rb}.Base()+"/shakedown/"+string(run.Stage), record.ID))
		}
		if !f.take(err) {
			return err
		}
		f.foundFields()
	}
	f.setFiles(run.Photos)
	return s.driveForm(w, r, http.StatusUnprocessableEntity, rb, f, run.Photos)
}

// readRun reads a run. Distances are in the car's unit.
func (s *Server) readRun(r *http.Request, f *Form, rb *rebuild.Rebuild) rebuild.ShakedownRun {
	per := 1.0
	if rb.Car.DistanceUnit == "mi" {
		per = kmPerMile
	}
	run := rebuild.ShakedownRun{
		Stage: rebuild.ShakedownStage(r.PathValue("stage")), At: s.readMoment(f), By: f.Value("by"),
		Km: per * f.number("km", "the distance"), Minutes: f.number("minutes", "the time"),
		Felt: f.Value("felt"), Heard: f.Value("heard"), Smelt: f.Value("smelt"), Note: f.Value("note"),
		Result: rebuild.RunResult(f.Value("result")),
	}
	if id := f.whole("evidence", "the measurement"); id != 0 {
		run.Evidence = []int64{id}
	}
	if run.By == "" {
		run.By = who(r)
	}
	if read := f.optional("at_km", "the odometer"); read != nil {
		km := per * *read
		run.AtKm = &km
	}
	if run.Result == "" {
		f.problem("result", "say how it went: passed, or stopped")
	}
	return run
}

// readFound is the finding that was entered with a run, if there is one: its words
// say that there is. The photos of the run are its photos too.
func (s *Server) readFound(f *Form, photos []rebuild.Attachment) []rebuild.Finding {
	if f.Value("what") == "" {
		return nil
	}
	finding := rebuild.Finding{Photos: photos}
	f.readFinding(&finding)
	if finding.On = f.Value("on"); finding.On == "" {
		finding.On = s.today()
	}
	f.notAhead("on", "the day it was found", s.today())
	return []rebuild.Finding{finding}
}

// foundFields brings the problems of the finding to its fields.
func (f *Form) foundFields() {
	for i, p := range f.Problems {
		f.Problems[i].Field = strings.TrimPrefix(p.Field, "found.1.")
	}
}
