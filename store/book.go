package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"wreckwright/rebuild"
)

// Options are what a book is opened with. The zero value is good.
type Options struct {
	Log      *slog.Logger     // nil: nothing is logged
	Now      func() time.Time // nil: the system's clock
	ReadOnly bool             // neither makes nor locks nor changes anything
}

// Book is an open book. Its methods may be called from several goroutines.
type Book struct {
	dir      string
	log      *slog.Logger
	now      func() time.Time
	readOnly bool

	lock  *os.File // held while open for writing
	write *sql.DB  // one connection; nil when read-only
	read  *sql.DB

	writing sync.Mutex // one change at a time
	caching sync.RWMutex
	cache   map[int64]*rebuild.Rebuild
}

// Open opens the book in the folder and makes both when missing. A book of an
// older form is brought to the present one after a copy was put aside.
//
// Errors with a hint: [*NotAFolder], [*OtherFolder], [*InUse], [*NewerBook], [*ReadOnlyFolder],
// [*DiskFull], [*Damaged]; with ReadOnly also [*NoBook].
func Open(ctx context.Context, dir string, o Options) (*Book, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("finding the book: %w", err)
	}
	b := &Book{dir: dir, log: o.Log, now: o.Now, readOnly: o.ReadOnly, cache: map[int64]*rebuild.Rebuild{}}
	if b.log == nil {
		b.log = slog.New(slog.DiscardHandler)
	}
	if b.now == nil {
		b.now = time.Now
	}
	if err := b.open(ctx); err != nil {
		return nil, errors.Join(b.plainly(err), b.Close())
	}
	return b, nil
}

func (b *Book) open(ctx context.Context) error {
	if err := b.makeFolder(); err != nil {
		return err
	}
	if b.readOnly {
		return b.openReading(ctx)
	}
	if err := b.takeLock(); err != nil {
		return err
	}
	if err := b.checkForm(ctx); err != nil {
		return err
	}
	b.write = connect(b.dbPath(), "_txlock=immediate", "_pragma=journal_mode(wal)", "_pragma=synchronous(full)", "_pragma=foreign_keys(1)")
	b.write.SetMaxOpenConns(1)
	if err := b.migrate(ctx, migrations()); err != nil {
		return err
	}
	b.read = connect(b.dbPath(), "_pragma=query_only(1)", "_pragma=foreign_keys(1)")
	b.read.SetMaxIdleConns(4)
	return b.sweepIncoming()
}

// Close gives the book back; nothing that was acknowledged depends on it.
func (b *Book) Close() error {
	var failed []error
	for _, db := range []*sql.DB{b.read, b.write} {
		if db != nil {
			failed = append(failed, db.Close())
		}
	}
	if b.lock != nil {
		failed = append(failed, b.lock.Close())
	}
	b.read, b.write, b.lock = nil, nil, nil
	return errors.Join(failed...)
}

// Dir is the book's folder.
func (b *Book) Dir() string { return b.dir }

func (b *Book) dbPath() string { return filepath.Join(b.dir, "book.db") }

func (b *Book) makeFolder() error {
	at, err := os.Stat(b.dir)
	switch {
	case err == nil && !at.IsDir():
		return &NotAFolder{b.dir}
	case errors.Is(err, fs.ErrNotExist) && b.readOnly:
		return &NoBook{b.dir}
	case errors.Is(err, fs.ErrNotExist):
		return os.MkdirAll(b.dir, 0o700)
	case err == nil && !b.readOnly:
		return b.refuseForeign()
	}
	return err
}

// refuseForeign keeps a new book out of a folder that holds something else:
// whoever mistypes a path would find a database among the photos. Hidden files,
// and what a book cut short in its making left, do not count.
func (b *Book) refuseForeign() error {
	if _, err := os.Lstat(b.dbPath()); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	held, err := os.ReadDir(b.dir)
	if err != nil {
		return err
	}
	for _, f := range held {
		switch name := f.Name(); {
		case strings.HasPrefix(name, "."), strings.HasPrefix(name, "book.db"), strings.HasPrefix(name, "book-before-form-"):
		case slices.Contains([]string{"lock", "files", SmallPictures}, name):
		default:
			return &OtherFolder{b.dir, name}
		}
	}
	return nil
}

// takeLock refuses a second process; the file says which one is first.
func (b *Book) takeLock() error {
	f, err := os.OpenFile(filepath.Join(b.dir, "lock"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	taken, err := lockFile(f)
	if err != nil || !taken {
		held := make([]byte, 20)
		n, _ := f.Read(held)
		_ = f.Close()
		if err != nil {
			return fmt.Errorf("locking the book: %w", err)
		}
		pid, _ := strconv.Atoi(strings.TrimSpace(string(held[:n])))
		return &InUse{b.dir, pid}
	}
	b.lock = f
	if err := f.Truncate(0); err != nil {
		return err
	}
	_, err = f.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	return err
}

// openReading opens a book that may lie in a folder without the right to write,
// where SQLite cannot make the side files of its log.
func (b *Book) openReading(ctx context.Context) error {
	if _, err := os.Stat(b.dbPath()); errors.Is(err, fs.ErrNotExist) {
		return &NoBook{b.dir}
	}
	b.read = connect(b.dbPath(), "mode=ro", "_pragma=query_only(1)")
	form, err := formOf(ctx, b.read)
	if _, logErr := os.Stat(b.dbPath() + "-wal"); err != nil && errors.Is(logErr, fs.ErrNotExist) {
		_ = b.read.Close()
		b.read = connect(b.dbPath(), "mode=ro", "immutable=1", "_pragma=query_only(1)")
		form, err = formOf(ctx, b.read)
	}
	if err != nil {
		return err
	}
	if form < len(migrations()) {
		return fmt.Errorf("the book %s has the older form %d: open it once for writing", b.dir, form)
	}
	return b.refuseNewer(form)
}

// connect opens no connection yet; each one opened later gets the settings.
func connect(path string, settings ...string) *sql.DB {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	settings = append([]string{"_pragma=busy_timeout(5000)"}, settings...)
	name := "file://" + (&url.URL{Path: path}).EscapedPath() + "?" + strings.Join(settings, "&")
	db, err := sql.Open("sqlite", name)
	if err != nil {
		// Only an unregistered driver can fail here, and it is linked in.
		panic(err)
	}
	return db
}

// toMillis and fromMillis are how moments are kept.
func toMillis(t time.Time) int64    { return t.UnixMilli() }
func fromMillis(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
