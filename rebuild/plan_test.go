package rebuild_test

import (
	"errors"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// planned is a rebuild with three jobs, two people and a lift.
func planned(t testing.TB) *rebuild.Rebuild {
	t.Helper()
	r := started(t)
	for _, title := range []string{"Strip", "Weld", "Paint"} {
		j := goodJob()
		j.Title, j.Safety = title, rebuild.SafetyNone
		r = done(t, r, func() (rebuild.Change, error) { return r.AddJob(j) })
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddPerson(goodPerson("Ada", true)) })
	r = done(t, r, func() (rebuild.Change, error) { return r.AddPerson(goodPerson("Bo", false)) })
	return done(t, r, func() (rebuild.Change, error) { return r.AddThing(rebuild.Thing{Name: "lift", Count: 1}) })
}

func goodPerson(name string, own bool) rebuild.Person {
	return rebuild.Person{Name: name, Own: own, Hours: []rebuild.WorkHours{{Weekday: 6, From: 540, To: 1020}, {Weekday: 2, From: 1110, To: 1260}}}
}

// refusedWith holds that a change is refused with those words.
func refusedWith(t *testing.T, err error, field, words string) {
	t.Helper()
	var invalid *rebuild.Invalid
	if !errors.As(err, &invalid) {
		t.Errorf("got %v, want a refusal with %q", err, words)
		return
	}
	for _, p := range invalid.Problems {
		if p.Field == field && strings.Contains(p.Text, words) {
			return
		}
	}
	t.Errorf("got %+v, want %q at %q", invalid.Problems, words, field)
}

func jobID(r *rebuild.Rebuild, title string) int64 {
	for _, j := range r.Jobs {
		if j.Title == title {
			return j.ID
		}
	}
	return 0
}

func TestWhatCannotBePlannedIsSaidExactly(t *testing.T) {
	r := planned(t)
	strip, weld, paint := jobID(r, "Strip"), jobID(r, "Weld"), jobID(r, "Paint")
	bo, lift := r.Helpers()[0].ID, r.Things[0].ID
	r = done(t, r, func() (rebuild.Change, error) {
		return r.SetJobPlan(rebuild.JobPlan{JobID: weld, After: []int64{strip}})
	})
	r = done(t, r, func() (rebuild.Change, error) {
		return r.SetJobPlan(rebuild.JobPlan{JobID: paint, After: []int64{weld}, Helpers: []int64{bo}, Holds: []rebuild.ThingUse{{lift, 1}}})
	})
	days := uncertain.Range{Low: 5, Likely: 7, High: 12}
	for _, c := range []struct {
		name string
		plan rebuild.JobPlan
		at   string
		says string
	}{
		{"a circle", rebuild.JobPlan{JobID: strip, After: []int64{paint}}, "after", `no order can keep that: "Strip" after "Paint" after "Weld" after "Strip"`},
		{"after itself", rebuild.JobPlan{JobID: strip, After: []int64{strip}}, "after", "a job cannot come after itself"},
		{"after a job that is gone", rebuild.JobPlan{JobID: strip, After: []int64{999}}, "after", "job 999 is not there any more"},
		{"of a job that is gone", rebuild.JobPlan{JobID: 999}, "job", "job 999 is not there any more"},
		{"nobody", rebuild.JobPlan{JobID: strip, WithoutMe: true}, "helpers", "somebody has to do it"},
		{"own hands as a helper", rebuild.JobPlan{JobID: strip, Helpers: []int64{r.OwnHands().ID}}, "helpers", "Ada has the own hands and is no helper"},
		{"a helper who is gone", rebuild.JobPlan{JobID: strip, Helpers: []int64{999}}, "helpers", "person 999 is not there any more"},
		{"more than there is", rebuild.JobPlan{JobID: strip, Holds: []rebuild.ThingUse{{lift, 2}}}, "holds.1", `it holds 2 of "lift", but there is only 1`},
		{"days outside of own work", rebuild.JobPlan{JobID: strip, OutsideDays: days}, "outside_days", "only work that somebody else does takes days outside"},
		{"outside without days", rebuild.JobPlan{JobID: strip, Outside: true}, "outside_days", "say how many days it takes outside"},
		{"slots out of order", rebuild.JobPlan{JobID: strip, Outside: true, OutsideDays: days, Slots: []string{"2026-05-02", "2026-05-01"}}, "slots.2", "the slot 2026-05-01 does not come after the one before it"},
		{"a negative wait", rebuild.JobPlan{JobID: strip, WaitDays: -1}, "wait_days", "the wait after it must be between 0 and 365 days, not -1"},
		{"done before it began", rebuild.JobPlan{JobID: strip, StartedAt: "2026-03-02T10:00:00Z", DoneAt: "2026-03-01T10:00:00Z"}, "done_at", "it was done on 2026-03-01, before it began on 2026-03-02"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := r.SetJobPlan(c.plan)
			refusedWith(t, err, c.at, c.says)
		})
	}
}

func TestPeopleThingsAndDatesThatCannotBe(t *testing.T) {
	r := planned(t)
	with := func(change func(*rebuild.Person)) error {
		p := goodPerson("Cy", false)
		change(&p)
		_, err := r.AddPerson(p)
		return err
	}
	pounds := amount.New(500, "GBP")
	milestone := func(m rebuild.Milestone) error { _, err := r.AddMilestone(m); return err }
	delivery := func(d rebuild.Delivery) error { d.What = "leg"; _, err := r.AddDelivery(d); return err }
	table := func(x rebuild.Timetable) error { _, err := r.SetTimetable(x); return err }
	for _, c := range []struct {
		err      error
		at, says string
	}{
		{with(func(p *rebuild.Person) { p.Own = true }), "own", "Ada has the own hands already"},
		{with(func(p *rebuild.Person) { p.Hours = nil }), "hours", "say when Cy works"},
		{with(func(p *rebuild.Person) { p.Hours[0].Weekday = 7 }), "hours.2", "there is no day 7 in a week"},
		{with(func(p *rebuild.Person) { p.Hours[0].To = 540 }), "hours.2", "Saturday: 9:00 to 9:00 is no working time"},
		{with(func(p *rebuild.Person) { p.Hours[1] = rebuild.WorkHours{Weekday: 6, From: 900, To: 1080} }), "hours.2", "Saturday, 15:00 to 18:00, lies over 9:00 to 17:00 of the same day"},
		{with(func(p *rebuild.Person) { p.Away = []rebuild.DaySpan{{From: "2026-04-12", To: "2026-04-03"}} }), "away.1", "2026-04-12 to 2026-04-03 ends before it begins"},
		{milestone(rebuild.Milestone{}), "name", "give the milestone a name, or say which gate it is"},
		{milestone(rebuild.Milestone{Name: "paint", LateOnce: pounds}), "wished_on", "being late costs something, so say by which day it is wished"},
		{milestone(rebuild.Milestone{Gate: rebuild.GateBodyShop, Jobs: []int64{1}}), "jobs", "is said by its rules"},
		{milestone(rebuild.Milestone{Name: "x", WishedOn: "2026-13-01"}), "wished_on", "is not a date"},
		{milestone(rebuild.Milestone{Name: "x", WishedOn: "2026-05-01", LateOnce: amount.New(1, "EUR")}), "late_once", "is in EUR, but this rebuild is kept in GBP"},
		{delivery(rebuild.Delivery{OrderedOn: "2026-03-02", ArrivedOn: "2026-03-01"}), "arrived_on", "it arrived on 2026-03-01, before it was ordered on 2026-03-02"},
		{delivery(rebuild.Delivery{LeadDays: uncertain.Range{Low: -1, Likely: 2, High: 3}}), "lead_days", "its lead time in days"},
		{delivery(rebuild.Delivery{Faster: &rebuild.Faster{}}), "faster.days", "the quicker way must save 1 to 730 days, not 0"},
		{table(rebuild.Timetable{QuietFrom: -1}), "quiet_from", "must be a time of the day"},
		{table(rebuild.Timetable{Costs: []rebuild.RunningCost{{Name: "storage", Amount: amount.New(-1, "GBP"), Per: rebuild.PerDay}}}), "costs.1.amount", "cannot be below zero"},
	} {
		refusedWith(t, c.err, c.at, c.says)
	}
}

func TestTheCostOfADay(t *testing.T) {
	x := rebuild.Timetable{Costs: []rebuild.RunningCost{
		{Name: "hire", Amount: amount.New(1_000, "GBP"), Per: rebuild.PerDay},
		{Name: "bay", Amount: amount.New(7_000, "GBP"), Per: rebuild.PerWeek},
		{Name: "insurance", Amount: amount.New(36_525, "GBP"), Per: rebuild.PerMonth}, // 12 x 365.25 a year: 12 a day
	}}
	if got := x.CostPerDay(); got < 31.999_999 || got > 32.000_001 {
		t.Errorf("a day costs %g, want 10 + 10 + 12", got)
	}
}

func TestQuietHours(t *testing.T) {
	night, siesta, none := rebuild.Timetable{QuietFrom: 1260, QuietTo: 420}, rebuild.Timetable{QuietFrom: 720, QuietTo: 840}, rebuild.Timetable{}
	for _, c := range []struct {
		table  rebuild.Timetable
		minute int
		quiet  bool
	}{{night, 1260, true}, {night, 1259, false}, {night, 0, true}, {night, 419, true}, {night, 420, false}, {siesta, 720, true}, {siesta, 840, false}, {none, 0, false}} {
		if got := c.table.QuietAt(c.minute); got != c.quiet {
			t.Errorf("from %s to %s, at %s: quiet %v", rebuild.Clock(c.table.QuietFrom), rebuild.Clock(c.table.QuietTo), rebuild.Clock(c.minute), got)
		}
	}
}
