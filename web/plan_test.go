package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// planJob enters a job with hours.
func (g *surveyRig) planJob(title string, hours float64) int64 {
	return g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{
			Title: title, Zone: "front-left-corner", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen,
			Routes: []rebuild.Route{{Kind: rebuild.Repair, Name: "Repair", Method: rebuild.MethodPlain, Works: 1, Hours: uncertain.Range{Low: hours, Likely: 1.5 * hours, High: 3 * hours}}},
		})
	})
}

var planPaths = []string{"/plan", "/plan/today", "/plan/waiting", "/plan/what-if", "/plan/set-up", "/plan/people", "/plan/things", "/plan/milestones"}

// An empty book says what is missing, on every page of the plan.
func TestPlanOfAnEmptyBook(t *testing.T) {
	g := newSurveyRig(t)
	for _, path := range planPaths {
		g.wellBuilt(g.path(path))
	}
	g.wants(g.get(g.path("/plan")), 200, "No plan yet")
	g.wants(g.get(g.path("/plan/waiting")), 200, "Nothing is on its way")
	g.wants(g.get(g.path("/plan/people")), 200, "Nobody yet", "14")
	g.wants(g.get(g.path("/plan/today")), 200, "No list for today")
}

// A job is begun and finished by one tap each; a second tap says that it was done.
func TestPlanTaps(t *testing.T) {
	g := newSurveyRig(t)
	job := g.planJob("Repair the upright", 2)
	g.wants(g.get(g.path("/plan/today")), 200, "Repair the upright", "Begin now", "Done now")
	start := g.path(fmt.Sprintf("/jobs/%d/start", job))
	form := url.Values{"request": {"tap"}, "back": {g.path("/plan/today")}}
	w := g.post(start, form)
	if to := w.Header().Get("Location"); w.Code != http.StatusSeeOther || !strings.HasPrefix(to, g.path("/plan/today")) {
		t.Fatalf("status %d to %q", w.Code, to)
	}
	g.wants(g.post(start, form), http.StatusSeeOther) // the same tap, sent twice
	g.wants(g.post(start, url.Values{"request": {"other"}}), http.StatusUnprocessableEntity, "began on 2026-05-04 already")
	g.wants(g.get(g.path("/plan/today")), 200, ">begun<", "!Begin now")
	g.wants(g.get(g.path(fmt.Sprintf("/jobs/%d", job))), 200, "Began", "Done now")
	g.wants(g.post(g.path(fmt.Sprintf("/jobs/%d/finish", job)), url.Values{"request": {"f"}}), http.StatusSeeOther)
	if j := g.now().Job(job); j.State != rebuild.JobDone || j.DoneOn != "2026-05-04" {
		t.Errorf("the job is %s, done on %q", j.State, j.DoneOn)
	}
	g.wants(g.post(g.path("/jobs/99/start"), url.Values{}), http.StatusNotFound)
	for _, path := range planPaths {
		g.wellBuilt(g.path(path)) // everything that was to be done is
	}
}

// A delivery is entered, blocks its job, and comes by one tap.
func TestPlanWaiting(t *testing.T) {
	g := newSurveyRig(t)
	job := g.planJob("Build the corner up", 3)
	list := g.path("/plan/waiting")
	bad := url.Values{"what": {"Hub carrier"}, "job": {fmt.Sprint(job)}, "lead_days.low": {"5"}, "ordered_on": {"2027-01-01"}, "faster.days": {"0"}, "supplier": {"Breaker in Ahlen"}}
	g.wants(g.post(list, bad), http.StatusUnprocessableEntity, "needs all three figures", "has not come yet", `value="Hub carrier"`, "Breaker in Ahlen", fmt.Sprintf(`value="%d" selected`, job))
	good := url.Values{
		"request": {"d"}, "what": {"Hub carrier"}, "job": {fmt.Sprint(job)}, "ordered_on": {"2026-05-01"}, "rev": {"0"},
		"lead_days.low": {"5"}, "lead_days.likely": {"9"}, "lead_days.high": {"20"}, "faster.days": {"4"}, "faster.cost": {"40"},
	}
	g.wants(g.post(list, good), http.StatusSeeOther)
	g.wants(g.post(list, good), http.StatusSeeOther) // sent twice, entered once
	if n := len(g.now().Deliveries); n != 1 {
		t.Fatalf("%d deliveries", n)
	}
	g.wants(g.get(list), 200, "Hub carrier", "Holds up: Build the corner up", "It came today", "4 days earlier")
	g.wants(g.get(g.path("/plan/today")), 200, "It would be their turn, but", "waits for Hub carrier", "!Begin now")
	d := g.now().Deliveries[0]
	one := fmt.Sprintf("%s/%d", list, d.ID)
	g.wellBuilt(list, one)
	g.wants(g.post(one, url.Values{"request": {"x"}, "rev": {"7"}, "what": {"Mine"}}), http.StatusConflict, "Mine", "Hub carrier")
	g.wants(g.post(list+"/99", url.Values{"rev": {"0"}, "what": {"x"}}), http.StatusConflict)
	g.wants(g.get(list+"/99"), http.StatusNotFound)
	g.wants(g.post(one+"/arrived", url.Values{"request": {"a"}}), http.StatusSeeOther)
	g.wants(g.post(one+"/arrived", url.Values{"request": {"b"}}), http.StatusUnprocessableEntity, "came on 2026-05-04 already")
	g.wants(g.get(list), 200, "Nothing is on its way", "Came last")
	g.wants(g.get(g.path("/plan/today")), 200, "Begin now")
}

// People, things, milestones and the timetable keep what was typed when they are
// refused, row by row.
func TestPlanSetUp(t *testing.T) {
	g := newSurveyRig(t)
	people := g.path("/plan/people")
	typed := url.Values{
		"name": {"Ava"}, "own": {"1"}, "week.2.1.from": {"18:30"}, "week.2.1.to": {"21:00"}, "week.6.1.from": {"9:00"},
		"away_from.3": {"2026-07-01"}, "away_to.3": {"2026-06-01"}, "away_why.3": {"the lake"}, "rev": {"0"},
	}
	g.wants(g.post(people, typed), http.StatusUnprocessableEntity, "Saturday: say from when and until when", `name="week.2.1.from" type="time" value="18:30"`, `name="away_why.1" value="the lake"`)
	typed.Set("week.6.1.to", "00:00")
	g.wants(g.post(people, typed), http.StatusUnprocessableEntity, "ends before it begins")
	typed.Set("away_to.3", "")
	g.wants(g.post(people, typed), http.StatusSeeOther)
	ava := g.now().People[0]
	if ava.Hours[1].To != 24*60 || ava.Away[0].To != "2026-07-01" || !ava.Own {
		t.Errorf("kept as %+v", ava)
	}
	g.wants(g.get(people), 200, "Tue 18:30–21:00, Sat 9:00–24:00", "away 1 time")
	g.wants(g.get(fmt.Sprintf("%s/%d", people, ava.ID)), 200, `name="week.6.1.to" type="time" value="00:00"`, "the lake")

	set := g.path("/plan/set-up")
	costs := url.Values{"request": {"t"}, "rev": {"0"}, "timetable": {"0"}, "quiet_from": {"20:00"}, "quiet_to": {"7:00"}, "cost_name.2": {"Storage"}, "cost_amount.2": {"much"}, "cost_per.2": {"week"}, "cost_per.1": {"day"}}
	g.wants(g.post(set, costs), http.StatusUnprocessableEntity, `name="cost_name.1" value="Storage"`, `value="much"`, "what it costs")
	costs.Set("cost_amount.2", "70")
	g.wants(g.post(set, costs), http.StatusSeeOther)
	if got := g.now().Timetable(); got.CostPerDay() != 10 || got.QuietFrom != 20*60 || len(got.Costs) != 1 {
		t.Errorf("kept as %+v", got)
	}
	g.wants(g.post(set, costs), http.StatusSeeOther) // the same form sent twice
	costs.Set("request", "late")
	g.wants(g.post(set, costs), http.StatusConflict, "the timetable")
	g.wants(g.get(set), 200, "Storage", "£10 a day")

	g.wants(g.post(g.path("/plan/milestones"), url.Values{"name": {"Meet"}, "late_once": {"50"}, "rev": {"0"}}), http.StatusUnprocessableEntity, "say by which day it is wished", `value="Meet"`)
	g.wants(g.post(g.path("/plan/things"), url.Values{"name": {"Lift"}, "rev": {"0"}}), http.StatusSeeOther)
	g.wants(g.post(g.path(fmt.Sprintf("/plan/things/%d/delete", g.now().Things[0].ID)), url.Values{"rev": {"0"}}), http.StatusSeeOther)
	if n := len(g.now().Things); n != 0 {
		t.Errorf("%d things are left", n)
	}
}

// What the plan knows of a job: after which, by whom, where; a circle is named.
func TestPlanOfAJob(t *testing.T) {
	g := newSurveyRig(t)
	weld, paint := g.planJob("Weld the leg", 4), g.planJob("Paint it", 1)
	of := func(job int64) string { return g.path(fmt.Sprintf("/jobs/%d/plan", job)) }
	after := func(job int64) url.Values {
		return url.Values{"plan": {"0"}, "rev": {"0"}, "who": {"me"}, "more_after": {fmt.Sprint(job)}}
	}
	g.wants(g.post(of(paint), after(weld)), http.StatusSeeOther)
	g.wants(g.post(of(weld), after(paint)), http.StatusUnprocessableEntity, "&#34;Weld the leg&#34; after &#34;Paint it&#34; after &#34;Weld the leg&#34;")
	g.wants(g.post(of(weld), url.Values{"plan": {"0"}, "rev": {"0"}, "who": {"outside"}, "slot.2": {"2026-06-01"}}), http.StatusUnprocessableEntity, "say how many days it takes outside", `name="slot.1" type="date" value="2026-06-01"`, `value="outside" checked`)
	g.wants(g.post(of(weld), url.Values{"plan": {"0"}, "rev": {"0"}, "who": {"outside"}, "slot.2": {"2026-06-01"}, "outside_days.likely": {"3"}, "car_goes": {"1"}}), http.StatusSeeOther)
	g.wants(g.get(g.path(fmt.Sprintf("/jobs/%d", weld))), 200, "somebody elsewhere, the car with it", "1 Jun 2026")
	g.wants(g.post(of(paint), after(weld)), http.StatusConflict)
	g.wellBuilt(of(weld), of(paint), g.path(fmt.Sprintf("/jobs/%d", weld)))
	w := g.get(g.path("/plan/what-if") + fmt.Sprintf("?slot_job=%d&slot_on=2026-05-11", weld))
	g.wants(w, 200, "earlier", "draws, so that only the change shows")
	g.wants(g.get(g.path("/plan/what-if")+"?helper=0"), 200, "say who comes besides, and on which day")
	g.wants(g.get(g.path("/plan/what-if")+fmt.Sprintf("?drop=%d", paint), "HX-Request", "true"), 200, "The finish", "!<h1")
	g.wants(g.get(g.path("/plan")), 200, "All done, even chance", "Weld the leg", "critical chain", "thing")
	calendar := g.get(g.path("/plan.ics"))
	if body := calendar.Body.String(); calendar.Header().Get("Content-Type") != "text/calendar; charset=utf-8" || !strings.HasPrefix(body, "BEGIN:VCALENDAR\r\n") || !strings.Contains(body, "Weld the leg") {
		t.Errorf("the calendar is %q", body)
	}
}

// A plan is kept, and later ones are held against it.
func TestPlanKept(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/plan/keep"), url.Values{}), http.StatusUnprocessableEntity, "there is no plan to keep")
	g.planJob("Repair the upright", 6)
	g.wants(g.post(g.path("/plan/keep"), url.Values{"request": {"k"}}), http.StatusSeeOther)
	g.planJob("Renew the wing", 40)
	g.wants(g.get(g.path("/plan")), 200, "The plan of 4 May 2026, and now", "later", "Hold against the first one again")
	g.wants(g.post(g.path("/plan/keep"), url.Values{"first": {"1"}}), http.StatusSeeOther)
	if g.now().Timetable().Kept != nil {
		t.Error("the plan is still kept")
	}
}
