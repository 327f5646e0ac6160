package rebuild_test

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func TestNewHasEverythingClosedAndAhead(t *testing.T) {
	r := started(t)
	if r.Version != 1 || r.NextID != 1 || len(r.Zones) != len(rebuild.ZonePlaces) || len(r.Stages) != 9 {
		t.Errorf("version %d, next %d, %d zones, %d stages", r.Version, r.NextID, len(r.Zones), len(r.Stages))
	}
	for _, z := range r.Zones {
		if z.OpenShare != 0 || r.Zone(z.Place().Key).Number != z.Number {
			t.Errorf("zone %+v", z)
		}
	}
	if err := r.Validate(); err != nil {
		t.Error(err)
	}
	car := goodCar()
	car.Name = ""
	if _, err := rebuild.New(car); err == nil {
		t.Error("a car without a name was started")
	}
}

// TestEditsAgainstAnOldRevision holds that each kind of edit tells the second
// of two tabs.
func TestEditsAgainstAnOldRevision(t *testing.T) {
	r := furnished(t)
	cases := []struct {
		name string
		f    func(rev int) (rebuild.Change, error)
	}{
		{"car", func(rev int) (rebuild.Change, error) { c := r.Car; c.Rev = rev; return r.EditCar(c) }},
		{"appraisal", func(rev int) (rebuild.Change, error) { a := r.Appraisal; a.Rev = rev; return r.EditAppraisal(a, "") }},
		{"zone", func(rev int) (rebuild.Change, error) { z := r.Zones[0]; z.Rev = rev; return r.EditZone(z) }},
		{"stage", func(rev int) (rebuild.Change, error) { s := r.Stages[0]; s.Rev = rev; return r.EditStage(s) }},
		{"finding", func(rev int) (rebuild.Change, error) { f := r.Findings[0]; f.Rev = rev; return r.EditFinding(f) }},
		{"finding deleted", func(rev int) (rebuild.Change, error) { return r.DeleteFinding(1, rev) }},
		{"job", func(rev int) (rebuild.Change, error) { j := r.Jobs[0]; j.Rev = rev; return r.EditJob(j) }},
		{"job deleted", func(rev int) (rebuild.Change, error) { return r.DeleteJob(3, rev) }},
		{"route", func(rev int) (rebuild.Change, error) { return r.SetRoute(3, rev, goodRoute()) }},
		{"route deleted", func(rev int) (rebuild.Change, error) { return r.DeleteRoute(3, rev, 4) }},
		{"route chosen", func(rev int) (rebuild.Change, error) { return r.ChooseRoute(3, rev, 4) }},
		{"outcome", func(rev int) (rebuild.Change, error) {
			return r.SetOutcome(3, rev, rebuild.Outcome{State: rebuild.JobDoing})
		}},
		{"entry", func(rev int) (rebuild.Change, error) { e := r.Entries[0]; e.Rev = rev; return r.EditEntry(e) }},
		{"entry deleted", func(rev int) (rebuild.Change, error) { return r.DeleteEntry(6, rev) }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			change, err := c.f(0)
			if err != nil {
				t.Fatalf("at the present revision: %v", err)
			}
			if e := change.Edits[len(change.Edits)-1]; e.After != nil && e.After.Revision() != 1 {
				t.Errorf("the revision became %d", e.After.Revision())
			}
			var conflict *rebuild.Conflict
			if _, err := c.f(1); !errors.As(err, &conflict) || conflict.Now == nil || !strings.Contains(err.Error(), "changed meanwhile") {
				t.Errorf("at another revision: %v", err)
			}
		})
	}
}

func TestEditsOfWhatIsGone(t *testing.T) {
	r := started(t)
	gone := []func() (rebuild.Change, error){
		func() (rebuild.Change, error) { f := goodFinding(); f.ID = 9; return r.EditFinding(f) },
		func() (rebuild.Change, error) { j := goodJob(); j.ID = 9; return r.EditJob(j) },
		func() (rebuild.Change, error) { e := goodEntry(); e.ID = 9; return r.EditEntry(e) },
	}
	for i, f := range gone {
		var conflict *rebuild.Conflict
		if _, err := f(); !errors.As(err, &conflict) || conflict.Now != nil || !strings.Contains(err.Error(), "not there any more") {
			t.Errorf("edit %d: %v", i, err)
		}
	}
	missing := []func() (rebuild.Change, error){
		func() (rebuild.Change, error) { return r.EditZone(rebuild.Zone{Number: 99}) },
		func() (rebuild.Change, error) { return r.EditStage(rebuild.Stage{Number: 99}) },
		func() (rebuild.Change, error) { return r.DeleteFinding(9, 0) },
		func() (rebuild.Change, error) { return r.DeleteJob(9, 0) },
		func() (rebuild.Change, error) { return r.DeleteEntry(9, 0) },
		func() (rebuild.Change, error) { return r.ChooseRoute(9, 0, 1) },
	}
	for i, f := range missing {
		if _, err := f(); !errors.As(err, new(*rebuild.Missing)) {
			t.Errorf("%d: %v", i, err)
		}
	}
}

func TestDeletingTakesReferencesAlong(t *testing.T) {
	r := furnished(t)
	without := done(t, r, func() (rebuild.Change, error) { return r.DeleteFinding(1, 0) })
	if j := without.Jobs[0]; !slices.Equal(j.Findings, []int64{2}) || j.Rev != 1 || len(without.Findings) != 1 {
		t.Errorf("after the finding: %+v", j)
	}
	if !slices.Equal(r.Jobs[0].Findings, []int64{1, 2}) {
		t.Error("the version before was altered")
	}
	without = done(t, r, func() (rebuild.Change, error) { return r.DeleteJob(3, 0) })
	if e := without.Entries[0]; e.JobID != 0 || e.Rev != 1 || len(without.Jobs) != 0 || r.Entries[0].JobID != 3 {
		t.Errorf("after the job: %+v", e)
	}
}

func TestReferencesMustBeThere(t *testing.T) {
	r := furnished(t)
	j, e := goodJob(), goodEntry()
	e.JobID = 99
	_, err := r.AddEntries(e)
	complains(t, err, "job", "job 99")
	j.Findings = []int64{2, 99}
	_, err = r.AddJob(j)
	complains(t, err, "findings", "finding 99")
	j.Findings = []int64{2, 2}
	_, err = r.AddJob(j)
	complains(t, err, "findings", "named twice")
	_, err = r.AddEntries()
	complains(t, err, "entries", "no cost")
	bad := goodEntry()
	bad.On = ""
	if _, err := r.AddEntries(goodEntry(), bad); err == nil || !strings.HasPrefix(err.Error(), "line 2: ") {
		t.Errorf("a bad second line: %v", err)
	}
}

func TestRoutesGetTheirNumbersHere(t *testing.T) {
	r := furnished(t)
	foreign := r.Jobs[0]
	foreign.Routes = append(slices.Clone(foreign.Routes), goodRoute())
	for _, id := range []int64{1, 99, 4} { // a finding's, nobody's, one that is there already
		foreign.Routes[2].ID = id
		_, err := r.EditJob(foreign)
		complains(t, err, "routes.3", "not there any more")
	}
	for _, chosen := range []int64{-1, 2, 8} { // 8 is the number that the job itself gets
		j := goodJob()
		j.Chosen = chosen
		_, err := r.AddJob(j)
		complains(t, err, "chosen", "is chosen")
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.SetRoute(3, 0, goodRoute()) })
	if id := r.Jobs[0].Routes[2].ID; id != 8 || r.NextID != 9 {
		t.Errorf("the new route has number %d, next is %d", id, r.NextID)
	}
	changed := r.Jobs[0].Routes[0]
	changed.Name = "another hub"
	r = done(t, r, func() (rebuild.Change, error) { return r.SetRoute(3, 1, changed) })
	if len(r.Jobs[0].Routes) != 3 || r.Jobs[0].Routes[0].Name != "another hub" {
		t.Errorf("routes %+v", r.Jobs[0].Routes)
	}
	changed.ID = 77
	_, err := r.SetRoute(3, 2, changed)
	complains(t, err, "route", "not there any more")
	_, err = r.DeleteRoute(3, 2, 77)
	complains(t, err, "route", "not there any more")
}

// TestTheEstimateIsFrozenAtTheChoice holds that what was expected is not mended
// afterwards.
func TestTheEstimateIsFrozenAtTheChoice(t *testing.T) {
	r := furnished(t)
	r = done(t, r, func() (rebuild.Change, error) { return r.ChooseRoute(3, 0, 4) })
	want := uncertain.Range{Low: 200, Likely: 240, High: 300}
	if got := r.Jobs[0].Estimate; got == nil || *got != want {
		t.Fatalf("estimate %v", got)
	}
	dearer := r.Jobs[0].Routes[0]
	dearer.Cost = uncertain.Range{Low: 400, Likely: 500, High: 600}
	r = done(t, r, func() (rebuild.Change, error) { return r.SetRoute(3, 1, dearer) })
	sly := r.Jobs[0]
	sly.Estimate = &dearer.Cost
	r = done(t, r, func() (rebuild.Change, error) { return r.EditJob(sly) })
	if got := r.Jobs[0].Estimate; *got != want {
		t.Errorf("estimate %v after the route became dearer", *got)
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.ChooseRoute(3, 3, 5) })
	if r.Jobs[0].ChosenRoute().Name != "used hub" {
		t.Errorf("chosen %+v", r.Jobs[0].ChosenRoute())
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.DeleteRoute(3, 4, 5) })
	if j := r.Jobs[0]; j.Chosen != 0 || j.Estimate != nil {
		t.Errorf("chosen %d, estimate %v after the route was deleted", j.Chosen, j.Estimate)
	}
}

func TestTheCurrencyIsFixedByMoney(t *testing.T) {
	inEuro := func(r *rebuild.Rebuild) error {
		car := r.Car
		car.Currency, car.Ceiling, car.HourValue = "EUR", amount.Amount{}, amount.Amount{}
		_, err := r.EditCar(car)
		return err
	}
	r := started(t)
	if err := inEuro(r); err != nil {
		t.Errorf("before any money: %v", err)
	}
	bare := goodJob()
	bare.Routes = nil
	priced := bare
	priced.Reference = amount.New(0, "GBP")
	zone := r.Zones[0]
	zone.HiddenCost = uncertain.Certain(10)
	cases := []struct {
		name  string
		f     func() (rebuild.Change, error)
		fixed bool
	}{
		{"a finding", func() (rebuild.Change, error) { return r.AddFinding(goodFinding()) }, false},
		{"a job without routes", func() (rebuild.Change, error) { return r.AddJob(bare) }, false},
		{"a reference price", func() (rebuild.Change, error) { return r.AddJob(priced) }, true},
		{"a route", func() (rebuild.Change, error) { return r.AddJob(goodJob()) }, true},
		{"an entry", func() (rebuild.Change, error) { return r.AddEntries(goodEntry()) }, true},
		{"a hidden cost", func() (rebuild.Change, error) { return r.EditZone(zone) }, true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := inEuro(done(t, r, c.f))
			if !c.fixed {
				complains(t, err, "", "")
				return
			}
			complains(t, err, "currency", "kept in GBP")
		})
	}
}

func TestWhatPeopleForget(t *testing.T) {
	r := furnished(t)
	general := goodEntry()
	general.General = true
	tool := goodEntry()
	tool.Kind = rebuild.EntryTool
	r = done(t, r, func() (rebuild.Change, error) { return r.AddEntries(general, tool, goodEntry()) })
	var loose []int64
	for _, e := range r.EntriesWithoutJob() {
		loose = append(loose, e.ID)
	}
	if !slices.Equal(loose, []int64{10, 7}) {
		t.Errorf("without a job: %v", loose)
	}
	silent := func(o rebuild.Outcome) int {
		o.DoneOn = "2026-02-01"
		r := done(t, r, func() (rebuild.Change, error) { return r.AddJob(goodJob()) })
		return len(done(t, r, func() (rebuild.Change, error) { return r.SetOutcome(11, 0, o) }).JobsWithoutCost())
	}
	if silent(rebuild.Outcome{State: rebuild.JobDone}) != 1 || silent(rebuild.Outcome{State: rebuild.JobDone, CostNothing: true}) != 0 || silent(rebuild.Outcome{State: rebuild.JobDoing}) != 0 {
		t.Error("finished jobs without a cost are told wrongly")
	}
	sold := goodEntry()
	sold.Kind, sold.JobID, sold.Amount, sold.Tax = rebuild.EntrySale, 11, sold.Amount.Neg(), sold.Tax.Neg()
	over := done(t, r, func() (rebuild.Change, error) { return r.AddJob(goodJob()) })
	over = done(t, over, func() (rebuild.Change, error) { return over.AddEntries(sold) })
	over = done(t, over, func() (rebuild.Change, error) {
		return over.SetOutcome(11, 0, rebuild.Outcome{State: rebuild.JobDone, DoneOn: "2026-02-01"})
	})
	if len(over.JobsWithoutCost()) != 1 {
		t.Error("a part sold hides that no cost of its job is written down")
	}
	if _, has := over.Paid()[11]; has {
		t.Error("a part sold counts as paid on its job")
	}
	if paid := r.Paid(); paid[3] != 24_000 || paid[0] != 96_000 || r.Spent().Minor != 120_000 {
		t.Errorf("paid %v, spent %s", paid, r.Spent())
	}
}

func TestFindingStates(t *testing.T) {
	r := furnished(t)
	state := func(r *rebuild.Rebuild, want1, want2 rebuild.FindingState) {
		t.Helper()
		want := map[int64]rebuild.FindingState{1: want1, 2: want2}
		if got := r.FindingStates(); !reflect.DeepEqual(got, want) {
			t.Errorf("states %v, want %v", got, want)
		}
	}
	state(r, rebuild.FindingPlanned, rebuild.FindingPlanned)
	over := done(t, r, func() (rebuild.Change, error) {
		return r.SetOutcome(3, 0, rebuild.Outcome{State: rebuild.JobDone, DoneOn: "2026-02-01"})
	})
	state(over, rebuild.FindingSettled, rebuild.FindingSettled)
	more := goodJob()
	more.Findings = []int64{2}
	two := done(t, over, func() (rebuild.Change, error) { return over.AddJob(more) })
	state(two, rebuild.FindingSettled, rebuild.FindingPlanned)
	dropped := done(t, r, func() (rebuild.Change, error) {
		return r.SetOutcome(3, 0, rebuild.Outcome{State: rebuild.JobDropped})
	})
	state(dropped, rebuild.FindingOpen, rebuild.FindingOpen)
	f := r.Findings[0]
	f.Dismissed = "a shadow"
	state(done(t, r, func() (rebuild.Change, error) { return r.EditFinding(f) }), rebuild.FindingDismissed, rebuild.FindingPlanned)
}

func TestPlannedTakesTheLeastDear(t *testing.T) {
	j := goodJob()
	used := goodRoute()
	used.Kind, used.Name, used.Cost, used.Works = rebuild.Used, "used", uncertain.Certain(150), 0.5
	used.Fallback = &rebuild.Fallback{Cost: uncertain.Certain(150)} // 150 + half of 150 = 225 < 240
	left := goodRoute()
	left.Kind, left.Cost = rebuild.Leave, uncertain.Certain(0)
	j.Routes = append(j.Routes, used, left)
	if r, ok := j.Planned(); !ok || r.Name != "used" {
		t.Errorf("planned %+v", r)
	}
	j.Routes[1].Works = 0.3 // 150 + 0.7 x 150 = 255 > 240
	if r, ok := j.Planned(); !ok || r.Name != "new hub" {
		t.Errorf("planned %+v", r)
	}
	j.Routes = j.Routes[2:]
	if _, ok := j.Planned(); ok {
		t.Error("planned to leave it")
	}
}
