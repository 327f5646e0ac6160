package workshop

import (
	"slices"
	"strings"
	"testing"

	"wreckwright/bench/joint"
	"wreckwright/rebuild"
)

// fastened is an invented rebuild with joints in every state.
func fastened() *rebuild.Rebuild {
	r := &rebuild.Rebuild{Stages: make([]rebuild.Stage, len(rebuild.StagePlaces))}
	r.Stages[surveyStage-1].State = rebuild.StageDone
	r.Tools = []rebuild.Tool{
		{ID: 1, Title: "Click wrench", Class: "4 %", LowNm: 40, HighNm: 210, CalibratedOn: "2026-01-10"},
		{ID: 2, Title: "Any wrench"},
		{ID: 3, Title: "A small one", LowNm: 5, HighNm: 25, CalibratedOn: "2026-01-10"},
	}
	tight := rebuild.Tightening{At: "2026-05-01T10:00:00Z", Who: "Kim", Tool: 1, CalibratedOn: "2026-01-10", TorqueNm: 115, Passes: 1}
	checked := tight
	checked.SecondBy = "Robin"
	made := func(id int64, title, zone string, safety rebuild.SafetyClass, tightenings ...rebuild.Tightening) rebuild.Joint {
		return rebuild.Joint{
			ID: id, Title: title, Zone: zone, Safety: safety, Thread: "M12x1.5-10.9", Count: 2, TorqueNm: 115, ToleranceNm: 8,
			Source: rebuild.SourceMaker, Locking: rebuild.LockNone, Tightenings: tightenings,
		}
	}
	r.Joints = []rebuild.Joint{
		made(10, "Tray", "underside", rebuild.SafetyNone, tight),
		made(11, "Left bracket", "front-left-corner", rebuild.SafetyBrake, checked),
		made(12, "Right bracket", "front-right-corner", rebuild.SafetyBrake, tight),
		made(13, "Cover", "cabin", rebuild.SafetyNone),
		made(14, "Belt", "cabin", rebuild.SafetyRestraint),
	}
	return r
}

func TestJointsOfPutsOpenSafetyJointsFirst(t *testing.T) {
	all := JointsOf(fastened(), "2026-05-04")
	var titles []string
	for _, l := range all.Lines {
		titles = append(titles, l.Title)
	}
	if want := []string{"Right bracket", "Belt", "Cover", "Left bracket", "Tray"}; !slices.Equal(titles, want) {
		t.Errorf("in order: %v; want %v", titles, want)
	}
	if all.Safety != 3 || all.SafetyProven != 1 || all.Proven != 2 || all.SafetyToCheck != 1 {
		t.Errorf("counted %+v", all)
	}
}

// Open safety joints alone are enough to say that the car is not to be driven.
func TestOpenSafetyJointsForbidDriving(t *testing.T) {
	r := fastened()
	s := safetyOf(r)
	if s.Verdict != DriveNo || len(s.Joints) != 2 {
		t.Errorf("verdict %q with %d joints", s.Verdict, len(s.Joints))
	}
	a := safeAnswer(s)
	if got := a.Detail.String(); got != "Against it: 2 safety joints not proven." || a.Link.Page != "gates/road-test" {
		t.Errorf("said %q, leads to %q", got, a.Link.Page)
	}
	s.Findings = []*rebuild.Finding{{What: "One"}, {What: "Two"}, {What: "Three"}, {What: "Four"}}
	if got := safeAnswer(s).Detail.String(); got != "Against it: One; Two and 2 more; 2 safety joints not proven." {
		t.Errorf("said %q", got)
	}
	r.Joints = r.Joints[:2]
	if s := safetyOf(r); len(s.Joints) != 0 {
		t.Errorf("%d joints stand against driving, all are proven", len(s.Joints))
	}
}

func TestNextAsksForTighteningOnceTheJobsAreDone(t *testing.T) {
	r := fastened()
	r.Jobs = []rebuild.Job{{ID: 30, Title: "New belt", State: rebuild.JobDoing, Safety: rebuild.SafetyRestraint, Needed: 1}}
	r.Joints[4].Jobs = []int64{30}
	titles := func() string {
		var list []string
		a := adviser{rebuild: r, today: "2026-05-04"}
		a.tightening()
		for _, action := range a.actions {
			list = append(list, action.Title)
		}
		return strings.Join(list, "; ")
	}
	if got := titles(); got != `Have "Right bracket" checked by a second person` {
		t.Errorf("while the job is under way: %s", got)
	}
	r.Jobs[0].State = rebuild.JobDone
	if got := titles(); !strings.HasSuffix(got, `Tighten "Belt" and record it`) {
		t.Errorf("once it is done: %s", got)
	}
}

func TestLastAlikeIsWholeAndOfTheSameKind(t *testing.T) {
	r := fastened()
	of, last := LastAlike(r, &r.Joints[4])
	if of == nil || of.ID == 14 || last.TorqueNm != 115 {
		t.Fatalf("found %v, %v", of, last)
	}
	for i := range r.Joints {
		r.Joints[i].Passes = []float64{60}
	}
	if of, _ := LastAlike(r, &r.Joints[4]); of != nil {
		t.Errorf("one pass of two of %q is offered as whole", of.Title)
	}
	r.Joints[4].Thread = "M10-8.8"
	r.Joints[4].Passes = nil
	if of, _ := LastAlike(r, &r.Joints[4]); of != nil {
		t.Errorf("%q has another thread", of.Title)
	}
}

func TestSurfaceOfReadsWhatPeopleWrite(t *testing.T) {
	for said, want := range map[string]string{
		"": "", "dry": "dry", "Light oil": "oiled", "engine oil": "oiled", "clean and dry": "dry", "copper paste": "grease",
		"steel with light oil": "oiled", "zinc flake, waxed": "wax", "zinc plated": "zinc", "stainless, oiled": "stainless-oiled",
		"stainless": "stainless-dry", "moonlight": "", "Grease": "grease", "thread locking liquid": "dry",
	} {
		if got := SurfaceOf(said); got != want {
			t.Errorf("%q is read as %q; want %q", said, got, want)
		}
	}
}

func TestReckonJointSaysWhatItTook(t *testing.T) {
	j := fastened().Joints[1]
	k := ReckonJoint(&j, 0)
	if k.Result == nil || k.SnugOnly || k.NoTorque || len(k.DryAgainstOiled()) != 2 {
		t.Fatalf("%+v", k)
	}
	if dry, oiled := k.DryAgainstOiled()[0], k.DryAgainstOiled()[1]; dry.PreloadKN >= oiled.PreloadKN {
		t.Errorf("dry %v kN, oiled %v kN", dry.PreloadKN, oiled.PreloadKN)
	}
	if !strings.Contains(strings.Join(k.Assumed, "; "), "no lubricant is said") {
		t.Errorf("took %v", k.Assumed)
	}
	j.AngleDeg = 60
	if k := ReckonJoint(&j, 0); !k.SnugOnly || k.Result.Angle != nil {
		t.Errorf("an angle without the grip: %+v", k)
	}
	if k := ReckonJoint(&j, 40); k.SnugOnly || k.Result == nil || k.Result.Angle == nil {
		t.Errorf("an angle with the grip: %+v", k)
	}
	j.AngleDeg, j.TorqueNm = 0, 900
	if k := ReckonJoint(&j, 0); !k.Breaks || k.TooMuch() == "" {
		t.Errorf("900 N·m: %+v", k)
	}
	j.TorqueNm = 0
	if k := ReckonJoint(&j, 0); !k.NoTorque || k.Result == nil || k.TooMuch() != "" {
		t.Errorf("no torque: %+v", k)
	}
	j.Thread = ""
	if k := ReckonJoint(&j, 0); k.Wrong == "" || k.Result != nil {
		t.Errorf("no thread: %+v", k)
	}
	j.Count, j.RetorqueAfterKm = 7, 80
	if order := WheelOrder(&j); order != nil {
		t.Errorf("seven bolts have the order %v", order)
	}
}

func TestToolsOfPutsTheFitFirst(t *testing.T) {
	lines := ToolsOf(fastened(), "2026-05-04", 115)
	if lines[0].ID != 1 || !lines[0].Fit() || lines[0].Joints != 3 {
		t.Errorf("first is %+v", lines[0])
	}
	for _, l := range lines[1:] {
		if l.Fit() || l.Outside == "" {
			t.Errorf("%s: %+v", l.Title, l)
		}
	}
	if lines := ToolsOf(fastened(), "2026-05-04", 0); !lines[1].Fit() {
		t.Errorf("for any torque: %+v", lines[1])
	}
}

func TestComparisonChangesTheCalibration(t *testing.T) {
	tool := rebuild.Tool{Title: "Wrench", Class: "4 %", LowNm: 40, HighNm: 210, CalibratedOn: "2024-01-01", Certificate: "A", Note: "Blue"}
	pulls := []joint.WrenchReading{{SetNm: 103, ReferenceNm: 100}, {SetNm: 200, ReferenceNm: 201}}
	for name, c := range map[string]struct {
		counts bool
		pulls  []joint.WrenchReading
		on     string
	}{
		"within, of no weight": {false, pulls, "2024-01-01"},
		"within, and counts":   {true, pulls, "2026-05-04"},
		"not within":           {true, []joint.WrenchReading{{SetNm: 105, ReferenceNm: 100}}, ""},
	} {
		after, found, err := Comparison{On: "2026-05-04", Reference: "a gauge", Counts: c.counts, Pulls: c.pulls}.Compare(tool)
		if err != nil || after.CalibratedOn != c.on || !strings.HasPrefix(after.Note, "Blue\n2026-05-04: compared with a gauge") || found.Within == (c.on == "") {
			t.Errorf("%s: %+v, %+v, %v", name, after, found, err)
		}
	}
	if _, _, err := (Comparison{}).Compare(tool); err == nil {
		t.Error("a comparison without pulls is taken")
	}
}
