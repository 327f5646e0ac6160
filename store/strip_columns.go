package store

import (
	"context"
	"database/sql"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

var stripItems = table[rebuild.StripItem]{
	"strip_item", strings.Fields("id rev at what zone condition settled_on back_at back_by back_anyway note"),
	func(s *rebuild.StripItem, _ *string) []any {
		return []any{&s.ID, &s.Rev, &s.At, &s.What, &s.Zone, &s.Condition, &s.SettledOn, &s.BackAt, &s.BackBy, &s.BackAnyway, &s.Note}
	},
}

// partRow is a part of an item, with the item it belongs to and its place there.
type partRow[T any] struct {
	of, place int64
	part      T
}

// partsOf is the table of parts of items; the first of its columns names the item.
func partsOf[T any](name, columns string, fields func(*T) []any) table[partRow[T]] {
	return table[partRow[T]]{
		name,
		strings.Fields(columns),
		func(row *partRow[T], _ *string) []any {
			return append([]any{&row.of, &row.place}, fields(&row.part)...)
		},
	}
}

var stripFasteners = partsOf("strip_fastener", "item_id place count thread tool bag one_time to_buy arrived_on emptied note",
	func(f *rebuild.FastenerSet) []any {
		return []any{&f.Count, &f.Thread, &f.Tool, &f.Bag, &f.OneTime, &f.ToBuy, &f.ArrivedOn, &f.Emptied, &f.Note}
	})

var stripConnectors = partsOf("strip_connector", "item_id place name made",
	func(k *rebuild.Connector) []any { return []any{&k.Name, &k.Made} })

var stripMarks = partsOf("strip_mark", "item_id place photo number x y text",
	func(m *rebuild.PhotoMark) []any { return []any{&m.Photo, &m.Number, &m.X, &m.Y, &m.Text} })

var (
	stripAfter  = links("strip_after", "item_id", "after_id")
	stripJobs   = links("strip_job", "item_id", "job_id")
	stripJoints = links("strip_joint", "item_id", "joint_id")
)

func (w *rows) keepStripItem(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.StripItem)
	after, _ := e.After.(rebuild.StripItem)
	return firstError(
		func() error { return keepRow(w, stripItems, e) },
		func() error { return keepParts(w, stripFasteners, e.ID(), before.Fasteners, after.Fasteners) },
		func() error { return keepParts(w, stripConnectors, e.ID(), before.Connectors, after.Connectors) },
		func() error { return keepParts(w, stripMarks, e.ID(), before.Marks, after.Marks) },
		func() error { return w.keepLinks(stripAfter, e.ID(), before.After, after.After) },
		func() error { return w.keepLinks(stripJobs, e.ID(), before.Jobs, after.Jobs) },
		func() error { return w.keepLinks(stripJoints, e.ID(), before.Joints, after.Joints) },
		func() error { return w.keepAttachments("strip_item_id", e.ID(), before.Photos, after.Photos) },
	)
}

// keepParts writes the parts of an item anew where any of them differs.
func keepParts[T comparable](w *rows, t table[partRow[T]], of int64, before, after []T) error {
	if slices.Equal(before, after) {
		return nil
	}
	return writeParts(w, t, of, after)
}

func writeParts[T any](w *rows, t table[partRow[T]], of int64, parts []T) error {
	if _, err := w.exec("delete from "+t.name+" where rebuild_id = ? and "+t.columns[0]+" = ?", w.id, of); err != nil {
		return err
	}
	for i, part := range parts {
		if err := insert(w, t, partRow[T]{of, int64(i + 1), part}); err != nil {
			return err
		}
	}
	return nil
}

// readStripParts hangs on the strip items what belongs to them.
func readStripParts(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	return firstError(
		readingParts(ctx, tx, stripFasteners, r, r.StripItem, func(s *rebuild.StripItem) *[]rebuild.FastenerSet { return &s.Fasteners }),
		readingParts(ctx, tx, stripConnectors, r, r.StripItem, func(s *rebuild.StripItem) *[]rebuild.Connector { return &s.Connectors }),
		readingParts(ctx, tx, stripMarks, r, r.StripItem, func(s *rebuild.StripItem) *[]rebuild.PhotoMark { return &s.Marks }),
		readingLinks(ctx, tx, stripAfter, r, r.StripItem, func(s *rebuild.StripItem) *[]int64 { return &s.After }),
		readingLinks(ctx, tx, stripJobs, r, r.StripItem, func(s *rebuild.StripItem) *[]int64 { return &s.Jobs }),
		readingLinks(ctx, tx, stripJoints, r, r.StripItem, func(s *rebuild.StripItem) *[]int64 { return &s.Joints }),
		func() error {
			return eachAttachment(ctx, tx, "strip_item_id", r.ID, func(id int64, a rebuild.Attachment) {
				if s := r.StripItem(id); s != nil {
					s.Photos = append(s.Photos, a)
				}
			})
		},
	)
}

// readingParts reads parts into that list of the item they belong to.
func readingParts[T, O any](ctx context.Context, tx *sql.Tx, t table[partRow[T]], r *rebuild.Rebuild, owner func(int64) *O, list func(*O) *[]T) func() error {
	return func() error {
		return eachPriced(ctx, tx, t, t.columns[0]+", place", r, func(row *partRow[T]) {
			if o := owner(row.of); o != nil {
				*list(o) = append(*list(o), row.part)
			}
		})
	}
}

// readingLinks reads numbers into that list of the item that names them.
func readingLinks[O any](ctx context.Context, tx *sql.Tx, t table[linkRow], r *rebuild.Rebuild, owner func(int64) *O, list func(*O) *[]int64) func() error {
	return func() error {
		return eachPart(ctx, tx, t, t.columns[0]+", place", r.ID, func(row *linkRow) {
			if o := owner(row.owner); o != nil {
				*list(o) = append(*list(o), row.other)
			}
		})
	}
}
