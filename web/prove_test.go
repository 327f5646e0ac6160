package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// proofRenderings are the pages of the section Prove beside their first ones.
func proofRenderings() []rendering {
	var list []rendering
	for _, g := range rebuild.Gates {
		list = append(list, rendering{"gate", "/r/1/gates/" + gateSlug(g), nil, http.StatusOK})
	}
	for _, s := range rebuild.ShakedownStages {
		list = append(list, rendering{"drive", "/r/1/shakedown/" + string(s), nil, http.StatusOK})
	}
	for _, it := range knowledge.InspectionItems() {
		list = append(list, rendering{"inspected", "/r/1/inspection/" + it.Key, nil, http.StatusOK})
	}
	return append(list,
		rendering{"error", "/r/1/gates/paint", nil, http.StatusNotFound},
		rendering{"error", "/r/1/shakedown/fast", nil, http.StatusNotFound},
		rendering{"error", "/r/1/inspection/wings", nil, http.StatusNotFound},
		rendering{"error", "/r/1/official-tests/9999", nil, http.StatusNotFound},
	)
}

// surveyDone sets the survey to done and gives the car a harmless job, so that the
// gates speak of what a test puts in their way only.
func (g *surveyRig) surveyDone() {
	g.t.Helper()
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		s := rb.Stages[2]
		s.State, s.DoneOn = rebuild.StageDone, "2026-05-01"
		return rb.EditStage(s)
	})
}

// aSafetyJob enters an open job of that class and gives its address.
func (g *surveyRig) aSafetyJob(title string, class rebuild.SafetyClass) int64 {
	g.t.Helper()
	return g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: title, Safety: class, Needed: 1, State: rebuild.JobOpen})
	})
}

var sealForm = regexp.MustCompile(`name="seal" value="([0-9a-f]+)"`)

// seal is the mark of the list that the page of the gate shows.
func seal(t *testing.T, w *httptest.ResponseRecorder) string {
	t.Helper()
	found := sealForm.FindStringSubmatch(w.Body.String())
	if found == nil {
		t.Fatal("the page has no form to pass the gate")
	}
	return found[1]
}

// A gate that is shut says why and where to go; it is passed against advice with a
// reason only, and what comes up later is new.
func TestGateIsPassedAgainstAdviceWithAReason(t *testing.T) {
	g := newSurveyRig(t)
	g.surveyDone()
	job := g.aSafetyJob("Renew the arm", rebuild.SafetySuspension)
	page := g.path("/gates/road-test")
	shown := g.get(page)
	g.wants(shown, 200, "Renew the arm is open", fmt.Sprintf(`href="%s"`, g.path(fmt.Sprintf("/jobs/%d", job))), "Pass it against advice", "Driving to test", "insured for this car", "!hard stop")
	g.wants(g.get(g.path("/gates")), 200, "closed", "Renew the arm is open", "0 of 6")
	g.wants(g.get(g.path("/now")), 200, "Renew the arm (open)", "/gates/road-test")
	mark := seal(t, shown)
	g.wants(g.post(page+"/pass", url.Values{"seal": {mark}, "reason": {"short"}}), http.StatusUnprocessableEntity, "write why it is passed", ">short</textarea>")
	g.wants(g.post(page+"/pass", url.Values{"seal": {"0000"}, "reason": {"only round the yard at walking pace"}}), http.StatusUnprocessableEntity, "has changed since")
	fields := url.Values{"seal": {mark}, "reason": {"only round the yard at walking pace"}, "request": {"p1"}}
	for range 2 { // sent twice it counts once
		g.wants(g.post(page+"/pass", fields), http.StatusSeeOther)
	}
	if n := len(g.now().GatePasses); n != 1 {
		t.Fatalf("%d passes", n)
	}
	g.wants(g.get(page), 200, "passed against advice", "only round the yard at walking pace", "stood against it", "It is passed")
	g.wants(g.get(g.path("/history")), 200, "against advice", "only round the yard")
	g.aSafetyJob("Renew the spring", rebuild.SafetySuspension)
	g.wants(g.get(page), 200, "new since the pass", "passed, new since")
	pass := g.now().GatePasses[0]
	g.wants(g.post(page+"/withdraw", url.Values{"pass": {fmt.Sprint(pass.ID)}, "rev": {fmt.Sprint(pass.Rev)}, "why": {"the yard was wet"}}), http.StatusSeeOther)
	g.wants(g.get(page), 200, "the yard was wet", "!It is passed")
	if told := workshop.GatePasses(g.now()); len(told) != 1 || told[0].Why != "the yard was wet" {
		t.Errorf("told %+v", told)
	}
}

func TestHardStopIsNotPassed(t *testing.T) {
	g := newSurveyRig(t)
	g.surveyDone()
	g.aSafetyJob("Renew the pads", rebuild.SafetyBrake)
	for _, which := range rebuild.Gates {
		page := g.path("/gates/" + gateSlug(which))
		g.wants(g.get(page), 200, "Hard stops: no reason passes these", "Renew the pads is open", "It cannot be passed", "!name=\"reason\"")
		g.wants(g.post(page+"/pass", url.Values{"seal": {""}, "reason": {"a very good reason indeed"}}), http.StatusUnprocessableEntity, "no reason passes that")
	}
	if n := len(g.now().GatePasses); n != 0 {
		t.Errorf("%d passes", n)
	}
	g.wants(g.get(g.path("/shakedown/yard")), 200, "Not released")
	g.wants(g.post(g.path("/shakedown/yard"), url.Values{"result": {"pass"}}), http.StatusUnprocessableEntity, "is not released")
}

func TestWordsAreGivenAndTakenBack(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/gates/road-test")
	g.wants(g.post(page+"/confirm", url.Values{}), http.StatusUnprocessableEntity, "nothing is ticked")
	g.wants(g.post(page+"/confirm", url.Values{"caution": {"road-test", "no such hazard"}, "must-do": {"insured", "booked"}}), http.StatusSeeOther)
	words := g.now().Confirmations
	if len(words) != 2 || words[0].Text != "Driving to test" || !strings.HasPrefix(words[1].Text, "Whoever drives it is insured") {
		t.Fatalf("kept %+v", words) // "booked" stands at another gate
	}
	g.wants(g.get(page), 200, "Not any more")
	g.wants(g.post(page+"/take-back", url.Values{"word": {fmt.Sprint(words[1].ID)}, "rev": {"0"}}), http.StatusSeeOther)
	g.wants(g.post(page+"/take-back", url.Values{"word": {fmt.Sprint(words[0].ID)}, "rev": {"5"}}), http.StatusConflict)
	if n := len(g.now().Confirmations); n != 1 {
		t.Errorf("%d words", n)
	}
}

// A run with a finding: the finding stands among the findings, leads to a case, and
// holds the stage back.
func TestDriveWithAFinding(t *testing.T) {
	g := newSurveyRig(t)
	g.surveyDone()
	page := g.path("/shakedown/yard")
	g.wants(g.get(page), 200, "may be done now", "Stop at any of these", "The pedal sinks or is soft", "Driving to test")
	g.wants(g.post(page, url.Values{"felt": {"soft pedal"}}), http.StatusUnprocessableEntity, "say how it went", ">soft pedal</textarea>")
	g.wants(g.post(page, url.Values{"result": {"stop"}}), http.StatusUnprocessableEntity, "say what stopped it")
	g.wants(g.post(page, url.Values{"result": {"stop"}, "what": {"a drip at the left"}, "severity": {"major"}, "how_found": {"road test"}}), http.StatusUnprocessableEntity, "no zone is chosen")
	fields := url.Values{"result": {"stop"}, "what": {"a drip at the left"}, "zone": {"front-left-corner"}, "severity": {"danger"}, "how_found": {"road test"}, "km": {"0,5"}, "minutes": {"12"}, "request": {"d1"}}
	for range 2 {
		g.wants(g.post(page, fields), http.StatusSeeOther)
	}
	rb := g.now()
	if len(rb.Shakedown) != 1 || len(rb.Findings) != 1 || rb.Shakedown[0].Findings[0] != rb.Findings[0].ID || rb.Findings[0].HowFound != rebuild.RoadTest {
		t.Fatalf("kept %+v, %+v", rb.Shakedown, rb.Findings)
	}
	g.wants(g.get(page), 200, "Stopped", "a drip at the left", fmt.Sprintf("/cases/new?finding=%d", rb.Findings[0].ID))
	g.wants(g.get(g.path("/gates/road-test")), 200, "A drip at the left is open")
	run := rb.Shakedown[0]
	g.wants(g.post(g.path(fmt.Sprintf("/shakedown/yard/%d/delete", run.ID)), url.Values{"rev": {fmt.Sprint(run.Rev)}}), http.StatusSeeOther)
	if rb := g.now(); len(rb.Shakedown) != 0 || len(rb.Findings) != 1 {
		t.Error("the finding went with its run")
	}
}

func TestInspectionByTapAndByPage(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/inspection")), 200, "0 of 39 items looked at", "at least 1.6 mm", "Driver&#39;s seat", "not looked at")
	tyres := g.path("/inspection/left-tyres")
	g.wants(g.post(tyres, url.Values{"result": {"pass"}, "value": {"1.6"}, "note": {"even"}, "rev": {"0"}}), http.StatusSeeOther)
	g.wants(g.get(tyres), 200, "to be within the limit", "reg. 27", "(read in part)", "Fails:")
	g.wants(g.post(tyres, url.Values{"result": {"fail"}, "tap": {"1"}, "rev": {"9"}}), http.StatusConflict)
	g.wants(g.post(tyres, url.Values{"result": {"advisory"}, "tap": {"1"}, "rev": {"0"}}), http.StatusSeeOther)
	if h := g.now().RehearsedItem("left-tyres"); h.Result != rebuild.ItemAdvisory || h.Value == nil || *h.Value != 1.6 || h.Note != "even" {
		t.Errorf("a tap lost what was read: %+v", h)
	}
	g.wants(g.post(g.path("/inspection/horn"), url.Values{"result": {"maybe"}, "rev": {"0"}}), http.StatusUnprocessableEntity, "advisory")
	g.wants(g.post(g.path("/official-test"), url.Values{"on": {"2026-05-03"}, "result": {"pass"}, "found.1.key": {"horn"}, "found.1.found": {"fail"}}), http.StatusUnprocessableEntity, "no item that failed")
	g.wants(g.post(g.path("/official-test"), url.Values{"on": {"2026-05-03"}, "result": {"fail"}, "found.1.key": {"horn"}, "found.1.found": {"fail"}, "found.1.text": {"silent"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/inspection")), 200, "Found where nobody had looked", "Horn", "Judged milder by the test", "had been expected")
	test := g.now().OfficialTests[0]
	at := g.path(fmt.Sprintf("/official-tests/%d", test.ID))
	g.wants(g.post(at, url.Values{"on": {"2026-05-03"}, "result": {"fail"}, "found.1.text": {"horn silent"}, "rev": {fmt.Sprint(test.Rev)}}), http.StatusSeeOther)
	if now := g.now().OfficialTests[0]; *now.Chance != *test.Chance || now.Items[0].Text != "horn silent" {
		t.Errorf("edited: %+v", now)
	}
	g.wants(g.post(tyres+"/forget", url.Values{"rev": {"1"}}), http.StatusSeeOther)
	if g.now().RehearsedItem("left-tyres") != nil {
		t.Error("it is still looked at")
	}
}

// What a car has not is said of it in one tap, where some cars have it not: then
// it is looked at and costs nothing.
func TestAnItemThatDoesNotApply(t *testing.T) {
	g := newSurveyRig(t)
	smoke, horn := g.path("/inspection/exhaust-smoke"), g.path("/inspection/horn")
	g.wants(g.get(smoke), 200, "Not on this car", "Diesel engines only")
	g.wants(g.get(horn), 200, "!Not on this car")
	g.wants(g.post(smoke, url.Values{"result": {"does not apply"}, "tap": {"1"}, "rev": {"0"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/inspection")), 200, "1 of 39 items looked at", "not on this car")
	g.wants(g.post(horn, url.Values{"result": {"does not apply"}, "note": {"none"}, "rev": {"0"}}), http.StatusUnprocessableEntity, "every car has this", "none")
	g.wants(g.post(g.path("/official-test"), url.Values{"on": {"2026-05-03"}, "result": {"fail"}, "found.1.key": {"horn"}, "found.1.found": {"does not apply"}}), http.StatusUnprocessableEntity)
}

// A pass that something came up against since says so, counts as not looked at, and
// leads to what stands open.
func TestARehearsedItemGrowsStale(t *testing.T) {
	g := newSurveyRig(t)
	item := g.path("/inspection/left-tyres")
	g.wants(g.post(item, url.Values{"rev": {"0"}, "tap": {"1"}, "result": {"pass"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/inspection")), 200, "1 of 39 items looked at", "!look again")
	id := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddFinding(rebuild.Finding{Zone: "front-left-corner", What: "Tyre: nick in the side", HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2099-01-01"})
	})
	at := fmt.Sprintf(`href="%s"`, g.path(fmt.Sprintf("/findings/%d", id)))
	g.wants(g.get(g.path("/inspection")), 200, "0 of 39 items looked at", "look again", "Counts as not looked at", "Tyre: nick in the side", at)
	g.wants(g.get(item), 200, "look again", "Counts as not looked at", at)
}
