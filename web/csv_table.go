package web

import (
	"mime"
	"net/http"

	"wreckwright/store"
)

// csvTable is a table to be handed out as a CSV file, the names of the columns
// first. Spreadsheets open it without running anything: see [store.EncodeTable].
type csvTable [][]string

func (t *csvTable) row(cells ...string) { *t = append(*t, cells) }

func (t csvTable) send(w http.ResponseWriter, name string) error {
	data, err := store.EncodeTable(t)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(data) // the reader may have gone
	return nil
}
