package demo

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wreckwright/store"
)

// markerKey is the setting by which a demo book is known. Its value is
// markerUnfinished while it is built; then the day for which it was built and
// the count of changes in it, which tells whether somebody went on in it.
const (
	markerKey        = "demo"
	markerUnfinished = "unfinished"
)

// NotADemo is the error of a folder that holds something else.
type NotADemo struct{ Dir string }

func (e *NotADemo) Error() string {
	return fmt.Sprintf("the folder %s holds something that is not a demo book; name an empty folder with --book", e.Dir)
}

// Prepare makes sure that the folder holds the demo book and reports whether it
// was built now. One that is there stays; it is taken away and built anew when
// fresh is set, when its building was cut short, or when its day has passed and
// nobody has changed anything in it. A folder with anything else in it is left
// alone, with a [*NotADemo].
func Prepare(ctx context.Context, dir string, today time.Time, fresh bool) (built bool, err error) {
	held, err := look(ctx, dir, today)
	if err != nil || held == current && !fresh {
		return false, err
	}
	if held != nothing {
		if err := remove(dir); err != nil {
			return false, fmt.Errorf("taking the old demo book away: %w", err)
		}
	}
	return true, Build(ctx, dir, today)
}

// holding is what a folder holds.
type holding int

const (
	nothing  holding = iota // or a book without any rebuild, which can be built in
	current                 // a demo book that is to stay
	outdated                // a demo book that is half built, or whose day has passed
)

func isEmpty(dir string) (bool, error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return true, nil
	}
	return len(entries) == 0, err
}

// look opens the book in the folder, which proves that no other process has it
// open, and says what it is. Nothing is opened, and so nothing made, where the
// folder is empty or holds more than a book.
func look(ctx context.Context, dir string, today time.Time) (held holding, err error) {
	if empty, err := isEmpty(dir); err != nil || empty {
		return nothing, err
	}
	if !onlyABook(dir) {
		return nothing, &NotADemo{dir}
	}
	book, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		return nothing, err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	marker, err := book.Setting(ctx, markerKey)
	if err != nil {
		return nothing, err
	}
	now, err := finishedMarker(ctx, book, today)
	if err != nil {
		return nothing, err
	}
	return judge(dir, marker, now)
}

// judge compares the marker in a book with the one it would get now.
func judge(dir, marker, now string) (holding, error) {
	day, changes, _ := strings.Cut(marker, " ")
	dayNow, changesNow, _ := strings.Cut(now, " ")
	switch {
	case marker == "" && changesNow == "0": // cut short before anything was built
		return nothing, nil
	case marker == "":
		return nothing, &NotADemo{dir}
	case marker == markerUnfinished || day != dayNow && changes == changesNow:
		return outdated, nil
	}
	return current, nil
}

// finishedMarker is the marker of the book as it stands.
func finishedMarker(ctx context.Context, book *store.Book, today time.Time) (string, error) {
	list, err := book.List(ctx)
	changes := int64(0)
	for _, s := range list {
		changes += s.Version
	}
	return fmt.Sprintf("%s %d", today.Format(time.DateOnly), changes), err
}

// onlyABook reports whether a book lies in the folder and nothing beside it but
// the small pictures that pages make of its photos.
func onlyABook(dir string) bool {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false
	}
	found := false
	for _, e := range entries {
		name := e.Name()
		switch {
		case name == "book.db" && e.Type().IsRegular():
			found = true
		case strings.HasPrefix(name, "book.db") || strings.HasPrefix(name, "book-") || name == "lock":
		case (name == "files" || name == store.SmallPictures) && e.IsDir():
		default:
			return false
		}
	}
	return found
}

// remove takes away what a book consists of; the folder itself stays. The
// database goes last: what is left of a removal that was cut short is still
// known as a demo book.
func remove(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() != "book.db" {
			if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return os.Remove(filepath.Join(dir, "book.db"))
}
