package web

import (
	"net/http"
	"strconv"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// inspectedSave keeps what came of looking at an item: one tap in the list, or the
// form of its page with value, note and measurement.
func (s *Server) inspectedSave(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	item, ok := knowledge.InspectionItemFor(r.PathValue("item"))
	if !ok {
		return notFound("There is no such item in the list. The page Inspection has them all.")
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	seen := rebuild.Rehearsed{Key: item.Key, Rev: f.rev(), Result: rebuild.ItemResult(f.Value("result")), At: s.now().Format(time.RFC3339), By: who(r)}
	if old := rb.RehearsedItem(item.Key); f.Has("tap", "1") {
		if old != nil { // a tap says only how it is
			seen.Value, seen.Note, seen.EvidenceID = old.Value, old.Note, old.EvidenceID
		}
	} else {
		seen.Value, seen.Note = f.optional("value", "the value"), f.Value("note")
		seen.EvidenceID = f.whole("evidence", "the measurement")
	}
	if seen.Result == rebuild.ItemNone && !item.MayNotApply {
		f.problem("result", "every car has this; it can only pass, be near its end, or fail")
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.Rehearse(seen, item.Name) },
			func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/inspection#" + item.Key })
		if !f.take(err) {
			return err
		}
	}
	return s.inspectedForm(w, r, http.StatusUnprocessableEntity, rb, f)
}

// inspectedForget sets an item back to not looked at.
func (s *Server) inspectedForget(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	item, ok := knowledge.InspectionItemFor(r.PathValue("item"))
	if !ok {
		return notFound("There is no such item in the list. The page Inspection has them all.")
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	rev := f.rev()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.Unlook(item.Key, rev, item.Name) },
		func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/inspection#" + item.Key })
}

func evidenceOption(id int64) string {
	if id == 0 {
		return ""
	}
	return strconv.FormatInt(id, 10)
}

// mostEvidenceOptions bounds the list to choose from: the latest.
const mostEvidenceOptions = 100

// evidenceOptions are the measurements to lean on, the latest first.
func evidenceOptions(rb *rebuild.Rebuild) []Option {
	options := []Option{{"", "None"}}
	for i := len(rb.Evidence) - 1; i >= 0 && len(options) <= mostEvidenceOptions; i-- {
		e := &rb.Evidence[i]
		options = append(options, Option{evidenceOption(e.ID), e.Title + ", " + day(e.On) + ": " + string(e.Verdict)})
	}
	return options
}
