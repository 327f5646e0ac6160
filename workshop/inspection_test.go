package workshop

import (
	"context"
	"path/filepath"
	"slices"
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

func TestInspectionByPlaceWithChance(t *testing.T) {
	look := func(key string, result rebuild.ItemResult, value *float64) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.Rehearse(rebuild.Rehearsed{Key: key, Result: result, Value: value, At: "2026-06-01T10:00:00Z", By: "Ada"}, key)
		}
	}
	deep, edge := 5.0, 1.6
	r := stand(t, look("left-tyres", rebuild.ItemPass, &deep), look("right-tyres", rebuild.ItemPass, &edge), look("horn", rebuild.ItemFail, nil))
	in, err := InspectionOf(r)
	if err != nil || !in.Known || in.TestName != "MOT test" || in.Reckoned.Looked != 3 || in.Reckoned.Failing != 1 {
		t.Fatalf("%+v (%v)", in.Reckoned, err)
	}
	if l := in.Line("left-tyres"); l.InLimits == nil || *l.InLimits < 0.999 || !strings.Contains(l.Limits[0].Text, "at least 1.6 mm") || !strings.Contains(l.Limits[0].Source, "reg. 27") {
		t.Errorf("left %+v", l)
	}
	if l := in.Line("right-tyres"); l.InLimits == nil || *l.InLimits < 0.45 || *l.InLimits > 0.55 {
		t.Errorf("a figure on the limit is as likely in as out, got %v", l.InLimits)
	}
	order := 0
	for _, p := range in.Parts {
		at := slices.Index(knowledge.InspectionWalk, p.Walk)
		if at < order {
			t.Errorf("%s comes too late", p.Walk)
		}
		order = at
	}
	elsewhere, err := InspectionOf(stand(t, withCar(func(c *rebuild.Car) { c.Jurisdiction = "US" })))
	if err != nil || elsewhere.Known {
		t.Errorf("a list of a place that was not read (%v)", err)
	}
}

func TestTheOfficialTestKeepsTheRehearsalOfThatDay(t *testing.T) {
	look := func(key string, result rebuild.ItemResult) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			i := rebuild.Rehearsed{Key: key, Result: result, At: "2026-06-01T10:00:00Z", By: "Ada"}
			if old := r.RehearsedItem(key); old != nil {
				i.Rev = old.Rev
			}
			return r.Rehearse(i, key)
		}
	}
	test := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		filled, err := TestOf(r, rebuild.OfficialTest{On: "2026-06-10", Result: rebuild.TestFail}, []rebuild.TestedItem{{Key: "horn", Found: rebuild.ItemFail, Text: "silent"}, {Text: "tray loose", Found: rebuild.ItemAdvisory}})
		if err != nil {
			return rebuild.Change{}, err
		}
		return r.AddOfficialTest(filled)
	}
	r := stand(t, look("horn", rebuild.ItemPass), look("view", rebuild.ItemAdvisory), look("battery", rebuild.ItemPass), test, look("horn", rebuild.ItemFail))
	of := OfficialTests(r)[0]
	if !slices.Equal(of.Compared.Missed, []string{"Horn"}) || !slices.Equal(of.Compared.Unlooked, []string{"tray loose"}) || !slices.Equal(of.Compared.Agreed, []string{"Battery and wiring"}) || len(of.Compared.Harsh) != 1 || of.Chance == nil || of.Compared.Surprise == nil {
		t.Errorf("%+v of %+v", of.Compared, of.OfficialTest)
	}
	again, err := TestOf(r, *of.OfficialTest, []rebuild.TestedItem{{Key: "horn", Found: rebuild.ItemFail, Text: "too weak"}})
	if err != nil || len(again.Items) != 3 || again.Items[0].Rehearsed != rebuild.ItemPass || *again.Chance != *of.Chance {
		t.Errorf("edited it forgets what was expected: %+v (%v)", again, err)
	}
}

// A look at an item grows stale by what changes about it afterwards, and what stands
// open about it is named there.
func TestALookGrowsStale(t *testing.T) {
	look := func(key string, result rebuild.ItemResult) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.Rehearse(rebuild.Rehearsed{Key: key, Result: result, At: "2026-06-01T10:00:00Z", By: "Ada"}, key)
		}
	}
	off := func(what, zone, at string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddStripItem(rebuild.StripItem{At: at, What: what, Zone: zone})
		}
	}
	found := func(what, zone, on string, how rebuild.Severity) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddFinding(rebuild.Finding{Zone: zone, What: what, HowFound: rebuild.Seen, Severity: how, On: on})
		}
	}
	failed := func(on string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			s := CheckSettings{Quantity: "tyre-tread", Name: "Tread of a tyre", Which: "front left", Unit: "mm", Form: "mean"}
			return r.AddEvidence(rebuild.Evidence{On: on, Instrument: rebuild.InstrumentCheck, Title: s.Title(), Settings: s.JSON(), Verdict: rebuild.VerdictFail, Why: "so", Engine: "check 1"})
		}
	}
	undone := func(title string, class rebuild.SafetyClass) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddJoint(rebuild.Joint{Title: title, Safety: class, Count: 1, Locking: rebuild.LockNone, Undone: []rebuild.Undoing{{At: "2026-06-02T08:00:00Z", Why: "looked"}}})
		}
	}
	for _, c := range []struct {
		name, item string
		steps      []step
		stale      string // empty: it still counts
		open       int
		chance     float64 // 0: that of a plain pass
	}{
		{"nothing happened", "suspension", nil, "", 0, 0},
		{"an arm came off after", "suspension", []step{off("Lower arm", "front-left-corner", "2026-06-01T12:00:00Z")}, `"Lower arm" came off`, 0, 0.88},
		{"it came off before", "suspension", []step{off("Lower arm", "front-left-corner", "2026-06-01T09:00:00Z")}, "", 0, 0},
		{"something else came off", "suspension", []step{off("Rear bumper", "rear-bumper", "2026-06-02T12:00:00Z")}, "", 0, 0},
		{"a joint undone", "steering-joints", []step{undone("Left track rod end nut", rebuild.SafetySteering)}, "was undone on 2026-06-02", 0, 0.92},
		{"a small finding the day after", "left-tyres", []step{found("Nick in the tyre", "front-left-corner", "2026-06-02", rebuild.Minor)}, "Nick in the tyre", 1, 0.94},
		{"a small finding that was known", "left-tyres", []step{found("Nick in the tyre", "front-left-corner", "2026-05-02", rebuild.Minor)}, "", 1, 0},
		{"a danger that was known", "left-tyres", []step{found("Tyre cut to the cords", "front-left-corner", "2026-05-02", rebuild.Danger)}, "", 1, 0.05},
		{"on the other side", "right-tyres", []step{found("Tyre cut to the cords", "front-left-corner", "2026-06-02", rebuild.Danger)}, "", 0, 0},
		{"a measurement failed", "left-tyres", []step{failed("2026-06-03")}, "failed on 2026-06-03", 0, 0.94},
		{"it failed on the other side", "right-tyres", []step{failed("2026-06-03")}, "", 0, 0},
		{"an open job", "horn", []step{aJob("Renew the horn", 10)}, "", 1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := stand(t, append([]step{look(c.item, rebuild.ItemPass)}, c.steps...)...)
			in, err := InspectionOf(r)
			if err != nil {
				t.Fatal(err)
			}
			l := in.Line(c.item)
			if l.Counts() != (c.stale == "") || !strings.Contains(strings.Join(l.Stale, "; "), c.stale) || len(l.Open) != c.open {
				t.Errorf("stale %q, open %+v", l.Stale, l.Open)
			}
			want := c.chance
			if want == 0 {
				want = 0.99
			}
			if l.Chance != want {
				t.Errorf("chance %g (%s), want %g", l.Chance, l.From, want)
			}
			things := inspectionThings(r)
			unseen := len(knowledge.InspectionItems()) - 1
			if c.stale != "" {
				unseen++
			}
			if things[0].Title != count(unseen, "item", "items") {
				t.Errorf("at the gate %q, want %d not looked at", things[0].Title, unseen)
			}
		})
	}
}
