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
	if len(r.Evidence) != 2 {
		t.Fatalf("%d measurements", len(r.Evidence))
	}
	for i, want := range []struct {
		phase   rebuild.Phase
		verdict rebuild.Verdict
		meanS   float64
	}{{rebuild.PhaseBefore, rebuild.VerdictFail, 71}, {rebuild.PhaseAfter, rebuild.VerdictPass, 604.333}} {
		e := r.Evidence[i]
		job := r.Job(e.JobID)
		if job == nil || job.Title != "Gear pump that primes too often" || job.State != rebuild.JobProven {
			t.Fatalf("measurement %d belongs to %+v", i, job)
		}
		if e.Phase != want.phase || e.Verdict != want.verdict || math.Abs(e.Figures[0].Value-want.meanS) > 0.01 || len(e.Raw) != 1 {
			t.Errorf("measurement %d is %+v", i, e)
		}
	}
}
