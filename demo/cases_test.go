package demo_test

import (
	"log/slog"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// TestCases holds what the cases are there to show: one that was solved after a
// repair that did not cure, and two whose next action is open.
func TestCases(t *testing.T) {
	book := build(t, today)
	bench := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return today.Format(time.DateOnly) })
	defer func() {
		if err := bench.Close(); err != nil {
			t.Error(err)
		}
	}()
	skua, dipper := load(t, book, "Skua"), load(t, book, "Dipper")
	if len(skua.Cases) != 2 || len(dipper.Cases) != 1 {
		t.Fatalf("%d and %d cases", len(skua.Cases), len(dipper.Cases))
	}
	checkSolvedCase(t, bench, skua, &skua.Cases[0])
	checkOpenCase(t, bench, skua, &skua.Cases[1], "battery")
	checkOpenCase(t, bench, dipper, &dipper.Cases[0], "wheel_bearing")
	checkCaseJournal(t, book, skua)
}

// weighed is the case as its page shows it; every step must count.
func weighed(t *testing.T, bench *workshop.Workshop, r *rebuild.Rebuild, k *rebuild.Case) *workshop.Diagnosis {
	t.Helper()
	d, err := bench.Diagnose(ctx, r, k)
	if err != nil || d.Wrong != nil {
		t.Fatalf("%s: %v, %v", k.Title, err, d.Wrong)
	}
	for _, tried := range d.Trail {
		if tried.Unfit != "" {
			t.Errorf("%s: %s does not count: %s", k.Title, tried.Name, tried.Unfit)
		}
	}
	for _, id := range k.NotNow {
		if name := bench.ActionName(k, id); name == id {
			t.Errorf("%s: there is no %q to wait with", k.Title, id)
		}
	}
	return d
}

func checkSolvedCase(t *testing.T, bench *workshop.Workshop, r *rebuild.Rebuild, k *rebuild.Case) {
	t.Helper()
	d := weighed(t, bench, r, k)
	if k.State != rebuild.CaseSolved || !k.Cured() || d.Fault(k.Cause) == nil {
		t.Errorf("the case is %s, cause %q", k.State, k.Cause)
	}
	failed := slices.ContainsFunc(k.Steps, func(s rebuild.CaseStep) bool { return s.Kind == rebuild.StepRepair && !s.Cured })
	if !failed {
		t.Error("the first repair cured")
	}
	first, last := k.Steps[0], k.Steps[len(k.Steps)-1]
	before, after := r.EvidenceAt(first.EvidenceID), r.EvidenceAt(last.EvidenceID)
	if before == nil || after == nil || math.Abs(*first.Value-71) > 0.01 || first.ValueSD <= 0 {
		t.Fatalf("the timings behind it are missing: %+v, %+v", first, last)
	}
	job := r.Job(k.Jobs[0])
	if job.State != rebuild.JobProven || job.Reference.Minor <= r.Paid()[job.ID] || before.JobID != job.ID || after.JobID != job.ID {
		t.Errorf("its job %q is %s and saves nothing, or the timings are not its own", job.Title, job.State)
	}
	if k.On != before.On || last.At < job.DoneOn {
		t.Errorf("opened %s, cured %s, the job done %s", k.On, last.At, job.DoneOn)
	}
}

func checkOpenCase(t *testing.T, bench *workshop.Workshop, r *rebuild.Rebuild, k *rebuild.Case, likeliest string) {
	t.Helper()
	d := weighed(t, bench, r, k)
	if k.State != rebuild.CaseOpen || len(k.Steps) == 0 || d.Next == nil || d.Whole == nil || len(d.LeftOut) != len(k.NotNow) {
		t.Fatalf("%s is %s, next %+v", k.Title, k.State, d.Next)
	}
	t.Logf("%s: %s %.2f; next %s (of %d)", k.Title, d.Faults[0].Name, d.Faults[0].Chance, d.Next.Name, len(d.Others)+1)
	if d.Faults[0].ID != likeliest {
		t.Errorf("%s: the likeliest is %s, not %s", k.Title, d.Faults[0].ID, likeliest)
	}
}

// checkCaseJournal holds that the journal speaks as the case's page does.
func checkCaseJournal(t *testing.T, book *store.Book, r *rebuild.Rebuild) {
	t.Helper()
	records, err := book.Journal(ctx, r.ID, 0, 1000)
	if err != nil {
		t.Fatal(err)
	}
	opened, noted := 0, 0
	for _, record := range records {
		switch {
		case strings.HasPrefix(record.What, "opened the case "):
			opened++
		case strings.HasPrefix(record.What, "noted in the case "), strings.HasPrefix(record.What, "left out for now in the case "):
			noted++
		case strings.Contains(record.What, "case"):
			t.Errorf("the journal says %q", record.What)
		}
	}
	if opened != 2 || noted != 10 {
		t.Errorf("%d cases opened, %d times something noted in them", opened, noted)
	}
}
