package casefile

import (
	"fmt"
	"path/filepath"
)

// Error is one mistake in a case file.
type Error struct {
	File     string // as given on the command line
	Line     int    // counted from 1; 0 where the file could not be read at all
	Column   int
	Key      string // "jobs[2].cost.low", items counted from 1; "" for the file itself
	Problem  string // "340 is above likely (320)"
	Expected string // "low <= likely <= high"

	rank int // of two mistakes on one line the smaller rank is told
}

const (
	rankValue = iota
	rankUnknown
	rankMissing
)

// Error is the mistake in one line.
func (e *Error) Error() string {
	where := filepath.ToSlash(e.File)
	if e.Line > 0 {
		where = fmt.Sprintf("%s:%d", where, e.Line)
	}
	if e.Key != "" {
		where += ": " + e.Key
	}
	return fmt.Sprintf("%s: %s; expected %s", where, e.Problem, e.Expected)
}

// before tells whether e comes first in the file.
func (e *Error) before(other *Error) bool {
	if e.Line != other.Line {
		return e.Line < other.Line
	}
	if e.rank != other.rank {
		return e.rank < other.rank
	}
	return e.Column < other.Column
}
