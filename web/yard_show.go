package web

import (
	"fmt"
	"net/http"
	"net/url"
	"unicode/utf8"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// yardPage lists all rebuilds of the book.
type yardPage struct {
	Frame
	Cars       []yardCar
	Candidates []yardCar // being weighed, not bought
	Shelved    []yardCar
}

type yardCar struct {
	store.Summary
	ChangedAgo string
	Stage      string
}

func (s *Server) yardShow(w http.ResponseWriter, r *http.Request) error {
	frame, err := s.frame(r, "Yard", "", nil)
	if err != nil {
		return err
	}
	list, err := s.workshop.Book().List(r.Context())
	if err != nil {
		return err
	}
	page := yardPage{Frame: frame}
	for _, summary := range list {
		car := yardCar{Summary: summary, ChangedAgo: s.ago(summary.ChangedAt)}
		rb, err := s.workshop.Book().Load(r.Context(), summary.ID)
		if err != nil {
			return err
		}
		car.Stage = currentStage(rb)
		switch {
		case summary.Car.Shelved:
			page.Shelved = append(page.Shelved, car)
		case summary.Car.Candidate:
			page.Candidates = append(page.Candidates, car)
		default:
			page.Cars = append(page.Cars, car)
		}
	}
	return s.show(w, http.StatusOK, "yard", page)
}

// currentStage is the first stage that is not done.
func currentStage(rb *rebuild.Rebuild) string {
	for _, stage := range rb.Stages {
		if stage.State != rebuild.StageDone {
			return stage.Label()
		}
	}
	return "Handed over"
}

func (s *Server) rebuildShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.goOn(w, r, firstPage(rb))
}

// firstPage is where a rebuild opens: what to do now, or, for a candidate, what
// to pay at the most.
func firstPage(rb *rebuild.Rebuild) string {
	if rb.Car.Candidate {
		return Frame{Rebuild: rb}.Base() + "/appraise"
	}
	return Frame{Rebuild: rb}.Base() + "/now"
}

// whoSet keeps the name under which changes are written down, in a cookie.
func (s *Server) whoSet(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	name := f.Value("who")
	if utf8.RuneCountInString(name) > mostWho {
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "who", Text: fmt.Sprintf("a name has at most %d letters", mostWho)}}}
	}
	http.SetCookie(w, &http.Cookie{
		Name: "who", Value: url.QueryEscape(name), Path: "/", MaxAge: 400 * 24 * 3600,
		HttpOnly: true, SameSite: http.SameSiteLaxMode,
	})
	return s.goOn(w, r, backTo(r, "/"))
}
