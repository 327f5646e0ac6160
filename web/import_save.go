package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// importSave enters the ticked rows as one change, read as they were last shown:
// where the reading was changed since, they are shown once more instead.
func (s *Server) importSave(w http.ResponseWriter, r *http.Request) error {
	rb, page, err := s.importLook(r)
	if err != nil {
		return err
	}
	f := page.Form
	if page.Preview != nil {
		page.mayBeSaved()
	}
	if len(f.Problems) == 0 {
		entries := takenEntries(page.Rows)
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddEntries(entries...) }, func(store.Record) string {
			return Frame{Rebuild: rb}.Base() + "/ledger"
		})
		if !f.take(err) {
			return err
		}
	}
	return s.importWrite(w, r, http.StatusUnprocessableEntity, rb, page)
}

// mayBeSaved notes what stands against saving.
func (page *importPage) mayBeSaved() {
	f := page.Form
	for _, c := range page.Choices {
		if c.Must {
			f.problem(c.Name, "%s", c.Question)
		}
	}
	switch {
	case len(f.Problems) > 0:
	case f.Value("seen") != page.Reading:
		f.problem("", "The rows are read differently now than when they were last shown. Look at them once more, then enter them.")
	case page.Ticked == 0:
		f.problem("", "No row is ticked, so there is nothing to enter.")
	}
}
