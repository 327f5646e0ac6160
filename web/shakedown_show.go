package web

import (
	"fmt"
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// shakedownPage is the plan of the first drives and how far it has come.
type shakedownPage struct {
	Frame
	Drives workshop.Shakedown
}

func (s *Server) shakedownShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Shakedown", "prove", rb)
	if err != nil {
		return err
	}
	page := shakedownPage{Frame: frame}
	if page.Drives, err = s.workshop.Shakedown(r.Context(), rb); err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "shakedown", page)
}

// drivePage is one stage: what to do, feel, hear, smell and measure, when to stop,
// and the form for how it went, made for a thumb beside the car.
type drivePage struct {
	Frame
	Drives workshop.Shakedown
	Line   *workshop.ShakedownLine
	Runs   []driveRun
	Form   *Form
	Entry  findingForm // what was found
	Photos []rebuild.Attachment
	Unit   string // of distances

	Evidence []Option // measurements to name
}

// Results are how a run can go.
func (p drivePage) Results() []Option {
	return []Option{{"pass", "Passed"}, {"stop", "Stopped"}}
}

// FoundOpen reports whether the form's part for a finding stands open.
func (p drivePage) FoundOpen() bool { return p.Form.Value("what") != "" || p.Form.Wrong("zone") != "" }

// MoreOpen reports whether the form's part for what is seldom said stands open.
func (p drivePage) MoreOpen() bool {
	return p.Form.Value("note") != "" || p.Form.Wrong("at") != "" || p.Form.Wrong("by") != "" || p.Form.Wrong("note") != ""
}

// driveRun is a run with what was found in it.
type driveRun struct {
	*rebuild.ShakedownRun
	Found []*rebuild.Finding
	When  string
	Drove string // how far and how long
}

func (s *Server) driveShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetFinding(rb, "", s.today())
	f.Set("how_found", string(rebuild.RoadTest))
	return s.driveForm(w, r, http.StatusOK, rb, f, nil)
}

// driveForm shows a stage with the form as it was filled.
func (s *Server) driveForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form, photos []rebuild.Attachment) error {
	drives, err := s.workshop.Shakedown(r.Context(), rb)
	if err != nil {
		return err
	}
	line := drives.Stage(r.PathValue("stage"))
	if line == nil {
		return notFound("There is no such stage. The page Shakedown lists all six.")
	}
	frame, err := s.frame(r, "Shakedown: "+line.Name, "prove", rb)
	if err != nil {
		return err
	}
	page := drivePage{Frame: frame, Drives: drives, Line: line, Form: f, Entry: newFindingForm(f), Photos: photos, Unit: rb.Car.DistanceUnit, Evidence: evidenceOptions(rb)}
	for _, run := range line.Done {
		page.Runs = append(page.Runs, page.runOf(rb, run))
	}
	return s.show(w, status, "drive", page)
}

func (p drivePage) runOf(rb *rebuild.Rebuild, run *rebuild.ShakedownRun) driveRun {
	d := driveRun{ShakedownRun: run, When: momentWords(run.At)}
	for _, id := range run.Findings {
		if f := rb.Finding(id); f != nil {
			d.Found = append(d.Found, f)
		}
	}
	if run.Km > 0 {
		d.Drove = p.Distance(run.Km)
	}
	if run.Minutes > 0 {
		if d.Drove != "" {
			d.Drove += ", "
		}
		d.Drove += fmt.Sprintf("%s min", figure(run.Minutes))
	}
	return d
}

// Distance shows a distance in the unit that the car counts in.
func (f Frame) Distance(km float64) string {
	unit := "km"
	if f.Rebuild != nil && f.Rebuild.Car.DistanceUnit == "mi" {
		km, unit = km/rebuild.KmPerMile, "mi"
	}
	if km >= 10 {
		return fmt.Sprintf("%.0f\u00a0%s", km, unit)
	}
	return fmt.Sprintf("%.1f\u00a0%s", km, unit)
}
