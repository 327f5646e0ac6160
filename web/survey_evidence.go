package web

import (
	"net/http"

	"wreckwright/rebuild"
)

// showSurvey works a kept body survey out anew, for its drawing and its readings.
func (s *Server) showSurvey(r *http.Request, rb *rebuild.Rebuild, page *evidencePage) {
	page.Cautions = surveyCautions()
	said, err := s.workshop.SurveyAt(r.Context(), page.Evidence)
	if err != nil {
		page.Anew = err.Error()
		return
	}
	page.Survey = newSurveySaid(said, "")
	if before := s.workshop.SurveyToCompare(r.Context(), rb, page.Evidence); before != nil && said.Quick == nil {
		page.Pull = compareAddress(page.Base(), before, page.Evidence)
	}
}
