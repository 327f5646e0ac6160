package browsertest

import (
	"context"
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
)

// What was typed survives a server that is lost while the form is sent.
func TestDraftSurvivesLostServer(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.open(car.path("/jobs/new"), http.StatusOK)
	b.write("#title", "Typed in the garage")
	b.pick("safety", "brake")
	b.write(`input[name="routes.1.cost.likely"]`, "75")
	b.write("#note", "second line\nof a note")

	b.loseWhileSending(s)
	b.open(car.path("/jobs/new"), http.StatusOK)
	b.holds(".draft-note", "was kept")
	for field, want := range map[string]string{
		"#title": "Typed in the garage", `input[name="routes.1.cost.likely"]`: "75", "#note": "second line\nof a note",
		`input[name="safety"]:checked`: "brake",
	} {
		if got := valueOf(b, field); got != want {
			t.Errorf("%s holds %q after the server came back; want %q", field, got, want)
		}
	}

	// Sent once more it arrives once, and the draft is gone.
	b.press(`form[data-draft] .actions button`)
	b.holds("main h1", "Typed in the garage")
	b.open(car.path("/jobs/new"), http.StatusOK)
	if b.text(".draft-note") != "" || valueOf(b, "#title") != "" {
		t.Error("the draft of a job that was entered comes back")
	}
	jobs := 0
	for _, j := range car.now().Jobs {
		if j.Title == "Typed in the garage" {
			jobs++
		}
	}
	if jobs != 1 {
		t.Errorf("the job was entered %d times", jobs)
	}
}

// The usual case in the garage: one finding after the other, each form on the page
// that says the one before was taken.
func TestDraftSurvivesAfterAnotherWasTaken(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.open(car.path("/findings?zone=cabin"), http.StatusOK)
	b.write("#what", "Belt frayed")
	b.press(`form[data-draft] .actions button`)
	b.holds(".did", "Belt frayed")
	taken := b.where()
	b.write("#what", "Seat rail bent")
	b.loseWhileSending(s)
	b.open(taken, http.StatusOK)
	b.holds(".draft-note", "was kept")
	if got := valueOf(b, "#what"); got != "Seat rail bent" {
		t.Errorf("after the server came back the form holds %q", got)
	}
	b.press(`form[data-draft] .actions button`)
	b.holds(".did", "Seat rail bent")
	if b.text(".draft-note") != "" || valueOf(b, "#what") != "" {
		t.Error("the draft of a finding that was entered comes back")
	}
}

// The start of a rebuild names no change, and yet its draft is done with.
func TestDraftOfAStartedRebuildIsGone(t *testing.T) {
	t.Parallel()
	b := newTab(t, serve(t))
	beginRebuild(b)
	b.open("/new", http.StatusOK)
	if b.text(".draft-note") != "" || valueOf(b, "#name") != "" {
		t.Error("the draft of a rebuild that was started comes back")
	}
}

// loseWhileSending sends the page's form to a server that is lost meanwhile.
func (b *tab) loseWhileSending(s *served) {
	b.t.Helper()
	b.watch.expect("ERR_EMPTY_RESPONSE")
	s.lost.Store(true)
	b.call(func(ctx context.Context) error {
		_, err := chromedp.RunResponse(ctx, chromedp.Click(chromedp.CSS(`form[data-draft] .actions button`)))
		if err == nil {
			b.t.Error("the form was sent although nobody answers")
		}
		return nil
	})
	s.lost.Store(false)
}

func valueOf(b *tab, selector string) string {
	b.t.Helper()
	return ask[string](b, "document.querySelector("+quote(selector)+")?.value ?? ''")
}
