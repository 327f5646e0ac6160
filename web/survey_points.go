package web

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"
	"unicode"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// surveyPoints is the page on which a survey's points are named and placed.
type surveyPoints struct {
	surveyFrame
	Form   *Form  // one point
	Makers *Form  // the maker's places of all
	Old    string // the point that the form changes; empty: it adds one
	Figure template.HTML
	Map    chart.BodyMap
	Which  string // of the two forms: point, makers
}

func (s *Server) surveyPointsShow(w http.ResponseWriter, r *http.Request) error {
	return s.surveyPointsForm(w, r, nil, nil)
}

func (s *Server) surveyPointsForm(w http.ResponseWriter, r *http.Request, point, makers *Form) error {
	frame, err := s.surveyFrame(r, "points", "")
	if err != nil {
		return err
	}
	page := surveyPoints{surveyFrame: frame, Form: point, Makers: makers}
	if point == nil {
		page.Form = &Form{}
		page.Form.setPoint(frame.Survey, r.URL.Query().Get("point"))
	}
	page.Old = page.Form.Value("old")
	if makers == nil {
		page.Makers = &Form{}
		page.Makers.setMakers(frame.Survey)
	}
	v := chart.BodyView{Head: chart.Head{ID: "points", Title: "The points, roughly"}, Points: sketchPoints(frame.Survey, func(string) chart.BodyState { return chart.BodyPlain })}
	page.Map = chart.NewBodyMap(v)
	return s.show(w, max(statusOf(page.Form), statusOf(page.Makers)), "survey_points", page)
}

// setPoint fills the form with a point; without one it is for a new point.
func (f *Form) setPoint(b workshop.BodySurvey, id string) {
	p := b.Point(id)
	if p == nil {
		f.Set("pair", "1")
		return
	}
	f.Set("old", p.ID)
	f.Set("id", p.ID)
	f.Set("name", p.Name)
	f.Set("touch", p.Touch)
	f.Set("x", trimNumber(p.At.XMm))
	f.Set("y", trimNumber(p.At.YMm))
	f.Set("z", trimNumber(p.At.ZMm))
	f.Set("mirror", b.Twin(p.ID))
	if p.Floor {
		f.Set("floor", "1")
	}
}

// setMakers fills the form with the maker's places, a line for each point.
func (f *Form) setMakers(b workshop.BodySurvey) {
	var lines []string
	for _, p := range b.Points {
		if n := p.Nominal; n != nil {
			lines = append(lines, fmt.Sprintf("%s %s %s %s", p.ID, trimNumber(n.XMm), trimNumber(n.YMm), trimNumber(n.ZMm)))
		}
	}
	f.Set("places", strings.Join(lines, "\n"))
	f.Set("nominal_from", b.NominalFrom)
	f.setNumber("scatter_mm", b.ScatterMm)
}

// surveyPointsEdit adds, changes or takes out a point, or takes the maker's places.
func (s *Server) surveyPointsEdit(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	t := readingsOf(r)
	makers := f.Value("do") == "makers"
	var take func(*workshop.BodySurvey) error
	switch f.Value("do") {
	case "makers":
		take = f.makersOf(t)
	case "remove":
		take = func(b *workshop.BodySurvey) error { return b.RemovePoint(f.Value("old")) }
	default:
		take = f.pointOf(t)
	}
	if len(f.Problems) == 0 {
		err := s.changeSurvey(w, r, f.rev(), "/points", func(_ *rebuild.Sheet, b *workshop.BodySurvey) error { return take(b) })
		if !f.take(err) {
			return err
		}
	}
	if makers {
		return s.surveyPointsForm(w, r, nil, f)
	}
	return s.surveyPointsForm(w, r, f, nil)
}

// pointOf reads one point out of the form.
func (f *Form) pointOf(t readingText) func(*workshop.BodySurvey) error {
	at := func(field string) float64 {
		if v := f.length(t, field, field); v != nil {
			return *v
		}
		return 0
	}
	p := workshop.BodyPoint{
		ID: f.Value("id"), Name: f.Value("name"), Touch: f.Value("touch"), Floor: f.Has("floor", "1"),
		At: workshop.BodyPlace{XMm: at("x"), YMm: at("y"), ZMm: at("z")},
	}
	old, twin, pair := f.Value("old"), f.Value("mirror"), f.Has("pair", "1")
	return func(b *workshop.BodySurvey) error {
		if old != "" {
			return b.ChangePoint(old, p, twin)
		}
		return b.AddPoint(p, pair && !p.Floor)
	}
}

// placeCells parts a line of places at gaps and semicolons, and at commas where those
// part it: a comma within a number of a list that is parted otherwise is a decimal.
func placeCells(line string) []string {
	gap := func(c rune) bool { return unicode.IsSpace(c) || c == ';' }
	cells := strings.FieldsFunc(line, gap)
	ends := slices.ContainsFunc(cells, func(cell string) bool { return strings.HasSuffix(cell, ",") })
	if ends || len(cells) == 1 {
		return strings.FieldsFunc(line, func(c rune) bool { return gap(c) || c == ',' })
	}
	return cells
}

// makersOf reads the maker's places, a line for each point: its name, x, y, z.
func (f *Form) makersOf(t readingText) func(*workshop.BodySurvey) error {
	places := map[string]workshop.BodyPlace{}
	for i, line := range strings.Split(f.Value("places"), "\n") {
		cells := placeCells(line)
		if len(cells) == 0 {
			continue
		}
		if len(cells) != 4 {
			f.problem("places", "line %d: %d words; expected the point's name, x, y and z, like L7 740 480 430", i+1, len(cells))
			continue
		}
		var v [3]float64
		for k := range v {
			var err error
			if v[k], err = t.number(cells[k+1]); err != nil {
				f.problem("places", "line %d: %v", i+1, err)
			}
		}
		if _, again := places[cells[0]]; again {
			f.problem("places", "line %d: %s stands there twice", i+1, cells[0])
		}
		places[cells[0]] = workshop.BodyPlace{XMm: v[0], YMm: v[1], ZMm: v[2]}
	}
	scatter := 0.0
	if v := f.measured(t, "scatter_mm", "the build scatter"); v != nil {
		scatter = *v
	}
	if len(places) > 0 && f.Value("nominal_from") == "" {
		f.problem("nominal_from", "say where the places are from: the maker's repair manual with its page, a drawing, an estimate of your own")
	}
	return func(b *workshop.BodySurvey) error { return b.TakeNominal(places, f.Value("nominal_from"), scatter) }
}
