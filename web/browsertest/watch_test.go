package browsertest

import (
	"fmt"
	"net/url"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
)

// watch collects what must not happen in a tab.
type watch struct {
	host string // the only one that may be asked

	mu     sync.Mutex
	faults []string
	allow  []string // words in log entries that the test provokes itself
}

// see takes an event of the browser. It must not block.
func (w *watch) see(event any) {
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		w.request(e.Request.URL)
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning || e.Entry.Source == log.EntrySourceSecurity {
			w.fault("log", fmt.Sprintf("%s (%s)", e.Entry.Text, e.Entry.URL))
		}
	case *runtime.EventExceptionThrown:
		text := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			text += " " + e.ExceptionDetails.Exception.Description
		}
		w.fault("exception", text)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning || e.Type == runtime.ConsoleAPICalledTypeAssert {
			var words []string
			for _, a := range e.Args {
				words = append(words, string(a.Value))
			}
			w.fault("console", strings.Join(words, " "))
		}
	}
}

func (w *watch) request(address string) {
	u, err := url.Parse(address)
	if err == nil && (u.Host == w.host || u.Scheme == "data" || u.Scheme == "blob" || u.Scheme == "about" || u.Scheme == "chrome-error") {
		return
	}
	w.fault("request", "to another host: "+address)
}

func (w *watch) fault(kind, text string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, words := range w.allow {
		if strings.Contains(text, words) {
			return
		}
	}
	w.faults = append(w.faults, kind+": "+text)
}

// expect lets log entries with these words pass from now on.
func (w *watch) expect(words string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.allow = append(w.allow, words)
}

// take gives the faults so far and forgets them.
func (w *watch) take() []string {
	w.mu.Lock()
	defer w.mu.Unlock()
	faults := w.faults
	w.faults = nil
	return faults
}

// reset forgets what was expected.
func (w *watch) reset() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.allow = nil
}
