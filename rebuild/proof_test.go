package rebuild_test

import (
	"errors"
	"testing"

	"wreckwright/rebuild"
)

const at1, at2 = "2026-03-01T10:00:00Z", "2026-03-02T10:00:00Z"

func TestGatePassRules(t *testing.T) {
	good := rebuild.GatePass{Gate: rebuild.GateRoadTest, At: at1, By: "Ada", Reason: "only round the yard", Against: []rebuild.GateAgainst{{Rule: "off", Kind: "strip item", ItemID: 3, Text: "bumper is off"}}}
	cases := []struct {
		name        string
		edit        func(*rebuild.GatePass)
		field, says string
	}{
		{"as it should be", func(*rebuild.GatePass) {}, "", ""},
		{"nothing against it, no reason", func(p *rebuild.GatePass) { p.Against, p.Reason = nil, "" }, "", ""},
		{"no reason", func(p *rebuild.GatePass) { p.Reason = "" }, "reason", "in a sentence"},
		{"a word for a reason", func(p *rebuild.GatePass) { p.Reason = "because" }, "reason", "in a sentence"},
		{"spaces for a reason", func(p *rebuild.GatePass) { p.Reason = "              " }, "reason", "in a sentence"},
		{"no gate", func(p *rebuild.GatePass) { p.Gate = "paint" }, "gate", "road test"},
		{"nobody", func(p *rebuild.GatePass) { p.By = "" }, "by", "missing"},
		{"against nothing said", func(p *rebuild.GatePass) { p.Against[0].Text = "" }, "against.1.text", "missing"},
		{"by no rule", func(p *rebuild.GatePass) { p.Against[0].Rule = "" }, "against.1.rule", "missing"},
		{"withdrawn before it was given", func(p *rebuild.GatePass) { p.WithdrawnAt = "2026-02-01T10:00:00Z" }, "withdrawn_at", "before it was given"},
		{"withdrawn for a reason, at no time", func(p *rebuild.GatePass) { p.WithdrawnWhy = "wet" }, "withdrawn_why", "was withdrawn"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := good
			p.Against = []rebuild.GateAgainst{good.Against[0]}
			c.edit(&p)
			_, err := started(t).PassGate(p)
			complains(t, err, c.field, c.says)
		})
	}
}

func TestThePassThatCounts(t *testing.T) {
	r := started(t)
	pass := func(at string) {
		r = done(t, r, func() (rebuild.Change, error) {
			return r.PassGate(rebuild.GatePass{Gate: rebuild.GateInspection, At: at, By: "Ada"})
		})
	}
	pass(at2)
	pass(at1)
	if p := r.PassOf(rebuild.GateInspection); p == nil || p.At != at2 || r.PassOf(rebuild.GateBodyShop) != nil {
		t.Fatalf("the latest by its time is %+v", p)
	}
	first := r.GatePasses[0]
	r = done(t, r, func() (rebuild.Change, error) {
		return r.WithdrawPass(first.ID, first.Rev, "2026-03-03T10:00:00Z", "wet")
	})
	if p := r.PassOf(rebuild.GateInspection); p == nil || p.At != at1 {
		t.Errorf("after that was withdrawn: %+v", p)
	}
	var conflict *rebuild.Conflict
	if _, err := r.WithdrawPass(first.ID, first.Rev, "2026-03-03T10:00:00Z", ""); !errors.As(err, &conflict) {
		t.Errorf("on an old revision: %v", err)
	}
	_, err := r.WithdrawPass(first.ID, first.Rev+1, "2026-03-04T10:00:00Z", "")
	complains(t, err, "withdrawn_at", "already")
}

// TestAPassIsToldWithoutASecondStop: the words of a change end without a full
// stop, whatever the reason ends with.
func TestAPassIsToldWithoutASecondStop(t *testing.T) {
	pass := rebuild.GatePass{Gate: rebuild.GateInspection, At: at1, By: "Ada", Reason: "On a trailer, driven in the yard only.", Against: []rebuild.GateAgainst{{Rule: "survey", Text: "The survey is not finished"}}}
	change, err := started(t).PassGate(pass)
	if err != nil {
		t.Fatal(err)
	}
	if want := `passed the gate "inspection" against advice, with one thing against it: On a trailer, driven in the yard only`; change.What != want {
		t.Errorf("%q, want %q", change.What, want)
	}
}

func TestRunsAreKeptWithWhatWasFound(t *testing.T) {
	r := started(t)
	run := rebuild.ShakedownRun{Stage: rebuild.ShakeYard, At: at1, By: "Ada", Result: rebuild.RunStop}
	_, err := r.AddShakedownRun(run)
	complains(t, err, "note", "what stopped it")
	bad := goodFinding()
	bad.Zone = ""
	_, err = r.AddShakedownRun(run, goodFinding(), bad)
	complains(t, err, "found.2.zone", "no zone")
	before := r
	c, err := r.AddShakedownRun(run, goodFinding())
	if err != nil {
		t.Fatal(err)
	}
	r = applied(t, r, c)
	if s := r.Shakedown[0]; len(s.Findings) != 1 || r.Finding(s.Findings[0]) == nil {
		t.Fatalf("kept %+v", s)
	}
	back, err := c.Inverse(r)
	if err != nil {
		t.Fatal(err)
	}
	if again := applied(t, r, back); len(again.Shakedown) != 0 || len(again.Findings) != len(before.Findings) {
		t.Error("the way back leaves something")
	}
	id := r.Shakedown[0].Findings[0]
	r = done(t, r, func() (rebuild.Change, error) { return r.DeleteFinding(id, 0) })
	if s := r.Shakedown[0]; len(s.Findings) != 0 || s.Validate() != nil {
		t.Errorf("a stop whose finding went says nothing: %+v", s)
	}
}

func TestAnItemIsKeptOnce(t *testing.T) {
	r := started(t)
	item := rebuild.Rehearsed{Key: "horn", Result: rebuild.ItemPass, At: at1, By: "Ada"}
	r = done(t, r, func() (rebuild.Change, error) { return r.Rehearse(item, "Horn") })
	item.Result = rebuild.ItemFail
	r = done(t, r, func() (rebuild.Change, error) { return r.Rehearse(item, "Horn") })
	if len(r.Rehearsal) != 1 || r.RehearsedItem("horn").Result != rebuild.ItemFail {
		t.Fatalf("kept %+v", r.Rehearsal)
	}
	var conflict *rebuild.Conflict
	if _, err := r.Rehearse(item, "Horn"); !errors.As(err, &conflict) {
		t.Errorf("on an old revision: %v", err)
	}
	item.Rev, item.EvidenceID = 1, 99
	_, err := r.Rehearse(item, "Horn")
	complains(t, err, "evidence", "measurement 99")
}

func TestWordsAreKeptOnce(t *testing.T) {
	r := started(t)
	word := rebuild.Confirmation{Of: rebuild.ConfirmCaution, Key: "brakes", Text: "Brakes", At: at1, By: "Ada"}
	r = done(t, r, func() (rebuild.Change, error) { return r.Confirm(word, word) })
	if len(r.Confirmations) != 1 {
		t.Fatalf("kept %+v", r.Confirmations)
	}
	_, err := r.Confirm(word)
	complains(t, err, "key", "nothing is ticked")
	insured := word
	insured.Of = rebuild.ConfirmMustDo
	r = done(t, r, func() (rebuild.Change, error) { return r.Confirm(word, insured) })
	if len(r.Confirmations) != 2 || r.Confirmation(rebuild.ConfirmMustDo, "brakes") == nil {
		t.Errorf("kept %+v", r.Confirmations)
	}
}

func TestATestThatWasPassedFailedNothing(t *testing.T) {
	r := started(t)
	test := rebuild.OfficialTest{On: "2026-03-04", Result: rebuild.TestPass, Items: []rebuild.TestedItem{{Key: "horn", Found: rebuild.ItemFail}}}
	_, err := r.AddOfficialTest(test)
	complains(t, err, "result", "no item that failed")
	test.Result = rebuild.TestFail
	test.Items = append(test.Items, test.Items[0])
	_, err = r.AddOfficialTest(test)
	complains(t, err, "items.2.key", "named twice")
	test.Items = []rebuild.TestedItem{{Found: rebuild.ItemFail}}
	_, err = r.AddOfficialTest(test)
	complains(t, err, "items.1.text", "say what the test found")
}
