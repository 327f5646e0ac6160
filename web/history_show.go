package web

import (
	"errors"
	"net/http"
	"strconv"

	"wreckwright/rebuild"
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
			Differs: differences(shown), More: rec.MoreEdits + len(rec.Edits) - len(shown),
		})
	}
	return s.show(w, http.StatusOK, "history", page)
}

// undo takes back the change that the form names, the latest where it names
// none.
func (s *Server) undo(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "rebuild")
	if err != nil {
		return err
	}
	record, _ := strconv.ParseInt(r.FormValue("record"), 10, 64)
	_, _, err = s.workshop.Book().Undo(r.Context(), s.by(r), id, record)
	var conflict *rebuild.Conflict
	if errors.As(err, &conflict) {
		return &StatusError{
			http.StatusConflict, "That cannot be undone by itself",
			"The " + string(conflict.Kind) + " “" + conflict.Label + "” was changed again since. Undo the later changes first; History lists them.",
		}
	}
	if err != nil {
		return err
	}
	return s.afterUndo(w, r, id)
}

func (s *Server) redo(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "rebuild")
	if err != nil {
		return err
	}
	if _, _, err := s.workshop.Book().Redo(r.Context(), s.by(r), id); err != nil {
		return err
	}
	return s.afterUndo(w, r, id)
}

// afterUndo goes back to where the button was; the page of an item that the
// undo took away leads on to the history.
func (s *Server) afterUndo(w http.ResponseWriter, r *http.Request, id int64) error {
	base := "/r/" + strconv.FormatInt(id, 10)
	return s.goOn(w, r, backTo(r, base+"/history"))
}
