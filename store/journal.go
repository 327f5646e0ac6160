package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"wreckwright/rebuild"
)

// The kinds of records.
const (
	KindDo   = "do"
	KindUndo = "undo"
	KindRedo = "redo"
)

// Record is one line of the journal.
type Record struct {
	ID, RebuildID int64
	Version       int64 // the rebuild's, after it
	At            time.Time
	Who, What     string
	Kind          string // KindDo, KindUndo or KindRedo
	Of            int64  // the record that an undo or redo is about; 0 for KindDo
	Undone        bool   // taken back, and not redone since
	Edits         []rebuild.Edit
	MoreEdits     int // that [Book.Journal] left out of Edits
}

// mostEdits is how many edits of one record the journal shows: a list of bills
// that was entered at once may hold thousands.
const mostEdits = 200

const recordColumns = "select id, rebuild_id, version, at_ms, who, what, kind, coalesce(of_id, 0), undone_by is not null from change "

// Journal gives the records of a rebuild, newest first: those before the record
// with that number (0: from the newest), at most limit of them. Of a record with very many edits it gives the first ones
// and the number of the others.
func (b *Book) Journal(ctx context.Context, id, before int64, limit int) ([]Record, error) {
	if _, err := b.versionOf(ctx, id); err != nil {
		return nil, err
	}
	records, err := b.records(ctx, "where rebuild_id = ?1 and (?2 = 0 or id < ?2) order by id desc limit ?3", id, before, limit)
	if err != nil {
		return nil, err
	}
	for i := range records {
		if err := b.readSomeEdits(ctx, &records[i]); err != nil {
			return nil, fmt.Errorf("reading record %d of the journal: %w", records[i].ID, b.plainly(err))
		}
	}
	return records, nil
}

// readSomeEdits reads the first edits of a record and counts the others.
func (b *Book) readSomeEdits(ctx context.Context, r *Record) (err error) {
	if r.Edits, err = readEdits(ctx, b.read, r.ID, mostEdits); err != nil || len(r.Edits) < mostEdits {
		return err
	}
	err = b.read.QueryRowContext(ctx, "select count(*) from edit where change_id = ?", r.ID).Scan(&r.MoreEdits)
	r.MoreEdits -= len(r.Edits)
	return err
}

// records reads journal lines without their edits.
func (b *Book) records(ctx context.Context, where string, args ...any) ([]Record, error) {
	var list []Record
	var r Record
	var at int64
	fields := []any{&r.ID, &r.RebuildID, &r.Version, &at, &r.Who, &r.What, &r.Kind, &r.Of, &r.Undone}
	err := each(ctx, b.read, recordColumns+where, args, fields, func() {
		r.At = fromMillis(at)
		list = append(list, r)
	})
	if err != nil {
		return nil, fmt.Errorf("reading the journal: %w", b.plainly(err))
	}
	return list, nil
}

// record1 reads one journal line without its edits; nil when there is none.
func (b *Book) record1(ctx context.Context, where string, args ...any) (*Record, error) {
	list, err := b.records(ctx, where+" limit 1", args...)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	return &list[0], nil
}

// recordOf finds what was done for a form's token.
func (b *Book) recordOf(ctx context.Context, id int64, request string) (*Record, error) {
	if request == "" {
		return nil, nil
	}
	r, err := b.record1(ctx, "where rebuild_id = ? and request = ?", id, request)
	if err != nil || r == nil {
		return nil, err
	}
	r.Edits, err = readEdits(ctx, b.read, r.ID, allEdits)
	return r, err
}

// startedBy finds the rebuild that was started for a form's token; 0 for none.
func (b *Book) startedBy(ctx context.Context, request string) (int64, error) {
	if request == "" {
		return 0, nil
	}
	var id int64
	err := b.read.QueryRowContext(ctx, "select rebuild_id from change where request = ? and version = 1", request).Scan(&id)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return 0, b.plainly(err)
	}
	return id, nil
}

// allEdits is the limit that leaves none out.
const allEdits = -1

func readEdits(ctx context.Context, q queryer, change int64, limit int) ([]rebuild.Edit, error) {
	var edits []rebuild.Edit
	err := eachEdit(ctx, q, change, limit, func(row editRow) error {
		was, errWas := row.before.item(row.kind)
		becomes, errBecomes := row.after.item(row.kind)
		edits = append(edits, rebuild.Edit{Before: was, After: becomes})
		return errors.Join(errWas, errBecomes)
	})
	return edits, err
}

// keepRecord writes a journal line and marks the record that it is about.
func (w *rows) keepRecord(r written) (int64, error) {
	done, err := w.exec("insert into change (rebuild_id, version, at_ms, who, what, kind, request, of_id) values (?, ?, ?, ?, ?, ?, nullif(?, ''), nullif(?, 0))",
		w.id, r.Version, toMillis(r.At), r.Who, r.What, r.Kind, r.request, r.Of)
	if err != nil {
		return 0, err
	}
	id, err := done.LastInsertId()
	if err != nil {
		return 0, err
	}
	for i, e := range r.Edits {
		if err := w.keepEdit(id, i+1, e); err != nil {
			return 0, err
		}
	}
	if r.Of != 0 {
		_, err = w.exec("update change set undone_by = iif(? = 'undo', ?, null) where id = ?", r.Kind, id, r.Of)
	}
	return id, err
}
