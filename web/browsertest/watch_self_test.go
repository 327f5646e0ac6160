package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// A watch that sees nothing would let everything pass: each fault that it is
// there for is made once, on a page of this test's own.
func TestWatchSeesFaults(t *testing.T) {
	t.Parallel()
	s := serve(t)
	book := s.pages
	mux := http.NewServeMux()
	mux.Handle("/", book)
	mux.HandleFunc("/bad", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; img-src *")
		fmt.Fprint(w, `<!doctype html><html lang="en"><title>Bad</title><h1>Bad</h1><script>document.title = "ran"</script>
<img src="http://elsewhere.invalid/spy.png" alt=""><script src="/bad.js"></script><script src="/missing.js"></script></html>`)
	})
	mux.HandleFunc("/bad.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		fmt.Fprint(w, `console.error("said aloud"); setTimeout(function () { throw new Error("thrown") })`)
	})
	s.pages = mux
	b := newTab(t, s)
	b.open("/bad", http.StatusOK)
	b.await("the exception", "document.readyState === 'complete'")
	all := ""
	wanted := []string{
		"Content Security Policy", "request: to another host: http://elsewhere.invalid/spy.png",
		"console: \"said aloud\"", "thrown", "404",
	}
	for range 200 {
		all += strings.Join(b.watch.take(), "\n")
		if missing(all, wanted) == "" {
			return
		}
		ask[int](b, "new Promise(r => setTimeout(() => r(1), 10))")
	}
	t.Errorf("the watch did not see %q; it saw:\n%s", missing(all, wanted), all)
}

func missing(all string, wanted []string) string {
	for _, w := range wanted {
		if !strings.Contains(all, w) {
			return w
		}
	}
	return ""
}
