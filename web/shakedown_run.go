package web

import (
	"math"
	"net/http"
	"strings"
	"time"

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
	photos, err := s.photosOf(r, f, "photos")
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

// readRun reads a new run.
func (s *Server) readRun(r *http.Request, f *Form, rb *rebuild.Rebuild) rebuild.ShakedownRun {
	run := rebuild.ShakedownRun{Stage: rebuild.ShakedownStage(r.PathValue("stage")), At: s.readMoment(f)}
	f.readDrive(&run, distanceUnit(rb))
	if id := f.whole("evidence", "the measurement"); id != 0 {
		run.Evidence = []int64{id}
	}
	if run.By == "" {
		run.By = who(r)
	}
	return run
}

// readDrive reads how a run went: all but its moment and what it names. Distances
// are in the car's unit, of so many km.
func (f *Form) readDrive(run *rebuild.ShakedownRun, per float64) {
	run.By, run.Result = f.Value("by"), rebuild.RunResult(f.Value("result"))
	run.Felt, run.Heard, run.Smelt, run.Note = f.Value("felt"), f.Value("heard"), f.Value("smelt"), f.Value("note")
	if f.Value("km") != distanceField(run.Km, per) { // what was not touched stays to the last digit
		run.Km = per * f.distance("km", per)
	}
	run.Minutes = f.number("minutes", "the time")
	if run.AtKm == nil || f.Value("at_km") != odometerField(*run.AtKm, per) {
		run.AtKm = nil
		if read := f.optional("at_km", "the odometer"); read != nil {
			km := per * *read
			run.AtKm = &km
		}
	}
	if run.Result == "" {
		f.problem("result", "say how it went: passed, or stopped")
	}
}

// setDrive fills the form with a run that is there.
func (f *Form) setDrive(run *rebuild.ShakedownRun, per float64, here *time.Location) {
	for name, text := range map[string]string{
		"result": string(run.Result), "felt": run.Felt, "heard": run.Heard, "smelt": run.Smelt, "note": run.Note, "by": run.By,
		"km": distanceField(run.Km, per), "at": momentField(run.At, here),
	} {
		f.Set(name, text)
	}
	f.setNumber("minutes", run.Minutes)
	if run.AtKm != nil {
		f.Set("at_km", odometerField(*run.AtKm, per))
	}
	f.setIDs("findings", run.Findings)
	f.setIDs("evidence", run.Evidence)
	f.setFiles(run.Photos)
}

// mostKm is the longest drive that is taken, as the book has it.
const mostKm = 5000

// distance reads how far a drive went in a unit of so many km; one that cannot be
// is a problem of the form in that unit and as typed, and reads as none.
func (f *Form) distance(field string, per float64) float64 {
	v := f.number(field, "the distance")
	if most := math.Floor(mostKm / per); v < 0 || v > most {
		unit := "km"
		if per != 1 {
			unit = "miles"
		}
		f.problem(field, "the distance driven must be between 0 and %.0f %s, not %s", most, unit, f.Value(field))
		return 0
	}
	return v
}

// distanceUnit is how many km the car's unit is.
func distanceUnit(rb *rebuild.Rebuild) float64 {
	if rb.Car.DistanceUnit == "mi" {
		return rebuild.KmPerMile
	}
	return 1
}

// distanceField is a distance in the car's unit as it stands in a field; none is
// empty.
func distanceField(km, per float64) string {
	if km == 0 {
		return ""
	}
	return trimNumber(round2(km / per))
}

// odometerField is what an odometer shows: no fractions.
func odometerField(km, per float64) string { return trimNumber(math.Round(km / per)) }

// momentField is a moment as a field for day and time shows it.
func momentField(at string, here *time.Location) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.In(here).Format("2006-01-02T15:04")
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
