package browsertest

import (
	"fmt"
	"net/http"
	"testing"

	"wreckwright/rebuild"
)

// A gate that is closed by a hard stop and by more: the brake job is mended, the
// cautions are read, the gate passed against advice, the first stage driven, with a
// finding by thumb that leads to a case; with scripts and without.
func TestGateStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); gateStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); gateStory(t, false) })
}

func gateStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := startEmpty(t, s)
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		survey := r.Stages[2]
		survey.State, survey.DoneOn = rebuild.StageDone, "2026-05-01"
		return r.EditStage(survey)
	})
	car.work(rebuild.Job{Title: "Renew the pads", Safety: rebuild.SafetyBrake, Needed: 1, State: rebuild.JobOpen})
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/gates"), http.StatusOK)
	b.holds(".gate-stop", "hard stop", "Renew the pads is open")
	b.press(`.gate-stop .button`)
	b.holds("main", "Hard stops: no reason passes these", "It cannot be passed")
	b.press(`.gate-hard li a`)
	b.holds("h1", "Renew the pads")
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		j := r.Jobs[0]
		return r.SetOutcome(j.ID, j.Rev, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-05-03", Proof: "brakes evenly on rollers", CostNothing: true})
	})
	b.open(car.path("/gates/road-test"), http.StatusOK)
	for _, word := range []string{"road-test", "brakes"} {
		b.click(fmt.Sprintf(`label:has(input[name="caution"][value="%s"])`, word))
	}
	b.click(`label:has(input[value="insured"])`)
	b.press(`#papers form .actions button`)
	b.holds(".did", "read the cautions")
	b.write("#reason", "Only the yard, at walking pace")
	b.press(`#way form .danger`)
	b.holds(".did", "passed the gate")
	b.holds("main", "It is passed", "Only the yard, at walking pace")
	b.open(car.path("/history"), http.StatusOK)
	b.holds("main", "against advice", "Only the yard")
	b.open(car.path("/shakedown"), http.StatusOK)
	b.press(`.drive-ready h2 a`)
	b.pick("result", "stop")
	b.write("#smelt", "hot brakes")
	b.reveal("#what")
	b.write("#what", "Left front drags")
	b.choose("#zone", "front-left-corner")
	b.press(`form[data-draft] .actions button`)
	b.holds(".did", "stopped the shakedown")
	b.holds("main", "hot brakes", "Left front drags")
	if r := car.now(); len(r.Findings) != 1 || len(r.Shakedown) != 1 || len(r.GatePasses) != 1 || len(r.GatePasses[0].Against) == 0 {
		t.Errorf("kept %+v, %+v, %+v", r.Findings, r.Shakedown, r.GatePasses)
	}
	b.press(`#runs + ol a[href*="/cases/new"]`)
	b.holds("h1", "case")
}

// The list of the inspection takes a tap, and comes back to where it was.
func TestInspectionStory(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := startEmpty(t, s)
	b := newTab(t, s)
	b.width(phone)
	b.open(car.path("/inspection"), http.StatusOK)
	b.press(`#horn button[value="pass"]`)
	b.holds("#horn", "passes")
	b.press(`#horn button[value="fail"]`)
	b.holds("#horn", "✗ fails")
	if h := car.now().RehearsedItem("horn"); h == nil || h.Result != rebuild.ItemFail || h.Rev != 1 {
		t.Errorf("kept %+v", h)
	}
}

// Every page of the section Prove in its states is held against the accessibility
// rules.
func TestProofIsAccessible(t *testing.T) {
	source := needAxe(t)
	s := serve(t)
	car, empty := fill(t, s), startEmpty(t, s)
	at := "2026-05-02T10:00:00Z"
	tread := 1.7
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.Confirm(rebuild.Confirmation{Of: rebuild.ConfirmCaution, Key: "brakes", Text: "Brakes", At: at, By: "Kim"}, rebuild.Confirmation{Of: rebuild.ConfirmMustDo, Key: "insured", Text: "Insured", At: at, By: "Kim"})
	})
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.PassGate(rebuild.GatePass{Gate: rebuild.GateRoadTest, At: at, By: "Kim", Reason: "a-reason-with-a-very-long-word-000000000000000000000000000000000000000000", Against: []rebuild.GateAgainst{{Rule: "x", Text: "something"}}})
	})
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		f := rebuild.Finding{Zone: "underside", What: "A drip", HowFound: rebuild.RoadTest, Severity: rebuild.Major, On: "2026-05-02"}
		return r.AddShakedownRun(rebuild.ShakedownRun{Stage: rebuild.ShakeYard, At: at, By: "Kim", Km: 1, Minutes: 20, Felt: "soft", Result: rebuild.RunStop, Photos: []rebuild.Attachment{car.photo("corner.png")}}, f)
	})
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.Rehearse(rebuild.Rehearsed{Key: "left-tyres", Result: rebuild.ItemAdvisory, Value: &tread, At: at, By: "Kim", Note: "uneven"}, "tyres")
	})
	test := car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddOfficialTest(rebuild.OfficialTest{On: "2026-05-03", Result: rebuild.TestFail, Items: []rebuild.TestedItem{{Key: "horn", Found: rebuild.ItemFail, Text: "silent"}, {Key: "left-tyres", Rehearsed: rebuild.ItemAdvisory, Found: rebuild.ItemPass}}})
	})
	lookAtAll(t, s, source, []visit{
		{name: "gates", path: car.path("/gates"), status: http.StatusOK},
		{name: "gates of an empty book", path: empty.path("/gates"), status: http.StatusOK, brief: true},
		{name: "gate, passed and more since", path: car.path("/gates/road-test"), status: http.StatusOK},
		{name: "gate of an empty book", path: empty.path("/gates/road-test"), status: http.StatusOK, brief: true},
		{name: "gate, refused", path: empty.path("/gates/road-test"), status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.write("#reason", "no")
			b.press("#way form .danger")
			b.holds("#problems", "write why it is passed")
		}},
		{name: "hand-over", path: car.path("/gates/hand-over"), status: http.StatusOK, brief: true},
		{name: "shakedown", path: car.path("/shakedown"), status: http.StatusOK, brief: true},
		{name: "yard", path: car.path("/shakedown/yard"), status: http.StatusOK},
		{name: "retorque", path: car.path("/shakedown/retorque"), status: http.StatusOK, brief: true},
		{name: "inspection", path: car.path("/inspection"), status: http.StatusOK},
		{name: "inspection item", path: car.path("/inspection/left-tyres"), status: http.StatusOK, brief: true},
		{name: "official test, new", path: car.path("/official-test"), status: http.StatusOK, brief: true},
		{name: "official test", path: car.path(fmt.Sprintf("/official-tests/%d", test)), status: http.StatusOK, brief: true},
	})
}
