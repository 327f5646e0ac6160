package web

import (
	"net/http"
	"net/url"
	"strconv"
	"time"

	"wreckwright/money/amount"
	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

// ledgerFilterFields are the parameters that narrow the ledger, as they stand in
// its address.
var ledgerFilterFields = []string{"words", "kind", "job", "from", "to", "least", "most", "receipt"}

// ledgerFilter reads the filter out of the address. What cannot be read narrows
// nothing and is a problem of the form.
func ledgerFilter(r *http.Request, currency string) (ledger.Filter, *Form) {
	f := &Form{}
	query := r.URL.Query()
	for _, name := range ledgerFilterFields {
		if v := query.Get(name); v != "" {
			f.Set(name, v)
		}
	}
	filter := ledger.Filter{Words: f.Value("words"), From: f.filterDate("from"), To: f.filterDate("to")}
	if kind := f.Value("kind"); kind != "" {
		filter.Kinds = []string{kind}
	}
	switch job := f.Value("job"); job {
	case "", string(ledger.With), string(ledger.Without):
		filter.Job = ledger.Which(job)
	default:
		filter.JobID = f.whole("job", "the job")
	}
	if which := ledger.Which(f.Value("receipt")); which == ledger.With || which == ledger.Without {
		filter.Receipt = which
	}
	filter.Least = f.filterSum("least", currency)
	filter.Most = f.filterSum("most", currency)
	return filter, f
}

func (f *Form) filterDate(field string) string {
	text := f.Value(field)
	if _, err := time.Parse(time.DateOnly, text); text != "" && err != nil {
		f.problem(field, "%q is not a date; write it like 2026-03-21", text)
		return ""
	}
	return text
}

func (f *Form) filterSum(field, currency string) *int64 {
	text := f.Value(field)
	if text == "" {
		return nil
	}
	a, err := amount.Parse(text, currency, amount.Guess)
	if err != nil {
		f.problem(field, "%v", err)
		return nil
	}
	return &a.Minor
}

// ledgerQuery is the filter as it goes into an address.
func ledgerQuery(f *Form) url.Values {
	q := url.Values{}
	for _, name := range ledgerFilterFields {
		if v := f.Value(name); v != "" {
			q.Set(name, v)
		}
	}
	return q
}

// ledgerFound is what the filter found: one page of it and the sum of all.
type ledgerFound struct {
	Rows   []ledgerRow
	Found  int
	Sum    amount.Amount
	Number int
	Pages  int
	Newer  string // address of the page before, or empty
	Older  string
	CSV    string
}

// ledgerRow is one entry in the list.
type ledgerRow struct {
	ID       int64
	On       string
	Amount   amount.Amount
	Back     bool // money back
	Balance  amount.Amount
	Kind     string
	Supplier string
	What     string
	JobID    int64
	JobTitle string
	General  bool
	Receipts int
}

const entriesOnPage = 50

func newLedgerFound(rb *rebuild.Rebuild, index *ledger.Index, filter ledger.Filter, query url.Values, number int) ledgerFound {
	p := index.Search(filter, number, entriesOnPage)
	base := Frame{Rebuild: rb}.Base() + "/ledger"
	found := ledgerFound{Found: p.Found, Sum: rb.Amount(p.Sum), Number: p.Number, Pages: p.Pages, CSV: withQuery(base+".csv", query)}
	for _, m := range p.Matches {
		found.Rows = append(found.Rows, ledgerRow{
			ID: m.ID, On: m.On, Amount: rb.Amount(m.Minor), Back: m.Minor < 0, Balance: rb.Amount(m.Balance),
			Kind: entryKindLabel(rebuild.EntryKind(m.Kind)), Supplier: m.Supplier, What: m.What,
			JobID: m.JobID, JobTitle: m.JobTitle, General: m.General, Receipts: m.Receipts,
		})
	}
	page := func(n int) string {
		query.Set("page", strconv.Itoa(n))
		defer query.Del("page")
		return withQuery(base, query) + "#found"
	}
	if p.Number > 1 {
		found.Newer = page(p.Number - 1)
	}
	if p.Number < p.Pages {
		found.Older = page(p.Number + 1)
	}
	return found
}

func withQuery(address string, q url.Values) string {
	if len(q) == 0 {
		return address
	}
	return address + "?" + q.Encode()
}
