package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// asPosted are the fields of a finding's form as a browser sends them.
func asPosted(what string, more ...string) url.Values {
	v := url.Values{"zone": {"cabin"}, "what": {what}, "severity": {"major"}, "how_found": {"seen"}, "on": {"2026-05-02"}}
	for i := 0; i+1 < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	return v
}

func TestFindingIsEnteredWithAPhoto(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/findings")), 200, "Walk round it once", `href="/r/1/findings?zone=front-left-wing#add"`)
	g.wants(g.get(g.path("/findings?zone=cabin")), 200,
		`name="zone" value="cabin"`, `capture="environment"`, "Airbags and belt tensioners", `value="minor" checked`, `value="seen" checked`)
	w := g.upload(g.path("/findings"), asPosted("Airbag fired", "safety", "1"), "IMG_1.jpg", jpegOf(t, 8, 8))
	g.wants(w, http.StatusSeeOther)
	to := w.Header().Get("Location")
	if !strings.HasPrefix(to, g.path("/findings?did=")) || !strings.HasSuffix(to, "zone=cabin") {
		t.Errorf("goes on to %q, not back to the zone", to)
	}
	f := g.now().Findings[0]
	if f.What != "Airbag fired" || f.Zone != "cabin" || !f.Safety || f.Severity != rebuild.Major || len(f.Photos) != 1 || f.Photos[0].Name != "IMG_1.jpg" {
		t.Errorf("kept %+v", f)
	}
	g.wants(g.get(to), 200, "Done: you added the finding", "/files/"+f.Photos[0].Hash+"/thumb", "Cabin: 1 open, 1 safety", "!Walk round it once")
}

func TestFindingSentTwiceCountsOnce(t *testing.T) {
	g := newSurveyRig(t)
	fields := asPosted("Crack", "request", "token-1")
	for range 2 {
		g.wants(g.post(g.path("/findings"), fields), http.StatusSeeOther)
	}
	if n := len(g.now().Findings); n != 1 {
		t.Errorf("%d findings, want 1", n)
	}
}

func TestRefusedFindingKeepsWhatWasTypedAndThePhoto(t *testing.T) {
	g := newSurveyRig(t)
	w := g.upload(g.path("/findings"), asPosted("", "severity", "danger", "safety", "1"), "IMG_2.jpg", jpegOf(t, 4, 4))
	g.wants(w, http.StatusUnprocessableEntity, "what is seen is missing", `value="danger" checked`, `name="safety" value="1" checked`, `name="keep" value="`)
	hash := between(t, w.Body.String(), `name="keep" value="`, `"`)
	g.wants(g.post(g.path("/findings"), asPosted("Now with words", "keep", hash, "name."+hash, "IMG_2.jpg", "caption."+hash, "from below")), http.StatusSeeOther)
	photos := g.now().Findings[0].Photos
	if len(photos) != 1 || photos[0].Hash != hash || photos[0].Caption != "from below" || photos[0].MediaType != "image/jpeg" {
		t.Errorf("kept %+v", photos)
	}
}

func between(t *testing.T, text, before, after string) string {
	t.Helper()
	_, rest, found := strings.Cut(text, before)
	inner, _, ended := strings.Cut(rest, after)
	if !found || !ended {
		t.Fatalf("no %s…%s in the page", before, after)
	}
	return inner
}

func TestNextFindingOfTheDayIsFoundTheSameWay(t *testing.T) {
	g := newSurveyRig(t)
	g.find(rebuild.Finding{Zone: "cabin", What: "Code stored", HowFound: rebuild.FaultCode, On: "2026-05-04"})
	g.wants(g.get(g.path("/findings?zone=bonnet")), 200, `value="fault code" checked`)
	g.find(rebuild.Finding{Zone: "cabin", What: "Older", HowFound: rebuild.Told, On: "2026-05-03"})
	g.wants(g.get(g.path("/findings?zone=bonnet")), 200, `value="seen" checked`)
}

func TestFindingsAreFiltered(t *testing.T) {
	g := newSurveyRig(t)
	g.find(rebuild.Finding{Zone: "cabin", What: "Aaa belt jammed", Severity: rebuild.Danger, Safety: true})
	planned := g.find(rebuild.Finding{Zone: "boot", What: "Bbb floor buckled", Severity: rebuild.Major})
	settled := g.find(rebuild.Finding{Zone: "boot", What: "Ccc lamp broken"})
	g.find(rebuild.Finding{Zone: "roof", What: "Ddd shadow", Severity: rebuild.Cosmetic, Dismissed: "only a shadow"})
	job := func(finding int64, state rebuild.JobState, on string) {
		g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			return rb.AddJob(rebuild.Job{Title: "Job", Findings: []int64{finding}, Safety: rebuild.SafetyNone, Needed: 1, State: state, DoneOn: on})
		})
	}
	job(planned, rebuild.JobOpen, "")
	job(settled, rebuild.JobDone, "2026-05-03")
	for _, c := range []struct{ query, shown string }{
		{"", "Aaa Bbb Ccc Ddd"},
		{"state=open", "Aaa"},
		{"state=planned", "Bbb"},
		{"state=unsettled", "Aaa Bbb"},
		{"state=settled", "Ccc"},
		{"state=dismissed", "Ddd"},
		{"severity=danger", "Aaa"},
		{"safety=1", "Aaa"},
		{"zone=boot", "Bbb Ccc"},
		{"zone=boot&state=settled", "Ccc"},
		{"q=LAMP", "Ccc"},
		{"q=boot+floor", "Bbb"},
		{"q=only+shadow", "Ddd"},
		{"q=nothing+of+it", ""},
	} {
		w := g.get(g.path("/findings?"+c.query), "HX-Request", "true")
		g.wants(w, 200, `id="findings-list"`, "!<html")
		for _, word := range []string{"Aaa", "Bbb", "Ccc", "Ddd"} {
			if strings.Contains(c.shown, word) != strings.Contains(w.Body.String(), word) {
				t.Errorf("?%s: the list shows %s: %t", c.query, word, !strings.Contains(c.shown, word))
			}
		}
	}
}

func TestFindingIsChanged(t *testing.T) {
	g := newSurveyRig(t)
	a, b := g.keepFile("a.jpg", "image/jpeg", jpegOf(t, 4, 4)), g.keepFile("b.jpg", "image/jpeg", jpegOf(t, 5, 5))
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Belt", Safety: true, Photos: []rebuild.Attachment{a, b}})
	at := g.path(fmt.Sprintf("/findings/%d", id))
	g.wants(g.get(at), 200, "Belt", `href="/r/1/jobs/new?finding=`, "As long as no job settles it")
	fields := asPosted("Belt jammed", "form", "edit", "rev", "0", "keep", b.Hash, "caption."+b.Hash, "the buckle")
	g.wants(g.upload(at, fields, "c.jpg", jpegOf(t, 6, 6)), http.StatusSeeOther)
	f := g.now().Finding(id)
	if f.What != "Belt jammed" || f.Safety || len(f.Photos) != 2 || f.Photos[0].Hash != b.Hash || f.Photos[0].Caption != "the buckle" || f.Photos[1].Name != "c.jpg" {
		t.Errorf("kept %+v", f)
	}
	g.wants(g.post(at, asPosted("", "form", "edit", "rev", "1")), http.StatusUnprocessableEntity, "what is seen is missing")
	if n := len(g.now().Finding(id).Photos); n != 2 {
		t.Errorf("a refused form left %d photos of 2", n)
	}
}

func TestFindingIsDismissedAndStandsAgain(t *testing.T) {
	g := newSurveyRig(t)
	photo := g.keepFile("a.jpg", "image/jpeg", jpegOf(t, 4, 4))
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Stain", Safety: true, Photos: []rebuild.Attachment{photo}})
	at := g.path(fmt.Sprintf("/findings/%d", id))
	g.wants(g.post(at, url.Values{"form": {"dismiss"}, "rev": {"0"}, "dismissed": {" "}}), http.StatusUnprocessableEntity, "say why", photo.Hash)
	g.wants(g.post(at, url.Values{"form": {"dismiss"}, "rev": {"0"}, "dismissed": {"a shadow"}}), http.StatusSeeOther)
	f := g.now().Finding(id)
	if f.Dismissed != "a shadow" || !f.Safety || len(f.Photos) != 1 {
		t.Errorf("kept %+v", f)
	}
	g.wants(g.get(at), 200, "Dismissed: a shadow", "It needs doing after all", "!jobs/new")
	g.wants(g.post(at, url.Values{"form": {"reopen"}, "rev": {"1"}}), http.StatusSeeOther)
	if f := g.now().Finding(id); f.Dismissed != "" {
		t.Errorf("still dismissed: %q", f.Dismissed)
	}
}

func TestFindingIsDeletedAndComesBack(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Stain"})
	at := g.path(fmt.Sprintf("/findings/%d", id))
	w := g.post(at+"/delete", url.Values{"rev": {"0"}})
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "Done: you deleted the finding", g.path("/undo"))
	g.wants(g.get(at), http.StatusNotFound)
	g.wants(g.post(g.path("/undo"), url.Values{}), http.StatusSeeOther)
	g.wants(g.get(at), 200, "Stain")
}

func TestFindingConflicts(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Stain"})
	at := g.path(fmt.Sprintf("/findings/%d", id))
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		f := *rb.Finding(id)
		f.What = "Robin's words"
		return rb.EditFinding(f)
	})
	w := g.upload(at, asPosted("Kim's words", "form", "edit", "rev", "0"), "new.jpg", jpegOf(t, 4, 4))
	g.wants(w, http.StatusConflict, "Robin&#39;s words", "Kim&#39;s words", `name="rev" value="1"`, `name="keep"`)
	hash := between(t, w.Body.String(), `name="keep" value="`, `"`)
	g.wants(g.post(at, asPosted("Kim's words", "form", "edit", "rev", "1", "keep", hash, "name."+hash, "new.jpg")), http.StatusSeeOther)
	if f := g.now().Finding(id); f.What != "Kim's words" || len(f.Photos) != 1 || f.Photos[0].Name != "new.jpg" {
		t.Errorf("on top came %+v", f)
	}
	g.wants(g.post(at+"/delete", url.Values{"rev": {"0"}}), http.StatusConflict, "changed in another tab", at+"/delete")
	g.wants(g.get(at+"/delete"), 200, "Kim&#39;s words")
	g.wants(g.post(at+"/delete", url.Values{"rev": {"2"}}), http.StatusSeeOther)
	g.wants(g.post(at, asPosted("Too late", "form", "edit", "rev", "2")), http.StatusConflict, "was deleted", "Too late")
}

func TestFindingsThatAreNotThere(t *testing.T) {
	g := newSurveyRig(t)
	for _, path := range []string{g.path("/findings/99"), g.path("/findings/x"), "/r/9/findings", g.path("/zones/wings"), g.path("/zones/0"), g.path("/zones/25")} {
		g.wants(g.get(path), http.StatusNotFound)
	}
	g.wants(g.get(g.path("/findings?zone=nowhere&page=-7")), 200)
}

func TestManyFindingsComeInPages(t *testing.T) {
	g := newSurveyRig(t)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		var c rebuild.Change
		for i := range 2000 {
			f := rebuild.Finding{
				ID: int64(i + 1), Zone: rebuild.ZonePlaces[i%24].Key, What: fmt.Sprintf("Finding %04d", i+1),
				HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2026-05-01",
			}
			c.Edits = append(c.Edits, rebuild.Edit{After: f})
		}
		c.What = "entered many findings"
		return c, nil
	})
	w := g.get(g.path("/findings"))
	g.wants(w, 200, "Finding 2000", "Finding 1951", "!Finding 1950", "?page=2")
	g.wants(g.get(g.path("/findings?page=2")), 200, "Finding 1950", "Finding 1901", "!Finding 1900", "?page=3")
	g.wants(g.get(g.path("/findings?page=999")), 200, "Finding 0001", `rel="prev"`, `!rel="next"`)
	for _, path := range []string{"/findings", "/findings?q=0999", "/zones/cabin", "/findings/7", "/car"} {
		g.wants(g.get(g.path(path)), 200)
	}
}
