package workshop

import (
	"math"
	"testing"

	"wreckwright/bench/noise"
	"wreckwright/diagnose"
)

// hum is the fault model's case.
func hum(t *testing.T) diagnose.Case {
	t.Helper()
	c, err := humModel()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func road(tests ...noise.RoadTest) noise.Road { return noise.Road{ByLines: true, Tests: tests} }

func likely(name, outcome string, pairs ...any) noise.RoadTest {
	t := noise.RoadTest{Name: name, Outcome: outcome, DifferenceDB: 4, SD: 1}
	for i := 0; i < len(pairs); i += 2 {
		t.Likely = append(t.Likely, noise.Outcome{Name: pairs[i].(string), Likelihood: pairs[i+1].(float64)})
	}
	return t
}

var (
	louderLeft   = likely(noise.TestWeave, noise.LouderLeft, noise.LouderLeft, 0.2, noise.LouderRight, 1e-6, noise.Same, 1e-5)
	unclearWeave = likely(noise.TestWeave, "", noise.LouderLeft, 0.04, noise.LouderRight, 1e-5, noise.Same, 0.05)
	otherSurface = likely(noise.TestSurface, noise.Changes, noise.Changes, 0.1, noise.Same, 1e-4)
	sameNeutral  = likely(noise.TestNeutral, noise.Same, noise.Changes, 0.001, noise.Gone, 1e-9, noise.Same, 0.3)
	sameTorque   = likely(noise.TestTorque, noise.Same, noise.Changes, 0.01, noise.Same, 0.3)
	rearRight    = likely(noise.TestPlace, "RR", "FL", 0.01, "FR", 0.02, "RL", 0.05, "RR", 0.9)
)

// chancesOf is the posterior by fault's ID.
func chancesOf(t *testing.T, c diagnose.Case, evidence []diagnose.Evidence) map[string]float64 {
	t.Helper()
	c.Evidence = evidence
	p, err := diagnose.Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]float64{}
	for i, f := range c.Faults {
		by[f.ID] = p[i]
	}
	return by
}

// TestRoadTestsMoveTheDiagnosis: louder to one side and the same in neutral and
// with the throttle is a bearing; another note on another road is a tyre.
func TestRoadTestsMoveTheDiagnosis(t *testing.T) {
	c := hum(t)
	before := chancesOf(t, c, nil)
	bearing := chancesOf(t, c, RoadEvidence(c, road(louderLeft, sameNeutral, sameTorque)))
	if bearing["wheel_bearing"] < 2*before["wheel_bearing"] || bearing["final_drive"] > before["final_drive"]/2 {
		t.Errorf("louder to one side, same in neutral: %v", bearing)
	}
	tyre := chancesOf(t, c, RoadEvidence(c, road(otherSurface)))
	if tyre["tyre"] < 0.5 || tyre["wheel_bearing"] > before["wheel_bearing"] {
		t.Errorf("changes with the surface: %v", tyre)
	}
}

// TestDecidedAnswersAreSteps: a decided one is the case's own outcome, an unclear
// one moves the chances less, and never beyond what the decided one would.
func TestDecidedAnswersAreSteps(t *testing.T) {
	c := hum(t)
	decided := RoadAnswers(c, road(louderLeft, sameNeutral))
	if len(decided) != 2 || decided[0].Outcome != "louder" || !decided[0].Decided || !decided[0].InCase || decided[1].Test != "coast" || decided[1].Outcome != "same" {
		t.Fatalf("%+v", decided)
	}
	unclear := RoadAnswers(c, road(unclearWeave))
	if len(unclear) != 1 || unclear[0].Decided || unclear[0].Outcome != "" {
		t.Fatalf("%+v", unclear)
	}
	before := chancesOf(t, c, nil)["wheel_bearing"]
	louder := chancesOf(t, c, []diagnose.Evidence{{Test: "bend", Outcome: "louder"}})["wheel_bearing"]
	same := chancesOf(t, c, []diagnose.Evidence{{Test: "bend", Outcome: "same"}})["wheel_bearing"]
	soft := chancesOf(t, c, RoadEvidence(c, road(unclearWeave)))["wheel_bearing"]
	if !(same < soft && soft < louder) || math.Abs(soft-before) > math.Min(louder-before, before-same)/2 {
		t.Errorf("same %.2f, unclear %.2f, before %.2f, louder %.2f", same, soft, before, louder)
	}
	firm := chancesOf(t, c, RoadEvidence(c, road(louderLeft)))["wheel_bearing"]
	if math.Abs(firm-louder) > 1e-9 {
		t.Errorf("decided %.4f, by ear %.4f", firm, louder)
	}
}

// TestOwnCaseByCorner: a case of the person's own, without those tests, takes the
// table of the fault model, and bearings that it lists by corner are parted.
func TestOwnCaseByCorner(t *testing.T) {
	c := diagnose.Case{Symptom: "hum", Currency: "EUR", Several: 1, ReplaceAll: &diagnose.ReplaceAll{Cost: 5000}}
	for _, id := range []string{"wheel_bearing_fl", "wheel_bearing_fr", "wheel_bearing_rl", "wheel_bearing_rr", "tyre", "goblin"} {
		c.Faults = append(c.Faults, diagnose.Fault{ID: id, Name: id, Prior: 1.0 / 6})
	}
	answers := RoadAnswers(c, road(louderLeft, rearRight))
	if len(answers) != 1 || answers[0].InCase || answers[0].Decided {
		t.Fatalf("%+v", answers)
	}
	got := chancesOf(t, c, RoadEvidence(c, road(louderLeft, rearRight)))
	if got["wheel_bearing_rr"] < 0.6 || got["wheel_bearing_fl"] > 0.05 || got["tyre"] > got["wheel_bearing_rr"] {
		t.Errorf("%v", got)
	}
}

// TestRoadCorners: steering left loads the right side; the place of the phone
// names the axle.
func TestRoadCorners(t *testing.T) {
	by := map[string]float64{}
	total := 0.0
	for _, c := range RoadCorners(road(louderLeft)) {
		by[c.Corner] = c.Chance
		total += c.Chance
	}
	if right := by["FR"] + by["RR"]; right < 0.85 || right > 0.95 || math.Abs(by["FR"]-by["RR"]) > 1e-9 || math.Abs(total-1) > 1e-9 {
		t.Errorf("%v", by)
	}
	if RoadCorners(road(otherSurface)) != nil {
		t.Error("a surface says nothing of a corner")
	}
	figures := RoadFigures(road(louderLeft, rearRight))
	if len(figures) != 6 || figures[0].Name != "Left less right" || figures[0].Unit != "dB" || *figures[0].High < 5 {
		t.Errorf("%+v", figures)
	}
}

// TestBearingLinesMoveTheDiagnosis: a defect found makes the bearing likelier, none
// found less likely, and no verdict says nothing.
func TestBearingLinesMoveTheDiagnosis(t *testing.T) {
	c := hum(t)
	before := chancesOf(t, c, nil)["wheel_bearing"]
	last := 0.0
	for _, step := range []struct {
		verdict  noise.Verdict
		strength float64
		low, up  float64
	}{{noise.Pass, 2.5, 0, before / 2}, {noise.Fail, 25, 0.9, 1}, {noise.Fail, 200, 0.98, 1}} {
		e, ok := BearingEvidence(c, noise.Result{Verdict: step.verdict, Bearing: &noise.Frequencies{}, Defect: &noise.Defect{Strength: step.strength}})
		if !ok {
			t.Fatalf("%+v says nothing", step)
		}
		got := chancesOf(t, c, []diagnose.Evidence{e})["wheel_bearing"]
		if got < step.low || got > step.up || got < last {
			t.Errorf("%s at %g: %.3f, before %.3f", step.verdict, step.strength, got, before)
		}
		last = got
	}
	if _, ok := BearingEvidence(c, noise.Result{Verdict: noise.CannotTell, Bearing: &noise.Frequencies{}, Defect: &noise.Defect{Strength: 15}}); ok {
		t.Error("no verdict, and yet evidence")
	}
}
