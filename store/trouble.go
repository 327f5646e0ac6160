package store

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// ErrNoRebuild is the error of asking for a rebuild that is not in the book.
var ErrNoRebuild = errors.New("there is no such rebuild in this book")

// ErrNothingToUndo is the error of an undo with nothing before it.
var ErrNothingToUndo = errors.New("there is nothing to undo")

// ErrNothingToRedo is the error of a redo with no undo before it, or with a new
// change made since.
var ErrNothingToRedo = errors.New("there is nothing to redo")

// ErrNoFile is the error of asking for a file that the book does not have.
var ErrNoFile = errors.New("there is no such file in this book")

// NewerBook is the error of a book written by a later version of the program.
type NewerBook struct {
	Dir        string
	Has, Knows int // number of the book's form, and the last one known here
}

func (e *NewerBook) Error() string {
	return fmt.Sprintf("the book %s has form %d; this program knows forms up to %d", e.Dir, e.Has, e.Knows)
}

// Hint says what to do.
func (e *NewerBook) Hint() string {
	return "a newer version of the program wrote it: use that version, or open a copy made before (book-before-form-*.db in the book's folder). Nothing was changed"
}

// InUse is the error of a book that another process has open.
type InUse struct {
	Dir string
	PID int // of the other process; 0 not known
}

func (e *InUse) Error() string {
	if e.PID > 0 {
		return fmt.Sprintf("the book %s is already open in another process (number %d)", e.Dir, e.PID)
	}
	return fmt.Sprintf("the book %s is already open in another process", e.Dir)
}

// Hint says what to do.
func (e *InUse) Hint() string { return "use the window that is open, or close it first" }

// ReadOnlyFolder is the error of a book that cannot be written to.
type ReadOnlyFolder struct {
	Dir string
	Err error
}

func (e *ReadOnlyFolder) Error() string {
	return fmt.Sprintf("the book %s cannot be written to: %v", e.Dir, e.Err)
}

// Unwrap gives the cause.
func (e *ReadOnlyFolder) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *ReadOnlyFolder) Hint() string {
	return "give yourself the right to write in that folder, or choose another with --book"
}

// NotAFolder is the error of a book's path at which something else stands.
type NotAFolder struct{ Path string }

func (e *NotAFolder) Error() string {
	return fmt.Sprintf("%s is not a folder; a book is a folder", e.Path)
}

// Hint says what to do.
func (e *NotAFolder) Hint() string { return "choose another place with --book" }

// OtherFolder is the error of making a book in a folder that holds other things.
type OtherFolder struct{ Dir, Holds string }

func (e *OtherFolder) Error() string {
	return fmt.Sprintf("the folder %s holds no book but other things, such as %q", e.Dir, e.Holds)
}

// Hint says what to do.
func (e *OtherFolder) Hint() string {
	return "name the folder of a book, or a new or empty folder, after --book. Nothing was changed"
}

// NoBook is the error of reading a book where there is none.
type NoBook struct{ Dir string }

func (e *NoBook) Error() string { return fmt.Sprintf("there is no book in %s", e.Dir) }

// Hint says what to do.
func (e *NoBook) Hint() string { return "check the path after --book" }

// DiskFull is the error of a change or file for which there is no room; the book
// is as it was before.
type DiskFull struct{ Err error }

func (e *DiskFull) Error() string {
	return fmt.Sprintf("the disk is full (%v)", e.Err)
}

// Unwrap gives the cause.
func (e *DiskFull) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *DiskFull) Hint() string {
	return "free some room and try again; everything saved before is still there"
}

// Damaged is the error of a database file that cannot be read as one.
type Damaged struct {
	Path string
	Err  error
}

func (e *Damaged) Error() string {
	return fmt.Sprintf("the book's file %s is damaged or is no book: %v", e.Path, e.Err)
}

// Unwrap gives the cause.
func (e *Damaged) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *Damaged) Hint() string {
	return "keep it as it is, copy it elsewhere first; then restore a backup, or take out what can be read with sqlite3's .recover. Nothing was changed"
}

// DiskTrouble is the error of a disk that does not read or write.
type DiskTrouble struct{ Err error }

func (e *DiskTrouble) Error() string {
	return fmt.Sprintf("the disk refused to read or write (%v)", e.Err)
}

// Unwrap gives the cause.
func (e *DiskTrouble) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *DiskTrouble) Hint() string {
	return "check that the disk is still connected and has room, and make a backup; everything saved before is still there"
}

// TooLarge is the error of a file above the limit.
type TooLarge struct {
	Name string
	Most int64 // bytes
}

func (e *TooLarge) Error() string {
	return fmt.Sprintf("the file %q is larger than %d MB", e.Name, (e.Most+500_000)/1_000_000)
}

// Hint says what to do.
func (e *TooLarge) Hint() string { return "send a smaller one" }

// plainly turns errors of SQLite and the system into those above, where a person
// can do something about them.
func (b *Book) plainly(err error) error {
	var s *sqlite.Error
	if errors.As(err, &s) {
		switch s.Code() & 0xff {
		case sqlite3.SQLITE_FULL:
			return &DiskFull{err}
		case sqlite3.SQLITE_IOERR:
			return &DiskTrouble{err}
		case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
			return &ReadOnlyFolder{b.dir, err}
		case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
			return &Damaged{b.dbPath(), err}
		case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
			return &InUse{Dir: b.dir}
		}
		return err
	}
	return systemTrouble(b.dir, err)
}

func systemTrouble(dir string, err error) error {
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		return &DiskFull{err}
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		return &ReadOnlyFolder{dir, err}
	case errors.Is(err, syscall.ENOTDIR):
		return &NotAFolder{dir}
	}
	return err
}
