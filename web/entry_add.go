package web

import (
	"net/http"
	"net/url"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// entryAdd enters a cost out of the fast form.
func (s *Server) entryAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var e rebuild.Entry
	f.readEntry(&e, rb.Car.Currency)
	f.notAhead("on", "the date", s.today())
	if e.On == "" {
		e.On = s.today()
	}
	receipts, err := s.editedFiles(r, f, nil, s.uploads)
	if err != nil {
		return err
	}
	e.Receipts = f.keptFiles(receipts)
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddEntries(e) }, func(store.Record) string {
			return entryBack(r, Frame{Rebuild: rb}.Base())
		})
		if !f.take(err) {
			return err
		}
	}
	return s.ledgerRefused(w, r, rb, f, receipts)
}

// entryBack is the page that a form with a cost came from. The ledger opens on
// its newest entries, not on the filter or the preset that the form stood on.
func entryBack(r *http.Request, base string) string {
	to := backTo(r, base+"/ledger")
	u, err := url.Parse(to)
	if err != nil || strings.HasPrefix(u.Path, base+"/ledger") {
		return base + "/ledger"
	}
	return to
}
