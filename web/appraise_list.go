package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// appraiseListPage puts the cars being weighed side by side.
type appraiseListPage struct {
	Frame
	Candidates []appraiseLine
	Wrong      []string
}

// appraiseLine is one candidate; its figures are in its own currency, thus its
// own frame.
type appraiseLine struct {
	Frame
	Appraised *workshop.Appraised
}

// mostSideBySide bounds the cars compared on one page.
const mostSideBySide = 30

func (s *Server) appraiseList(w http.ResponseWriter, r *http.Request) error {
	frame, err := s.frame(r, "Appraise", "", nil)
	if err != nil {
		return err
	}
	page := appraiseListPage{Frame: frame}
	list, err := s.workshop.Book().List(r.Context())
	if err != nil {
		return err
	}
	for _, summary := range list {
		if !summary.Car.Candidate || summary.Car.Shelved || len(page.Candidates) == mostSideBySide {
			continue
		}
		rb, err := s.workshop.Book().Load(r.Context(), summary.ID)
		if err != nil {
			return err
		}
		appraised, err := s.workshop.Appraise(r.Context(), rb)
		if err != nil {
			return err
		}
		page.Candidates = append(page.Candidates, appraiseLine{frame.of(rb), &appraised})
	}
	return s.show(w, http.StatusOK, "appraise_list", page)
}

// of is the frame for another rebuild's figures on the same page.
func (f Frame) of(rb *rebuild.Rebuild) Frame {
	f.Rebuild = rb
	return f
}
