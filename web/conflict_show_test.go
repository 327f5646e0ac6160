package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// The two versions speak in words, and what differs stands before the rest.
func TestConflictShowsWhatDiffersFirst(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "front-left-wing", What: "Dent", Safety: true, Severity: rebuild.Major, On: "2026-05-02"})
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		f := *rb.Finding(id)
		f.What, f.Zone = "Dent and crack", "cabin"
		return rb.EditFinding(f)
	})
	w := g.post(g.path(fmt.Sprintf("/findings/%d", id)), asPosted("Deep dent", "form", "edit", "rev", "0", "zone", "front-left-wing", "safety", "1"))
	g.wants(w, http.StatusConflict, "<dt>Touches safety</dt><dd>yes</dd>", "<dt>How found</dt>", "<dt>Date</dt><dd>2 May 2026</dd>", "!how_found</dt>", "!front-left-wing</")
	for _, side := range strings.Split(w.Body.String(), `class="facts conflict-differs">`)[1:] {
		differs, _, _ := strings.Cut(side, "</dl>")
		if strings.Count(differs, "<dt>") != 2 || !strings.Contains(differs, "<dt>What</dt>") || !strings.Contains(differs, "<dt>Zone</dt>") {
			t.Errorf("what differs: %s", differs)
		}
	}
}

// A box whose tick was taken off is not sent, and differs all the same.
func TestConflictOverABoxLeftEmpty(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Dent", Safety: true, Severity: rebuild.Major, On: "2026-05-02"})
	w := g.post(g.path(fmt.Sprintf("/findings/%d", id)), asPosted("Dent", "form", "edit", "rev", "7"))
	g.wants(w, http.StatusConflict, "<dt>Touches safety</dt><dd><strong>yes</strong>", "<dt>Touches safety</dt><dd><strong>no</strong>")
}

func TestRouteDeletedWhileItsFormIsOpen(t *testing.T) {
	g := newSurveyRig(t)
	id := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Sill", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen, Routes: []rebuild.Route{{Kind: rebuild.Used, Method: rebuild.MethodPlain, Name: "From a breaker", Works: 1}}})
	})
	route := g.now().Job(id).Routes[0].ID
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.DeleteRoute(id, 0, route) })
	at := g.path(fmt.Sprintf("/jobs/%d/routes/%d", id, route))
	g.wants(g.post(at, url.Values{"rev": {"0"}, "name": {"From a breaker"}, "basis": {"An offer"}}), http.StatusConflict, "The route “From a breaker” is not there any more", "An offer")
	g.wants(g.get(at), http.StatusNotFound)
}

func TestFieldsHaveWords(t *testing.T) {
	for name, want := range map[string]string{
		"how_found": "How found", "cost.low": "Cost, low", "on": "Date", "caption.0a1b": "Caption", "way.cost.high": "Way, cost, high",
	} {
		if got := fieldLabel(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
