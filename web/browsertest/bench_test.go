package browsertest

import (
	"fmt"
	"io"
	"log/slog"
	"math"
	"net/http"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
	"wreckwright/web"
	"wreckwright/workshop"
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
	b.holds(".zoom-key", "pressure", "pump runs", "fitted: cooling and leak", "the leak alone")
	if key := b.text(".zoom-key"); strings.Contains(key, "operated") {
		t.Errorf("nothing was operated, yet the key says %q", key)
	}
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

// impatient serves the same book by pages that say at once how far they are.
func impatient(t *testing.T, s *served) {
	t.Helper()
	shop := workshop.New(s.book, slog.New(slog.DiscardHandler), func() string { return today.Format(time.DateOnly) })
	pages, err := web.New(shop, web.Options{Now: func() time.Time { return today }, Patience: time.Nanosecond})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := shop.Close(); err != nil {
			t.Error(err)
		}
	})
	s.pages = pages
}

// longLog is an invented log of many thousand readings.
func longLog() string {
	var log strings.Builder
	log.WriteString("time_s,pressure_bar\n")
	for i := range 200_000 {
		at := float64(i) / 20
		bar := 50 - math.Mod(at, 305)/30
		if into := math.Mod(at, 305); into > 300 {
			bar = 40 + 2*(into-300)
		}
		fmt.Fprintf(&log, "%.2f,%.2f\n", at, bar)
	}
	return log.String()
}

// While a long file is read the page says how far it is, goes on by itself, and
// outlives a lost signal; without script it asks again by itself.
func TestThePageWaitsForALongFile(t *testing.T) {
	t.Parallel()
	source := needAxe(t)
	s := serve(t)
	impatient(t, s)
	car := startEmpty(t, s)
	log, err := s.book.PutFile(t.Context(), strings.NewReader(longLog()), "long.csv", "text/csv", 0)
	if err != nil {
		t.Fatal(err)
	}
	page := car.path("/bench/recharge?name=long.csv&log=" + log.Hash)
	b := newTab(t, s)
	b.open(page, http.StatusAccepted)
	b.watch.expect("ERR_EMPTY_RESPONSE")
	s.lost.Store(true)
	b.holds("main", "Reading: long.csv", "Cancel")
	if found := b.axe(source, true); len(found) > 0 {
		t.Errorf("the page that waits: %v", found)
	}
	s.lost.Store(false)
	b.await("the answer", "document.querySelector('#said') !== null")
	b.noScripts()
	b.open(page+"&ambient_c=12", http.StatusAccepted)
	b.holds("main", "Reading: long.csv")
	until := time.Now().Add(20 * time.Second)
	for !strings.Contains(b.text("main"), "What the readings say") {
		if time.Now().After(until) {
			t.Fatal("without script the page stays as it is")
		}
		time.Sleep(200 * time.Millisecond)
	}
}

// Cancel calls the reading back and goes to where another file is chosen.
func TestReadingIsCancelled(t *testing.T) {
	t.Parallel()
	s := serve(t)
	impatient(t, s)
	car := startEmpty(t, s)
	log, err := s.book.PutFile(t.Context(), strings.NewReader(longLog()), "long.csv", "text/csv", 0)
	if err != nil {
		t.Fatal(err)
	}
	b := newTab(t, s)
	b.noScripts()
	b.open(car.path("/bench/recharge?name=long.csv&log="+log.Hash), http.StatusAccepted)
	b.press(`button[name="stop"]`)
	if where := b.where(); !strings.HasSuffix(where, "/bench/recharge") {
		t.Errorf("it goes to %s", where)
	}
	b.holds("main", "The log")
}

// A measurement before and one after the work stand side by side, on the phone
// and on the bench's page.
func TestBeforeAndAfterOnThePhone(t *testing.T) {
	t.Parallel()
	source := needAxe(t)
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.width(phone)
	for phase, list := range map[string]string{"before": "0:00\n1:10\n2:21\n3:31\n", "after": "0:00\n5:00\n10:10\n15:30\n"} {
		b.open(car.path(fmt.Sprintf("/bench/stopwatch?job=%d", car.upright)), http.StatusOK)
		b.click("[data-list] summary")
		b.write("#taps", list)
		b.choose("#job", fmt.Sprint(car.upright))
		b.pick("phase", phase)
		b.press(`button[name="save"]`)
		b.holds("main", "3 settled intervals")
	}
	look(b, source, visit{name: "bench, compared", path: car.path("/bench"), status: http.StatusOK})
	b.open(car.path("/bench"), http.StatusOK)
	b.holds(".compared", "Before", "After", "70.3 s", "310 s", "fail", "pass")
}
