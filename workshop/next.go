package workshop

import (
	"context"
	"fmt"
	"slices"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/working"
)

// ActionKind is what sort of step an action is.
type ActionKind string

// The kinds of actions, in the order of their ranks: people first, then what is
// forgotten when it waits, then what moves the money, then the work itself.
const (
	MakeSafe  ActionKind = "make safe"  // a dangerous finding stands
	Begin     ActionKind = "begin"      // nothing is recorded yet
	WriteDown ActionKind = "write down" // a cost or what it was for is not in the book
	Prove     ActionKind = "prove"      // a safety job is done, evidence is missing
	Plan      ActionKind = "plan"       // a finding has no job
	Estimate  ActionKind = "estimate"   // a job has no figure
	Choose    ActionKind = "choose"     // a job has no route chosen
	TestFirst ActionKind = "test first" // whether a route works decides which is cheaper
	FindOut   ActionKind = "find out"   // an open case says what to test or mend next
	OpenUp    ActionKind = "open up"    // a zone hides money
	Ask       ActionKind = "ask"        // a wait may be over
	Work      ActionKind = "work"       // a job is ready
)

// base is the rank of a kind; what is at stake adds up to 90 within it.
var base = map[ActionKind]float64{
	MakeSafe: 1000, Begin: 900, WriteDown: 800, Prove: 700, Plan: 600, Estimate: 600,
	Choose: 500, TestFirst: 500, FindOut: 500, OpenUp: 500, Ask: 400, Work: 300,
}

// Action is one thing to do next.
type Action struct {
	Kind  ActionKind
	Title string // "Choose the route of \"front-left upright\""
	Why   Phrase
	// Stake is the money that it is about, in the rebuild's currency; 0 none.
	Stake  float64
	Target Target
	// Hazard is the key of the caution that must stand beside the action, see
	// [knowledge.CautionFor]; Hazards are all of them. Empty: none.
	Hazard  string
	Hazards []string
	Rank    float64 // larger comes first
	Working working.Working

	zone   string
	safety rebuild.SafetyClass
	welded bool
}

// mostActions bounds the list: nobody reads on.
const mostActions = 30

// mostOfKind keeps one kind from crowding out the others.
const mostOfKind = 3

// glance is how many actions are seen at a glance; of one kind at most
// mostAtGlance stand among them, so that four dangers do not hide the bill that
// nobody wrote down.
const glance, mostAtGlance = 5, 2

// Next says what to do next and why, the most urgent first. What the open cases ask
// for stands on it once it is known; until then it says that they are being weighed.
func (w *Workshop) Next(ctx context.Context, r *rebuild.Rebuild) ([]Action, error) {
	list, _, err := w.next(ctx, r)
	return list, err
}

// next is the list, and whether the open cases are weighed on it.
func (w *Workshop) next(ctx context.Context, r *rebuild.Rebuild) (list []Action, whole bool, err error) {
	today := w.today()
	if hasOpenCase(r) {
		w.weigh(r) // meanwhile the rest is worked out
	}
	o, err := w.Forecast(ctx, r)
	if err != nil {
		return nil, false, err
	}
	p, err := w.planAtOnce(ctx, r)
	if err != nil {
		return nil, false, err
	}
	var cases []*Diagnosis
	if whole = true; hasOpenCase(r) {
		if cases, whole, err = w.casesSoon(ctx, r); err != nil {
			return nil, false, err
		}
	}
	list, err = w.actions.get(ctx, w.life, r, asOf(today, whole), func(context.Context) ([]Action, error) {
		return actionsBy(r, &o, p, today, !whole, cases...), nil
	})
	return list, whole, err
}

// asOf keeps answers apart that were given before the open cases were weighed.
func asOf(today string, whole bool) string {
	if whole {
		return today
	}
	return today + ", cases being weighed"
}

func actionsOf(r *rebuild.Rebuild, o *Outlook, today string, cases ...*Diagnosis) []Action {
	return actionsBy(r, o, nil, today, false, cases...)
}

// actionsBy lists what could be done, the work in the order of the plan where there
// is one.
func actionsBy(r *rebuild.Rebuild, o *Outlook, p *WorkPlan, today string, weighing bool, cases ...*Diagnosis) []Action {
	a := adviser{rebuild: r, outlook: o, plan: p, today: today, states: r.FindingStates(), paid: r.Paid(), cases: cases}
	a.danger()
	a.beginning()
	a.writing()
	a.proving()
	a.planning()
	a.choosing()
	a.diagnosing()
	if weighing {
		a.stillWeighed()
	}
	a.opening()
	a.asking()
	a.refitting()
	a.working()
	return ranked(a.actions)
}

// ranked sorts, thins out each kind and adds the cautions.
func ranked(all []Action) []Action {
	sortBy(all, func(a Action) float64 { return -a.Rank })
	seen := map[ActionKind]int{}
	var first, later []Action
	for _, a := range all {
		if seen[a.Kind]++; seen[a.Kind] > mostOfKind {
			continue
		}
		a.warn()
		if len(first) < glance && seen[a.Kind] <= mostAtGlance {
			first = append(first, a)
		} else {
			later = append(later, a)
		}
	}
	out := append(first, later...)
	return out[:min(len(out), mostActions)]
}

// warn names the cautions: of the safety class, of the method, of the zone.
func (a *Action) warn() {
	for _, c := range knowledge.CautionsAt(a.zone, string(a.safety)) {
		a.Hazards = append(a.Hazards, c.Hazard)
	}
	if a.welded && !slices.Contains(a.Hazards, "welding") {
		at := 0
		if a.safety.Critical() {
			at = min(1, len(a.Hazards))
		}
		a.Hazards = slices.Insert(a.Hazards, at, "welding")
	}
	if len(a.Hazards) > 0 {
		a.Hazard = a.Hazards[0]
	}
}

// about is an action on a job, with what its cautions depend on.
func about(kind ActionKind, j *rebuild.Job, title string) Action {
	route, _ := j.Planned()
	return Action{
		Kind: kind, Title: fmt.Sprintf("%s %q", title, j.Title), Target: Target{Page: "job", ID: j.ID},
		zone: j.Zone, safety: j.Safety, welded: route.Method == rebuild.MethodWelded,
	}
}

// adviser collects what could be done.
type adviser struct {
	rebuild *rebuild.Rebuild
	outlook *Outlook
	today   string
	states  map[int64]rebuild.FindingState
	paid    map[int64]int64
	cases   []*Diagnosis // open ones
	plan    *WorkPlan    // nil: none at hand
	actions []Action
}

// add ranks an action within its kind by share, 0 to 1.
func (a *adviser) add(action Action, share float64) {
	action.Rank = base[action.Kind] + 90*min(1, max(0, share))
	a.actions = append(a.actions, action)
}

// shareOf puts a sum beside the doubt about the total: what moves the forecast by
// all of its standard deviation is worth as much as anything can be.
func (a *adviser) shareOf(sum float64) float64 {
	if a.outlook.Total.SD <= 0 {
		return 0
	}
	return sum / (sum + a.outlook.Total.SD)
}

func (a *adviser) money(label string, sum float64) Figure {
	return money(label, sum, a.rebuild.Car.Currency)
}
