package rebuild_test

import (
	"errors"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Everything in these tests is invented.

func goodCar() rebuild.Car {
	return rebuild.Car{
		Name: "Skua", Maker: "Norvane", Model: "Skua", Year: 2019, VIN: "TEST0000000000001", Plate: "AB12 CDE", Colour: "red",
		Jurisdiction: "UK", Category: "S", DistanceUnit: "mi", Distance: 41_000, BoughtOn: "2026-01-05",
		Currency: "GBP", Ceiling: amount.New(3_800_000, "GBP"), HourValue: amount.New(1_500, "GBP"), HoursPerWeek: 12, Correlation: 0.25, WantedBy: "2026-09-01",
	}
}

func goodFinding() rebuild.Finding {
	return rebuild.Finding{Zone: "front-left-corner", What: "hub bent", HowFound: rebuild.Seen, Severity: rebuild.Major, Safety: true, On: "2026-01-06"}
}

func goodRoute() rebuild.Route {
	return rebuild.Route{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "new hub", Cost: uncertain.Range{Low: 200, Likely: 240, High: 300}, Hours: uncertain.Range{Low: 2, Likely: 3, High: 5}, Works: 1}
}

func goodJob() rebuild.Job {
	return rebuild.Job{Title: "Renew the hub", Zone: "front-left-corner", Stage: 6, Safety: rebuild.SafetySuspension, Needed: 1, State: rebuild.JobOpen, Routes: []rebuild.Route{goodRoute()}}
}

func goodEntry() rebuild.Entry {
	return rebuild.Entry{On: "2026-01-07", Amount: amount.New(24_000, "GBP"), Tax: amount.New(4_000, "GBP"), Kind: rebuild.EntryPart, Supplier: "Moor Breakers", What: "hub"}
}

func started(t testing.TB) *rebuild.Rebuild {
	t.Helper()
	c, err := rebuild.New(goodCar())
	if err != nil {
		t.Fatal(err)
	}
	return applied(t, &rebuild.Rebuild{ID: 1}, c)
}

func applied(t testing.TB, r *rebuild.Rebuild, c rebuild.Change) *rebuild.Rebuild {
	t.Helper()
	next, err := r.Apply(c)
	if err != nil {
		t.Fatal(err)
	}
	return next
}

// done makes a change that must be possible.
func done(t testing.TB, r *rebuild.Rebuild, f func() (rebuild.Change, error)) *rebuild.Rebuild {
	t.Helper()
	c, err := f()
	if err != nil {
		t.Fatal(err)
	}
	return applied(t, r, c)
}

// furnished has findings 1 and 2, job 3 with routes 4 and 5 that settles both,
// and entries 6 (of the job) and 7.
func furnished(t testing.TB) *rebuild.Rebuild {
	t.Helper()
	r := started(t)
	r = done(t, r, func() (rebuild.Change, error) { return r.AddFinding(goodFinding()) })
	r = done(t, r, func() (rebuild.Change, error) { return r.AddFinding(goodFinding()) })
	j := goodJob()
	j.Findings = []int64{1, 2}
	used := goodRoute()
	used.Kind, used.Name, used.Works, used.Fallback = rebuild.Used, "used hub", 0.8, &rebuild.Fallback{Name: "new hub", Cost: uncertain.Certain(240)}
	j.Routes = append(j.Routes, used)
	r = done(t, r, func() (rebuild.Change, error) { return r.AddJob(j) })
	e := goodEntry()
	e.JobID = 3
	return done(t, r, func() (rebuild.Change, error) { return r.AddEntries(e, goodEntry()) })
}

// complains holds that an error is an Invalid with one problem, at that field,
// that says so; no field: that there is no error.
func complains(t *testing.T, err error, field, says string) {
	t.Helper()
	if field == "" {
		if err != nil {
			t.Errorf("refused: %v", err)
		}
		return
	}
	var invalid *rebuild.Invalid
	if !errors.As(err, &invalid) {
		t.Fatalf("got %v (%T), want a problem with %s", err, err, field)
	}
	if len(invalid.Problems) != 1 || invalid.Problems[0].Field != field || !strings.Contains(err.Error(), says) {
		t.Errorf("got %+v, want one problem with %s: %s", invalid.Problems, field, says)
	}
}
