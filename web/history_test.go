package web

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"wreckwright/rebuild"
)

// Undo on the page of an item that it takes away must not lead to a page that is
// not there.
func TestUndoLeadsToAPageThatIsThere(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Stain"})
	at := g.path(fmt.Sprintf("/findings/%d", id))
	g.wants(g.post(at, asPosted("Stain on the belt", "form", "edit", "rev", "0")), http.StatusSeeOther)
	for _, c := range []struct{ back, to string }{
		{at + "?did=3", at}, // the edit is taken back: the finding stays
		{at + "?did=2", g.path("/history")},
	} {
		w := g.post(g.path("/undo"), url.Values{"back": {c.back}})
		g.wants(w, http.StatusSeeOther)
		if to := w.Header().Get("Location"); to != c.to {
			t.Errorf("undo on %s leads to %q, want %q", c.back, to, c.to)
		}
		g.wants(g.get(w.Header().Get("Location")), http.StatusOK)
	}
	w := g.post(g.path("/redo"), url.Values{"back": {g.path("/findings")}})
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(at), http.StatusOK)
}

func TestUndoRefuses(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/undo"), url.Values{}), http.StatusConflict, "there is nothing to undo")
	g.wants(g.post(g.path("/redo"), url.Values{}), http.StatusConflict, "there is nothing to redo")
	g.find(rebuild.Finding{Zone: "cabin", What: "Stain"})
	g.wants(g.post(g.path("/undo"), url.Values{"record": {"latest"}}), http.StatusBadRequest, "Which change was meant")
	if n := len(g.now().Findings); n != 1 {
		t.Errorf("%d findings after an undo of nothing in particular", n)
	}
}

// The page that answers a form stands at an address that cannot be opened; what
// it leads back to can.
func TestRefusedFormLeadsBackToAPage(t *testing.T) {
	g := newSurveyRig(t)
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Belt", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen})
	})
	at := g.path(fmt.Sprintf("/jobs/%d", job))
	for action, fields := range map[string]url.Values{
		"/outcome": {"rev": {"0"}, "state": {"done"}, "hours_spent": {"many"}},
		"/routes":  {"kind": {"repair"}, "method": {"plain"}, "cost.likely": {"dear"}},
	} {
		w := g.post(at+action, fields)
		g.wants(w, http.StatusUnprocessableEntity, `name="back" value="`+at+`"`, `!name="back" value="`+at+action)
	}
}

func TestPagesThatMayGoAwayWithAnUndo(t *testing.T) {
	for item, want := range map[rebuild.Item]string{
		&rebuild.Case{ID: 4}: "/r/1/cases/4", &rebuild.StripItem{ID: 4}: "/r/1/strip/4", &rebuild.Joint{ID: 4}: "/r/1/joints/4", &rebuild.Tool{ID: 4}: "/r/1/tools/4",
	} {
		if got := pageOf("/r/1", rebuild.Edit{Before: item}); got != want {
			t.Errorf("the %s has the page %q, want %q", item.ItemKind(), got, want)
		}
	}
}
