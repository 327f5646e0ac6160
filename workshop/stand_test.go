package workshop

import (
	"context"
	"log/slog"
	"slices"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

const today = "2026-06-30"

var byTest = store.By{Who: "test"}

// The cars, jobs and sums in these tests are invented.
func aCar() rebuild.Car {
	return rebuild.Car{
		Name: "Skua", Maker: "Norvane", Model: "Skua", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP",
		Ceiling: amount.New(3_800_000, "GBP"), HourValue: amount.New(0, "GBP"), HoursPerWeek: 14, Correlation: 0.25,
	}
}

type step func(*rebuild.Rebuild) (rebuild.Change, error)

// stand is a rebuild after some steps.
func stand(t testing.TB, steps ...step) *rebuild.Rebuild {
	t.Helper()
	change, err := rebuild.New(aCar())
	if err != nil {
		t.Fatal(err)
	}
	r, err := (&rebuild.Rebuild{ID: 1}).Apply(change)
	if err != nil {
		t.Fatal(err)
	}
	return more(t, r, steps...)
}

func more(t testing.TB, r *rebuild.Rebuild, steps ...step) *rebuild.Rebuild {
	t.Helper()
	for _, s := range steps {
		change, err := s(r)
		if err != nil {
			t.Fatal(err)
		}
		if r, err = r.Apply(change); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func withCar(change func(*rebuild.Car)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		car := r.Car
		change(&car)
		return r.EditCar(car)
	}
}

// aJob is an open job on one certain route of the given cost, chosen.
func aJob(title string, cost float64, change ...func(*rebuild.Job)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		j := rebuild.Job{Title: title, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen, Chosen: 1, Routes: []rebuild.Route{aRoute("mend", uncertain.Certain(cost))}}
		for _, c := range change {
			c(&j)
		}
		return r.AddJob(j)
	}
}

func aRoute(name string, cost uncertain.Range) rebuild.Route {
	return rebuild.Route{Name: name, Kind: rebuild.Repair, Method: rebuild.MethodPlain, Cost: cost, Works: 1}
}

// mayFail makes the job's first route fail with the chance 1 - works.
func mayFail(works, fallback float64) func(*rebuild.Job) {
	return func(j *rebuild.Job) {
		j.Routes[0].Works = works
		j.Routes[0].Fallback = &rebuild.Fallback{Name: "new", Cost: uncertain.Certain(fallback)}
	}
}

func inState(s rebuild.JobState) func(*rebuild.Job) {
	return func(j *rebuild.Job) {
		j.State = s
		if j.Finished() {
			j.DoneOn, j.Proof = "2026-05-01", "looked at"
		}
	}
}

func pays(minor int64, job int64, change ...func(*rebuild.Entry)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		e := rebuild.Entry{On: "2026-06-01", Amount: amount.New(minor, "GBP"), Kind: rebuild.EntryPart, What: "a part", JobID: job}
		for _, c := range change {
			c(&e)
		}
		return r.AddEntries(e)
	}
}

func aFinding(what string, severity rebuild.Severity, safety bool) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{Zone: "underside", What: what, HowFound: rebuild.Seen, Severity: severity, Safety: safety, On: "2026-05-01"})
	}
}

func hides(zone string, expected float64, cost uncertain.Range) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		z := *r.Zone(zone)
		z.HiddenExpected, z.HiddenCost = expected, cost
		return r.EditZone(z)
	}
}

func surveyed(r *rebuild.Rebuild) (rebuild.Change, error) {
	s := r.Stages[surveyStage-1]
	s.State, s.DoneOn = rebuild.StageDone, "2026-05-01"
	return r.EditStage(s)
}

func look(t testing.TB, r *rebuild.Rebuild) Outlook {
	t.Helper()
	o, err := forecastOf(context.Background(), r, translate(r))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// open is a workshop over a real book in a folder of the test's own.
func open(t testing.TB) *Workshop {
	t.Helper()
	book, err := store.Open(context.Background(), t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	w := New(book, slog.New(slog.DiscardHandler), func() string { return today })
	w.patience = time.Minute
	t.Cleanup(func() {
		if err := w.Close(); err != nil {
			t.Error(err)
		}
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	return w
}

func start(t testing.TB, w *Workshop, steps ...step) *rebuild.Rebuild {
	t.Helper()
	r, err := w.Book().Start(context.Background(), byTest, aCar())
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		if r, _, err = w.Do(context.Background(), byTest, r.ID, s); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func jobNames(jobs []*rebuild.Job) []string {
	var names []string
	for _, j := range jobs {
		names = append(names, j.Title)
	}
	slices.Sort(names)
	return names
}
