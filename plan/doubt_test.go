package plan

import (
	"context"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"wreckwright/uncertain"
)

// arranged is the workshop plan with its result.
func arranged(t *testing.T, p Problem) Result {
	t.Helper()
	r, err := Run(context.Background(), context.Background(), p, Search{Schedules: 300})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestChainInClosedForm: tasks one after the other add up. Symmetric ranges are
// normal, so that the sum is too.
func TestChainInClosedForm(t *testing.T) {
	by := 33.0
	p := Problem{
		Start: monday, Seed: 3, Trials: 40_000, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{
			{ID: "a", Days: span(8, 10, 12), Uses: []Use{{"own", 1}}},
			{ID: "b", Days: span(9, 10, 11), Uses: []Use{{"own", 1}}},
			{ID: "c", Days: span(8, 10, 12), Uses: []Use{{"own", 1}}},
		},
		Milestones: []Milestone{{ID: "m", After: []Link{{ID: "a"}, {ID: "b"}, {ID: "c"}}, ByDay: &by}},
	}
	for _, rho := range []float64{0, 0.25} {
		p.Correlation = rho
		r := arranged(t, p)
		variance := (1-rho)*(4+1+4) + rho*math.Pow(2+1+2, 2)
		sd := math.Sqrt(variance) / uncertain.Z90
		want := uncertain.NormalCDF(3 / sd)
		if got := *r.Reached[0].ChanceBy; math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/40_000) {
			t.Errorf("correlation %g: chance %g; want %g", rho, got, want)
		}
		if math.Abs(r.Finish.SD-sd) > 4*sd/math.Sqrt(2*40_000) || math.Abs(r.Finish.Mean-30) > 4*sd/200 {
			t.Errorf("correlation %g: mean %g, sd %g; want 30, %g", rho, r.Finish.Mean, r.Finish.SD, sd)
		}
		share := 0.0
		for _, x := range r.Tasks {
			share += x.Share
			if x.Criticality != 1 || math.Abs(x.DelayDays-1) > 1e-9 {
				t.Errorf("%s: criticality %g, a day longer moves the finish by %g", x.ID, x.Criticality, x.DelayDays)
			}
		}
		if math.Abs(share-1) > 1e-6 {
			t.Errorf("shares of the doubt add up to %g", share)
		}
	}
}

// TestCertainPlan: without doubt every trial is the plan.
func TestCertainPlan(t *testing.T) {
	p := large(40, 2)
	for i := range p.Tasks {
		p.Tasks[i].Days = certain(p.Tasks[i].Days.Likely)
	}
	p.Trials = 50
	r := arranged(t, p)
	if r.Finish.P10 != r.FinishDay || r.Finish.P90 != r.FinishDay || r.ChanceOnPlan != 1 {
		t.Errorf("finish %g, trials from %g to %g", r.FinishDay, r.Finish.P10, r.Finish.P90)
	}
}

// TestAnyNumberOfCores: the same figures to the last bit.
func TestAnyNumberOfCores(t *testing.T) {
	p := workshopPlan()
	p.Trials = 3000
	one := arranged(t, p)
	before := runtime.GOMAXPROCS(1)
	two := arranged(t, p)
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(one, two) {
		t.Error("one core and several gave two results")
	}
}

// TestWorthOfDay: an earlier part is worth what it saves, and nothing where
// nothing hangs on it.
func TestWorthOfDay(t *testing.T) {
	by := 20.0
	p := Problem{
		Start: monday, Seed: 1, CostPerDay: 8, Trials: 4000, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{
			{ID: "part", Days: span(10, 14, 20), Wait: true},
			{ID: "bolts", Days: certain(1), Wait: true},
			{ID: "fit", Days: certain(4), Uses: []Use{{"own", 1}}, After: []Link{{ID: "part"}, {ID: "bolts"}}},
		},
		Milestones: []Milestone{{ID: "shop", After: []Link{{ID: "fit"}}, ByDay: &by, LateCost: 100}},
	}
	r := arranged(t, p)
	w, err := WorthOfDay(context.Background(), p, r.Schedule, "part", 3)
	if err != nil {
		t.Fatal(err)
	}
	m := w.Milestones[0]
	if math.Abs(w.FinishDays-3) > 1e-6 || m.After <= m.Before {
		t.Errorf("three days earlier: finish %g days, chance %g to %g", w.FinishDays, m.Before, m.After)
	}
	if want := 3*8 + 100*(m.After-m.Before); math.Abs(w.CostSaved-want) > 1e-6 || math.Abs(w.PerDay-want/3) > 1e-6 {
		t.Errorf("saves %g, %g a day; want %g", w.CostSaved, w.PerDay, want)
	}
	if w, err = WorthOfDay(context.Background(), p, r.Schedule, "bolts", 1); err != nil || w.FinishDays != 0 || w.CostSaved != 0 {
		t.Errorf("bolts a day earlier: %+v, %v; want nothing", w, err)
	}
	if w, err = WorthOfDay(context.Background(), p, r.Schedule, "part", -2); err != nil || math.Abs(w.FinishDays+2) > 1e-6 || w.PerDay <= 0 {
		t.Errorf("two days later: %+v, %v", w, err)
	}
}

// TestWhatIf: no change has no effect at all; each kind of change has the one
// that it must have.
func TestWhatIf(t *testing.T) {
	p := workshopPlan()
	p.Tasks[7].SlotDays = nil
	r := arranged(t, p)
	ask := func(c Change) Effect {
		e, err := WhatIf(context.Background(), p, r.Schedule, c, Search{Schedules: 300})
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	if e := ask(Change{}); e.FinishDays != 0 || e.CostSaved != 0 || e.StandardError != 0 || e.Before != e.After {
		t.Errorf("no change: %+v", e)
	}
	if e := ask(Change{Faster: []Faster{{"order", 10}}}); e.FinishDays <= 0 || e.CostSaved <= 0 || e.Milestones[0].After < e.Milestones[0].Before {
		t.Errorf("faster delivery: %+v", e)
	}
	if e := ask(Change{Drop: []string{"weld"}}); e.FinishDays <= 0 || len(e.AfterPlan.Placed) != len(p.Tasks)-2 {
		t.Errorf("without welding: %g days, %d tasks; the part that only it needs goes too", e.FinishDays, len(e.AfterPlan.Placed))
	}
	// The helper comes on the first Tuesday, and so does the owner.
	day := Change{Extra: []Opening{{"own", 8, Hours{9, 17}}, {"helper", 8, Hours{9, 17}}}}
	if e := ask(day); e.PlannedDays < 0 {
		t.Errorf("a day more: planned %g days earlier", e.PlannedDays)
	}
	if e := ask(Change{More: []More{{"lift", 1}}}); e.PlannedDays < 0 {
		t.Errorf("another lift: planned %g days earlier", e.PlannedDays)
	}
	if len(p.Tasks) != 8 || p.Resources[2].Capacity != 1 || p.Resources[0].Extra != nil {
		t.Error("the question changed the problem")
	}
}

// TestFromToday: what is done stays where it was, what has begun goes on, the
// rest lies from today on.
func TestFromToday(t *testing.T) {
	p := workshopPlan()
	p.TodayDay = 21
	p.Tasks[0].StartedDay, p.Tasks[0].DoneDay = new(0.5), new(7.0)
	p.Tasks[1].StartedDay = new(1.0)
	p.Tasks[2].DoneDay = new(12.5)
	r := arranged(t, p)
	if x := r.Placed[0]; x.StartDay != 0.5 || x.EndDay != 7 || !x.Done {
		t.Errorf("strip: %+v", x)
	}
	// Twenty days have gone: half of what is left of its chances lies before the end.
	way := p.Tasks[1].Days.Curve()
	if x := r.Placed[1]; x.StartDay != 1 || math.Abs((1-way.CDF(x.EndDay-1))/(1-way.CDF(20))-0.5) > 1e-6 || !x.Started {
		t.Errorf("order, on its way longer than likely: %+v; want an even chance", x)
	}
	for _, x := range r.Placed[3:] {
		if x.StartDay < 21 {
			t.Errorf("%s begins on day %g, before today", x.ID, x.StartDay)
		}
	}
	// Lead time ten of a hundred above 30 days: given that 20 have gone, the chance
	// of more than 29 is the conditional one.
	curve := p.Tasks[1].Days.Curve()
	want := (1 - curve.CDF(30)) / (1 - curve.CDF(20))
	m, err := newSimulation(p, r.Schedule, KeepOrder)
	if err != nil {
		t.Fatal(err)
	}
	late := 0.0
	m.each(4000, KeepOrder, func(y *player) {
		if toDays(y.end[1]) > 31 {
			late += 1. / 4000
		}
	})
	if math.Abs(late-want) > 4*math.Sqrt(want*(1-want)/4000) {
		t.Errorf("chance of another ten days %g; want %g", late, want)
	}
}

func TestWhatNow(t *testing.T) {
	p := workshopPlan()
	p.Tasks[7].SlotDays = nil
	p.TodayDay = 8
	p.Tasks[0].StartedDay, p.Tasks[0].DoneDay = new(0.5), new(7.0)
	p.Tasks[2].DoneDay = new(7.5)
	r := arranged(t, p)
	ask := func(here Here) ([]string, map[string]string, Today) {
		today, err := WhatNow(p, r, here)
		if err != nil {
			t.Fatal(err)
		}
		var now []string
		for _, x := range today.Now {
			now = append(now, x.ID)
			if len(x.Why) == 0 {
				t.Errorf("%s stands there without a reason", x.ID)
			}
		}
		held := map[string]string{}
		for _, x := range today.Held {
			held[x.ID] = strings.Join(x.Why, "; ")
		}
		return now, held, today
	}
	now, held, _ := ask(Here{})
	if !slices.Contains(now, "wiring") || !slices.Contains(now, "brakes") || slices.Contains(now, "weld") {
		t.Errorf("now %v", now)
	}
	if !strings.Contains(held["weld"], "waits for order, expected 2027-") {
		t.Errorf("weld is held by %q", held["weld"])
	}
	now, _, today := ask(Here{Arrived: []string{"order"}, Open: []string{"front left"}, HoursFree: 2})
	if now[0] != "weld" {
		t.Errorf("with the part there %v; want welding first", now)
	}
	if why := strings.Join(today.Now[0].Why, "; "); !strings.Contains(why, "finish hangs on it") || !strings.Contains(why, "front left is open now") || !strings.Contains(why, "lets cure begin") || !strings.Contains(why, "more than the 2.0 h") {
		t.Errorf("welding is first because it %s", why)
	}
	now, held, _ = ask(Here{Arrived: []string{"order"}, Quiet: true})
	if slices.Contains(now, "weld") || !strings.Contains(held["weld"], "quiet hours") {
		t.Errorf("quiet: %v, %v", now, held)
	}
	now, held, _ = ask(Here{People: map[string]int{"own": 0}})
	if len(now) != 0 || !strings.Contains(held["brakes"], "needs 1 own; 0 here") {
		t.Errorf("nobody here: %v, %v", now, held)
	}
	p.Tasks[6].StartedDay = new(7.5)
	if now, _, _ = ask(Here{Open: []string{"cabin"}}); now[0] != "brakes" {
		t.Errorf("with the brakes begun: %v", now)
	}
}
