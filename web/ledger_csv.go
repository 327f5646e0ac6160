package web

import (
	"net/http"
	"strings"

	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

// ledgerCSV hands out the entries that the filter picks, the oldest first, as
// rows that [importPreview] reads back.
func (s *Server) ledgerCSV(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	filter, form := ledgerFilter(r, rb.Car.Currency)
	if len(form.Problems) > 0 {
		return &rebuild.Invalid{Problems: form.Problems}
	}
	filter.OldestFirst = true
	table := csvTable{{"Date", "Amount", "Currency", "Tax", "Kind", "Supplier", "What", "Job", "No job on purpose", "Receipts"}}
	index, err := s.workshop.Entries(r.Context(), rb)
	if err != nil {
		return err
	}
	for number, pages := 1, 1; number <= pages; number++ {
		p := index.Search(filter, number, 100_000)
		pages = p.Pages
		for _, m := range p.Matches {
			table.ledgerRow(rb.Entry(m.ID), m)
		}
	}
	return table.send(w, rb.Car.Name+" ledger.csv")
}

func (t *csvTable) ledgerRow(e *rebuild.Entry, m ledger.Match) {
	general := ""
	if e.General {
		general = "yes"
	}
	receipts := make([]string, len(e.Receipts))
	for i, a := range e.Receipts {
		receipts[i] = a.Name
	}
	t.row(e.On, e.Amount.Number(), e.Amount.Currency, e.Tax.Number(), string(e.Kind), e.Supplier, e.What, m.JobTitle, general, strings.Join(receipts, "; "))
}
