package web

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"html"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"wreckwright/bench/recharge"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// Everything measured in these tests is invented.

func (g *surveyRig) job(title string, state rebuild.JobState) int64 {
	g.t.Helper()
	on := ""
	if state == rebuild.JobDone {
		on = "2026-05-03"
	}
	return g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: title, Safety: rebuild.SafetyNone, Needed: 1, State: state, DoneOn: on})
	})
}

func (g *surveyRig) measure(job int64, phase rebuild.Phase, verdict rebuild.Verdict, mean float64) int64 {
	g.t.Helper()
	low, high := mean-10, mean+10
	return g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddEvidence(rebuild.Evidence{
			On: "2026-05-03", Instrument: rebuild.InstrumentRecharge, Title: "Pump " + string(phase), JobID: job, Phase: phase, Verdict: verdict, Why: "as measured",
			Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: mean, Low: &low, High: &high, Unit: "s"}}, Engine: "recharge 1",
		})
	})
}

// longStarts are four starts with the intervals 300, 310 and 320 s.
const longStarts = "2026-05-03T18:00:00+01:00 on\r\n2026-05-03T18:05:00+01:00 on\r\n2026-05-03T18:10:10+01:00 on\r\n2026-05-03T18:15:30+01:00 on\r\n"

func TestStopwatchAsksForThreeBeforeItSaysAnything(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/stopwatch")
	g.wants(g.get(page), 200, "Oil at high pressure", "Gas under pressure", "Pump started", `name="taps"`, "stopwatch.js")
	g.wants(g.post(page, url.Values{"taps": {"0:00\n0:40"}, "look": {"1"}}), 200, "cannot tell", "3 are asked for", "0:40", "Never open a charged accumulator", "!<td>replace")
	g.wants(g.post(page, url.Values{"taps": {longStarts}, "look": {"1"}}), 200, "verdict-good", "Pass</p>", "285 to 335", "Starts alone cannot tell")
	if n := len(g.now().Evidence); n != 0 {
		t.Errorf("%d measurements were kept by looking", n)
	}
}

func TestTapsBecomeEvidenceOfTheJob(t *testing.T) {
	g := newSurveyRig(t)
	job := g.job("Renew the accumulator", rebuild.JobDone)
	page := g.path("/bench/stopwatch")
	g.wants(g.get(fmt.Sprintf("%s?job=%d", page, job)), 200, fmt.Sprintf(`<option value="%d" selected>`, job), `value="after" checked`)
	fields := url.Values{"taps": {longStarts}, "save": {"1"}, "request": {"t1"}, "job": {fmt.Sprint(job)}, "phase": {"after"}, "ambient_c": {"12,5"}, "note": {"ignition on"}}
	var to string
	for range 2 { // sent twice it counts once
		w := g.post(page, fields)
		g.wants(w, http.StatusSeeOther)
		to = w.Header().Get("Location")
	}
	rb := g.now()
	if len(rb.Evidence) != 1 {
		t.Fatalf("%d measurements", len(rb.Evidence))
	}
	e := rb.Evidence[0]
	if e.JobID != job || e.Phase != rebuild.PhaseAfter || e.Verdict != rebuild.VerdictPass || e.On != "2026-05-03" || e.At != "2026-05-03T18:00:00+01:00" || e.Settings != `{"ambient_c":12.5}` || e.Title != "Pump timed by thumb" {
		t.Errorf("kept %+v", e)
	}
	content, _, err := g.book.OpenFile(t.Context(), e.Raw[0].Hash)
	if err != nil {
		t.Fatal(err)
	}
	defer content.Close()
	if raw, err := io.ReadAll(content); err != nil || string(raw) != strings.ReplaceAll(longStarts, "\r\n", "\n") {
		t.Errorf("the raw taps are %q (%v)", raw, err)
	}
	g.wants(g.get(to), 200, "Done: you kept the measurement", "proves its job", e.Raw[0].Hash, recharge.Version, "ignition on", "Mean interval")
	// The job can be set to proven by it, without more words.
	path := g.path(fmt.Sprintf("/jobs/%d", job))
	g.wants(g.get(path), 200, "Pump timed by thumb", "Measure it")
	g.wants(g.post(path+"/outcome", url.Values{"state": {"proven"}, "rev": {fmt.Sprint(rb.Job(job).Rev)}}), http.StatusSeeOther)
	// Then it cannot go.
	at := g.path(fmt.Sprintf("/bench/evidence/%d", e.ID))
	g.wants(g.post(at+"/delete", url.Values{"rev": {fmt.Sprint(e.Rev)}}), http.StatusUnprocessableEntity, "proven by this measurement alone")
}

func TestTapsThatCannotBeReadComeBack(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/stopwatch")
	for taps, says := range map[string]string{
		"":               "there is no tap yet",
		"0:00\nsoon\n":   "line 2: &#34;soon&#34; is no time",
		"4:10\n0:00\n":   "line 2: 0:00 is before the line above",
		"0:00 off\n0:06": "",
	} {
		status := http.StatusUnprocessableEntity
		if says == "" {
			status = http.StatusOK
		}
		g.wants(g.post(page, url.Values{"taps": {taps}, "save": {""}, "look": {"1"}, "note": {"kept words"}}), status, says, "kept words")
	}
	g.wants(g.post(page, url.Values{"taps": {longStarts}, "save": {"1"}, "job": {"99"}}), http.StatusUnprocessableEntity, "job 99 is not there", "18:10:10")
	g.wants(g.post(page, url.Values{"taps": {longStarts}, "save": {"1"}, "on": {"2027-01-01"}}), http.StatusUnprocessableEntity, "has not come yet")
	g.wants(g.post(page, url.Values{"taps": {"0 on\n8 off\n300 on\n308 off"}, "look": {"1"}, "ambient_c": {"400"}}), http.StatusUnprocessableEntity, "the temperature", "!--ambient")
	if n := len(g.now().Evidence); n != 0 {
		t.Errorf("%d measurements were kept", n)
	}
}

func TestBenchShowsBeforeAndAfter(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/bench")), 200, "Nothing measured yet", "By thumb")
	job := g.job("Renew the accumulator", rebuild.JobOpen)
	g.measure(job, rebuild.PhaseBefore, rebuild.VerdictFail, 80)
	g.wants(g.get(g.path("/bench")), 200, "Pump before", "✗ fail", "!Before and after")
	g.measure(job, rebuild.PhaseAfter, rebuild.VerdictPass, 310)
	for _, page := range []string{"/bench", fmt.Sprintf("/jobs/%d", job)} {
		g.wants(g.get(g.path(page)), 200, "Before and after", "70 to 90", "300 to 320", "✓ pass")
	}
}

func TestManyMeasurementsAreOnSeveralPages(t *testing.T) {
	g := newSurveyRig(t)
	for range benchPageSize + 1 {
		g.measure(0, "", rebuild.VerdictCannotTell, 100)
	}
	g.wants(g.get(g.path("/bench")), 200, "Earlier ones", "!Later ones")
	g.wants(g.get(g.path("/bench?page=2")), 200, "Later ones", "!Earlier ones")
	g.wants(g.get(g.path("/bench?page=99")), 200, "Later ones")
}

func TestEvidenceIsChangedAndDeleted(t *testing.T) {
	g := newSurveyRig(t)
	id := g.measure(0, "", rebuild.VerdictPass, 310)
	job := g.job("Renew the accumulator", rebuild.JobDone)
	at := g.path(fmt.Sprintf("/bench/evidence/%d", id))
	edit := url.Values{"title": {"Timed again"}, "on": {"2026-05-02"}, "job": {fmt.Sprint(job)}, "phase": {"after"}, "rev": {"0"}}
	g.wants(g.post(at, url.Values{"title": {""}, "on": {"2026-05-02"}, "note": {"kept words"}, "rev": {"0"}}), http.StatusUnprocessableEntity, "what was measured is missing", "kept words")
	g.wants(g.post(at, edit), http.StatusSeeOther)
	if e := g.now().EvidenceAt(id); e.Title != "Timed again" || e.JobID != job || e.Figures[0].Value != 310 || e.Verdict != rebuild.VerdictPass {
		t.Errorf("it is %+v", e)
	}
	g.wants(g.post(at, edit), http.StatusConflict, "Changed meanwhile", "Timed again")
	g.wants(g.post(at+"/delete", url.Values{"rev": {"1"}}), http.StatusSeeOther)
	g.wants(g.get(at), http.StatusNotFound)
	g.wants(g.post(at, edit), http.StatusConflict)
	g.wants(g.get(g.path("/bench/evidence/x")), http.StatusNotFound)
}

// tooth is an invented log: pressure falls by ten bar in five minutes and is
// pumped up again within five seconds, five times.
func tooth(header string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	at := 0
	for range 5 {
		for s := 0; s < 300; s += 2 {
			fmt.Fprintf(&b, "%d,%.2f\n", at+s, 50-10*float64(s)/300)
		}
		for s := range 5 {
			fmt.Fprintf(&b, "%d,%d\n", at+300+s, 40+2*s)
		}
		at += 305
	}
	return b.String()
}

// sendLog posts a form with a file in the field "file".
func (g *surveyRig) sendLog(path string, values url.Values, name, content string) *httptest.ResponseRecorder {
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
	part, err := form.CreateFormFile("file", name)
	if err == nil {
		_, err = io.WriteString(part, content)
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

func TestLogBecomesEvidence(t *testing.T) {
	g := newSurveyRig(t)
	job := g.job("Renew the accumulator", rebuild.JobOpen)
	page := g.path("/bench/recharge")
	g.wants(g.get(fmt.Sprintf("%s?job=%d", page, job)), 200, "Gas under pressure", `type="file"`, "upload.js", fmt.Sprintf(`name="job" value="%d"`, job))
	w := g.sendLog(page, url.Values{"job": {fmt.Sprint(job)}, "phase": {"before"}}, "skua.csv", tooth("time_s,line_bar"))
	g.wants(w, http.StatusSeeOther)
	at := w.Header().Get("Location")
	w = g.get(at)
	g.wants(w, 200, "skua.csv", "What the readings say", "What may be the matter", "Pressure over time: skua.csv", "pump runs", "times from &#34;time_s&#34;", `<option value="line_bar">`, "Mean interval", fmt.Sprintf(`<option value="%d" selected>`, job))
	hash := between(t, w.Body.String(), `name="log" value="`, `"`)
	save := url.Values{"request": {"s1"}, "log": {hash}, "name": {"skua.csv"}, "job": {fmt.Sprint(job)}, "phase": {"before"}, "pressure_column": {"line_bar"}, "gas_volume_l": {"0,4"}}
	for range 2 {
		w = g.post(page+"/save", save)
		g.wants(w, http.StatusSeeOther)
	}
	rb := g.now()
	if len(rb.Evidence) != 1 {
		t.Fatalf("%d measurements", len(rb.Evidence))
	}
	e := rb.Evidence[0]
	if e.JobID != job || e.Raw[0].Hash != hash || e.Raw[0].Name != "skua.csv" || e.Settings != `{"gas_volume_l":0.4,"pressure_column":"line_bar"}` || e.Title != "Pressure log skua.csv" || e.On != "2026-05-04" || len(e.Figures) < 10 {
		t.Errorf("kept %+v", e)
	}
	w = g.get(w.Header().Get("Location"))
	g.wants(w, 200, hash, "See the log drawn")
	again := "/r/1/bench/recharge?" + html.UnescapeString(between(t, w.Body.String(), `<a href="/r/1/bench/recharge?`, `"`))
	g.wants(g.get(again), 200, "What the readings say", `<option value="line_bar" selected>`)
}

func TestLogsThatCannotBeRead(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/recharge")
	g.wants(g.post(page, url.Values{"job": {""}}), http.StatusUnprocessableEntity, "choose the log")
	for name, c := range map[string]struct{ content, says string }{
		"no-pressure": {"time_s,colour\n0,red\n1,blue\n", "pressure"},
		"words":       {"time_s,pressure_bar\n0,50\n1,fifty\n", "words:3"},
		"one-value":   {"time_s,pressure_bar\n" + strings.Repeat("1,50\n", 30), "every reading is 50 bar"},
		"backwards":   {"time_s,pressure_bar\n5,50\n4,49\n", "the clock runs backwards"},
		"short":       {"time_s,pressure_bar\n0,50\n1,49\n", "2 readings"},
	} {
		w := g.sendLog(page, nil, name, c.content)
		g.wants(w, http.StatusSeeOther)
		at := w.Header().Get("Location")
		g.wants(g.get(at), http.StatusUnprocessableEntity, c.says, `name="time_column"`, "!Keep it as evidence")
	}
	g.wants(g.get(page+"?log="+strings.Repeat("0", 64)), http.StatusNotFound, "no such file")
	g.wants(g.post(page+"/save", url.Values{"title": {"x"}}), http.StatusUnprocessableEntity, "choose the log first")
	g.wants(g.sendLog(page, nil, "page.csv", "<html><script>1</script></html>"), http.StatusUnprocessableEntity, "neither a picture")
	if n := len(g.now().Evidence); n != 0 {
		t.Errorf("%d measurements were kept", n)
	}
}

// TestTheGravestIsSaidBeforeMeasuring: on every page that measures, in plain
// sight and above the form.
func TestTheGravestIsSaidBeforeMeasuring(t *testing.T) {
	g := newSurveyRig(t)
	for _, page := range []string{"/bench", "/bench/stopwatch", "/bench/listen", "/bench/recharge"} {
		w := g.get(g.path(page))
		g.wants(w, 200, "Never open a charged accumulator")
		text := w.Body.String()
		said, form := strings.Index(text, "Never open a charged accumulator"), strings.Index(text, "<form method=\"post\" action=\"/r/1/bench")
		if fold := strings.Index(text[strings.Index(text, "<main"):], "<details"); said > form && form >= 0 || said > fold+strings.Index(text, "<main") {
			t.Errorf("%s: the caution stands behind the form or in a fold", page)
		}
	}
}

// TestWhatIsNoLogOffersNoColumns: a picture, a recording or a film under the name
// of a log is told so at once.
func TestWhatIsNoLogOffersNoColumns(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/recharge")
	g.wants(g.sendLog(page, nil, "log.csv", pumpSound(1)), http.StatusUnprocessableEntity, "log.csv", "no text but a recording", "!time_column", "That cannot be read yet:", "!Not saved yet")
	g.wants(g.sendLog(page, nil, "log.csv", "\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR,time,pressure\n1,2,3\n"), http.StatusUnprocessableEntity, "!time_column")
	rubbish := g.keepFile("log.csv", "text/csv", []byte("\x89PNG\r\n\x1a\n\x00\x00,time,pressure\n1,2,3\n"))
	g.wants(g.get(page+"?name=log.csv&log="+rubbish.Hash), http.StatusUnprocessableEntity, "this is no", "!time_column", "!Read it so", "Another log")
	words := g.keepFile("log.csv", "text/csv", []byte("Dear neighbour, the pump ran\nall night, again\n"))
	g.wants(g.get(page+"?name=log.csv&log="+words.Hash), http.StatusUnprocessableEntity, "no column of times", "!time_column", "!--time", "!method=\"get\"")
	// A log whose columns are not known offers them.
	odd := g.keepFile("odd.csv", "text/csv", []byte("when,how much\n0,50\n1,49\n"))
	g.wants(g.get(page+"?name=odd.csv&log="+odd.Hash), http.StatusUnprocessableEntity, `<option value="how much">`, "!--pressure")
	g.wants(g.get(page+"?name=odd.csv&pressure_column=x&time_column=when&log="+odd.Hash), http.StatusUnprocessableEntity, "no column &#34;x&#34; for \u201cPressures\u201d")
}

// TestRefusedTapsLeaveNoFile: what cannot be kept is tried before its list is.
func TestRefusedTapsLeaveNoFile(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/stopwatch")
	for _, wrong := range []url.Values{{"job": {"99"}}, {"on": {"2027-01-01"}}, {"title": {strings.Repeat("x", 5000)}}} {
		wrong.Set("taps", longStarts)
		wrong.Set("save", "1")
		g.wants(g.post(page, wrong), http.StatusUnprocessableEntity, "Not kept yet:")
	}
	list := strings.ReplaceAll(strings.TrimSpace(longStarts), "\r\n", "\n") + "\n"
	if _, _, err := g.book.OpenFile(t.Context(), fmt.Sprintf("%x", sha256.Sum256([]byte(list)))); !errors.Is(err, store.ErrNoFile) {
		t.Errorf("the list was kept: %v", err)
	}
	g.wants(g.post(page, url.Values{"taps": {longStarts}, "save": {"1"}}), http.StatusSeeOther)
	if _, _, err := g.book.OpenFile(t.Context(), fmt.Sprintf("%x", sha256.Sum256([]byte(list)))); err != nil {
		t.Errorf("the list was not kept: %v", err)
	}
}
