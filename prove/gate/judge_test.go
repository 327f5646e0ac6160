package gate_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/prove/gate"
)

var two = []string{"road", "paint"}

// rules are the test's own, small enough to follow by hand.
var rules = []gate.Rule{
	{Key: "job", Gates: two, About: "job", Classes: []string{"suspension", "fuel"}, States: []string{"open", "doing"}, Text: "{title} is {state}", Do: "do it", Source: "own design"},
	{Key: "insured", Gates: []string{"road"}, About: "must-do", States: []string{"not confirmed"}, Papers: true, Text: "{title}", Do: "confirm it", Source: "own design"},
	{Key: "brake", Gates: two, About: "job", Classes: []string{"brake"}, States: []string{"open", "doing"}, Hard: true, Text: "{title} is {state}: {why}", Do: "mend it", Source: "own design"},
	{Key: "critical", Gates: []string{"road"}, About: "finding", States: []string{"open"}, Marks: []string{"critical"}, Without: []string{"rear"}, Text: "{title}", Do: "settle it", Source: "own design"},
	{Key: "drive", Gates: []string{"paint"}, About: "shakedown stage", Keys: []string{"yard"}, States: []string{"not done", "stopped"}, Text: "{title}", Do: "drive it", Source: "own design"},
	{Key: "any job", Gates: []string{"paint"}, About: "job", States: []string{"open"}, Text: "{title} is open", Do: "do it", Source: "own design"},
}

func TestJudge(t *testing.T) {
	cases := []struct {
		name        string
		things      []gate.Thing
		road, paint gate.State
		against     string // the rules against the road, then against the paint
		says        string // of the first
	}{
		{"nothing", nil, gate.Open, gate.Open, "|", ""},
		{"a brake job open", []gate.Thing{{Kind: "job", ID: 3, Title: "Pads", State: "open", Class: "brake", Why: "worn"}}, gate.HardStop, gate.HardStop, "brake|brake", "Pads is open: worn"},
		{"a brake job proven", []gate.Thing{{Kind: "job", Title: "Pads", State: "proven", Class: "brake"}}, gate.Open, gate.Open, "|", ""},
		{"a suspension job", []gate.Thing{{Kind: "job", Title: "Arm", State: "doing", Class: "suspension"}}, gate.Closed, gate.Closed, "job|job", "Arm is doing"},
		{"once by the first rule", []gate.Thing{{Kind: "job", Title: "Tank", State: "open", Class: "fuel"}}, gate.Closed, gate.Closed, "job|job", "Tank is open"},
		{"no class is the class none", []gate.Thing{{Kind: "job", Title: "Trim", State: "open"}}, gate.Open, gate.Closed, "|any job", ""},
		{"hard ones first, papers last", []gate.Thing{
			{Kind: "must-do", Key: "insured", Title: "insure it", State: "not confirmed"},
			{Kind: "job", Title: "Arm", State: "open", Class: "suspension"},
			{Kind: "job", Title: "Pads", State: "open", Class: "brake"},
		}, gate.HardStop, gate.HardStop, "brake job insured|brake job", "Pads is open: "},
		{"a finding with the mark", []gate.Thing{{Kind: "finding", Title: "Crack", State: "open", Marks: []string{"critical"}}}, gate.Closed, gate.Open, "critical|", "Crack"},
		{"a finding without it", []gate.Thing{{Kind: "finding", Title: "Scratch", State: "open"}}, gate.Open, gate.Open, "|", ""},
		{"a finding with a mark that lets it off", []gate.Thing{{Kind: "finding", Title: "Crack", State: "open", Marks: []string{"critical", "rear"}}}, gate.Open, gate.Open, "|", ""},
		{"a stage with the key", []gate.Thing{{Kind: "shakedown stage", Key: "yard", Title: "Yard", State: "stopped"}}, gate.Open, gate.Closed, "|drive", ""},
		{"a stage with another", []gate.Thing{{Kind: "shakedown stage", Key: "full", Title: "Full", State: "stopped"}}, gate.Open, gate.Open, "|", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := gate.Judge(rules, c.things, two)
			if err != nil {
				t.Fatal(err)
			}
			if got[0].State != c.road || got[1].State != c.paint {
				t.Errorf("road %s, paint %s; want %s, %s", got[0].State, got[1].State, c.road, c.paint)
			}
			if said := names(got[0]) + "|" + names(got[1]); said != c.against {
				t.Errorf("against it %q, want %q", said, c.against)
			}
			if c.says != "" && got[0].Against[0].Text != c.says {
				t.Errorf("it says %q, want %q", got[0].Against[0].Text, c.says)
			}
		})
	}
}

func names(g gate.Gate) string {
	var keys []string
	for _, a := range g.Against {
		keys = append(keys, a.Rule)
	}
	return strings.Join(keys, " ")
}

func TestCountsOfAGate(t *testing.T) {
	got, err := gate.Judge(rules, []gate.Thing{
		{Kind: "must-do", Title: "insure it", State: "not confirmed"}, {Kind: "job", Title: "Arm", State: "open", Class: "suspension"}, {Kind: "job", Title: "Pads", State: "open", Class: "brake"},
	}, two)
	if err != nil || got[0].Hard != 1 || got[0].Papers != 1 || got[0].OfCar() != 2 {
		t.Errorf("%+v (%v)", got[0], err)
	}
}

func TestRulesAndThingsThatAreNone(t *testing.T) {
	good := rules[0]
	bend := func(f func(*gate.Rule)) []gate.Rule {
		r := good
		f(&r)
		return []gate.Rule{r}
	}
	cases := []struct {
		name  string
		rules []gate.Rule
		says  string
	}{
		{"a kind", bend(func(r *gate.Rule) { r.About = "jobs" }), `about "jobs"`},
		{"a state", bend(func(r *gate.Rule) { r.States = []string{"opened"} }), `the state "opened"`},
		{"no state", bend(func(r *gate.Rule) { r.States = nil }), "names no state"},
		{"a class", bend(func(r *gate.Rule) { r.Classes = []string{"brakes"} }), `the class "brakes"`},
		{"a gate", bend(func(r *gate.Rule) { r.Gates = []string{"yard"} }), `the gate "yard"`},
		{"no gate", bend(func(r *gate.Rule) { r.Gates = nil }), "names no gate"},
		{"no source", bend(func(r *gate.Rule) { r.Source = "" }), "a source"},
		{"nothing to do", bend(func(r *gate.Rule) { r.Do = "" }), "what is to be done"},
		{"twice", []gate.Rule{good, good}, "twice"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var bad *gate.RuleError
			if _, err := gate.Judge(c.rules, nil, two); !errors.As(err, &bad) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
	for _, thing := range []gate.Thing{{Kind: "hoist", State: "open"}, {Kind: "job", State: "ajar"}, {Kind: "job", State: "open", Class: "brakes"}} {
		if _, err := gate.Judge(rules, []gate.Thing{thing}, two); err == nil {
			t.Errorf("%+v was taken", thing)
		}
	}
}

func anyThing(t *rapid.T) gate.Thing {
	kind := rapid.SampledFrom([]string{"job", "finding", "must-do", "shakedown stage"}).Draw(t, "kind")
	return gate.Thing{
		Kind: kind, State: rapid.SampledFrom(gate.Kinds[kind]).Draw(t, "state"), Class: rapid.SampledFrom(gate.Classes).Draw(t, "class"),
		Key: rapid.SampledFrom([]string{"", "yard", "full"}).Draw(t, "key"), Marks: rapid.SliceOfN(rapid.SampledFrom([]string{"critical", "rear"}), 0, 2).Draw(t, "marks"), Title: "it",
	}
}

// TestAThingMoreNeverOpensAGate holds the law that everything else leans on.
func TestAThingMoreNeverOpensAGate(t *testing.T) {
	worse := map[gate.State]int{gate.Open: 0, gate.Closed: 1, gate.HardStop: 2}
	rapid.Check(t, func(t *rapid.T) {
		things := rapid.SliceOfN(rapid.Custom(anyThing), 0, 12).Draw(t, "things")
		more := slices.Insert(slices.Clone(things), rapid.IntRange(0, len(things)).Draw(t, "at"), anyThing(t))
		before, err := gate.Judge(rules, things, two)
		after, err2 := gate.Judge(rules, more, two)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		for i := range two {
			b, a := before[i], after[i]
			if worse[a.State] < worse[b.State] || len(a.Against) < len(b.Against) || len(a.Against) > len(b.Against)+1 {
				t.Fatalf("%s with %d against it became %s with %d by one thing more", b.State, len(b.Against), a.State, len(a.Against))
			}
			if (a.State == gate.HardStop) != (a.Hard > 0) || (a.State == gate.Open) != (len(a.Against) == 0) {
				t.Fatalf("%s with %d against it, %d of them hard", a.State, len(a.Against), a.Hard)
			}
			hard := true
			for _, x := range a.Against {
				if x.Hard && !hard {
					t.Fatal("a hard stop stands after something else")
				}
				hard = x.Hard
			}
		}
	})
}

func TestDrive(t *testing.T) {
	stages := []gate.DriveStage{{Key: "yard", Name: "Yard"}, {Key: "slow", Name: "Slow", OnRoad: true}, {Key: "full", Name: "Full", OnRoad: true}}
	run := func(stage string, passed bool) gate.Run { return gate.Run{Stage: stage, Passed: passed} }
	open, stop := gate.Gate{State: gate.Closed}, gate.Gate{State: gate.HardStop}
	cases := []struct {
		name   string
		runs   []gate.Run
		road   gate.Gate
		passed bool
		ready  string // a letter for each stage that may be done
		states string
	}{
		{"at first the yard", nil, open, false, "y", "not done,not done,not done"},
		{"not with a hard stop", nil, stop, true, "", "not done,not done,not done"},
		{"the road needs its gate", []gate.Run{run("yard", true)}, open, false, "y", "passed,not done,not done"},
		{"with the gate the next", []gate.Run{run("yard", true)}, open, true, "ys", "passed,not done,not done"},
		{"a stop holds back what follows", []gate.Run{run("yard", true), run("slow", false)}, open, true, "ys", "passed,stopped,not done"},
		{"done again it goes on", []gate.Run{run("yard", true), run("slow", false), run("slow", true)}, open, true, "ysf", "passed,passed,not done"},
		{"an early stage stopped anew holds back all", []gate.Run{run("yard", true), run("slow", true), run("yard", false)}, open, true, "y", "stopped,passed,not done"},
		{"no stage is left out", []gate.Run{run("slow", true), run("full", true)}, open, true, "y", "not done,passed,passed"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			ready, states := "", []string{}
			for _, r := range gate.Drive(stages, c.runs, c.road, c.passed) {
				if r.Ready {
					ready += r.Key[:1]
				}
				if r.Ready != (r.Why == "") {
					t.Errorf("%s: ready %v, but %q", r.Key, r.Ready, r.Why)
				}
				states = append(states, r.State)
			}
			if ready != c.ready || strings.Join(states, ",") != c.states {
				t.Errorf("ready %q, %v; want %q, %s", ready, states, c.ready, c.states)
			}
		})
	}
}
