package ledger

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Bounds on one paste: a person checks every row by eye.
const (
	MaxRows    = 5000
	MaxColumns = 60
	MaxBytes   = 4 << 20
	// maxCell bounds one quoted cell, so that a stray quote cannot swallow the
	// rest of the paste.
	maxCell = 4000
)

// TooLarge is the error of a paste beyond the bounds.
type TooLarge struct {
	What        string // "rows", "columns", "bytes"
	Found, Most int
}

func (e *TooLarge) Error() string {
	return fmt.Sprintf("%d %s are more than can be checked by eye in one go; paste at most %d at a time", e.Found, e.What, e.Most)
}

// record is one row of cells and the line it began on.
type record struct {
	line  int
	cells []string
}

func (r record) blank() bool {
	for _, c := range r.cells {
		if c != "" {
			return false
		}
	}
	return true
}

// Text turns the bytes of a file into text: UTF-8 with or without a byte
// order mark, UTF-16 with one, else Windows-1252. note says what was assumed.
func Text(data []byte) (text, note string) {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return fromUTF16(data[2:], binary.LittleEndian), ""
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return fromUTF16(data[2:], binary.BigEndian), ""
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if utf8.Valid(data) {
		return string(data), ""
	}
	var b strings.Builder
	for _, c := range data {
		if c >= 0x80 && c < 0xa0 {
			b.WriteRune(windows1252[c-0x80])
		} else {
			b.WriteRune(rune(c))
		}
	}
	return b.String(), "the file is not UTF-8 text; it was read as Windows-1252: look at the letters with accents"
}

func fromUTF16(data []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	return string(utf16.Decode(units))
}

// windows1252 is what the bytes 0x80 to 0x9f mean there; the five that mean
// nothing become the replacement character.
//
// ref: WHATWG_ENCODING index windows-1252
var windows1252 = []rune("€\ufffd‚ƒ„…†‡ˆ‰Š‹Œ\ufffdŽ\ufffd\ufffd‘’“”•–—˜™š›œ\ufffdžŸ")

// separators that are tried, the surest sign of a spreadsheet first.
var separators = []rune{'\t', ';', ','}

// guessSeparator takes the one that cuts most of the first lines into the same
// number of cells, two or more; earlier ones win a draw.
func guessSeparator(text string) rune {
	best, bestScore := ',', 0
	for _, sep := range separators {
		if score := evenness(text, sep); score > bestScore {
			best, bestScore = sep, score
		}
	}
	return best
}

// evenness is how many of the first rows have the commonest number of cells
// above one. Commas in decimal figures make uneven rows, which is the point.
func evenness(text string, sep rune) int {
	counts := map[int]int{}
	rows := 0
	split(text, sep, func(r record) bool {
		if !r.blank() {
			counts[len(r.cells)]++
			rows++
		}
		return rows < 50
	})
	score := 0
	for cells, n := range counts {
		if cells > 1 && n > score {
			score = n
		}
	}
	return score
}

// split cuts text into records and hands them on until yield says stop. Cells
// are trimmed. A quote opens a quoted cell only at its beginning and only where
// a closing one follows within bounds; else it is an inch sign.
func split(text string, sep rune, yield func(record) bool) {
	s := scanner{rest: text, sep: sep, line: 1}
	for s.rest != "" {
		if !yield(s.record()) {
			return
		}
	}
}

type scanner struct {
	rest string
	sep  rune
	line int
}

func (s *scanner) record() record {
	r := record{line: s.line}
	for {
		cell, more := s.cell()
		r.cells = append(r.cells, strings.TrimSpace(cell))
		if !more {
			return r
		}
	}
}

// cell takes the next cell off; more says that another follows in this row.
func (s *scanner) cell() (cell string, more bool) {
	blanks := len(s.rest) - len(strings.TrimLeft(s.rest, " "))
	if strings.HasPrefix(s.rest[blanks:], `"`) {
		if cell, length, ok := quoted(s.rest[blanks:], s.sep); ok {
			s.line += newlines(s.rest[:blanks+length])
			s.rest = s.rest[blanks+length:]
			return cell, s.end()
		}
	}
	at := strings.IndexAny(s.rest, string(s.sep)+"\r\n")
	if at < 0 {
		cell, s.rest = s.rest, ""
		return cell, false
	}
	cell, s.rest = s.rest[:at], s.rest[at:]
	return cell, s.end()
}

// end takes off what ends a cell: the separator or a line ending.
func (s *scanner) end() (more bool) {
	switch {
	case s.rest == "":
		return false
	case strings.HasPrefix(s.rest, string(s.sep)):
		s.rest = s.rest[utf8.RuneLen(s.sep):]
		return true
	case strings.HasPrefix(s.rest, "\r\n"):
		s.rest = s.rest[2:]
	default:
		s.rest = s.rest[1:]
	}
	s.line++
	return false
}

// newlines counts line endings of any of the three kinds.
func newlines(text string) int {
	return strings.Count(text, "\n") + strings.Count(text, "\r") - strings.Count(text, "\r\n")
}

// quoted reads a quoted cell; length is what it took, quotes included.
func quoted(text string, sep rune) (cell string, length int, ok bool) {
	var b strings.Builder
	for i := 1; i < len(text) && i < maxCell; {
		at := strings.IndexByte(text[i:min(len(text), maxCell)], '"')
		if at < 0 {
			return "", 0, false
		}
		b.WriteString(text[i : i+at])
		i += at + 1
		if strings.HasPrefix(text[i:], `"`) {
			b.WriteByte('"')
			i++
			continue
		}
		after := strings.TrimLeft(text[i:], " ")
		if after == "" || strings.HasPrefix(after, string(sep)) || after[0] == '\r' || after[0] == '\n' {
			return b.String(), len(text) - len(after), true
		}
		return "", 0, false
	}
	return "", 0, false
}
