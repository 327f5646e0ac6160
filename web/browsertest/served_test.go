package browsertest

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"wreckwright/demo"
	"wreckwright/store"
	"wreckwright/web"
	"wreckwright/workshop"
)

// served is a book in a temporary folder with its pages on a port of this
// machine. The pages can be lost and come back, as a garage's wireless does.
type served struct {
	t       *testing.T
	book    *store.Book
	pages   http.Handler
	address string // "127.0.0.1:40123"
	lost    atomic.Bool
}

// today is the day of all these tests.
var today = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func serve(t *testing.T) *served {
	t.Helper()
	return serveFolder(t, t.TempDir(), false, "")
}

// serveDemo serves the invented example book.
func serveDemo(t *testing.T) *served {
	t.Helper()
	dir := t.TempDir()
	if err := demo.Build(t.Context(), dir, today); err != nil {
		t.Fatal(err)
	}
	return serveFolder(t, dir, true, "")
}

func serveFolder(t *testing.T, dir string, sample bool, dev string) *served {
	t.Helper()
	now := func() time.Time { return today }
	book, err := store.Open(t.Context(), dir, store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return today.Format(time.DateOnly) })
	pages, err := web.New(shop, web.Options{Now: now, Sample: sample, Dev: dev})
	if err != nil {
		t.Fatal(err)
	}
	s := &served{t: t, book: book, pages: pages}
	server := httptest.NewServer(s)
	s.address = server.Listener.Addr().String()
	t.Cleanup(func() {
		server.Close()
		if err := shop.Close(); err != nil {
			t.Error(err)
		}
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// ServeHTTP answers with the pages or, while they are lost, breaks the connection.
func (s *served) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if s.lost.Load() {
		panic(http.ErrAbortHandler)
	}
	s.pages.ServeHTTP(w, r)
}
