package store

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockFile takes the lock for as long as the file stays open. The system gives it
// back when the process ends, however it ends.
func lockFile(f *os.File) (taken bool, err error) {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	// The byte that is locked lies behind the text, so that others may read it.
	at := &windows.Overlapped{Offset: 1 << 20}
	err = windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, at)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}

// syncDir has nothing to do: the system keeps renames in its own log.
func syncDir(string) error { return nil }
