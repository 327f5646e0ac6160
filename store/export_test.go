package store

import (
	"context"
	"fmt"
)

// LimitPages makes SQLite refuse to grow the file beyond so many pages, as on a
// full disk.
func (b *Book) LimitPages(ctx context.Context, pages int) error {
	_, err := b.write.ExecContext(ctx, fmt.Sprintf("pragma max_page_count = %d", pages))
	return err
}
