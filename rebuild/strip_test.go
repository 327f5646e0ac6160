package rebuild_test

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

var photo = rebuild.Attachment{Hash: strings.Repeat("a", 64), Name: "sat.jpg", MediaType: "image/jpeg", Size: 7}

func goodTool() rebuild.Tool {
	return rebuild.Tool{Title: "Big wrench", Class: "4 %", LowNm: 40, HighNm: 200, CalibratedOn: "2025-11-03", Certificate: "K 17"}
}

// goodJoint is of job 3.
func goodJoint() rebuild.Joint {
	return rebuild.Joint{
		Title: "Caliper bolts", Zone: "front-left-corner", Safety: rebuild.SafetyBrake, Thread: "M12x1.5-10.9", Count: 2,
		TorqueNm: 110, ToleranceNm: 5, Passes: []float64{60}, Source: rebuild.SourceMaker, SourceWhere: "page 33-12", Friction: 0.12, Lubricant: "dry",
		Locking: rebuild.LockPaintMark, OneTime: true, Jobs: []int64{3},
	}
}

// goodItem is off for job 3 and undid joint 9.
func goodItem() rebuild.StripItem {
	return rebuild.StripItem{
		At: "2026-02-01T10:00:00Z", What: "caliper", Zone: "front-left-corner", Condition: rebuild.ConditionClean,
		Fasteners:  []rebuild.FastenerSet{{Count: 2, Thread: "M12x1.5-10.9", Tool: "18 mm socket", Bag: "B1", OneTime: true, ToBuy: "caliper bolt"}, {Count: 1, Tool: "T30", Bag: "B1"}},
		Connectors: []rebuild.Connector{{Name: "wear sensor"}},
		Photos:     []rebuild.Attachment{photo}, Marks: []rebuild.PhotoMark{{Photo: 0, Number: 1, X: 0.5, Y: 0.25, Text: "hose clip"}},
		Jobs: []int64{3}, Joints: []int64{9},
	}
}

// goodTightening is by tool 8.
func goodTightening() rebuild.Tightening {
	km := 66_000.0
	return rebuild.Tightening{At: "2026-03-01T10:00:00Z", Who: "Ada", Tool: 8, TorqueNm: 110, Passes: 2, Renewed: true, Locked: true, SecondBy: "Bo", SecondAt: "2026-03-01T10:30:00Z", AtKm: &km}
}

// stripped is furnished with tool 8, joint 9, and items 10 to 12: a wheel, the
// caliper that came off after it, and a disc after that.
func stripped(t testing.TB) *rebuild.Rebuild {
	t.Helper()
	r := furnished(t)
	r = done(t, r, func() (rebuild.Change, error) { return r.AddTool(goodTool()) })
	r = done(t, r, func() (rebuild.Change, error) { return r.AddJoint(goodJoint()) })
	wheel := rebuild.StripItem{At: "2026-02-01T09:00:00Z", What: "wheel", Condition: rebuild.ConditionReuse, Fasteners: []rebuild.FastenerSet{{Count: 5, Tool: "19 mm socket", Thread: "M14x1.5"}}}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(wheel) })
	caliper := goodItem()
	caliper.After = []int64{10}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(caliper) })
	disc := rebuild.StripItem{At: "2026-02-01T11:00:00Z", What: "disc", Condition: rebuild.ConditionRenew, After: []int64{11}}
	return done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(disc) })
}

func TestStripItemRules(t *testing.T) {
	for _, c := range []struct {
		name        string
		edit        func(*rebuild.StripItem)
		field, says string
	}{
		{"as it should be", func(*rebuild.StripItem) {}, "", ""},
		{"as little as may be", func(s *rebuild.StripItem) { *s = rebuild.StripItem{At: s.At, What: "clip"} }, "", ""},
		{"at no time", func(s *rebuild.StripItem) { s.At = "" }, "at", "the moment it came off is missing"},
		{"on a day", func(s *rebuild.StripItem) { s.At = "2026-02-01" }, "at", "write it like"},
		{"nothing", func(s *rebuild.StripItem) { s.What = "" }, "what", "what came off is missing"},
		{"a zone that is none", func(s *rebuild.StripItem) { s.Zone = "wing" }, "zone", `no zone "wing"`},
		{"no bolts", func(s *rebuild.StripItem) { s.Fasteners[1].Count = 0 }, "fasteners.2.count", "between 1 and 1000, not 0"},
		{"a long code", func(s *rebuild.StripItem) { s.Fasteners[0].Bag = "left front caliper" }, "fasteners.1.bag", "at most 12"},
		{"arrived without need", func(s *rebuild.StripItem) { s.Fasteners[1].ArrivedOn = "2026-02-03" }, "fasteners.2.arrived_on", "only fasteners that must be renewed"},
		{"a connector without name", func(s *rebuild.StripItem) { s.Connectors[0].Name = "" }, "connectors.1.name", "missing"},
		{"a mark on no photo", func(s *rebuild.StripItem) { s.Marks[0].Photo = 1 }, "marks.1.photo", "on photo 2, but there are 1"},
		{"a mark twice", func(s *rebuild.StripItem) { s.Marks = append(s.Marks, s.Marks[0]) }, "marks.2.number", "photo 1 has two marks 1"},
		{"a mark beside its photo", func(s *rebuild.StripItem) { s.Marks[0].X = 1.01 }, "marks.1.x", "beside its photo"},
		{"an unknown condition", func(s *rebuild.StripItem) { s.Condition = "so-so" }, "condition", "one-time, damaged, missing"},
		{"settled without need", func(s *rebuild.StripItem) { s.SettledOn = "2026-02-03" }, "settled_on", "only what is to be renewed"},
		{"settled", func(s *rebuild.StripItem) { s.Condition, s.SettledOn = rebuild.ConditionDamaged, "2026-02-03" }, "", ""},
		{"after itself", func(s *rebuild.StripItem) { s.ID, s.After = 4, []int64{4} }, "after", `"caliper" cannot have come off after itself`},
		{"after something twice", func(s *rebuild.StripItem) { s.After = []int64{2, 2} }, "after", "entry 2 is named twice"},
		{"back before off", func(s *rebuild.StripItem) { s.BackAt = "2026-01-31T23:00:00Z" }, "back_at", "on 2026-01-31, before it came off on 2026-02-01"},
		{"back by the clock of another zone", func(s *rebuild.StripItem) { s.BackAt = "2026-02-01T10:30:00+01:00" }, "back_at", "before it came off"},
		{"back by somebody at no time", func(s *rebuild.StripItem) { s.BackBy = "Ada" }, "back_at", "say when"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := goodItem()
			c.edit(&s)
			complains(t, s.Validate(), c.field, c.says)
		})
	}
}

func TestAStripItemNamesOnlyWhatIsThere(t *testing.T) {
	r := stripped(t)
	complains(t, r.Validate(), "", "")
	for _, c := range []struct {
		edit        func(*rebuild.StripItem)
		field, says string
	}{
		{func(s *rebuild.StripItem) { s.After = []int64{99} }, "after", "entry 99 of the strip trail is not there"},
		{func(s *rebuild.StripItem) { s.After = []int64{9} }, "after", "entry 9"},
		{func(s *rebuild.StripItem) { s.Jobs = []int64{99} }, "jobs", "job 99"},
		{func(s *rebuild.StripItem) { s.Joints = []int64{10} }, "joints", "joint 10"},
	} {
		s := goodItem()
		c.edit(&s)
		_, err := r.AddStripItem(s)
		complains(t, err, c.field, c.says)
		s.ID = 11
		_, err = r.EditStripItem(s)
		complains(t, err, c.field, c.says)
	}
}

// TestACircleIsNamed closes the circle wheel, caliper, disc.
func TestACircleIsNamed(t *testing.T) {
	r := stripped(t)
	wheel := *r.StripItem(10)
	wheel.After = []int64{12}
	_, err := r.EditStripItem(wheel)
	complains(t, err, "after", `that is a circle: "caliper" before "disc" before "wheel" before "caliper"`)
}

// TestACircleDoesNotComeBackByUndo takes a relation away, says the opposite, and
// undoes the first.
func TestACircleDoesNotComeBackByUndo(t *testing.T) {
	r := stripped(t)
	caliper := *r.StripItem(11)
	caliper.After = nil
	loosened, err := r.EditStripItem(caliper)
	complains(t, err, "", "")
	r = applied(t, r, loosened)
	wheel := *r.StripItem(10)
	wheel.After = []int64{11}
	r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(wheel) })
	var conflict *rebuild.Conflict
	if _, err := loosened.Inverse(r); !errors.As(err, &conflict) || conflict.ID != 10 {
		t.Errorf("the relation came back: %v", err)
	}
}

func TestMoreLikeIt(t *testing.T) {
	r := stripped(t)
	caliper := *r.StripItem(11)
	caliper.Fasteners = append(caliper.Fasteners, rebuild.FastenerSet{Count: 1, Bag: "b3", Emptied: true})
	r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(caliper) })
	c, err := r.MoreLike(11, 3, "2026-02-04T08:00:00Z")
	complains(t, err, "", "")
	if len(c.Edits) != 3 || c.What != `took off 3 more like "caliper"` {
		t.Fatalf("%q with %d edits", c.What, len(c.Edits))
	}
	next := applied(t, r, c)
	bags, names := "", ""
	for _, s := range next.Strip[3:] {
		names += s.What + " "
		for _, f := range s.Fasteners {
			bags += f.Bag + " "
		}
		if s.At != "2026-02-04T08:00:00Z" || s.Photos != nil || s.Marks != nil || s.Fasteners[2].Emptied || !reflect.DeepEqual(s.After, []int64{10}) || !s.Undoes(9) {
			t.Errorf("one more is %+v", s)
		}
	}
	if names != "caliper (2) caliper (3) caliper (4) " || bags != "B2 B2 B4 B5 B5 B6 B7 B7 B8 " || next.NextBag() != "B9" {
		t.Errorf("they are %q with the bags %q, then %s", names, bags, next.NextBag())
	}
	again := done(t, next, func() (rebuild.Change, error) { return next.MoreLike(14, 1, "2026-02-04T09:00:00Z") })
	if what := again.Strip[6].What; what != "caliper (5)" {
		t.Errorf("the next one is %q", what)
	}
	back, err := c.Inverse(next)
	complains(t, err, "", "")
	if undone := applied(t, next, back); len(undone.Strip) != 3 {
		t.Errorf("after one undo there are %d", len(undone.Strip))
	}
	for _, n := range []int{-1, 0, 51} {
		_, err := r.MoreLike(11, n, "2026-02-04T08:00:00Z")
		complains(t, err, "n", fmt.Sprintf("between 1 and 50 more can be entered at once, not %d", n))
	}
	_, err = r.MoreLike(99, 1, "2026-02-04T08:00:00Z")
	if !errors.As(err, new(*rebuild.Missing)) {
		t.Errorf("more like nothing: %v", err)
	}
}

// TestOffAgain takes the caliper off once more: the list has it where it was, its
// joint is undone from that moment, its bolts are to be bought again.
func TestOffAgain(t *testing.T) {
	r := tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
	caliper := *r.StripItem(11)
	caliper.Fasteners, caliper.Connectors = slices.Clone(caliper.Fasteners), slices.Clone(caliper.Connectors)
	caliper.Fasteners[0].ArrivedOn, caliper.Fasteners[0].Emptied = "2026-02-20", true
	c, err := r.EditStripItem(caliper)
	complains(t, err, "", "")
	if c.What != `put fasteners of "caliper" back on the car` {
		t.Errorf("%q", c.What)
	}
	r = applied(t, r, c)
	caliper = *r.StripItem(11)
	caliper.Connectors = []rebuild.Connector{{Name: "wear sensor", Made: true}}
	c, err = r.EditStripItem(caliper)
	complains(t, err, "", "")
	if c.What != `made connectors of "caliper" again` {
		t.Errorf("%q", c.What)
	}
	r = applied(t, r, c)
	again, err := r.OffAgain(11, r.StripItem(11).Rev, "2026-03-08T10:00:00Z")
	complains(t, err, "", "")
	next := applied(t, r, again)
	s := next.StripItem(11)
	if f := s.Fasteners[0]; !s.Off() || s.BackAnyway != "" || f.Emptied || f.ArrivedOn != "" || f.Bag != "B1" || s.Connectors[0].Made || len(s.Photos) != 1 || s.At != "2026-02-01T10:00:00Z" {
		t.Errorf("it is %+v", s)
	}
	if stand := next.JointStand(*next.Joint(9), ""); stand.State != rebuild.JointUndone || stand.UndoneAt != "2026-03-08T10:00:00Z" || again.What != `took off "caliper" again` {
		t.Errorf("%q, the joint is %+v", again.What, stand)
	}
	if got := order(next.Refit()); got != "disc caliper wheel" {
		t.Errorf("the list is %s", got)
	}
	complains(t, next.Validate(), "", "")
	back, err := again.Inverse(next)
	complains(t, err, "", "")
	if undone := applied(t, next, back); !undone.JointStand(*undone.Joint(9), "").Proven() {
		t.Error("the undo did not bring the joint back")
	}
	_, err = r.OffAgain(11, r.StripItem(11).Rev, "2026-02-28T10:00:00Z")
	complains(t, err, "at", "before it went back on 2026-03-01")
	_, err = r.OffAgain(11, r.StripItem(11).Rev, "")
	complains(t, err, "at", "missing")
	_, err = r.OffAgain(12, 0, "2026-03-08T10:00:00Z")
	complains(t, err, "at", `"disc" is off already`)
}

func TestStripIsEditedOnItsLatestRevisionOnly(t *testing.T) {
	r := stripped(t)
	s := *r.StripItem(12)
	s.Note = "thin"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(s) })
	var conflict *rebuild.Conflict
	for name, f := range map[string]func() (rebuild.Change, error){
		"edit":       func() (rebuild.Change, error) { return r.EditStripItem(s) },
		"delete":     func() (rebuild.Change, error) { return r.DeleteStripItem(12, 0) },
		"put back":   func() (rebuild.Change, error) { return r.PutBack(12, 0, "2026-03-01T10:00:00Z", "Ada", "") },
		"edit joint": func() (rebuild.Change, error) { j := goodJoint(); j.ID, j.Rev = 9, 4; return r.EditJoint(j) },
		"tighten":    func() (rebuild.Change, error) { return r.Tighten(9, 4, goodTightening()) },
		"edit tool":  func() (rebuild.Change, error) { x := goodTool(); x.ID, x.Rev = 8, 4; return r.EditTool(x) },
		"no tool":    func() (rebuild.Change, error) { return r.DeleteTool(8, 4) },
		"no joint":   func() (rebuild.Change, error) { return r.DeleteJoint(9, 4) },
		"gone item":  func() (rebuild.Change, error) { x := goodItem(); x.ID = 99; return r.EditStripItem(x) },
		"gone joint": func() (rebuild.Change, error) { j := goodJoint(); j.ID = 99; return r.EditJoint(j) },
		"gone tool":  func() (rebuild.Change, error) { x := goodTool(); x.ID = 99; return r.EditTool(x) },
	} {
		if _, err := f(); !errors.As(err, &conflict) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, f := range map[string]func() (rebuild.Change, error){
		"item":  func() (rebuild.Change, error) { return r.DeleteStripItem(99, 0) },
		"joint": func() (rebuild.Change, error) { return r.UndoJoint(99, 0, rebuild.Undoing{}) },
		"tool":  func() (rebuild.Change, error) { return r.DeleteTool(99, 0) },
	} {
		if _, err := f(); !errors.As(err, new(*rebuild.Missing)) {
			t.Errorf("a %s that is not there: %v", name, err)
		}
	}
}

// TestWhatGoesIsTakenOutOfStripAndJoints deletes each thing that is named: those
// that name it stay, name it no more, and name it again after an undo.
func TestWhatGoesIsTakenOutOfStripAndJoints(t *testing.T) {
	r := stripped(t)
	for _, c := range []struct {
		name  string
		f     func() (rebuild.Change, error)
		says  string
		named func(*rebuild.Rebuild) int
	}{
		{"a job", func() (rebuild.Change, error) { return r.DeleteJob(3, 0) }, `; the strip item "caliper" names it no more; the joint "Caliper bolts" names it no more`, func(r *rebuild.Rebuild) int { return len(r.StripOf(3)) + len(r.JointsOf(3)) }},
		{"a joint", func() (rebuild.Change, error) { return r.DeleteJoint(9, 0) }, `; the strip item "caliper" names it no more`, func(r *rebuild.Rebuild) int { return len(r.StripUndoing(9)) }},
		{"what came off before", func() (rebuild.Change, error) { return r.DeleteStripItem(10, 0) }, `deleted "wheel", which came off; the strip item "caliper" names it no more`, func(r *rebuild.Rebuild) int { return len(r.StripItem(11).After) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			gone, err := c.f()
			complains(t, err, "", "")
			without := applied(t, r, gone)
			complains(t, without.Validate(), "", "")
			if c.named(without) != 0 || !strings.Contains(gone.What, c.says) {
				t.Errorf("%q, named %d times", gone.What, c.named(without))
			}
			back, err := gone.Inverse(without)
			complains(t, err, "", "")
			if again := applied(t, without, back); c.named(again) != c.named(r) {
				t.Errorf("after the undo it is named %d times", c.named(again))
			}
		})
	}
}

// TestUndoLeavesNothingNamed takes back what something came to name meanwhile.
func TestUndoLeavesNothingNamed(t *testing.T) {
	r := furnished(t)
	tool, err := r.AddTool(goodTool())
	complains(t, err, "", "")
	r = applied(t, r, tool)
	joint, err := r.AddJoint(goodJoint())
	complains(t, err, "", "")
	r = applied(t, r, joint)
	wheel, err := r.AddStripItem(rebuild.StripItem{At: "2026-02-01T09:00:00Z", What: "wheel"})
	complains(t, err, "", "")
	r = applied(t, r, wheel)
	caliper := goodItem()
	caliper.After = []int64{10}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(caliper) })
	r = done(t, r, func() (rebuild.Change, error) { return r.Tighten(9, 0, goodTightening()) })
	for name, c := range map[string]rebuild.Change{"tool": tool, "wheel": wheel} {
		if _, err := c.Inverse(r); !errors.As(err, new(*rebuild.Conflict)) {
			t.Errorf("the %s went: %v", name, err)
		}
	}
	_, err = r.DeleteTool(8, 0)
	complains(t, err, "tool", `the joint "Caliper bolts" was tightened with "Big wrench"`)
}

func TestToolRules(t *testing.T) {
	for _, c := range []struct {
		name        string
		edit        func(*rebuild.Tool)
		field, says string
	}{
		{"as it should be", func(*rebuild.Tool) {}, "", ""},
		{"a name alone", func(x *rebuild.Tool) { *x = rebuild.Tool{Title: "bar"} }, "", ""},
		{"no name", func(x *rebuild.Tool) { x.Title = "" }, "title", "missing"},
		{"a class with a sign", func(x *rebuild.Tool) { x.Class = "± 6 %" }, "", ""},
		{"a class in words", func(x *rebuild.Tool) { x.Class = "good" }, "class", "write it like 4 %"},
		{"a class that bends", func(x *rebuild.Tool) { x.Class = "60 %" }, "class", "write it like 4 %"},
		{"a range upside down", func(x *rebuild.Tool) { x.LowNm = 300 }, "high_nm", "from 300 to 200 N·m is none"},
		{"a range below zero", func(x *rebuild.Tool) { x.LowNm = -1 }, "low_nm", "between 0 and 5000 N·m"},
		{"a day that is none", func(x *rebuild.Tool) { x.CalibratedOn = "March" }, "calibrated_on", "not a date"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := goodTool()
			c.edit(&x)
			complains(t, x.Validate(), c.field, c.says)
		})
	}
}

func TestHowLongACalibrationHolds(t *testing.T) {
	for _, c := range []struct {
		calibrated, on string
		holds          bool
	}{
		{"2025-11-03", "2025-11-03", true},
		{"2025-11-03", "2026-11-03", true},
		{"2025-11-03", "2026-11-04", false},
		{"2025-11-03", "2025-11-02", false},
		{"2024-02-29", "2025-03-01", true}, // a year later is 1 March
		{"", "2025-03-01", false},
	} {
		if got := rebuild.CalibratedFor(c.calibrated, c.on); got != c.holds {
			t.Errorf("of %s on %s: %v", c.calibrated, c.on, got)
		}
	}
}
