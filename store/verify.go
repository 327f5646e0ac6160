package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"reflect"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

// Verify looks through the whole book and says in words what is not in order:
// the database file itself, references, every row against the rules of package
// rebuild, the journal, every file against its hash. What it calls harmless may
// be deleted or left. None: all is well. Nothing is changed.
func (b *Book) Verify(ctx context.Context) ([]string, error) {
	moment, err := b.snapshot(ctx)
	if err != nil {
		return nil, fmt.Errorf("verifying the book: %w", b.plainly(err))
	}
	defer moment.Rollback()
	v := verifying{ctx, b, moment}
	var found []string
	for _, look := range []func() ([]string, error){v.database, v.rebuilds, v.modelTexts, v.files, v.strayFiles} {
		problems, err := look()
		found = append(found, problems...)
		err = b.plainly(err)
		var damaged *Damaged
		if errors.As(err, &damaged) {
			found = append(found, damaged.Error())
		} else if err != nil {
			return found, fmt.Errorf("verifying the book: %w", err)
		}
	}
	return found, nil
}

// verifying looks at the book as it is at one moment.
type verifying struct {
	ctx    context.Context
	book   *Book
	moment *sql.Tx
}

func (v verifying) database() ([]string, error) {
	var found []string
	var line string
	err := each(v.ctx, v.moment, "pragma integrity_check", nil, []any{&line}, func() {
		if line != "ok" {
			found = append(found, "book.db: "+line)
		}
	})
	if err != nil {
		return found, err
	}
	var table, parent string
	var row, key any
	err = each(v.ctx, v.moment, "pragma foreign_key_check", nil, []any{&table, &row, &parent, &key}, func() {
		found = append(found, fmt.Sprintf("book.db: a row of %s refers to a row of %s that is not there", table, parent))
	})
	return found, err
}

func (v verifying) rebuilds() ([]string, error) {
	ids, err := rebuildIDs(v.ctx, v.moment)
	if err != nil {
		return nil, err
	}
	var found []string
	for _, id := range ids {
		problems, err := v.rebuild(id)
		if err != nil {
			return found, err
		}
		found = append(found, problems...)
	}
	return found, nil
}

func (v verifying) rebuild(id int64) ([]string, error) {
	r, err := readRebuild(v.ctx, v.moment, id)
	if err != nil {
		return []string{fmt.Sprintf("rebuild %d cannot be read: %v", id, err)}, v.ctx.Err()
	}
	var found []string
	var invalid *rebuild.Invalid
	if errors.As(r.Validate(), &invalid) {
		for _, p := range invalid.Problems {
			found = append(found, fmt.Sprintf("rebuild %d: %s", id, p.Text))
		}
	}
	v.book.caching.RLock()
	cached := v.book.cache[id]
	v.book.caching.RUnlock()
	if cached != nil && cached.Version == r.Version && !reflect.DeepEqual(cached, r) {
		found = append(found, fmt.Sprintf("rebuild %d: the rows in book.db are not what this program last wrote", id))
	}
	journal, err := v.journal(r)
	return append(found, journal...), err
}

// journal holds that the journal has a line for each version and that what
// it says last of each thing is what stands.
func (v verifying) journal(r *rebuild.Rebuild) ([]string, error) {
	var lines, last int64
	if err := v.moment.QueryRowContext(v.ctx, "select count(*), coalesce(max(version), 0) from change where rebuild_id = ?", r.ID).Scan(&lines, &last); err != nil {
		return nil, err
	}
	var found []string
	if lines != r.Version || last != r.Version {
		found = append(found, fmt.Sprintf("rebuild %d: it has version %d, but the journal has %d lines up to version %d", r.ID, r.Version, lines, last))
	}
	const latest = `select kind, item_id, after_json, (select text from model_text where hash = after_model), change_id from
		(select kind, item_id, after_json, after_model, max(change_id) as change_id from edit
		where change_id in (select id from change where rebuild_id = ?) group by kind, item_id)`
	var kind rebuild.Kind
	var item, change int64
	var kept image
	err := each(v.ctx, v.moment, latest, []any{r.ID}, []any{&kind, &item, &kept.json, &kept.model, &change}, func() {
		if !says(kept, kind, r.Item(kind, item)) {
			found = append(found, fmt.Sprintf("rebuild %d: the %s %d is not what the journal says it became (record %d)", r.ID, kind, item, change))
		}
	})
	return found, err
}

func says(kept image, kind rebuild.Kind, item rebuild.Item) bool {
	if !kept.json.Valid || item == nil {
		return !kept.json.Valid && item == nil
	}
	written, err := kept.item(kind)
	return err == nil && rebuild.SameItem(written, item) && written.Revision() == item.Revision()
}

// modelTexts holds the long texts of the journal against their hashes.
func (v verifying) modelTexts() ([]string, error) {
	var found []string
	var hash, text string
	err := each(v.ctx, v.moment, "select hash, text from model_text order by hash", nil, []any{&hash, &text}, func() {
		if hash != hashOfText(text) {
			found = append(found, fmt.Sprintf("book.db: the text %s of the journal has changed: it does not fit its hash any more", hash))
		}
	})
	return found, err
}

func (v verifying) files() ([]string, error) {
	var found []string
	files, err := readFiles(v.ctx, v.moment)
	for _, f := range files {
		if v.ctx.Err() != nil {
			return found, v.ctx.Err()
		}
		if problem := v.book.verifyFile(f); problem != "" {
			found = append(found, problem)
		}
	}
	return found, err
}

func (b *Book) verifyFile(f FileInfo) string {
	at := relativePath(f.Hash)
	hash, size, err := hashOf(b.filePath(f.Hash))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return at + ": the file is missing"
	case err != nil:
		return fmt.Sprintf("%s: cannot be read: %v", at, err)
	case size != f.Size:
		return fmt.Sprintf("%s: has %d bytes instead of %d", at, size, f.Size)
	case hash != f.Hash:
		return at + ": its content has changed: it does not fit its hash any more"
	}
	return ""
}

// strayFiles are contents without a row: what a process that was cut short had
// stored already, or what somebody else put there.
func (v verifying) strayFiles() ([]string, error) {
	files, err := readFiles(v.ctx, v.moment)
	if err != nil {
		return nil, err
	}
	known := make(map[string]bool, len(files))
	for _, f := range files {
		known[relativePath(f.Hash)] = true
	}
	var found []string
	err = fs.WalkDir(os.DirFS(v.book.dir), "files", func(at string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err == nil && !d.IsDir() && !known[at] && !strings.HasPrefix(at, "files/.incoming/") {
			found = append(found, at+": belongs to nothing (harmless)")
		}
		return err
	})
	slices.Sort(found)
	return found, err
}

// readFiles lists what the book knows of its files, by hash.
func readFiles(ctx context.Context, q queryer) ([]FileInfo, error) {
	var list []FileInfo
	var f FileInfo
	var at int64
	err := each(ctx, q, "select hash, size, media_type, added_at_ms from file order by hash", nil, []any{&f.Hash, &f.Size, &f.MediaType, &at}, func() {
		f.AddedAt = fromMillis(at)
		list = append(list, f)
	})
	return list, err
}

// relativePath is where a content lies in the book and in an export.
func relativePath(hash string) string { return path.Join("files", hash[:2], hash) }

func hashOf(name string) (hash string, size int64, err error) {
	f, err := os.Open(name)
	if err != nil {
		return "", 0, err
	}
	defer f.Close()
	sum := sha256.New()
	size, err = io.Copy(sum, f)
	return hex.EncodeToString(sum.Sum(nil)), size, err
}
