package store_test

import (
	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

// anyStripChange draws something that a person could do to the strip trail, the
// joints and the tools.
func anyStripChange(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) (rebuild.Change, error) {
	switch rapid.SampledFrom([]string{
		"take off", "take off", "more", "edit", "put back", "off again", "delete", "add joint", "edit joint", "tighten", "tighten", "undo", "delete joint",
		"add tool", "edit tool", "delete tool", "prove",
	}).Draw(t, "what") {
	case "take off":
		return r.AddStripItem(anyStripItem(t, r, files))
	case "more":
		return edit(t, r.Strip, func(s rebuild.StripItem) (rebuild.Change, error) {
			return r.MoreLike(s.ID, rapid.IntRange(1, 3).Draw(t, "n"), anyMoment(t))
		})
	case "edit":
		return edit(t, r.Strip, func(old rebuild.StripItem) (rebuild.Change, error) {
			s := anyStripItem(t, r, files)
			s.ID, s.Rev = old.ID, old.Rev
			return r.EditStripItem(s)
		})
	case "put back":
		return edit(t, r.Strip, func(s rebuild.StripItem) (rebuild.Change, error) {
			return r.PutBack(s.ID, s.Rev, "2026-03-01T10:00:00Z", "Ada", anyText(t, 0, 3))
		})
	case "off again":
		return edit(t, r.Strip, func(s rebuild.StripItem) (rebuild.Change, error) {
			return r.OffAgain(s.ID, s.Rev, "2026-03-02T10:00:00Z")
		})
	case "delete":
		return edit(t, r.Strip, func(s rebuild.StripItem) (rebuild.Change, error) { return r.DeleteStripItem(s.ID, s.Rev) })
	case "add tool":
		return r.AddTool(anyTool(t))
	case "edit tool":
		return edit(t, r.Tools, func(old rebuild.Tool) (rebuild.Change, error) {
			tool := anyTool(t)
			tool.ID, tool.Rev = old.ID, old.Rev
			return r.EditTool(tool)
		})
	case "delete tool":
		return edit(t, r.Tools, func(tool rebuild.Tool) (rebuild.Change, error) { return r.DeleteTool(tool.ID, tool.Rev) })
	case "prove":
		return edit(t, r.Jobs, func(j rebuild.Job) (rebuild.Change, error) {
			return r.SetOutcome(j.ID, j.Rev, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-03-02", Proof: "looked at"})
		})
	}
	return anyJointChange(t, r, files)
}

func anyJointChange(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) (rebuild.Change, error) {
	switch rapid.SampledFrom([]string{"add", "edit", "tighten", "tighten", "undo", "delete"}).Draw(t, "with a joint") {
	case "edit":
		return edit(t, r.Joints, func(old rebuild.Joint) (rebuild.Change, error) {
			j := anyJoint(t, r, files)
			j.ID, j.Rev = old.ID, old.Rev
			return r.EditJoint(j)
		})
	case "tighten":
		return edit(t, r.Joints, func(j rebuild.Joint) (rebuild.Change, error) {
			return r.Tighten(j.ID, j.Rev, anyTightening(t, r, files))
		})
	case "undo":
		return edit(t, r.Joints, func(j rebuild.Joint) (rebuild.Change, error) {
			return r.UndoJoint(j.ID, j.Rev, rebuild.Undoing{At: anyMoment(t), Why: anyText(t, 0, 20)})
		})
	case "delete":
		return edit(t, r.Joints, func(j rebuild.Joint) (rebuild.Change, error) { return r.DeleteJoint(j.ID, j.Rev) })
	}
	return r.AddJoint(anyJoint(t, r, files))
}

func anyMoment(t *rapid.T) string {
	return rapid.SampledFrom([]string{"2026-02-05T18:03:07Z", "2026-02-05T18:03:07.25+01:00", "2026-02-06T08:00:00Z", "2026-02-28T23:59:59-05:00"}).Draw(t, "moment")
}

func anyStripItem(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.StripItem {
	s := rebuild.StripItem{
		At: anyMoment(t), What: anyText(t, 1, 20), Zone: anyZone(t), Condition: rapid.SampledFrom(append([]rebuild.Condition{""}, rebuild.Conditions...)).Draw(t, "condition"),
		Fasteners: anyList(t, 2, anyFasteners), Connectors: anyList(t, 2, func(t *rapid.T) rebuild.Connector {
			return rebuild.Connector{Name: anyText(t, 1, 10), Made: rapid.Bool().Draw(t, "made")}
		}),
		Photos: anyFiles(t, files), Note: anyText(t, 0, 20),
		After: someOf(t, r.Strip, 3), Jobs: someOf(t, r.Jobs, 3), Joints: someOf(t, r.Joints, 2),
	}
	for i := range s.Photos {
		s.Marks = append(s.Marks, rebuild.PhotoMark{Photo: i, Number: i + 1, X: anyNumber(t, 1), Y: anyNumber(t, 1), Text: anyText(t, 0, 10)})
	}
	if s.Condition.WantsSettling() && rapid.Bool().Draw(t, "settled") {
		s.SettledOn = "2026-02-20"
	}
	if rapid.Bool().Draw(t, "back") {
		s.BackAt, s.BackBy, s.BackAnyway = "2026-03-01T10:00:00Z", "Ada", anyText(t, 0, 3)
	}
	return s
}

func anyFasteners(t *rapid.T) rebuild.FastenerSet {
	f := rebuild.FastenerSet{
		Count: rapid.IntRange(1, 12).Draw(t, "count"), Thread: rapid.SampledFrom([]string{"", "M8x1.25", "M10x1.25-10.9"}).Draw(t, "thread"), Tool: rapid.SampledFrom([]string{"", "10 mm socket", "T30"}).Draw(t, "tool"),
		Bag: rapid.SampledFrom([]string{"", "B1", "B7"}).Draw(t, "bag"), OneTime: rapid.Bool().Draw(t, "one-time"), ToBuy: anyText(t, 0, 10), Emptied: rapid.Bool().Draw(t, "emptied"), Note: anyText(t, 0, 10),
	}
	if f.OneTime {
		f.ArrivedOn = anyDay(t)
	}
	return f
}

// anyJoint draws one that can be proven mostly.
func anyJoint(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.Joint {
	j := rebuild.Joint{
		Title: anyText(t, 1, 20), Zone: anyZone(t), Safety: rapid.SampledFrom(rebuild.SafetyClasses).Draw(t, "class"), Thread: "M12x1.5-10.9", Count: rapid.IntRange(1, 8).Draw(t, "count"),
		TorqueNm: 110, ToleranceNm: rapid.SampledFrom([]float64{0, 5}).Draw(t, "tolerance"), Source: rapid.SampledFrom(append([]rebuild.JointSource{""}, rebuild.JointSources...)).Draw(t, "source"),
		SourceWhere: anyText(t, 0, 10), Friction: rapid.SampledFrom([]float64{0, 0.12}).Draw(t, "friction"), Lubricant: anyText(t, 0, 10), Locking: rapid.SampledFrom([]rebuild.Locking{rebuild.LockNone, rebuild.LockNone, rebuild.LockStaked}).Draw(t, "locking"),
		OneTime: rapid.IntRange(0, 3).Draw(t, "one-time") == 0, RetorqueAfterKm: rapid.SampledFrom([]float64{0, 50}).Draw(t, "retorque"), Note: anyText(t, 0, 10),
		Jobs:        someOf(t, r.Jobs, 2),
		Undone:      anyList(t, 1, func(t *rapid.T) rebuild.Undoing { return rebuild.Undoing{At: anyMoment(t), Why: anyText(t, 0, 10)} }),
		Tightenings: anyList(t, 2, func(t *rapid.T) rebuild.Tightening { return anyTightening(t, r, files) }),
	}
	if rapid.IntRange(0, 3).Draw(t, "in passes") == 0 {
		j.Passes = []float64{50, anyNumber(t, 100)}
	}
	if rapid.IntRange(0, 3).Draw(t, "by angle") == 0 {
		j.AngleDeg, j.AngleToleranceDeg = 90, 5
	}
	return j
}

func anyTightening(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.Tightening {
	s := rebuild.Tightening{
		At: rapid.SampledFrom([]string{"2026-02-27T10:00:00Z", "2026-03-01T12:00:00+02:00", "2026-02-01T00:00:00Z"}).Draw(t, "moment"), Who: "Ada",
		TorqueNm: rapid.SampledFrom([]float64{110, 110, 108, 50}).Draw(t, "torque"), Passes: rapid.IntRange(0, 3).Draw(t, "passes"), Renewed: rapid.Bool().Draw(t, "renewed"), Locked: rapid.Bool().Draw(t, "locked"),
		Photos: anyFiles(t, files), Note: anyText(t, 0, 10),
	}
	if ids := someOf(t, r.Tools, 1); len(ids) > 0 {
		s.Tool = ids[0]
	}
	if rapid.Bool().Draw(t, "angle") {
		s.AngleDeg = 88
	}
	if rapid.Bool().Draw(t, "alone") {
		s.Alone = "nobody was there"
	} else {
		s.SecondBy, s.SecondAt = "Bo", "2026-03-02T10:00:00Z"
	}
	if rapid.Bool().Draw(t, "distance read") {
		km := anyNumber(t, 100_000)
		s.AtKm = &km
	}
	return s
}

func anyTool(t *rapid.T) rebuild.Tool {
	return rebuild.Tool{
		Title: anyText(t, 1, 20), Class: rapid.SampledFrom([]string{"", "4 %", "6%"}).Draw(t, "class"), LowNm: anyNumber(t, 100), HighNm: 200,
		CalibratedOn: rapid.SampledFrom([]string{"", "2026-01-05", "2026-01-05", "2020-02-29"}).Draw(t, "calibrated"), Certificate: anyText(t, 0, 10), Note: anyText(t, 0, 10),
	}
}

// someOf draws numbers of items, at most that many.
func someOf[T rebuild.Item](t *rapid.T, items []T, most int) []int64 {
	var ids []int64
	for _, item := range items {
		if len(ids) < most && rapid.Bool().Draw(t, "names") {
			ids = append(ids, item.ItemID())
		}
	}
	return ids
}
