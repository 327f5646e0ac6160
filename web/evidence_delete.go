package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// evidenceDelete takes a measurement out; the page it goes on to offers the undo.
func (s *Server) evidenceDelete(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "evidence")
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	rev := f.rev()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.DeleteEvidence(id, rev) },
		func(store.Record) string { return "/r/" + r.PathValue("rebuild") + "/bench" })
}
