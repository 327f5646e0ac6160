//go:build unix

package store

import (
	"errors"
	"os"
	"syscall"
)

// lockFile takes the lock for as long as the file stays open. The system gives it
// back when the process ends, however it ends.
func lockFile(f *os.File) (taken bool, err error) {
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}

// syncDir makes a rename in the folder survive a crash.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
