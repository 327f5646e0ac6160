package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// asWalked are the fields of a look at a zone as a browser sends them.
func asWalked(zone string, seen []string, more ...string) url.Values {
	v := url.Values{"zone": {zone}, "seen": seen, "what": {""}, "severity": {"minor"}, "depth": {"outside"}, "hit": {""}}
	for i := 0; i+1 < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	return v
}

func TestWalkBecomesFindingsJobsAndReserveInOneChange(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/findings")), 200, `href="/r/1/walk"`)
	g.wants(g.get(g.path("/walk")), 200, "Ten minutes round the car", "Begin: front left wheel", `href="/r/1/walk?zone=front-left-corner#look"`, "0 of 24 zones", "Nothing to add up yet", `!name="seen"`)
	g.wants(g.get(g.path("/walk?zone=front-left-corner")), 200,
		`name="seen" value="wheel-pushed-back"`, "Wheel pushed back", "Renew the bent suspension arms; Measure the shell", "own estimates",
		`value="outside" checked`, `capture="environment"`, "Under a raised car", "Nothing to see here")

	w := g.upload(g.path("/walk"), asWalked("front-left-corner", []string{"wheel-pushed-back", "tyre"}, "what", "badge gone", "severity", "cosmetic"), "IMG_1.jpg", jpegOf(t, 8, 8))
	g.wants(w, http.StatusSeeOther)
	to := w.Header().Get("Location")
	if !strings.HasPrefix(to, g.path("/walk?at=front-left-corner&did=")) {
		t.Errorf("goes on to %q, not back to the plan", to)
	}
	rb := g.now()
	if len(rb.Findings) != 3 || len(rb.Jobs) != 3 {
		t.Fatalf("%d findings, %d jobs; want 3, 3", len(rb.Findings), len(rb.Jobs))
	}
	for _, f := range rb.Findings {
		if len(f.Photos) != 1 || f.On != "2026-05-04" || f.Zone != "front-left-corner" {
			t.Errorf("kept %+v", f)
		}
	}
	if f := rb.Findings[2]; f.What != "badge gone" || f.Severity != rebuild.Cosmetic || f.Safety {
		t.Errorf("kept %+v", f)
	}
	zone := rb.Zone("front-left-corner")
	if zone.OpenShare != 0.1 || zone.HiddenExpected != 2.5 {
		t.Errorf("the zone stands at %+v", zone)
	}
	g.wants(g.get(to), 200, "Done: you noted 3 findings at the zone front left wheel and suspension, with 3 jobs and a reserve for what may hide.",
		"3 jobs that this suggests", "Would come to about", fmt.Sprintf(`href="/r/1/jobs/%d"`, rb.Jobs[0].ID), "Own estimate", "1 of 24 zones", "2 safety-critical",
		"Front left wheel and suspension: 3 open, 2 safety", "Next: front bumper", "in eight of ten cases", "1 finding has no job yet", "!Nothing to add up yet")

	// One undo takes all of it back.
	g.wants(g.post(g.path("/undo"), url.Values{"request": {"u"}, "back": {to}}), http.StatusSeeOther)
	rb = g.now()
	if zone := rb.Zone("front-left-corner"); len(rb.Findings)+len(rb.Jobs) != 0 || zone.OpenShare != 0 || zone.HiddenExpected != 0 {
		t.Errorf("after the undo: %d findings, %d jobs, zone %+v", len(rb.Findings), len(rb.Jobs), zone)
	}
	g.wants(g.get(g.path("/walk")), 200, "0 of 24 zones", "Nothing to add up yet")
}

func TestWalkSentTwiceCountsOnce(t *testing.T) {
	g := newSurveyRig(t)
	fields := asWalked("roof", []string{"roof-pushed"}, "request", "token-1")
	for range 2 {
		g.wants(g.post(g.path("/walk"), fields), http.StatusSeeOther)
	}
	if rb := g.now(); len(rb.Findings) != 1 || len(rb.Jobs) != 2 {
		t.Errorf("%d findings, %d jobs; want 1, 2", len(rb.Findings), len(rb.Jobs))
	}
}

func TestWalkShowsWhatIsNotedAlready(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/walk"), asWalked("bonnet", []string{"gaps-uneven"})), http.StatusSeeOther)
	g.wants(g.get(g.path("/walk?zone=bonnet")), 200, "noted already", `!value="gaps-uneven"`, "Noted here")
	g.wants(g.post(g.path("/walk"), asWalked("bonnet", []string{"gaps-uneven"})), http.StatusUnprocessableEntity, "noted already")
	// The shell is measured once for the whole car, whoever finds the reason.
	g.wants(g.post(g.path("/walk"), asWalked("boot", []string{"gaps-uneven"})), http.StatusSeeOther)
	if rb := g.now(); len(rb.Jobs) != 1 || len(rb.Jobs[0].Findings) != 2 {
		t.Errorf("jobs %+v", rb.Jobs)
	}
}

func TestWalkSaysThatNothingIsToBeSeen(t *testing.T) {
	g := newSurveyRig(t)
	w := g.post(g.path("/walk"), asWalked("roof", nil, "nothing", "1"))
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "Done: you looked at the zone roof and found nothing.", "Roof: nothing found", "1 of 24 zones", "!that this suggests")
	if z := g.now().Zone("roof"); z.OpenShare != 0.1 || z.HiddenExpected != 0 {
		t.Errorf("the zone stands at %+v", z)
	}
	// A deeper look goes on from there; a shallower one closes nothing.
	g.wants(g.post(g.path("/walk"), asWalked("roof", nil, "nothing", "1", "depth", "panels-off")), http.StatusSeeOther)
	g.wants(g.get(g.path("/walk?zone=roof")), 200, `value="panels-off" checked`, "50\u00a0% open")
	g.wants(g.post(g.path("/walk"), asWalked("roof", []string{"hail"})), http.StatusSeeOther)
	if z := g.now().Zone("roof"); z.OpenShare != 0.5 {
		t.Errorf("the zone stands at %+v", z)
	}
}

func TestRefusedWalkKeepsWhatWasTickedAndThePhoto(t *testing.T) {
	g := newSurveyRig(t)
	long := strings.Repeat("x", 501)
	w := g.upload(g.path("/walk"), asWalked("roof", []string{"panel-dented"}, "what", long, "severity", "danger", "safety", "1", "hit", "hard", "depth", "stripped"), "IMG_2.jpg", jpegOf(t, 4, 4))
	g.wants(w, http.StatusUnprocessableEntity, `value="panel-dented" checked`, `value="danger" checked`, `name="safety" value="1" checked`,
		`value="hard" checked`, `value="stripped" checked`, long, `name="keep" value="`, `<details class="walk-else" open>`)
	hash := between(t, w.Body.String(), `name="keep" value="`, `"`)
	g.wants(g.post(g.path("/walk"), asWalked("roof", []string{"panel-dented"}, "keep", hash, "name."+hash, "IMG_2.jpg")), http.StatusSeeOther)
	if photos := g.now().Findings[0].Photos; len(photos) != 1 || photos[0].Hash != hash {
		t.Errorf("kept %+v", photos)
	}
}

func TestWalkRefuses(t *testing.T) {
	g := newSurveyRig(t)
	for _, c := range []struct {
		fields url.Values
		says   string
	}{
		{asWalked("roof", nil), "nothing is ticked"},
		{asWalked("roof", []string{"hail"}, "nothing", "1"), "before saying that nothing is to be seen"},
		{asWalked("roof", []string{"wheel-pushed-back"}), "is not on the list of this zone"},
		{asWalked("roof", []string{"hail"}, "depth", ""), "how far it was looked into is missing"},
		{asWalked("roof", []string{"hail"}, "hit", "gale"), "how hard it was hit cannot be"},
		{asWalked("roof", nil, "what", "aerial gone", "severity", "awful"), "how bad it is cannot be"},
		{asWalked("moon", nil, "what", "crater"), "there is no zone"},
	} {
		w := g.post(g.path("/walk"), c.fields)
		g.wants(w, http.StatusUnprocessableEntity, c.says)
		for _, fault := range checkStructure(w.Body.String()) {
			t.Errorf("%s: %s", c.says, fault)
		}
	}
	w := g.upload(g.path("/walk"), asWalked("roof", nil), "IMG_3.jpg", jpegOf(t, 4, 4))
	g.wants(w, http.StatusUnprocessableEntity, "what does the photo show?")
	if n := len(g.now().Findings); n != 0 {
		t.Errorf("%d findings were kept", n)
	}
	g.wants(g.get("/r/99/walk"), http.StatusNotFound)
	g.wants(g.post("/r/99/walk", asWalked("roof", []string{"hail"})), http.StatusNotFound)
	g.wants(g.get(g.path("/walk?zone=moon")), 200, "Tap where you stand", `!name="seen"`)
}

func TestWalkLeavesOwnReserveAlone(t *testing.T) {
	g := newSurveyRig(t)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		z := *rb.Zone("boot")
		z.HiddenExpected, z.HiddenCost = 0.2, uncertain.Certain(75)
		return rb.EditZone(z)
	})
	g.wants(g.get(g.path("/walk?zone=boot")), 200, "a reserve of your own")
	g.wants(g.post(g.path("/walk"), asWalked("boot", []string{"boot-floor"}, "hit", "hard")), http.StatusSeeOther)
	if z := g.now().Zone("boot"); z.HiddenExpected != 0.2 || z.HiddenCost.Likely != 75 {
		t.Errorf("it became %+v", z)
	}
}

// In a currency for which there is no rough rate nothing is made up.
func TestWalkInACurrencyWithoutEstimates(t *testing.T) {
	g := newSurveyRig(t)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		car := rb.Car
		car.Currency = "ISK"
		return rb.EditCar(car)
	})
	g.wants(g.get(g.path("/walk?zone=roof")), 200, "There are no estimates in ISK", "!· about ")
	w := g.post(g.path("/walk"), asWalked("roof", []string{"roof-pushed"}))
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "no figures yet", "Nothing to add up yet")
	if rb := g.now(); len(rb.Jobs[0].Routes) != 0 || rb.Zone("roof").HiddenExpected != 0 {
		t.Errorf("jobs %+v, zone %+v", rb.Jobs, rb.Zone("roof"))
	}
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		car := rb.Car
		car.Currency = "EUR"
		return rb.EditCar(car)
	})
	g.wants(g.get(g.path("/walk?zone=bonnet")), 200, "at a rough 1.2 EUR to one as at 1 Jan 2025")
}

func TestWalkGoesRoundAllZonesOnce(t *testing.T) {
	if len(walkOrder) != len(rebuild.ZonePlaces) {
		t.Errorf("%d stops for %d zones", len(walkOrder), len(rebuild.ZonePlaces))
	}
	seen, at := map[string]bool{}, "rear-bumper"
	for range rebuild.ZonePlaces {
		at = nextOnTheWalk(seen, at)
		if seen[at] || rebuild.ZoneName(at) == at {
			t.Fatalf("the way leads to %q", at)
		}
		seen[at] = true
	}
	if next := nextOnTheWalk(seen, at); next != "" {
		t.Errorf("after all zones the way leads to %q", next)
	}
	for _, o := range hitOptions {
		if o.Value != "" && !slices.Contains(knowledge.Hits(), o.Value) {
			t.Errorf("nothing is hit %q", o.Value)
		}
	}
}

// Every page of the walk keeps to the structure, zone by zone and filled.
func TestWalkPagesAreWellBuilt(t *testing.T) {
	g := newSurveyRig(t)
	for _, place := range rebuild.ZonePlaces {
		w := g.get(g.path("/walk?zone=" + place.Key))
		for _, fault := range checkStructure(w.Body.String()) {
			t.Errorf("%s: %s", place.Key, fault)
		}
	}
	w := g.post(g.path("/walk"), asWalked("cabin", []string{"airbag-fired", "belt", "dashboard"}))
	g.wants(w, http.StatusSeeOther)
	for _, path := range []string{w.Header().Get("Location"), g.path("/walk?zone=cabin")} {
		for _, fault := range checkStructure(g.get(path).Body.String()) {
			t.Errorf("%s: %s", path, fault)
		}
	}
}
