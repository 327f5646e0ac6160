package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"wreckwright/rebuild"
)

// Import makes a book in a new or empty folder out of what [Book.Export] wrote:
// the same rebuilds with their numbers, revisions, journal and marks. Everything
// is checked first; when anything is wrong ([*BadExport], with file and place)
// nothing is left behind. [*NotEmpty] where something is already.
func Import(ctx context.Context, from, to string, o Options) error {
	if at, err := os.Stat(from); err != nil || !at.IsDir() {
		return &NoBook{from}
	}
	// A root keeps every name, and every link, within the export.
	root, err := os.OpenRoot(from)
	if err != nil {
		return fmt.Errorf("importing from %s: %w", from, err)
	}
	defer root.Close()
	head, all, err := readExport(ctx, root.FS())
	if err != nil {
		return fmt.Errorf("importing from %s: %w", from, err)
	}
	_, missing := os.Stat(to)
	to, err = emptyFolder(to)
	if err != nil {
		return err
	}
	if err := importInto(ctx, root.FS(), head, all, to, o); err != nil {
		return errors.Join(fmt.Errorf("importing from %s: %w", from, err), clear(to, errors.Is(missing, fs.ErrNotExist)))
	}
	return nil
}

// clear takes away what an import that failed had made.
func clear(dir string, whole bool) error {
	if whole {
		return os.RemoveAll(dir)
	}
	held, err := os.ReadDir(dir)
	for _, f := range held {
		err = errors.Join(err, os.RemoveAll(filepath.Join(dir, f.Name())))
	}
	return err
}

func importInto(ctx context.Context, from fs.FS, head bookFile, all []imported, to string, o Options) error {
	o.ReadOnly = false
	b, err := Open(ctx, to, o)
	if err != nil {
		return err
	}
	err = b.fill(ctx, from, head, all)
	return errors.Join(err, b.Close())
}

func (b *Book) fill(ctx context.Context, from fs.FS, head bookFile, all []imported) error {
	for _, f := range head.Files {
		if err := b.importFile(ctx, from, f); err != nil {
			return err
		}
	}
	err := b.transact(ctx, 0, func(w *rows) error {
		for _, f := range head.Files {
			if _, err := w.exec("insert into file (hash, size, media_type, added_at_ms) values (?, ?, ?, ?)", f.Hash, f.Size, f.MediaType, toMillis(f.AddedAt)); err != nil {
				return err
			}
		}
		for key, value := range head.Settings {
			if err := w.keepSetting(key, value); err != nil {
				return err
			}
		}
		for _, in := range all {
			if err := w.importRebuild(in); err != nil {
				return &BadExport{File: folderOf(in.rebuild.ID), Err: err}
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	return b.checkImport(ctx)
}

// checkImport looks at the new book as a whole: what the single files could not
// show, such as a journal that ends elsewhere than the rebuild stands.
func (b *Book) checkImport(ctx context.Context) error {
	moment, err := b.snapshot(ctx)
	if err != nil {
		return err
	}
	defer moment.Rollback()
	v := verifying{ctx, b, moment}
	for _, look := range []func() ([]string, error){v.database, v.rebuilds} {
		problems, err := look()
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return &BadExport{File: "the export", Err: errors.New(problems[0])}
		}
	}
	return nil
}

// importFile copies one content and holds it against its hash.
func (b *Book) importFile(ctx context.Context, from fs.FS, f fileLine) error {
	name := relativePath(f.Hash)
	in, err := from.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return &BadExport{File: name, Err: errors.New("it is missing")}
	}
	if err != nil {
		return &BadExport{File: name, Err: err}
	}
	defer in.Close()
	got, err := b.receive(ctx, in, name, 0)
	if err != nil {
		return err
	}
	if got.hash != f.Hash || got.size != f.Size {
		return &BadExport{File: name, Err: errors.New("its content does not fit its hash and size: it was changed or cut")}
	}
	return b.settleFile(got.path, got.hash)
}

func (w *rows) importRebuild(in imported) error {
	r := in.rebuild
	w.id = r.ID
	if _, err := w.exec("insert into rebuild (id, version, next_id, changed_at_ms) values (?, ?, ?, ?)", r.ID, r.Version, r.NextID, toMillis(in.changedAt)); err != nil {
		return err
	}
	for _, item := range itemsOf(r) {
		if err := w.keep(rebuild.Edit{After: item}); err != nil {
			return err
		}
	}
	for i, l := range in.journal {
		if err := w.importRecord(l, in.edits[i]); err != nil {
			return err
		}
	}
	for _, l := range in.journal {
		if l.UndoneBy == 0 {
			continue
		}
		if _, err := w.exec("update change set undone_by = ? where id = ?", l.UndoneBy, l.ID); err != nil {
			return err
		}
	}
	for _, m := range in.marks {
		if err := w.keepMark(m); err != nil {
			return err
		}
	}
	return nil
}

func itemsOf(r *rebuild.Rebuild) []rebuild.Item {
	return slices.Concat(
		[]rebuild.Item{r.Car, r.Appraisal},
		asItems(r.Zones),
		asItems(r.Stages),
		asItems(r.Findings),
		asItems(r.Jobs),
		asItems(r.Entries),
		asItems(r.Evidence),
		asItems(r.Cases),
		asItems(r.Strip),
		asItems(r.Joints),
		asItems(r.Tools),
		asItems(r.GatePasses),
		asItems(r.Shakedown),
		asItems(r.Rehearsal),
		asItems(r.OfficialTests),
		asItems(r.Confirmations),
		asItems(r.Sheets),
		asItems(r.People),
		asItems(r.Things),
		asItems(r.Milestones),
		asItems(r.JobPlans),
		asItems(r.Deliveries),
		asItems(r.Timetables),
	)
}

func asItems[T rebuild.Item](list []T) []rebuild.Item {
	items := make([]rebuild.Item, len(list))
	for i, item := range list {
		items[i] = item
	}
	return items
}

func (w *rows) importRecord(l recordLine, edits []rebuild.Edit) error {
	_, err := w.exec("insert into change (id, rebuild_id, version, at_ms, who, what, kind, request, of_id) values (?, ?, ?, ?, ?, ?, ?, nullif(?, ''), nullif(?, 0))",
		l.ID, w.id, l.Version, toMillis(l.At), l.Who, l.What, l.Kind, l.Request, l.Of)
	for i, e := range edits {
		if err == nil {
			err = w.keepEdit(l.ID, i+1, e)
		}
	}
	return err
}
