package workshop

import (
	"context"
	"testing"

	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

func TestPastedBillsBecomeEntries(t *testing.T) {
	w := open(t)
	r := start(t, w, aJob("Front left upright", 300), pays(32_000, 0, func(e *rebuild.Entry) { e.On, e.Supplier = "2026-03-21", "Harbour Spares" }))
	preview, err := w.ReadBills(r, []byte("Date,Supplier,What,Amount,Kind,Job\n"+
		"21/03/2026,HARBOUR SPARES,upright,320.00,Parts,front left upright\n"+
		"22/03/2026,Northgate,courier delivery,15.00,,\n"+
		"22/03/2026,Harbour Spares,sold the bent door,-40.00,,\n"), ledger.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if preview.Duplicates != 1 || preview.Rows[0].Duplicate == nil || preview.Rows[0].Duplicate.EntryID != r.Entries[0].ID {
		t.Fatalf("the bill in the ledger was not recognised: %+v", preview.Rows[0])
	}
	var entries []rebuild.Entry
	for _, row := range preview.Rows {
		entries = append(entries, EntryOf(r, row.Line))
	}
	r, _, err = w.Do(context.Background(), byTest, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEntries(entries...) })
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		kind  rebuild.EntryKind
		minor int64
		job   int64
	}{{rebuild.EntryPart, 32_000, r.Jobs[0].ID}, {rebuild.EntryTransport, 1_500, 0}, {rebuild.EntrySale, -4_000, 0}}
	for i, e := range r.Entries[1:] {
		if e.Kind != want[i].kind || e.Amount.Minor != want[i].minor || e.JobID != want[i].job {
			t.Errorf("entry %d: %+v, want %+v", i+1, e, want[i])
		}
	}
	index, err := w.Entries(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	if page := index.Search(ledger.Filter{Words: "front upright"}, 1, 10); page.Found != 1 || page.Matches[0].Minor != 32_000 {
		t.Errorf("%+v", page)
	}
}

// Every answer is worked out anew after a change and not before.
func TestAnswersAreRemembered(t *testing.T) {
	w := open(t)
	ctx := context.Background()
	r := start(t, w, aJob("radiator", 400))
	before, err := w.Forecast(ctx, r)
	if err != nil {
		t.Fatal(err)
	}
	again, err := w.Forecast(ctx, r)
	if err != nil || &again.Sample()[0] != &before.Sample()[0] {
		t.Errorf("the same version was worked out twice (%v)", err)
	}
	next, _, err := w.Do(ctx, byTest, r.ID, pays(100_000, 0))
	if err != nil {
		t.Fatal(err)
	}
	after, err := w.Forecast(ctx, next)
	if err != nil || after.Total.Mean != before.Total.Mean+1000 {
		t.Errorf("%v after %v (%v)", after.Total.Mean, before.Total.Mean, err)
	}
	// A page still open on the version before gets the figures of that version.
	if old, err := w.Forecast(ctx, r); err != nil || old.Total.Mean != before.Total.Mean {
		t.Errorf("%v, want %v (%v)", old.Total.Mean, before.Total.Mean, err)
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := w.Forecast(gone, next); err != nil {
		t.Errorf("a remembered answer waits for nothing: %v", err)
	}
}
