package rebuild_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

func TestJointRules(t *testing.T) {
	for _, c := range []struct {
		name        string
		edit        func(*rebuild.Joint)
		field, says string
	}{
		{"as it should be", func(*rebuild.Joint) {}, "", ""},
		{"as little as may be", func(j *rebuild.Joint) {
			*j = rebuild.Joint{Title: "clamp", Safety: rebuild.SafetyNone, Count: 1, Locking: rebuild.LockNone}
		}, "", ""},
		{"no name", func(j *rebuild.Joint) { j.Title = "" }, "title", "missing"},
		{"an unknown class", func(j *rebuild.Joint) { j.Safety = "" }, "safety", "brake"},
		{"no bolts", func(j *rebuild.Joint) { j.Count = 0 }, "count", "between 1 and 1000"},
		{"a torque below zero", func(j *rebuild.Joint) { j.TorqueNm, j.ToleranceNm, j.Passes = -1, 0, nil }, "torque_nm", "between 0 and 5000 N·m, not -1"},
		{"a torque that is none", func(j *rebuild.Joint) { j.TorqueNm, j.ToleranceNm, j.Passes = math.NaN(), 0, nil }, "torque_nm", "not NaN"},
		{"a tolerance of all", func(j *rebuild.Joint) { j.ToleranceNm = 110 }, "tolerance_nm", "less than the torque of 110 N·m"},
		{"an angle below zero", func(j *rebuild.Joint) { j.AngleDeg = -90 }, "angle_deg", "between 0 and 1080 degrees, not -90"},
		{"a tolerance of no angle", func(j *rebuild.Joint) { j.AngleToleranceDeg = 5 }, "angle_tolerance_deg", "less than the angle"},
		{"a pass of nothing", func(j *rebuild.Joint) { j.Passes = []float64{50, 0} }, "passes.2", "pass 2 must be above 0"},
		{"passes to nothing", func(j *rebuild.Joint) { j.TorqueNm, j.ToleranceNm = 0, 0 }, "passes", "need the torque of the last"},
		{"an unknown source", func(j *rebuild.Joint) { j.Source = "a friend" }, "source", "common practice"},
		{"too slippery", func(j *rebuild.Joint) { j.Friction = 0.03 }, "friction", "friction is between 0.04 and 0.5, not 0.03"},
		{"an unknown locking", func(j *rebuild.Joint) { j.Locking = "glued" }, "locking", "paint mark"},
		{"undone at no time", func(j *rebuild.Joint) { j.Undone = []rebuild.Undoing{{}} }, "undone.1.at", "missing"},
		{"once more after too far", func(j *rebuild.Joint) { j.RetorqueAfterKm = 20_000 }, "retorque_after_km", "between 0 and 10000 km"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := goodJoint()
			c.edit(&j)
			complains(t, j.Validate(), c.field, c.says)
		})
	}
}

func TestTighteningRules(t *testing.T) {
	r := stripped(t)
	for _, c := range []struct {
		name        string
		edit        func(*rebuild.Tightening)
		field, says string
	}{
		{"as it should be", func(*rebuild.Tightening) {}, "", ""},
		{"at no time", func(x *rebuild.Tightening) { x.At, x.SecondBy, x.SecondAt = "", "", "" }, "at", "missing"},
		{"by nobody", func(x *rebuild.Tightening) { x.Who = "" }, "who", "who tightened it is missing"},
		{"to nothing", func(x *rebuild.Tightening) { x.TorqueNm = 0 }, "torque_nm", "missing"},
		{"to less than nothing", func(x *rebuild.Tightening) { x.TorqueNm = -5 }, "torque_nm", "between 0 and 5000 N·m"},
		{"back by an angle", func(x *rebuild.Tightening) { x.AngleDeg = -90 }, "angle_deg", "not -90"},
		{"checked by the same", func(x *rebuild.Tightening) { x.SecondBy = " ada" }, "second_by", "somebody else than Ada"},
		{"checked and alone", func(x *rebuild.Tightening) { x.Alone = "nobody there" }, "alone", "Bo checked it"},
		{"checked by nobody", func(x *rebuild.Tightening) { x.SecondBy = "" }, "second_by", "say who checked it"},
		{"checked before", func(x *rebuild.Tightening) { x.SecondAt = "2026-03-01T09:00:00Z" }, "second_at", "before it was tightened"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := goodTightening()
			c.edit(&x)
			_, err := r.Tighten(9, 0, x)
			complains(t, err, c.field, c.says)
		})
	}
	x := goodTightening()
	x.Tool = 10
	_, err := r.Tighten(9, 0, x)
	complains(t, err, "tightenings.1.tool", "tool 10 is not there")
}

// back is stripped with what its joint holds on the car again.
func back(t testing.TB) *rebuild.Rebuild {
	r := stripped(t)
	return done(t, r, func() (rebuild.Change, error) {
		return r.PutBack(11, 0, "2026-03-01T09:30:00Z", "Ada", "for the test")
	})
}

// tightened is what back becomes by that tightening.
func tightened(t testing.TB, edit func(*rebuild.Joint, *rebuild.Tightening)) *rebuild.Rebuild {
	t.Helper()
	r := back(t)
	j, x := *r.Joint(9), goodTightening()
	edit(&j, &x)
	r = done(t, r, func() (rebuild.Change, error) { return r.EditJoint(j) })
	return done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, r.Joint(9).Rev, x) })
}

func TestWhatProvesAJoint(t *testing.T) {
	type joint = *rebuild.Joint
	type tightening = *rebuild.Tightening
	for _, c := range []struct {
		name string
		edit func(joint, tightening)
		says string // empty: proven
	}{
		{"all as it should be", func(joint, tightening) {}, ""},
		{"at the edge of the tolerance", func(_ joint, x tightening) { x.TorqueNm = 115 }, ""},
		{"over it", func(_ joint, x tightening) { x.TorqueNm = 115.5 }, "tightened to 115.5 N·m, but it needs 110 ± 5 N·m"},
		{"under it", func(_ joint, x tightening) { x.TorqueNm = 100 }, "tightened to 100 N·m, but it needs 110 ± 5 N·m"},
		{"within the class of the tool", func(j joint, x tightening) { j.ToleranceNm, x.TorqueNm = 0, 114 }, ""},
		{"outside the class of the tool", func(j joint, x tightening) { j.ToleranceNm, x.TorqueNm = 0, 115 }, "needs 110 ± 4.4 N·m"},
		{"81 lbf·ft for 110 N·m", func(j joint, x tightening) { j.ToleranceNm, x.TorqueNm = 0.1, 81*1.3558179483314004 }, ""},
		{"a torque that nobody said", func(j joint, _ tightening) { j.TorqueNm, j.ToleranceNm, j.Passes = 0, 0, nil }, "nobody has said what torque it needs"},
		{"no angle", func(j joint, _ tightening) { j.AngleDeg, j.AngleToleranceDeg = 90, 5 }, "not turned on by 90 degrees"},
		{"the angle", func(j joint, x tightening) { j.AngleDeg, j.AngleToleranceDeg, x.AngleDeg = 90, 5, 94 }, ""},
		{"another angle", func(j joint, x tightening) { j.AngleDeg, j.AngleToleranceDeg, x.AngleDeg = 90, 5, 80 }, "turned on by 80 degrees, but it needs 90 ± 5"},
		{"an angle that nobody asked for", func(_ joint, x tightening) { x.AngleDeg = 30 }, "turned on by 30 degrees, but it needs 0"},
		{"in one pass", func(_ joint, x tightening) { x.Passes = 1 }, "needs 2 passes, but 1 were made"},
		{"in some passes", func(_ joint, x tightening) { x.Passes = 0 }, "nobody has said how many"},
		{"by hand", func(_ joint, x tightening) { x.Tool = 0 }, "nobody has said with what tool"},
		{"beyond the tool", func(j joint, x tightening) { j.TorqueNm, x.TorqueNm = 220, 220 }, `outside the range of the tool "Big wrench", 40 to 200 N·m`},
		{"after the calibration ran out", func(_ joint, x tightening) { x.At, x.SecondAt = "2026-11-04T10:00:00Z", "" }, "out of date: 2025-11-03, more than 12 months before"},
		{"with old bolts", func(_ joint, x tightening) { x.Renewed = false }, "must be renewed each time"},
		{"with old bolts that may", func(j joint, x tightening) { j.OneTime, x.Renewed = false, false }, ""},
		{"without locking", func(_ joint, x tightening) { x.Locked = false }, "locking (paint mark) was not done"},
		{"unchecked", func(_ joint, x tightening) { x.SecondBy, x.SecondAt = "", "" }, "no second person"},
		{"unchecked with a reason", func(_ joint, x tightening) { x.SecondBy, x.SecondAt, x.Alone = "", "", "nobody was there" }, ""},
		{"unchecked where no life hangs on it", func(j joint, x tightening) { j.Safety, x.SecondBy, x.SecondAt = rebuild.SafetyNone, "", "" }, ""},
		{"before it was undone", func(_ joint, x tightening) { x.At = "2026-02-01T10:00:00Z" }, "undone on 2026-02-01 and not tightened since"},
		{"undone again", func(j joint, _ tightening) { j.Undone = []rebuild.Undoing{{At: "2026-03-02T10:00:00Z"}} }, "undone on 2026-03-02"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := tightened(t, c.edit)
			stand := r.JointStand(*r.Joint(9), "2026-12-31")
			if got := strings.Join(stand.Why, "; "); !strings.Contains(got, c.says) || stand.Proven() != (c.says == "") || len(stand.Why) > 1 {
				t.Errorf("%s: %q, want one reason with %q", stand.State, stand.Why, c.says)
			}
		})
	}
}

func TestStatesOfAJoint(t *testing.T) {
	r := furnished(t)
	r = done(t, r, func() (rebuild.Change, error) { return r.AddTool(goodTool()) })
	r = done(t, r, func() (rebuild.Change, error) { return r.AddJoint(goodJoint()) })
	state := func(want rebuild.JointState) rebuild.JointStand {
		t.Helper()
		s := r.JointStand(*r.Joint(9), "2026-03-01")
		if s.State != want || (len(s.Why) == 0) != s.Proven() {
			t.Errorf("it is %s (%q), want %s", s.State, s.Why, want)
		}
		return s
	}
	state(rebuild.JointNever)
	r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, 0, goodTightening()) })
	state(rebuild.JointProven)
	off := goodItem()
	off.At = "2026-03-01T12:00:00Z"
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(off) })
	if s := state(rebuild.JointUndone); s.UndoneBy != 10 || s.UndoneAt != off.At {
		t.Errorf("undone by %d at %s", s.UndoneBy, s.UndoneAt)
	}
	x := goodTightening()
	x.At, x.SecondAt = "2026-03-01T13:00:00Z", ""
	r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, 1, x) })
	if s := state(rebuild.JointNotProven); !strings.Contains(s.Why[0], `"caliper", which it holds, is still off`) {
		t.Errorf("why: %q", s.Why)
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.PutBack(10, 0, "2026-03-01T13:05:00Z", "Ada", "yes") })
	state(rebuild.JointProven)
	if s := r.JointStand(*r.Joint(9), "2026-02-28"); s.Proven() || !strings.Contains(s.Why[0], "dated 2026-03-01, which is still to come") {
		t.Errorf("before its day: %+v", s)
	}
}

// TestACalibrationIsThatOfTheDay calibrates the tool after the joint was tightened
// with it: the joint stays proven by the calibration of then, and one that was
// tightened before the tool was ever calibrated stays unproven.
func TestACalibrationIsThatOfTheDay(t *testing.T) {
	r := tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
	tool := *r.Tool(8)
	tool.CalibratedOn = "2026-11-20"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditTool(tool) })
	if s := r.JointStand(*r.Joint(9), "2026-12-01"); !s.Proven() || s.Last.CalibratedOn != "2025-11-03" {
		t.Errorf("after a new calibration: %+v", s)
	}
	j := *r.Joint(9)
	j.Note = "edited"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditJoint(j) })
	if s := r.JointStand(*r.Joint(9), "2026-12-01"); !s.Proven() {
		t.Errorf("after an edit: %+v", s)
	}
	late := goodTightening()
	late.At, late.SecondAt = "2026-03-02T10:00:00Z", ""
	r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, r.Joint(9).Rev, late) })
	if s := r.JointStand(*r.Joint(9), "2026-12-01"); s.Proven() || !strings.Contains(s.Why[0], "calibrated on 2026-11-20 only, after the joint was tightened") {
		t.Errorf("entered late: %+v", s)
	}
}

func TestTighteningOnceMore(t *testing.T) {
	edit := func(j *rebuild.Joint, _ *rebuild.Tightening) { j.RetorqueAfterKm = 50 }
	r := tightened(t, edit)
	s := r.JointStand(*r.Joint(9), "2026-04-01")
	if !s.Proven() || s.RetorqueAtKm != 66_050 || s.RetorqueDue || s.Retorque != "to be tightened once more at 41042 mi" { // 66050 km; the car counts in miles
		t.Errorf("fresh: %+v", s)
	}
	km := 66_049.0
	more := func(km float64) {
		t.Helper()
		x := goodTightening()
		x.At, x.SecondAt, x.Renewed, x.AtKm = "2026-03-20T10:00:00Z", "", false, &km
		r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, r.Joint(9).Rev, x) })
		s = r.JointStand(*r.Joint(9), "2026-04-01")
	}
	more(km)
	if !s.Proven() || s.RetorqueDue || s.RetorqueAtKm != 66_050 {
		t.Errorf("too early: %+v", s)
	}
	more(66_050)
	if !s.Proven() || s.Retorque != "" || s.RetorqueAtKm != 0 {
		t.Errorf("done: %+v", s)
	}
	r = tightened(t, func(j *rebuild.Joint, x *rebuild.Tightening) {
		edit(j, x)
		far := 60_000.0 // the car was bought at 41000 miles, 65983 km
		x.AtKm = &far
	})
	if s = r.JointStand(*r.Joint(9), ""); !s.Proven() || !s.RetorqueDue || !strings.Contains(s.Retorque, "at 37313 mi, and the car has gone 41000 mi") {
		t.Errorf("due: %+v", s)
	}
	r = tightened(t, func(j *rebuild.Joint, x *rebuild.Tightening) { edit(j, x); x.AtKm = nil })
	if s = r.JointStand(*r.Joint(9), ""); !s.Proven() || s.RetorqueDue || !strings.Contains(s.Retorque, "was not read") {
		t.Errorf("not read: %+v", s)
	}
	more(66_100) // read only when it was tightened again: from there on
	if !s.Proven() || s.RetorqueDue || s.RetorqueAtKm != 66_150 {
		t.Errorf("read later: %+v", s)
	}
}

func TestDoubtsOfAProvenJoint(t *testing.T) {
	r := tightened(t, func(j *rebuild.Joint, x *rebuild.Tightening) {
		j.Source, j.ToleranceNm = rebuild.SourcePractice, 0
		x.SecondBy, x.SecondAt, x.Alone = "", "", "nobody was there"
	})
	s := r.JointStand(*r.Joint(9), "")
	if !s.Proven() || len(s.Doubts) != 3 {
		t.Errorf("%+v", s)
	}
}

// TestASafetyCriticalJobNeedsItsJoints goes through it all: refused, proven, opened
// again by what comes off, and by an undo.
func TestASafetyCriticalJobNeedsItsJoints(t *testing.T) {
	prove := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.SetOutcome(3, r.Job(3).Rev, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-03-02", Proof: "test drive"})
	}
	r := back(t)
	_, err := prove(r)
	complains(t, err, "state", `"Caliper bolts" is not, for it was undone on 2026-02-01`)
	tight, err := r.Tighten(9, 0, goodTightening())
	complains(t, err, "", "")
	r = applied(t, r, tight)
	r = done(t, r, func() (rebuild.Change, error) { return prove(r) })
	if _, err := tight.Inverse(r); !errors.As(err, new(*rebuild.Conflict)) {
		t.Errorf("the tightening was taken back under a proven job: %v", err)
	}
	off := goodItem()
	off.At = "2026-03-05T10:00:00Z"
	again, err := r.AddStripItem(off)
	complains(t, err, "", "")
	next := applied(t, r, again)
	if next.Job(3).State != rebuild.JobDone || again.What != `took off "caliper"; the job "Renew the hub" is done, but proven no more` {
		t.Errorf("the job is %s: %q", next.Job(3).State, again.What)
	}
	complains(t, next.Validate(), "", "")
	undo, err := again.Inverse(next)
	complains(t, err, "", "")
	if r := applied(t, next, undo); r.Job(3).State != rebuild.JobProven || !slices.ContainsFunc(undo.Edits, func(e rebuild.Edit) bool { return e.Kind() == rebuild.KindJob }) {
		t.Errorf("after the undo the job is %s", r.Job(3).State)
	}
	for name, f := range map[string]func() (rebuild.Change, error){
		"undo":    func() (rebuild.Change, error) { return r.UndoJoint(9, 1, rebuild.Undoing{At: "2026-03-05T10:00:00Z"}) },
		"joint":   func() (rebuild.Change, error) { j := *r.Joint(9); j.TorqueNm = 90; return r.EditJoint(j) },
		"tool":    func() (rebuild.Change, error) { x := *r.Tool(8); x.HighNm = 100; return r.EditTool(x) },
		"another": func() (rebuild.Change, error) { return r.AddJoint(goodJoint()) },
	} {
		c, err := f()
		complains(t, err, "", "")
		if next := applied(t, r, c); next.Job(3).State != rebuild.JobDone || next.Validate() != nil {
			t.Errorf("%s: the job is %s (%v)", name, next.Job(3).State, next.Validate())
		}
	}
	loose := *r.Job(3)
	loose.Safety = rebuild.SafetyNone
	r = done(t, r, func() (rebuild.Change, error) { return r.EditJob(loose) })
	r = done(t, r, func() (rebuild.Change, error) { return r.UndoJoint(9, 1, rebuild.Undoing{At: "2026-03-05T10:00:00Z"}) })
	if r.Job(3).State != rebuild.JobProven {
		t.Errorf("a job on which no life hangs was set to %s", r.Job(3).State)
	}
	critical := *r.Job(3)
	critical.Safety = rebuild.SafetyBrake
	_, err = r.EditJob(critical)
	complains(t, err, "state", "proven only with its joints")
}

// TestNoJobStaysProvenByALooseJoint tightens, undoes, strips, proves and deletes at
// will: the rebuild keeps its rules after each change and after its undo.
func TestNoJobStaysProvenByALooseJoint(t *testing.T) {
	var proofs, setBack int
	rapid.Check(t, func(rt *rapid.T) {
		r := tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
		for range rapid.IntRange(1, 15).Draw(rt, "steps") {
			c, err := someTightening(rt, r)
			if err != nil {
				continue
			}
			next, err := r.Apply(c)
			if err != nil {
				rt.Fatal(err)
			}
			back, err := c.Inverse(next)
			if err != nil {
				rt.Fatalf("the way back of %q: %v", c.What, err)
			}
			before, err := next.Apply(back)
			if err != nil || text(rt, before) != text(rt, r) {
				rt.Fatalf("there and back of %q differs (%v)", c.What, err)
			}
			for _, r := range []*rebuild.Rebuild{next, before} {
				if err := r.Validate(); err != nil {
					rt.Fatalf("%q: %v", c.What, err)
				}
			}
			if strings.Contains(c.What, "proven no more") {
				setBack++
			} else if strings.HasSuffix(c.What, "to proven") {
				proofs++
			}
			r = next
		}
	})
	if t.Logf("%d jobs proven, %d set back", proofs, setBack); proofs == 0 || setBack == 0 {
		t.Error("the walk never got there")
	}
}

func someTightening(rt *rapid.T, r *rebuild.Rebuild) (rebuild.Change, error) {
	at := rapid.SampledFrom([]string{"2026-03-01T08:00:00Z", "2026-03-02T08:00:00Z", "2026-03-03T08:00:00Z"}).Draw(rt, "moment")
	rev := func(kind rebuild.Kind, id int64) int { return revisionOf(r, kind, id) }
	item := rapid.Int64Range(10, 16).Draw(rt, "item")
	switch rapid.IntRange(0, 9).Draw(rt, "what") {
	case 0, 1:
		x := goodTightening()
		x.At, x.SecondAt, x.TorqueNm = at, "", rapid.SampledFrom([]float64{110, 110, 90}).Draw(rt, "torque")
		return r.Tighten(9, rev(rebuild.KindJoint, 9), x)
	case 2:
		return r.UndoJoint(9, rev(rebuild.KindJoint, 9), rebuild.Undoing{At: at})
	case 3:
		s := goodItem()
		s.At = at
		return r.AddStripItem(s)
	case 4:
		return r.PutBack(item, rev(rebuild.KindStripItem, item), "2026-03-04T08:00:00Z", "Ada", "so")
	case 5:
		return r.DeleteStripItem(item, rev(rebuild.KindStripItem, item))
	case 6:
		x := goodTool()
		x.ID, x.Rev, x.HighNm = 8, rev(rebuild.KindTool, 8), rapid.SampledFrom([]float64{100, 200, 200}).Draw(rt, "range")
		return r.EditTool(x)
	case 7:
		j := *r.Joint(9)
		j.Tightenings = j.Tightenings[:len(j.Tightenings)/2]
		return r.EditJoint(j)
	}
	return r.SetOutcome(3, rev(rebuild.KindJob, 3), rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-03-04", Proof: "looked at"})
}
