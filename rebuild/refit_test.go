package rebuild_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

func whats(items []*rebuild.StripItem) string {
	list := make([]string, len(items))
	for i, s := range items {
		list[i] = s.What
	}
	return strings.Join(list, " ")
}

func order(f rebuild.Refit) string {
	var items []*rebuild.StripItem
	for _, step := range f.Steps {
		items = append(items, step.Item)
	}
	return whats(items)
}

func TestRefitIsTheTrailReversed(t *testing.T) {
	r := stripped(t)
	f := r.Refit()
	if got := order(f); got != "disc caliper wheel" {
		t.Errorf("the order is %s", got)
	}
	if got := whats(r.Trail()); got != "wheel caliper disc" {
		t.Errorf("the trail is %s", got)
	}
	var blocks []string
	for _, step := range f.Steps {
		for _, b := range step.Blocks {
			blocks = append(blocks, fmt.Sprintf("%s %s %d: %s", step.Item.What, b.Kind, b.ID, b.Text))
		}
	}
	want := []string{
		"disc condition 0: it is to be renewed, and the new one has not arrived",
		`caliper first 12: "disc" must go back first: it came off after this`,
		`caliper job 3: the job "Renew the hub" is not done yet`,
		"caliper fasteners 0: the 2 new fasteners (M12x1.5-10.9, caliper bolt) have not arrived: the old ones must not be used again",
		`wheel first 11: "caliper" must go back first: it came off after this`,
	}
	if !slices.Equal(blocks, want) {
		t.Errorf("the blocks are\n%s", strings.Join(blocks, "\n"))
	}
	if tighten := f.Steps[1].Tighten; len(tighten) != 1 || tighten[0].ID != 9 || len(f.Steps[0].Tighten)+len(f.Steps[2].Tighten)+len(f.Open) != 0 {
		t.Errorf("to tighten: %+v", f)
	}
	if got := order(f.Ready()); got != "" {
		t.Errorf("ready: %s", got)
	}
	if notes := f.Steps[1].Notes; len(notes) != 1 || notes[0] != "clean it first" {
		t.Errorf("the notes are %q", notes)
	}
}

// TestWhatGoesBackToday settles one block after the other.
func TestWhatGoesBackToday(t *testing.T) {
	r := stripped(t)
	ready := func(want string) {
		t.Helper()
		if got := order(r.Refit().Ready()); got != want {
			t.Errorf("ready: %q, want %q", got, want)
		}
	}
	disc := *r.StripItem(12)
	disc.SettledOn = "2026-02-20"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(disc) })
	ready("disc")
	caliper := *r.StripItem(11)
	caliper.Fasteners = slices.Clone(caliper.Fasteners)
	caliper.Fasteners[0].ArrivedOn = "2026-02-21"
	r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(caliper) })
	ready("disc")
	_, err := r.PutBack(10, 0, "2026-02-22T10:00:00Z", "Ada", "")
	complains(t, err, "back_anyway", `"wheel" cannot go back yet: "caliper" must go back first: it came off after this. Where it went back all the same, say why`)
	r = done(t, r, func() (rebuild.Change, error) {
		return r.SetOutcome(3, 0, rebuild.Outcome{State: rebuild.JobDone, DoneOn: "2026-02-22"})
	})
	ready("disc caliper wheel")
	if tools := r.Refit().Ready().Tools(); len(tools) != 3 || tools[0].Tool != "18 mm socket" || tools[1].Tool != "19 mm socket" || tools[2].Tool != "T30" || whats(tools[0].For) != "caliper" {
		t.Errorf("the tools are %+v", tools)
	}
	for id, item := range map[int64]string{12: "disc", 11: "caliper", 10: "wheel"} {
		if r.StripItem(id).What != item {
			t.Fatalf("item %d is %s", id, r.StripItem(id).What)
		}
	}
	for _, id := range []int64{12, 11, 10} {
		r = done(t, r, func() (rebuild.Change, error) {
			return r.PutBack(id, r.StripItem(id).Rev, "2026-02-22T12:00:00Z", "Ada", "")
		})
		if blocks := r.BlocksOf(id); blocks != nil {
			t.Errorf("what is back is blocked by %+v", blocks)
		}
	}
	if f := r.Refit(); len(f.Steps) != 0 || len(f.Open) != 1 || len(f.Joints()) != 1 {
		t.Errorf("all is back: %+v", f)
	}
	_, err = r.PutBack(10, r.StripItem(10).Rev, "2026-02-23T12:00:00Z", "Ada", "")
	complains(t, err, "back_at", `"wheel" is back already, since 2026-02-22`)
}

func TestPuttingBackWhatIsBlocked(t *testing.T) {
	r := stripped(t)
	c, err := r.PutBack(10, 0, "2026-02-22T10:00:00Z", "Ada", "to roll it out of the garage")
	complains(t, err, "", "")
	if r = applied(t, r, c); c.What != `put back "wheel"` || r.StripItem(10).BackAnyway == "" {
		t.Errorf("%q: %+v", c.What, r.StripItem(10))
	}
	off := *r.StripItem(10)
	off.BackAt, off.BackBy, off.BackAnyway = "", "", ""
	c, err = r.EditStripItem(off)
	complains(t, err, "", "")
	if c.What != `said that "wheel" is still off` {
		t.Errorf("%q", c.What)
	}
	_, err = r.PutBack(10, 1, "", "Ada", "")
	complains(t, err, "back_at", "back already")
	_, err = r.PutBack(11, 0, "", "Ada", "")
	complains(t, err, "back_at", "missing")
}

func TestStillOffAtAMoment(t *testing.T) {
	r := back(t) // the caliper back on 1 March at 9:30
	for at, want := range map[string]string{
		"":                          "wheel disc",
		"2026-01-31T00:00:00Z":      "",
		"2026-02-01T10:00:00Z":      "wheel caliper",
		"2026-02-01T11:30:00+01:00": "wheel caliper",
		"2026-02-28T00:00:00Z":      "wheel caliper disc",
		"2026-03-01T09:30:00Z":      "wheel disc",
	} {
		if got := whats(r.StillOff(at)); got != want {
			t.Errorf("at %s: %q, want %q", at, got, want)
		}
	}
}

// TestAPartOfTheRefit has two corners of the car apart.
func TestAPartOfTheRefit(t *testing.T) {
	r := stripped(t)
	bumper := rebuild.StripItem{At: "2026-02-03T09:00:00Z", What: "bumper", Condition: rebuild.ConditionReuse}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(bumper) })
	lamp := rebuild.StripItem{At: "2026-02-03T10:00:00Z", What: "lamp", After: []int64{13}, Condition: rebuild.ConditionReuse}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddStripItem(lamp) })
	for _, c := range []struct {
		jobs, items []int64
		want        string
	}{
		{[]int64{3}, nil, "disc caliper"},
		{nil, []int64{10}, "disc caliper wheel"},
		{nil, []int64{12}, "disc"},
		{nil, []int64{13}, "lamp bumper"},
		{[]int64{3}, []int64{14}, "lamp disc caliper"},
		{nil, nil, ""},
		{[]int64{99}, []int64{99}, ""},
	} {
		if got := order(r.RefitOf(c.jobs, c.items)); got != c.want {
			t.Errorf("of jobs %v and items %v: %q, want %q", c.jobs, c.items, got, c.want)
		}
	}
}

// TestAJointOfSeveralThings is tightened with the last of them, and not at all
// while one of them stays off.
func TestAJointOfSeveralThings(t *testing.T) {
	r := stripped(t)
	disc := *r.StripItem(12)
	disc.Joints = []int64{9}
	r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(disc) })
	f := r.Refit()
	if len(f.Steps[0].Tighten) != 0 || len(f.Steps[1].Tighten) != 1 {
		t.Errorf("the whole list: %+v", f.Steps)
	}
	if f = r.RefitOf(nil, []int64{12}); len(f.Steps) != 1 || len(f.Joints()) != 0 {
		t.Errorf("the disc alone: %+v", f)
	}
}

func TestLeftOver(t *testing.T) {
	r := stripped(t)
	l := r.LeftOver()
	if whats(l.Off) != "wheel caliper disc" || len(l.Bags) != 3 || l.Fasteners != 8 || len(l.Connectors) != 1 || l.Connectors[0].Name != "wear sensor" || len(l.Joints) != 1 || l.Nothing() {
		t.Errorf("left over: %+v", l)
	}
	if b := l.Bags[2]; b.Item.What != "caliper" || b.Place != 1 || b.Set.Tool != "T30" {
		t.Errorf("the last bag is %+v", b)
	}
	r = tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
	for _, s := range r.Strip {
		s.Fasteners, s.Connectors = slices.Clone(s.Fasteners), slices.Clone(s.Connectors)
		for i := range s.Fasteners {
			s.Fasteners[i].Emptied = true
		}
		for i := range s.Connectors {
			s.Connectors[i].Made = true
		}
		s.BackAt, s.BackAnyway = "2026-03-01T12:00:00Z", "for the test"
		r = done(t, r, func() (rebuild.Change, error) { return r.EditStripItem(s) })
	}
	if l = r.LeftOver(); !l.Nothing() {
		t.Errorf("all is done, but left over: %+v", l)
	}
}

func TestWhatToBuy(t *testing.T) {
	r := stripped(t)
	lines := func() []string {
		var list []string
		for _, b := range r.ToBuy() {
			list = append(list, fmt.Sprintf("%d %s|%s|%v|%s|%d", b.Count, b.Thread, b.What, b.Part, whats(b.Items), len(b.Joints)))
		}
		return list
	}
	if got := lines(); !slices.Equal(got, []string{"1 |disc|true|disc|0", "2 M12x1.5-10.9|caliper bolt|false|caliper|0"}) {
		t.Errorf("to buy: %q", got)
	}
	r = done(t, r, func() (rebuild.Change, error) { return r.MoreLike(11, 1, "2026-02-04T08:00:00Z") })
	hub := goodJoint()
	hub.Title, hub.Thread, hub.Count = "Hub nut", "M8x1.25", 1
	r = done(t, r, func() (rebuild.Change, error) { return r.AddJoint(hub) })
	want := []string{"1 |disc|true|disc|0", "1 M8x1.25||false||1", "4 M12x1.5-10.9|caliper bolt|false|caliper caliper (2)|0"}
	if got := lines(); !slices.Equal(got, want) {
		t.Errorf("to buy: %q", got)
	}
}

func TestToolsForAJoint(t *testing.T) {
	r := stripped(t)
	small := goodTool()
	small.Title, small.LowNm, small.HighNm = "Small wrench", 5, 60
	r = done(t, r, func() (rebuild.Change, error) { return r.AddTool(small) })
	if tools := r.ToolsFor(*r.Joint(9), "2026-03-01"); len(tools) != 1 || tools[0].ID != 8 {
		t.Errorf("in March: %+v", tools)
	}
	if tools := r.ToolsFor(*r.Joint(9), "2026-12-01"); tools != nil {
		t.Errorf("out of calibration: %+v", tools)
	}
	for today, want := range map[string]string{"2026-03-01": "", "2026-12-01": "held until 2026-11-03", "2025-01-01": "still to come"} {
		if got := r.Tool(8).AgainstCalibration(today); !strings.Contains(got, want) || (got == "") != (want == "") {
			t.Errorf("on %s: %q", today, got)
		}
	}
}
