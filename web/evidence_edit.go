package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// evidenceEdit changes what a measurement is called and belongs to; the readings
// and what was made of them stay as they are.
func (s *Server) evidenceEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.evidenceOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	e := *now
	e.Rev = f.rev()
	f.readBelongs(&e)
	f.notAhead("on", "the day of the measurement", s.today())
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditEvidence(e) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
	}
	return s.evidenceForm(w, r, http.StatusUnprocessableEntity, rb, now, f)
}
