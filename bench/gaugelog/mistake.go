package gaugelog

import (
	"fmt"
	"strings"
)

// Error is one mistake in a log.
type Error struct {
	File     string // as the caller named it
	Line     int    // counted from 1; 0 for the file as a whole
	Column   string // the header's name of the column; "" for the row
	Problem  string // "\"fifty\" is no number"
	Expected string // "a pressure such as 48.5, or an empty cell"

	Wrong Setting   // the setting that the file does not bear out; "" for none
	Mends []Setting // the settings that would mend it; nil for none
}

// Error is the mistake in one line.
func (e *Error) Error() string {
	where := strings.ReplaceAll(e.File, `\`, "/")
	if e.Line > 0 {
		where = fmt.Sprintf("%s:%d", where, e.Line)
	}
	if e.Column != "" {
		where += ": column " + e.Column
	}
	return fmt.Sprintf("%s: %s; expected %s", where, e.Problem, e.Expected)
}

// show quotes a cell, cut where it is long.
func show(cell []byte) string {
	const most = 40
	text := strings.ToValidUTF8(string(cell[:min(len(cell), most)]), "?")
	if len(cell) > most {
		text += "..."
	}
	return fmt.Sprintf("%q", text)
}
