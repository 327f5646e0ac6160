package report

import (
	"context"
	"crypto/ed25519"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"wreckwright/workshop"
)

// MakeFile is [Make] into a file of that name, which must not be there yet
// ([fs.ErrExist]). It stands under its name only when it is whole and on the disk.
func MakeFile(ctx context.Context, name string, b *workshop.BuildFile, key ed25519.PrivateKey, open Opener, progress Progress) (made Made, err error) {
	if _, err := os.Lstat(name); err == nil {
		return Made{}, fmt.Errorf("%s: %w", name, fs.ErrExist)
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".build-file-*")
	if err != nil {
		return Made{}, err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(f.Name()) // what is half written is of no use to anybody
		}
	}()
	made, err = Make(ctx, f, b, key, open, progress)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return Made{}, err
	}
	// A link, unlike a renaming, never takes the place of something else.
	if err := os.Link(f.Name(), name); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return Made{}, err
		}
		return made, os.Rename(f.Name(), name) // a file system without links
	}
	return made, os.Remove(f.Name())
}
