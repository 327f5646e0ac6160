package web

import (
	"net/http"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// entryPage shows one entry and edits it.
type entryPage struct {
	Frame
	Entry  *rebuild.Entry
	Job    *rebuild.Job
	Net    amount.Amount // without tax
	Fields entryForm
}

func (s *Server) entryShow(w http.ResponseWriter, r *http.Request) error {
	rb, e, err := s.entryOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setEntry(e)
	return s.entryWrite(w, r, http.StatusOK, rb, e, f, e.Receipts)
}

// entryOf loads the rebuild and the entry that the address names.
func (s *Server) entryOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Entry, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "entry")
	if err != nil {
		return nil, nil, err
	}
	e := rb.Entry(id)
	if e == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindEntry, ID: id}
	}
	return rb, e, nil
}

func (s *Server) entryWrite(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, e *rebuild.Entry, f *Form, receipts []rebuild.Attachment) error {
	frame, err := s.frame(r, e.Label(), "ledger", rb)
	if err != nil {
		return err
	}
	page := entryPage{Frame: frame, Entry: e, Job: rb.Job(e.JobID), Fields: newEntryForm(frame, f)}
	page.Net = amount.New(e.Amount.Minor-e.Tax.Minor, e.Amount.Currency)
	page.Fields.Had = receipts
	return s.show(w, status, "entry", page)
}

// entryEdit replaces an entry.
func (s *Server) entryEdit(w http.ResponseWriter, r *http.Request) error {
	rb, old, err := s.entryOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	e := *old
	e.Rev = f.rev()
	f.readEntry(&e, rb.Car.Currency)
	f.notAhead("on", "the date", s.today())
	receipts, err := s.editedFiles(r, f, old.Receipts, s.uploads)
	if err != nil {
		return err
	}
	e.Receipts = f.keptFiles(receipts)
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditEntry(e) }, func(store.Record) string {
			return entryBack(r, Frame{Rebuild: rb}.Base())
		})
		if !f.take(err) {
			return err
		}
	}
	return s.entryWrite(w, r, http.StatusUnprocessableEntity, rb, old, f, receipts)
}
