package store_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// The car and everything else in these tests is invented.
var skua = rebuild.Car{
	Name: "Skua", Maker: "Norvane", Model: "Skua", Year: 2019, Jurisdiction: "UK", DistanceUnit: "mi",
	Currency: "GBP", Ceiling: amount.New(3_800_000, "GBP"), Correlation: 0.25,
}

var me = store.By{Who: "Ada"}

func open(t testing.TB, dir string) *store.Book {
	t.Helper()
	clock := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	b, err := store.Open(context.Background(), dir, store.Options{Now: func() time.Time { clock = clock.Add(time.Minute); return clock }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

func start(t testing.TB, b *store.Book) *rebuild.Rebuild {
	t.Helper()
	r, err := b.Start(context.Background(), me, skua)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

type plan = func(*rebuild.Rebuild) (rebuild.Change, error)

func do(t testing.TB, b *store.Book, id int64, f plan) (*rebuild.Rebuild, store.Record) {
	t.Helper()
	r, record, err := b.Do(context.Background(), me, id, f)
	if err != nil {
		t.Fatal(err)
	}
	return r, record
}

func finding(what string) rebuild.Finding {
	return rebuild.Finding{Zone: "bonnet", What: what, HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2026-02-03"}
}

func addFinding(f rebuild.Finding) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddFinding(f) }
}

func addJob(j rebuild.Job) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddJob(j) }
}

func addEntry(e rebuild.Entry) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEntries(e) }
}

func hubJob(findings ...int64) rebuild.Job {
	return rebuild.Job{
		Title: "Renew the front left hub", Zone: "front-left-corner", Findings: findings, Stage: 6, Safety: rebuild.SafetySuspension,
		Needed: 1, State: rebuild.JobOpen, Chosen: 2, Reference: amount.New(61_000, "GBP"), ReferenceFrom: "two quotes",
		Routes: []rebuild.Route{
			{Kind: rebuild.Used, Method: rebuild.MethodPlain, Name: "used hub", Cost: uncertain.Range{Low: 80, Likely: 110, High: 160}, Hours: uncertain.Range{Low: 2, Likely: 3, High: 5}, Works: 0.8, Fallback: &rebuild.Fallback{Name: "new hub", Cost: uncertain.Certain(240), Hours: uncertain.Certain(2)}},
			{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "new hub", Cost: uncertain.Certain(240), Hours: uncertain.Range{Low: 2, Likely: 3, High: 5}, Works: 1},
		},
	}
}

func TestABookComesBackAsItWas(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	b := open(t, dir)
	r := start(t, b)
	photo, err := b.PutFile(ctx, strings.NewReader("<svg xmlns='http://www.w3.org/2000/svg'/>"), `C:\photos\bent.svg`, "text/html", 1000)
	if err != nil {
		t.Fatal(err)
	}
	seen := finding("bent hub")
	seen.Photos = []rebuild.Attachment{photo}
	r, _ = do(t, b, r.ID, addFinding(seen))
	r, _ = do(t, b, r.ID, addJob(hubJob(r.Findings[0].ID)))
	r, _ = do(t, b, r.ID, addEntry(rebuild.Entry{On: "2026-02-04", Amount: amount.New(-1250, "GBP"), Kind: rebuild.EntryPart, What: "hub", JobID: r.Jobs[0].ID, Receipts: []rebuild.Attachment{photo}}))
	kept, err := b.Journal(ctx, r.ID, 0, 100)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	b = open(t, dir)
	again, err := b.Load(ctx, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(r, again) {
		t.Errorf("reopened:\n%+v\nbefore:\n%+v", again, r)
	}
	if journal, err := b.Journal(ctx, r.ID, 0, 100); err != nil || !reflect.DeepEqual(journal, kept) {
		t.Errorf("the journal reopened:\n%+v (%v)\nbefore:\n%+v", journal, err, kept)
	}
	if photo.MediaType != "image/svg+xml" || photo.Name != "bent.svg" {
		t.Errorf("the photo is %+v", photo)
	}
	if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
		t.Errorf("verify: %q (%v)", problems, err)
	}
	f, info, err := b.OpenFile(ctx, photo.Hash)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if content, err := io.ReadAll(f); err != nil || int64(len(content)) != info.Size || !strings.HasPrefix(string(content), "<svg") {
		t.Errorf("the file holds %q (%v), info %+v", content, err, info)
	}
}

func TestARequestCountsOnce(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	by := store.By{Who: "Ada", Request: "token-1"}
	first, err := b.Start(ctx, by, skua)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := b.Start(ctx, by, skua); err != nil || again.ID != first.ID {
		t.Errorf("started again: %v (%v)", again, err)
	}
	by.Request = "token-2"
	asked := 0
	add := func(r *rebuild.Rebuild) (rebuild.Change, error) { asked++; return r.AddFinding(finding("dent")) }
	_, one, err := b.Do(ctx, by, first.ID, add)
	if err != nil {
		t.Fatal(err)
	}
	r, two, err := b.Do(ctx, by, first.ID, add)
	if err != nil || asked != 1 || !reflect.DeepEqual(one, two) || len(r.Findings) != 1 {
		t.Errorf("asked %d times, %d findings, records %+v and %+v (%v)", asked, len(r.Findings), one, two, err)
	}
}

func TestWhatIsRefusedChangesNothing(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	r, _ = do(t, b, r.ID, addFinding(finding("dent")))
	stranger := finding("scratch")
	stranger.Photos = []rebuild.Attachment{{Hash: strings.Repeat("ab", 32), MediaType: "image/png", Size: 3}}
	old := r.Findings[0]
	cases := []struct {
		name string
		f    plan
		want any
	}{
		{"what is invalid", addFinding(rebuild.Finding{}), new(*rebuild.Invalid)},
		{"a file that never came", addFinding(stranger), new(*rebuild.Invalid)},
		{"an old revision", func(r *rebuild.Rebuild) (rebuild.Change, error) {
			old.Rev = 7
			return r.EditFinding(old)
		}, new(*rebuild.Conflict)},
		{"a change made for an older version", func(*rebuild.Rebuild) (rebuild.Change, error) {
			return rebuild.Change{Edits: []rebuild.Edit{{After: r.Findings[0]}}}, nil
		}, new(*rebuild.Conflict)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			now, record, err := b.Do(ctx, me, r.ID, c.f)
			if !errors.As(err, c.want) || record.ID != 0 || now.Version != r.Version {
				t.Errorf("got %v (%T), record %+v, version %d", err, err, record, now.Version)
			}
			if journal, err := b.Journal(ctx, r.ID, 0, 10); err != nil || len(journal) != 2 {
				t.Errorf("%d records (%v)", len(journal), err)
			}
		})
	}
	if _, _, err := b.Do(ctx, me, 99, addFinding(finding("dent"))); !errors.Is(err, store.ErrNoRebuild) {
		t.Errorf("rebuild 99: %v", err)
	}
}

func TestUndoAndRedo(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	if _, _, err := b.Undo(ctx, me, r.ID, 0); !errors.Is(err, store.ErrNothingToUndo) {
		t.Errorf("undo at the start: %v", err)
	}
	if _, _, err := b.Redo(ctx, me, r.ID); !errors.Is(err, store.ErrNothingToRedo) {
		t.Errorf("redo at the start: %v", err)
	}
	r, one := do(t, b, r.ID, addFinding(finding("dent")))
	r, two := do(t, b, r.ID, addFinding(finding("scratch")))
	r, back, err := b.Undo(ctx, me, r.ID, one.ID)
	if err != nil || len(r.Findings) != 1 || back.Of != one.ID || back.Kind != store.KindUndo {
		t.Fatalf("undo of the older: %v, %+v", err, back)
	}
	r, _, err = b.Undo(ctx, me, r.ID, 0)
	if err != nil || len(r.Findings) != 0 {
		t.Fatalf("undo of the later: %v", err)
	}
	if next, err := b.CanRedo(ctx, r.ID); err != nil || next == nil || next.ID != two.ID {
		t.Errorf("can redo %+v (%v)", next, err)
	}
	for n := 1; n <= 2; n++ {
		if r, _, err = b.Redo(ctx, me, r.ID); err != nil || len(r.Findings) != n {
			t.Fatalf("redo %d: %v", n, err)
		}
	}
	edited := r.Findings[0]
	edited.What = "deep dent"
	r, _ = do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditFinding(edited) })
	var conflict *rebuild.Conflict
	if _, _, err := b.Undo(ctx, me, r.ID, one.ID); !errors.As(err, &conflict) || conflict.ID != edited.ID {
		t.Errorf("undo under a later edit: %v", err)
	}
}

func TestMarksAndSettings(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	chance := 0.7
	for _, m := range []store.Mark{{On: "2026-03-02", Mean: 9}, {On: "2026-03-01", Spent: 1, Mean: 2, P10: 3, P50: 4, P80: 5, P90: 6, ChanceUnder: &chance, Version: 1}, {On: "2026-03-02", Mean: 10}} {
		if err := b.KeepMark(ctx, r.ID, m); err != nil {
			t.Fatal(err)
		}
	}
	marks, err := b.Marks(ctx, r.ID)
	if err != nil || len(marks) != 2 || marks[1].Mean != 10 || *marks[0].ChanceUnder != 0.7 {
		t.Errorf("marks %+v (%v)", marks, err)
	}
	if err := b.KeepMark(ctx, r.ID, store.Mark{On: "tomorrow"}); err == nil {
		t.Error("a mark of no day was kept")
	}
	for _, value := range []string{"", "en-GB", "de"} {
		if value != "" {
			if err := b.SetSetting(ctx, "language", value); err != nil {
				t.Fatal(err)
			}
		}
		if got, err := b.Setting(ctx, "language"); err != nil || got != value {
			t.Errorf("setting %q (%v), want %q", got, err, value)
		}
	}
}

func TestTheYardListsWhatChangedLastFirst(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	one, two := start(t, b), start(t, b)
	do(t, b, one.ID, addFinding(finding("dent")))
	list, err := b.List(ctx)
	if err != nil || len(list) != 2 || list[0].ID != one.ID || list[1].ID != two.ID || !reflect.DeepEqual(list[1].Car, two.Car) || list[0].Version != 2 {
		t.Errorf("listed %v (%v)", fmt.Sprint(list), err)
	}
}
