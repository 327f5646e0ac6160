package rebuild_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// barred is the whole table of what must not be done to what, written out by hand
// from the rules of the trade rather than taken from the code.
//
// ref: TRADE_SAFETY_BARS whole list
var barred = map[rebuild.SafetyClass]struct {
	methods []rebuild.Method
	kinds   []rebuild.RouteKind
}{
	rebuild.SafetyNone:       {},
	rebuild.SafetyBrake:      {[]rebuild.Method{"bonded", "straighten", "welded"}, []rebuild.RouteKind{"leave"}},
	rebuild.SafetySteering:   {[]rebuild.Method{"bonded", "straighten", "welded"}, []rebuild.RouteKind{"leave"}},
	rebuild.SafetySuspension: {[]rebuild.Method{"bonded", "straighten"}, []rebuild.RouteKind{"leave"}},
	rebuild.SafetyRestraint:  {[]rebuild.Method{"bonded", "straighten", "welded"}, []rebuild.RouteKind{"used", "repair", "recondition", "leave"}},
	rebuild.SafetyStructure:  {[]rebuild.Method{"bonded"}, []rebuild.RouteKind{"leave"}},
	rebuild.SafetyFuel:       {[]rebuild.Method{"bonded"}, []rebuild.RouteKind{"leave"}},
}

// TestBarsOfEveryClass goes through every class, kind and method.
func TestBarsOfEveryClass(t *testing.T) {
	if len(barred) != len(rebuild.SafetyClasses) {
		t.Fatalf("%d classes, %d in the table", len(rebuild.SafetyClasses), len(barred))
	}
	for _, class := range rebuild.SafetyClasses {
		for _, kind := range rebuild.RouteKinds {
			for _, method := range rebuild.Methods {
				want := 0
				if slices.Contains(barred[class].methods, method) {
					want++
				}
				if slices.Contains(barred[class].kinds, kind) {
					want++
				}
				bars := rebuild.Bars(class, rebuild.Route{Kind: kind, Method: method})
				if len(bars) != want {
					t.Errorf("%s, %s, %s: %d bars %+v, want %d", class, kind, method, len(bars), bars, want)
				}
				for _, b := range bars {
					if b.Reason == "" || b.Source == "" {
						t.Errorf("%s, %s, %s: a bar without reason or source", class, kind, method)
					}
				}
			}
		}
	}
}

func TestABarredRouteCannotBeChosen(t *testing.T) {
	cases := []struct {
		class  rebuild.SafetyClass
		kind   rebuild.RouteKind
		method rebuild.Method
		says   string
	}{
		{rebuild.SafetyBrake, rebuild.Repair, rebuild.MethodBonded, "bonded repair"},
		{rebuild.SafetyStructure, rebuild.Repair, rebuild.MethodBonded, "bonded repair"},
		{rebuild.SafetySuspension, rebuild.Repair, rebuild.MethodStraighten, "not straightened"},
		{rebuild.SafetySteering, rebuild.Repair, rebuild.MethodWelded, "not welded"},
		{rebuild.SafetyRestraint, rebuild.Used, rebuild.MethodPlain, "used airbag"},
		{rebuild.SafetyRestraint, rebuild.Repair, rebuild.MethodPlain, "not repaired"},
		{rebuild.SafetyRestraint, rebuild.Recondition, rebuild.MethodPlain, "not reconditioned"},
		{rebuild.SafetyFuel, rebuild.Leave, rebuild.MethodPlain, "cannot be left"},
	}
	for _, c := range cases {
		t.Run(c.says+" on "+string(c.class), func(t *testing.T) {
			r := started(t)
			j := goodJob()
			j.Safety = c.class
			j.Routes[0].Kind, j.Routes[0].Method = c.kind, c.method
			chosen := j
			chosen.Chosen = 1
			if _, err := r.AddJob(chosen); !refused(err, c.says) {
				t.Errorf("added with it chosen: %v", err)
			}
			// Standing there for comparison, unchosen, does no harm.
			r = done(t, r, func() (rebuild.Change, error) { return r.AddJob(j) })
			if _, err := r.ChooseRoute(1, 0, 2); !refused(err, c.says) {
				t.Errorf("chosen: %v", err)
			}
			if route, ok := r.Jobs[0].Planned(); ok {
				t.Errorf("planned with the barred %+v", route)
			}
			// What was chosen while it did no harm holds the class where it was.
			j.Safety = rebuild.SafetyNone
			j.Chosen = 1
			harmless := started(t)
			harmless = done(t, harmless, func() (rebuild.Change, error) { return harmless.AddJob(j) })
			now := harmless.Jobs[0]
			now.Safety = c.class
			if _, err := harmless.EditJob(now); !refused(err, c.says) {
				t.Errorf("class changed under the choice: %v", err)
			}
		})
	}
}

func refused(err error, says string) bool {
	var invalid *rebuild.Invalid
	return errors.As(err, &invalid) && strings.Contains(err.Error(), says)
}
