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

// takeOff enters a thing as the form of the strip page does and gives its number.
func (g *surveyRig) takeOff(what string, more ...string) int64 {
	g.t.Helper()
	fields := url.Values{"what": {what}, "zone": {"front-left-corner"}, "condition": {"reuse"}}
	for i := 0; i+1 < len(more); i += 2 {
		fields.Add(more[i], more[i+1])
	}
	w := g.post(g.path("/strip"), fields)
	g.wants(w, http.StatusSeeOther)
	to, err := url.Parse(w.Header().Get("Location"))
	if err != nil {
		g.t.Fatal(err)
	}
	var id int64
	if _, err := fmt.Sscan(to.Query().Get("just"), &id); err != nil {
		g.t.Fatalf("%s names no new entry: %v", to, err)
	}
	return id
}

func (g *surveyRig) wellBuilt(paths ...string) {
	g.t.Helper()
	for _, path := range paths {
		w := g.get(path)
		g.wants(w, http.StatusOK)
		for _, fault := range checkStructure(w.Body.String()) {
			g.t.Errorf("%s: %s", path, fault)
		}
	}
}

func stripAt(id int64, end string) string { return fmt.Sprintf("/strip/%d%s", id, end) }

// The whole of it: three things come off, get bags and labels, and go back in the
// order that their relations ask for.
func TestStripThenRefit(t *testing.T) {
	g := newSurveyRig(t)
	g.wellBuilt(g.path("/strip"), g.path("/refit"), g.path("/strip/labels"))
	wheel := g.takeOff("Wheel", "fasteners.1.count", "5", "fasteners.1.thread", "M14x1.5", "fasteners.1.tool", "19 mm socket")
	caliper := g.takeOff("Brake caliper", "after", fmt.Sprint(wheel), "connectors", "brake hose clip, pad wear plug",
		"fasteners.1.count", "2", "fasteners.1.thread", "M12x1.5", "fasteners.1.tool", "18 mm socket", "fasteners.1.one_time", "1", "fasteners.1.to_buy", "caliper bolt")
	disc := g.takeOff("Disc", "after", fmt.Sprint(caliper))

	w := g.get(g.path("/strip"))
	g.wants(w, 200, "3 of 3 things still off", "5 × M14x1.5 · 19 mm socket", ">B1<", ">B2<", "Its fasteners go into bag <strong>B3</strong>", `data-tool="19 mm socket"`)
	g.wants(g.get(g.path("/strip/labels")), 200, "2 labels are printed", `aria-label="Bag B1: Wheel; 5 × M14x1.5`, "not to be used again")

	w = g.get(g.path("/refit"))
	g.wants(w, 200, "3 things still off", "Compressed springs", "The 2 new fasteners (M12x1.5, caliper bolt) have not arrived", "2 × M12x1.5, caliper bolt")
	order(t, w.Body.String(), "Can go back now", ">Disc<", "Waits", ">Brake caliper<", ">Wheel<")

	back := url.Values{"rev": {"0"}, "back": {g.path("/refit")}}
	g.wants(g.post(g.path(stripAt(disc, "/back")), back), http.StatusSeeOther)
	// A reason does not make the old bolts good.
	back.Set("anyway", "only for moving the car")
	g.wants(g.post(g.path(stripAt(caliper, "/back")), back), http.StatusUnprocessableEntity, "stays off", "No reason makes a one-time fastener good again")
	g.wants(g.get(g.path(stripAt(caliper, ""))), 200, "it is not used again, whatever the reason", `!name="anyway"`)

	line := between(t, g.get(g.path("/refit")).Body.String(), `name="line" value="`, `"`)
	g.wants(g.post(g.path("/refit/buy"), url.Values{"line": {line}, "what": {"ordered"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/refit")), 200, "ordered 4 May 2026")
	g.wants(g.post(g.path("/refit/buy"), url.Values{"line": {line}, "what": {"arrived"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/refit")), 200, "!have not arrived", "18 mm socket")
	g.wants(g.post(g.path("/refit/buy"), url.Values{"line": {line}, "what": {"arrived"}}), http.StatusUnprocessableEntity, "not on the list of what to buy any more")

	back = url.Values{"rev": {"2"}, "emptied": {"0"}, "made": {"0", "1"}}
	g.wants(g.post(g.path(stripAt(caliper, "/back")), back), http.StatusSeeOther)
	back = url.Values{"rev": {"0"}}
	g.wants(g.post(g.path(stripAt(wheel, "/back")), back), http.StatusSeeOther)
	g.wants(g.get(g.path("/refit")), 200, "Nothing is off any more", "5 fasteners not back on the car", ">B1<", "!Nothing is left over.")
	g.wants(g.post(g.path(stripAt(wheel, "/tick")), url.Values{"rev": {"1"}, "tick": {"emptied"}, "place": {"0"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/refit")), 200, "Nothing is left over.")
	g.wellBuilt(g.path("/strip"), g.path("/refit"), g.path("/strip/labels"), g.path(stripAt(wheel, "")), g.path(stripAt(caliper, "")), g.path("/history"))
	g.wants(g.get(g.path("/history")), 200, "put fasteners of &#34;Wheel&#34; back on the car", "ticked “arrived: 2 × M12x1.5, caliper bolt”", "put back &#34;Disc&#34;")
	if by := g.now().StripItem(wheel).BackBy; by != "workshop" {
		t.Errorf("put back by %q", by)
	}
}

// order fails unless the texts follow each other on the page.
func order(t *testing.T, page string, texts ...string) {
	t.Helper()
	at := strings.Index(page, "<main")
	for _, text := range texts {
		next := strings.Index(page[at:], text)
		if next < 0 {
			t.Fatalf("%q is not on the page, or not after what stands before it in %q", text, texts)
		}
		at += next
	}
}

func TestStripRefusesAndKeepsWhatWasTyped(t *testing.T) {
	g := newSurveyRig(t)
	fields := url.Values{
		"what": {""}, "zone": {"front-left-corner"}, "fasteners.1.count": {""}, "fasteners.2.count": {"four"}, "fasteners.2.thread": {"M8"},
		"fasteners.3.tool": {"T30"}, "connectors": {"a plug"}, "note": {"behind the liner"}, "condition": {"damaged"}, "at": {"2027-01-01T10:00"},
	}
	w := g.upload(g.path("/strip"), fields, "sat.jpg", jpegOf(t, 4, 4))
	// The empty line is closed up: what was typed stands on lines 1 and 2.
	g.wants(w, http.StatusUnprocessableEntity, "&#34;four&#34; is not a whole number", "say how many fasteners there are: T30", `name="fasteners.1.thread" list="threads" value="M8"`,
		`name="fasteners.2.tool" list="tools" value="T30"`, "behind the liner", `value="damaged" checked`, `value="a plug"`, "has not come yet", `name="keep" value="`)
	for _, fault := range checkStructure(w.Body.String()) {
		t.Error(fault)
	}
	fields.Set("fasteners.2.count", "4")
	fields.Set("fasteners.3.count", "0")
	fields.Set("at", "2026-05-03T10:00")
	w = g.post(g.path("/strip"), fields)
	g.wants(w, http.StatusUnprocessableEntity, "what came off", "between 1 and 1000, not 0")
	g.wants(g.post(g.path("/strip"), url.Values{"what": {"x"}, "zone": {"moon"}}), http.StatusUnprocessableEntity, "there is no zone")
	g.wants(g.post(g.path("/strip"), url.Values{"what": {"x"}, "after": {"77"}}), http.StatusUnprocessableEntity, "is not there any more")
	if n := len(g.now().Strip); n != 0 {
		t.Errorf("%d entries were kept", n)
	}
	for _, path := range []string{"/strip/9", "/strip/x"} {
		g.wants(g.get(g.path(path)), http.StatusNotFound)
	}
	for _, end := range []string{"/more", "/delete"} {
		g.wants(g.post(g.path("/strip/9"+end), url.Values{"rev": {"0"}, "n": {"1"}}), http.StatusNotFound)
	}
	for _, end := range []string{"", "/back", "/tick", "/marks"} {
		g.wants(g.post(g.path("/strip/9"+end), url.Values{"rev": {"0"}, "what": {"Arm"}}), http.StatusConflict, "Arm")
	}
}

func TestStripMoreLikeIt(t *testing.T) {
	g := newSurveyRig(t)
	clip := g.takeOff("Liner clip", "fasteners.1.count", "2", "fasteners.1.thread", "clip")
	g.wants(g.get(g.path(fmt.Sprintf("/strip?zone=front-left-corner&just=%d", clip))), 200, "More like this", `name="n" value="3"`)
	token := url.Values{"n": {"3"}, "request": {"one"}}
	g.wants(g.post(g.path(stripAt(clip, "/more")), token), http.StatusSeeOther)
	g.wants(g.post(g.path(stripAt(clip, "/more")), token), http.StatusSeeOther) // a second tap is the same
	rb := g.now()
	if len(rb.Strip) != 4 || rb.Strip[3].What != "Liner clip (4)" || rb.Strip[3].Fasteners[0].Bag != "B4" {
		t.Errorf("the trail is %+v", rb.Strip)
	}
	g.wants(g.post(g.path(stripAt(clip, "/more")), url.Values{"n": {"0"}}), http.StatusUnprocessableEntity, "between 1 and 50")
	g.wants(g.post(g.path(stripAt(clip, "/more")), url.Values{"n": {"many"}}), http.StatusUnprocessableEntity, "is not a whole number", `value="many"`)
}

func TestStripEdit(t *testing.T) {
	g := newSurveyRig(t)
	a := g.takeOff("Wing", "fasteners.1.count", "8", "fasteners.1.thread", "M6", "connectors", "lamp plug")
	b := g.takeOff("Lamp", "after", fmt.Sprint(a))
	g.wants(g.post(g.path(stripAt(a, "/tick")), url.Values{"rev": {"0"}, "tick": {"made"}, "place": {"0"}}), http.StatusSeeOther)
	edit := url.Values{
		"rev": {"1"}, "what": {"Left wing"}, "zone": {"front-left-wing"}, "condition": {"damaged"}, "connectors": {"lamp plug, aerial"}, "at": {localMoment(g.now().StripItem(a).At)},
		"fasteners.1.count": {"7"}, "fasteners.1.thread": {"M6"}, "fasteners.1.was": {"0"}, "fasteners.1.bag": {"b9"},
	}
	at := g.now().StripItem(a).At
	g.wants(g.post(g.path(stripAt(a, "")), edit), http.StatusSeeOther)
	s := g.now().StripItem(a)
	if s.What != "Left wing" || s.Fasteners[0].Count != 7 || s.Fasteners[0].Bag != "B9" || len(s.Connectors) != 2 || !s.Connectors[0].Made || s.Connectors[1].Made || s.At != at {
		t.Errorf("it became %+v", s)
	}
	g.wants(g.post(g.path(stripAt(a, "")), edit), http.StatusConflict, "Changed meanwhile", "Left wing")
	edit.Set("rev", "2")
	edit.Set("after", fmt.Sprint(b))
	w := g.post(g.path(stripAt(a, "")), edit)
	g.wants(w, http.StatusUnprocessableEntity, "that is a circle", "Lamp")
	for _, fault := range checkStructure(w.Body.String()) {
		t.Error(fault)
	}
	g.wants(g.get(g.path(stripAt(a, ""))), 200, "It is damaged: mend it or get another", "Mended", "Came off after it")
	g.wants(g.post(g.path(stripAt(a, "/tick")), url.Values{"rev": {"2"}, "tick": {"settled"}}), http.StatusSeeOther)
	g.wants(g.get(g.path(stripAt(a, ""))), 200, "!It is damaged: mend it", "here since 4 May 2026")
	g.wants(g.post(g.path(stripAt(a, "/delete")), url.Values{"rev": {"3"}}), http.StatusSeeOther)
	if s := g.now().StripItem(b); len(s.After) != 0 {
		t.Errorf("the lamp still names what is gone: %+v", s)
	}
}

func TestPhotoMarks(t *testing.T) {
	g := newSurveyRig(t)
	w := g.upload(g.path("/strip"), url.Values{"what": {"Lines on the strut"}, "zone": {"front-left-corner"}}, "a.jpg", jpegOf(t, 40, 30))
	g.wants(w, http.StatusSeeOther)
	id := g.now().Strip[0].ID
	marks := url.Values{
		"rev": {"0"}, "photo": {"0"}, "mark.0.1.x": {"25"}, "mark.0.1.y": {"40,5"}, "mark.0.1.text": {"hose above the clip"},
		"mark.0.2.place": {"83 17"}, "mark.0.2.text": {"plug, click towards the wheel"}, "mark.0.3.x": {""},
	}
	g.wants(g.post(g.path(stripAt(id, "/marks")), marks), http.StatusSeeOther)
	g.wants(g.get(g.path(stripAt(id, ""))), 200, `<circle cx="25%" cy="40.5%"`, `<text x="83%" y="17%"`, "plug, click towards the wheel")
	g.wellBuilt(g.path(stripAt(id, "")))
	marks = url.Values{"rev": {"1"}, "photo": {"0"}, "mark.0.1.drop": {"1"}, "mark.0.1.x": {"25"}, "mark.0.1.y": {"40"}, "mark.0.2.x": {"120"}, "mark.0.2.y": {"7"}, "mark.0.3.text": {"nowhere"}}
	w = g.post(g.path(stripAt(id, "/marks")), marks)
	g.wants(w, http.StatusUnprocessableEntity, "from 0 to 100", "where is mark 3?", `value="120"`, "nowhere")
	for _, fault := range checkStructure(w.Body.String()) {
		t.Error(fault)
	}
	marks.Set("mark.0.2.x", "12")
	marks.Del("mark.0.3.text")
	g.wants(g.post(g.path(stripAt(id, "/marks")), marks), http.StatusSeeOther)
	if m := g.now().Strip[0].Marks; len(m) != 1 || m[0].Number != 2 || m[0].X != 0.12 {
		t.Errorf("the marks are %+v", m)
	}
	// A photo that goes takes its marks with it.
	g.wants(g.post(g.path(stripAt(id, "")), url.Values{"rev": {"2"}, "what": {"Lines"}, "zone": {"front-left-corner"}}), http.StatusSeeOther)
	if s := g.now().Strip[0]; len(s.Photos)+len(s.Marks) != 0 {
		t.Errorf("left are %+v", s)
	}
}

func TestBagLabels(t *testing.T) {
	g := newSurveyRig(t)
	for i := range 30 {
		g.takeOff(fmt.Sprintf("Cover %d", i+1), "fasteners.1.count", "3", "fasteners.1.thread", "M6")
	}
	w := g.get(g.path("/strip/labels"))
	g.wants(w, 200, "30 labels are printed", "Sheet 2 as a file", "For this machine only", "http://127.0.0.1:4173")
	if n := strings.Count(w.Body.String(), `class="fig-label"`); n != 30 {
		t.Errorf("%d labels are drawn", n)
	}
	w = g.get(g.path("/strip/labels.svg?bag=B1&bag=B30&from=24&sheet=2"))
	g.wants(w, 200, "B30", "Cover 30", "!Cover 1<")
	if kind := w.Header().Get("Content-Type"); kind != "image/svg+xml" {
		t.Errorf("the file is %s", kind)
	}
	g.wants(g.get(g.path("/strip/labels.svg?bag=none")), http.StatusNotFound)
	g.wants(g.post(g.path("/strip/labels"), url.Values{"bag": {"B1", "B2", "never"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/strip/labels")), 200, "28 labels are printed", "Not printed yet: 28")
	g.wants(g.post(g.path("/strip/labels"), url.Values{"bag": {"B1"}, "not": {"1"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/strip/labels")), 200, "29 labels are printed")
	g.wants(g.get(g.path("/strip/labels?pick=all&from=99")), 200, "30 labels are printed", `value="24"`)
	g.wellBuilt(g.path("/strip/labels"), g.path("/strip/labels?pick=all&from=5"))
}

// Whatever the book takes, the pages can show.
func TestStripPagesBearExtremeTexts(t *testing.T) {
	g := newSurveyRig(t)
	long := strings.Repeat("Wxyz", 50)
	fields := url.Values{"what": {long}, "zone": {""}, "connectors": {strings.Repeat("k", 120) + "\n<b>&\"'"}, "note": {strings.Repeat("n\n", 1900)}}
	for i := 1; i <= mostSets; i++ {
		at := fmt.Sprintf("fasteners.%d.", i)
		fields.Set(at+"count", "1000")
		fields.Set(at+"thread", strings.Repeat("M", 60))
		fields.Set(at+"tool", strings.Repeat("<", 60))
		fields.Set(at+"one_time", "1")
		fields.Set(at+"to_buy", strings.Repeat("ß", 200))
	}
	g.wants(g.post(g.path("/strip"), fields), http.StatusSeeOther)
	g.wants(g.post(g.path("/strip"), url.Values{"what": {"'; drop table <script>"}}), http.StatusSeeOther)
	id := g.now().Strip[0].ID
	g.wellBuilt(g.path("/strip"), g.path("/refit"), g.path(stripAt(id, "")), g.path("/strip/labels"), g.path("/history"), g.path("/strip?q=%00%ff&list=moon&show=x&page=99"), g.path("/refit?job=9&zone=moon"))
	g.wants(g.get(g.path("/strip/labels.svg?pick=all")), 200)
}

// Only what a job or a zone needs goes back, with what must go back before it.
func TestPartialRefit(t *testing.T) {
	g := newSurveyRig(t)
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Renew the hose", Zone: "engine-bay", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen})
	})
	a := g.takeOff("Strut brace", "zone", "", "jobs", fmt.Sprint(job))
	g.takeOff("Battery tray", "after", fmt.Sprint(a))
	g.takeOff("Horn")
	w := g.get(g.path(fmt.Sprintf("/refit?job=%d", job)))
	g.wants(w, 200, "2 of 3 things", "!>Horn<", "Work before it", "The job &#34;Renew the hose&#34; is not done yet")
	order(t, w.Body.String(), "Can go back now", ">Battery tray<", "Waits", "Renew the hose", ">Strut brace<")
	g.wants(g.get(g.path(fmt.Sprintf("/jobs/%d", job))), 200)
	g.wellBuilt(g.path(fmt.Sprintf("/refit?job=%d", job)), g.path("/refit?zone=front-left-corner"))
}

// A circle comes in with nothing but a book from elsewhere; it is named as a chain.
func TestRefitNamesACircle(t *testing.T) {
	g := newSurveyRig(t)
	a, b := g.takeOff("Wing"), g.takeOff("Lamp")
	rb := *g.now()
	rb.Strip = append([]rebuild.StripItem(nil), rb.Strip...)
	rb.StripItem(a).After, rb.StripItem(b).After = []int64{b}, []int64{a}
	w := httptest.NewRecorder()
	if err := g.server.refitForm(w, httptest.NewRequest("GET", g.path("/refit"), nil), 200, &rb, nil); err != nil {
		t.Fatal(err)
	}
	g.wants(w, 200, "No order can honour this", "&#34;Wing&#34; before &#34;Lamp&#34; before &#34;Wing&#34;")
	for _, fault := range checkStructure(w.Body.String()) {
		t.Error(fault)
	}
}

// The three corners and the line of beats between them are where ISO/IEC 18004
// has them, so that a reader finds the code.
func TestLabelCodeIsAQRCode(t *testing.T) {
	m, err := qrModules("http://192.168.0.7:4173/r/1/strip/12")
	if err != nil {
		t.Fatal(err)
	}
	n := len(m)
	if n%4 != 1 || n < 21 || n > 177 {
		t.Fatalf("a side of %d modules is no version", n)
	}
	corner := []string{"1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"}
	for _, at := range [][2]int{{0, 0}, {n - 7, 0}, {0, n - 7}} {
		for y, row := range corner {
			for x, want := range row {
				if m[at[1]+y][at[0]+x] != (want == '1') {
					t.Fatalf("the corner at %v is broken at %d, %d", at, x, y)
				}
			}
		}
	}
	for i := 8; i < n-8; i++ {
		if m[6][i] != (i%2 == 0) || m[i][6] != (i%2 == 0) {
			t.Fatalf("the beat is broken at %d", i)
		}
	}
}

// What was taken off stands on the pages of its job, zone and finding, and on Now.
func TestWhatCameOffStandsElsewhereToo(t *testing.T) {
	g := newSurveyRig(t)
	finding := g.find(rebuild.Finding{Zone: "front-left-corner", What: "Arm bent"})
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Arm", Zone: "front-left-corner", Findings: []int64{finding}, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen})
	})
	id := g.takeOff("Wheel off", "jobs", fmt.Sprint(job))
	for _, path := range []string{fmt.Sprintf("/jobs/%d", job), fmt.Sprintf("/findings/%d", finding), "/zones/front-left-corner"} {
		g.wants(g.get(g.path(path)), 200, "What came off", g.path(stripAt(id, "")))
		g.wellBuilt(g.path(path))
	}
	g.wants(g.get(g.path("/now")), 200, "1 thing is off the car", g.path("/refit"))
	g.wants(g.get(g.path("/history")), 200, "took off &#34;Wheel off&#34;", "<", "!map[")
	g.wants(g.get(g.path("/zones/roof")), 200, "!What came off")
	g.wellBuilt(g.path("/now"))
}

// A car stripped to the shell, 2,000 entries, each after the one before.
func BenchmarkStripPages(b *testing.B) {
	g := newSurveyRig(b)
	items := make([]rebuild.StripItem, 2000)
	first := g.now().NextID
	for i := range items {
		items[i] = rebuild.StripItem{
			At: fmt.Sprintf("2026-05-01T%02d:%02d:%02dZ", i/3600, i/60%60, i%60), What: fmt.Sprintf("Part %d", i), Zone: rebuild.ZonePlaces[i%24].Key,
			Fasteners: []rebuild.FastenerSet{{Count: 4, Thread: "M6", Tool: "10 mm socket", Bag: fmt.Sprintf("B%d", i+1), OneTime: i%7 == 0}},
		}
	}
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddStripItems(items...) })
	for i := 1; i < 200; i++ {
		g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			s := *rb.StripItem(first + int64(i*10))
			s.After = []int64{first + int64(i*10-10)}
			return rb.EditStripItem(s)
		})
	}
	for _, path := range []string{"/strip", "/refit", "/refit?zone=cabin", "/strip/labels", fmt.Sprintf("/strip/%d", first), "/zones/cabin", "/now"} {
		b.Run(path, func(b *testing.B) {
			for b.Loop() {
				if w := g.get(g.path(path)); w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
			}
		})
	}
}
