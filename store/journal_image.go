package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"

	"wreckwright/rebuild"
)

// image is an item as the journal keeps it: JSON, and apart from it the long text of
// a case (its fault model) or a measuring sheet (its readings), which is kept once
// however many records have it.
type image struct{ json, model sql.NullString }

// editColumns are read into [editRow.fields].
const editColumns = `kind, before_json, (select text from model_text where hash = before_model),
	after_json, (select text from model_text where hash = after_model)`

// editRow is one edit as the journal keeps it.
type editRow struct {
	kind          rebuild.Kind
	before, after image
}

func (row *editRow) fields() []any {
	return []any{&row.kind, &row.before.json, &row.before.model, &row.after.json, &row.after.model}
}

// eachEdit reads the edits of a record in order, at most limit of them.
func eachEdit(ctx context.Context, q queryer, change int64, limit int, f func(editRow) error) error {
	var row editRow
	var bad error
	err := each(ctx, q, "select "+editColumns+" from edit where change_id = ? order by place limit ?", []any{change, limit}, row.fields(), func() {
		bad = errors.Join(bad, f(row))
	})
	return errors.Join(err, bad)
}

// item reads what the image shows; nil for none.
func (m image) item(kind rebuild.Kind) (rebuild.Item, error) {
	if !m.json.Valid {
		return nil, nil
	}
	item, err := rebuild.DecodeItem(kind, []byte(m.json.String))
	if !m.model.Valid {
		return item, err
	}
	switch v := item.(type) {
	case rebuild.Case:
		v.Model = m.model.String
		return v, err
	case rebuild.Sheet:
		v.Told = m.model.String
		return v, err
	}
	return item, err
}

// apart takes the long text of an item out of it; empty: it has none.
func apart(item rebuild.Item) (rest rebuild.Item, long string) {
	switch v := item.(type) {
	case rebuild.Case:
		long, v.Model = v.Model, ""
		return v, long
	case rebuild.Sheet:
		long, v.Told = v.Told, ""
		return v, long
	}
	return item, ""
}

// keepImage gives what stands for the item in the columns of its JSON and of its
// long text, and keeps that text where it is new.
func (w *rows) keepImage(item rebuild.Item) (text, model any, err error) {
	if item == nil {
		return nil, nil, nil
	}
	rest, long := apart(item)
	if long != "" {
		hash := hashOfText(long)
		if _, err := w.exec("insert into model_text (hash, text) values (?, ?) on conflict do nothing", hash, long); err != nil {
			return nil, nil, err
		}
		model = hash
	}
	data, err := json.Marshal(rest)
	return string(data), model, err
}

func hashOfText(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

func (w *rows) keepEdit(change int64, place int, e rebuild.Edit) error {
	before, beforeModel, err := w.keepImage(e.Before)
	if err != nil {
		return err
	}
	after, afterModel, err := w.keepImage(e.After)
	if err != nil {
		return err
	}
	_, err = w.exec("insert into edit (change_id, place, kind, item_id, before_json, before_model, after_json, after_model) values (?, ?, ?, ?, ?, ?, ?, ?)",
		change, place, string(e.Kind()), e.ID(), before, beforeModel, after, afterModel)
	return err
}
