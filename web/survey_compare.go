package web

import (
	"html/template"
	"net/http"
	"strconv"

	"wreckwright/bench/survey"
	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// surveyCompare is two surveys of a body held against each other.
type surveyCompare struct {
	Frame
	Form     *Form
	Kept     []Option
	Before   *rebuild.Evidence // nil: not chosen
	After    *rebuild.Evidence
	Change   *survey.Change // nil: cannot be
	Figure   template.HTML
	Cautions []knowledge.Caution
}

// Signed shows a length to a tenth with its sign.
func (surveyCompare) Signed(v float64) string { return signedMm(v) }

// Lead is the verdict's reason as a page writes it.
func (p surveyCompare) Lead() string { return plusMinus.Replace(p.Change.Why) }

func (s *Server) surveyCompareShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Before and after a pull", "bench", rb)
	if err != nil {
		return err
	}
	page := surveyCompare{Frame: frame, Form: &Form{}, Cautions: surveyCautions()}
	for _, l := range evidenceLines(frame, rb, workshop.IsSurveyOfPoints) {
		page.Kept = append(page.Kept, Option{strconv.FormatInt(l.ID, 10), l.Title + ", " + day(l.On)})
	}
	page.Before, page.After = page.chosen(r, "before"), page.chosen(r, "after")
	if page.Before != nil && page.After != nil {
		if err := page.compare(s, r); err != nil {
			return err
		}
	}
	return s.show(w, statusOf(page.Form), "survey_compare", page)
}

// chosen finds the survey that the address names.
func (p surveyCompare) chosen(r *http.Request, field string) *rebuild.Evidence {
	text := r.URL.Query().Get(field)
	if text == "" {
		return nil
	}
	p.Form.Set(field, text)
	id, err := strconv.ParseInt(text, 10, 64)
	e := p.Rebuild.EvidenceAt(id)
	if err != nil || e == nil || !workshop.IsSurveyOfPoints(e) {
		p.Form.problem(field, "there is no survey number %s in this book", shortText(text))
		return nil
	}
	return e
}

func (p *surveyCompare) compare(s *Server, r *http.Request) error {
	if p.Before.ID == p.After.ID {
		p.Form.problem("after", "that is the same survey twice: choose another")
		return nil
	}
	out, err := s.workshop.CompareSurveys(r.Context(), p.Before, p.After)
	if err != nil {
		if p.Form.take(err) {
			return nil
		}
		p.Form.problem("before", "%v", err)
		return nil
	}
	p.Change = &out.Change
	p.Figure = chart.NewBodyView(changeView(out)).HTML()
	return nil
}

// changeView draws how far each point went between two surveys.
func changeView(c workshop.SurveyChange) chart.BodyView {
	v := chart.BodyView{Head: chart.Head{ID: "change", Title: "Where the points went"}, Doubtful: "Between the two"}
	v.Points = sketchPoints(c.After.Survey, func(string) chart.BodyState { return chart.BodyPlain })
	for _, sh := range c.Change.Points {
		for i := range v.Points {
			if p := &v.Points[i]; p.ID == sh.ID {
				p.MoveMm, p.HalfMm, p.Strong = sh.D, halves(sh.SD), sh.Moved
				p.StateWords = map[bool]string{true: "moved", false: "no move seen"}[sh.Moved]
				p.State = map[bool]chart.BodyState{true: chart.BodyBeyond, false: chart.BodyWithin}[sh.Moved]
			}
		}
	}
	return v
}

// compareAddress is where two surveys are held against each other.
func compareAddress(base string, before, after *rebuild.Evidence) string {
	return base + "/bench/survey/compare?before=" + strconv.FormatInt(before.ID, 10) + "&after=" + strconv.FormatInt(after.ID, 10)
}
