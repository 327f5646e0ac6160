package web

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// aRun enters a run of the yard that was stopped, and gives its page.
func (g *surveyRig) aRun() (rebuild.ShakedownRun, string) {
	g.t.Helper()
	g.surveyDone()
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddShakedownRun(rebuild.ShakedownRun{
			Stage: rebuild.ShakeYard, At: "2026-05-02T10:30:45Z", By: "Ada", Km: 1.7, Minutes: 12, Felt: "soft pedal", Result: rebuild.RunStop,
		})
	})
	run := g.now().Shakedown[0]
	return run, g.path(fmt.Sprintf("/shakedown/yard/%d", run.ID))
}

// asItIs is the form of a run's page as it opens.
func asItIs(run rebuild.ShakedownRun) url.Values {
	return url.Values{
		"rev": {fmt.Sprint(run.Rev)}, "result": {string(run.Result)}, "felt": {run.Felt}, "by": {run.By}, "km": {"1.06"}, "minutes": {"12"},
		"at": {"2026-05-02T10:30"},
	}
}

func TestRunIsPutRight(t *testing.T) {
	g := newSurveyRig(t)
	run, page := g.aRun()
	g.wants(g.get(page), 200, "Yard", "Stopped, Ada drove", ">soft pedal</textarea>", `value="2026-05-02T10:30"`, `value="1.06"`)
	g.wants(g.get(g.path("/shakedown/yard")), 200, fmt.Sprintf(`href="%s"`, page), "Change or add to it")
	form := asItIs(run)
	form.Set("heard", "a click at full lock")
	g.wants(g.post(page, form), http.StatusSeeOther)
	now := g.now().Shakedown[0]
	if now.Heard != "a click at full lock" || now.At != run.At || now.Rev != run.Rev+1 || now.Km != 1.7 {
		t.Errorf("kept %+v", now) // the seconds of its moment too: nobody touched them
	}
	if _, _, err := g.book.Undo(t.Context(), store.By{Who: "Kim"}, g.id, 0); err != nil {
		t.Fatal(err)
	}
	if back := g.now().Shakedown[0]; back.Heard != "" {
		t.Errorf("undone: %+v", back)
	}
}

func TestRunIsRefusedWhatCannotBe(t *testing.T) {
	g := newSurveyRig(t)
	run, page := g.aRun()
	for name, c := range map[string]struct {
		field, value string
		wants        []string
	}{
		"a distance below none": {"km", "-5", []string{"must be between 0 and 3106 miles, not -5", `value="-5"`}},
		"farther than anybody":  {"km", "4000", []string{"must be between 0 and 3106 miles, not 4000", `value="4000"`}},
		"a letter for a figure": {"km", "half", []string{"the distance &#34;half&#34; is not a number", `value="half"`}},
		"too far":               {"km", "9000", []string{"the distance driven"}},
		"nobody":                {"by", "", []string{"say who drove"}},
		"not come yet":          {"at", "2099-01-01T10:00", []string{"has not come yet"}},
		"no moment":             {"at", "yesterday", []string{"is no day and time", `value="yesterday"`}},
		"nothing stopped it":    {"felt", "", []string{"say what stopped it"}},
		"no result":             {"result", "", []string{"say how it went"}},
		"no such finding":       {"more_findings", "99", []string{"finding 99 is not there any more"}},
		"no such measurement":   {"more_evidence", "99", []string{"measurement 99 is not there any more"}},
	} {
		t.Run(name, func(t *testing.T) {
			form := asItIs(run)
			form.Set(c.field, c.value)
			g.wants(g.post(page, form), http.StatusUnprocessableEntity, c.wants...)
		})
	}
	if now := g.now().Shakedown[0]; now.Rev != run.Rev {
		t.Errorf("it was changed all the same: %+v", now)
	}
	stale := asItIs(run)
	stale.Set("rev", "9")
	stale.Set("smelt", "hot oil")
	g.wants(g.post(page, stale), http.StatusConflict, "hot oil")
	g.wants(g.get(g.path("/shakedown/yard/9999")), http.StatusNotFound)
	g.wants(g.get(g.path(fmt.Sprintf("/shakedown/full/%d", run.ID))), http.StatusNotFound) // it is no run of that stage
}

// A run that was stopped is no pass by a stroke of the pen while its stage is held.
func TestStoppedRunBecomesNoPassWhileHeld(t *testing.T) {
	g := newSurveyRig(t)
	run, page := g.aRun()
	g.aSafetyJob("Renew the pads", rebuild.SafetyBrake)
	form := asItIs(run)
	form.Set("result", "pass")
	g.wants(g.post(page, form), http.StatusUnprocessableEntity, "is not released")
}

func TestFindingComesToARunLater(t *testing.T) {
	g := newSurveyRig(t)
	run, page := g.aRun()
	g.wants(g.get(page+"/finding"), 200, "Something more was found", "Add the finding")
	form := url.Values{"rev": {fmt.Sprint(run.Rev)}, "what": {"a drip at the left"}, "severity": {"major"}, "how_found": {"road test"}, "on": {"2026-05-02"}, "request": {"f1"}}
	g.wants(g.post(page+"/finding", form), http.StatusUnprocessableEntity, "no zone is chosen", `value="a drip at the left"`)
	form.Set("zone", "front-left-corner")
	for range 2 { // sent twice it counts once
		g.wants(g.post(page+"/finding", form), http.StatusSeeOther)
	}
	rb := g.now()
	if len(rb.Findings) != 1 || len(rb.Shakedown[0].Findings) != 1 {
		t.Fatalf("kept %+v, %+v", rb.Findings, rb.Shakedown)
	}
	g.wants(g.get(page), 200, "Found in it", "a drip at the left", fmt.Sprintf("/cases/new?finding=%d", rb.Findings[0].ID))
	form.Set("request", "f2")
	g.wants(g.post(page+"/finding", form), http.StatusConflict, "a drip at the left")
	// Without its tick the finding is not named any more, and stays.
	edit := asItIs(rb.Shakedown[0])
	g.wants(g.post(page, edit), http.StatusSeeOther)
	if rb := g.now(); len(rb.Findings) != 1 || len(rb.Shakedown[0].Findings) != 0 {
		t.Errorf("kept %+v, %+v", rb.Findings, rb.Shakedown)
	}
	edit = asItIs(g.now().Shakedown[0])
	edit.Set("more_findings", fmt.Sprint(rb.Findings[0].ID))
	g.wants(g.post(page, edit), http.StatusSeeOther)
	if rb := g.now(); len(rb.Shakedown[0].Findings) != 1 {
		t.Errorf("kept %+v", rb.Shakedown)
	}
	g.wants(g.post(page+"/delete", url.Values{"rev": {fmt.Sprint(g.now().Shakedown[0].Rev)}}), http.StatusSeeOther)
	g.wants(g.post(page+"/finding", form), http.StatusConflict, "a drip at the left") // it is gone; what was typed is not
}
