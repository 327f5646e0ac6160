package browsertest

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
)

// Taps keep the clock on the wall over a reload; a mis-tap is taken back; what is
// kept is what was tapped.
func TestStopwatchKeepsItsTaps(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.width(phone)
	page := car.path(fmt.Sprintf("/bench/stopwatch?job=%d", car.upright))
	b.open(page, http.StatusOK)
	// The clock is turned by the test: a start every five minutes.
	ask[bool](b, `(() => { const real = Date; let now = real.parse('2026-05-04T18:00:00Z');
		window.Date = class extends real { constructor(...a) { a.length ? super(...a) : super(now) } static now() { return now } };
		window.ahead = ms => { now += ms }; return true })()`)
	tap := func(what string, ms int) {
		t.Helper()
		b.click(fmt.Sprintf(`[data-tap="%s"]`, what))
		ask[bool](b, fmt.Sprintf("(window.ahead(%d), true)", ms))
	}
	tap("on", 300_000)
	tap("on", 305_000)
	tap("used", 1000)
	b.holds("[data-laps]", "Start 2, after 5 min 0 s", "Something operated")
	b.click("[data-undo]")
	if laps := b.text("[data-laps]"); strings.Contains(laps, "operated") {
		t.Errorf("the mis-tap is still there: %s", laps)
	}
	b.open(page, http.StatusOK) // as after a locked screen
	b.holds("[data-laps]", "Start 2, after 5 min 0 s")
	b.holds(".draft-note", "was kept")
	kept := valueOf(b, "#taps")
	if strings.Count(kept, "\n") != 2 || strings.Contains(kept, "used") {
		t.Errorf("after the reload the list is %q", kept)
	}
	// Two touches of one thumb are one tap.
	before := strings.Count(kept, " on")
	ask[bool](b, `(() => { const now = Date.now(); Date.now = () => now; const big = document.querySelector('[data-tap="on"]'); big.click(); big.click(); return true })()`)
	if n := strings.Count(valueOf(b, "#taps"), " on"); n != before+1 {
		t.Errorf("two touches at once made %d taps", n-before)
	}
	b.press(`button[name="save"]`)
	b.holds("main", "cannot tell", "3 are asked for")
	r := car.now()
	if len(r.Evidence) != 1 || r.Evidence[0].JobID != car.upright || r.Evidence[0].Verdict != rebuild.VerdictCannotTell {
		t.Errorf("kept %+v", r.Evidence)
	}
	b.open(page, http.StatusOK)
	if b.text(".draft-note") != "" || valueOf(b, "#taps") != "" {
		t.Error("taps that were kept come back")
	}
}

// Readings called out from a gauge: the next one is one tap.
func TestGaugeIsCalledOut(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := startEmpty(t, s)
	b := newTab(t, s)
	b.open(car.path("/bench/stopwatch"), http.StatusOK)
	b.click("[data-pad] summary")
	b.click("[data-note]")
	for _, bar := range []string{"49", "48"} {
		b.click(fmt.Sprintf(`[data-steps] [data-bar="%s"]`, bar))
	}
	b.holds("[data-laps]", "50 bar", "49 bar", "48 bar")
	if lines := strings.Fields(valueOf(b, "#taps")); len(lines) != 6 || lines[1] != "50" || lines[5] != "48" {
		t.Errorf("the list is %q", lines)
	}
}

// sawToothLog is an invented log: pressure falls by ten bar in five minutes, five times.
func sawToothLog() string {
	var log strings.Builder
	log.WriteString("time_s,pressure_bar\n")
	for k := range 5 {
		for s := 0; s < 300; s += 2 {
			fmt.Fprintf(&log, "%d,%.2f\n", 305*k+s, 50-10*float64(s)/300)
		}
		for s := range 5 {
			fmt.Fprintf(&log, "%d,%d\n", 305*k+300+s, 40+2*s)
		}
	}
	return log.String()
}

// A log is sent, looked at closely and held against the accessibility rules.
func TestLogIsSentAndZoomed(t *testing.T) {
	t.Parallel()
	source := needAxe(t)
	s := serve(t)
	car := fill(t, s)
	log, err := s.book.PutFile(t.Context(), strings.NewReader(sawToothLog()), "skua.csv", "text/csv", 0)
	if err != nil {
		t.Fatal(err)
	}
	page := car.path("/bench/recharge?name=skua.csv&log=" + log.Hash)
	b := newTab(t, s)
	b.open(page, http.StatusOK)
	b.await("the plot", "document.querySelector('.zoom canvas') !== null")
	b.holds(".log-plot", "From 0 s to 25 min 24 s")
	b.click(".zoom-bar button:first-child")
	b.await("the closer look", "document.querySelector('.log-plot').textContent.includes('From 6 min 21 s to 19 min 3 s')")
	if ask[bool](b, "document.querySelector('.fig-at-desk').checkVisibility()") {
		t.Error("the drawn log is still shown beside the plot")
	}
	look(b, source, visit{name: "pressure log", path: page, status: http.StatusOK})
	b.noScripts()
	b.open(page, http.StatusOK)
	b.holds("main", "What the readings say", "The same as a table")
}

// A recording is sent: what the workbench reads goes as it is, and the page that
// says what was heard follows.
func TestRecordingIsSent(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := startEmpty(t, s)
	b := newTab(t, s)
	b.open(car.path("/bench/listen"), http.StatusOK)
	// A tone is made by the browser and named as what the workbench does not read.
	ask[bool](b, `(() => {
		const n = 16000 * 8, view = new DataView(new ArrayBuffer(44 + 2 * n))
		const text = (at, s) => [...s].forEach((c, i) => view.setUint8(at + i, c.charCodeAt(0)))
		text(0, 'RIFF'); view.setUint32(4, 36 + 2 * n, true); text(8, 'WAVEfmt '); view.setUint32(16, 16, true); view.setUint16(20, 1, true); view.setUint16(22, 1, true)
		view.setUint32(24, 16000, true); view.setUint32(28, 32000, true); view.setUint16(32, 2, true); view.setUint16(34, 16, true); text(36, 'data'); view.setUint32(40, 2 * n, true)
		for (let i = 0; i < n; i++) view.setInt16(44 + 2 * i, 3000 * Math.sin(i / 9), true)
		const files = new DataTransfer(); files.items.add(new File([view], 'phone.m4a', {type: 'audio/mp4'}))
		document.querySelector('#file').files = files.files
		return document.querySelector('#file').files.length === 1 })()`)
	b.click("form[data-progress] .actions button")
	b.await("what was heard", "document.querySelector('#heard') !== null")
	b.holds("main", "phone.wav", "heard in 8 s")
}

// While a long file is on its way the page says how far it is, and it can be
// called back.
func TestSendingIsCancelled(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := startEmpty(t, s)
	gone := make(chan struct{})
	pages := s.pages
	s.pages = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodPost {
			pages.ServeHTTP(w, r)
			return
		}
		_, _ = io.Copy(io.Discard, r.Body)
		<-r.Context().Done()
		close(gone)
	})
	b := newTab(t, s)
	b.open(car.path("/bench/recharge"), http.StatusOK)
	ask[bool](b, `(() => { const files = new DataTransfer(); files.items.add(new File(['time_s,pressure_bar\n'], 'log.csv', {type: 'text/csv'}))
		document.querySelector('#file').files = files.files; return true })()`)
	b.click("form[data-progress] .actions button")
	b.await("the progress", "document.querySelector('[data-way] progress') !== null")
	b.holds("[data-way]", "Sen")
	b.click("[data-way] button")
	b.holds("[data-way]", "Cancelled; nothing was kept.")
	select {
	case <-gone:
	case <-time.After(10 * time.Second):
		t.Error("the server was not told")
	}
	if where := b.where(); !strings.HasSuffix(where, "/bench/recharge") {
		t.Errorf("the page was left for %s", where)
	}
}
