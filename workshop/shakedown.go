package workshop

import (
	"context"
	"slices"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// ShakedownLine is a stage of the first drives with where it stands.
type ShakedownLine struct {
	knowledge.ShakedownStage
	gate.Released
	Done     []*rebuild.ShakedownRun // its runs, the latest first
	Cautions []knowledge.Caution
}

// Shakedown is the staged plan of the first drives and how far it has come.
type Shakedown struct {
	Stages []ShakedownLine
	Next   *ShakedownLine // the first that may be done and is not passed; nil: none
	Road   GateLine       // the gate before the road
	Passed int
	Km     float64 // driven in all runs
	// Retorque are the joints to be tightened once more: those due, and those that
	// will be or whose distance was not read.
	Retorque []JointLine
	Due      int
	Found    []*rebuild.Finding // in all runs
}

// Over reports that every stage is passed.
func (s Shakedown) Over() bool { return s.Passed == len(s.Stages) }

// Stage is the line with that key, or nil.
func (s *Shakedown) Stage(key string) *ShakedownLine {
	i := slices.IndexFunc(s.Stages, func(l ShakedownLine) bool { return l.ShakedownStage.Key == key })
	if i < 0 {
		return nil
	}
	return &s.Stages[i]
}

// Shakedown says which stage of the first drives may be done.
func (w *Workshop) Shakedown(ctx context.Context, r *rebuild.Rebuild) (Shakedown, error) {
	gates, err := w.Gates(ctx, r)
	if err != nil {
		return Shakedown{}, err
	}
	return shakedownOf(r, gates[0], w.today()), nil
}

func shakedownOf(r *rebuild.Rebuild, road GateLine, today string) Shakedown {
	plan := knowledge.ShakedownPlan()
	stages := make([]gate.DriveStage, len(plan))
	for i, p := range plan {
		stages[i] = gate.DriveStage{Key: p.Key, Name: p.Name, OnRoad: p.OnRoad}
	}
	s := Shakedown{Road: road}
	for i, released := range gate.Drive(stages, runsInOrder(r), road.Gate, road.Passed()) {
		l := ShakedownLine{ShakedownStage: plan[i], Released: released, Done: r.RunsOf(rebuild.ShakedownStage(plan[i].Key))}
		slices.Reverse(l.Done)
		for _, h := range plan[i].Hazards {
			if c, ok := knowledge.CautionFor(h); ok {
				l.Cautions = append(l.Cautions, c)
			}
		}
		s.Stages = append(s.Stages, l)
	}
	s.sum(r, today)
	return s
}

func (s *Shakedown) sum(r *rebuild.Rebuild, today string) {
	for i := range s.Stages {
		l := &s.Stages[i]
		if l.State == gate.Passed {
			s.Passed++
		} else if l.Ready && s.Next == nil {
			s.Next = l
		}
	}
	for i := range r.Shakedown {
		run := &r.Shakedown[i]
		s.Km += run.Km
		for _, id := range run.Findings {
			if f := r.Finding(id); f != nil {
				s.Found = append(s.Found, f)
			}
		}
	}
	for _, l := range JointsOf(r, today).Lines {
		if l.Stand.Retorque != "" {
			s.Retorque = append(s.Retorque, l)
		}
		if l.Stand.RetorqueDue {
			s.Due++
		}
	}
	slices.SortStableFunc(s.Retorque, func(a, b JointLine) int { return dueFirst(b) - dueFirst(a) })
}

func dueFirst(l JointLine) int {
	if l.Stand.RetorqueDue {
		return 1
	}
	return 0
}

func runsInOrder(r *rebuild.Rebuild) []gate.Run {
	var runs []gate.Run
	for _, stage := range rebuild.ShakedownStages {
		for _, run := range r.RunsOf(stage) {
			runs = append(runs, gate.Run{Stage: string(stage), Passed: run.Result == rebuild.RunPass})
		}
	}
	return runs
}

// StageName is what a stage of the shakedown is called.
func StageName(key rebuild.ShakedownStage) string {
	for _, p := range knowledge.ShakedownPlan() {
		if p.Key == string(key) {
			return p.Name
		}
	}
	return string(key)
}

// AddRun keeps a run of the shakedown with what was found in it. A stage that was
// not released is not passed; that something stopped it is kept whenever it was.
func (w *Workshop) AddRun(ctx context.Context, by store.By, id int64, run rebuild.ShakedownRun, found ...rebuild.Finding) (*rebuild.Rebuild, store.Record, error) {
	return w.Do(ctx, by, id, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		if err := w.released(r, run); err != nil {
			return rebuild.Change{}, err
		}
		return r.AddShakedownRun(run, found...)
	})
}

// EditRun replaces a run. One that was stopped becomes a pass, and a stage becomes a
// passed one by a run that moves in time or to another stage, only where the stage
// is released.
func (w *Workshop) EditRun(r *rebuild.Rebuild, run rebuild.ShakedownRun) (rebuild.Change, error) {
	old := r.ShakedownRun(run.ID)
	if old == nil || old.Result != rebuild.RunPass {
		if err := w.released(r, run); err != nil {
			return rebuild.Change{}, err
		}
	}
	without := *r
	without.Shakedown = slices.DeleteFunc(slices.Clone(r.Shakedown), func(o rebuild.ShakedownRun) bool { return o.ID == run.ID })
	with := without
	with.Shakedown = append(slices.Clone(without.Shakedown), run)
	for _, stage := range rebuild.ShakedownStages {
		if old == nil || stageState(&with, stage) != gate.Passed || stageState(r, stage) == gate.Passed {
			continue
		}
		if err := w.releasedBy(r, &without, stage, "at"); err != nil {
			return rebuild.Change{}, err
		}
	}
	return r.EditShakedownRun(run)
}

// stageState is how a stage stands by its runs.
func stageState(r *rebuild.Rebuild, stage rebuild.ShakedownStage) string {
	return gate.StateOf(string(stage), runsInOrder(r))
}

// released refuses a pass of a stage that may not be done.
func (w *Workshop) released(r *rebuild.Rebuild, run rebuild.ShakedownRun) error {
	if run.Result != rebuild.RunPass {
		return nil
	}
	return w.releasedBy(r, r, run.Stage, "result")
}

// releasedBy refuses a stage that may not be done by the gates of a book and the
// runs of it that count; field is where the page says so.
func (w *Workshop) releasedBy(r, runs *rebuild.Rebuild, stage rebuild.ShakedownStage, field string) error {
	gates, err := gatesOf(r, w.today())
	if err != nil {
		return err
	}
	s := shakedownOf(runs, gates[0], w.today())
	if l := s.Stage(string(stage)); l != nil && !l.Ready {
		return gateRefused(field, "the stage %q is not released: %s. If it was driven all the same, enter that it was stopped, and why", l.Name, l.Why)
	}
	return nil
}
