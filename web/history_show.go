package web

import (
	"net/http"
	"strconv"

	"wreckwright/store"
)

// historyPage is the journal of a rebuild: who did what, before and after.
type historyPage struct {
	Frame
	Records []historyRecord
	Older   int64 // the address of the next page; 0: none
}

type historyRecord struct {
	store.Record
	When    string
	Differs []Difference
	More    int // items that the list leaves out
}

const historyPageSize = 50

// historyItems is how many items of one change the list shows.
const historyItems = 30

func (s *Server) historyShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "History", "history", rb)
	if err != nil {
		return err
	}
	before, _ := strconv.ParseInt(r.URL.Query().Get("before"), 10, 64)
	records, err := s.workshop.Book().Journal(r.Context(), rb.ID, before, historyPageSize+1)
	if err != nil {
		return err
	}
	page := historyPage{Frame: frame}
	if len(records) > historyPageSize {
		records = records[:historyPageSize]
		page.Older = records[len(records)-1].ID
	}
	for _, rec := range records {
		shown := rec.Edits[:min(len(rec.Edits), historyItems)]
		page.Records = append(page.Records, historyRecord{
			Record: rec, When: rec.At.Format("2 Jan 2006, 15:04"),
			Differs: frame.differences(shown), More: rec.MoreEdits + len(rec.Edits) - len(shown),
		})
	}
	return s.show(w, http.StatusOK, "history", page)
}
