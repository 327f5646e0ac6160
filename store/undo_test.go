package store_test

import (
	"context"
	"errors"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// TestUndoUnderLaterChangesThatCameToTheSame holds that an older change is not
// taken back from under later ones, even where its words stand there again: the
// later ones could not be taken back any more then.
func TestUndoUnderLaterChangesThatCameToTheSame(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	r, _ = do(t, b, r.ID, addFinding(finding("dent")))
	var toScratch store.Record
	for i, what := range []string{"scratch", "dent", "scratch"} {
		f := r.Findings[0]
		f.What = what
		var record store.Record
		r, record = do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditFinding(f) })
		if i == 0 {
			toScratch = record
		}
	}
	var conflict *rebuild.Conflict
	if _, _, err := b.Undo(ctx, me, r.ID, toScratch.ID); !errors.As(err, &conflict) || conflict.ID != 1 || conflict.Label != "scratch" {
		t.Errorf("undo of the first: %v", err)
	}
	for _, what := range []string{"dent", "scratch", "dent"} {
		var err error
		if r, _, err = b.Undo(ctx, me, r.ID, 0); err != nil || r.Findings[0].What != what {
			t.Fatalf("undo to %q: %v", what, err)
		}
	}
}

// TestUndoAcrossACurrency holds that estimates do not come back into another
// currency than they were made in.
func TestUndoAcrossACurrency(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	job := hubJob()
	job.Reference, job.Chosen = amount.Amount{}, 0
	r, _ = do(t, b, r.ID, addJob(job))
	r, deleted := do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteJob(1, 0) })
	car := r.Car
	car.Currency, car.Ceiling = "EUR", amount.Amount{}
	r, _ = do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditCar(car) })
	var conflict *rebuild.Conflict
	if _, _, err := b.Undo(ctx, me, r.ID, deleted.ID); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindCar {
		t.Errorf("undo across the change of currency: %v", err)
	}
	for range 2 {
		var err error
		if r, _, err = b.Undo(ctx, me, r.ID, 0); err != nil {
			t.Fatal(err)
		}
	}
	if len(r.Jobs) != 1 || r.Car.Currency != "GBP" {
		t.Errorf("one after the other: %d jobs in %s", len(r.Jobs), r.Car.Currency)
	}
}

func TestUndoOfWhatCannotBe(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r, other := start(t, b), start(t, b)
	_, added := do(t, b, r.ID, addFinding(finding("dent")))
	_, undone, err := b.Undo(ctx, me, r.ID, added.ID)
	must(t, err)
	start, err := b.Journal(ctx, r.ID, added.ID, 1)
	must(t, err)
	for name, c := range map[string]struct{ id, record int64 }{
		"undone already":      {r.ID, added.ID},
		"an undo":             {r.ID, undone.ID},
		"no record":           {r.ID, 99},
		"another's record":    {other.ID, added.ID},
		"the start":           {r.ID, start[0].ID},
		"a negative record":   {r.ID, -1},
		"the other's own one": {other.ID, undone.ID},
	} {
		if _, _, err := b.Undo(ctx, me, c.id, c.record); !errors.As(err, new(*rebuild.Invalid)) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// An undo by the record of a redo is one of the change behind it.
	_, redone, err := b.Redo(ctx, me, r.ID)
	must(t, err)
	if now, _, err := b.Undo(ctx, me, r.ID, redone.ID); err != nil || len(now.Findings) != 0 {
		t.Errorf("undo of a redo: %v", err)
	}
}

// TestARowThatWasEditedFromOutside holds that what another program wrote into
// the file meanwhile is not overwritten silently.
func TestARowThatWasEditedFromOutside(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	b := open(t, dir)
	r := start(t, b)
	r, _ = do(t, b, r.ID, addFinding(finding("dent")))
	execSQL(t, dir, "update finding set rev = 1, what = 'hole'")
	f := r.Findings[0]
	f.What = "scratch"
	var conflict *rebuild.Conflict
	if _, _, err := b.Do(ctx, me, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditFinding(f) }); !errors.As(err, &conflict) {
		t.Errorf("edit over it: %v", err)
	}
	now, err := b.Load(ctx, r.ID)
	if err != nil || now.Findings[0].What != "hole" || now.Version != r.Version {
		t.Errorf("afterwards: %+v (%v)", now.Findings, err)
	}
}
