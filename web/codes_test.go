package web

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// script posts as the page's own script does.
func (g *surveyRig) script(path string, body io.Reader) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", path, body)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("HX-Request", "true")
	return g.answer(r)
}

func itoa(id int64) string { return fmt.Sprint(id) }

func has(t *testing.T, page string, wanted ...string) {
	t.Helper()
	for _, w := range wanted {
		if !strings.Contains(page, w) {
			t.Errorf("%q is missing in %s", w, page)
		}
	}
}

// A record before the work and one after it: each code explained, made a finding
// once, held against the other; what was kept reads the same anew.
func TestCodesAreKeptAndHeldAgainstEachOther(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/codes")
	g.wants(g.get(at), 200, "Paste or type", "United Kingdom")
	g.wants(g.post(at, url.Values{"text": {""}}), 422, "paste or type what the reader shows")
	g.wants(g.post(at, url.Values{"text": {"hello"}, "do": {"look"}}), 422, "no code and no answer", "hello</textarea>")
	page := g.post(at, url.Values{"text": {"P0301\nP1234\n41 0C 1A F8\nPO420"}, "place": {"UK"}, "do": {"look"}})
	g.wants(page, 200, "cylinder 1", "maker&#39;s own", "1\u202f726 1/min", "P0420</strong>?", "Cannot tell", "one tap")
	for _, fault := range checkStructure(page.Body.String()) {
		t.Error(fault)
	}
	w := g.post(at, url.Values{"text": {"P0301\nP0420"}, "place": {"US"}, "model_year": {"2012"}, "do": {"keep"}, "on": {"2026-05-01"}})
	g.wants(w, http.StatusSeeOther)
	first := g.now().Evidence[0]
	record := g.path("/bench/evidence/" + itoa(first.ID))
	g.wants(g.get(record), 200, "Make it a finding", "Open a case", "cases/new?title=P0301")
	for range 2 {
		g.wants(g.post(record+"/finding", url.Values{"code": {"P0301"}}), http.StatusSeeOther)
	}
	g.wants(g.post(record+"/finding", url.Values{"code": {"P9999"}}), 404)
	rb := g.now()
	if len(rb.Findings) != 1 || rb.Findings[0].Zone != "engine-bay" || rb.Findings[0].HowFound != rebuild.FaultCode {
		t.Fatalf("%+v", rb.Findings)
	}
	g.wants(g.get(record), 200, "Is a finding")
	// Lamp off, no code, spark ignition, all complete.
	w = g.post(at, url.Values{"text": {"P0420 P0171\n41 01 00 07 65 00"}, "place": {"US"}, "model_year": {"2012"}, "against": {itoa(first.ID)}, "do": {"keep"}})
	g.wants(w, http.StatusSeeOther)
	second := g.now().Evidence[1]
	if second.Verdict != rebuild.VerdictCannotTell {
		t.Errorf("codes that still stand let it %s: %s", second.Verdict, second.Why)
	}
	shown := g.get(g.path("/bench/evidence/" + itoa(second.ID)))
	g.wants(shown, 200, "Against the record before", "<dt>Gone</dt><dd><code>P0301</code>", "<dt>Still there</dt><dd><code>P0420</code>", "<dt>New</dt><dd><code>P0171</code>", "catalyst")
	again, err := g.server.workshop.CodesOf(t.Context(), &second)
	if err != nil || again.Why != second.Why || again.Verdict != second.Verdict {
		t.Errorf("read anew: %q, %v; kept: %q", again.Why, err, second.Why)
	}
}

// Only self-tests that will do, with no code left, pass.
func TestCodesPassOnlyWithoutCodes(t *testing.T) {
	g := newSurveyRig(t)
	for text, want := range map[string]rebuild.Verdict{
		"no codes\n41 01 00 07 65 00":    rebuild.VerdictPass,
		"P0301\n41 01 00 07 65 00":       rebuild.VerdictCannotTell,
		"41 01 81 07 65 00\n43 01 03 01": rebuild.VerdictFail,
		"41 01 00 07 65 65":              rebuild.VerdictFail,
		"no codes":                       rebuild.VerdictCannotTell,
	} {
		g.wants(g.post(g.path("/bench/codes"), url.Values{"text": {text}, "place": {"US"}, "model_year": {"2012"}, "do": {"keep"}}), http.StatusSeeOther)
		all := g.now().Evidence
		if got := all[len(all)-1]; got.Verdict != want {
			t.Errorf("%q: %s (%s); want %s", text, got.Verdict, got.Why, want)
		}
	}
}

// Long and strange texts are borne.
func TestCodesBearExtremes(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/codes")
	var many strings.Builder
	for i := range 900 {
		fmt.Fprintf(&many, "P%04X <i>\n", 0x0100+i)
	}
	w := g.post(at, url.Values{"text": {many.String() + strings.Repeat("41 0C 1A F8\n", 300)}, "do": {"keep"}})
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "900 fault codes")
	g.wants(g.post(at, url.Values{"text": {"P0301"}, "place": {"Atlantis"}}), 422, "choose where the inspection is")
	g.wants(g.post(at, url.Values{"text": {"P0301"}, "model_year": {"12"}}), 422, "cannot be")
}
