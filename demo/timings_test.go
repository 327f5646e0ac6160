package demo_test

import (
	"math"
	"testing"

	"wreckwright/rebuild"
)

// TestThePumpIsTimedBeforeAndAfter holds that the example's gear pump has the
// evidence that its job's words tell of.
func TestThePumpIsTimedBeforeAndAfter(t *testing.T) {
	r := load(t, build(t, today), "Skua")
	timed := measuredWith(r, rebuild.InstrumentRecharge)
	if len(timed) != 2 {
		t.Fatalf("%d measurements", len(timed))
	}
	for i, want := range []struct {
		phase   rebuild.Phase
		verdict rebuild.Verdict
		meanS   float64
	}{{rebuild.PhaseBefore, rebuild.VerdictFail, 71}, {rebuild.PhaseAfter, rebuild.VerdictPass, 604.333}} {
		e := timed[i]
		job := r.Job(e.JobID)
		if job == nil || job.Title != "Gear pump that primes too often" || job.State != rebuild.JobProven {
			t.Fatalf("measurement %d belongs to %+v", i, job)
		}
		if e.Phase != want.phase || e.Verdict != want.verdict || math.Abs(e.Figures[0].Value-want.meanS) > 0.01 || len(e.Raw) != 1 {
			t.Errorf("measurement %d is %+v", i, e)
		}
	}
}

func measuredWith(r *rebuild.Rebuild, with rebuild.Instrument) []rebuild.Evidence {
	var list []rebuild.Evidence
	for _, e := range r.Evidence {
		if e.Instrument == with {
			list = append(list, e)
		}
	}
	return list
}

// TestWhatIsMeasuredAgainstALimit holds that the example's disc failed, passed
// after the work, and that its battery is weak.
func TestWhatIsMeasuredAgainstALimit(t *testing.T) {
	r := load(t, build(t, today), "Skua")
	checks := measuredWith(r, rebuild.InstrumentCheck)
	want := []struct {
		title   string
		verdict rebuild.Verdict
	}{
		{"Run-out of a fitted brake disc, front left", rebuild.VerdictFail},
		{"Run-out of a fitted brake disc, front left", rebuild.VerdictPass},
		{"Rest voltage of the battery", rebuild.VerdictFail},
	}
	if len(checks) != len(want) {
		t.Fatalf("%d checks", len(checks))
	}
	for i, w := range want {
		if e := checks[i]; e.Title != w.title || e.Verdict != w.verdict || len(e.Raw) != 1 || e.Settings == "" {
			t.Errorf("check %d is %+v", i, e)
		}
	}
	if !checks[1].Proves() || checks[0].Proves() {
		t.Error("only the check after the work proves its job")
	}
}
