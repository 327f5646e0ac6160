package store_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// TestAFaultModelStandsInTheJournalOnce tries many steps of a case with a long
// model: the book grows by little, and the journal still tells the whole case.
func TestAFaultModelStandsInTheJournalOnce(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	b := open(t, dir)
	r := start(t, b)
	model := "symptom: it hums\n" + strings.Repeat("# one line of many\n", 2000)
	r, _ = do(t, b, r.ID, addCase(rebuild.Case{On: "2026-03-01", Title: "It hums", Model: model, State: rebuild.CaseOpen}))
	const steps = 40
	for i := range steps {
		k := r.Cases[0]
		k.Steps = append([]rebuild.CaseStep{}, k.Steps...)
		k.Steps = append(k.Steps, rebuild.CaseStep{At: "2026-03-01T10:00:00Z", Kind: rebuild.StepTest, What: fmt.Sprintf("test %d", i), Outcome: "no"})
		r, _ = do(t, b, r.ID, editCase(k))
	}
	k := r.Cases[0]
	k.Model += "# and one more\n"
	r, _ = do(t, b, r.ID, editCase(k))
	r, _, err := b.Undo(ctx, me, r.ID, 0)
	must(t, err)
	if r.Cases[0].Model != model {
		t.Error("the undo did not bring the model back")
	}
	r, _, err = b.Redo(ctx, me, r.ID)
	must(t, err)
	records, err := b.Journal(ctx, r.ID, 0, steps+10)
	must(t, err)
	for _, record := range records[:steps+3] {
		for _, e := range record.Edits {
			before, _ := e.Before.(rebuild.Case)
			after, _ := e.After.(rebuild.Case)
			if !strings.HasPrefix(before.Model, model) || !strings.HasPrefix(after.Model, model) {
				t.Fatalf("record %d (%s) has a model of %d and %d bytes", record.ID, record.What, len(before.Model), len(after.Model))
			}
		}
	}
	must(t, b.Close())
	at, err := os.Stat(filepath.Join(dir, "book.db"))
	must(t, err)
	// As images the models alone would be 2 × 40 × 38 kB, 3 MB.
	if at.Size() > 1_500_000 {
		t.Errorf("the book has %d bytes", at.Size())
	}
	t.Logf("%d steps of a case with a model of %d bytes: the book has %d bytes", steps, len(model), at.Size())
}

// TestVerifyLooksAtTheJournalsModels hurts a text that only an older record has.
func TestVerifyLooksAtTheJournalsModels(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	b := open(t, dir)
	r := start(t, b)
	r, _ = do(t, b, r.ID, addCase(rebuild.Case{On: "2026-03-01", Title: "It hums", Model: "old", State: rebuild.CaseOpen}))
	k := r.Cases[0]
	k.Model = "new"
	do(t, b, r.ID, editCase(k))
	must(t, b.Close())
	execSQL(t, dir, "update model_text set text = 'odd' where text = 'old'")
	b = open(t, dir)
	problems, err := b.Verify(ctx)
	if err != nil || len(problems) != 1 || !strings.Contains(problems[0], "does not fit its hash") {
		t.Errorf("found %q (%v)", problems, err)
	}
}

// TestJournalsOfTheFourthForm takes a change of a case back that was written with
// its model inside, after one of today.
func TestJournalsOfTheFourthForm(t *testing.T) {
	ctx := context.Background()
	dir := filepath.Join(t.TempDir(), "book")
	must(t, os.CopyFS(dir, os.DirFS(filepath.Join("testdata", "book-form-4"))))
	b, err := store.Open(ctx, dir, store.Options{})
	must(t, err)
	defer b.Close()
	r, err := b.Load(ctx, 5)
	must(t, err)
	k := r.Cases[0]
	model, state := k.Model, k.State
	k.Model = "another"
	do(t, b, r.ID, editCase(k))
	for range 2 {
		r, _, err = b.Undo(ctx, me, r.ID, 0)
		must(t, err)
	}
	if k := r.Cases[0]; k.Model != model || k.State == state {
		t.Errorf("undone twice: %s, a model of %d bytes", k.State, len(k.Model))
	}
	for range 2 {
		r, _, err = b.Redo(ctx, me, r.ID)
		must(t, err)
	}
	if r.Cases[0].Model != "another" {
		t.Errorf("redone twice: %q", r.Cases[0].Model)
	}
	if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
		t.Errorf("verify: %q (%v)", problems, err)
	}
}
