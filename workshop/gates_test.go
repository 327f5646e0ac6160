package workshop

import (
	"slices"
	"strings"
	"testing"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
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
