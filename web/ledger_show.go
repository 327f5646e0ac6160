package web

import (
	"net/http"
	"strconv"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// ledgerPage is the ledger: the fast form, what was forgotten, and the entries.
type ledgerPage struct {
	Frame
	Fields    entryForm
	For       *rebuild.Job // the job that the form is preset for
	Filter    *Form
	Filtered  bool
	Kinds     []Option
	Receipts  []Option
	Found     ledgerFound
	Spent     amount.Amount
	Count     int
	Forgotten ledgerForgotten
}

func (s *Server) ledgerShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("on", s.today())
	f.Set("kind", string(rebuild.EntryPart))
	page, err := s.newLedgerPage(r, rb, f)
	if err != nil {
		return err
	}
	page.presetFor(r.URL.Query().Get("for"))
	return s.showPart(w, r, "ledger", "ledger-found", page)
}

// presetFor readies the form for what a job cost: only the sum is left to enter.
func (page *ledgerPage) presetFor(job string) {
	id, err := strconv.ParseInt(job, 10, 64)
	if err != nil {
		return
	}
	if page.For = page.Rebuild.Job(id); page.For != nil {
		page.Fields.Form.Set("job", job)
		page.Fields.Form.Set("what", page.For.Title)
	}
}

// ledgerRefused shows the ledger again with a cost that was not taken.
func (s *Server) ledgerRefused(w http.ResponseWriter, r *http.Request, rb *rebuild.Rebuild, f *Form, receipts []rebuild.Attachment) error {
	page, err := s.newLedgerPage(r, rb, f)
	if err != nil {
		return err
	}
	page.Fields.Had = receipts
	return s.show(w, http.StatusUnprocessableEntity, "ledger", page)
}

func (s *Server) newLedgerPage(r *http.Request, rb *rebuild.Rebuild, f *Form) (*ledgerPage, error) {
	frame, err := s.frame(r, "Ledger", "ledger", rb)
	if err != nil {
		return nil, err
	}
	index, err := s.workshop.Entries(r.Context(), rb)
	if err != nil {
		return nil, err
	}
	filter, form := ledgerFilter(r, rb.Car.Currency)
	query := ledgerQuery(form)
	number, _ := strconv.Atoi(r.URL.Query().Get("page"))
	page := &ledgerPage{
		Frame: frame, Fields: newEntryForm(frame, f), Filter: form, Filtered: len(query) > 0,
		Kinds:    append([]Option{{"", "Any kind"}}, entryKindOptions()...),
		Receipts: []Option{{"", "With or without"}, {"with", "With a receipt"}, {"without", "Without"}},
		Found:    newLedgerFound(rb, index, filter, query, number),
		Spent:    rb.Spent(), Count: len(rb.Entries),
	}
	page.Fields.New = true
	page.Forgotten = newLedgerForgotten(rb, page.Fields.Jobs, r.URL.Query().Get("all"))
	return page, nil
}
