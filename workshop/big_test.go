package workshop

import (
	"context"
	"fmt"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/money/ledger"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// bigBook is a made-up rebuild of 2,000 jobs in all states and 20,000 entries.
func bigBook(t testing.TB) *rebuild.Rebuild {
	const jobs, entries = 2_000, 20_000
	r := stand(t, withCar(func(c *rebuild.Car) { c.WantedBy = "2027-06-30" }), surveyed)
	for i := range rebuild.ZonePlaces {
		r = more(t, r, hides(rebuild.ZonePlaces[i].Key, 0.5, uncertain.Range{Low: 80, Likely: 250, High: 1500}))
	}
	next := *r
	next.Version++
	for i := range jobs {
		next.Jobs = append(next.Jobs, bigJob(int64(10*i+1), i))
		next.Findings = append(next.Findings, rebuild.Finding{ID: int64(10*i + 9), Zone: "boot", What: fmt.Sprintf("finding %d", i), Severity: rebuild.Major, On: today})
	}
	for i := range entries {
		e := rebuild.Entry{ID: int64(100_000 + i), On: fmt.Sprintf("2026-%02d-%02d", 1+i%6, 1+i%28), Amount: amount.New(int64(100+i%900), "GBP"), Kind: rebuild.EntryPart, What: fmt.Sprintf("part %d", i), Supplier: "Harbour Spares"}
		if i%3 > 0 {
			e.JobID = int64(10*(i%jobs) + 1)
		}
		next.Entries = append(next.Entries, e)
	}
	return &next
}

func bigJob(id int64, i int) rebuild.Job {
	j := rebuild.Job{ID: id, Title: fmt.Sprintf("job %d", i), Zone: "underside", Safety: rebuild.SafetyClasses[i%len(rebuild.SafetyClasses)], Needed: 1, State: rebuild.JobStates[i%len(rebuild.JobStates)], Reference: amount.New(50_000, "GBP"), Findings: []int64{id + 8}}
	for k := range 3 {
		route := aRoute(fmt.Sprintf("way %d", k), uncertain.Range{Low: 80, Likely: 120 + float64(30*k), High: 300})
		route.ID, route.Hours = id+int64(k)+1, uncertain.Range{Low: 1, Likely: 2, High: 5}
		route.Kind, route.Works = rebuild.NewPart, 0.8
		route.Fallback = &rebuild.Fallback{Cost: uncertain.Range{Low: 100, Likely: 200, High: 400}}
		j.Routes = append(j.Routes, route)
	}
	if i%2 == 0 {
		j.Chosen = j.Routes[0].ID
	}
	return j
}

// questions are what the pages ask for, under the names of the benchmarks.
func questions(w *Workshop, r *rebuild.Rebuild) map[string]func(context.Context) error {
	return map[string]func(context.Context) error{
		"Forecast": func(ctx context.Context) error { _, err := w.Forecast(ctx, r); return err },
		"Answers":  func(ctx context.Context) error { _, err := w.Answers(ctx, r); return err },
		"Next":     func(ctx context.Context) error { _, err := w.Next(ctx, r); return err },
		"Savings":  func(context.Context) error { _, err := w.Savings(r); return err },
		"History":  func(ctx context.Context) error { _, err := w.History(ctx, r); return err },
		"Search": func(ctx context.Context) error {
			index, err := w.Entries(ctx, r)
			if err == nil {
				index.Search(ledger.Filter{Words: "part"}, 1, 50)
			}
			return err
		},
	}
}

func TestBigBookAnswersAtOnce(t *testing.T) {
	w := open(t)
	r := bigBook(t)
	ctx := context.Background()
	for name, ask := range questions(w, r) {
		if err := ask(ctx); err != nil {
			t.Fatal(err)
		}
		begin := time.Now()
		if err := ask(ctx); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %v for an answer already worked out", name, time.Since(begin))
	}
}

func BenchmarkBigBookAgain(b *testing.B) {
	w, r := open(b), bigBook(b)
	for name, ask := range questions(w, r) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := ask(context.Background()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkBigBookFirst(b *testing.B) {
	r := bigBook(b)
	o := look(b, r)
	for name, work := range map[string]func(){
		"translate": func() { translate(r) },
		"forecast":  func() { look(b, r) },
		"actions":   func() { actionsOf(r, &o, today) },
		"answers":   func() { answersOf(r, &o, nil, today) },
		"savings": func() {
			if _, err := savingsOf(r); err != nil {
				b.Fatal(err)
			}
		},
		"index":  func() { ledger.NewIndex(ledgerItems(r)) },
		"routes": func() { Routes(r, &r.Jobs[0]) },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				work()
			}
		})
	}
}

// A workshop's usual book: 40 jobs, four zones that hide something.
func BenchmarkWhatIf(b *testing.B) {
	w := open(b)
	big := bigBook(b)
	usual := *big
	usual.Jobs, usual.Entries, usual.Findings = big.Jobs[:40], big.Entries[:90], nil
	for i := range usual.Entries {
		usual.Entries[i].JobID = 0
	}
	for name, r := range map[string]*rebuild.Rebuild{"usual": &usual, "big": big} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := w.WhatIf(context.Background(), r, Tweak{CostPercent: 10}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
