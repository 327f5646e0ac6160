package rebuild_test

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func TestApplyChecksWhatWasThere(t *testing.T) {
	r := furnished(t)
	old := r.Findings[0]
	older := old
	older.Rev = 7
	other := r.Findings[1]
	var conflict *rebuild.Conflict
	for name, e := range map[string]rebuild.Edit{
		"another revision":     {Before: older, After: older},
		"added twice":          {After: old},
		"deleted twice":        {Before: rebuild.Finding{ID: 99}},
		"the car once more":    {After: goodCar()},
		"an older car":         {Before: rebuild.Car{Rev: 9}, After: goodCar()},
		"a zone that is there": {After: rebuild.Zone{Number: 1}},
		"an appraisal more":    {After: rebuild.NewAppraisal()},
	} {
		if _, err := r.Apply(rebuild.Change{Edits: []rebuild.Edit{e}}); !errors.As(err, &conflict) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, e := range map[string]rebuild.Edit{
		"nothing":           {},
		"another number":    {Before: old, After: other},
		"another kind":      {Before: old, After: rebuild.Entry{ID: old.ID}},
		"the car taken":     {Before: r.Car},
		"appraisal taken":   {Before: r.Appraisal},
		"a zone taken away": {Before: r.Zones[0]},
	} {
		if _, err := r.Apply(rebuild.Change{Edits: []rebuild.Edit{e}}); err == nil || errors.As(err, &conflict) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestApplyLeavesTheVersionBeforeAlone(t *testing.T) {
	r := furnished(t)
	before, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []func() (rebuild.Change, error){
		func() (rebuild.Change, error) { return r.DeleteFinding(1, 0) },
		func() (rebuild.Change, error) { return r.DeleteJob(3, 0) },
		func() (rebuild.Change, error) { return r.AddEntries(goodEntry()) },
		func() (rebuild.Change, error) { return r.ChooseRoute(3, 0, 4) },
		func() (rebuild.Change, error) { z := r.Zones[0]; z.OpenShare = 1; return r.EditZone(z) },
	} {
		done(t, r, f)
		if after, err := json.Marshal(r); err != nil || string(after) != string(before) {
			t.Fatalf("it was altered (%v)", err)
		}
	}
}

// TestRevisionsOnlyGrow goes to and fro between two states: no revision comes
// twice, so that a tab opened in between is always told.
func TestRevisionsOnlyGrow(t *testing.T) {
	r := furnished(t)
	f := r.Findings[0]
	f.What = "hub and arm bent"
	first, err := r.EditFinding(f)
	if err != nil {
		t.Fatal(err)
	}
	r = applied(t, r, first)
	seen := map[int]bool{0: true, 1: true}
	last := first
	for i := range 6 {
		// Every other time the way back is taken from the first change, as an undo
		// of it from the journal would.
		from := last
		if i%2 == 0 {
			from = first
		}
		back, err := from.Inverse(r)
		if err != nil {
			t.Fatal(err)
		}
		r, last = applied(t, r, back), back
		if rev := r.Findings[0].Rev; seen[rev] {
			t.Fatalf("revision %d came twice", rev)
		}
		seen[r.Findings[0].Rev] = true
	}
}

func TestInverseIsRefused(t *testing.T) {
	base := furnished(t)
	add := func(r *rebuild.Rebuild, f func(*rebuild.Rebuild) (rebuild.Change, error)) (rebuild.Change, *rebuild.Rebuild) {
		t.Helper()
		c, err := f(r)
		if err != nil {
			t.Fatal(err)
		}
		return c, applied(t, r, c)
	}
	var conflict *rebuild.Conflict

	finding, r := add(base, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddFinding(goodFinding()) })
	edited := *r.Finding(8)
	edited.What = "other words"
	_, now := add(r, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditFinding(edited) })
	if _, err := finding.Inverse(now); !errors.As(err, &conflict) || conflict.ID != 8 || conflict.Now == nil {
		t.Errorf("changed since: %v", err)
	}
	j := goodJob()
	j.Findings = []int64{8}
	job, now := add(r, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddJob(j) })
	if _, err := finding.Inverse(now); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindJob {
		t.Errorf("a job has come to settle it: %v", err)
	}
	e := goodEntry()
	e.JobID = 9
	_, paid := add(now, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEntries(e) })
	if _, err := job.Inverse(paid); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindEntry {
		t.Errorf("a cost has come to belong to it: %v", err)
	}
	noJob, now := add(now, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteJob(9, 0) })
	_, now = add(now, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteFinding(8, 0) })
	if _, err := noJob.Inverse(now); !errors.As(err, &conflict) || err.Error() != "the finding 8 is not there any more" {
		t.Errorf("what it settled is gone: %v", err)
	}
	noEntry, now := add(base, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteEntry(6, 0) })
	_, now = add(now, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteJob(3, 0) })
	if _, err := noEntry.Inverse(now); !errors.As(err, &conflict) || conflict.Kind != rebuild.KindJob {
		t.Errorf("the job of a cost is gone: %v", err)
	}
}

func TestInverseOfTheStartAndOfTheCurrency(t *testing.T) {
	start, err := rebuild.New(goodCar())
	if err != nil {
		t.Fatal(err)
	}
	r := applied(t, &rebuild.Rebuild{ID: 1}, start)
	if _, err := start.Inverse(r); !refused(err, "the start of a rebuild") {
		t.Errorf("the start: %v", err)
	}
	car := r.Car
	car.Currency, car.Ceiling, car.HourValue = "EUR", amount.Amount{}, amount.Amount{}
	toEuro, err := r.EditCar(car)
	if err != nil {
		t.Fatal(err)
	}
	r = applied(t, r, toEuro)
	if _, err := toEuro.Inverse(r); err != nil {
		t.Errorf("the currency before any money: %v", err)
	}
	e := goodEntry()
	e.Amount, e.Tax = amount.New(5, "EUR"), amount.Amount{}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddEntries(e) })
	_, err = toEuro.Inverse(r)
	complains(t, err, "currency", "kept in EUR")
}

func TestTidyForms(t *testing.T) {
	r := started(t)
	f := goodFinding()
	f.Photos = []rebuild.Attachment{}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddFinding(f) })
	j := goodJob()
	j.HoursSpent, j.Routes[0].Cost.Low, j.Findings = math.Copysign(0, -1), math.Copysign(0, -1), []int64{}
	r = done(t, r, func() (rebuild.Change, error) { return r.AddJob(j) })
	if r.Findings[0].Photos != nil || r.Jobs[0].Findings != nil || math.Signbit(r.Jobs[0].HoursSpent) || math.Signbit(r.Jobs[0].Routes[0].Cost.Low) {
		t.Errorf("kept %+v, %+v", r.Findings[0], r.Jobs[0])
	}
	if !math.Signbit(j.Routes[0].Cost.Low) {
		t.Error("the caller's own job was altered")
	}
	if again := r.Tidy(); !reflect.DeepEqual(again, r) {
		t.Error("what is tidy was tidied")
	}
}

func TestItemsComeBackFromJSON(t *testing.T) {
	r := tightened(t, func(*rebuild.Joint, *rebuild.Tightening) {})
	for _, item := range []rebuild.Item{r.Car, r.Zones[3], r.Stages[2], r.Findings[0], r.Jobs[0], r.Entries[0], r.Tools[0], r.Joints[0], r.Strip[1]} {
		data, err := json.Marshal(item)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := rebuild.DecodeItem(item.ItemKind(), data); err != nil || !reflect.DeepEqual(again, item) {
			t.Errorf("%s came back as %+v (%v)", item.ItemKind(), again, err)
		}
	}
	if _, err := rebuild.DecodeItem("hoist", []byte("{}")); err == nil || !strings.Contains(err.Error(), "hoist") {
		t.Errorf("an unknown kind: %v", err)
	}
	if _, err := rebuild.DecodeItem(rebuild.KindJob, []byte("{")); err == nil {
		t.Error("half an item was read")
	}
}

// TestThereAndBack applies random changes, each taken back at once and redone,
// and watches that content returns and that no number is given twice.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := started(t)
		given := map[int64]string{}
		for range rapid.IntRange(1, 20).Draw(rt, "steps") {
			c, err := someChange(rt, r)
			if err != nil {
				continue
			}
			next, err := r.Apply(c)
			if err != nil {
				rt.Fatal(err)
			}
			watchNumbers(rt, given, r, next)
			back, err := c.Inverse(next)
			if err != nil {
				rt.Fatalf("the way back of %q: %v", c.What, err)
			}
			before, err := next.Apply(back)
			if err != nil {
				rt.Fatal(err)
			}
			if got, want := text(rt, before), text(rt, r); got != want {
				rt.Fatalf("there and back of %q gives\n%s\nnot\n%s", c.What, got, want)
			}
			if err := before.Validate(); err != nil {
				rt.Fatal(err)
			}
			forth, err := back.Inverse(before)
			if err != nil {
				rt.Fatalf("once more %q: %v", c.What, err)
			}
			r, err = before.Apply(forth)
			if err != nil {
				rt.Fatal(err)
			}
			if got, want := text(rt, r), text(rt, next); got != want {
				rt.Fatalf("redone %q gives\n%s\nnot\n%s", c.What, got, want)
			}
			if rapid.Bool().Draw(rt, "stay before it") {
				if back, err = forth.Inverse(r); err != nil {
					rt.Fatal(err)
				}
				if r, err = r.Apply(back); err != nil {
					rt.Fatal(err)
				}
			}
		}
	})
}

// watchNumbers holds that a number which is new in next was never given before,
// not even to something that was taken back.
func watchNumbers(rt *rapid.T, given map[int64]string, r, next *rebuild.Rebuild) {
	had := map[int64]bool{}
	for id := range numbers(r) {
		had[id] = true
	}
	for id, what := range numbers(next) {
		if had[id] {
			continue
		}
		if before, twice := given[id]; twice {
			rt.Fatalf("the number %d of %s was %s before", id, what, before)
		}
		given[id] = what
	}
}

func numbers(r *rebuild.Rebuild) map[int64]string {
	all := map[int64]string{}
	for _, f := range r.Findings {
		all[f.ID] = "finding " + f.What
	}
	for _, j := range r.Jobs {
		all[j.ID] = "job " + j.Title
		for _, route := range j.Routes {
			all[route.ID] = "route " + route.Name
		}
	}
	for _, e := range r.Entries {
		all[e.ID] = "entry " + e.What
	}
	for _, s := range r.Strip {
		all[s.ID] = "strip item " + s.What
	}
	for _, j := range r.Joints {
		all[j.ID] = "joint " + j.Title
	}
	for _, x := range r.Tools {
		all[x.ID] = "tool " + x.Title
	}
	return all
}

// text is a rebuild's content: all but revisions, version and next number.
func text(rt *rapid.T, r *rebuild.Rebuild) string {
	bare := *r
	bare.Version, bare.NextID = 0, 0
	data, err := json.Marshal(bare)
	if err != nil {
		rt.Fatal(err)
	}
	var value any
	if err := json.Unmarshal(data, &value); err != nil {
		rt.Fatal(err)
	}
	dropRevisions(value)
	if data, err = json.Marshal(value); err != nil {
		rt.Fatal(err)
	}
	return string(data)
}

func dropRevisions(value any) {
	switch v := value.(type) {
	case map[string]any:
		delete(v, "rev")
		for _, part := range v {
			dropRevisions(part)
		}
	case []any:
		for _, part := range v {
			dropRevisions(part)
		}
	}
}

// someChange draws a small change; many are refused, which is well.
func someChange(rt *rapid.T, r *rebuild.Rebuild) (rebuild.Change, error) {
	word := rapid.SampledFrom([]string{"bent", "torn", "rusty"}).Draw(rt, "word")
	id := rapid.Int64Range(1, max(r.NextID, 2)).Draw(rt, "number")
	switch rapid.IntRange(0, 11).Draw(rt, "kind") {
	case 0, 1:
		f := goodFinding()
		f.What = word
		return r.AddFinding(f)
	case 2, 3:
		j := goodJob()
		j.Title, j.Chosen = word, rapid.Int64Range(0, 1).Draw(rt, "chosen")
		for _, f := range r.Findings {
			if rapid.Bool().Draw(rt, "settles") {
				j.Findings = append(j.Findings, f.ID)
			}
		}
		return r.AddJob(j)
	case 4:
		e := goodEntry()
		e.What = word
		if len(r.Jobs) > 0 {
			e.JobID = r.Jobs[0].ID
		}
		return r.AddEntries(e, e)
	case 5:
		return r.DeleteFinding(id, revisionOf(r, rebuild.KindFinding, id))
	case 6:
		return r.DeleteJob(id, revisionOf(r, rebuild.KindJob, id))
	case 7:
		return r.DeleteEntry(id, revisionOf(r, rebuild.KindEntry, id))
	case 8:
		return r.SetRoute(id, revisionOf(r, rebuild.KindJob, id), goodRoute())
	case 9:
		car := r.Car
		car.Note = word
		return r.EditCar(car)
	case 10:
		z := r.Zones[rapid.IntRange(0, 3).Draw(rt, "zone")]
		z.OpenShare, z.HiddenCost, z.Note = rapid.Float64Range(0, 1).Draw(rt, "open"), uncertain.Certain(10), word
		return r.EditZone(z)
	}
	return r.SetOutcome(id, revisionOf(r, rebuild.KindJob, id), rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-02-01", Proof: word})
}

func revisionOf(r *rebuild.Rebuild, kind rebuild.Kind, id int64) int {
	if item := r.Item(kind, id); item != nil {
		return item.Revision()
	}
	return 0
}
