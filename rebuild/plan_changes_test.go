package rebuild_test

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

func TestADeletedJobLeavesThePlanWhole(t *testing.T) {
	r := planned(t)
	strip, weld, paint := jobID(r, "Strip"), jobID(r, "Weld"), jobID(r, "Paint")
	for _, p := range []rebuild.JobPlan{{JobID: weld, After: []int64{strip}}, {JobID: paint, After: []int64{weld}}} {
		r = done(t, r, func() (rebuild.Change, error) { return r.SetJobPlan(p) })
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddDelivery(rebuild.Delivery{JobID: weld, What: "leg"}) })
	r = done(t, r, func() (rebuild.Change, error) {
		return r.AddMilestone(rebuild.Milestone{Name: "metal done", Jobs: []int64{strip, weld}})
	})
	r = done(t, r, func() (rebuild.Change, error) {
		return r.AddSheet(rebuild.Sheet{Of: rebuild.InstrumentAngles, Title: "Wheels", JobID: weld})
	})
	c, err := r.DeleteJob(weld, r.Job(weld).Rev)
	if err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{`the job plan of "Paint" names it no more`, `the milestone "metal done" names it no more`, `the delivery "leg" names it no more`, `the measuring sheet "Wheels" names it no more`} {
		if !strings.Contains(c.What, words) {
			t.Errorf("the journal says %q, not %q", c.What, words)
		}
	}
	next := applied(t, r, c)
	if err := next.Validate(); err != nil {
		t.Error(err)
	}
	if next.PlanOfJob(weld) != nil || !slices.Equal(next.PlanOfJob(paint).After, []int64{strip}) {
		t.Errorf("the plans are %+v: what came after the job should come after what that came after", next.JobPlans)
	}
	if next.Deliveries[0].JobID != 0 || next.Sheets[0].JobID != 0 || !slices.Equal(next.Milestones[0].Jobs, []int64{strip}) {
		t.Errorf("still named: %+v %+v %+v", next.Deliveries, next.Sheets, next.Milestones)
	}
	back, err := c.Inverse(next)
	if err != nil {
		t.Fatal(err)
	}
	if again := applied(t, next, back); len(again.JobPlans) != 2 || again.Deliveries[0].JobID != weld || !slices.Equal(again.PlanOfJob(paint).After, []int64{weld}) {
		t.Errorf("after the undo the plans are %+v", again.JobPlans)
	}
}

func TestAPersonWhoGoesLeavesNoJobWithNobody(t *testing.T) {
	r := planned(t)
	bo := r.Helpers()[0]
	r = done(t, r, func() (rebuild.Change, error) {
		return r.SetJobPlan(rebuild.JobPlan{JobID: jobID(r, "Weld"), WithoutMe: true, Helpers: []int64{bo.ID}, Holds: []rebuild.ThingUse{{r.Things[0].ID, 1}}})
	})
	r = done(t, r, func() (rebuild.Change, error) { return r.DeletePerson(bo.ID, bo.Rev) })
	r = done(t, r, func() (rebuild.Change, error) { return r.DeleteThing(r.Things[0].ID, 0) })
	if p := r.JobPlans[0]; p.WithoutMe || len(p.Helpers) > 0 || len(p.Holds) > 0 {
		t.Errorf("the plan is %+v", p)
	}
	if err := r.Validate(); err != nil {
		t.Error(err)
	}
}

func TestOneTapStartsAndFinishesAJob(t *testing.T) {
	r := planned(t)
	job := jobID(r, "Strip")
	r = done(t, r, func() (rebuild.Change, error) { return r.StartJob(job, "2026-03-03T18:30:00+01:00") })
	if j := r.Job(job); j.State != rebuild.JobDoing || r.PlanOfJob(job).StartedAt != "2026-03-03T18:30:00+01:00" {
		t.Errorf("begun, the job is %+v, planned %+v", j, r.PlanOfJob(job))
	}
	_, err := r.StartJob(job, "2026-03-03T18:31:00+01:00")
	refusedWith(t, err, "started_at", `"Strip" began on 2026-03-03 already`)
	_, err = r.FinishJob(job, "2026-03-01T18:31:00+01:00")
	refusedWith(t, err, "done_at", "before it began")
	_, err = r.FinishJob(job, "")
	refusedWith(t, err, "done_at", "say when it was done")
	finish, err := r.FinishJob(job, "2026-03-07T12:00:00+01:00")
	if err != nil {
		t.Fatal(err)
	}
	over := applied(t, r, finish)
	if j := over.Job(job); j.State != rebuild.JobDone || j.DoneOn != "2026-03-07" || over.PlanOfJob(job).DoneAt == "" {
		t.Errorf("finished, the job is %+v", j)
	}
	_, err = over.StartJob(job, "2026-03-08T12:00:00Z")
	refusedWith(t, err, "state", `the job "Strip" is done already`)
	back, err := finish.Inverse(over)
	if err != nil {
		t.Fatal(err)
	}
	if again := applied(t, over, back); again.Job(job).State != rebuild.JobDoing || again.PlanOfJob(job).DoneAt != "" {
		t.Errorf("after the undo the job is %+v", again.Job(job))
	}
	if _, err := r.StartJob(999, "2026-03-03T18:30:00Z"); !errors.As(err, new(*rebuild.Missing)) {
		t.Errorf("a job that is not there: %v", err)
	}
}

func TestWhatArrivesLetsTheJobGoOn(t *testing.T) {
	r := planned(t)
	job := jobID(r, "Weld")
	for _, what := range []string{"leg", "bolts"} {
		r = done(t, r, func() (rebuild.Change, error) { return r.AddDelivery(rebuild.Delivery{JobID: job, What: what}) })
	}
	r = done(t, r, func() (rebuild.Change, error) {
		return r.SetOutcome(job, r.Job(job).Rev, rebuild.Outcome{State: rebuild.JobWaiting, WaitingFor: "parts"})
	})
	r = done(t, r, func() (rebuild.Change, error) { return r.Arrive(r.Deliveries[0].ID, "2026-03-05") })
	if r.Job(job).State != rebuild.JobWaiting {
		t.Error("the job waits for the bolts still")
	}
	_, err := r.Arrive(r.Deliveries[0].ID, "2026-03-06")
	refusedWith(t, err, "arrived_on", `"leg" came on 2026-03-05 already`)
	r = done(t, r, func() (rebuild.Change, error) { return r.Arrive(r.Deliveries[1].ID, "2026-03-06") })
	if j := r.Job(job); j.State != rebuild.JobOpen || j.WaitingFor != "" {
		t.Errorf("the job is %+v", j)
	}
}

func TestOneTimetableOnly(t *testing.T) {
	r := planned(t)
	first := done(t, r, func() (rebuild.Change, error) {
		return r.SetTimetable(rebuild.Timetable{QuietFrom: 1260, QuietTo: 420})
	})
	if _, err := first.SetTimetable(rebuild.Timetable{}); !errors.As(err, new(*rebuild.Conflict)) {
		t.Errorf("a form opened before there was one: %v", err)
	}
	stand := &rebuild.PlanStand{On: "2026-03-01", P10: "2026-05-01", P50: "2026-05-20", P80: "2026-06-03", P90: "2026-06-20", Reached: []rebuild.ReachedStand{}}
	kept := done(t, first, func() (rebuild.Change, error) { return first.KeepPlan(stand) })
	if got := kept.Timetable(); got.Kept == nil || got.Kept.P80 != "2026-06-03" || got.QuietFrom != 1260 || got.Rev != 1 {
		t.Errorf("the timetable is %+v", got)
	}
	if len(kept.Timetables) != 1 || !reflect.DeepEqual(kept, kept.Tidy()) {
		t.Errorf("not tidy: %+v", kept.Timetables)
	}
}

func TestASheetIsKeptUpToItsSize(t *testing.T) {
	r := planned(t)
	sheet := rebuild.Sheet{Of: rebuild.InstrumentSurvey, Title: "Underbody", Told: `"` + strings.Repeat("x", rebuild.MaxToldBytes-2) + `"`}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddSheet(sheet) })
	at := r.Sheets[0]
	at.Told += " "
	_, err := r.EditSheet(at)
	refusedWith(t, err, "told", "the readings have 262145 bytes; at most 262144 fit on one sheet")
	at.Told = `{"distances":`
	_, err = r.EditSheet(at)
	refusedWith(t, err, "told", "not valid JSON")
	at.Told, at.Rev = "", 7
	if _, err = r.EditSheet(at); !errors.As(err, new(*rebuild.Conflict)) {
		t.Errorf("an edit of another revision: %v", err)
	}
	_, err = r.AddSheet(rebuild.Sheet{Of: rebuild.InstrumentCheck, Title: "x"})
	refusedWith(t, err, "of", "what the sheet is for")
}

// TestWhatWasLaidAsideGoesOn: of two jobs begun the one begun last cannot be begun
// again; the other, or one that waits or was opened again, goes on from the tap.
func TestWhatWasLaidAsideGoesOn(t *testing.T) {
	r := planned(t)
	strip, weld := jobID(r, "Strip"), jobID(r, "Weld")
	tap := func(job int64, at string) {
		t.Helper()
		r = done(t, r, func() (rebuild.Change, error) { return r.StartJob(job, at) })
	}
	tap(strip, "2026-03-03T18:30:00+01:00")
	tap(weld, "2026-03-03T19:00:00+01:00")
	_, err := r.StartJob(weld, "2026-03-03T19:30:00+01:00")
	refusedWith(t, err, "started_at", `"Weld" began on 2026-03-03 already`)
	tap(strip, "2026-03-04T18:00:00+01:00")
	if at := r.PlanOfJob(strip).StartedAt; at != "2026-03-04T18:00:00+01:00" {
		t.Errorf("laid aside, it goes on from %s", at)
	}
	waiting := *r.Job(strip)
	waiting.State, waiting.WaitingFor = rebuild.JobWaiting, "the leg"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditJob(waiting) })
	tap(strip, "2026-03-05T18:00:00+01:00")
	if j := r.Job(strip); j.State != rebuild.JobDoing || j.WaitingFor != "" || r.PlanOfJob(strip).StartedAt != "2026-03-05T18:00:00+01:00" {
		t.Errorf("after the wait: %+v, %+v", j, r.PlanOfJob(strip))
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.FinishJob(strip, "2026-03-06T18:00:00+01:00") })
	open := *r.Job(strip)
	open.State, open.DoneOn = rebuild.JobOpen, ""
	r = done(t, r, func() (rebuild.Change, error) { return r.EditJob(open) })
	tap(strip, "2026-03-07T09:00:00+01:00")
	if p := r.PlanOfJob(strip); r.Job(strip).State != rebuild.JobDoing || p.DoneAt != "" || p.StartedAt != "2026-03-07T09:00:00+01:00" {
		t.Errorf("opened again: %+v", p)
	}
}
