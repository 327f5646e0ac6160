package store

import (
	"context"
	"errors"
	"fmt"
	"unicode/utf8"

	"wreckwright/rebuild"
)

// By is who asks for a change.
type By struct {
	Who string // a name, at most 80 characters
	// Request is a token of the form, at most 100 characters: what comes again with
	// the same one counts once. Empty: none.
	Request string
}

var errOpenedReading = errors.New("it was opened for reading only")

// Start enters a new rebuild of the car. Sent again with the same request it
// gives the rebuild that was started.
func (b *Book) Start(ctx context.Context, by By, car rebuild.Car) (*rebuild.Rebuild, error) {
	b.writing.Lock()
	defer b.writing.Unlock()
	if err := by.check(); err != nil {
		return nil, err
	}
	if id, err := b.startedBy(ctx, by.Request); err != nil || id != 0 {
		if err != nil {
			return nil, err
		}
		return b.Load(ctx, id)
	}
	change, err := rebuild.New(car)
	if err != nil {
		return nil, err
	}
	var next *rebuild.Rebuild
	err = b.transact(ctx, 0, func(w *rows) error {
		if err := w.newRebuild(); err != nil {
			return err
		}
		if next, err = (&rebuild.Rebuild{ID: w.id}).Apply(change); err != nil {
			return err
		}
		_, err = w.keepChange(b.record(by, next, planned{change, KindDo, 0}))
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("starting the rebuild: %w", err)
	}
	b.remember(next)
	return next, nil
}

// newRebuild makes the row of a rebuild at version 0, to be filled at once.
func (w *rows) newRebuild() error {
	done, err := w.exec("insert into rebuild (version, next_id, changed_at_ms) values (0, 1, 0)")
	if err != nil {
		return err
	}
	w.id, err = done.LastInsertId()
	return err
}

// Do makes one change. f gets the rebuild as it stands and gives the change, by
// the functions of package rebuild; its error comes back as it is, [rebuild.Invalid]
// and [rebuild.Conflict] among them. Rows and journal are written in one
// transaction. A change without edits is none and leaves no record. Sent again
// with the same request it gives the earlier record and the rebuild as it stands
// by now, without asking f. The rebuild is given back also beside an error.
func (b *Book) Do(ctx context.Context, by By, id int64, f func(*rebuild.Rebuild) (rebuild.Change, error)) (*rebuild.Rebuild, Record, error) {
	return b.advance(ctx, by, id, func(r *rebuild.Rebuild) (planned, error) {
		change, err := f(r)
		return planned{change: change, kind: KindDo}, err
	})
}

// planned is a change about to be made, and the change that it undoes or redoes.
type planned struct {
	change rebuild.Change
	kind   string
	of     int64
}

// advance takes a rebuild one version further.
func (b *Book) advance(ctx context.Context, by By, id int64, plan func(*rebuild.Rebuild) (planned, error)) (*rebuild.Rebuild, Record, error) {
	b.writing.Lock()
	defer b.writing.Unlock()
	if err := by.check(); err != nil {
		return nil, Record{}, err
	}
	now, err := b.Load(ctx, id)
	if err != nil {
		return nil, Record{}, err
	}
	if earlier, err := b.recordOf(ctx, id, by.Request); err != nil || earlier != nil {
		if err != nil {
			return now, Record{}, err
		}
		return now, *earlier, nil
	}
	p, err := plan(now)
	if err != nil || len(p.change.Edits) == 0 {
		return now, Record{}, err
	}
	next, err := now.Apply(p.change)
	if err != nil {
		return now, Record{}, err
	}
	record := b.record(by, next, p)
	err = b.transact(ctx, id, func(w *rows) error {
		record.ID, err = w.keepChange(record)
		return err
	})
	if err != nil {
		b.forget(id)
		return now, Record{}, fmt.Errorf("not saved: %w", err)
	}
	b.remember(next)
	return next, record.Record, nil
}

// written is a record on its way into the journal.
type written struct {
	Record
	request string
	nextID  int64
}

func (b *Book) record(by By, next *rebuild.Rebuild, p planned) written {
	return written{
		Record: Record{
			RebuildID: next.ID, Version: next.Version, At: fromMillis(toMillis(b.now())),
			Who: by.Who, What: p.change.What, Kind: p.kind, Of: p.of, Edits: p.change.Edits,
		},
		request: by.Request,
		nextID:  next.NextID,
	}
}

// keepChange writes a change's edits, the rebuild's new version and the journal.
func (w *rows) keepChange(r written) (int64, error) {
	done, err := w.exec("update rebuild set version = ?, next_id = ?, changed_at_ms = ? where id = ? and version = ?", r.Version, r.nextID, toMillis(r.At), w.id, r.Version-1)
	if err != nil {
		return 0, err
	}
	if n, err := done.RowsAffected(); err != nil || n != 1 {
		return 0, fmt.Errorf("rebuild %d is not at version %d any more", w.id, r.Version-1)
	}
	for _, e := range r.Edits {
		if err := w.keep(e); err != nil {
			return 0, err
		}
	}
	return w.keepRecord(r)
}

func (by By) check() error {
	if utf8.RuneCountInString(by.Who) > 80 || !utf8.ValidString(by.Who) {
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "who", Text: "the name of who does it must have at most 80 characters"}}}
	}
	if len(by.Request) > 100 || !utf8.ValidString(by.Request) {
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "request", Text: "the form's token must have at most 100 characters"}}}
	}
	return nil
}
