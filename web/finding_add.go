package web

import (
	"net/http"
	"net/url"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// findingAdd enters a finding and comes back to the same zone, ready for the
// next one there.
func (s *Server) findingAdd(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	finding := rebuild.Finding{Photos: s.filesBack(r, f)}
	f.readFinding(&finding)
	if finding.On == "" {
		finding.On = s.today()
	}
	photos, err := s.photosOf(r, f, "photos")
	if err != nil {
		return err
	}
	finding.Photos = addPhotos(finding.Photos, photos)
	f.notAhead("on", "the day it was found", s.today())
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddFinding(finding) }, func(store.Record) string {
			return "/r/" + r.PathValue("rebuild") + "/findings?zone=" + url.QueryEscape(finding.Zone)
		})
		if !f.take(err) {
			return err
		}
	}
	f.setFiles(finding.Photos)
	return s.findingsForm(w, r, http.StatusUnprocessableEntity, f, finding.Photos)
}
