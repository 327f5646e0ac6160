package gaugelog

import (
	"bytes"
	"io"
)

// Names are the names of the columns that a log offers, to choose from: of the
// header that [Read] finds, else of the line that looks most like one and has
// numbers beneath it. nil where there is none, as in what is no text.
func Names(from io.Reader) []string {
	r := newReader(from, Options{})
	var names, above []string
	for r.line < headerLines {
		line, ok := r.next()
		if !ok || !plainText(line) {
			break
		}
		if len(above) > 1 && len(above) > len(names) && holdsNumber(line, separatorOf(line)) {
			names = above
		}
		_, found, isHeader := readHeader(line, Options{})
		if isHeader {
			return found
		}
		above = found
	}
	return names
}

func holdsNumber(line []byte, separator byte) bool {
	for _, cell := range splitLine(line, separator, nil) {
		if _, ok := number(cell, '.'); ok {
			return true
		}
		if _, ok := number(cell, ','); ok {
			return true
		}
	}
	return false
}

// plainText reports a line that may be text: no byte order mark of another
// encoding, none of the control characters that pictures and recordings hold.
func plainText(line []byte) bool {
	for _, c := range line {
		if c < ' ' && c != '\t' && c != '\r' && c != '\f' {
			return false
		}
	}
	return !bytes.HasPrefix(line, []byte("\xff\xfe")) && !bytes.HasPrefix(line, []byte("\xfe\xff"))
}
