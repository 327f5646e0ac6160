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
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"wreckwright/rebuild"
)

// FileInfo is what the book knows of a file's content.
type FileInfo struct {
	Hash      string
	Size      int64  // bytes
	MediaType string // found out from the content
	AddedAt   time.Time
}

// PutFile keeps the content under its hash and gives what may be hung on an item
// with it. The media type is found out from the content; what is claimed counts
// only among kinds that the content cannot tell apart and that no browser runs.
// [*TooLarge] above most bytes (0: no limit); an empty file is [rebuild.Invalid].
// When it returns, content and row survive a crash.
func (b *Book) PutFile(ctx context.Context, r io.Reader, name, mediaType string, most int64) (rebuild.Attachment, error) {
	if b.readOnly {
		return rebuild.Attachment{}, &ReadOnlyFolder{b.dir, errOpenedReading}
	}
	name = fileName(name)
	in, err := b.receive(ctx, r, name, most)
	if err != nil {
		return rebuild.Attachment{}, err
	}
	defer os.Remove(in.path)
	a := rebuild.Attachment{Hash: in.hash, Name: name, MediaType: kindOf(in.start, mediaType), Size: in.size}
	if err := b.settleFile(in.path, in.hash); err != nil {
		return rebuild.Attachment{}, fmt.Errorf("keeping the file %q: %w", name, b.plainly(err))
	}
	err = b.transact(ctx, 0, func(w *rows) error {
		if _, err := w.exec("insert into file (hash, size, media_type, added_at_ms) values (?, ?, ?, ?) on conflict do nothing", a.Hash, a.Size, a.MediaType, toMillis(b.now())); err != nil {
			return err
		}
		return w.tx.QueryRowContext(w.ctx, "select media_type from file where hash = ?", a.Hash).Scan(&a.MediaType)
	})
	if err != nil {
		return rebuild.Attachment{}, fmt.Errorf("keeping the file %q: %w", name, err)
	}
	return a, nil
}

// OpenFile opens the content with that hash; [ErrNoFile] when the book has none.
func (b *Book) OpenFile(ctx context.Context, hash string) (io.ReadSeekCloser, FileInfo, error) {
	info := FileInfo{Hash: hash}
	var at int64
	err := b.read.QueryRowContext(ctx, "select size, media_type, added_at_ms from file where hash = ?", hash).Scan(&info.Size, &info.MediaType, &at)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, FileInfo{}, ErrNoFile
	}
	if err != nil {
		return nil, FileInfo{}, fmt.Errorf("looking up the file: %w", b.plainly(err))
	}
	info.AddedAt = fromMillis(at)
	f, err := os.Open(b.filePath(hash))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, FileInfo{}, fmt.Errorf("%w: %s was taken out of the book's folder", ErrNoFile, b.filePath(hash))
	}
	if err != nil {
		return nil, FileInfo{}, err
	}
	return f, info, nil
}

func (b *Book) filesDir() string    { return filepath.Join(b.dir, "files") }
func (b *Book) incomingDir() string { return filepath.Join(b.dir, "files", ".incoming") }

func (b *Book) filePath(hash string) string {
	return filepath.Join(b.filesDir(), hash[:2], hash)
}

// SmallPictures is the folder, within a book's own, of the small pictures that
// pages make of its photos. It holds nothing that cannot be made again.
const SmallPictures = "thumbs"

// SmallPicturePath is where the small picture of the file with that hash is kept.
func (b *Book) SmallPicturePath(hash string) string {
	return filepath.Join(b.dir, SmallPictures, hash[:2], hash+".jpg")
}

// incoming is a file that has arrived but is not in its place.
type incoming struct {
	path, hash string
	size       int64
	start      []byte // the first bytes
}

// receive writes what comes in aside and syncs it.
func (b *Book) receive(ctx context.Context, r io.Reader, name string, most int64) (incoming, error) {
	if err := os.MkdirAll(b.incomingDir(), 0o700); err != nil {
		return incoming{}, b.plainly(err)
	}
	f, err := os.CreateTemp(b.incomingDir(), "")
	if err != nil {
		return incoming{}, fmt.Errorf("keeping the file %q: %w", name, b.plainly(err))
	}
	in := incoming{path: f.Name()}
	err = errors.Join(in.fill(ctx, f, r, name, most), f.Close())
	if err == nil {
		return in, nil
	}
	_ = os.Remove(in.path)
	var tooLarge *TooLarge
	var empty *rebuild.Invalid
	if errors.As(err, &tooLarge) || errors.As(err, &empty) {
		return incoming{}, err
	}
	return incoming{}, fmt.Errorf("keeping the file %q: %w", name, b.plainly(err))
}

func (in *incoming) fill(ctx context.Context, f *os.File, r io.Reader, name string, most int64) error {
	if most > 0 {
		r = io.LimitReader(r, most+1)
	}
	sum := sha256.New()
	start := &firstBytes{most: sniffed}
	size, err := io.Copy(io.MultiWriter(f, sum, start), readerUntil{ctx, r})
	switch {
	case err != nil:
		return err
	case most > 0 && size > most:
		return &TooLarge{name, most}
	case size == 0:
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "files", Text: fmt.Sprintf("the file %q is empty", name)}}}
	}
	in.size, in.hash, in.start = size, hex.EncodeToString(sum.Sum(nil)), start.kept
	return f.Sync()
}

// settleFile moves content to its place. One that is there already is replaced
// by the same, which mends it where it was damaged.
func (b *Book) settleFile(from, hash string) error {
	to := b.filePath(hash)
	folder := filepath.Dir(to)
	if _, err := os.Stat(folder); errors.Is(err, fs.ErrNotExist) {
		if err := os.MkdirAll(folder, 0o700); err != nil {
			return err
		}
		if err := syncDir(b.filesDir()); err != nil {
			return err
		}
	}
	if err := os.Rename(from, to); err != nil {
		return err
	}
	return syncDir(folder)
}

// sweepIncoming deletes what a process that was cut short left half received.
func (b *Book) sweepIncoming() error {
	left, err := os.ReadDir(b.incomingDir())
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, f := range left {
		if err := os.Remove(filepath.Join(b.incomingDir(), f.Name())); err != nil {
			return err
		}
	}
	return nil
}

// fileName makes a name from elsewhere fit to be shown and saved under: the last
// part of a path, without control characters, at most 255 characters.
func fileName(name string) string {
	name = strings.ToValidUTF8(name, "")
	if at := strings.LastIndexAny(name, `/\`); at >= 0 {
		name = name[at+1:]
	}
	name = strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, name))
	if runes := []rune(name); len(runes) > 255 {
		name = string(runes[:255])
	}
	return name
}

// firstBytes keeps the beginning of what is written to it.
type firstBytes struct {
	kept []byte
	most int
}

func (f *firstBytes) Write(p []byte) (int, error) {
	f.kept = append(f.kept, p[:min(len(p), f.most-len(f.kept))]...)
	return len(p), nil
}

// readerUntil stops reading when the sender is gone.
type readerUntil struct {
	ctx  context.Context
	from io.Reader
}

func (r readerUntil) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.from.Read(p)
}
