package rebuild_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// longTrail is a car with n things off, each held by a joint of its own, tightened
// before.
func longTrail(n int) *rebuild.Rebuild {
	r := &rebuild.Rebuild{}
	for i := range n {
		id := int64(i + 1)
		s := rebuild.StripItem{ID: id, What: "thing", At: "2026-02-01T10:00:00Z", Joints: []int64{int64(n) + id}}
		if i%3 == 0 {
			s.BackAt = "2026-02-20T10:00:00Z"
		}
		r.Strip = append(r.Strip, s)
		j := goodJoint()
		j.ID, j.Tightenings = int64(n)+id, []rebuild.Tightening{goodTightening()}
		r.Joints = append(r.Joints, j)
	}
	return r
}

func TestManyJointsStandAsEachByItself(t *testing.T) {
	r := longTrail(60)
	stands := r.JointStands()
	states := map[rebuild.JointState]bool{}
	for _, j := range r.Joints {
		one, many := r.JointStand(j, "2026-04-01"), stands.Of(j, "2026-04-01")
		states[one.State] = true
		if !reflect.DeepEqual(one, many) {
			t.Fatalf("joint %d: %+v by itself, %+v among all", j.ID, one, many)
		}
	}
	if len(states) == 0 || len(stands.Open()) != len(r.Joints) {
		t.Errorf("states %v, %d open", states, len(stands.Open()))
	}
}

func BenchmarkRefitOfALongTrail(b *testing.B) {
	r := longTrail(1500)
	for b.Loop() {
		if f := r.Refit(); len(f.Steps) != 1000 {
			b.Fatal(len(f.Steps))
		}
	}
}

func BenchmarkJointsOfALongTrail(b *testing.B) {
	r := longTrail(1500)
	for b.Loop() {
		if open := r.JointStands().Open(); len(open) != 1500 {
			b.Fatal(len(open))
		}
	}
}

// TestATighteningFromBeforeTheThingWentBack proves nothing: it held something
// else, or nothing.
func TestATighteningFromBeforeTheThingWentBack(t *testing.T) {
	for back, says := range map[string]string{
		"2026-03-01T10:30:00Z": "",
		"2026-03-01T23:30:00Z": "",
		"2026-03-04T10:00:00Z": `it was tightened on 2026-03-01, before "caliper", which it holds, went back on 2026-03-04`,
	} {
		r := stripped(t)
		r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, 0, goodTightening()) })
		r = done(t, r, func() (rebuild.Change, error) { return r.PutBack(11, 0, back, "Ada", "yes") })
		s := r.JointStand(*r.Joint(9), "")
		if s.Proven() != (says == "") || says != "" && !slices.Contains(s.Why, says) {
			t.Errorf("back on %s: %s, %q", back, s.State, s.Why)
		}
	}
}

// TestTightenedTooFarBefore: a right torque on bolts that were stretched before
// proves nothing, on new ones it does.
func TestTightenedTooFarBefore(t *testing.T) {
	for _, c := range []struct {
		first   float64
		renewed bool
		proven  bool
	}{{110, false, true}, {200, false, false}, {200, true, true}, {60, false, true}} {
		r := tightened(t, func(j *rebuild.Joint, x *rebuild.Tightening) { j.OneTime = false; x.TorqueNm = c.first })
		x := goodTightening()
		x.At, x.SecondAt, x.Renewed = "2026-03-02T10:00:00Z", "", c.renewed
		r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, r.Joint(9).Rev, x) })
		s := r.JointStand(*r.Joint(9), "")
		if s.Proven() != c.proven || !c.proven && !strings.Contains(s.Why[0], fmt.Sprintf("it had been tightened to %g N·m before, too much for 110", c.first)) {
			t.Errorf("first %g N·m, new bolts %v: %s, %q", c.first, c.renewed, s.State, s.Why)
		}
	}
}

func TestAToolFoundOffLeavesADoubt(t *testing.T) {
	r := tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
	tool := *r.Tool(8)
	tool.CalibratedOn, tool.Certificate = "", ""
	r = done(t, r, func() (rebuild.Change, error) { return r.EditTool(tool) })
	s := r.JointStand(*r.Joint(9), "")
	if !s.Proven() || !slices.ContainsFunc(s.Doubts, func(d string) bool { return strings.Contains(d, "has lost its calibration since") }) {
		t.Errorf("%s, doubts %q", s.State, s.Doubts)
	}
}

// TestAPoorToolAllowsNoMore: a class that no standard knows is no tolerance.
func TestAPoorToolAllowsNoMore(t *testing.T) {
	r := tightened(t, func(j *rebuild.Joint, x *rebuild.Tightening) { j.ToleranceNm = 0; x.TorqueNm = 80 })
	tool := *r.Tool(8)
	tool.Class = "50 %"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditTool(tool) })
	if s := r.JointStand(*r.Joint(9), ""); s.Proven() || !strings.Contains(s.Why[0], "it needs 110 ± 6.6 N·m") {
		t.Errorf("%s, %q", s.State, s.Why)
	}
}

// TestADeletedEntryUndoesAllTheSame: the entry of a thing that is back goes, and a
// tightening from before it came off proves nothing.
func TestADeletedEntryUndoesAllTheSame(t *testing.T) {
	r := tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
	off := goodItem()
	off.At = "2026-03-05T10:00:00Z"
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(off) })
	id := r.Strip[len(r.Strip)-1].ID
	mistaken := done(t, r, func() (rebuild.Change, error) { return r.DeleteStripItem(id, 0) })
	if s := mistaken.JointStand(*mistaken.Joint(9), ""); !s.Proven() {
		t.Errorf("an entry made by mistake leaves it %s: %q", s.State, s.Why)
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.PutBack(id, 0, "2026-03-06T10:00:00Z", "Ada", "yes") })
	r = done(t, r, func() (rebuild.Change, error) { return r.DeleteStripItem(id, r.StripItem(id).Rev) })
	if s := r.JointStand(*r.Joint(9), ""); s.State != rebuild.JointUndone || s.UndoneAt != off.At {
		t.Errorf("after the entry went it is %s, undone %s", s.State, s.UndoneAt)
	}
}

// TestBehindWhatIsBack: what lies behind something that is back goes back before
// what lies in front of that, and its step says what is in the way.
func TestBehindWhatIsBack(t *testing.T) {
	r := &rebuild.Rebuild{Strip: []rebuild.StripItem{
		{ID: 1, What: "cover", At: "2026-02-05T10:00:00Z"},
		{ID: 2, What: "bracket", At: "2026-02-02T10:00:00Z", After: []int64{1}, BackAt: "2026-03-01T10:00:00Z"},
		{ID: 3, What: "pump", At: "2026-02-03T10:00:00Z", After: []int64{2}},
	}}
	f := r.Refit()
	if len(f.Steps) != 2 || f.Steps[0].Item.ID != 3 || len(f.Steps[1].Blocks) != 0 || !slices.Equal(f.Steps[1].Notes[1:], []string{`"pump", behind something that is back already, is still off`}) {
		t.Fatalf("steps %+v", f.Steps)
	}
	if !slices.ContainsFunc(f.Steps[0].Notes, func(n string) bool {
		return strings.HasPrefix(n, `"bracket" had to come off before it and is back already`)
	}) {
		t.Errorf("notes %q", f.Steps[0].Notes)
	}
}
