package rebuild_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

func goodCase() rebuild.Case {
	seconds := 74.0
	return rebuild.Case{
		On: "2026-02-01", Title: "The pump re-primes too often", Findings: []int64{1}, ModelFrom: "hydraulic-unit", Model: "symptom: pump re-primes too often\r\n\tand a tab\n",
		Steps: []rebuild.CaseStep{
			{At: "2026-02-01T18:03:07+01:00", Kind: rebuild.StepTest, What: "interval_s", Value: &seconds, ValueSD: 2, EvidenceID: 8},
			{At: "2026-02-01T18:30:00+01:00", Kind: rebuild.StepTest, What: "gauge", Outcome: "low"},
			{At: "2026-02-02T18:30:00+01:00", Kind: rebuild.StepRepair, What: "new_accumulator", Cured: true, EvidenceID: 8},
		},
		NotNow: []string{"bleed"}, State: rebuild.CaseOpen, Jobs: []int64{3},
	}
}

func TestCaseRules(t *testing.T) {
	bad := math.NaN()
	cases := []struct {
		name        string
		edit        func(*rebuild.Case)
		field, says string
	}{
		{"as it should be", func(*rebuild.Case) {}, "", ""},
		{"as little as may be", func(k *rebuild.Case) { *k = rebuild.Case{On: k.On, Title: k.Title, State: rebuild.CaseOpen} }, "", ""},
		{"the largest model", func(k *rebuild.Case) { k.Model = strings.Repeat("a", rebuild.MaxModelBytes) }, "", ""},
		{"a model too large", func(k *rebuild.Case) { k.Model = strings.Repeat("é", rebuild.MaxModelBytes/2) + "a" }, "model", "65537 bytes; at most 65536"},
		{"a model with a control character", func(k *rebuild.Case) { k.Model = "a\x00" }, "model", "control character"},
		{"a model that is no text", func(k *rebuild.Case) { k.Model = "a\xff" }, "model", "not valid text"},
		{"steps without a model", func(k *rebuild.Case) { k.Model = "" }, "model", "need the fault model"},
		{"no day", func(k *rebuild.Case) { k.On = "" }, "on", "missing"},
		{"no title", func(k *rebuild.Case) { k.Title = "" }, "title", "missing"},
		{"a finding twice", func(k *rebuild.Case) { k.Findings = []int64{1, 2, 1} }, "findings", "named twice"},
		{"no finding at all", func(k *rebuild.Case) { k.Findings = []int64{0} }, "findings", "no finding 0"},
		{"a job twice", func(k *rebuild.Case) { k.Jobs = []int64{3, 3} }, "jobs", "named twice"},
		{"something twice not now", func(k *rebuild.Case) { k.NotNow = []string{"bleed", "bleed"} }, "not_now", "named twice"},
		{"nothing not now", func(k *rebuild.Case) { k.NotNow = []string{""} }, "not_now", "missing"},
		{"an unknown state", func(k *rebuild.Case) { k.State = "closed" }, "state", "given up"},
		{"a cause too early", func(k *rebuild.Case) { k.Cause = "gas_loss" }, "cause", "this one is open"},
		{"a cause of what was given up", func(k *rebuild.Case) { k.State, k.Cause = rebuild.CaseGivenUp, "gas_loss" }, "cause", "given up"},
		{"solved by the cure", func(k *rebuild.Case) { k.State = rebuild.CaseSolved }, "", ""},
		{"solved with a cause", func(k *rebuild.Case) { k.State, k.Cause, k.Steps = rebuild.CaseSolved, "gas_loss", nil }, "", ""},
		{"solved with a note", func(k *rebuild.Case) { k.State, k.Note, k.Steps = rebuild.CaseSolved, "went away", nil }, "", ""},
		{"solved by nothing", func(k *rebuild.Case) { k.State, k.Steps = rebuild.CaseSolved, k.Steps[:2] }, "state", "needs the cause"},
		{"a step after the cure", func(k *rebuild.Case) { k.Steps = append(k.Steps, k.Steps[0]) }, "steps.3.cured", "open a new case"},
		{"a step at no time", func(k *rebuild.Case) { k.Steps[0].At = "" }, "steps.1.at", "missing"},
		{"a step at some time", func(k *rebuild.Case) { k.Steps[0].At = "2026-02-01" }, "steps.1.at", "2026-03-21T14:03:07Z"},
		{"an unknown step", func(k *rebuild.Case) { k.Steps[2] = rebuild.CaseStep{At: k.Steps[0].At, Kind: "guess"} }, "steps.3.kind", "whole unit"},
		{"a test of nothing", func(k *rebuild.Case) { k.Steps[1].What = "" }, "steps.2.what", "missing"},
		{"a test without outcome", func(k *rebuild.Case) { k.Steps[1].Outcome = "" }, "steps.2.outcome", "either an outcome or a measured value"},
		{"a test with both", func(k *rebuild.Case) { k.Steps[0].Outcome = "low" }, "steps.1.outcome", "either an outcome or a measured value"},
		{"a value that is none", func(k *rebuild.Case) { k.Steps[0].Value = &bad }, "steps.1.value", "no number"},
		{"an uncertainty below zero", func(k *rebuild.Case) { k.Steps[0].ValueSD = -1 }, "steps.1.value_sd", "below zero"},
		{"an uncertainty of nothing", func(k *rebuild.Case) { k.Steps[1].ValueSD = 1 }, "steps.2.value_sd", "needs the measured value"},
		{"a test that cured", func(k *rebuild.Case) { k.Steps, k.Steps[1].Cured = k.Steps[:2], true }, "steps.2.cured", "a test cures nothing"},
		{"a repair with an outcome", func(k *rebuild.Case) { k.Steps[2].Outcome = "fine" }, "steps.3.outcome", "only a test"},
		{"the whole unit", func(k *rebuild.Case) { k.Steps[2].Kind, k.Steps[2].What = rebuild.StepWhole, "" }, "", ""},
		{"the whole unit by name", func(k *rebuild.Case) { k.Steps[2].Kind = rebuild.StepWhole }, "steps.3.what", "whole unit is no repair"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			k := goodCase()
			c.edit(&k)
			complains(t, k.Validate(), c.field, c.says)
		})
	}
}

// diagnosed is furnished with measurement 8 of job 3 and case 9 that names all.
func diagnosed(t *testing.T) *rebuild.Rebuild {
	t.Helper()
	r := measured(t, func(*rebuild.Evidence) {})
	return done(t, r, func() (rebuild.Change, error) { return r.AddCase(goodCase()) })
}

func TestACaseNamesOnlyWhatIsThere(t *testing.T) {
	r := diagnosed(t)
	complains(t, r.Validate(), "", "")
	for _, c := range []struct {
		edit        func(*rebuild.Case)
		field, says string
	}{
		{func(k *rebuild.Case) { k.Findings = []int64{99} }, "findings", "finding 99"},
		{func(k *rebuild.Case) { k.Findings = []int64{3} }, "findings", "finding 3"},
		{func(k *rebuild.Case) { k.Jobs = []int64{99} }, "jobs", "job 99"},
		{func(k *rebuild.Case) { k.Steps[1].EvidenceID = 99 }, "steps.2.evidence", "measurement 99"},
	} {
		k := goodCase()
		c.edit(&k)
		_, err := r.AddCase(k)
		complains(t, err, c.field, c.says)
		k.ID = 9
		_, err = r.EditCase(k)
		complains(t, err, c.field, c.says)
	}
}

func TestACaseIsEditedOnItsLatestRevisionOnly(t *testing.T) {
	r := diagnosed(t)
	k := *r.Case(9)
	k.Note = "seen twice"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditCase(k) })
	var conflict *rebuild.Conflict
	if _, err := r.EditCase(k); !errors.As(err, &conflict) || conflict.Now == nil {
		t.Errorf("edited twice: %v", err)
	}
	if _, err := r.DeleteCase(9, 0); !errors.As(err, &conflict) {
		t.Errorf("deleted on an older revision: %v", err)
	}
	if _, err := r.DeleteCase(99, 0); !errors.As(err, new(*rebuild.Missing)) {
		t.Errorf("deleted one that is not there: %v", err)
	}
	gone, err := r.DeleteCase(9, 1)
	complains(t, err, "", "")
	without := applied(t, r, gone)
	if without.Case(9) != nil || without.NextID != r.NextID {
		t.Errorf("the case is there still, or its number is free again")
	}
	if _, err := without.EditCase(k); !errors.As(err, &conflict) || conflict.Now != nil {
		t.Errorf("edited after it was deleted: %v", err)
	}
	back, err := gone.Inverse(without)
	complains(t, err, "", "")
	if again := applied(t, without, back).Case(9); again == nil || again.Rev != 2 || again.Note != "seen twice" {
		t.Errorf("after the undo it is %+v", again)
	}
}

// TestWhatGoesIsTakenOutOfTheCase deletes each thing that a case names: the case
// stays, names it no more, and names it again after an undo.
func TestWhatGoesIsTakenOutOfTheCase(t *testing.T) {
	for _, c := range []struct {
		name   string
		delete func(*rebuild.Rebuild) (rebuild.Change, error)
		left   func(*rebuild.Case)
	}{
		{"a finding", func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteFinding(1, 0) }, func(k *rebuild.Case) { k.Findings = nil }},
		{"a job", func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteJob(3, 0) }, func(k *rebuild.Case) { k.Jobs = nil }},
		{"a measurement", func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteEvidence(8, 0) }, func(k *rebuild.Case) { k.Steps[0].EvidenceID, k.Steps[2].EvidenceID = 0, 0 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := diagnosed(t)
			gone, err := c.delete(r)
			complains(t, err, "", "")
			if !strings.HasSuffix(gone.What, `; the case "The pump re-primes too often" names it no more`) {
				t.Errorf("it says %q", gone.What)
			}
			next := applied(t, r, gone)
			complains(t, next.Validate(), "", "")
			want := goodCase()
			want.ID, want.Rev = 9, 1
			c.left(&want)
			if got := *next.Case(9); !reflect.DeepEqual(got, want) {
				t.Errorf("the case is %+v", got)
			}
			if was := *r.Case(9); was.Rev != 0 || len(was.Findings) != 1 || was.Steps[0].EvidenceID != 8 {
				t.Errorf("the version before was altered: %+v", was)
			}
			back, err := gone.Inverse(next)
			complains(t, err, "", "")
			if again := applied(t, next, back).Case(9); !rebuild.SameItem(*again, *r.Case(9)) {
				t.Errorf("after the undo the case is %+v", again)
			}
		})
	}
}

// TestNothingIsUndoneUnderACase holds that an undo leaves no case naming what is
// gone.
func TestNothingIsUndoneUnderACase(t *testing.T) {
	r := started(t)
	var adds []rebuild.Change
	do := func(c rebuild.Change, err error) {
		complains(t, err, "", "")
		adds = append(adds, c)
		r = applied(t, r, c)
	}
	do(r.AddFinding(goodFinding()))
	do(r.AddJob(rebuild.Job{Title: "Renew the accumulator", Safety: rebuild.SafetyNone, State: rebuild.JobOpen}))
	e := goodEvidence()
	e.JobID = 0
	do(r.AddEvidence(e))
	k := goodCase()
	k.Jobs = []int64{2}
	k.Steps[0].EvidenceID, k.Steps[2].EvidenceID = 3, 0
	do(r.AddCase(k))
	var conflict *rebuild.Conflict
	for _, add := range adds[:3] {
		if _, err := add.Inverse(r); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindCase {
			t.Errorf("undo of %q: %v", add.What, err)
		}
	}
	// What a deleted case named may go; then the case cannot come back.
	gone, err := r.DeleteCase(4, 0)
	complains(t, err, "", "")
	r = applied(t, r, gone)
	for _, add := range adds[:3] {
		undo, err := add.Inverse(r)
		complains(t, err, "", "")
		if _, err := gone.Inverse(applied(t, r, undo)); !errors.As(err, &conflict) || conflict.Kind != add.Added().ItemKind() {
			t.Errorf("back without %q: %v", add.Added().Label(), err)
		}
	}
}

func TestTheJournalSaysWhatWasDoneToACase(t *testing.T) {
	seconds := 74.26
	for _, c := range []struct {
		edit func(*rebuild.Case)
		says string
	}{
		{func(k *rebuild.Case) {
			k.Steps = append(k.Steps, rebuild.CaseStep{Kind: rebuild.StepTest, What: "gauge", Outcome: "low"})
		}, `found "low" in the test "gauge" in the case "C"`},
		{func(k *rebuild.Case) {
			k.Steps = append(k.Steps, rebuild.CaseStep{Kind: rebuild.StepTest, What: "interval_s", Value: &seconds})
		}, `measured 74.26 in the test "interval_s" in the case "C"`},
		{func(k *rebuild.Case) {
			k.Steps = append(k.Steps, rebuild.CaseStep{Kind: rebuild.StepRepair, What: "seal"})
		}, `tried the repair "seal", which did not cure, in the case "C"`},
		{func(k *rebuild.Case) {
			k.Steps = append(k.Steps, rebuild.CaseStep{Kind: rebuild.StepWhole, Cured: true})
		}, `replaced the whole unit, which cured, in the case "C"`},
		{func(k *rebuild.Case) { k.Steps = nil }, `took a step out of the case "C"`},
		{func(k *rebuild.Case) { k.Model += "#\n" }, `changed the fault model of the case "C"`},
		{func(k *rebuild.Case) { k.State = rebuild.CaseGivenUp }, `set the case "C" to given up`},
		{func(k *rebuild.Case) { k.Note = "n" }, `changed the case "C"`},
	} {
		r := started(t)
		first := rebuild.CaseStep{At: "2026-02-01T18:03:07Z", Kind: rebuild.StepTest, What: "look", Outcome: "dry"}
		k := rebuild.Case{On: "2026-02-01", Title: "C", Model: "symptom: c\n", State: rebuild.CaseOpen, Steps: []rebuild.CaseStep{first}}
		r = done(t, r, func() (rebuild.Change, error) { return r.AddCase(k) })
		k = *r.Case(1)
		c.edit(&k)
		for i := range k.Steps {
			k.Steps[i].At = first.At
		}
		change, err := r.EditCase(k)
		complains(t, err, "", "")
		if change.What != c.says {
			t.Errorf("it says %q, want %q", change.What, c.says)
		}
		if k.State == rebuild.CaseGivenUp {
			next := applied(t, r, change)
			k.State, k.Rev = rebuild.CaseOpen, 1
			if change, err := next.EditCase(k); err != nil || change.What != `opened the case "C" again` {
				t.Errorf("it says %q (%v)", change.What, err)
			}
		}
	}
}
