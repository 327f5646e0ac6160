package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// handler is a page: it answers or returns why it cannot.
type handler func(http.ResponseWriter, *http.Request) error

// StatusError is an error with the status it should be answered with.
type StatusError struct {
	Status int
	Title  string
	Text   string
}

func (e *StatusError) Error() string { return e.Text }

func notFound(text string) error {
	return &StatusError{http.StatusNotFound, "Not found", text}
}

func badRequest(format string, args ...any) error {
	return &StatusError{http.StatusBadRequest, "That did not arrive whole", fmt.Sprintf(format, args...)}
}

// page turns a handler into an http.Handler; the one place where errors become
// responses.
func (s *Server) page(h handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			s.fail(w, r, err)
		}
	})
}

// errorPage is the data of the page that says what went wrong.
type errorPage struct {
	Frame
	Text   string
	Back   string // the page with the form that was sent; empty where none was
	Status int
}

func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil {
		return // whoever asked has gone on to another page
	}
	var conflict *rebuild.Conflict
	if errors.As(err, &conflict) {
		s.conflictShow(w, r, conflict)
		return
	}
	e := s.explain(err)
	if e.Status >= 500 {
		s.log.Error("request failed", "path", r.URL.Path, "error", err)
	}
	frame, _ := s.frame(r, e.Title, "", nil)
	if err := s.show(w, e.Status, "error", errorPage{Frame: frame, Text: e.Text, Back: formPage(r), Status: e.Status}); err != nil {
		http.Error(w, e.Text, e.Status)
	}
}

// explain puts an error into words for the person at the page.
func (s *Server) explain(err error) *StatusError {
	var status *StatusError
	var missing *rebuild.Missing
	var invalid *rebuild.Invalid
	var large *http.MaxBytesError
	var tooLarge *store.TooLarge
	switch {
	case errors.As(err, &status):
		return status
	case errors.As(err, &missing), errors.Is(err, store.ErrNoRebuild):
		return &StatusError{http.StatusNotFound, "Not there", "What you asked for is not in this book, or not any more: " + err.Error() + "."}
	case errors.As(err, &invalid):
		return &StatusError{http.StatusUnprocessableEntity, "That cannot be", err.Error() + "."}
	case errors.Is(err, store.ErrNothingToUndo), errors.Is(err, store.ErrNothingToRedo):
		return &StatusError{http.StatusConflict, "Nothing left", "Somebody was faster, or it was done in another tab: " + err.Error() + "."}
	case errors.As(err, &large), errors.As(err, &tooLarge):
		return &StatusError{http.StatusRequestEntityTooLarge, "Too large", "That is too large to take in: at most 50 MB a file, 200 MB at once, 16 MB of text."}
	}
	return &StatusError{http.StatusInternalServerError, "Something went wrong here", "The book is as it was before. What happened: " + err.Error() + "."}
}

// rebuildOf loads the rebuild that the address names.
func (s *Server) rebuildOf(r *http.Request) (*rebuild.Rebuild, error) {
	id, err := pathNumber(r, "rebuild")
	if err != nil {
		return nil, err
	}
	return s.workshop.Book().Load(r.Context(), id)
}

func pathNumber(r *http.Request, name string) (int64, error) {
	n, err := strconv.ParseInt(r.PathValue(name), 10, 64)
	if err != nil {
		return 0, notFound("There is no " + name + " " + strconv.Quote(r.PathValue(name)) + ".")
	}
	return n, nil
}

// change makes one change to the rebuild in the address and, when it is done,
// sends the browser on to a page that says so and offers the undo. to gets the
// record, for addresses that hold a new item's number.
func (s *Server) change(w http.ResponseWriter, r *http.Request, f func(*rebuild.Rebuild) (rebuild.Change, error), to func(store.Record) string) error {
	id, err := pathNumber(r, "rebuild")
	if err != nil {
		return err
	}
	_, record, err := s.workshop.Do(r.Context(), s.by(r), id, f)
	if err != nil {
		return err
	}
	return s.goOn(w, r, withDid(to(record), record.ID))
}

// by is who does it, and the token of the form it came with.
func (s *Server) by(r *http.Request) store.By {
	return store.By{Who: who(r), Request: sentAs(r)}
}

// sentAs tells a form that comes twice, which counts once, from one that was
// taken back to, written anew and sent, which is another: the form's token with
// a mark of what it holds.
func sentAs(r *http.Request) string {
	token := r.FormValue("request")
	if token == "" {
		return ""
	}
	held := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(r.PostForm)) {
		if name != "request" && name != "back" {
			fmt.Fprintf(held, "%q %q\n", name, r.PostForm[name])
		}
	}
	if r.MultipartForm != nil {
		for _, name := range slices.Sorted(maps.Keys(r.MultipartForm.File)) {
			for _, file := range r.MultipartForm.File[name] {
				fmt.Fprintf(held, "%q %q %d\n", name, file.Filename, file.Size)
			}
		}
	}
	return token + "." + hex.EncodeToString(held.Sum(nil)[:8])
}

// goOn redirects after a change, so that reloading does not repeat it.
func (s *Server) goOn(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func withDid(address string, record int64) string {
	u, err := url.Parse(address)
	if err != nil {
		return address
	}
	q := u.Query()
	q.Set("did", strconv.FormatInt(record, 10))
	u.RawQuery = q.Encode()
	return u.String()
}

// backTo is the page a small form came from, if it is one of this rebuild's;
// else the fallback. The address comes with the form and must not lead away.
func backTo(r *http.Request, fallback string) string {
	back := r.FormValue("back")
	u, err := url.Parse(back)
	if err != nil || back == "" || u.IsAbs() || u.Host != "" || !strings.HasPrefix(back, "/") || strings.HasPrefix(back, "//") || strings.Contains(back, "\\") {
		return fallback
	}
	q := u.Query()
	q.Del("did")
	u.RawQuery = q.Encode()
	return u.String()
}

// formPage is the page of this workbench on which the form stood that was sent,
// as the browser tells it, or where the form's address can be opened.
func formPage(r *http.Request) string {
	if r.Method != http.MethodPost {
		return ""
	}
	from, err := url.Parse(r.Referer())
	if err != nil || from.Host != r.Host || !strings.HasPrefix(from.Path, "/") || strings.HasPrefix(from.Path, "//") {
		return itemPath(r.URL.Path)
	}
	return (&url.URL{Path: from.Path, RawQuery: from.RawQuery}).String()
}

func unescape(s string) string {
	if u, err := url.QueryUnescape(s); err == nil {
		return u
	}
	return s
}
