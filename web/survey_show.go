package web

import (
	"cmp"
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// surveyPage is what the readings of a survey say so far, and how they are kept.
type surveyPage struct {
	surveyFrame
	Said     *surveySaid // nil: nothing can be said yet
	Open     string      // why nothing can be said
	Entry    benchForm   // to keep it
	Form     *Form       // what the sheet is told besides its readings
	Cautions []knowledge.Caution
	Keeping  bool
}

// Trouble says above a list of problems what did not come about.
func (p surveyPage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "Not saved yet:"
}

// HeightWays are the ways in which heights are read.
func (surveyFrame) HeightWays() []Option {
	return []Option{
		{workshop.HeightsByPlane, "Each over one level plane: a laser, a level line"},
		{workshop.HeightsByTube, "By a tube of water, against the first point"},
		{"none", "Not read: up and down is then seen only by slanting lines, and poorly"},
	}
}

func (s *Server) surveyShow(w http.ResponseWriter, r *http.Request) error {
	return s.surveyPage(w, r, nil, nil, false)
}

// surveyPage shows what the readings say; keep and told are forms that came back.
func (s *Server) surveyPage(w http.ResponseWriter, r *http.Request, keep, told *Form, keeping bool) error {
	frame, err := s.surveyFrame(r, "said", "")
	if err != nil {
		return err
	}
	if keep == nil {
		keep = &Form{}
		keep.Set("title", frame.Sheet.Title)
		keep.Set("phase", string(frame.Sheet.Phase))
		if frame.Sheet.JobID != 0 {
			keep.Set("job", strconv.FormatInt(frame.Sheet.JobID, 10))
		}
	}
	status := statusOf(keep)
	if told == nil {
		told = &Form{}
		told.setSurvey(frame.Sheet, frame.Survey)
	} else {
		status = max(status, statusOf(told))
	}
	page := surveyPage{surveyFrame: frame, Entry: newBenchForm(frame.Rebuild, keep), Form: told, Cautions: surveyCautions(), Keeping: keeping}
	page.Entry.Hint = "How the car stood, which tape, what could not be reached"
	if len(frame.Survey.Readings) == 0 {
		page.Open = "there is no reading yet"
		return s.show(w, status, "survey", page)
	}
	if err := page.examine(s); err != nil {
		return err
	}
	return s.show(w, status, "survey", page)
}

func (p *surveyPage) examine(s *Server) error {
	said, err := s.workshop.Surveyed(p.Survey)
	if err == nil {
		p.Said = newSurveySaid(said, p.At())
		return nil
	}
	f := &Form{}
	if !f.take(err) {
		return err
	}
	p.Open = plusMinus.Replace(f.Problems[0].Text)
	return nil
}

// setSurvey fills the form with what a survey is told besides its readings.
func (f *Form) setSurvey(sheet *rebuild.Sheet, b workshop.BodySurvey) {
	f.Set("title", sheet.Title)
	f.Set("note", sheet.Note)
	f.Set("phase", string(sheet.Phase))
	if sheet.JobID != 0 {
		f.Set("job", strconv.FormatInt(sheet.JobID, 10))
	}
	f.setNumber("tolerance_mm", b.ToleranceMm)
	f.setNumber("tape_sd_mm", b.TapeSDMm)
	f.setNumber("height_sd_mm", b.HeightSDMm)
	f.setNumber("reach_mm", b.ReachMm)
	f.Set("heights", cmp.Or(b.Heights, "none"))
	for line, mm := range b.MakerMm {
		f.setNumber("maker."+line, mm)
	}
}

// surveyEdit changes what a survey is told besides its readings.
func (s *Server) surveyEdit(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	t := readingsOf(r)
	within := func(field, name string, low, high float64) float64 {
		v := f.length(t, field, name)
		if v == nil {
			return 0
		}
		if !(*v >= low && *v <= high) {
			f.problem(field, "%s: %s mm; expected %s to %s mm", name, trimNumber(*v), trimNumber(low), trimNumber(high))
		}
		return *v
	}
	tolerance, tape := within("tolerance_mm", "the tolerance", 0.1, 1000), within("tape_sd_mm", "the doubt of a distance", 0.05, 100)
	height, reach := within("height_sd_mm", "the doubt of a height", 0.05, 100), within("reach_mm", "the reach of the tape", 300, 50000)
	makers := map[string]float64{}
	for _, line := range (surveyFrame{}).QuickLines() {
		if v := within("maker."+line.Value, line.Label, 50, 20000); v > 0 {
			makers[line.Value] = v
		}
	}
	job := f.whole("job", "the job")
	if len(f.Problems) == 0 {
		err := s.changeSurvey(w, r, f.rev(), "", func(sheet *rebuild.Sheet, b *workshop.BodySurvey) error {
			sheet.Title, sheet.Note, sheet.JobID, sheet.Phase = f.Value("title"), f.Value("note"), job, rebuild.Phase(f.Value("phase"))
			b.ToleranceMm, b.TapeSDMm, b.HeightSDMm, b.ReachMm = tolerance, tape, height, reach
			if f.Has("all_rows", "1") {
				for i := range b.Readings {
					b.Readings[i].SDMm = 0
				}
			}
			if b.Mode == workshop.SurveyQuick {
				b.MakerMm = makers
				return nil
			}
			b.Heights = f.Value("heights")
			if b.Heights == "none" {
				b.Heights = workshop.HeightsByNone
			}
			return nil
		})
		if !f.take(err) {
			return err
		}
	}
	return s.surveyPage(w, r, nil, f, false)
}

// OwnDoubts counts the readings that keep the doubt of the list they came with.
func (p surveyFrame) OwnDoubts() int {
	n := 0
	for _, r := range p.Survey.Readings {
		if r.SDMm > 0 {
			n++
		}
	}
	return n
}

// QuickLines are the lines of a quick survey, in words.
func (surveyFrame) QuickLines() []Option {
	var list []Option
	for _, l := range workshop.QuickLines() {
		list = append(list, Option{l.From, capital(l.Words())})
	}
	return list
}

// surveyKeep keeps a survey as evidence. Its sheet stays, to go on with.
func (s *Server) surveyKeep(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	rb, _, b, err := s.surveyOf(r)
	if err != nil {
		return err
	}
	said, err := s.workshop.Surveyed(b)
	if err != nil && !f.take(err) {
		return err
	}
	if len(f.Problems) == 0 {
		e := said.Evidence()
		f.evidenceOn(&e, said.Title(), s.today())
		done, err := s.keepText(w, r, rb, f, e, b.JSON(), workshop.SurveyName)
		if err != nil || done {
			return err
		}
	}
	return s.surveyPage(w, r, f, nil, true)
}
