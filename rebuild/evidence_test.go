package rebuild_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

func goodEvidence() rebuild.Evidence {
	low, high := 290.0, 340.0
	return rebuild.Evidence{
		On: "2026-02-01", At: "2026-02-01T18:03:07+01:00", Instrument: rebuild.InstrumentRecharge, Title: "Pump timed", JobID: 3, Phase: rebuild.PhaseAfter,
		Raw:      []rebuild.Attachment{{Hash: strings.Repeat("0a", 32), MediaType: "text/csv", Name: "taps.csv"}},
		Settings: `{"ambient_c":15}`, Verdict: rebuild.VerdictPass, Why: "it rests for five minutes", Engine: "recharge 1",
		Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: 315, Low: &low, High: &high, Unit: "s"}},
	}
}

func TestEvidenceRules(t *testing.T) {
	cases := []struct {
		name        string
		edit        func(*rebuild.Evidence)
		field, says string
	}{
		{"as it should be", func(*rebuild.Evidence) {}, "", ""},
		{"as little as may be", func(e *rebuild.Evidence) {
			e.At, e.JobID, e.Phase, e.Raw, e.Settings, e.Figures = "", 0, "", nil, "", nil
		}, "", ""},
		{"no day", func(e *rebuild.Evidence) { e.On = "" }, "on", "missing"},
		{"no moment", func(e *rebuild.Evidence) { e.At = "this evening" }, "at", "2026-03-21T14:03:07Z"},
		{"an unknown instrument", func(e *rebuild.Evidence) { e.Instrument = "ear" }, "instrument", "recharge"},
		{"no title", func(e *rebuild.Evidence) { e.Title = "" }, "title", "missing"},
		{"an unknown phase", func(e *rebuild.Evidence) { e.Phase = "during" }, "phase", "before"},
		{"settings that are none", func(e *rebuild.Evidence) { e.Settings = "{" }, "settings", "not valid JSON"},
		{"an unknown verdict", func(e *rebuild.Evidence) { e.Verdict = "good" }, "verdict", "cannot tell"},
		{"no reason", func(e *rebuild.Evidence) { e.Why = "" }, "why", "missing"},
		{"no engine", func(e *rebuild.Evidence) { e.Engine = "" }, "engine", "missing"},
		{"a figure without a name", func(e *rebuild.Evidence) { e.Figures[0].Name = "" }, "figures.1.name", "missing"},
		{"a figure that is none", func(e *rebuild.Evidence) { e.Figures[0].Value = math.NaN() }, "figures.1.value", "no number"},
		{"bounds out of order", func(e *rebuild.Evidence) { e.Figures[0].Low, e.Figures[0].High = e.Figures[0].High, e.Figures[0].Low }, "figures.1.low", "order"},
		{"a file without a hash", func(e *rebuild.Evidence) { e.Raw[0].Hash = "" }, "raw.1", "hash"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e := goodEvidence()
			c.edit(&e)
			complains(t, e.Validate(), c.field, c.says)
		})
	}
}

// measured is furnished with measurement 8 of job 3.
func measured(t *testing.T, edit func(*rebuild.Evidence)) *rebuild.Rebuild {
	t.Helper()
	e := goodEvidence()
	edit(&e)
	return done(t, furnished(t), adding(furnished(t), e))
}

func adding(r *rebuild.Rebuild, e rebuild.Evidence) func() (rebuild.Change, error) {
	return func() (rebuild.Change, error) { return r.AddEvidence(e) }
}

func prove(r *rebuild.Rebuild) (rebuild.Change, error) {
	return r.SetOutcome(3, r.Job(3).Rev, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-02-01"})
}

// TestWhatProvesAJob holds which measurements let a job be proven.
func TestWhatProvesAJob(t *testing.T) {
	cases := []struct {
		name string
		edit func(*rebuild.Evidence)
		may  bool
	}{
		{"passed after the work", func(*rebuild.Evidence) {}, true},
		{"passed, when is not said", func(e *rebuild.Evidence) { e.Phase = "" }, true},
		{"passed before the work", func(e *rebuild.Evidence) { e.Phase = rebuild.PhaseBefore }, false},
		{"failed", func(e *rebuild.Evidence) { e.Verdict = rebuild.VerdictFail }, false},
		{"cannot tell", func(e *rebuild.Evidence) { e.Verdict = rebuild.VerdictCannotTell }, false},
		{"of no job", func(e *rebuild.Evidence) { e.JobID = 0 }, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := measured(t, c.edit)
			_, err := prove(r)
			if c.may {
				complains(t, err, "", "")
				return
			}
			complains(t, err, "proof", "needs evidence")
		})
	}
}

// TestAProvenJobKeepsItsEvidence tries every way to take the only evidence away.
func TestAProvenJobKeepsItsEvidence(t *testing.T) {
	before := measured(t, func(*rebuild.Evidence) {})
	kept, err := furnished(t).AddEvidence(goodEvidence())
	complains(t, err, "", "")
	proven := done(t, before, func() (rebuild.Change, error) { return prove(before) })
	e := proven.Evidence[0]
	_, err = proven.DeleteEvidence(e.ID, e.Rev)
	complains(t, err, "verdict", "proven by this measurement alone")
	for _, hurt := range []func(*rebuild.Evidence){
		func(e *rebuild.Evidence) { e.Verdict = rebuild.VerdictFail },
		func(e *rebuild.Evidence) { e.JobID = 0 },
		func(e *rebuild.Evidence) { e.Phase = rebuild.PhaseBefore },
	} {
		worse := e
		hurt(&worse)
		_, err = proven.EditEvidence(worse)
		complains(t, err, "verdict", "set the job back to done first")
	}
	// Nor can the measurement be undone under the job.
	var conflict *rebuild.Conflict
	if _, err := kept.Inverse(proven); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindJob {
		t.Errorf("undo of the measurement: %v", err)
	}
	// With a second one it may go.
	two := done(t, proven, func() (rebuild.Change, error) { return proven.AddEvidence(goodEvidence()) })
	_, err = two.DeleteEvidence(e.ID, e.Rev)
	complains(t, err, "", "")
	// What proven leaned on while it stood does not come back when it is gone.
	back, err := two.SetOutcome(3, two.Job(3).Rev, rebuild.Outcome{State: rebuild.JobDone, DoneOn: "2026-02-01"})
	complains(t, err, "", "")
	open := applied(t, two, back)
	for _, e := range open.Evidence {
		open = done(t, open, func() (rebuild.Change, error) { return open.DeleteEvidence(e.ID, e.Rev) })
	}
	if _, err := back.Inverse(open); !errors.As(err, &conflict) {
		t.Errorf("undo to proven without evidence: %v", err)
	}
}

func TestAJobThatGoesLeavesItsMeasurements(t *testing.T) {
	r := measured(t, func(*rebuild.Evidence) {})
	gone, err := r.DeleteJob(3, r.Job(3).Rev)
	complains(t, err, "", "")
	next := applied(t, r, gone)
	if e := next.EvidenceAt(8); e == nil || e.JobID != 0 || e.Rev != 1 {
		t.Errorf("the measurement is %+v", next.Evidence)
	}
	complains(t, next.Validate(), "", "")
	back, err := gone.Inverse(next)
	complains(t, err, "", "")
	if e := applied(t, next, back).EvidenceAt(8); e == nil || e.JobID != 3 {
		t.Errorf("after the undo it is %+v", e)
	}
	e := goodEvidence()
	e.JobID = 99
	_, err = r.AddEvidence(e)
	complains(t, err, "job", "job 99")
}

// Five lines see too little of a body to prove structural work, whichever way they
// come to stand at its job: as kept, as moved there, or by what hangs on the job
// being said later.
func TestFiveLinesProveNoStructure(t *testing.T) {
	five := goodEvidence()
	five.Instrument, five.Phase = rebuild.InstrumentQuickSurvey, rebuild.PhaseAfter
	structural := func(r *rebuild.Rebuild) *rebuild.Rebuild {
		j := *r.Job(3)
		j.Safety = rebuild.SafetyStructure
		return done(t, r, func() (rebuild.Change, error) { return r.EditJob(j) })
	}
	plain := measured(t, func(e *rebuild.Evidence) { *e = five })
	if e := plain.Evidence[0]; !plain.Proves(&e) {
		t.Fatal("five lines prove no other work either")
	}
	raised := structural(plain)
	if e := raised.Evidence[0]; raised.Proves(&e) {
		t.Error("five lines prove a structure once the job is called structural")
	}
	_, err := prove(raised)
	complains(t, err, "proof", "proven needs evidence")
	proven := done(t, plain, func() (rebuild.Change, error) { return prove(plain) })
	j := *proven.Job(3)
	j.Safety = rebuild.SafetyStructure
	_, err = proven.EditJob(j)
	complains(t, err, "proof", "proven needs evidence")

	r := structural(furnished(t))
	_, err = r.AddEvidence(five)
	complains(t, err, "job", "five lines are no proof")
	five.JobID = 0
	r = done(t, r, func() (rebuild.Change, error) { return r.AddEvidence(five) })
	moved := r.Evidence[0]
	moved.JobID = 3
	_, err = r.EditEvidence(moved)
	complains(t, err, "job", "five lines are no proof")
	moved.Phase = rebuild.PhaseBefore
	r = done(t, r, func() (rebuild.Change, error) { return r.EditEvidence(moved) })
	moved = r.Evidence[0]
	moved.Phase = rebuild.PhaseAfter
	_, err = r.EditEvidence(moved)
	complains(t, err, "job", "five lines are no proof")
	moved.Phase, moved.Note = rebuild.PhaseBefore, "as bought"
	done(t, r, func() (rebuild.Change, error) { return r.EditEvidence(moved) })
}
