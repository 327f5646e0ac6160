package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"wreckwright/rebuild"
)

// Taken is one rebuild in the form that an export has of it; docs/export-format.md
// describes the three files.
type Taken struct{ Rebuild, Journal, Marks []byte }

// Take gives one rebuild as an export writes it; [ErrNoRebuild] where there is
// none.
func (b *Book) Take(ctx context.Context, id int64) (Taken, error) {
	moment, err := b.snapshot(ctx)
	if err != nil {
		return Taken{}, b.plainly(err)
	}
	defer moment.Rollback()
	var changed int64
	err = moment.QueryRowContext(ctx, "select changed_at_ms from rebuild where id = ?", id).Scan(&changed)
	if errors.Is(err, sql.ErrNoRows) {
		return Taken{}, ErrNoRebuild
	}
	if err != nil {
		return Taken{}, b.plainly(err)
	}
	r, errRead := readRebuild(ctx, moment, id)
	lines, errLines := journalLines(ctx, moment, id)
	marks, errMarks := readMarks(ctx, moment, id)
	if err := errors.Join(errRead, errLines, errMarks); err != nil {
		return Taken{}, fmt.Errorf("taking rebuild %d: %w", id, b.plainly(err))
	}
	var t Taken
	t.Rebuild, errRead = encodePlainly(fileOf(r, fromMillis(changed)))
	t.Journal, errLines = encodePlainly(lines)
	t.Marks, errMarks = encodePlainly(append([]Mark{}, marks...))
	return t, errors.Join(errRead, errLines, errMarks)
}

// ReadTaken reads a rebuild that [Book.Take] wrote, perhaps with parts of it left
// out since: its form is held strictly, its rules are not.
func ReadTaken(data []byte) (*rebuild.Rebuild, error) {
	var f rebuildFile
	if err := decodeStrictly("rebuild.json", data, &f); err != nil {
		return nil, err
	}
	return f.rebuild(), nil
}
