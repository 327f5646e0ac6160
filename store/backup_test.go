package store_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// TestABackupIsABook backs up while changes and files come in, from the process
// that writes and from another that only reads.
func TestABackupIsABook(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	b := open(t, dir)
	r := start(t, b)
	do(t, b, r.ID, addFinding(finding("dent")))
	reader, err := store.Open(ctx, dir, store.Options{ReadOnly: true})
	must(t, err)
	defer reader.Close()
	stop, stopped := make(chan struct{}), make(chan error, 1)
	go func() { stopped <- keepAdding(ctx, b, r.ID, stop) }()
	for i, from := range []*store.Book{b, reader, b, reader} {
		for _, write := range []func(context.Context, string) error{from.Backup, from.Export} {
			to := filepath.Join(t.TempDir(), "copy")
			must(t, write(ctx, to))
			if _, err := os.Stat(filepath.Join(to, "book.json")); err == nil {
				book := filepath.Join(t.TempDir(), "imported")
				must(t, store.Import(ctx, to, book, store.Options{}))
				to = book
			}
			checkCopy(t, to)
		}
		if problems, err := from.Verify(ctx); err != nil || strings.Contains(strings.Join(problems, " "), "journal") {
			t.Errorf("verify %d beside the writer: %q (%v)", i, problems, err)
		}
	}
	close(stop)
	must(t, <-stopped)
	full := t.TempDir()
	must(t, b.Backup(ctx, full))
	again := open(t, full)
	now, err := b.Load(ctx, r.ID)
	must(t, err)
	if copied, err := again.Load(ctx, r.ID); err != nil || !reflect.DeepEqual(copied, now) {
		t.Errorf("the last backup differs (%v)", err)
	}
	var notEmpty *store.NotEmpty
	if err := b.Backup(ctx, full); !errors.As(err, &notEmpty) {
		t.Errorf("a second backup over the first: %v", err)
	}
}

func keepAdding(ctx context.Context, b *store.Book, id int64, stop chan struct{}) error {
	for n := 1; ; n++ {
		select {
		case <-stop:
			return nil
		default:
		}
		photo, err := b.PutFile(ctx, strings.NewReader(strings.Repeat("photo", n)), "photo", "", 0)
		if err != nil {
			return err
		}
		f := finding("one more")
		f.Photos = []rebuild.Attachment{photo}
		if _, _, err := b.Do(ctx, me, id, addFinding(f)); err != nil {
			return err
		}
	}
}

func checkCopy(t *testing.T, dir string) {
	t.Helper()
	b, err := store.Open(context.Background(), dir, store.Options{})
	must(t, err)
	defer b.Close()
	if problems, err := b.Verify(context.Background()); err != nil || len(problems) > 0 {
		t.Errorf("the copy: %q (%v)", problems, err)
	}
	if r, err := b.Load(context.Background(), 1); err != nil || len(r.Findings) < 1 {
		t.Errorf("the copy: %v", err)
	}
}
