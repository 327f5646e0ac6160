package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"wreckwright/rebuild"
)

// Undo takes a change back: the one with that record number, or, with 0, the
// latest that stands. An older one can be taken back while nothing that stands
// has touched the same things since; else [rebuild.Conflict]. The start of a
// rebuild stays. [ErrNothingToUndo] when nothing is left.
func (b *Book) Undo(ctx context.Context, by By, id, record int64) (*rebuild.Rebuild, Record, error) {
	return b.advance(ctx, by, id, func(r *rebuild.Rebuild) (planned, error) {
		target, err := b.undoTarget(ctx, id, record)
		if err != nil {
			return planned{}, err
		}
		if err := b.untouchedSince(ctx, r, target.ID); err != nil {
			return planned{}, err
		}
		return b.goBack(ctx, r, target, KindUndo, "undid: ")
	})
}

// Redo makes the change that was undone last once more. It can be done while no
// new change was made after the undo; [ErrNothingToRedo] else.
func (b *Book) Redo(ctx context.Context, by By, id int64) (*rebuild.Rebuild, Record, error) {
	return b.advance(ctx, by, id, func(r *rebuild.Rebuild) (planned, error) {
		target, err := b.CanRedo(ctx, id)
		if err != nil {
			return planned{}, err
		}
		if target == nil {
			return planned{}, ErrNothingToRedo
		}
		return b.goBack(ctx, r, target, KindRedo, "redid: ")
	})
}

// CanUndo gives the record that Undo would take back now, without its edits; nil
// when there is none.
func (b *Book) CanUndo(ctx context.Context, id int64) (*Record, error) {
	return b.record1(ctx, "where rebuild_id = ? and kind = 'do' and undone_by is null and version > 1 order by id desc", id)
}

// CanRedo gives the record that Redo would make once more now, without its
// edits; nil when there is none.
func (b *Book) CanRedo(ctx context.Context, id int64) (*Record, error) {
	return b.record1(ctx, `where rebuild_id = ?1 and undone_by is not null
		and undone_by > (select max(id) from change where rebuild_id = ?1 and kind = 'do') order by undone_by desc`, id)
}

// undoTarget is the change that an undo is about.
func (b *Book) undoTarget(ctx context.Context, id, record int64) (*Record, error) {
	if record == 0 {
		target, err := b.CanUndo(ctx, id)
		if err == nil && target == nil {
			err = ErrNothingToUndo
		}
		return target, err
	}
	target, err := b.record1(ctx, "where rebuild_id = ? and id = ?", id, record)
	if err == nil && target != nil && target.Kind == KindRedo {
		target, err = b.record1(ctx, "where rebuild_id = ? and id = ?", id, target.Of)
	}
	switch {
	case err != nil:
		return nil, err
	case target == nil:
		return nil, refusal("there is no record %d in the journal of this rebuild", record)
	case target.Kind == KindUndo:
		return nil, refusal("that is an undo itself; redo makes the change once more")
	case target.Undone:
		return nil, refusal("that was undone already: %s", target.What)
	}
	return target, nil
}

func refusal(format string, args ...any) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "record", Text: fmt.Sprintf(format, args...)}}}
}

// untouchedSince refuses to take a change back under later ones of the same
// items, even where those came to say the same again: each undo then leads to
// what was there before the change that it names.
func (b *Book) untouchedSince(ctx context.Context, r *rebuild.Rebuild, record int64) error {
	const query = `select later.kind, later.item_id from edit as mine
		join edit as later on later.kind = mine.kind and later.item_id = mine.item_id
		join change on change.id = later.change_id
		where mine.change_id = ?1 and change.id > ?1 and change.rebuild_id = ?2 and change.kind = 'do' and change.undone_by is null
		limit 1`
	var kind rebuild.Kind
	var item int64
	err := b.read.QueryRowContext(ctx, query, record, r.ID).Scan(&kind, &item)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading the journal: %w", b.plainly(err))
	}
	conflict := &rebuild.Conflict{Kind: kind, ID: item, Now: r.Item(kind, item)}
	if conflict.Now != nil {
		conflict.Label = conflict.Now.Label()
	}
	return conflict
}

// goBack inverts what was last done about a change: the change itself or its
// redo when it is undone, its undo when it is redone. Their edits hold the
// revisions as they are now.
func (b *Book) goBack(ctx context.Context, r *rebuild.Rebuild, target *Record, kind, prefix string) (planned, error) {
	latest, err := b.record1(ctx, "where rebuild_id = ?1 and (id = ?2 or of_id = ?2) order by id desc", r.ID, target.ID)
	if err != nil || latest == nil {
		return planned{}, errors.Join(err, ErrNothingToUndo)
	}
	edits, err := readEdits(ctx, b.read, latest.ID, allEdits)
	if err != nil {
		return planned{}, fmt.Errorf("reading record %d of the journal: %w", latest.ID, b.plainly(err))
	}
	back, err := rebuild.Change{Edits: edits}.Inverse(r)
	if err == nil {
		err = b.sameCurrency(ctx, r, back, latest.ID)
	}
	back.What = prefix + target.What
	return planned{back, kind, target.ID}, err
}

// sameCurrency refuses to bring back sums that were entered in another currency
// than the rebuild is kept in by now.
func (b *Book) sameCurrency(ctx context.Context, r *rebuild.Rebuild, back rebuild.Change, record int64) error {
	if !slices.ContainsFunc(back.Edits, func(e rebuild.Edit) bool { return e.After != nil && rebuild.HasMoney(e.After) }) {
		return nil
	}
	const query = `select after_json ->> '$.currency' from edit join change on change.id = edit.change_id
		where edit.kind = 'car' and edit.change_id <= ? and change.rebuild_id = ? order by edit.change_id desc limit 1`
	var currency string
	if err := b.read.QueryRowContext(ctx, query, record, r.ID).Scan(&currency); err != nil {
		return fmt.Errorf("reading the journal: %w", b.plainly(err))
	}
	if currency != r.Car.Currency {
		return &rebuild.Conflict{Kind: rebuild.KindCar, ID: r.Car.ItemID(), Label: r.Car.Label(), Now: r.Car}
	}
	return nil
}
