package store

import "context"

// Begun is the first record of a rebuild, without its edits: with it the rebuild was
// started. It stays the same in a copy of the book.
func (b *Book) Begun(ctx context.Context, id int64) (Record, error) {
	if _, err := b.versionOf(ctx, id); err != nil {
		return Record{}, err
	}
	first, err := b.record1(ctx, "where rebuild_id = ? order by id", id)
	if err != nil || first == nil {
		return Record{}, err
	}
	return *first, nil
}
