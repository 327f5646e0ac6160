package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
)

// migrationFiles take a book from one form to the next; the number before the
// underscore is the form they lead to. A released one is never edited.
//
//go:embed migrations/*.sql
var migrationFiles embed.FS

// applicationID marks the file as a book of this program ("WRKB"), so that
// another program's database is not taken for one.
const applicationID = 0x57524b42

// migration leads to the form of its place in the list, counted from 1.
type migration struct{ name, sql string }

func migrations() []migration {
	names, err := fs.Glob(migrationFiles, "migrations/*.sql")
	if err != nil {
		panic(err) // the pattern is a constant
	}
	sort.Strings(names)
	list := make([]migration, len(names))
	for i, name := range names {
		text, err := migrationFiles.ReadFile(name)
		if err != nil {
			panic(err) // it is embedded
		}
		list[i] = migration{filepath.Base(name), string(text)}
	}
	return list
}

func formOf(ctx context.Context, db *sql.DB) (int, error) {
	var form int
	err := db.QueryRowContext(ctx, "pragma user_version").Scan(&form)
	return form, err
}

// checkForm looks at an existing file before anything is written to it.
func (b *Book) checkForm(ctx context.Context) error {
	at, err := os.Stat(b.dbPath())
	if errors.Is(err, fs.ErrNotExist) || err == nil && at.Size() == 0 {
		return nil
	}
	if err != nil {
		return err
	}
	db := connect(b.dbPath(), "mode=rw")
	defer db.Close()
	var tables, mark int
	form, err := formOf(ctx, db)
	if err == nil {
		err = db.QueryRowContext(ctx, "select count(*) from sqlite_schema").Scan(&tables)
	}
	if err == nil {
		err = db.QueryRowContext(ctx, "pragma application_id").Scan(&mark)
	}
	if err != nil {
		return err
	}
	if tables > 0 && mark != applicationID {
		return &Damaged{b.dbPath(), errors.New("another program's database")}
	}
	return b.refuseNewer(form)
}

func (b *Book) refuseNewer(form int) error {
	if known := len(migrations()); form > known {
		return &NewerBook{Dir: b.dir, Has: form, Knows: known}
	}
	return nil
}

// migrate brings the book to the form at the end of the list, each step in one
// transaction. A step that fails leaves the book in the form before it.
func (b *Book) migrate(ctx context.Context, list []migration) error {
	form, err := formOf(ctx, b.write)
	if err != nil {
		return err
	}
	if form > 0 && form < len(list) {
		aside := filepath.Join(b.dir, fmt.Sprintf("book-before-form-%d.db", form+1))
		if err := copyAside(ctx, b.write, aside); err != nil {
			return fmt.Errorf("putting a copy aside before changing the book's form: %w", err)
		}
	}
	for ; form < len(list); form++ {
		if err := step(ctx, b.write, form+1, list[form]); err != nil {
			return fmt.Errorf("changing the book to form %d (%s): %w", form+1, list[form].name, err)
		}
		b.log.Info("book has a new form", "dir", b.dir, "form", form+1)
	}
	return nil
}

func step(ctx context.Context, db *sql.DB, form int, m migration) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	settle := fmt.Sprintf("pragma user_version = %d; pragma application_id = %d;", form, applicationID)
	for _, text := range []string{m.sql, settle} {
		if _, err := tx.ExecContext(ctx, text); err != nil {
			return err
		}
	}
	return tx.Commit()
}

// copyAside writes a whole, consistent copy of the database; a copy that is
// there already, of an attempt that was cut short, is replaced.
func copyAside(ctx context.Context, db *sql.DB, to string) error {
	if err := os.Remove(to); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := db.ExecContext(ctx, "vacuum into ?", to); err != nil {
		return err
	}
	f, err := os.OpenFile(to, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	return syncDir(filepath.Dir(to))
}
