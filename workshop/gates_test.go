package workshop

import (
	"context"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// TestRulesOfTheGatesAreSound holds the data to what the engine knows, and that a
// thing of every kind in every state is taken.
func TestRulesOfTheGatesAreSound(t *testing.T) {
	if err := gate.CheckRules(gateRules(), gateKeys()); err != nil {
		t.Fatal(err)
	}
	hard := 0
	for _, r := range gateRules() {
		if r.Hard {
			hard++
			if len(r.Gates) != len(rebuild.Gates) {
				t.Errorf("the hard stop %s lets some gates go", r.Key)
			}
		}
	}
	if hard != 8 {
		t.Errorf("%d hard stops", hard)
	}
}

func category(code string) step {
	return withCar(func(c *rebuild.Car) { c.Category = code })
}

func confirmedAll(r *rebuild.Rebuild) (rebuild.Change, error) {
	var list []rebuild.Confirmation
	for _, c := range GateCautions(r) {
		list = append(list, rebuild.Confirmation{Of: rebuild.ConfirmCaution, Key: c.Hazard, Text: c.Name, At: "2026-06-01T10:00:00Z", By: "Ada"})
	}
	for _, m := range MustDos(r, today) {
		list = append(list, rebuild.Confirmation{Of: rebuild.ConfirmMustDo, Key: m.Key, Text: m.Text, At: "2026-06-01T10:00:00Z", By: "Ada"})
	}
	return r.Confirm(list...)
}

func ofClass(class rebuild.SafetyClass) func(*rebuild.Job) {
	return func(j *rebuild.Job) { j.Safety = class }
}

func TestRoadTestGate(t *testing.T) {
	joint := func(class rebuild.SafetyClass) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddJoint(rebuild.Joint{Title: "Bolts", Safety: class, Count: 2, TorqueNm: 100, Locking: rebuild.LockNone})
		}
	}
	measured := func(v rebuild.Verdict, job int64, phase rebuild.Phase, on string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddEvidence(rebuild.Evidence{On: on, Instrument: rebuild.InstrumentRecharge, Title: "Pump", JobID: job, Phase: phase, Verdict: v, Why: "so", Engine: "e 1"})
		}
	}
	named := func(title string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddJoint(rebuild.Joint{Title: title, Safety: rebuild.SafetyNone, Count: 5, TorqueNm: 120, Locking: rebuild.LockNone})
		}
	}
	off := func(what string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			s := rebuild.StripItem{At: "2026-05-01T10:00:00Z", What: what}
			for _, j := range r.Joints {
				s.Joints = append(s.Joints, j.ID)
			}
			return r.AddStripItem(s)
		}
	}
	inZone := func(zone string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			f := r.Findings[0]
			f.Zone = zone
			return r.EditFinding(f)
		}
	}
	dismissed := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		f := r.Findings[0]
		f.Dismissed = "it is the old one, off the car"
		return r.EditFinding(f)
	}
	stoppedBy := func(what string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			run := rebuild.ShakedownRun{Stage: rebuild.ShakeYard, At: "2026-06-01T10:00:00Z", By: "Ada", Smelt: "smoke", Result: rebuild.RunStop}
			return r.AddShakedownRun(run, rebuild.Finding{Zone: "cabin", What: what, HowFound: rebuild.RoadTest, Severity: rebuild.Danger, On: "2026-06-01"})
		}
	}
	cases := []struct {
		name  string
		steps []step
		state gate.State
		rules string
	}{
		{"an empty book", nil, gate.Closed, "nothing-recorded survey"},
		{"surveyed, a scratch", []step{aFinding("scratch", rebuild.Cosmetic, false), surveyed}, gate.Open, ""},
		{"a category that may not", []step{aFinding("scratch", rebuild.Cosmetic, false), surveyed, category("B")}, gate.HardStop, "category-may-not"},
		{"a category that may", []step{aFinding("scratch", rebuild.Cosmetic, false), surveyed, category("N")}, gate.Open, ""},
		{"a brake job open", []step{aJob("pads", 10, ofClass(rebuild.SafetyBrake)), surveyed}, gate.HardStop, "job-open-hard"},
		{"a restraint job waiting", []step{aJob("belt", 10, ofClass(rebuild.SafetyRestraint), inState(rebuild.JobWaiting), func(j *rebuild.Job) { j.Routes[0].Kind = rebuild.NewPart }), surveyed}, gate.HardStop, "job-open-hard"},
		{"a brake job done, not proven", []step{aJob("pads", 10, ofClass(rebuild.SafetyBrake), inState(rebuild.JobDone)), surveyed}, gate.Closed, "job-not-proven"},
		{"a suspension job open", []step{aJob("arm", 10, ofClass(rebuild.SafetySuspension)), surveyed}, gate.Closed, "job-critical"},
		{"a steering joint", []step{aJob("trim", 10), joint(rebuild.SafetySteering), surveyed}, gate.HardStop, "joint-open-hard"},
		{"a suspension joint", []step{aJob("trim", 10), joint(rebuild.SafetySuspension), surveyed}, gate.HardStop, "joint-open-hard"},
		{"a fuel joint", []step{aJob("trim", 10), joint(rebuild.SafetyFuel), surveyed}, gate.Closed, "joint-open"},
		{"wheel nuts without a class", []step{aJob("trim", 10), named("Wheel nuts, front left"), surveyed}, gate.HardStop, "joint-open-hard"},
		{"a joint on which no life hangs", []step{aJob("trim", 10), joint(rebuild.SafetyNone), surveyed}, gate.Open, ""},
		{"a danger to hands only", []step{aFinding("sharp edge", rebuild.Danger, false), surveyed}, gate.Closed, "finding-critical"},
		{"a danger of the brakes", []step{aFinding("cut brake hose", rebuild.Danger, false), surveyed}, gate.HardStop, "danger-hard"},
		{"a danger of the structure", []step{aFinding("left sill cracked through", rebuild.Danger, false), surveyed}, gate.HardStop, "danger-hard"},
		{"a danger of the fuel", []step{aFinding("fuel line drips", rebuild.Danger, false), surveyed}, gate.Closed, "finding-critical"},
		{"a danger told by its job only", []step{aFinding("it clonks", rebuild.Danger, false), aJob("look", 10, ofClass(rebuild.SafetySuspension), func(j *rebuild.Job) { j.Findings = []int64{1} }), surveyed}, gate.HardStop, "danger-hard job-critical"},
		{"a danger told by its zone only", []step{aFinding("something is loose", rebuild.Danger, false), inZone("front-left-corner"), surveyed}, gate.HardStop, "danger-hard"},
		{"a major fault of the brakes", []step{aFinding("brake disc worn", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"a hose of the brakes chafed", []step{aFinding("Brake hose front left chafed", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"no pedal", []step{aFinding("Brake pedal goes to the floor, no brakes", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"a loose column", []step{aFinding("Steering column joint loose", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"a belt that does not lock", []step{aFinding("Seat belt does not lock", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"a spring broken", []step{aFinding("Rear coil spring broken", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"wheel nuts loose", []step{aFinding("Wheel nuts loose", rebuild.Major, true), surveyed}, gate.HardStop, "major-hard"},
		{"nobody ticked it, its words tell", []step{aFinding("Brake pedal goes to the floor", rebuild.Major, false), surveyed}, gate.HardStop, "major-hard"},
		{"told by its job only", []step{aFinding("it clonks", rebuild.Major, false), aJob("look", 10, ofClass(rebuild.SafetySuspension), func(j *rebuild.Job) { j.Findings = []int64{1} }), surveyed}, gate.HardStop, "job-critical major-hard"},
		{"ticked, told by its zone", []step{aFinding("something is loose", rebuild.Major, true), inZone("front-left-corner"), surveyed}, gate.HardStop, "major-hard"},
		{"the zone alone tells nothing", []step{aFinding("something is bent", rebuild.Major, false), inZone("front-left-corner"), surveyed}, gate.Open, ""},
		{"settled by a proven job", []step{aFinding("Brake hose chafed", rebuild.Major, true), aJob("hose", 10, ofClass(rebuild.SafetyBrake), inState(rebuild.JobProven), func(j *rebuild.Job) { j.Findings = []int64{1} }), surveyed}, gate.Open, ""},
		{"a minor fault of the brakes", []step{aFinding("Brake disc lipped", rebuild.Minor, true), surveyed}, gate.Closed, "finding-critical"},
		{"a major fault of the structure", []step{aFinding("Left sill creased", rebuild.Major, true), surveyed}, gate.Closed, "finding-critical"},
		{"the heating of a seat", []step{aFinding("Seat heating does not work", rebuild.Major, false), surveyed}, gate.Open, ""},
		{"the lead of a wheel's sensor", []step{aFinding("Wheel speed, no signal", rebuild.Major, false), surveyed}, gate.Open, ""},
		{"a danger that is none", []step{aFinding("cut brake hose", rebuild.Danger, false), dismissed, surveyed}, gate.Open, ""},
		{"a danger that stopped a drive", []step{aFinding("scratch", rebuild.Cosmetic, false), stoppedBy("something burns"), surveyed}, gate.HardStop, "danger-at-a-stop-hard"},
		{"something off", []step{aJob("trim", 10), surveyed, off("bumper")}, gate.Closed, "off"},
		{"a caliper off, no joint linked", []step{aJob("trim", 10), surveyed, off("Front left caliper")}, gate.HardStop, "off-hard"},
		{"an airbag off", []step{aJob("trim", 10), surveyed, off("Driver's airbag")}, gate.HardStop, "off-hard"},
		{"an arm liner off", []step{aJob("trim", 10), surveyed, off("Wheel arch liner")}, gate.Closed, "off"},
		{"off, its joint of the suspension undone", []step{aJob("trim", 10), surveyed, joint(rebuild.SafetySuspension), off("cross brace")}, gate.HardStop, "joint-open-hard off-hard"},
		{"off, its joint of the fuel undone", []step{aJob("trim", 10), surveyed, joint(rebuild.SafetyFuel), off("filter")}, gate.Closed, "joint-open off-critical"},
		{"a failed measurement", []step{aJob("pump", 10), surveyed, measured(rebuild.VerdictFail, 1, rebuild.PhaseAfter, "2026-05-02")}, gate.Closed, "check-failed"},
		{"failed before the work", []step{aJob("pump", 10), surveyed, measured(rebuild.VerdictFail, 1, rebuild.PhaseBefore, "2026-05-02")}, gate.Closed, "check-failed"},
		{"passed later", []step{aJob("pump", 10), surveyed, measured(rebuild.VerdictFail, 1, "", "2026-05-02"), measured(rebuild.VerdictPass, 1, "", "2026-05-03")}, gate.Open, ""},
		{"entered later, measured earlier", []step{aJob("pump", 10), surveyed, measured(rebuild.VerdictPass, 1, "", "2026-05-03"), measured(rebuild.VerdictFail, 1, "", "2026-05-02")}, gate.Open, ""},
		{"a failed brake measurement", []step{aJob("pads", 10, ofClass(rebuild.SafetyBrake), inState(rebuild.JobDone)), surveyed, measured(rebuild.VerdictFail, 1, "", "2026-05-02")}, gate.HardStop, "check-failed-hard job-not-proven"},
		{"brakes that cannot be told", []step{aJob("pads", 10, ofClass(rebuild.SafetyBrake), inState(rebuild.JobProven)), surveyed, measured(rebuild.VerdictCannotTell, 1, "", "2026-05-02")}, gate.Closed, "check-cannot-tell-critical"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := stand(t, append(c.steps, confirmedAll)...)
			lines, err := gatesOf(r, today)
			if err != nil {
				t.Fatal(err)
			}
			var rules []string
			for _, a := range lines[0].Against {
				if a.Rule != "category-unknown" {
					rules = append(rules, a.Rule)
				}
			}
			state := lines[0].State
			if state == gate.Closed && len(rules) == 0 {
				state = gate.Open
			}
			slices.Sort(rules)
			if state != c.state || strings.Join(rules, " ") != c.rules {
				t.Errorf("%s, %v; want %s, %s", state, rules, c.state, c.rules)
			}
			if lines[0].HardStop() != safetyOn(r, today).HardStop {
				t.Error("the first page says otherwise")
			}
		})
	}
}

// TestPapersDoNotSpeakOfTheCar holds that what people have to confirm closes the
// gate, but does not make the car unsafe.
func TestPapersDoNotSpeakOfTheCar(t *testing.T) {
	r := stand(t, aJob("trim", 10), surveyed, category("N"))
	lines, err := gatesOf(r, today)
	if err != nil || lines[0].State != gate.Closed || lines[0].OfCar() != 0 || lines[0].Papers < 5 {
		t.Fatalf("%s, %d of the car, %d papers (%v)", lines[0].State, lines[0].OfCar(), lines[0].Papers, err)
	}
	if s := safetyOn(r, today); s.Verdict != DriveNothing || s.Papers != lines[0].Papers || !strings.Contains(safeAnswer(s).Detail.String(), "road-test gate asks for") {
		t.Errorf("%+v", s)
	}
}

// inABook opens a workshop over a book in a folder of its own, with one rebuild.
func inABook(t *testing.T, steps ...step) (*Workshop, int64) {
	t.Helper()
	ctx := context.Background()
	b, err := store.Open(ctx, t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	w := New(b, slog.New(slog.DiscardHandler), func() string { return today })
	t.Cleanup(func() { w.Close(); b.Close() })
	r, err := b.Start(ctx, byTest, aCar())
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		if _, _, err := w.Do(ctx, byTest, r.ID, s); err != nil {
			t.Fatal(err)
		}
	}
	return w, r.ID
}

func TestPassingAGate(t *testing.T) {
	ctx := context.Background()
	const at = "2026-06-30T10:00:00Z"
	w, id := inABook(t, aJob("arm", 10, ofClass(rebuild.SafetySuspension)), surveyed)
	line := func() GateLine {
		t.Helper()
		r, err := w.Book().Load(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		lines, err := w.Gates(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		return lines[0]
	}
	refusedBy := func(err error, says string) {
		t.Helper()
		var invalid *rebuild.Invalid
		if !errors.As(err, &invalid) || !strings.Contains(err.Error(), says) {
			t.Errorf("got %v, want %q", err, says)
		}
	}
	_, _, err := w.PassGate(ctx, byTest, id, "road", at, line().Seal(), "a good reason")
	refusedBy(err, "no gate")
	_, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, line().Seal(), " short ")
	refusedBy(err, "write why")
	_, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, "another list", "only round the yard, at walking pace")
	refusedBy(err, "has changed")
	if _, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, line().Seal(), "only round the yard, at walking pace"); err != nil {
		t.Fatal(err)
	}
	if l := line(); !l.Passed() || len(l.Pass.Against) != len(l.Against) || l.Pass.By != "test" {
		t.Errorf("passed %v, against %d of %d", l.Passed(), len(l.Pass.Against), len(l.Against))
	}
	if _, _, err = w.Do(ctx, byTest, id, aFinding("a crack", rebuild.Danger, true)); err != nil {
		t.Fatal(err)
	}
	if l := line(); !l.Lapsed() || len(l.New) != 1 || l.New[0].Rule != "finding-critical" {
		t.Errorf("new since: %+v", l.New)
	}
	if _, _, err = w.Do(ctx, byTest, id, aJob("pads", 10, ofClass(rebuild.SafetyBrake))); err != nil {
		t.Fatal(err)
	}
	_, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, line().Seal(), "a reason that is long enough")
	refusedBy(err, "hard stop")
	r, err := w.Book().Load(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	told := GatePasses(r)
	if len(told) != 1 || told[0].Reason == "" || len(told[0].Against) == 0 || told[0].Gate != "road test" {
		t.Errorf("told %+v", told)
	}
}

func TestLaterGatesAskForTheEarlier(t *testing.T) {
	r := stand(t, aFinding("scratch", rebuild.Cosmetic, false), surveyed, category("N"), confirmedAll)
	lines, err := gatesOf(r, today)
	if err != nil {
		t.Fatal(err)
	}
	has := func(l GateLine, rule string) bool {
		return slices.ContainsFunc(l.Against, func(a gate.Against) bool { return a.Rule == rule })
	}
	for _, l := range lines[1:] {
		if !has(l, "road-test-first") {
			t.Errorf("the gate %s opens before the road test", l.Which)
		}
	}
	if paint := lines[1]; !has(paint, "shakedown-before-paint") {
		t.Error("paint before the shakedown")
	}
	if inspection := lines[2]; !has(inspection, "inspection-item-not-looked-at") {
		t.Error("the inspection without its rehearsal")
	}
	if over := lines[3]; !has(over, "official-test") || !has(over, "finding-open") {
		t.Error("handed over without test, with a finding open")
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

func TestInspectionByPlaceWithChance(t *testing.T) {
	look := func(key string, result rebuild.ItemResult, value *float64) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.Rehearse(rebuild.Rehearsed{Key: key, Result: result, Value: value, At: "2026-06-01T10:00:00Z", By: "Ada"}, key)
		}
	}
	deep, edge := 5.0, 1.6
	r := stand(t, look("left-tyres", rebuild.ItemPass, &deep), look("right-tyres", rebuild.ItemPass, &edge), look("horn", rebuild.ItemFail, nil))
	in, err := InspectionOf(r)
	if err != nil || !in.Known || in.TestName != "MOT test" || in.Reckoned.Looked != 3 || in.Reckoned.Failing != 1 {
		t.Fatalf("%+v (%v)", in.Reckoned, err)
	}
	if l := in.Line("left-tyres"); l.InLimits == nil || *l.InLimits < 0.999 || !strings.Contains(l.Limits[0].Text, "at least 1.6 mm") || !strings.Contains(l.Limits[0].Source, "reg. 27") {
		t.Errorf("left %+v", l)
	}
	if l := in.Line("right-tyres"); l.InLimits == nil || *l.InLimits < 0.45 || *l.InLimits > 0.55 {
		t.Errorf("a figure on the limit is as likely in as out, got %v", l.InLimits)
	}
	order := 0
	for _, p := range in.Parts {
		at := slices.Index(knowledge.InspectionWalk, p.Walk)
		if at < order {
			t.Errorf("%s comes too late", p.Walk)
		}
		order = at
	}
	elsewhere, err := InspectionOf(stand(t, withCar(func(c *rebuild.Car) { c.Jurisdiction = "US" })))
	if err != nil || elsewhere.Known {
		t.Errorf("a list of a place that was not read (%v)", err)
	}
}

// A check of a brake counts as one though no job says so, and its own chance counts
// at the item that it stands behind.
func TestChecksSpeakAtGateAndInspection(t *testing.T) {
	checked := func(verdict rebuild.Verdict) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			settings := CheckSettings{Quantity: "service-brake", Name: "Service brake", Unit: "%", Form: "efficiency"}
			return r.AddEvidence(rebuild.Evidence{
				On: "2026-05-02", Instrument: rebuild.InstrumentCheck, Title: settings.Title(), Settings: settings.JSON(), Verdict: verdict, Why: "so", Engine: "check 1",
				Figures: []rebuild.EvidenceFigure{{Name: "Service brake", Value: 59, Unit: "%"}, {Name: figureChance, Value: 80, Unit: "%"}},
			})
		}
	}
	r := stand(t, aFinding("scratch", rebuild.Cosmetic, false), surveyed, checked(rebuild.VerdictFail), func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.Rehearse(rebuild.Rehearsed{Key: "service-brake", Result: rebuild.ItemPass, EvidenceID: r.Evidence[0].ID, At: "2026-06-01T10:00:00Z", By: "Ada"}, "brake")
	})
	lines, err := gatesOf(r, today)
	if err != nil || !lines[0].HardStop() || lines[0].Against[0].Rule != "check-failed-hard" {
		t.Errorf("a brake that failed its check: %+v (%v)", lines[0].Against, err)
	}
	in, err := InspectionOf(r)
	if l := in.Line("service-brake"); err != nil || l.InLimits == nil || *l.InLimits != 0.8 {
		t.Errorf("the item's chance is %+v (%v)", l, err)
	}
}

func TestTheOfficialTestKeepsTheRehearsalOfThatDay(t *testing.T) {
	look := func(key string, result rebuild.ItemResult) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			i := rebuild.Rehearsed{Key: key, Result: result, At: "2026-06-01T10:00:00Z", By: "Ada"}
			if old := r.RehearsedItem(key); old != nil {
				i.Rev = old.Rev
			}
			return r.Rehearse(i, key)
		}
	}
	test := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		filled, err := TestOf(r, rebuild.OfficialTest{On: "2026-06-10", Result: rebuild.TestFail}, []rebuild.TestedItem{{Key: "horn", Found: rebuild.ItemFail, Text: "silent"}, {Text: "tray loose", Found: rebuild.ItemAdvisory}})
		if err != nil {
			return rebuild.Change{}, err
		}
		return r.AddOfficialTest(filled)
	}
	r := stand(t, look("horn", rebuild.ItemPass), look("view", rebuild.ItemAdvisory), look("battery", rebuild.ItemPass), test, look("horn", rebuild.ItemFail))
	of := OfficialTests(r)[0]
	if !slices.Equal(of.Compared.Missed, []string{"Horn"}) || !slices.Equal(of.Compared.Unlooked, []string{"tray loose"}) || !slices.Equal(of.Compared.Agreed, []string{"Battery and wiring"}) || len(of.Compared.Harsh) != 1 || of.Chance == nil || of.Compared.Surprise == nil {
		t.Errorf("%+v of %+v", of.Compared, of.OfficialTest)
	}
	again, err := TestOf(r, *of.OfficialTest, []rebuild.TestedItem{{Key: "horn", Found: rebuild.ItemFail, Text: "too weak"}})
	if err != nil || len(again.Items) != 3 || again.Items[0].Rehearsed != rebuild.ItemPass || *again.Chance != *of.Chance {
		t.Errorf("edited it forgets what was expected: %+v (%v)", again, err)
	}
}

// Measured once more under another name or job, the later counts; another part of
// the same kind does not settle it.
func TestTheLaterMeasurementOfAPartCounts(t *testing.T) {
	disc := func(which, title, on string, verdict rebuild.Verdict, nth int) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			job := int64(0)
			if nth > 0 {
				job = r.Jobs[nth-1].ID
			}
			settings := CheckSettings{Quantity: "disc-run-out", Name: "Run-out", Which: which, Unit: "mm", Form: "mean"}
			return r.AddEvidence(rebuild.Evidence{On: on, Instrument: rebuild.InstrumentCheck, Title: title, JobID: job, Settings: settings.JSON(), Verdict: verdict, Why: "so", Engine: "check 1"})
		}
	}
	for _, c := range []struct {
		name  string
		steps []step
		fails int
	}{
		{"renamed and under another job", []step{disc("front left", "Disc", "2026-05-02", rebuild.VerdictFail, 1), disc("Front Left", "New disc", "2026-05-03", rebuild.VerdictPass, 2)}, 0},
		{"another wheel", []step{disc("front left", "Disc", "2026-05-02", rebuild.VerdictFail, 1), disc("front right", "Disc", "2026-05-03", rebuild.VerdictPass, 1)}, 1},
		{"it got worse", []step{disc("front left", "Disc", "2026-05-02", rebuild.VerdictPass, 1), disc("front left", "Again", "2026-05-03", rebuild.VerdictFail, 0)}, 1},
	} {
		r := stand(t, append([]step{aJob("discs", 10), aJob("brakes", 20)}, c.steps...)...)
		fails := 0
		for _, thing := range checkThings(r) {
			if thing.State == "fail" {
				fails++
			}
		}
		if fails != c.fails {
			t.Errorf("%s: %d failed, want %d", c.name, fails, c.fails)
		}
	}
}

// A record of codes stands against a gate by what is in it, never because codes by
// themselves cannot tell.
func TestCodesAtAGate(t *testing.T) {
	record := func(verdict rebuild.Verdict, codes float64, on string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddEvidence(rebuild.Evidence{
				On: on, Instrument: rebuild.InstrumentCodes, Title: "Fault codes", Verdict: verdict, Why: "so", Engine: "codes 1",
				Figures: []rebuild.EvidenceFigure{{Name: figureCodes, Value: codes}, {Name: storeStored, Value: codes}},
			})
		}
	}
	for _, c := range []struct {
		name             string
		steps            []step
		road, inspection string
	}{
		{"none there, self-tests not read", []step{record(rebuild.VerdictCannotTell, 0, "2026-05-02")}, "", "codes-not-known"},
		{"codes there", []step{record(rebuild.VerdictCannotTell, 2, "2026-05-02")}, "codes-there", "codes-there"},
		{"self-tests not through", []step{record(rebuild.VerdictFail, 0, "2026-05-02")}, "", "codes-not-ready"},
		{"read once more, all well", []step{record(rebuild.VerdictFail, 3, "2026-05-02"), record(rebuild.VerdictPass, 0, "2026-05-03")}, "", ""},
	} {
		r := stand(t, append(c.steps, aFinding("scratch", rebuild.Cosmetic, false), surveyed)...)
		lines, err := gatesOf(r, today)
		if err != nil {
			t.Fatal(err)
		}
		said := func(l GateLine) string {
			for _, a := range l.Against {
				if a.Kind == "codes" || a.Kind == "check" {
					return a.Rule
				}
			}
			return ""
		}
		if said(lines[0]) != c.road || said(lines[2]) != c.inspection {
			t.Errorf("%s: road %q, inspection %q", c.name, said(lines[0]), said(lines[2]))
		}
	}
}

// A pass that was given before something became a hard stop does not hold.
func TestAPassDoesNotHoldAgainstAHardStop(t *testing.T) {
	r := stand(t, aJob("pads", 10, ofClass(rebuild.SafetyBrake)), surveyed)
	lines, err := gatesOf(r, today)
	if err != nil {
		t.Fatal(err)
	}
	pass := rebuild.GatePass{Gate: rebuild.GateRoadTest, At: "2026-05-01T10:00:00Z", By: "Ada", Reason: "only round the yard"}
	for _, a := range lines[0].Against {
		pass.Against = append(pass.Against, stood(a))
	}
	r.GatePasses = append(r.GatePasses, pass)
	if lines, err = gatesOf(r, today); err != nil || lines[0].Passed() || !lines[0].Lapsed() {
		t.Errorf("passed %v, lapsed %v (%v)", lines[0].Passed(), lines[0].Lapsed(), err)
	}
}

// A look at an item grows stale by what changes about it afterwards, and what stands
// open about it is named there.
func TestALookGrowsStale(t *testing.T) {
	look := func(key string, result rebuild.ItemResult) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.Rehearse(rebuild.Rehearsed{Key: key, Result: result, At: "2026-06-01T10:00:00Z", By: "Ada"}, key)
		}
	}
	off := func(what, zone, at string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddStripItem(rebuild.StripItem{At: at, What: what, Zone: zone})
		}
	}
	found := func(what, zone, on string, how rebuild.Severity) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddFinding(rebuild.Finding{Zone: zone, What: what, HowFound: rebuild.Seen, Severity: how, On: on})
		}
	}
	failed := func(on string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			s := CheckSettings{Quantity: "tyre-tread", Name: "Tread of a tyre", Which: "front left", Unit: "mm", Form: "mean"}
			return r.AddEvidence(rebuild.Evidence{On: on, Instrument: rebuild.InstrumentCheck, Title: s.Title(), Settings: s.JSON(), Verdict: rebuild.VerdictFail, Why: "so", Engine: "check 1"})
		}
	}
	undone := func(title string, class rebuild.SafetyClass) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddJoint(rebuild.Joint{Title: title, Safety: class, Count: 1, Locking: rebuild.LockNone, Undone: []rebuild.Undoing{{At: "2026-06-02T08:00:00Z", Why: "looked"}}})
		}
	}
	for _, c := range []struct {
		name, item string
		steps      []step
		stale      string // empty: it still counts
		open       int
		chance     float64 // 0: that of a plain pass
	}{
		{"nothing happened", "suspension", nil, "", 0, 0},
		{"an arm came off after", "suspension", []step{off("Lower arm", "front-left-corner", "2026-06-01T12:00:00Z")}, `"Lower arm" came off`, 0, 0.88},
		{"it came off before", "suspension", []step{off("Lower arm", "front-left-corner", "2026-06-01T09:00:00Z")}, "", 0, 0},
		{"something else came off", "suspension", []step{off("Rear bumper", "rear-bumper", "2026-06-02T12:00:00Z")}, "", 0, 0},
		{"a joint undone", "steering-joints", []step{undone("Left track rod end nut", rebuild.SafetySteering)}, "was undone on 2026-06-02", 0, 0.92},
		{"a small finding the day after", "left-tyres", []step{found("Nick in the tyre", "front-left-corner", "2026-06-02", rebuild.Minor)}, "Nick in the tyre", 1, 0.94},
		{"a small finding that was known", "left-tyres", []step{found("Nick in the tyre", "front-left-corner", "2026-05-02", rebuild.Minor)}, "", 1, 0},
		{"a danger that was known", "left-tyres", []step{found("Tyre cut to the cords", "front-left-corner", "2026-05-02", rebuild.Danger)}, "", 1, 0.05},
		{"on the other side", "right-tyres", []step{found("Tyre cut to the cords", "front-left-corner", "2026-06-02", rebuild.Danger)}, "", 0, 0},
		{"a measurement failed", "left-tyres", []step{failed("2026-06-03")}, "failed on 2026-06-03", 0, 0.94},
		{"it failed on the other side", "right-tyres", []step{failed("2026-06-03")}, "", 0, 0},
		{"an open job", "horn", []step{aJob("Renew the horn", 10)}, "", 1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := stand(t, append([]step{look(c.item, rebuild.ItemPass)}, c.steps...)...)
			in, err := InspectionOf(r)
			if err != nil {
				t.Fatal(err)
			}
			l := in.Line(c.item)
			if l.Counts() != (c.stale == "") || !strings.Contains(strings.Join(l.Stale, "; "), c.stale) || len(l.Open) != c.open {
				t.Errorf("stale %q, open %+v", l.Stale, l.Open)
			}
			want := c.chance
			if want == 0 {
				want = 0.99
			}
			if l.Chance != want {
				t.Errorf("chance %g (%s), want %g", l.Chance, l.From, want)
			}
			things := inspectionThings(r)
			unseen := len(knowledge.InspectionItems()) - 1
			if c.stale != "" {
				unseen++
			}
			if things[0].Title != count(unseen, "item", "items") {
				t.Errorf("at the gate %q, want %d not looked at", things[0].Title, unseen)
			}
		})
	}
}
