package workshop

import (
	"context"
	"errors"
	"testing"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// A stage that was stopped is passed by driving it again once that is allowed, not
// by moving a run in time or to another stage.
func TestARunIsNotMovedPastAStop(t *testing.T) {
	const (
		early = "2026-06-01T10:00:00Z"
		noon  = "2026-06-01T12:00:00Z"
		late  = "2026-06-01T14:00:00Z"
	)
	danger := rebuild.Finding{Zone: "cabin", What: "smoke", HowFound: rebuild.RoadTest, Severity: rebuild.Danger, On: "2026-06-01"}
	ran := func(stage rebuild.ShakedownStage, at string, result rebuild.RunResult, found ...rebuild.Finding) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddShakedownRun(rebuild.ShakedownRun{Stage: stage, At: at, By: "Ada", Km: 1, Smelt: "oil", Result: result}, found...)
		}
	}
	moved := func(nth int, at string) func(*rebuild.Rebuild) rebuild.ShakedownRun {
		return func(r *rebuild.Rebuild) rebuild.ShakedownRun {
			run := r.Shakedown[nth]
			run.At = at
			return run
		}
	}
	staged := func(nth int, stage rebuild.ShakedownStage) func(*rebuild.Rebuild) rebuild.ShakedownRun {
		return func(r *rebuild.Rebuild) rebuild.ShakedownRun {
			run := r.Shakedown[nth]
			run.Stage = stage
			return run
		}
	}
	stopped := []step{ran(rebuild.ShakeYard, early, rebuild.RunPass), ran(rebuild.ShakeYard, noon, rebuild.RunStop, danger)}
	for _, c := range []struct {
		name  string
		steps []step
		edit  func(*rebuild.Rebuild) rebuild.ShakedownRun
		field string // refused at; empty: taken
	}{
		{"the pass after the stop", stopped, moved(0, late), "at"},
		{"the stop before the pass", stopped, moved(1, "2026-06-01T09:00:00Z"), "at"},
		{"the stop to another stage", stopped, staged(1, rebuild.ShakeSlow), "at"},
		{"the pass within its place", stopped, moved(0, "2026-06-01T11:00:00Z"), ""},
		{"the only pass to a stage that is not released", []step{ran(rebuild.ShakeYard, early, rebuild.RunPass)}, staged(0, rebuild.ShakeSlow), "at"},
		{"the pass of a stage that is free", []step{ran(rebuild.ShakeYard, early, rebuild.RunPass)}, moved(0, late), ""},
		{"a stop that found no danger", []step{ran(rebuild.ShakeYard, early, rebuild.RunPass), ran(rebuild.ShakeYard, noon, rebuild.RunStop)}, moved(0, late), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, id := inABook(t, append([]step{aFinding("scratch", rebuild.Cosmetic, false), surveyed, category("N"), confirmedAll}, c.steps...)...)
			r, err := w.Book().Load(context.Background(), id)
			if err != nil {
				t.Fatal(err)
			}
			_, err = w.EditRun(r, c.edit(r))
			var wrong *rebuild.Invalid
			switch {
			case c.field == "" && err != nil:
				t.Errorf("refused: %v", err)
			case c.field != "" && (!errors.As(err, &wrong) || wrong.Problems[0].Field != c.field):
				t.Errorf("got %v, want it refused at %q", err, c.field)
			}
		})
	}
}

func TestStateOfAStage(t *testing.T) {
	r := stand(t)
	if got := stageState(r, rebuild.ShakeYard); got != gate.NotDone {
		t.Error(got)
	}
}
