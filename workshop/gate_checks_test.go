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
