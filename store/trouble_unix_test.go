//go:build unix

package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"wreckwright/store"
)

func init() {
	roles["nobody opens"] = nobodyOpens
	roles["keep a file under a limit"] = keepUnderLimit
}

// TestAFolderWithoutTheRightToWrite opens books as a user who may not write.
// The tests may run as root, whom no mode stops, so another process gives up its
// rights first.
func TestAFolderWithoutTheRightToWrite(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "book")
	b := open(t, dir)
	r := start(t, b)
	do(t, b, r.ID, addFinding(finding("dent")))
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	// The temp folders above are the owner's alone; the other user must get in.
	for at := filepath.Dir(dir); at != os.TempDir() && len(at) > 1; at = filepath.Dir(at) {
		chmod(t, at, 0o755)
	}
	chmod(t, filepath.Join(dir, "book.db"), 0o444)
	chmod(t, dir, 0o555)
	t.Cleanup(func() { _ = os.Chmod(dir, 0o755) })
	before := content(t, filepath.Join(dir, "book.db"))
	cases := []struct{ name, dir, how, want string }{
		{"for writing", dir, "write", "read-only folder"},
		{"a new book in it", filepath.Join(dir, "new"), "write", "read-only folder"},
		{"for reading", dir, "read", "findings: 1; a change: read-only folder"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			out, err := again(t, "nobody opens", c.dir, "WRECKWRIGHT_TEST_HOW="+c.how).Output()
			if err != nil || strings.TrimSpace(string(out)) != c.want {
				t.Errorf("got %q (%v), want %q", out, err, c.want)
			}
		})
	}
	if string(before) != string(content(t, filepath.Join(dir, "book.db"))) {
		t.Error("the book changed")
	}
}

func nobodyOpens(dir string) error {
	ctx := context.Background()
	if os.Geteuid() == 0 {
		const nobody = 65534
		if err := firstOf(syscall.Setgroups(nil), syscall.Setgid(nobody), syscall.Setuid(nobody)); err != nil {
			return err
		}
	}
	b, err := store.Open(ctx, dir, store.Options{ReadOnly: os.Getenv("WRECKWRIGHT_TEST_HOW") == "read"})
	if err != nil {
		fmt.Println(named(err))
		return nil
	}
	r, err := b.Load(ctx, 1)
	if err != nil {
		return err
	}
	_, _, err = b.Do(ctx, me, 1, addFinding(finding("scratch")))
	fmt.Printf("findings: %d; a change: %s\n", len(r.Findings), named(err))
	return b.Close()
}

func named(err error) string {
	var readOnly *store.ReadOnlyFolder
	var full *store.DiskFull
	switch {
	case errors.As(err, &readOnly):
		return "read-only folder"
	case errors.As(err, &full):
		return "disk full"
	}
	return fmt.Sprint(err)
}

// TestAFileForWhichThereIsNoRoom keeps files under a limit of the system on their
// size, which any user may set on himself.
func TestAFileForWhichThereIsNoRoom(t *testing.T) {
	dir := t.TempDir()
	out, err := again(t, "keep a file under a limit", dir).Output()
	if err != nil || strings.TrimSpace(string(out)) != "disk full" {
		t.Fatalf("got %q (%v)", out, err)
	}
	b := open(t, dir)
	if problems, err := b.Verify(context.Background()); err != nil || len(problems) > 0 {
		t.Errorf("afterwards: %q (%v)", problems, err)
	}
	if r, err := b.Load(context.Background(), 1); err != nil || len(r.Findings) != 1 {
		t.Errorf("afterwards: %v", err)
	}
	left, err := os.ReadDir(filepath.Join(dir, "files", ".incoming"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
}

func keepUnderLimit(dir string) error {
	ctx := context.Background()
	signal.Ignore(syscall.SIGXFSZ)
	b, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		return err
	}
	if _, err := b.Start(ctx, me, skua); err != nil {
		return err
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 1 << 20, Max: 1 << 20}); err != nil {
		return err
	}
	_, err = b.PutFile(ctx, strings.NewReader(strings.Repeat("large photo ", 200_000)), "photo", "", 0)
	fmt.Println(named(err))
	if _, _, err := b.Do(ctx, me, 1, addFinding(finding("dent"))); err != nil {
		return err
	}
	return b.Close()
}

// TestADiskThatIsFull fills a small disk of its own with changes and files, then
// makes room. It needs the right to mount one.
func TestADiskThatIsFull(t *testing.T) {
	ctx := context.Background()
	disk := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", disk).CombinedOutput(); err != nil {
		t.Skipf("SKIPPED: no disk of two megabytes can be mounted here (%v: %s); TestABookForWhichThereIsNoRoom and TestAFileForWhichThereIsNoRoom still cover it", err, out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", disk).CombinedOutput(); err != nil {
			t.Errorf("umount: %v: %s", err, out)
		}
	})
	b := open(t, filepath.Join(disk, "book"))
	r := start(t, b)
	ballast := filepath.Join(disk, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 500_000), 0o600); err != nil {
		t.Fatal(err)
	}
	var full *store.DiskFull
	saved, err := r, error(nil)
	for i := 0; err == nil && i < 100_000; i++ {
		next := saved
		if next, _, err = b.Do(ctx, me, r.ID, addFinding(finding(strings.Repeat("dent ", 90)))); err == nil {
			saved = next
		}
	}
	if !errors.As(err, &full) || len(saved.Findings) < 10 {
		t.Fatalf("after %d findings: %v", len(saved.Findings), err)
	}
	if _, err := b.PutFile(ctx, strings.NewReader(strings.Repeat("photo", 100_000)), "photo", "", 0); !errors.As(err, &full) {
		t.Errorf("a file: %v", err)
	}
	if now, err := b.Load(ctx, r.ID); err != nil || len(now.Findings) != len(saved.Findings) {
		t.Errorf("loaded on the full disk: %v", err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	now, _, err := b.Do(ctx, me, r.ID, addFinding(finding("after making room")))
	if err != nil || len(now.Findings) != len(saved.Findings)+1 {
		t.Errorf("after making room: %v", err)
	}
	if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
		t.Errorf("afterwards: %q (%v)", problems, err)
	}
	if err := b.Close(); err != nil {
		t.Error(err)
	}
}

func chmod(t *testing.T, at string, mode os.FileMode) {
	t.Helper()
	if err := os.Chmod(at, mode); err != nil {
		t.Fatal(err)
	}
}
