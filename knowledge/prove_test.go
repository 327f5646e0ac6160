package knowledge

import (
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// TestProofDataFollowsTheBook holds the keys in the lists of gates, shakedown and
// inspection to those of the book.
func TestProofDataFollowsTheBook(t *testing.T) {
	var stages []rebuild.ShakedownStage
	for _, s := range ShakedownPlan() {
		stages = append(stages, rebuild.ShakedownStage(s.Key))
	}
	if !slices.Equal(stages, rebuild.ShakedownStages) {
		t.Errorf("the plan has the stages %v, the book %v", stages, rebuild.ShakedownStages)
	}
	for _, r := range GateRules() {
		for _, g := range r.Gates {
			if !slices.Contains(rebuild.Gates, rebuild.Gate(g)) {
				t.Errorf("%s: the book has no gate %q", r.Rule, g)
			}
		}
		for _, c := range r.Classes {
			if c != "wheel" && !slices.Contains(rebuild.SafetyClasses, rebuild.SafetyClass(c)) {
				t.Errorf("%s: the book has no class %q", r.Rule, c)
			}
		}
	}
	for _, m := range append(MustDosFor("UK"), MustDosFor("US")...) {
		for _, j := range m.Jurisdictions {
			if !slices.Contains(rebuild.Jurisdictions, j) {
				t.Errorf("%s: the book has no jurisdiction %q", m.Key, j)
			}
		}
	}
}

// TestEveryPlaceIsAskedForAPeriodicTestOnce holds that no jurisdiction is left out
// and none asked twice.
func TestEveryPlaceIsAskedForAPeriodicTestOnce(t *testing.T) {
	for _, j := range rebuild.Jurisdictions {
		n := 0
		for _, m := range MustDosFor(j) {
			if m.Key == "tested" || m.Key == "tested-uk" {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s is asked %d times for its periodic test", j, n)
		}
	}
}

// TestInspectionLimitsArePrinted holds limits to the published figures, by the
// checks that the items name.
func TestInspectionLimitsArePrinted(t *testing.T) {
	cases := []struct {
		item, place, firstUsed string
		lower, upper           float64 // 0: none
		source                 string
	}{
		{"left-tyres", "UK", "2012-05-01", 1.6, 0, "Construction and Use Regulations 1986, reg. 27"},
		{"service-brake", "UK", "2012-05-01", 58, 0, "MOT manual 1.2.2"},
		{"service-brake", "UK", "2008-05-01", 50, 0, "MOT manual 1.2.2"},
		{"service-brake", "IE", "2012-05-01", 58, 0, "Directive 2014/45/EU annex I 1.2.2"},
		// What 41(4) of the StVZO asks for (5.0 m/s2) is of the type; the periodic test goes by the directive.
		{"service-brake", "DE", "2012-05-01", 58, 0, "Directive 2014/45/EU annex I 1.2.2"},
		{"brake-balance", "UK", "2012-05-01", 0, 30, "MOT manual 1.2.1"},
		{"exhaust-idle", "UK", "2012-05-01", 0, 0.3, "Construction and Use Regulations 1986, sch. 7B"},
	}
	for _, c := range cases {
		item, _ := InspectionItemFor(c.item)
		check, ok := CheckFor(item.CheckAt(c.place))
		limits := check.LimitsFor(c.place, "", c.firstUsed)
		if !ok || len(limits) != 1 {
			t.Errorf("%s at %s: %d limits", c.item, c.place, len(limits))
			continue
		}
		if l := limits[0]; valueOr0(l.Lower) != c.lower || valueOr0(l.Upper) != c.upper {
			t.Errorf("%s at %s: %g to %g, but %s has %g to %g", c.item, c.place, valueOr0(l.Lower), valueOr0(l.Upper), c.source, c.lower, c.upper)
		}
	}
}

func valueOr0(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

func TestInspectionDataIsHeld(t *testing.T) {
	good := InspectionItems()[0]
	bend := func(f func(*InspectionItem)) []InspectionItem {
		it := good
		f(&it)
		return []InspectionItem{it}
	}
	for name, list := range map[string][]InspectionItem{
		"no such place":  bend(func(it *InspectionItem) { it.Walk = "roof" }),
		"out of order":   {InspectionItems()[20], good},
		"no chance":      bend(func(it *InspectionItem) { it.Unseen = 0 }),
		"fails nothing":  bend(func(it *InspectionItem) { it.Fails = nil }),
		"no such check":  bend(func(it *InspectionItem) { it.Check = "weight" }),
		"no such hazard": bend(func(it *InspectionItem) { it.Hazards = []string{"dogs"} }),
		"a limit bare":   bend(func(it *InspectionItem) { it.Limits = []InspectionLimit{{Text: "x"}} }),
		"no source":      bend(func(it *InspectionItem) { it.Refs = nil }),
	} {
		if checkInspection(list) == nil {
			t.Errorf("%s was taken", name)
		}
	}
}

// TestInspectionZonesAreThoseOfTheBook holds the zones that items name to those there
// are.
func TestInspectionZonesAreThoseOfTheBook(t *testing.T) {
	for _, it := range InspectionItems() {
		for _, zone := range it.About.Zones {
			if !slices.ContainsFunc(rebuild.ZonePlaces[:], func(z rebuild.ZonePlace) bool { return z.Key == zone }) {
				t.Errorf("%s: the book has no zone %q", it.Key, zone)
			}
		}
	}
}

// TestWhatBelongsToAnItem walks things of a book.
func TestWhatBelongsToAnItem(t *testing.T) {
	for _, c := range []struct {
		item, name, zone string
		want             bool
	}{
		{"left-wheels", "Front left wheel bolts", "", true},
		{"right-wheels", "Front left wheel bolts", "", false},
		{"left-wheels", "Wheel nuts", "front-right-corner", false},
		{"left-wheels", "Wheel nuts, all", "", true},
		{"left-tyres", "Cut in the side wall of the tyre", "rear-left-corner", true},
		{"suspension", "Lower arm", "", true},
		{"suspension", "Wiper arm", "", false},
		{"front-body", "Crease", "bonnet", true},
		{"front-body", "Crease", "", false},
		{"front-body", "Crease", "boot", false},
		{"horn", "Low horn silent", "front-bumper", true},
		{"service-brake", "Brake hose pulled", "", true},
		{"structure", "Left sill cracked", "", true},
		{"bonnet-leaks", "Coolant hose scuffed", "engine-bay", true},
	} {
		it, ok := InspectionItemFor(c.item)
		if !ok {
			t.Fatal(c.item)
		}
		if got := it.About.Holds(NameOf(c.name, c.zone, FaultClasses(c.name))); got != c.want {
			t.Errorf("%s and %q in %q: %v, want %v", c.item, c.name, c.zone, got, c.want)
		}
	}
}

// No stage of the first drives asks for the hands off the steering wheel.
func TestTheHandsStayOnTheWheel(t *testing.T) {
	for _, stage := range ShakedownPlan() {
		for _, do := range stage.Do {
			for _, words := range []string{"let the wheel go", "let go of the wheel", "hands off", "hand off"} {
				if strings.Contains(strings.ToLower(do), words) {
					t.Errorf("%s: %q", stage.Key, do)
				}
			}
		}
	}
}
