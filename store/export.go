package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"wreckwright/rebuild"
)

// NotEmpty is the error of a folder that should be empty or not there at all.
type NotEmpty struct{ Dir string }

func (e *NotEmpty) Error() string { return fmt.Sprintf("the folder %s is not empty", e.Dir) }

// Hint says what to do.
func (e *NotEmpty) Hint() string {
	return "choose a new or empty folder, so that nothing is overwritten"
}

// Export writes everything in the book to a new or empty folder: JSON that
// docs/export-format.md describes, the files, and two tables for spreadsheets.
// The same book gives the same bytes. [*NotEmpty] where something is already.
func (b *Book) Export(ctx context.Context, dir string) error {
	dir, err := emptyFolder(dir)
	if err != nil {
		return err
	}
	moment, err := b.snapshot(ctx)
	if err != nil {
		return fmt.Errorf("exporting to %s: %w", dir, b.plainly(err))
	}
	defer moment.Rollback()
	e := exporting{ctx, b, moment, dir, bookFile{Format: exportFormat, Version: exportVersion}}
	if err := e.all(); err != nil {
		return fmt.Errorf("exporting to %s: %w", dir, systemTrouble(dir, b.plainly(err)))
	}
	return nil
}

// emptyFolder makes the folder where it is missing.
func emptyFolder(dir string) (string, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	held, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return "", systemTrouble(dir, err)
		}
	case err != nil:
		return "", systemTrouble(dir, err)
	case len(held) > 0:
		return "", &NotEmpty{dir}
	}
	return dir, nil
}

type exporting struct {
	ctx    context.Context
	book   *Book
	moment *sql.Tx
	dir    string
	head   bookFile
}

func (e *exporting) all() error {
	var all []*rebuild.Rebuild
	ids, err := rebuildIDs(e.ctx, e.moment)
	if err != nil {
		return err
	}
	e.head.Rebuilds = append([]int64{}, ids...)
	for _, id := range ids {
		r, err := e.rebuild(id)
		if err != nil {
			return err
		}
		all = append(all, r)
	}
	return firstError(
		e.files,
		e.settings,
		func() error { return e.table("ledger.csv", ledgerTable(all)) },
		func() error { return e.table("jobs.csv", jobsTable(all)) },
		// book.json comes last: an export without it was cut short.
		func() error { return e.json("book.json", e.head) },
	)
}

func rebuildIDs(ctx context.Context, q queryer) ([]int64, error) {
	var ids []int64
	var id int64
	err := each(ctx, q, "select id from rebuild order by id", nil, []any{&id}, func() { ids = append(ids, id) })
	return ids, err
}

func (e *exporting) rebuild(id int64) (*rebuild.Rebuild, error) {
	r, err := readRebuild(e.ctx, e.moment, id)
	if err != nil {
		return nil, err
	}
	var changed int64
	if err := e.moment.QueryRowContext(e.ctx, "select changed_at_ms from rebuild where id = ?", id).Scan(&changed); err != nil {
		return nil, err
	}
	lines, err := journalLines(e.ctx, e.moment, id)
	if err != nil {
		return nil, err
	}
	marks, err := readMarks(e.ctx, e.moment, id)
	if err != nil {
		return nil, err
	}
	folder := filepath.Join("rebuilds", strconv.FormatInt(id, 10))
	return r, firstError(
		func() error {
			return e.json(filepath.Join(folder, "rebuild.json"), fileOf(r, fromMillis(changed)))
		},
		func() error { return e.json(filepath.Join(folder, "journal.json"), lines) },
		func() error { return e.json(filepath.Join(folder, "marks.json"), append([]Mark{}, marks...)) },
	)
}

// journalLines reads the journal, oldest first, in the form of an export.
func journalLines(ctx context.Context, q queryer, id int64) ([]recordLine, error) {
	var lines []recordLine
	var l recordLine
	var at int64
	fields := []any{&l.ID, &l.Version, &at, &l.Who, &l.What, &l.Kind, &l.Request, &l.Of, &l.UndoneBy}
	const query = `select id, version, at_ms, who, what, kind, coalesce(request, ''), coalesce(of_id, 0), coalesce(undone_by, 0)
		from change where rebuild_id = ? order by id`
	err := each(ctx, q, query, []any{id}, fields, func() {
		l.At = fromMillis(at)
		lines = append(lines, l)
	})
	for i := range lines {
		if err == nil {
			lines[i].Edits, err = editLines(ctx, q, lines[i].ID)
		}
	}
	return lines, err
}

func editLines(ctx context.Context, q queryer, change int64) ([]editLine, error) {
	var lines []editLine
	err := eachEdit(ctx, q, change, allEdits, func(row editRow) error {
		was, errWas := presentImage(row.kind, row.before)
		becomes, errBecomes := presentImage(row.kind, row.after)
		lines = append(lines, editLine{row.kind, was, becomes})
		return errors.Join(errWas, errBecomes)
	})
	return lines, err
}

// presentImage writes an item of the journal with all the fields that it has
// today, also where it was kept by a program that knew fewer.
func presentImage(kind rebuild.Kind, kept image) (json.RawMessage, error) {
	item, err := kept.item(kind)
	if err != nil {
		return nil, err
	}
	return json.Marshal(item)
}

func (e *exporting) settings() error {
	var err error
	e.head.Settings, err = readSettings(e.ctx, e.moment)
	return err
}

func readSettings(ctx context.Context, q queryer) (map[string]string, error) {
	all := map[string]string{}
	var key, value string
	err := each(ctx, q, "select key, value from setting", nil, []any{&key, &value}, func() { all[key] = value })
	return all, err
}

func (e *exporting) files() error {
	list, err := readFiles(e.ctx, e.moment)
	if err != nil {
		return err
	}
	e.head.Files = []fileLine{}
	for _, f := range list {
		if err := e.ctx.Err(); err != nil {
			return err
		}
		if err := copyFile(e.book.filePath(f.Hash), filepath.Join(e.dir, filepath.FromSlash(relativePath(f.Hash)))); err != nil {
			return err
		}
		e.head.Files = append(e.head.Files, fileLine(f))
	}
	return nil
}

func (e *exporting) json(name string, value any) error {
	data, err := encodePlainly(value)
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return writeFile(filepath.Join(e.dir, name), data)
}

func (e *exporting) table(name string, lines [][]string) error {
	data, err := EncodeTable(lines)
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return writeFile(filepath.Join(e.dir, name), data)
}

func writeFile(name string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
		return err
	}
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}
