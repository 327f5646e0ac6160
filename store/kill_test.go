package store_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

const kills = 200

// TestKilledAtAnyMoment kills a process that writes as fast as it can, and looks
// afterwards whether all that it had acknowledged is there. Every tenth time it
// begins with a new book, so that making one is cut short too.
func TestKilledAtAnyMoment(t *testing.T) {
	moment := rand.New(rand.NewPCG(20260301, 2))
	folder := t.TempDir()
	told := map[string]acknowledged{}
	total, quiet := acknowledged{}, 0
	for i := range kills {
		dir := filepath.Join(folder, strconv.Itoa(i/10))
		said := writeAndKill(t, dir, uint64(i), i%5 == 0, time.Duration(moment.Int64N(int64(60*time.Millisecond))))
		if said.changes == nil {
			quiet++
		}
		told[dir] = told[dir].and(said)
		total = total.and(said)
		checkAcknowledged(t, dir, told[dir])
		if t.Failed() {
			t.Fatalf("kill %d lost something in %s", i, dir)
		}
	}
	t.Logf("%d kills (%d before anything was acknowledged); %d changes and %d files acknowledged, all there", kills, quiet, len(total.changes), len(total.files))
	if len(total.changes) < kills || len(total.files) < kills/5 || quiet > kills/2 {
		t.Errorf("too little was written for the test to mean anything")
	}
}

// acknowledged is what a process said was saved.
type acknowledged struct {
	changes []string // "rebuild version record what"
	files   []string // hashes
}

func (a acknowledged) and(b acknowledged) acknowledged {
	return acknowledged{append(a.changes, b.changes...), append(a.files, b.files...)}
}

// writeAndKill kills the writer some time after it began to acknowledge, or, when
// early, after it was started: it may not even have opened the book then.
func writeAndKill(t *testing.T, dir string, seed uint64, early bool, after time.Duration) acknowledged {
	t.Helper()
	cmd := again(t, "write until killed", dir, fmt.Sprintf("%s=%d", seedKey, seed))
	out := firstWord{spoken: make(chan struct{})}
	var complaints bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaints
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if !early {
		out.wait(t)
	}
	time.Sleep(after)
	if err := cmd.Process.Kill(); err != nil {
		t.Fatalf("the writer ended by itself: %v: %s", err, complaints.String())
	}
	_ = cmd.Wait() // killed
	if complaints.Len() > 0 {
		t.Fatalf("the writer complained: %s", complaints.String())
	}
	var said acknowledged
	text := out.all.String()
	for line := range strings.Lines(text) {
		kind, rest, whole := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		switch {
		case !whole || !strings.HasSuffix(line, "\n"): // cut short while saying it
		case kind == "file":
			said.files = append(said.files, rest)
		case kind == "change":
			said.changes = append(said.changes, rest)
		}
	}
	return said
}

// firstWord keeps what is written and tells when it begins.
type firstWord struct {
	all    bytes.Buffer
	once   sync.Once
	spoken chan struct{}
}

func (f *firstWord) Write(p []byte) (int, error) {
	f.once.Do(func() { close(f.spoken) })
	return f.all.Write(p)
}

func (f *firstWord) wait(t *testing.T) {
	t.Helper()
	select {
	case <-f.spoken:
	case <-time.After(30 * time.Second):
		t.Error("the writer acknowledged nothing in 30 seconds")
	}
}

func checkAcknowledged(t *testing.T, dir string, said acknowledged) {
	t.Helper()
	ctx := context.Background()
	b, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		t.Errorf("opening again: %v", err)
		return
	}
	defer b.Close()
	problems, err := b.Verify(ctx)
	if err != nil {
		t.Error(err)
	}
	for _, p := range problems {
		if !strings.HasSuffix(p, "(harmless)") {
			t.Error(p)
		}
	}
	there := map[string]bool{}
	yard, err := b.List(ctx)
	if err != nil {
		t.Error(err)
	}
	for _, s := range yard {
		journal, err := b.Journal(ctx, s.ID, 0, 1_000_000)
		if err != nil {
			t.Error(err)
		}
		for _, record := range journal {
			there[line(record)] = true
		}
	}
	for _, change := range said.changes {
		if !there[change] {
			t.Errorf("acknowledged and gone: %s", change)
		}
	}
	for _, hash := range said.files {
		if f, _, err := b.OpenFile(ctx, hash); err != nil {
			t.Errorf("acknowledged and gone: file %s: %v", hash, err)
		} else {
			_ = f.Close()
		}
	}
}

func line(r store.Record) string {
	return fmt.Sprintf("%d %d %d %s", r.RebuildID, r.Version, r.ID, r.What)
}

// writeUntilKilled makes changes and keeps files side by side as fast as it can
// and says each one once it is saved.
func writeUntilKilled(dir string) error {
	ctx := context.Background()
	seed, err := strconv.ParseUint(os.Getenv(seedKey), 10, 64)
	if err != nil {
		return err
	}
	b, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		return err
	}
	yard, err := b.List(ctx)
	if err != nil {
		return err
	}
	id := int64(1)
	if len(yard) == 0 {
		r, err := b.Start(ctx, me, skua)
		if err != nil {
			return err
		}
		id = r.ID
	}
	failed := make(chan error)
	for writer := range uint64(2) {
		dice := rand.New(rand.NewPCG(seed, writer))
		go func() {
			for {
				if err := writeOne(ctx, b, id, dice); err != nil {
					failed <- err
				}
			}
		}()
	}
	return <-failed
}

func writeOne(ctx context.Context, b *store.Book, id int64, dice *rand.Rand) error {
	var photos []rebuild.Attachment
	if dice.IntN(4) == 0 {
		content := make([]byte, 1+dice.IntN(200_000))
		for i := range content {
			content[i] = byte(dice.Uint32())
		}
		photo, err := b.PutFile(ctx, bytes.NewReader(content), "photo", "", 0)
		if err != nil {
			return err
		}
		fmt.Println("file " + photo.Hash)
		photos = append(photos, photo)
	}
	_, record, err := b.Do(ctx, me, id, func(r *rebuild.Rebuild) (rebuild.Change, error) { return anyChange(r, dice, photos) })
	if dice.IntN(5) == 0 && err == nil {
		fmt.Println("change " + line(record))
		_, record, err = b.Undo(ctx, me, id, 0)
	}
	if err == nil {
		fmt.Println("change " + line(record))
	}
	return err
}

func anyChange(r *rebuild.Rebuild, dice *rand.Rand, photos []rebuild.Attachment) (rebuild.Change, error) {
	switch {
	case len(photos) > 0 || len(r.Findings) == 0:
		f := finding(fmt.Sprintf("dent %d", dice.IntN(1000)))
		f.Photos = photos
		return r.AddFinding(f)
	case len(r.Jobs) == 0 || dice.IntN(4) == 0:
		return r.AddJob(hubJob(r.Findings[dice.IntN(len(r.Findings))].ID))
	case dice.IntN(6) == 0:
		f := r.Findings[dice.IntN(len(r.Findings))]
		return r.DeleteFinding(f.ID, f.Rev)
	case dice.IntN(6) == 0:
		j := r.Jobs[dice.IntN(len(r.Jobs))]
		return r.DeleteJob(j.ID, j.Rev)
	}
	entries := make([]rebuild.Entry, 1+dice.IntN(20))
	for i := range entries {
		entries[i] = rebuild.Entry{On: "2026-02-04", Amount: amount.New(dice.Int64N(100_000), "GBP"), Kind: rebuild.EntryPart, What: "part", JobID: r.Jobs[dice.IntN(len(r.Jobs))].ID}
	}
	return r.AddEntries(entries...)
}
