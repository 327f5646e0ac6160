package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/report"
)

// makes posts the form of the page and follows it to the page that says it is made.
func (g *surveyRig) makes(fields url.Values) string {
	g.t.Helper()
	w := g.post(g.path("/build-file"), fields)
	g.wants(w, http.StatusSeeOther)
	to, err := url.Parse(w.Header().Get("Location"))
	if err != nil || to.Query().Get("made") == "" {
		g.t.Fatalf("it leads to %q, %v", w.Header().Get("Location"), err)
	}
	g.wants(g.get(to.String()), http.StatusOK, "It is made", to.Query().Get("made"))
	return to.Query().Get("made")
}

func newBuildFileRig(t *testing.T) *surveyRig {
	g := newSurveyRig(t)
	g.server.built.patience = g.server.logs.patience
	g.find(rebuild.Finding{Zone: "cabin", What: "Belt locked", Severity: rebuild.Danger, Safety: true})
	return g
}

// The whole of it: the page, a full edition, a redacted one, the download that
// checks, the list.
func TestBuildFileIsMadeAndChecks(t *testing.T) {
	g := newBuildFileRig(t)
	g.wellBuilt(g.path("/build-file"))
	g.wants(g.get(g.path("/build-file")), 200, "1 findings", "22 points are open", "Belt locked", "None yet")
	g.wants(g.get(g.path("/car")), 200, g.path("/build-file"))
	full := g.makes(url.Values{"edition": {"full"}, "money": {"1"}, "request": {"token-of-a-form-1"}})
	w := g.get(g.path("/build-file/" + full))
	g.wants(w, 200)
	if kind := w.Header().Get("Content-Type"); kind != "application/zip" {
		t.Errorf("it comes as %s", kind)
	}
	c, err := report.Check(t.Context(), bytes.NewReader(w.Body.Bytes()), int64(w.Body.Len()), full)
	if err != nil || len(c.Wrong)+len(c.Differs) > 0 || c.Manifest.Rebuild != g.id {
		t.Errorf("%+v, %v", c, err)
	}
	if again := g.makes(url.Values{"edition": {"full"}, "money": {"1"}, "request": {"token-of-a-form-1"}}); again != full {
		t.Errorf("a form sent twice made another: %s", again)
	}
	redacted := g.makes(url.Values{"edition": {"redacted"}, "request": {"token-of-a-form-2"}})
	g.wants(g.get(g.path("/build-file")), 200, full, redacted, "full, with money")
	g.wellBuilt(g.path("/build-file"))
}

func TestBuildFileFormIsRefused(t *testing.T) {
	g := newBuildFileRig(t)
	for says, fields := range map[string]url.Values{
		"choose an edition":              {},
		"choose an edition: full":        {"edition": {"other"}},
		"holds neither sums":             {"edition": {"redacted"}, "money": {"1"}},
		"can only stay in original":      {"edition": {"full"}, "positions": {"1"}},
		"neither sums nor original phot": {"edition": {"redacted"}, "originals": {"1"}},
	} {
		g.wants(g.post(g.path("/build-file"), fields), http.StatusUnprocessableEntity, says)
	}
}

// Only what was made for this car can be fetched, whatever the address says.
func TestBuildFileAddresses(t *testing.T) {
	g := newBuildFileRig(t)
	name := g.makes(url.Values{"edition": {"full"}})
	for _, bad := range []string{"other.zip", "..%2fbook.db", "%2e%2e%2fbook.db", name + "x", strings.TrimSuffix(name, ".zip")} {
		g.wants(g.get(g.path("/build-file/"+bad)), http.StatusNotFound)
	}
	g.wants(g.get("/r/99/build-file"), http.StatusNotFound)
	g.wants(g.get("/r/99/build-file/"+name), http.StatusNotFound)
}

// While it is made, a page says how far it is and can call it back.
func TestBuildFileUnderWay(t *testing.T) {
	g := newBuildFileRig(t)
	g.server.built.turn.Lock()
	g.server.built.patience = 0
	w := g.post(g.path("/build-file"), url.Values{"edition": {"full"}, "request": {"token-of-a-form-3"}})
	g.wants(w, http.StatusSeeOther)
	at := w.Header().Get("Location")
	w = g.get(at)
	g.wants(w, http.StatusAccepted, "Making the build file", "0 %", "waits for its turn")
	for _, fault := range checkStructure(w.Body.String()) {
		t.Error(fault)
	}
	key := between(t, w.Body.String(), `name="key" value="`, `"`)
	g.wants(g.post(g.path("/build-file"), url.Values{"stop": {"1"}, "key": {key}}), http.StatusSeeOther)
	g.server.built.turn.Unlock()
	g.server.built.patience = g.server.logs.patience
	w = g.get(at)
	g.wants(w, http.StatusSeeOther)
	if to := w.Header().Get("Location"); to != g.path("/build-file") {
		t.Errorf("what was called back leads to %s", to)
	}
	if list, err := g.server.workshop.Built(t.Context(), g.id); err != nil || len(list) != 0 {
		t.Errorf("%v, %v", list, err)
	}
}
