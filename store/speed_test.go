package store_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// large is a book with one rebuild of so many ledger entries and jobs.
func large(t testing.TB, dir string, entries, jobs int) int64 {
	t.Helper()
	b := open(t, dir)
	r := start(t, b)
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return manyJobs(r, jobs) })
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		list := make([]rebuild.Entry, entries)
		for i := range list {
			list[i] = rebuild.Entry{On: "2026-02-04", Amount: amount.New(int64(100+i), "GBP"), Kind: rebuild.EntryPart, Supplier: "Breaker's yard", What: fmt.Sprintf("part %d", i), JobID: r.Jobs[i%len(r.Jobs)].ID}
		}
		return r.AddEntries(list...)
	})
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return r.ID
}

// manyJobs puts many jobs into one change.
func manyJobs(r *rebuild.Rebuild, n int) (rebuild.Change, error) {
	all := rebuild.Change{What: "added jobs"}
	next := *r
	for range n {
		c, err := next.AddJob(hubJob())
		if err != nil {
			return all, err
		}
		all.Edits = append(all.Edits, c.Edits...)
		next.NextID += 3 // the job and its two routes
	}
	return all, nil
}

// TestALargeBook is whole after loading and after more was written; it tells how
// long that took, which the benchmarks measure.
func TestALargeBook(t *testing.T) {
	dir := t.TempDir()
	id := large(t, dir, 20_000, 2_000)
	b := open(t, dir)
	began := time.Now()
	r, err := b.Load(context.Background(), id)
	if err != nil || len(r.Entries) != 20_000 || len(r.Jobs) != 2_000 {
		t.Fatal(err)
	}
	t.Logf("loading took %s", time.Since(began))
	began = time.Now()
	for i := range 10 {
		do(t, b, id, addEntry(rebuild.Entry{On: "2026-02-04", Amount: amount.New(int64(1+i), "GBP"), Kind: rebuild.EntryPart, What: "one more"}))
	}
	t.Logf("one more entry took %s", time.Since(began)/10)
	again, err := b.Load(context.Background(), id)
	if err != nil || len(again.Entries) != 20_010 {
		t.Fatal(err)
	}
}

func BenchmarkLoad20000Entries2000Jobs(b *testing.B) {
	dir := b.TempDir()
	id := large(b, dir, 20_000, 2_000)
	for b.Loop() {
		book, err := store.Open(context.Background(), dir, store.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := book.Load(context.Background(), id); err != nil {
			b.Fatal(err)
		}
		if err := book.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoadCached(b *testing.B) {
	dir := b.TempDir()
	id := large(b, dir, 20_000, 2_000)
	book := open(b, dir)
	for b.Loop() {
		if _, err := book.Load(context.Background(), id); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDo(b *testing.B) {
	for _, entries := range []int{10, 20_000} {
		b.Run(fmt.Sprintf("%d entries", entries), func(b *testing.B) {
			dir := b.TempDir()
			id := large(b, dir, entries, 10)
			book := open(b, dir)
			for b.Loop() {
				do(b, book, id, addEntry(rebuild.Entry{On: "2026-02-04", Amount: amount.New(5, "GBP"), Kind: rebuild.EntryPart, What: "one more"}))
			}
		})
	}
}
