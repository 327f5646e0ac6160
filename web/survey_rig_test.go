package web

import (
	"bytes"
	"fmt"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// surveyRig is the server over a real book with one invented car, for the pages
// on which a car is walked round: findings, zones, the car, files.
type surveyRig struct {
	t      testing.TB
	book   *store.Book
	server *Server
	id     int64
}

func newSurveyRig(t testing.TB) *surveyRig {
	t.Helper()
	book, err := store.Open(t.Context(), t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return "2026-05-04" })
	t.Cleanup(func() {
		if err := shop.Close(); err != nil {
			t.Error(err)
		}
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	server, err := New(shop, Options{Now: func() time.Time { return time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC) }})
	if err != nil {
		t.Fatal(err)
	}
	server.logs.patience, server.ears.patience = time.Minute, time.Minute // no page of a test waits but for the answer
	rb, err := book.Start(t.Context(), store.By{Who: "Kim"}, rebuild.Car{
		Name: "Norvane Skua", Jurisdiction: "UK", Category: "S", DistanceUnit: "mi", Currency: "GBP", Correlation: 0.25,
	})
	if err != nil {
		t.Fatal(err)
	}
	return &surveyRig{t, book, server, rb.ID}
}

func (g *surveyRig) path(p string) string { return fmt.Sprintf("/r/%d%s", g.id, p) }

func (g *surveyRig) now() *rebuild.Rebuild {
	g.t.Helper()
	rb, err := g.book.Load(g.t.Context(), g.id)
	if err != nil {
		g.t.Fatal(err)
	}
	return rb
}

// do makes a change as if from another tab and gives the number of what it
// touched.
func (g *surveyRig) do(f func(*rebuild.Rebuild) (rebuild.Change, error)) int64 {
	g.t.Helper()
	_, record, err := g.book.Do(g.t.Context(), store.By{Who: "Robin"}, g.id, f)
	if err != nil {
		g.t.Fatal(err)
	}
	return record.Edits[0].ID()
}

func (g *surveyRig) find(f rebuild.Finding) int64 {
	g.t.Helper()
	if f.HowFound == "" {
		f.HowFound = rebuild.Seen
	}
	if f.Severity == "" {
		f.Severity = rebuild.Minor
	}
	if f.On == "" {
		f.On = "2026-05-01"
	}
	return g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddFinding(f) })
}

func (g *surveyRig) answer(r *http.Request) *httptest.ResponseRecorder {
	r.Host = "127.0.0.1:4173"
	w := httptest.NewRecorder()
	g.server.ServeHTTP(w, r)
	return w
}

func (g *surveyRig) get(path string, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("GET", path, nil)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return g.answer(r)
}

func (g *surveyRig) post(path string, values url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", path, strings.NewReader(values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return g.answer(r)
}

// upload posts a form as a browser does one with files; name and content are of
// a photo.
func (g *surveyRig) upload(path string, values url.Values, name string, content []byte) *httptest.ResponseRecorder {
	g.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for field, list := range values {
		for _, v := range list {
			if err := form.WriteField(field, v); err != nil {
				g.t.Fatal(err)
			}
		}
	}
	part, err := form.CreateFormFile("photos", name)
	if err == nil {
		_, err = part.Write(content)
	}
	if err != nil {
		g.t.Fatal(err)
	}
	if err := form.Close(); err != nil {
		g.t.Fatal(err)
	}
	r := httptest.NewRequest("POST", path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return g.answer(r)
}

// wants checks the status and that the page holds the texts; one that begins
// with "!" must not be there.
func (g *surveyRig) wants(w *httptest.ResponseRecorder, status int, texts ...string) {
	g.t.Helper()
	if w.Code != status {
		g.t.Fatalf("status %d, want %d: %s", w.Code, status, w.Body)
	}
	for _, text := range texts {
		unwanted, is := strings.CutPrefix(text, "!")
		if is == strings.Contains(w.Body.String(), strings.TrimPrefix(text, "!")) {
			g.t.Errorf("the page holds %q: %t", unwanted, is)
		}
	}
}

// keepFile puts a file into the book as an upload does.
func (g *surveyRig) keepFile(name, mediaType string, content []byte) rebuild.Attachment {
	g.t.Helper()
	a, err := g.book.PutFile(g.t.Context(), bytes.NewReader(content), name, mediaType, 0)
	if err != nil {
		g.t.Fatal(err)
	}
	return a
}
