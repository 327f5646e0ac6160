package web

import (
	"html/template"
	"net/http"

	"wreckwright/chart"
	"wreckwright/workshop"
)

// surveyTape is the list of what to read, to be taken along on paper.
type surveyTape struct {
	surveyFrame
	Groups []tapeGroup
	Figure template.HTML
}

// tapeGroup is what is read from one place.
type tapeGroup struct {
	Head  string
	Lines []workshop.WalkLine
}

func (s *Server) surveyTapeShow(w http.ResponseWriter, r *http.Request) error {
	frame, err := s.surveyFrame(r, "measure", "")
	if err != nil {
		return err
	}
	page := surveyTape{surveyFrame: frame}
	page.Groups = page.groups()
	view := chart.BodyView{
		Head: chart.Head{ID: "points", Title: "The points"}, PlanOnly: true,
		Points: sketchPoints(frame.Survey, func(string) chart.BodyState { return chart.BodyPlain }),
	}
	page.Figure = chart.NewBodyView(view).SVG(chart.Phone)
	return s.show(w, http.StatusOK, "survey_tape", page)
}

// groups parts the list by where the person stands.
func (p surveyTape) groups() []tapeGroup {
	var list []tapeGroup
	last := -1
	for _, l := range p.Walk.Lines {
		if l.Times == 0 {
			continue // read beyond the list
		}
		if l.Group != last || len(list) == 0 {
			last = l.Group
			list = append(list, tapeGroup{Head: p.headOf(l)})
		}
		list[len(list)-1].Lines = append(list[len(list)-1].Lines, l)
	}
	return list
}

func (p surveyTape) headOf(l workshop.WalkLine) string {
	switch {
	case p.Quick():
		return capital(l.Words())
	case l.Kind == workshop.ReadHeight:
		return "Heights over the level plane, each twice"
	case l.Kind == workshop.ReadLevel:
		return "Differences in height from " + l.From + ", each twice"
	}
	head := "From " + l.From
	if q := p.Survey.Point(l.From); q != nil && q.Name != "" {
		head += ", " + q.Name
	}
	return head
}
