package gaugelog

// column is a column that grows without being copied: in pieces, laid end to end
// once its length is known.
type column[T any] struct {
	pieces [][]T
	n      int
}

const pieceRows = 1 << 16

func (c *column[T]) append(v T) {
	if c.n%pieceRows == 0 {
		c.pieces = append(c.pieces, make([]T, 0, pieceRows))
	}
	last := &c.pieces[len(c.pieces)-1]
	*last = append(*last, v)
	c.n++
}

func (c *column[T]) at(i int) *T { return &c.pieces[i/pieceRows][i%pieceRows] }

// whole is the column in one; the pieces are let go.
func (c *column[T]) whole() []T {
	if len(c.pieces) == 0 {
		return nil
	}
	out := make([]T, 0, c.n)
	for i, p := range c.pieces {
		out = append(out, p...)
		c.pieces[i] = nil
	}
	c.pieces = nil
	return out
}
