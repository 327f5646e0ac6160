package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// Slips of a hurried hand: each is refused in words and keeps what was typed,
// none is taken for something else in silence.

func TestUselessFilesAreRefused(t *testing.T) {
	for _, c := range []struct{ name, content, says string }{
		{"IMG_3.jpg", "", "is empty"},
		{"setup.exe", "MZ\x90\x00\x03\x00\x00\x00\x04\x00\x00\x00\xff\xff", "take a photo of what it shows"},
		{"fake.jpg", "this is a text", "is none by its content"},
		{"notes.txt", "this is a text", "is no photo"},
		{"page.jpg", "<!doctype html><script>alert(1)</script>", "take a photo of what it shows"},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := newSurveyRig(t)
			w := g.upload(g.path("/findings"), asPosted("Arm bent"), c.name, []byte(c.content))
			g.wants(w, http.StatusUnprocessableEntity, c.name, c.says, `value="Arm bent"`)
			if n := len(g.now().Findings); n != 0 {
				t.Errorf("%d findings, want none", n)
			}
		})
	}
}

func TestLargeFileIsRefusedWithTheForm(t *testing.T) {
	g := newSurveyRig(t)
	w := g.upload(g.path("/findings"), asPosted("Arm bent"), "film.mp4", make([]byte, maxFile+1))
	g.wants(w, http.StatusUnprocessableEntity, "film.mp4", "51 MB; at most 50 MB fit", `value="Arm bent"`)
}

func TestADayToComeIsRefused(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/findings"), asPosted("Arm bent", "on", "2027-05-04")), http.StatusUnprocessableEntity, "has not come yet", `value="Arm bent"`)
	g.wants(g.post(g.path("/findings"), asPosted("Arm bent", "on", "2026-05-05")), http.StatusSeeOther) // a clock elsewhere
	bill := url.Values{"amount": {"12"}, "what": {"Clips"}, "kind": {"part"}, "on": {"2062-05-04"}}
	g.wants(g.post(g.path("/ledger"), bill), http.StatusUnprocessableEntity, "has not come yet")
}

func TestAnotherCurrencyIsRefused(t *testing.T) {
	g := newSurveyRig(t)
	for _, sum := range []string{"€12", "12 EUR"} {
		g.wants(g.post(g.path("/ledger"), url.Values{"amount": {sum}, "what": {"Clips"}, "kind": {"part"}, "on": {"2026-05-04"}}),
			http.StatusUnprocessableEntity, "is in EUR, but this ledger is kept in GBP")
	}
}

// The same text is the same sum in a bill and in a route.
func TestRouteReadsSumsAsTheLedgerDoes(t *testing.T) {
	b := newJobBench(t)
	for text, want := range map[string]float64{"1.234,50": 1234.5, "£1,234.50": 1234.5, "1.234": 1234, "12,5": 12.5} {
		b.want(b.post("/jobs", url.Values{"title": {text}, "safety": {"none"}, "routes.1.kind": {"new"}, "routes.1.method": {"plain"}, "routes.1.cost.likely": {text}}), http.StatusOK)
		jobs := b.rebuild().Jobs
		if got := jobs[len(jobs)-1].Routes[0].Cost.Likely; got != want {
			t.Errorf("a route at %q costs %v; want %v", text, got, want)
		}
	}
}

// What the form of a route shows it reads back: a third decimal would be a
// thousand.
func TestCostsComeBackAsShown(t *testing.T) {
	f := &Form{}
	f.Set("cost.likely", "96.335")
	if got := f.costRange("cost", "its cost", "GBP").Likely; got != 96335 {
		t.Fatalf("three digits after a point group thousands, as in the ledger; read %v", got)
	}
	shown := &Form{}
	r := f.costRange("cost", "its cost", "GBP")
	r.Low, r.Likely, r.High = 80.125, 96.335, 120.5
	shown.setCosts("cost", r)
	back := shown.costRange("cost", "its cost", "GBP")
	if back.Low != 80.13 || back.Likely < 96.33 || back.Likely > 96.34 || back.High != 120.5 {
		t.Errorf("shown %v, read back %+v", shown.Values, back)
	}
}

func TestAChanceBelowOneInAHundredIsAsked(t *testing.T) {
	for text, want := range map[string]float64{"80": 0.8, "80 %": 0.8, "0": 0, "0,5 %": 0.005, "1": 0.01, "": 1} {
		f := &Form{}
		f.Set("works", text)
		if got := f.share("works", "the chance", 1); got != want || len(f.Problems) > 0 {
			t.Errorf("%q is %v, %v; want %v", text, got, f.Problems, want)
		}
	}
	f := &Form{}
	f.Set("works", "0.8")
	if f.share("works", "the chance", 1); f.Wrong("works") == "" {
		t.Error("0.8 was taken for less than one in a hundred")
	}
}

// Back, other words, save: a second finding, not the first one sent twice.
func TestFormGoneBackToAndWrittenAnewCounts(t *testing.T) {
	g := newSurveyRig(t)
	for _, what := range []string{"Arm bent", "Arm bent", "Hose torn", "Hose torn"} {
		g.wants(g.post(g.path("/findings"), asPosted(what, "request", "token-1")), http.StatusSeeOther)
		g.wants(g.upload(g.path("/findings"), asPosted(what, "request", "token-2"), "IMG_1.jpg", jpegOf(t, 8, 8)), http.StatusSeeOther)
	}
	if n := len(g.now().Findings); n != 4 {
		t.Errorf("%d findings, want 4: two of each form", n)
	}
}

// An edit that was gone back to meets the change made by its own first sending.
func TestEditGoneBackToIsNotSwallowed(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Crack"})
	at := g.path(fmt.Sprintf("/findings/%d", id))
	g.wants(g.post(at, asPosted("Crack, 20 mm", "request", "token-1", "rev", "0", "form", "edit")), http.StatusSeeOther)
	g.wants(g.post(at, asPosted("Crack, 25 mm", "request", "token-1", "rev", "0", "form", "edit")), http.StatusConflict, "Crack, 25 mm")
}

func TestNumberThatIsNoVINIsNoted(t *testing.T) {
	g := newSurveyRig(t)
	edit := func(rev, vin string) {
		g.wants(g.post(g.path("/car"), url.Values{"rev": {rev}, "name": {"Skua"}, "vin": {vin}}), http.StatusSeeOther)
	}
	edit("0", "ABC")
	g.wants(g.get(g.path("/car")), 200, "A VIN has 17 characters, this has 3")
	edit("1", "1M8GDM9AXKP042788")
	g.wants(g.get(g.path("/car")), 200, "!A VIN has 17 characters")
	edit("2", "1M8 GDM9AX-KP042788") // in groups, as some papers print it
	if vin := g.now().Car.VIN; vin != "1M8GDM9AXKP042788" {
		t.Errorf("kept %q", vin)
	}
}

func TestHoursBelowZeroAreRefused(t *testing.T) {
	g := newSurveyRig(t)
	id := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Sill", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen})
	})
	w := g.post(g.path(fmt.Sprintf("/jobs/%d/outcome", id)), url.Values{"rev": {"0"}, "state": {"doing"}, "hours_spent": {"-4"}})
	g.wants(w, http.StatusUnprocessableEntity, "the hours spent must be between 0", `value="-4"`)
}

// A form that is too large leads back to where it was typed.
func TestTooLargeLeadsBackToTheForm(t *testing.T) {
	g := newSurveyRig(t)
	send := func(referer string) string {
		r := httptest.NewRequest("POST", g.path("/findings"), strings.NewReader("what="+strings.Repeat("x", maxFields)))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Referer", referer)
		w := g.answer(r)
		g.wants(w, http.StatusRequestEntityTooLarge, "Too large", "Back to the form")
		return between(t, w.Body.String(), `<a class="button" href="`, `"`)
	}
	for referer, want := range map[string]string{
		"http://127.0.0.1:4173" + g.path("/findings?zone=cabin"): g.path("/findings?zone=cabin"),
		"http://elsewhere.example/x":                             g.path("/findings"),
		"":                                                       g.path("/findings"),
	} {
		if got := send(referer); got != want {
			t.Errorf("from %q it leads to %q, want %q", referer, got, want)
		}
	}
	g.wants(g.get("/nowhere"), http.StatusNotFound, "!Back to the form")
}

// What is broken off on its way is refused, with the rest of what was typed kept;
// what only cannot be made small here is taken.
func TestBrokenPictureIsRefused(t *testing.T) {
	g := newSurveyRig(t)
	whole := jpegOf(t, 600, 600)
	for name, c := range map[string]struct {
		content []byte
		status  int
	}{
		"torn.jpg": {whole[:len(whole)/2], http.StatusUnprocessableEntity},
		"torn.png": {pngClaiming(40, 40), http.StatusUnprocessableEntity},
		"huge.png": {pngClaiming(60_000, 60_000), http.StatusSeeOther},
		"good.jpg": {whole, http.StatusSeeOther},
	} {
		w := g.upload(g.path("/findings"), asPosted("Dent", "zone", "cabin"), name, c.content)
		if w.Code != c.status {
			t.Errorf("%s: status %d, want %d", name, w.Code, c.status)
		}
		if c.status == http.StatusUnprocessableEntity {
			g.wants(w, c.status, "cannot be shown", `value="Dent"`)
		}
	}
}

// A failure to make a small picture may pass; that there is none does not.
func TestOnlyLastingAnswersAreCached(t *testing.T) {
	g := newSurveyRig(t)
	for name, c := range map[string]struct {
		content []byte
		cached  bool
	}{
		"torn.jpg":   {jpegOf(t, 600, 600)[:400], false},
		"report.pdf": {[]byte("%PDF-1.4\n"), true},
		"good.jpg":   {jpegOf(t, 60, 60), true},
	} {
		a := g.keepFile(name, "", c.content)
		held := g.get("/files/" + a.Hash + "/thumb").Header().Get("Cache-Control")
		if strings.Contains(held, "immutable") != c.cached {
			t.Errorf("%s: %q", name, held)
		}
	}
}
