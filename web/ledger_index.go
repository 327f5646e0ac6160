package web

import (
	"cmp"
	"maps"
	"slices"
	"sync"

	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

// ledgerView is one version of a rebuild's ledger made ready for its page.
type ledgerView struct {
	version   int64
	index     *ledger.Index
	suppliers []string // the most used first
}

// mostSuppliers bounds the list that a supplier is picked from while typing.
const mostSuppliers = 150

// ledgerViews keeps the latest view of each rebuild, so that a page of a long
// ledger is not sorted anew each time. The zero value is ready.
type ledgerViews struct {
	mu    sync.Mutex
	views map[int64]*ledgerView
}

func (l *ledgerViews) of(rb *rebuild.Rebuild) *ledgerView {
	l.mu.Lock()
	defer l.mu.Unlock()
	if v := l.views[rb.ID]; v != nil && v.version == rb.Version {
		return v
	}
	v := newLedgerView(rb)
	if l.views == nil {
		l.views = map[int64]*ledgerView{}
	}
	l.views[rb.ID] = v
	return v
}

func newLedgerView(rb *rebuild.Rebuild) *ledgerView {
	titles := make(map[int64]string, len(rb.Jobs))
	for i := range rb.Jobs {
		titles[rb.Jobs[i].ID] = rb.Jobs[i].Title
	}
	items := make([]ledger.Item, len(rb.Entries))
	for i := range rb.Entries {
		e := &rb.Entries[i]
		items[i] = ledger.Item{
			ID: e.ID, On: e.On, Minor: e.Amount.Minor, Kind: string(e.Kind), Supplier: e.Supplier, What: e.What,
			JobID: e.JobID, JobTitle: titles[e.JobID], General: e.General, Receipts: len(e.Receipts),
		}
	}
	return &ledgerView{rb.Version, ledger.NewIndex(items), suppliersOf(rb)}
}

// suppliersOf lists who was paid, the most often first.
func suppliersOf(rb *rebuild.Rebuild) []string {
	times := map[string]int{}
	for i := range rb.Entries {
		if name := rb.Entries[i].Supplier; name != "" {
			times[name]++
		}
	}
	names := slices.SortedFunc(maps.Keys(times), func(a, b string) int {
		return cmp.Or(cmp.Compare(times[b], times[a]), cmp.Compare(a, b))
	})
	return names[:min(len(names), mostSuppliers)]
}
