package workshop

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
)

func rehearsed(key string, result rebuild.ItemResult, value *float64) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.Rehearse(rebuild.Rehearsed{Key: key, Result: result, Value: value, At: "2026-06-01T10:00:00Z", By: "Ada"}, key)
	}
}

// allLooked looks at every item; the gases of an engine that the car has not do not
// apply.
func allLooked(none ...string) []step {
	var steps []step
	for _, it := range knowledge.InspectionItems() {
		result := rebuild.ItemPass
		for _, key := range none {
			if it.Key == key {
				result = rebuild.ItemNone
			}
		}
		steps = append(steps, rehearsed(it.Key, result, nil))
	}
	return steps
}

// A car whose engine has no such gases is not kept from its inspection by them, and
// they take nothing from its chance; an item that every car has is not left out.
func TestWhatDoesNotApplyStandsNotAgainstTheInspection(t *testing.T) {
	unseen := func(r *rebuild.Rebuild) string {
		t.Helper()
		lines, err := gatesOf(r, today)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range lines[2].Against {
			if a.Rule == "inspection-item-not-looked-at" {
				return a.Text
			}
		}
		return ""
	}
	diesel := stand(t, allLooked("exhaust-idle", "exhaust-fast", "lambda")...)
	if text := unseen(diesel); text != "" {
		t.Error(text)
	}
	in, err := InspectionOf(diesel)
	if l := in.Line("lambda"); err != nil || l.Chance != 1 || in.Reckoned.Looked != len(knowledge.InspectionItems()) || in.Reckoned.Failing != 0 {
		t.Errorf("%+v (%v)", l, err)
	}
	if text := unseen(stand(t, allLooked("service-brake")...)); !strings.Contains(text, "1 item of the rehearsal was not looked at") {
		t.Errorf("every car has brakes, but: %q", text)
	}
}

// A figure is held against a limit for some cars only by somebody who says that this
// is one.
func TestALimitOfAKindOfCarIsNotTakenForAny(t *testing.T) {
	co := 3.0
	old := withCar(func(c *rebuild.Car) { c.Jurisdiction = "DE" })
	used := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		a := r.Appraisal
		a.FirstUsed = "1985-05-01"
		return r.EditAppraisal(a, today)
	}
	in, err := InspectionOf(stand(t, old, used, rehearsed("exhaust-fast", rebuild.ItemPass, &co), rehearsed("lambda", rebuild.ItemPass, &co)))
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"exhaust-fast", "lambda"} {
		if l := in.Line(key); l.InLimits != nil {
			t.Errorf("%s of a car of 1985 has a chance of %g to be within the limits of a catalyst", key, *l.InLimits)
		}
	}
}

// That an item does not apply goes through an export and comes back.
func TestNotApplyingIsExported(t *testing.T) {
	ctx := context.Background()
	w, id := inABook(t, rehearsed("lambda", rebuild.ItemNone, nil))
	out, in := filepath.Join(t.TempDir(), "out"), filepath.Join(t.TempDir(), "in")
	if err := w.Book().Export(ctx, out); err != nil {
		t.Fatal(err)
	}
	if err := store.Import(ctx, out, in, store.Options{}); err != nil {
		t.Fatal(err)
	}
	into, err := store.Open(ctx, in, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer into.Close()
	back, err := into.Load(ctx, id)
	if err != nil || back.RehearsedItem("lambda") == nil || back.RehearsedItem("lambda").Result != rebuild.ItemNone {
		t.Errorf("%+v (%v)", back, err)
	}
}
