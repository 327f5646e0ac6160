package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func TestCarIsChanged(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/car")), 200, "Category S", "Tell a buyer", "Is this car allowed back on the road", `value="0.25"`, `name="currency"`)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "name": {"The blue one"}, "year": {"2017"}, "ceiling": {"38,000"}, "hours_per_week": {"7,5"}, "note": {"a\r\nb"}}), http.StatusSeeOther)
	car := g.now().Car
	if car.Name != "The blue one" || car.Year != 2017 || car.Ceiling != amount.New(3_800_000, "GBP") || car.HoursPerWeek != 7.5 || car.Note != "a\nb" {
		t.Errorf("kept %+v", car)
	}
	if car.Category != "S" || car.Correlation != 0.25 {
		t.Errorf("what the form had not was changed: %+v", car)
	}
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"1"}, "name": {""}, "year": {"soon"}}), http.StatusUnprocessableEntity, `value="soon"`, "is not a whole number", `value="38000.00"`)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"1"}, "name": {"x"}, "bought_on": {"31/02/26"}}), http.StatusUnprocessableEntity, "is not a date")
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "name": {"Old tab"}}), http.StatusConflict, "The blue one", "Old tab")
}

func TestCarIsPutAwayAndTakenOut(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "shelved": {"1"}}), http.StatusSeeOther)
	if !g.now().Car.Shelved {
		t.Error("not put away")
	}
	g.wants(g.get(g.path("/car")), 200, "Back into the yard")
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"1"}, "shelved": {"0"}}), http.StatusSeeOther)
	if car := g.now().Car; car.Shelved || car.Name != "Norvane Skua" {
		t.Errorf("kept %+v", car)
	}
}

func TestUnknownCategoryIsNotExplained(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "category": {"Q7"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/car")), 200, "What category Q7 means in this jurisdiction is not known here", "!Tell a buyer")
}

func TestStageGoesOn(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/stages/2")
	g.wants(g.post(at, url.Values{"rev": {"0"}, "state": {"done"}, "note": {"battery out"}}), http.StatusSeeOther)
	if s := g.now().Stages[1]; s.State != rebuild.StageDone || s.DoneOn != "2026-05-04" || s.Note != "battery out" {
		t.Errorf("kept %+v", s)
	}
	g.wants(g.post(at, url.Values{"rev": {"1"}, "state": {"under way"}, "done_on": {"2026-05-04"}}), http.StatusSeeOther)
	if s := g.now().Stages[1]; s.State != rebuild.StageUnderWay || s.DoneOn != "" {
		t.Errorf("kept %+v", s)
	}
	g.wants(g.post(at, url.Values{"rev": {"2"}, "state": {"done"}, "done_on": {"soon"}}), http.StatusUnprocessableEntity, "is not a date", `value="soon"`)
	g.wants(g.post(at, url.Values{"rev": {"0"}, "state": {"ahead"}}), http.StatusConflict)
	g.wants(g.get(at), http.StatusSeeOther)
	g.wants(g.get(g.path("/stages/10")), http.StatusNotFound)
}

func TestZoneShowsItsHiddenDamageWithTheWorking(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/zones/left-sill")
	g.wants(g.get(at), 200, "Nothing is set aside", "Load-bearing body parts", "Not looked at yet")
	fields := url.Values{
		"rev": {"0"}, "open_share": {"50"}, "hidden_expected": {"3"},
		"hidden_cost.low": {""}, "hidden_cost.likely": {"400"}, "hidden_cost.high": {""}, "note": {"foam in it"},
	}
	g.wants(g.post(at, fields), http.StatusSeeOther)
	z := g.now().Zone("left-sill")
	if z.OpenShare != 0.5 || z.HiddenExpected != 3 || z.HiddenCost != uncertain.Certain(400) || z.Note != "foam in it" {
		t.Errorf("kept %+v", z)
	}
	// 3 faults, half open: 1.5 left, 600 together, none with chance e^-1.5 = 22 %.
	g.wants(g.get(g.path("/zones/13")), 200, "1.5 faults", "£600", "22\u00a0%", "Show the working", "KLUGMAN_LOSS_MODELS")
	g.wants(g.post(at, url.Values{"rev": {"1"}, "hidden_expected": {"2"}, "hidden_cost.low": {"9"}, "hidden_cost.likely": {"5"}, "hidden_cost.high": {"7"}}), http.StatusUnprocessableEntity, "the cost of one hidden fault", `value="9"`)
	g.wants(g.post(at, url.Values{"rev": {"0"}, "open_share": {"100"}}), http.StatusConflict)
}

// The sum of a Poisson number of costs that are all the same has variance
// lambda c^2 (Klugman, Panjer and Willmot, compound models).
func TestHiddenDamageOfEqualCosts(t *testing.T) {
	z := &rebuild.Zone{Number: 1, OpenShare: 0.25, HiddenExpected: 4, HiddenCost: uncertain.Certain(200)}
	h := hiddenDamageOf(z, "GBP")
	steps := map[string]float64{}
	for _, s := range h.Working {
		steps[s.What] = s.Value
	}
	for what, want := range map[string]float64{
		"Faults still to expect": 3, "Mean cost of one": 200, "Cost to expect": 600,
		"Spread of that (standard deviation)": 200 * math.Sqrt(3), "Chance that nothing more is found": 100 * math.Exp(-3),
	} {
		if got, ok := steps[what]; !ok || math.Abs(got-want) > 1e-9*want {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	if none := hiddenDamageOf(&rebuild.Zone{Number: 1, OpenShare: 1, HiddenExpected: 4}, "GBP"); none.Left != 0 || none.Cost != 0 || none.None != 1 || none.Working != nil {
		t.Errorf("an open zone hides %+v", none)
	}
}

func TestZoneLookedAtFromOutside(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/findings?zone=roof")), 200, "Looked from outside: nothing found", "Roof: not looked at")
	w := g.post(g.path("/zones/roof"), url.Values{"rev": {"0"}, "open_share": {"10"}, "to": {"findings"}})
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(g.path("/findings?zone=roof")), 200, "Roof: nothing found", "!Looked from outside: nothing found")
}

// A form that was refused still tells of what was changed while it was open.
func TestRefusedFormKeepsItsRevision(t *testing.T) {
	g := newSurveyRig(t)
	id := g.find(rebuild.Finding{Zone: "cabin", What: "Stain"})
	cabin, finding := g.path("/zones/cabin"), g.path(fmt.Sprintf("/findings/%d", id))
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "name": {"Theirs"}}), http.StatusSeeOther)
	g.wants(g.post(cabin, url.Values{"rev": {"0"}, "note": {"Theirs"}}), http.StatusSeeOther)
	g.wants(g.post(finding, asPosted("Theirs", "form", "edit", "rev", "0")), http.StatusSeeOther)
	for _, c := range []struct {
		at         string
		wrong, put url.Values
	}{
		{g.path("/car"), url.Values{"year": {"soon"}}, url.Values{"year": {"2017"}}},
		{cabin, url.Values{"hidden_expected": {"some"}}, url.Values{"hidden_expected": {"2"}}},
		{finding, url.Values{"form": {"dismiss"}}, url.Values{"form": {"dismiss"}, "dismissed": {"a shadow"}}},
	} {
		c.wrong.Set("rev", "0")
		page := g.post(c.at, c.wrong)
		g.wants(page, http.StatusUnprocessableEntity, `name="rev" value="0"`)
		c.put.Set("rev", "0")
		g.wants(g.post(c.at, c.put), http.StatusConflict, "Theirs")
	}
}
