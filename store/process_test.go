package store_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"testing"

	"wreckwright/store"
)

// Some tests need a second process: it is this test binary, started again with
// the name of its role.
const (
	roleKey = "WRECKWRIGHT_TEST_ROLE"
	dirKey  = "WRECKWRIGHT_TEST_DIR"
	seedKey = "WRECKWRIGHT_TEST_SEED"
)

var roles = map[string]func(dir string) error{
	"write until killed": writeUntilKilled,
	"hold":               hold,
}

func TestMain(m *testing.M) {
	role := os.Getenv(roleKey)
	if role == "" {
		os.Exit(m.Run())
	}
	if err := roles[role](os.Getenv(dirKey)); err != nil {
		fmt.Fprintf(os.Stderr, "%s: %v\n", role, err)
		os.Exit(1)
	}
	os.Exit(0)
}

// again is this binary in a role.
func again(t *testing.T, role, dir string, more ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(append(os.Environ(), roleKey+"="+role, dirKey+"="+dir), more...)
	return cmd
}

// hold adds a finding and keeps the book open until its input ends.
func hold(dir string) error {
	b, err := store.Open(context.Background(), dir, store.Options{})
	if err != nil {
		return err
	}
	if _, _, err := b.Do(context.Background(), me, 1, addFinding(finding("added by the holder"))); err != nil {
		return err
	}
	fmt.Println("holding")
	_, err = io.Copy(io.Discard, os.Stdin)
	return firstOf(err, b.Close())
}

func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// startHolding starts a process that holds the book; the caller ends it.
func startHolding(t *testing.T, dir string) *exec.Cmd {
	t.Helper()
	cmd := again(t, "hold", dir)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = in.Close()
		_ = cmd.Wait()
	})
	if line, err := bufio.NewReader(out).ReadString('\n'); err != nil {
		t.Fatalf("the other process said %q: %v", line, err)
	}
	return cmd
}
