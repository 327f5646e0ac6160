package web

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"testing/iotest"

	"wreckwright/rebuild"
)

// asIs sends a request without what the rig would add.
func (g *surveyRig) asIs(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	g.server.ServeHTTP(w, r)
	return w
}

func TestForeignHostsAreRefused(t *testing.T) {
	g := newSurveyRig(t)
	g.server.options.Hosts = []string{"192.0.2.7:4173"}
	for host, want := range map[string]int{
		"127.0.0.1:4173": 200, "127.0.0.1": 200, "[::1]:4173": 200, "localhost:9": 200, "LOCALHOST": 200, "192.0.2.7:4173": 200,
		"192.0.2.7:80": 421, "192.0.2.7": 421, "localhost.example": 421, "127.0.0.1.example:4173": 421, "example": 421, "": 421,
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Host = host
		if got := g.asIs(r).Code; got != want {
			t.Errorf("host %q is answered with %d, want %d", host, got, want)
		}
	}
}

func TestForeignPagesCannotChangeTheBook(t *testing.T) {
	g := newSurveyRig(t)
	for _, c := range []struct {
		name, value string
		want        int
	}{
		{"Sec-Fetch-Site", "cross-site", http.StatusForbidden},
		{"Sec-Fetch-Site", "same-site", http.StatusForbidden}, // another port of this machine
		{"Origin", "http://127.0.0.1:8080", http.StatusForbidden},
		{"Origin", "null", http.StatusForbidden},
		{"Sec-Fetch-Site", "same-origin", http.StatusSeeOther},
		{"Origin", "http://127.0.0.1:4173", http.StatusSeeOther},
	} {
		before := len(g.now().Findings)
		r := httptest.NewRequest(http.MethodPost, g.path("/findings"), strings.NewReader(asPosted("Stain").Encode()))
		r.Host = "127.0.0.1:4173"
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set(c.name, c.value)
		w := g.asIs(r)
		added := len(g.now().Findings) > before
		if w.Code != c.want || added != (c.want == http.StatusSeeOther) {
			t.Errorf("%s %s: answered %d, added %t; want %d", c.name, c.value, w.Code, added, c.want)
		}
	}
}

func TestPagesForbidWhatIsInline(t *testing.T) {
	g := newSurveyRig(t)
	for _, path := range []string{"/", g.path("/now"), "/nowhere"} {
		h := g.get(path).Header()
		csp := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
			if !strings.Contains(csp, want) {
				t.Errorf("%s: the policy %q lacks %s", path, csp, want)
			}
		}
		if strings.Contains(csp, "unsafe") || h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %v", path, h)
		}
	}
}

// Without files a form is held in memory: it may not be as large as one with.
func TestHugeFormsAreRefused(t *testing.T) {
	g := newSurveyRig(t)
	w := g.post(g.path("/findings"), url.Values{"zone": {"cabin"}, "what": {strings.Repeat("a", maxFields)}})
	g.wants(w, http.StatusRequestEntityTooLarge, "too large to take in")
	g.wants(g.post("/who", url.Values{"who": {strings.Repeat("a", mostWho+1)}}), http.StatusUnprocessableEntity, "at most 40 letters")
	w = g.post("/who", url.Values{"who": {"Kim\r\nSet-Cookie: a=b"}})
	if cookies := w.Result().Cookies(); len(cookies) != 1 || strings.ContainsAny(cookies[0].Value, "\r\n ") {
		t.Errorf("the name became %v", cookies)
	}
}

// The way back comes with the form and must not lead out of the workbench.
func TestWayBackStaysHere(t *testing.T) {
	g := newSurveyRig(t)
	for back, want := range map[string]string{
		"/r/1/jobs?state=open&did=7": "/r/1/jobs?state=open",
		"":                           "/",
		"https://example.org/":       "/",
		"//example.org/":             "/",
		"/\\example.org":             "/",
		"\\\\example.org":            "/",
		"/\t/example.org":            "/",
		"/%09/example.org":           "/%09/example.org",
		"javascript:alert(1)":        "/",
		"/..//example.org/":          "/example.org/",
		"r/1/jobs":                   "/",
	} {
		w := g.post("/who", url.Values{"who": {"Kim"}, "back": {back}})
		if to := w.Header().Get("Location"); w.Code != http.StatusSeeOther || to != want {
			t.Errorf("back to %q leads to %d %q, want %q", back, w.Code, to, want)
		}
	}
}

// A form that did not arrive whole is no empty form.
func TestBrokenFormsChangeNothing(t *testing.T) {
	g := newSurveyRig(t)
	g.find(rebuild.Finding{Zone: "cabin", What: "Stain"})
	broken := func(path, kind string, body io.Reader) *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, path, body)
		r.Header.Set("Content-Type", kind)
		return g.answer(r)
	}
	cut := func(text string) io.Reader {
		return io.MultiReader(strings.NewReader(text), iotest.ErrReader(io.ErrUnexpectedEOF))
	}
	for name, w := range map[string]*httptest.ResponseRecorder{
		"cut off":            broken(g.path("/undo"), "application/x-www-form-urlencoded", cut("back=%2Fr%2F1&rec")),
		"ill-formed":         broken(g.path("/undo"), "application/x-www-form-urlencoded", strings.NewReader("record=%zz")),
		"multipart, cut off": broken(g.path("/undo"), "multipart/form-data; boundary=b", cut("--b\r\nContent-Disposition: form-data; name=\"record\"\r\n\r\n")),
		"without a boundary": broken(g.path("/undo"), "multipart/form-data", strings.NewReader("--b")),
	} {
		if w.Code != http.StatusBadRequest || !strings.Contains(w.Body.String(), "could not be read") {
			t.Errorf("%s: answered %d", name, w.Code)
		}
	}
	if n := len(g.now().Findings); n != 1 {
		t.Errorf("a broken form undid the finding")
	}
}

// A slider that moves on gives up what it asked before: no fault of anybody's.
func TestReaderThatWentOnIsNoFault(t *testing.T) {
	g := newSurveyRig(t)
	var log strings.Builder
	g.server.log = slog.New(slog.NewTextHandler(&log, nil))
	ctx, gone := context.WithCancel(t.Context())
	gone()
	g.answer(httptest.NewRequest(http.MethodGet, g.path("/money"), nil).WithContext(ctx))
	if log.Len() > 0 {
		t.Errorf("logged %s", &log)
	}
}
