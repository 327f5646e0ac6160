package workshop

import (
	"slices"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func advise(t *testing.T, r *rebuild.Rebuild) []Action {
	t.Helper()
	o := look(t, r)
	return actionsOf(r, &o, today)
}

func titles(actions []Action) []string {
	var list []string
	for _, a := range actions {
		list = append(list, a.Title)
	}
	return list
}

func TestNextInOrder(t *testing.T) {
	r := stand(
		t,
		aFinding("cut brake hose", rebuild.Danger, true), // 1
		aFinding("scratch", rebuild.Cosmetic, false),     // 2
		twoWays(), // 3: routes 4, 5
		aJob("bleed brakes", 10, inState(rebuild.JobDone), func(j *rebuild.Job) { // 6
			j.Safety, j.Zone, j.CostNothing = rebuild.SafetyBrake, "front-left-corner", true
		}),
		aJob("loom", 60, inState(rebuild.JobDone)),                                                            // 8
		aJob("screen", 200, func(j *rebuild.Job) { j.State, j.WaitingFor = rebuild.JobWaiting, "the glass" }), // 10
		pays(20_000, 10, func(e *rebuild.Entry) { e.On = "2026-06-10" }),
		aJob("trim", 30, func(j *rebuild.Job) { j.Reference, j.Routes[0].Hours = amount.New(13_000, "GBP"), uncertain.Certain(2) }),
		aJob("slow", 30, func(j *rebuild.Job) {
			j.Reference, j.Routes[0].Hours = amount.New(13_000, "GBP"), uncertain.Certain(20)
		}),
		hides("boot", 2, uncertain.Certain(1000)),
		aJob("later", 0, func(j *rebuild.Job) { j.Chosen, j.Routes = 0, nil }),
	)
	got := titles(advise(t, r))
	want := []string{
		"Make safe: cut brake hose", `Write down what "loom" cost`, `Prove "bleed brakes"`,
		"Plan a job for: cut brake hose", `Estimate "later"`, "Plan a job for: scratch",
		"Open up: Boot and rear panel", `Choose the route of "upright"`, "Ask after the glass", `Do "trim"`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q\nwant %q", got, want)
	}
}

func TestReasonsNameTheirSums(t *testing.T) {
	r := stand(
		t, twoWays(func(j *rebuild.Job) { j.Routes[0].Works, j.Routes[0].Fallback.Cost = 0.3, uncertain.Certain(700) }),
		hides("boot", 2, uncertain.Certain(1000)), pays(5_000, 0), aJob("screen", 200, inState(rebuild.JobWaiting)), pays(20_000, 5, func(e *rebuild.Entry) { e.On = "2026-06-10" }),
	)
	// 120 + .7 x 700 = 610 against 640: 30 apart. Break-even 25.7 %, own 30 %.
	// Told beforehand: .3 x 120 + .7 x 640 = 484, 126 less than 610.
	want := map[ActionKind]string{
		Choose:    "The routes differ by GBP 30; mend is cheapest with GBP 610, failure counted.",
		TestFirst: "mend works with 30 %; below 26 % new part would be the cheaper way. To know beforehand is worth up to GBP 126.",
		OpenUp:    "GBP 2,000 is expected to hide there; opened, it is either found or off the forecast.",
		WriteDown: "GBP 50 belong to no job: if they were for jobs ahead, those are counted twice in the forecast.",
		Ask:       `"screen" stands still; the last payment on it was 20 days ago, so the wait may be over.`,
	}
	for _, a := range advise(t, r) {
		if w := want[a.Kind]; w != a.Why.String() {
			t.Errorf("%s: %q\nwant %q", a.Kind, a.Why, w)
		}
		delete(want, a.Kind)
	}
	if len(want) > 0 {
		t.Errorf("not said: %q", want)
	}
}

func TestActionsCarryCautions(t *testing.T) {
	r := stand(
		t, aFinding("cut hose", rebuild.Danger, true),
		aJob("belt", 100, func(j *rebuild.Job) {
			j.Safety, j.Zone, j.Routes[0].Kind = rebuild.SafetyRestraint, "cabin", rebuild.NewPart
		}),
		aJob("sill", 100, inState(rebuild.JobDoing), func(j *rebuild.Job) { j.Safety, j.Routes[0].Method = rebuild.SafetyStructure, rebuild.MethodWelded }),
		aJob("wing", 100, inState(rebuild.JobDoing), func(j *rebuild.Job) { j.Routes[0].Method = rebuild.MethodWelded }),
	)
	want := map[string]string{"Make safe: cut hose": "lifting", `Do "belt"`: "restraints", `Finish "sill"`: "structure", `Finish "wing"`: "welding"}
	for _, a := range advise(t, r) {
		if hazard, asked := want[a.Title]; asked && a.Hazard != hazard {
			t.Errorf("%s: %q, want %q", a.Title, a.Hazard, hazard)
		}
		delete(want, a.Title)
		for _, h := range a.Hazards {
			if _, ok := knowledge.CautionFor(h); !ok {
				t.Errorf("no caution for %q", h)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("missing: %v", want)
	}
}

func TestNoKindCrowdsOut(t *testing.T) {
	var steps []step
	for range 30 {
		steps = append(steps, aFinding("dent", rebuild.Danger, false))
	}
	actions := advise(t, stand(t, steps...))
	if len(actions) != 2*mostOfKind || actions[mostOfKind].Kind != Plan {
		t.Errorf("%q", titles(actions))
	}
	if actions := advise(t, stand(t, surveyed, aJob("a", 1, inState(rebuild.JobProven)), pays(100, 1))); len(actions) != 0 {
		t.Errorf("all is done, yet %s", strings.Join(titles(actions), ", "))
	}
}
