package store_test

import (
	"context"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// fillStrip enters a sixth car with a front corner apart: a wheel that is back, a
// caliper that is back with its joint tightened and proven, and once more undone;
// a disc still off; three clips entered at once.
func fillStrip(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	photo, err := b.PutFile(ctx, strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><rect x="1" y="1" width="2" height="1"/></svg>`), "caliper.svg", "", 0)
	must(t, err)
	dunlin := skua
	dunlin.Name, dunlin.Model, dunlin.Ceiling = "Dunlin", "Dunlin", amount.Amount{}
	r, err := b.Start(ctx, me, dunlin)
	must(t, err)
	r, _ = do(t, b, r.ID, addJob(rebuild.Job{Title: "Renew the front left disc", Zone: "front-left-corner", Safety: rebuild.SafetyBrake, Needed: 1, State: rebuild.JobOpen}))
	job := r.Jobs[0].ID
	r, _ = do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddTool(rebuild.Tool{Title: "Half inch wrench", Class: "4 %", LowNm: 40, HighNm: 200, CalibratedOn: "2025-11-03", Certificate: "K 17"})
	})
	tool := r.Tools[0].ID
	r, _ = do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddJoint(rebuild.Joint{
			Title: "Caliper bolts", Zone: "front-left-corner", Safety: rebuild.SafetyBrake, Thread: "M12x1.5-10.9", Count: 2,
			TorqueNm: 110, ToleranceNm: 5, AngleDeg: 30, AngleToleranceDeg: 5, Passes: []float64{50, 80}, Source: rebuild.SourceOwn, SourceWhere: "joint sheet 3", Friction: 0.12, Lubricant: "dry",
			Locking: rebuild.LockPaintMark, OneTime: true, RetorqueAfterKm: 50, Jobs: []int64{job},
		})
	})
	joint := r.Joints[0].ID
	r, _ = do(t, b, r.ID, takeOff(rebuild.StripItem{At: "2026-02-01T09:00:00+01:00", What: "front left wheel", Zone: "front-left-corner", Condition: rebuild.ConditionReuse}))
	wheel := r.Strip[0].ID
	r, _ = do(t, b, r.ID, takeOff(rebuild.StripItem{
		At: "2026-02-01T09:30:00+01:00", What: "caliper", Zone: "front-left-corner", Condition: rebuild.ConditionClean, After: []int64{wheel}, Jobs: []int64{job}, Joints: []int64{joint},
		Fasteners:  []rebuild.FastenerSet{{Count: 2, Thread: "M12x1.5-10.9", Tool: "18 mm socket", Bag: "B1", OneTime: true, ToBuy: "caliper bolt", ArrivedOn: "2026-02-10"}},
		Connectors: []rebuild.Connector{{Name: "wear sensor"}},
		Photos:     []rebuild.Attachment{photo}, Marks: []rebuild.PhotoMark{{Number: 1, X: 0.25, Y: 0.5, Text: "hose clip to the front"}},
	}))
	caliper := r.Strip[1].ID
	r, _ = do(t, b, r.ID, takeOff(rebuild.StripItem{At: "2026-02-01T10:00:00+01:00", What: "disc", Condition: rebuild.ConditionRenew, After: []int64{caliper}, Note: "scored"}))
	r, _ = do(t, b, r.ID, takeOff(rebuild.StripItem{At: "2026-02-01T10:10:00+01:00", What: "clip", Fasteners: []rebuild.FastenerSet{{Count: 1, Bag: "B2"}}}))
	clip := r.Strip[3].ID
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.MoreLike(clip, 2, "2026-02-01T10:12:00+01:00")
	})
	_, _, err = b.Undo(ctx, me, r.ID, 0)
	must(t, err)
	_, _, err = b.Redo(ctx, me, r.ID)
	must(t, err)
	tightenExample(t, b, r.ID, rebuild.Tightening{
		At: "2026-02-12T11:00:00+01:00", Who: "Ada", Tool: tool, TorqueNm: 110, AngleDeg: 31, Passes: 3, Renewed: true, Locked: true,
		SecondBy: "Bo", SecondAt: "2026-02-12T11:20:00+01:00", AtKm: new(float64), Photos: []rebuild.Attachment{photo},
	})
}

// tightenExample puts the caliper and the wheel back, tightens the joint, proves
// the job, and undoes the joint again.
func tightenExample(t *testing.T, b *store.Book, id int64, tight rebuild.Tightening) {
	t.Helper()
	r, err := b.Load(context.Background(), id)
	must(t, err)
	job, joint, wheel, caliper := r.Jobs[0].ID, r.Joints[0].ID, r.Strip[0].ID, r.Strip[1].ID
	*tight.AtKm = 66_012.5
	steps := []plan{
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.PutBack(caliper, 0, "2026-02-12T10:50:00+01:00", "Ada", "the old disc stays for now")
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.PutBack(wheel, 0, "2026-02-12T11:30:00+01:00", "Ada", "")
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.Tighten(joint, 0, tight) },
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetOutcome(job, 0, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-02-12", HoursSpent: 2, Proof: "brakes evenly"})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.UndoJoint(joint, 1, rebuild.Undoing{At: "2026-02-20T18:00:00+01:00", Why: "to look at the thread"})
		},
	}
	for _, step := range steps {
		do(t, b, id, step)
	}
}

func takeOff(s rebuild.StripItem) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddStripItem(s) }
}
