package web

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"wreckwright/demo"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// BenchmarkPages prints what each page takes of server time: the median and the
// 95th centile of the runs after one that warms up, and the first one after a
// change, when everything that is remembered has to be worked out again. For 20
// runs of each:
//
//	go test ./web -run '^$' -bench '^BenchmarkPages' -benchtime 20x
//
// The demo book is of the size that one rebuild has; the big one has 20,000
// entries, 2,000 jobs and 1,500 findings.
func BenchmarkPages(b *testing.B) {
	b.Run("demo", func(b *testing.B) {
		dir := b.TempDir()
		if err := demo.Build(b.Context(), dir, speedDay); err != nil {
			b.Fatal(err)
		}
		newSpeedRig(b, dir).pages(b)
	})
	b.Run("big", func(b *testing.B) {
		dir := b.TempDir()
		buildBig(b, dir)
		newSpeedRig(b, dir).pages(b)
	})
}

var speedDay = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// speedRig is a server over a book whose first rebuild's pages are timed.
type speedRig struct {
	book   *store.Book
	shop   *workshop.Workshop
	server *Server
}

func newSpeedRig(b *testing.B, dir string) *speedRig {
	b.Helper()
	now := func() time.Time { return speedDay }
	book, err := store.Open(b.Context(), dir, store.Options{Now: now})
	if err != nil {
		b.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return speedDay.Format(time.DateOnly) })
	b.Cleanup(func() {
		_ = shop.Close()
		_ = book.Close()
	})
	server, err := New(shop, Options{Now: now})
	if err != nil {
		b.Fatal(err)
	}
	return &speedRig{book, shop, server}
}

func (g *speedRig) rebuild(b *testing.B) *rebuild.Rebuild {
	b.Helper()
	r, err := g.book.Load(context.Background(), 1)
	if err != nil {
		b.Fatal(err)
	}
	return r
}

// pages times every page of the first rebuild.
func (g *speedRig) pages(b *testing.B) {
	r := g.rebuild(b)
	paths := []string{"/"}
	for _, page := range []string{
		"now", "car", "findings", "findings?zone=bonnet&q=bent", "jobs", "jobs?words=bracket", "jobs/new", "ledger", "ledger?words=bolt", "ledger?all=1",
		"ledger/import", "money", "money/what-if?costs=10", "history", "zones/bonnet", "walk?zone=bonnet", "appraise",
		fmt.Sprintf("findings/%d", r.Findings[0].ID), fmt.Sprintf("jobs/%d", r.Jobs[0].ID), fmt.Sprintf("jobs/%d/edit", r.Jobs[0].ID),
		fmt.Sprintf("ledger/%d", r.Entries[0].ID), "jobs.csv", "ledger.csv",
	} {
		paths = append(paths, "/r/1/"+page)
	}
	for _, path := range paths {
		b.Run(path, func(b *testing.B) { g.time(b, path) })
	}
}

func (g *speedRig) time(b *testing.B, path string) {
	g.touch(b)
	first := g.get(b, path)
	var took []time.Duration
	for b.Loop() {
		took = append(took, g.get(b, path))
	}
	slices.Sort(took)
	b.ReportMetric(0, "ns/op") // says the mean, which one slow run moves
	b.ReportMetric(millis(took[len(took)/2]), "median-ms")
	b.ReportMetric(millis(took[min(len(took)*95/100, len(took)-1)]), "p95-ms")
	b.ReportMetric(millis(first), "first-ms")
}

func millis(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// get asks for a page and says how long the server took.
func (g *speedRig) get(b *testing.B, path string) time.Duration {
	b.Helper()
	request := httptest.NewRequest(http.MethodGet, "http://localhost"+path, nil)
	answer := httptest.NewRecorder()
	began := time.Now()
	g.server.ServeHTTP(answer, request)
	took := time.Since(began)
	if answer.Code != http.StatusOK {
		b.Fatalf("%s answers %d", path, answer.Code)
	}
	return took
}

// touch changes a bill and what an open job may cost, so that nothing remembered is
// true any more.
func (g *speedRig) touch(b *testing.B) {
	b.Helper()
	_, _, err := g.book.Do(context.Background(), store.By{Who: "speed"}, 1, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		e := r.Entries[len(r.Entries)-1]
		e.Amount.Minor++
		bill, err := r.EditEntry(e)
		if err != nil {
			return bill, err
		}
		job := openJob(r)
		route := job.Routes[0]
		route.Cost.High *= 1.01
		cost, err := r.SetRoute(job.ID, job.Rev, route)
		bill.Edits = append(bill.Edits, cost.Edits...)
		return bill, err
	})
	if err != nil {
		b.Fatal(err)
	}
}

func openJob(r *rebuild.Rebuild) *rebuild.Job {
	for i := range r.Jobs {
		if j := &r.Jobs[i]; j.Ahead() && len(j.Routes) > 0 && j.Chosen == j.Routes[0].ID {
			return j
		}
	}
	return &r.Jobs[0]
}

// buildBig makes a book with one large rebuild. All of it is made up.
func buildBig(b *testing.B, dir string) {
	b.Helper()
	book, err := store.Open(b.Context(), dir, store.Options{Now: func() time.Time { return speedDay }})
	if err != nil {
		b.Fatal(err)
	}
	rb, err := book.Start(b.Context(), store.By{Who: "speed"}, rebuild.Car{
		Name: "Big", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP", HoursPerWeek: 20,
		Ceiling: amount.New(90_000_000, "GBP"), Correlation: rebuild.DefaultCorrelation,
	})
	if err != nil {
		b.Fatal(err)
	}
	for _, step := range []func(*rebuild.Rebuild) (rebuild.Change, error){manyFindings, variedJobs, manyBills} {
		if _, _, err := book.Do(b.Context(), store.By{Who: "speed"}, rb.ID, step); err != nil {
			b.Fatal(err)
		}
	}
	if err := book.Close(); err != nil {
		b.Fatal(err)
	}
}

func manyFindings(r *rebuild.Rebuild) (rebuild.Change, error) {
	all := rebuild.Change{What: "added 1,500 findings"}
	for i := range 1500 {
		c, err := r.AddFinding(rebuild.Finding{
			Zone: rebuild.ZonePlaces[i%len(rebuild.ZonePlaces)].Key, What: fmt.Sprintf("Bracket %d bent", i), HowFound: rebuild.WaysOfFinding[i%7],
			Severity: rebuild.Severities[i%4], Safety: i%9 == 0, On: speedDay.AddDate(0, 0, -i%200).Format(time.DateOnly),
		})
		if err != nil {
			return all, err
		}
		all.Edits = append(all.Edits, c.Edits...)
		if r, err = r.Apply(c); err != nil {
			return all, err
		}
	}
	return all, nil
}

// variedJobs are 2,000 jobs: two thirds done or proven, as in a workshop's long
// life, each with a repair that may fail and a new part.
func variedJobs(r *rebuild.Rebuild) (rebuild.Change, error) {
	states := []rebuild.JobState{rebuild.JobOpen, rebuild.JobDone, rebuild.JobProven, rebuild.JobDone, rebuild.JobWaiting, rebuild.JobProven}
	jobs := make([]rebuild.Job, 2000)
	for i := range jobs {
		j := rebuild.Job{
			Title: fmt.Sprintf("Mend bracket %d", i), Zone: rebuild.ZonePlaces[i%len(rebuild.ZonePlaces)].Key, Stage: int64(1 + i%9),
			Safety: rebuild.SafetyNone, Needed: 1, Reference: amount.New(int64(20_000+i), "GBP"), ReferenceFrom: "made up", State: states[i%len(states)],
			Routes: []rebuild.Route{
				{Kind: rebuild.Repair, Method: rebuild.MethodWelded, Name: "Mend", Cost: uncertain.Range{Low: 60, Likely: 100, High: 220}, Hours: uncertain.Range{Low: 1, Likely: 2, High: 5}, Works: 0.8, Fallback: &rebuild.Fallback{Name: "new after all", Cost: uncertain.Certain(160)}},
				{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "New", Cost: uncertain.Range{Low: 150, Likely: 180, High: 200}, Hours: uncertain.Certain(1), Works: 1},
			},
			Chosen: int64(i % 3),
		}
		if i < 1500 {
			j.Findings = []int64{r.Findings[i].ID}
		}
		switch j.State {
		case rebuild.JobDone, rebuild.JobProven:
			j.DoneOn, j.HoursSpent, j.Proof = speedDay.AddDate(0, 0, -i%200).Format(time.DateOnly), 2.5, "seen"
		case rebuild.JobWaiting:
			j.WaitingFor = "a part"
		}
		jobs[i] = j
	}
	return manyJobs(r, jobs)
}

func manyBills(r *rebuild.Rebuild) (rebuild.Change, error) {
	entries := make([]rebuild.Entry, 20_000)
	for i := range entries {
		entries[i] = rebuild.Entry{
			On: speedDay.AddDate(0, 0, -i%400).Format(time.DateOnly), Amount: amount.New(int64(100+i%5000), "GBP"), Kind: rebuild.EntryKinds[i%5],
			What: fmt.Sprintf("Bolt %d", i), Supplier: fmt.Sprintf("Shop %d", i%300),
		}
		if i%20 > 0 {
			entries[i].JobID = r.Jobs[i*7%len(r.Jobs)].ID
		}
	}
	return r.AddEntries(entries...)
}
