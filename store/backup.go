package store

import (
	"context"
	"database/sql"
	"fmt"
	"path/filepath"
)

// Backup copies the book to a new or empty folder: a book of its own, as this
// one is at one moment, which may go on being written by this or another
// process. [*NotEmpty] where something is already.
func (b *Book) Backup(ctx context.Context, dir string) error {
	dir, err := emptyFolder(dir)
	if err != nil {
		return err
	}
	if err := b.backup(ctx, dir); err != nil {
		return fmt.Errorf("backing up to %s: %w", dir, systemTrouble(dir, b.plainly(err)))
	}
	return nil
}

func (b *Book) backup(ctx context.Context, dir string) error {
	// The reading connections refuse VACUUM INTO, though it writes only elsewhere.
	source := connect(b.dbPath(), "mode=ro")
	defer source.Close()
	if err := copyAside(ctx, source, filepath.Join(dir, "book.db")); err != nil {
		return err
	}
	// The files come after the rows: each that the copy lists is there by now.
	copied := connect(filepath.Join(dir, "book.db"), "mode=ro")
	defer copied.Close()
	return copyFiles(ctx, b, copied, dir)
}

func copyFiles(ctx context.Context, b *Book, list *sql.DB, dir string) error {
	files, err := readFiles(ctx, list)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := copyFile(b.filePath(f.Hash), filepath.Join(dir, filepath.FromSlash(relativePath(f.Hash)))); err != nil {
			return err
		}
	}
	return nil
}
