package web

import (
	"fmt"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// fillLedger enters 2,000 jobs and 20,000 entries, half of them without a job.
func fillLedger(g *ledgerRig) {
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		var all rebuild.Change
		next := rb
		for i := range 2000 {
			c, err := next.AddJob(rebuild.Job{Title: fmt.Sprintf("Job %d on the front panel", i), State: rebuild.JobStates[i%3], Needed: 1, Safety: rebuild.SafetyNone})
			if err != nil {
				return c, err
			}
			if next, err = next.Apply(c); err != nil {
				return c, err
			}
			all.Edits = append(all.Edits, c.Edits...)
		}
		all.What = "filled the workshop"
		return all, nil
	})
	jobs := g.now().Jobs
	for range 4 {
		entries := make([]rebuild.Entry, 5000)
		for i := range entries {
			entries[i] = rebuild.Entry{
				On: time.Date(2025, 1, 1+i*7%400, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), Amount: amount.New(int64(i*37%90000), "GBP"),
				Kind: rebuild.EntryKinds[i%8], What: fmt.Sprint("Thing ", i), Supplier: fmt.Sprint("Shop ", i%900), JobID: jobs[i%len(jobs)].ID * int64(i%2),
			}
		}
		g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddEntries(entries...) })
	}
}

func BenchmarkLedgerPages(b *testing.B) {
	g := newLedgerRig(b)
	fillLedger(g)
	first := g.now().Entries[0].ID
	for _, page := range []string{"/ledger", "/ledger?words=thing+12", "/ledger?page=200", "/ledger?all=1", fmt.Sprintf("/ledger/%d", first), "/ledger.csv"} {
		b.Run(page, func(b *testing.B) {
			for b.Loop() {
				if w := g.get(page); w.Code != 200 {
					b.Fatal(w.Code)
				}
			}
		})
	}
	b.Run("after a change", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			g.entry(rebuild.Entry{Amount: amount.New(100, "GBP"), What: "One more"})
			b.StartTimer()
			if w := g.get("/ledger"); w.Code != 200 {
				b.Fatal(w.Code)
			}
		}
	})
}
