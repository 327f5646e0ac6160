package store_test

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// hinted is what all errors have that a person can do something about.
type hinted interface {
	error
	Hint() string
}

func tryOpen(dir string) error {
	b, err := store.Open(context.Background(), dir, store.Options{})
	if err == nil {
		return fmt.Errorf("it opened; closing: %w", b.Close())
	}
	return err
}

// small makes a book with one finding and closes it.
func small(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	b := open(t, dir)
	r := start(t, b)
	do(t, b, r.ID, addFinding(finding("dent")))
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

func content(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func execSQL(t *testing.T, dir, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(dir, "book.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(statement); err != nil {
		t.Fatal(err)
	}
}

func overwrite(t *testing.T, dir string, at int64, data string) {
	t.Helper()
	f, err := os.OpenFile(filepath.Join(dir, "book.db"), os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.WriteAt([]byte(data), at)
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
}

// TestABookThatCannotBeOpened holds that each trouble has a message of its own
// with a hint, and that the file stays as it was.
func TestABookThatCannotBeOpened(t *testing.T) {
	cases := []struct {
		name string
		hurt func(t *testing.T, dir string)
		want any
		says string
	}{
		{"a newer form", func(t *testing.T, dir string) { execSQL(t, dir, "pragma user_version = 99") }, new(*store.NewerBook), "form 99"},
		{"another program's database", func(t *testing.T, dir string) { execSQL(t, dir, "pragma application_id = 7") }, new(*store.Damaged), "another program"},
		{"a file that is no database", func(t *testing.T, dir string) { overwrite(t, dir, 0, "no database at all") }, new(*store.Damaged), "not a database"},
		{"a cut schema", func(t *testing.T, dir string) { overwrite(t, dir, 100, strings.Repeat("\xff", 900)) }, new(*store.Damaged), "malformed"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := small(t)
			c.hurt(t, dir)
			before := content(t, filepath.Join(dir, "book.db"))
			err := tryOpen(dir)
			if !errors.As(err, c.want) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v (%T), want it to say %q", err, err, c.says)
			}
			var hint hinted
			if !errors.As(err, &hint) || hint.Hint() == "" {
				t.Errorf("%v has no hint", err)
			}
			if !bytes.Equal(before, content(t, filepath.Join(dir, "book.db"))) {
				t.Error("the file was changed")
			}
		})
	}
}

func TestAPlaceThatIsNoFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "book")
	if err := os.WriteFile(file, []byte("a letter"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, filepath.Join(file, "below")} {
		var no *store.NotAFolder
		if err := tryOpen(dir); !errors.As(err, &no) {
			t.Errorf("%s: %v", dir, err)
		}
	}
	var none *store.NoBook
	for _, dir := range []string{t.TempDir(), filepath.Join(t.TempDir(), "gone")} {
		if _, err := store.Open(context.Background(), dir, store.Options{ReadOnly: true}); !errors.As(err, &none) {
			t.Errorf("reading %s: %v", dir, err)
		}
	}
}

func TestAFolderThatHoldsOtherThings(t *testing.T) {
	put := func(names ...string) string {
		dir := t.TempDir()
		for _, name := range names {
			if err := os.WriteFile(filepath.Join(dir, name), []byte("mine"), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		return dir
	}
	dir := put("holiday.jpg", ".hidden")
	var other *store.OtherFolder
	if err := tryOpen(dir); !errors.As(err, &other) || other.Holds != "holiday.jpg" {
		t.Fatalf("a folder of photos: %v", err)
	}
	if held, err := os.ReadDir(dir); err != nil || len(held) != 2 {
		t.Errorf("something was left behind: %v, %v", held, err)
	}
	// Hidden files, and what was left of a book that was never finished, do not count.
	must(t, open(t, put(".directory", "lock")).Close())
	// A book that something was laid beside later is a book.
	dir = put()
	must(t, open(t, dir).Close())
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	must(t, open(t, dir).Close())
}

// TestADamagedPage overwrites each page of a book in turn: opening, loading and
// verifying must say so or find nothing amiss (a free page), never panic, and
// verify must find what loading would give differently.
func TestADamagedPage(t *testing.T) {
	ctx := context.Background()
	whole := small(t)
	data := content(t, filepath.Join(whole, "book.db"))
	const page = 4096
	noticed := 0
	for at := page; at+page <= len(data); at += page {
		dir := t.TempDir()
		hurt := bytes.Clone(data)
		copy(hurt[at:], bytes.Repeat([]byte{0xa5}, page))
		if err := os.WriteFile(filepath.Join(dir, "book.db"), hurt, 0o600); err != nil {
			t.Fatal(err)
		}
		b, err := store.Open(ctx, dir, store.Options{})
		var damaged *store.Damaged
		if errors.As(err, &damaged) {
			noticed++
			continue
		}
		if err != nil {
			t.Errorf("page %d: %v", at/page+1, err)
			continue
		}
		problems, err := b.Verify(ctx)
		if err != nil {
			t.Errorf("page %d: verify: %v", at/page+1, err)
		}
		if len(problems) > 0 {
			noticed++
		}
		if _, err := b.Load(ctx, 1); err != nil && (!errors.As(err, &damaged) || len(problems) == 0) {
			t.Errorf("page %d: load: %v; verify found %q", at/page+1, err, problems)
		}
		if err := b.Close(); err != nil {
			t.Errorf("page %d: close: %v", at/page+1, err)
		}
	}
	if pages := len(data)/page - 1; noticed < pages*9/10 {
		t.Errorf("verify noticed %d of %d damaged pages", noticed, pages)
	}
}

func TestASecondProcess(t *testing.T) {
	dir := small(t)
	other := startHolding(t, dir)
	var inUse *store.InUse
	if err := tryOpen(dir); !errors.As(err, &inUse) || inUse.PID != other.Process.Pid {
		t.Fatalf("got %v, want process %d named", err, other.Process.Pid)
	}
	b, err := store.Open(context.Background(), dir, store.Options{ReadOnly: true})
	if err != nil {
		t.Fatalf("reading beside it: %v", err)
	}
	if r, err := b.Load(context.Background(), 1); err != nil || len(r.Findings) != 2 {
		t.Errorf("reading beside it: %v", err)
	}
	if err := b.Close(); err != nil {
		t.Error(err)
	}
	if err := other.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_, _ = other.Process.Wait()
	readAfterKill(t, dir)
	open(t, dir) // the lock went with the killed process
	if err := tryOpen(dir); !errors.As(err, &inUse) {
		t.Errorf("a second time in one process: %v", err)
	}
}

// readAfterKill reads a book that nobody closed, where SQLite's log still holds
// changes, without writing to it.
func readAfterKill(t *testing.T, dir string) {
	t.Helper()
	if log, err := os.Stat(filepath.Join(dir, "book.db-wal")); err != nil || log.Size() == 0 {
		t.Fatalf("the killed process left no log: %v", err)
	}
	before := content(t, filepath.Join(dir, "book.db"))
	b, err := store.Open(context.Background(), dir, store.Options{ReadOnly: true})
	must(t, err)
	defer b.Close()
	if r, err := b.Load(context.Background(), 1); err != nil || len(r.Findings) != 2 {
		t.Errorf("reading after the kill: %v", err)
	}
	if !bytes.Equal(before, content(t, filepath.Join(dir, "book.db"))) {
		t.Error("reading changed the file")
	}
}

// TestABookForWhichThereIsNoRoom lets SQLite itself refuse to grow.
func TestABookForWhichThereIsNoRoom(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	if err := b.LimitPages(ctx, 100); err != nil {
		t.Fatal(err)
	}
	var err error
	saved := r
	for i := 0; err == nil && i < 10_000; i++ {
		var next *rebuild.Rebuild
		if next, _, err = b.Do(ctx, me, r.ID, addFinding(finding(strings.Repeat("dent ", 90)))); err == nil {
			saved = next
		}
	}
	var full *store.DiskFull
	if !errors.As(err, &full) || full.Hint() == "" {
		t.Fatalf("after %d findings: %v", len(saved.Findings), err)
	}
	if now, err := b.Load(ctx, r.ID); err != nil || now.Version != saved.Version || len(now.Findings) != len(saved.Findings) {
		t.Errorf("afterwards it has version %d, before %d (%v)", now.Version, saved.Version, err)
	}
	if err := b.LimitPages(ctx, 10_000); err != nil {
		t.Fatal(err)
	}
	if now, _ := do(t, b, r.ID, addFinding(finding("after making room"))); now.Version != saved.Version+1 {
		t.Errorf("version %d after %d", now.Version, saved.Version)
	}
	if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
		t.Errorf("afterwards: %q (%v)", problems, err)
	}
}

func TestAFileTooLargeOrEmpty(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	var tooLarge *store.TooLarge
	if _, err := b.PutFile(ctx, strings.NewReader("123456"), "photo", "", 5); !errors.As(err, &tooLarge) {
		t.Errorf("six bytes of five: %v", err)
	}
	if _, err := b.PutFile(ctx, strings.NewReader("12345"), "photo", "", 5); err != nil {
		t.Errorf("five bytes of five: %v", err)
	}
	var empty *rebuild.Invalid
	if _, err := b.PutFile(ctx, strings.NewReader(""), "photo", "", 5); !errors.As(err, &empty) {
		t.Errorf("no bytes: %v", err)
	}
	if _, _, err := b.OpenFile(ctx, "../../etc/passwd"); !errors.Is(err, store.ErrNoFile) {
		t.Errorf("a path for a hash: %v", err)
	}
	if _, err := b.PutFile(ctx, failing{}, "photo", "", 5); !errors.Is(err, errSignal) {
		t.Errorf("a sender who is gone: %v", err)
	}
}

var errSignal = errors.New("the signal dropped")

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errSignal }

// TestVerifyFinds hurts a book behind the program's back.
func TestVerifyFinds(t *testing.T) {
	ctx := context.Background()
	cases := []struct {
		name, sql, says string
		files           func(t *testing.T, path string)
	}{
		{name: "an edited row", sql: "update finding set what = 'no dent'", says: "not what the journal says"},
		{name: "a row against the rules", sql: "update finding set severity = 'awful'", says: "how bad it is"},
		{name: "a missing line of the journal", sql: "delete from edit where change_id = 2; delete from change where id = 2", says: "the journal has 2 lines"},
		{name: "a loose reference", sql: "insert into job_finding values (1, 77, 1, 1)", says: "refers to a row of job"},
		{name: "a deleted row", sql: "delete from finding where id = 2", says: "not what the journal says"},
		{name: "a deleted file", says: "missing", files: func(t *testing.T, path string) { must(t, os.Remove(path)) }},
		{name: "a changed file", says: "does not fit its hash", files: func(t *testing.T, path string) { must(t, os.WriteFile(path, []byte("phot0"), 0o600)) }},
		{name: "a cut file", says: "instead of 5", files: func(t *testing.T, path string) { must(t, os.Truncate(path, 2)) }},
		{name: "a stray file", says: "(harmless)", files: func(t *testing.T, path string) { must(t, os.WriteFile(path+"x", nil, 0o600)) }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := small(t)
			b := open(t, dir)
			do(t, b, 1, addFinding(finding("scratch")))
			photo, err := b.PutFile(ctx, strings.NewReader("photo"), "photo", "", 0)
			must(t, err)
			must(t, b.Close())
			if c.sql != "" {
				execSQL(t, dir, c.sql)
			}
			if c.files != nil {
				c.files(t, filepath.Join(dir, "files", photo.Hash[:2], photo.Hash))
			}
			b = open(t, dir)
			problems, err := b.Verify(ctx)
			if err != nil || !strings.Contains(strings.Join(problems, "\n"), c.says) {
				t.Errorf("found %q (%v), want %q", problems, err, c.says)
			}
		})
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
