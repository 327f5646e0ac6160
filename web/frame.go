package web

import (
	"crypto/rand"
	"net/http"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/language"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// Frame is what the layout needs around every page. Page data embed it.
type Frame struct {
	Title   string
	Section string           // of the rebuild's pages: now, findings, jobs, ledger, money, car, history
	Rebuild *rebuild.Rebuild // nil in the yard
	Undo    *store.Record    // what undo would take back
	Redo    *store.Record
	Did     *store.Record // what was just done, shown once
	Request string        // token of this page's forms: a form sent twice counts once
	Who     string
	Today   string
	Path    string // of this page, to come back to
	Sample  bool   // the demo book
	Lang    string

	style amount.Style
}

// frame gathers the layout's data. The rebuild is nil for pages outside one.
func (s *Server) frame(r *http.Request, title, section string, rb *rebuild.Rebuild) (Frame, error) {
	tag := readerLocale(r)
	f := Frame{
		Title: title, Section: section, Rebuild: rb, Request: rand.Text(),
		Who: who(r), Today: s.today(), Path: pagePath(r), Sample: s.options.Sample,
		Lang: tag, style: amount.NewStyle(tag),
	}
	if rb == nil {
		return f, nil
	}
	var err error
	if f.Undo, err = s.workshop.Book().CanUndo(r.Context(), rb.ID); err != nil {
		return f, err
	}
	if f.Redo, err = s.workshop.Book().CanRedo(r.Context(), rb.ID); err != nil {
		return f, err
	}
	if did, err := strconv.ParseInt(r.URL.Query().Get("did"), 10, 64); err == nil && f.Undo != nil && f.Undo.ID == did {
		f.Did = f.Undo
	}
	return f, nil
}

// pagePath is where the page can be opened again. The answer to a form stands at
// an address that may only take forms.
func pagePath(r *http.Request) string {
	if r.Method == http.MethodPost {
		return itemPath(r.URL.Path)
	}
	return r.URL.RequestURI()
}

// readerLocale is the first language the browser asks for, for numbers only:
// the words are English.
func readerLocale(r *http.Request) string {
	tags, _, err := language.ParseAcceptLanguage(r.Header.Get("Accept-Language"))
	if err != nil || len(tags) == 0 {
		return "en-GB"
	}
	return tags[0].String()
}

// mostWho is how many letters the name of who works here may have.
const mostWho = 40

// who is the name under which changes are kept, out of a cookie.
func who(r *http.Request) string {
	c, err := r.Cookie("who")
	if err != nil {
		return "workshop"
	}
	name := strings.TrimSpace(unescape(c.Value))
	if name == "" || utf8.RuneCountInString(name) > mostWho {
		return "workshop"
	}
	return name
}

// Base is the address of the rebuild's pages, "/r/3".
func (f Frame) Base() string {
	if f.Rebuild == nil {
		return "/"
	}
	return "/r/" + strconv.FormatInt(f.Rebuild.ID, 10)
}

// Money shows an exact amount in the reader's locale.
func (f Frame) Money(a amount.Amount) string { return f.style.Show(a) }

// Whole shows an estimated sum in whole units of the rebuild's currency.
func (f Frame) Whole(v float64) string {
	code := ""
	if f.Rebuild != nil {
		code = f.Rebuild.Car.Currency
	}
	return f.wholeIn(v, code)
}

// wholeIn shows an estimated sum in whole units of a currency.
func (f Frame) wholeIn(v float64, code string) string {
	return f.style.ShowWhole(amount.FromFloat(v, code))
}

// WholeOf shows an exact amount in whole units.
func (f Frame) WholeOf(a amount.Amount) string { return f.style.ShowWhole(a) }

// ago says how long ago a moment was, roughly.
func (s *Server) ago(t time.Time) string {
	d := s.now().Sub(t)
	switch {
	case d < time.Minute:
		return "just now"
	case d < time.Hour:
		return plural(int(d.Minutes()), "minute ago", "minutes ago")
	case d < 48*time.Hour:
		return plural(int(d.Hours()), "hour ago", "hours ago")
	}
	return plural(int(d.Hours()/24), "day ago", "days ago")
}
