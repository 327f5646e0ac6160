package workshop

import (
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// What was never done is not proven either: a book with one scratch in it, or with
// nothing, does not look like a car that is nearly ready.
func TestWhatWasNeverDoneIsNotProven(t *testing.T) {
	scratch := aFinding("scratch", rebuild.Cosmetic, false)
	said := func(r *rebuild.Rebuild) string {
		told := telling{BuildFile: &BuildFile{Rebuild: r}, r: r, whole: r, today: today}
		var all []string
		for _, p := range told.unproven() {
			all = append(all, p.items...)
		}
		return strings.Join(all, "\n")
	}
	empty, one := said(stand(t)), said(stand(t, scratch))
	for _, want := range []string{
		"24 of 24 zones were never opened", "no official test is entered", "No stage of the shakedown was driven", "Road test: not passed", "Hand-over: not passed",
		"the survey is not finished", "Whoever drives it is insured", "items of the inspection: not looked at", "no measurement is kept",
	} {
		if !strings.Contains(empty, want) || !strings.Contains(one, want) {
			t.Errorf("%q is not said:\n%s", want, one)
		}
	}
	if !strings.Contains(empty, "nothing is recorded of this car") || strings.Contains(one, "nothing is recorded of this car") {
		t.Errorf("of an empty book: %s", empty)
	}
	done := said(stand(t, scratch, surveyed, category("N"), confirmedAll, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.PassGate(rebuild.GatePass{Gate: rebuild.GateRoadTest, At: "2026-06-01T10:00:00Z", By: "Ada"})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddOfficialTest(rebuild.OfficialTest{On: "2026-06-01", Result: rebuild.TestPass})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		z := r.Zones[0]
		z.OpenShare = 1
		return r.EditZone(z)
	}))
	for _, gone := range []string{"no official test", "Road test", "survey", "insured", "of the inspection", "Front bumper"} {
		if strings.Contains(done, gone) {
			t.Errorf("%q is still said:\n%s", gone, done)
		}
	}
	if !strings.Contains(done, "23 of 24 zones were never opened: Bonnet") {
		t.Error(done)
	}
	if stopped := said(stand(t, aFinding("no brakes", rebuild.Danger, true))); !strings.Contains(stopped, "Road test: stopped, ") {
		t.Error(stopped)
	}
	if howManyPoints(1) != "point not proven (section 2)" || howManyPoints(2) != "points not proven (section 2)" {
		t.Error("one point, two points")
	}
}
