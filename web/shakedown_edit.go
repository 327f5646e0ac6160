package web

import (
	"net/http"
	"slices"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// runPage is one run of the shakedown, to be put right and added to.
type runPage struct {
	Frame
	Stage  string // its name
	Run    *rebuild.ShakedownRun
	When   string
	Form   *Form
	Unit   string // of distances
	Photos []rebuild.Attachment

	Findings []tickBox // named by it
	Measured []tickBox // likewise
	Others   []Option  // findings to name too
	Evidence []Option  // measurements to name too
}

// runFoundPage is the form for something found in a run that was not entered with
// it.
type runFoundPage struct {
	Frame
	Stage  string
	Run    *rebuild.ShakedownRun
	When   string
	Form   *Form
	Entry  findingForm
	Photos []rebuild.Attachment
}

// Results are how a run can go.
func (p runPage) Results() []Option { return drivePage{}.Results() }

// runOf finds the run that the address names.
func (s *Server) runOf(r *http.Request) (*rebuild.Rebuild, *rebuild.ShakedownRun, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "run")
	if err != nil {
		return nil, nil, err
	}
	run := rb.ShakedownRun(id)
	if run == nil || string(run.Stage) != r.PathValue("stage") {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindShakedownRun, ID: id}
	}
	return rb, run, nil
}

func (s *Server) runShow(w http.ResponseWriter, r *http.Request) error {
	rb, run, err := s.runOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setDrive(run, distanceUnit(rb), s.now().Location())
	return s.runForm(w, r, http.StatusOK, rb, run, f)
}

// runForm shows the run with its form as it was filled.
func (s *Server) runForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, run *rebuild.ShakedownRun, f *Form) error {
	stage := workshop.StageName(run.Stage)
	frame, err := s.frame(r, stage+", "+momentWords(run.At), "prove", rb)
	if err != nil {
		return err
	}
	page := runPage{
		Frame: frame, Stage: stage, Run: run, When: momentWords(run.At), Form: f, Unit: rb.Car.DistanceUnit, Photos: run.Photos,
		Evidence: []Option{{"", "None"}}, Others: []Option{{"", "None"}},
	}
	page.name(rb)
	return s.show(w, status, "drive_run", page)
}

// name lists what the run names and what it could.
func (p *runPage) name(rb *rebuild.Rebuild) {
	for i := len(rb.Findings) - 1; i >= 0; i-- {
		one := &rb.Findings[i]
		if slices.Contains(p.Run.Findings, one.ID) {
			p.Findings = append(p.Findings, p.Form.box("findings", one.ID, one.What))
		} else if len(p.Others) <= mostEvidenceOptions {
			p.Others = append(p.Others, Option{strconv.FormatInt(one.ID, 10), one.What})
		}
	}
	for _, id := range p.Run.Evidence {
		if e := rb.EvidenceAt(id); e != nil {
			p.Measured = append(p.Measured, p.Form.box("evidence", id, e.Title+", "+day(e.On)+": "+string(e.Verdict)))
		}
	}
	for _, o := range evidenceOptions(rb)[1:] {
		if id, err := strconv.ParseInt(o.Value, 10, 64); err == nil && !slices.Contains(p.Run.Evidence, id) {
			p.Evidence = append(p.Evidence, o)
		}
	}
}

// runEdit keeps a run as it was put right.
func (s *Server) runEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.runOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	run := *now
	run.Rev = f.rev()
	f.readDrive(&run, distanceUnit(rb))
	if f.Value("at") != momentField(now.At, s.now().Location()) {
		run.At = s.readMoment(f)
	}
	if run.By == "" {
		f.problem("by", "say who drove")
	}
	run.Findings = f.named("findings", "the finding")
	run.Evidence = f.named("evidence", "the measurement")
	photos, err := s.editedPhotos(r, f, now.Photos)
	if err != nil {
		return err
	}
	run.Photos = f.keptFiles(photos)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return s.workshop.EditRun(rb, run) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
	}
	shown := *now
	shown.Photos = photos
	return s.runForm(w, r, http.StatusUnprocessableEntity, rb, &shown, f)
}

// named are the numbers that stay ticked in a field, and the one chosen to come to
// them.
func (f *Form) named(field, name string) []int64 {
	ids := f.ids(field)
	if id := f.whole("more_"+field, name); id != 0 && !slices.Contains(ids, id) {
		ids = append(ids, id)
	}
	return ids
}

func (s *Server) runFoundShow(w http.ResponseWriter, r *http.Request) error {
	rb, run, err := s.runOf(r)
	if err != nil {
		return err
	}
	f := presetFinding(rb, "", s.today())
	f.Set("how_found", string(rebuild.RoadTest))
	return s.runFoundForm(w, r, http.StatusOK, rb, run, f, nil)
}

func (s *Server) runFoundForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, run *rebuild.ShakedownRun, f *Form, photos []rebuild.Attachment) error {
	frame, err := s.frame(r, "Found in a run", "prove", rb)
	if err != nil {
		return err
	}
	return s.show(w, status, "drive_found", runFoundPage{
		Frame: frame, Stage: workshop.StageName(run.Stage), Run: run, When: momentWords(run.At), Form: f, Entry: newFindingForm(f), Photos: photos,
	})
}

// runFound enters something found in the run that was not entered with it.
func (s *Server) runFound(w http.ResponseWriter, r *http.Request) error {
	rb, run, err := s.runOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var finding rebuild.Finding
	f.readFinding(&finding)
	f.notAhead("on", "the day it was found", s.today())
	photos, err := s.photosOf(r, f, "photos")
	if err != nil {
		return err
	}
	finding.Photos = addPhotos(s.filesBack(r, f), photos)
	if len(f.Problems) == 0 {
		rev := f.rev()
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			return rb.AddShakedownFinding(run.ID, rev, finding)
		}, func(store.Record) string { return runPath(rb, run) })
		if !f.take(err) {
			return err
		}
	}
	f.setFiles(finding.Photos)
	return s.runFoundForm(w, r, http.StatusUnprocessableEntity, rb, run, f, finding.Photos)
}

func runPath(rb *rebuild.Rebuild, run *rebuild.ShakedownRun) string {
	return Frame{Rebuild: rb}.Base() + "/shakedown/" + string(run.Stage) + "/" + strconv.FormatInt(run.ID, 10)
}
