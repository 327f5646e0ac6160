package web

import (
	"bytes"
	"encoding/csv"
	"mime"
	"net/http"
	"strings"
)

// csvTable is a table to be handed out as a CSV file that spreadsheets open
// without running anything.
//
// ref: RFC_4180 section 2
type csvTable struct {
	out *bytes.Buffer
	csv *csv.Writer
}

// csvNumber is a figure that we wrote ourselves: it may begin with a minus sign.
type csvNumber string

func newCSVTable(header ...any) *csvTable {
	out := &bytes.Buffer{}
	t := &csvTable{out, csv.NewWriter(out)}
	t.csv.UseCRLF = true
	t.row(header...)
	return t
}

// row adds a row of texts and csvNumbers.
func (t *csvTable) row(cells ...any) {
	row := make([]string, len(cells))
	for i, c := range cells {
		switch v := c.(type) {
		case csvNumber:
			row[i] = string(v)
		case string:
			row[i] = csvText(v)
		}
	}
	_ = t.csv.Write(row) // into memory
}

// csvText keeps a spreadsheet from taking a text for a formula: what begins like
// one gets an apostrophe before it.
func csvText(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n|%", rune(s[0])) {
		return "'" + s
	}
	return s
}

func (t *csvTable) send(w http.ResponseWriter, name string) error {
	t.csv.Flush()
	if err := t.csv.Error(); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(t.out.Bytes()) // the reader may have gone
	return nil
}
