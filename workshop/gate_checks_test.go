package workshop

import (
	"slices"
	"strings"
	"testing"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// measuredBrake keeps a check of the service brake under the job with that place
// among the jobs; 0: under none.
func measuredBrake(verdict rebuild.Verdict, job int, phase rebuild.Phase, on string) step {
	return measuredOf("service-brake", "", verdict, job, phase, on)
}

func measuredOf(quantity, which string, verdict rebuild.Verdict, job int, phase rebuild.Phase, on string) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		s := CheckSettings{Quantity: quantity, Name: "Measured " + quantity, Which: which, Unit: "%", Form: "mean"}
		e := rebuild.Evidence{On: on, Instrument: rebuild.InstrumentCheck, Title: s.Title(), Phase: phase, Settings: s.JSON(), Verdict: verdict, Why: "so", Engine: "check 1"}
		if job > 0 {
			e.JobID = r.Jobs[job-1].ID
		}
		return r.AddEvidence(e)
	}
}

// changeJob changes the job with that place among the jobs.
func changeJob(nth int, change func(*rebuild.Job)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		j := r.Jobs[nth-1]
		change(&j)
		return r.EditJob(j)
	}
}

// A measurement that failed stands against driving until a later one of that very
// quantity and part passes: nothing that is done to its job or to how it is filed
// takes it away.
func TestOnlyALaterMeasurementLiftsAFailure(t *testing.T) {
	const (
		pass   = rebuild.VerdictPass
		fail   = rebuild.VerdictFail
		unsure = rebuild.VerdictCannotTell
		before = rebuild.PhaseBefore
		after  = rebuild.PhaseAfter
	)
	proven := changeJob(1, func(j *rebuild.Job) { j.State, j.DoneOn, j.Proof = rebuild.JobProven, "2026-05-20", "it stops well" })
	dropped := changeJob(1, func(j *rebuild.Job) { j.State, j.DoneOn, j.Proof = rebuild.JobDropped, "", "" })
	brakes := aJob("pads", 10, ofClass(rebuild.SafetyBrake), inState(rebuild.JobProven))
	other := aJob("trim", 10)
	cases := []struct {
		name  string
		steps []step
		hard  bool
	}{
		{"its job is dropped", []step{brakes, measuredBrake(fail, 1, "", "2026-05-10"), dropped}, true},
		{"its job is proven by words", []step{brakes, measuredBrake(fail, 1, "", "2026-05-10"), proven}, true},
		{"a pass, a failure, the job proven", []step{brakes, measuredBrake(pass, 1, "", "2026-05-09"), measuredBrake(fail, 1, "", "2026-05-10"), proven}, true},
		{"from before the work, nothing since", []step{brakes, measuredBrake(fail, 1, before, "2026-05-10")}, true},
		{"from before the work, without a job", []step{other, measuredBrake(fail, 0, before, "2026-05-10")}, true},
		{"from before the work, passed after it", []step{brakes, measuredBrake(fail, 1, before, "2026-05-10"), measuredBrake(pass, 1, after, "2026-05-11")}, false},
		{"before and after on one day, entered the other way round", []step{brakes, measuredBrake(pass, 1, after, "2026-05-10"), measuredBrake(fail, 1, before, "2026-05-10")}, false},
		{"another job's before on the day of the pass", []step{brakes, other, measuredBrake(pass, 1, after, "2026-05-10"), measuredBrake(fail, 2, before, "2026-05-10")}, true},
		{"passed, and bad again before the next work", []step{brakes, measuredBrake(pass, 1, after, "2026-05-10"), measuredBrake(fail, 1, before, "2026-05-11")}, true},
		{"filed as before, a pass lifts nothing", []step{brakes, measuredBrake(fail, 1, after, "2026-05-10"), measuredBrake(pass, 1, before, "2026-05-11")}, true},
		{"measured again without a decision", []step{brakes, measuredBrake(fail, 1, "", "2026-05-10"), measuredBrake(unsure, 1, "", "2026-05-11")}, true},
		{"failed, undecided, passed", []step{brakes, measuredBrake(fail, 1, "", "2026-05-10"), measuredBrake(unsure, 1, "", "2026-05-11"), measuredBrake(pass, 1, "", "2026-05-12")}, false},
		{"another quantity passes", []step{brakes, measuredBrake(fail, 1, "", "2026-05-10"), measuredOf("parking-brake", "", pass, 1, "", "2026-05-11")}, true},
		{"another part passes", []step{brakes, measuredOf("disc-run-out", "left", fail, 1, "", "2026-05-10"), measuredOf("disc-run-out", "right", pass, 1, "", "2026-05-11")}, true},
		{"under a job of another class", []step{aJob("arm", 10, ofClass(rebuild.SafetyStructure), inState(rebuild.JobProven)), measuredBrake(fail, 1, "", "2026-05-10")}, true},
		{"a job that is named after the brakes", []step{aJob("brake lines", 10, inState(rebuild.JobProven)), measuredOf("voltage-drop", "", fail, 1, "", "2026-05-10")}, true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			lines, err := gatesOf(stand(t, append(c.steps, surveyed, confirmedAll)...), today)
			if err != nil {
				t.Fatal(err)
			}
			failed := slices.ContainsFunc(lines[0].Against, func(a gate.Against) bool { return a.Rule == "check-failed-hard" })
			if failed != c.hard || lines[0].HardStop() != c.hard {
				t.Errorf("%s, failed %v; want a hard stop: %v (%+v)", lines[0].State, failed, c.hard, lines[0].Against)
			}
		})
	}
}

// What could not be told is lifted by the work being proven later; it was no
// failure.
func TestWhatCouldNotBeToldIsSettledByProof(t *testing.T) {
	r := stand(t, aJob("pads", 10, ofClass(rebuild.SafetyBrake), inState(rebuild.JobProven)), measuredBrake(rebuild.VerdictCannotTell, 1, "", "2026-04-10"),
		measuredOf("disc-run-out", "", rebuild.VerdictCannotTell, 1, rebuild.PhaseBefore, "2026-05-10"), surveyed, confirmedAll)
	if things := checkThings(r); len(things) != 0 {
		t.Errorf("%+v", things)
	}
}

// Jobs and joints are what their class says or what they are called after,
// whichever is the graver.
func TestTheNameOfAJobOrJointCounts(t *testing.T) {
	joint := func(title string, class rebuild.SafetyClass) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddJoint(rebuild.Joint{Title: title, Safety: class, Count: 2, TorqueNm: 100, Locking: rebuild.LockNone})
		}
	}
	painting := func(j *rebuild.Job) { j.Stage = proveStage + 1 }
	cases := []struct {
		name  string
		step  step
		rules string
	}{
		{"brakes without a class", aJob("Renew the front brake hoses and calipers", 10), "job-open-hard"},
		{"brakes under another class", aJob("Bleed the brakes", 10, ofClass(rebuild.SafetyStructure)), "job-open-hard"},
		{"an arm without a class", aJob("Renew the lower control arm", 10), "job-critical"},
		{"a fuel line without a class", aJob("Renew the fuel line", 10), "job-critical"},
		{"a sill without a class", aJob("Weld the left sill", 10), "job-critical"},
		{"a sill that is only painted", aJob("Paint the left sill", 10, painting), ""},
		{"a clip at the brakes", aJob("Renew the clip on the brake hose", 10), ""},
		{"trim", aJob("Refit the door trim", 10), ""},
		{"brake bolts of the class structure", joint("Front brake caliper bolts", rebuild.SafetyStructure), "joint-open-hard"},
		{"steering bolts of the class fuel", joint("Steering rack bolts", rebuild.SafetyFuel), "joint-open-hard"},
		{"rail bolts of the class fuel", joint("Fuel rail bolts", rebuild.SafetyFuel), "joint-open"},
		{"rail bolts without a class", joint("Chassis rail bolts", rebuild.SafetyNone), ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			lines, err := gatesOf(stand(t, aFinding("scratch", rebuild.Cosmetic, false), c.step, surveyed, category("N"), confirmedAll), today)
			if err != nil {
				t.Fatal(err)
			}
			var rules []string
			for _, a := range lines[0].Against {
				rules = append(rules, a.Rule)
			}
			if strings.Join(rules, " ") != c.rules {
				t.Errorf("%v; want %s", rules, c.rules)
			}
		})
	}
}

// readOf keeps what a reader showed.
func readOf(t *testing.T, text, on string, change ...func(*rebuild.Evidence)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		t.Helper()
		s := CodesSettings{Jurisdiction: "UK"}
		said, err := ReadCodes(text, s)
		if err != nil {
			return rebuild.Change{}, err
		}
		e := said.Evidence(s)
		e.On = on
		for _, c := range change {
			c(&e)
		}
		return r.AddEvidence(e)
	}
}

// Codes, a count of them and the lamp stand until that unit was asked for them once
// more; what was not asked for says nothing.
func TestOnlyTheCodesReadAgainClearCodes(t *testing.T) {
	const there = "7E8 04 43 01 03 01"
	ofJob := func(e *rebuild.Evidence) { e.JobID = 1 }
	old := func(e *rebuild.Evidence) { // as records were kept before they told what was answered
		e.Figures = []rebuild.EvidenceFigure{{Name: figureCodes, Value: 0}}
	}
	cases := []struct {
		name  string
		steps []step
		n     int // records with codes
		state string
	}{
		{"none yet", nil, 0, ""},
		{"one code", []step{readOf(t, there, "2026-05-01")}, 1, "there"},
		{"asked again, none", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 0, "not known"},
		{"live values only", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 04 41 0C 1A F8", "2026-05-02")}, 1, "there"},
		{"another unit", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E9 02 43 00", "2026-05-02")}, 1, "there"},
		{"a reader that names no unit", []step{readOf(t, there, "2026-05-01"), readOf(t, "43 00", "2026-05-02")}, 0, "not known"},
		{"somebody says no codes", []step{readOf(t, "P0301", "2026-05-01"), readOf(t, "no codes", "2026-05-02")}, 0, "not known"},
		{"typed, then read", []step{readOf(t, "P0301", "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 0, "not known"},
		{"pending ones do not answer for stored ones", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 02 47 00", "2026-05-02")}, 1, "there"},
		{"stored ones do not answer for permanent ones", []step{readOf(t, "7E8 04 4A 01 03 01", "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 1, "there"},
		{"read before, as kept long ago", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 04 41 0C 1A F8", "2026-05-02", old)}, 1, "there"},
		{"under a dropped job", []step{aJob("x", 10), readOf(t, there, "2026-05-01", ofJob), changeJob(1, func(j *rebuild.Job) { j.State = rebuild.JobDropped })}, 1, "there"},
		{"filed as from before the work", []step{readOf(t, there, "2026-05-01", func(e *rebuild.Evidence) { e.Phase = rebuild.PhaseBefore })}, 1, "there"},
		{"two units, one asked again", []step{readOf(t, there+"\n7E9 04 43 01 04 20", "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 1, "there"},
		{"the lamp on, codes counted", []step{readOf(t, "41 01 83 07 65 04", "2026-05-01")}, 1, "there"},
		{"the lamp on, none counted", []step{readOf(t, "41 01 80 07 65 04", "2026-05-01")}, 1, "there"},
		{"counted, the lamp off", []step{readOf(t, "41 01 02 07 65 00", "2026-05-01")}, 1, "there"},
		{"the lamp on, and none stored", []step{readOf(t, "41 01 83 07 65 04\n43 00", "2026-05-01")}, 1, "there"},
		{"the lamp on, then the state once more", []step{readOf(t, "41 01 83 07 65 04", "2026-05-01"), readOf(t, "41 01 00 07 65 00\n43 00", "2026-05-02")}, 0, "none"},
		{"the lamp off does not answer for codes", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 06 41 01 00 07 65 00", "2026-05-02")}, 1, "there"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			things := codesThings(stand(t, c.steps...))
			n, state := 0, ""
			for _, thing := range things {
				if thing.State == "there" {
					n++
				}
				if state != "there" {
					state = thing.State
				}
			}
			if n != c.n || state != c.state {
				t.Errorf("%d with codes, %q; want %d, %q: %+v", n, state, c.n, c.state, things)
			}
		})
	}
}

// What was never asked for is not said to be none.
func TestCodesNotAskedForAreNotNone(t *testing.T) {
	for text, says := range map[string]string{
		"7E8 04 41 0C 1A F8": "no fault code was asked for", "43 00": "on record: no fault code", "41 01 83 07 65 04": "counts 3 fault codes",
	} {
		said, err := ReadCodes(text, CodesSettings{Jurisdiction: "UK"})
		if err != nil || !strings.Contains(said.Why, says) {
			t.Errorf("%s: %q (%v), want %q", text, said.Why, err, says)
		}
		if counted := said.Figures[0].Name == figureCodes; counted != (text == "43 00") {
			t.Errorf("%s: the first figure is %q", text, said.Figures[0].Name)
		}
	}
}
