package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// entryAssign says which job a cost belongs to, or that it belongs to none.
func (s *Server) entryAssign(w http.ResponseWriter, r *http.Request) error {
	_, old, err := s.entryOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	e := rebuild.Entry{ID: old.ID, What: old.What}
	f.readEntryJob(&e)
	if f.Has("none", "1") {
		e.JobID, e.General = 0, true
	}
	if len(f.Problems) > 0 || e.JobID == 0 && !e.General {
		return badRequest("Choose the job that %q belongs to, or say that it belongs to none.", old.Label())
	}
	rev := f.rev()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		now := rb.Entry(old.ID)
		if now == nil {
			return rebuild.Change{}, &rebuild.Conflict{Kind: rebuild.KindEntry, ID: old.ID, Label: old.Label()}
		}
		assigned := *now
		assigned.Rev, assigned.JobID, assigned.General = rev, e.JobID, e.General
		return rb.EditEntry(assigned)
	}, func(store.Record) string {
		return backTo(r, "/r/"+r.PathValue("rebuild")+"/ledger") + "#forgotten"
	})
}
