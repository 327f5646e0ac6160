package web

import (
	"html/template"
	"net/http"

	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// findingsPage is the car from above to tap, the form for a new finding, and the
// list of those there are.
type findingsPage struct {
	Frame
	Plan     template.HTML
	Key      template.HTML // what the drawing's marks mean
	Entry    findingForm
	Photos   []rebuild.Attachment // that came with a refused form
	AddOpen  bool
	Zone     *rebuild.Zone // that was tapped; nil: none
	Cautions []knowledge.Caution
	Filter   findingFilter
	States   []Option
	Severity []Option
	Lines    []findingLine
	Matches  int
	All      int
	Open     int
	Safety   int
	Previous string
	Next     string
}

const findingsPageSize = 50

func (s *Server) findingsShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	zone := r.URL.Query().Get("zone")
	if rb.Zone(zone) == nil {
		zone = ""
	}
	page, err := s.findingsPage(r, rb, presetFinding(rb, zone, s.today()))
	if err != nil {
		return err
	}
	return s.showPart(w, r, "findings", "findings-list", page)
}

// findingsForm shows the page again with a form that was refused.
func (s *Server) findingsForm(w http.ResponseWriter, r *http.Request, status int, f *Form, photos []rebuild.Attachment) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	page, err := s.findingsPage(r, rb, f)
	if err != nil {
		return err
	}
	page.Photos, page.AddOpen = photos, true
	return s.show(w, status, "findings", page)
}

func (s *Server) findingsPage(r *http.Request, rb *rebuild.Rebuild, f *Form) (findingsPage, error) {
	frame, err := s.frame(r, "Findings", "findings", rb)
	if err != nil {
		return findingsPage{}, err
	}
	states := rb.FindingStates()
	page := findingsPage{
		Frame: frame, Key: chart.PlanKey(), Entry: newFindingForm(f), Zone: rb.Zone(f.Value("zone")),
		Filter: readFindingFilter(r.URL.Query()), States: findingStateOptions(),
		Severity: append([]Option{{"", "Any severity"}}, optionsOf(rebuild.Severities)...), All: len(rb.Findings),
	}
	page.Filter.Zone = f.Value("zone")
	if page.Zone != nil {
		page.AddOpen = true
		page.Cautions = knowledge.CautionsAt(f.Value("zone"), "")
	}
	marks := zoneMarks(rb, states, f.Value("zone"), frame.Base()+"/findings?zone=", "#add")
	for _, m := range marks {
		page.Open, page.Safety = page.Open+m.Open, page.Safety+m.Safety
	}
	page.Plan = chart.NewPlanView(marks, chart.PlanOptions{Head: chart.Head{ID: "plan", Title: "Where is it?"}}).HTML()
	page.fill(findingLines(rb, states, page.Filter))
	return page, nil
}

// fill takes one page out of the lines.
func (p *findingsPage) fill(lines []findingLine) {
	p.Matches = len(lines)
	last := max(1, (len(lines)+findingsPageSize-1)/findingsPageSize)
	now := min(p.Filter.Page, last)
	if now > 1 {
		p.Previous = p.Filter.Query(now - 1)
	}
	if now < last {
		p.Next = p.Filter.Query(now + 1)
	}
	p.Lines = lines[(now-1)*findingsPageSize : min(len(lines), now*findingsPageSize)]
}
