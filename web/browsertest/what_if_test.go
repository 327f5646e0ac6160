package browsertest

import (
	"net/http"
	"sync"
	"testing"
	"time"
)

// Moving a slider answers within the page, without leaving it.
func TestWhatIfAnswersInThePage(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	var mu sync.Mutex
	var took []time.Duration
	pages := s.pages
	s.pages = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		pages.ServeHTTP(w, r)
		if r.URL.Path == car.path("/money/what-if") {
			mu.Lock()
			defer mu.Unlock()
			took = append(took, time.Since(began))
			if r.Header.Get("HX-Request") != "true" {
				t.Error("the slider asked for a whole page")
			}
		}
	})
	b := newTab(t, s)
	b.open(car.path("/money"), http.StatusOK)
	ask[bool](b, "window.stayed = true")
	slider := ask[string](b, "'#' + document.querySelector('.what-if input[type=range]').id")
	before := b.text("#what-if")
	b.do("focus", focus(slider))
	for range 3 {
		b.key(arrowRight)
	}
	b.await("the answer", "document.querySelector('#what-if table') !== null")
	if now := b.text("#what-if"); now == before {
		t.Errorf("the answer still says %q", now)
	}
	if shown, value := b.text(slider+"-now"), valueOf(b, slider); len(shown) < len(value) || shown[:len(value)] != value {
		t.Errorf("the figure beside the slider says %q; its value is %s", shown, value)
	}
	if !ask[bool](b, "window.stayed === true") {
		t.Error("the page was left")
	}
	mu.Lock()
	defer mu.Unlock()
	for _, d := range took {
		t.Logf("a what-if took %v of server time", d)
	}
}
