package web

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"
	"time"

	"wreckwright/rebuild"
)

// What is past is refused where it is wished for, booked or expected, beside its field
// and with what was typed; what stood there before may stay.
func TestPlanRefusesThePast(t *testing.T) {
	g := newSurveyRig(t)
	job := g.planJob("Weld the leg", 4)
	g.wants(g.post(g.path("/plan/milestones"), url.Values{"name": {"Meet"}, "wished_on": {"2026-05-03"}, "rev": {"0"}}), http.StatusUnprocessableEntity,
		"the wished date, 2026-05-03, is past: today is 2026-05-04", `value="Meet"`, `value="2026-05-03"`)
	g.wants(g.post(g.path("/plan/waiting"), url.Values{"what": {"Leg"}, "job": {fmt.Sprint(job)}, "expected_on": {"2020-01-01"}, "rev": {"0"}}), http.StatusUnprocessableEntity,
		"not ordered yet, 2020-01-01, is past", `value="Leg"`)
	g.wants(g.post(g.path("/plan/waiting"), url.Values{"what": {"Leg"}, "job": {fmt.Sprint(job)}, "ordered_on": {"2026-04-01"}, "expected_on": {"2026-05-01"}, "rev": {"0"}}), http.StatusSeeOther)
	of := g.path(fmt.Sprintf("/jobs/%d/plan", job))
	slot := url.Values{"plan": {"0"}, "rev": {"0"}, "who": {"outside"}, "slot.1": {"2026-05-01"}, "slot.2": {"2026-06-01"}, "outside_days.likely": {"3"}}
	g.wants(g.post(of, slot), http.StatusUnprocessableEntity, "the slot 2026-05-01 is past: today is 2026-05-04", `name="slot.1" type="date" value="2026-05-01"`)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		k := rebuild.JobPlan{JobID: job, Outside: true, WithoutMe: true, Slots: []string{"2026-05-01", "2026-06-01"}}
		k.OutsideDays.Low, k.OutsideDays.Likely, k.OutsideDays.High = 3, 3, 3
		return rb.SetJobPlan(k)
	})
	slot.Set("plan", fmt.Sprint(g.now().PlanOfJob(job).ID))
	g.wants(g.post(of, slot), http.StatusSeeOther)
}

// The pages say with what chance a slot is met, when a job is done by the plan, and
// only how far the search is where a page asks again.
func TestPlanSaysItsSlots(t *testing.T) {
	g := newSurveyRig(t)
	prepare, paint := g.planJob("Prepare", 200), g.planJob("Paint it", 1)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		k := rebuild.JobPlan{JobID: paint, After: []int64{prepare}, Outside: true, WithoutMe: true, Slots: []string{"2026-05-11"}}
		k.OutsideDays.Low, k.OutsideDays.Likely, k.OutsideDays.High = 3, 3, 3
		return rb.SetJobPlan(k)
	})
	g.wants(g.get(g.path("/plan")), 200, "Booked slots", "Not met by this plan.", "is assumed", "is missed in this plan", "Ready for the inspection", "Inspection held")
	g.wants(g.get(g.path(fmt.Sprintf("/jobs/%d", paint))), 200, "By the plan: begins", "in 8 of 10 cases", "Not met by this plan.")
	g.wants(g.get(g.path("/plan"), "HX-Request", "true"), 200, `id="plan-status"`, "!plan-body", "!Milestones")
	g.wants(g.get(g.path("/plan/what-if")+fmt.Sprintf("?slot_job=%d&slot_on=2026-05-12", paint)), 200, "That slot cannot be met: work before it likely ends on")
	g.wellBuilt(g.path("/plan"), g.path(fmt.Sprintf("/jobs/%d", paint)))
}

// Work that was laid aside goes on by a tap on the list of today and on its page.
func TestPlanLaidAsideGoesOn(t *testing.T) {
	g := newSurveyRig(t)
	weld, grind := g.planJob("Weld", 2), g.planJob("Grind", 2)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.StartJob(weld, "2026-05-03T09:00:00Z") })
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.StartJob(grind, "2026-05-03T10:00:00Z") })
	g.wants(g.get(g.path("/plan/today")), 200, "Go on now", "!Begin now")
	one := g.path(fmt.Sprintf("/jobs/%d", weld))
	g.wants(g.get(one), 200, "Go on now")
	g.wants(g.post(one+"/start", url.Values{"request": {"on"}}), http.StatusSeeOther)
	g.wants(g.get(one), 200, "!Go on now")
	g.wants(g.get(g.path(fmt.Sprintf("/jobs/%d", grind))), 200, "Go on now")
}

// Who works by the timetable today is ticked, and nobody who is through or away.
func TestWhoIsDueToday(t *testing.T) {
	wednesday := time.Date(2026, 5, 6, 19, 0, 0, 0, time.UTC)
	for name, c := range map[string]struct {
		p    rebuild.Person
		here bool
	}{
		"on Saturdays":      {rebuild.Person{Hours: []rebuild.WorkHours{{Weekday: 6, From: 540, To: 1020}}}, false},
		"on this evening":   {rebuild.Person{Hours: []rebuild.WorkHours{{Weekday: 3, From: 1110, To: 1260}}}, true},
		"until noon":        {rebuild.Person{Hours: []rebuild.WorkHours{{Weekday: 3, From: 480, To: 720}}}, false},
		"away":              {rebuild.Person{Hours: []rebuild.WorkHours{{Weekday: 3, From: 1110, To: 1260}}, Away: []rebuild.DaySpan{{From: "2026-05-05", To: "2026-05-06"}}}, false},
		"today for once":    {rebuild.Person{Extra: []rebuild.Opening{{On: "2026-05-06", From: 1080, To: 1260}}}, true},
		"tomorrow for once": {rebuild.Person{Extra: []rebuild.Opening{{On: "2026-05-07", From: 1080, To: 1260}}}, false},
	} {
		if got := dueToday(&c.p, wednesday); got != c.here {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// An hour is filled; what does not fit any more is for when time is left.
func TestTheHoursAreFilled(t *testing.T) {
	g := newSurveyRig(t)
	// A drive in the yard, of less than two hours, and three jobs of three hours each.
	for _, title := range []string{"One", "Two", "Three"} {
		g.planJob(title, 2)
	}
	g.wants(g.get(g.path("/plan/today")+"?asked=1&here=0&hours=2"), 200, "2 more things if time is left")
	g.wants(g.get(g.path("/plan/today")+"?asked=1&here=0"), 200, "!more things")
}
