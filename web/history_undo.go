package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// undo takes back the change that the form names, the latest where it names
// none.
func (s *Server) undo(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "rebuild")
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	record := f.whole("record", "the change to undo")
	if len(f.Problems) > 0 {
		return badRequest("Which change was meant? Go to the history and undo it there.")
	}
	_, undone, err := s.workshop.Book().Undo(r.Context(), s.by(r), id, record)
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
	return s.afterUndo(w, r, id, undone)
}

func (s *Server) redo(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "rebuild")
	if err != nil {
		return err
	}
	_, redone, err := s.workshop.Book().Redo(r.Context(), s.by(r), id)
	if err != nil {
		return err
	}
	return s.afterUndo(w, r, id, redone)
}

// afterUndo goes back to where the button was; the page of an item that went
// away with it leads on to the history.
func (s *Server) afterUndo(w http.ResponseWriter, r *http.Request, id int64, record store.Record) error {
	base := "/r/" + strconv.FormatInt(id, 10)
	history := base + "/history"
	back := backTo(r, history)
	for _, e := range record.Edits {
		if e.After == nil && isAbout(back, pageOf(base, e)) {
			back = history
		}
	}
	return s.goOn(w, r, back)
}

// pageOf is the address of the page of the item that was edited; empty where it
// has none that can go away.
func pageOf(base string, e rebuild.Edit) string {
	rooms := map[rebuild.Kind]string{
		rebuild.KindFinding: "findings", rebuild.KindJob: "jobs", rebuild.KindEntry: "ledger", rebuild.KindEvidence: "bench/evidence", rebuild.KindCase: "cases", rebuild.KindStripItem: "strip", rebuild.KindJoint: "joints", rebuild.KindTool: "tools", rebuild.KindOfficialTest: "official-tests",
		rebuild.KindPerson: "plan/people", rebuild.KindThing: "plan/things", rebuild.KindMilestone: "plan/milestones", rebuild.KindDelivery: "plan/waiting",
	}
	room, ok := rooms[e.Kind()]
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s/%s/%d", base, room, e.ID())
}

// isAbout reports whether the address is that page or lies below it.
func isAbout(address, page string) bool {
	u, err := url.Parse(address)
	return err == nil && page != "" && (u.Path == page || strings.HasPrefix(u.Path, page+"/"))
}
