package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// deletes takes out the item that the address names under that name, at the
// revision its form was opened with; the list it goes on to offers the undo.
func (s *Server) deletes(name, list string, remove func(rb *rebuild.Rebuild, id int64, rev int) (rebuild.Change, error)) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		id, err := pathNumber(r, name)
		if err != nil {
			return err
		}
		f, err := readForm(r)
		if err != nil {
			return err
		}
		rev := f.rev()
		return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return remove(rb, id, rev) },
			func(store.Record) string { return "/r/" + r.PathValue("rebuild") + list })
	}
}
