package workshop

import (
	"context"
	"errors"
	"strings"
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

// A major fault of the brakes that is found in a stage holds back all the others,
// also where the gate was passed before it was found and the stage itself passed.
func TestAMajorFaultHoldsBackTheShakedown(t *testing.T) {
	r := stand(t, aFinding("scratch", rebuild.Cosmetic, false), surveyed, category("N"), confirmedAll, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.PassGate(rebuild.GatePass{Gate: rebuild.GateRoadTest, At: "2026-06-01T10:00:00Z", By: "Ada"})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		run := rebuild.ShakedownRun{Stage: rebuild.ShakeYard, At: "2026-06-02T10:00:00Z", By: "Ada", Km: 1, Result: rebuild.RunPass}
		return r.AddShakedownRun(run, rebuild.Finding{Zone: "front-left-corner", What: "Brake hose front left chafed", HowFound: rebuild.RoadTest, Severity: rebuild.Major, Safety: true, On: "2026-06-02"})
	})
	lines, err := gatesOf(r, today)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lines {
		if !l.HardStop() {
			t.Errorf("%s is %s", l.Which, l.State)
		}
	}
	for _, s := range shakedownOf(r, lines[0], today).Stages {
		if s.Ready {
			t.Errorf("%s is released", s.Name)
		}
	}
}

func TestShakedownIsReleasedByResults(t *testing.T) {
	ctx := context.Background()
	w, id := inABook(t, aFinding("scratch", rebuild.Cosmetic, false), surveyed, category("N"), confirmedAll)
	run := func(stage rebuild.ShakedownStage, result rebuild.RunResult, at string) error {
		_, _, err := w.AddRun(ctx, byTest, id, rebuild.ShakedownRun{Stage: stage, At: at, By: "Ada", Km: 2, Smelt: "oil", Result: result})
		return err
	}
	next := func(key string) {
		t.Helper()
		r, _ := w.Book().Load(ctx, id)
		s, err := w.Shakedown(ctx, r)
		if err != nil || (s.Next == nil) != (key == "") || s.Next != nil && s.Next.ShakedownStage.Key != key {
			t.Errorf("next %+v (%v), want %s", s.Next, err, key)
		}
	}
	next("yard")
	if err := run(rebuild.ShakeSlow, rebuild.RunPass, "2026-06-01T10:00:00Z"); err == nil || !strings.Contains(err.Error(), "not released") {
		t.Errorf("a stage that was not released: %v", err)
	}
	if err := run(rebuild.ShakeSlow, rebuild.RunStop, "2026-06-01T10:00:00Z"); err != nil {
		t.Errorf("what stopped it is kept whenever it was: %v", err)
	}
	if err := run(rebuild.ShakeYard, rebuild.RunPass, "2026-06-02T10:00:00Z"); err != nil {
		t.Fatal(err)
	}
	next("")
	r, _ := w.Book().Load(ctx, id)
	lines, err := w.Gates(ctx, r)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, "2026-06-03T10:00:00Z", lines[0].Seal(), ""); err != nil {
		t.Fatal(err)
	}
	next("slow")
	for i, stage := range rebuild.ShakedownStages[1:] {
		if err := run(stage, rebuild.RunPass, "2026-06-0"+string(rune('4'+i))+"T10:00:00Z"); err != nil {
			t.Fatal(err)
		}
	}
	next("")
	r, _ = w.Book().Load(ctx, id)
	if s, _ := w.Shakedown(ctx, r); !s.Over() || s.Km != 14 {
		t.Errorf("over %v after %g km", s.Over(), s.Km)
	}
}
