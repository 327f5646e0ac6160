package workshop

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func TestWhatIf(t *testing.T) {
	w := open(t)
	r := start(
		t, w,
		pays(100_000, 0), twoWays(), aJob("radiator", 400, func(j *rebuild.Job) { j.Routes[0].Hours = uncertain.Certain(10) }),
		hides("boot", 2, uncertain.Range{Low: 100, Likely: 200, High: 600}),
	)
	upright, radiator := r.Jobs[0].ID, r.Jobs[1].ID
	try := func(tweak Tweak) Outlook {
		t.Helper()
		o, err := w.WhatIf(context.Background(), r, tweak)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	plain := try(Tweak{})
	if plain.Total != plain.Base.Total || *plain.ChanceUnderCeiling != *plain.Base.ChanceUnderCeiling {
		t.Fatalf("nothing changed, yet %+v became %+v", plain.Base.Total, plain.Total)
	}
	base := plain.Total.Mean
	newPart := r.Jobs[0].Routes[1].ID
	repairCost := plain.JobDriver(upright).Expected
	for _, tt := range []struct {
		name  string
		tweak Tweak
		want  float64
		off   float64
	}{
		{"costs a tenth dearer, hidden ones not", Tweak{CostPercent: 10}, base + 0.1*(repairCost+400), 1e-6},
		{"the new part", Tweak{Jobs: []JobTweak{{JobID: upright, Route: newPart}}}, base - repairCost + 640, 1e-6},
		{"a repair sure to work", Tweak{Jobs: []JobTweak{{JobID: upright, Works: new(1.0)}}}, base - repairCost + 120, 1e-6},
		{"not done at all", Tweak{Jobs: []JobTweak{{JobID: radiator, Drop: true}}}, base - 400, 1e-6},
		{"an hour at 30", Tweak{HourValue: new(30.0)}, base + 300, 1e-6},
		{"nothing hides", Tweak{HiddenPercent: -100}, 1000 + repairCost + 400, 1e-6},
		{"correlation moves no mean by much", Tweak{Correlation: new(0.9)}, base, 15},
	} {
		if o := try(tt.tweak); math.Abs(o.Total.Mean-tt.want) > tt.off || o.Base.Total.Mean != base {
			t.Errorf("%s: %.4f, want %.4f", tt.name, o.Total.Mean, tt.want)
		}
	}
	if o := try(Tweak{Ceiling: new(1500.0)}); *o.ChanceUnderCeiling >= *o.Base.ChanceUnderCeiling {
		t.Errorf("a lower ceiling is held with %v, before %v", *o.ChanceUnderCeiling, *o.Base.ChanceUnderCeiling)
	}
	if o := try(Tweak{Ceiling: new(0.0)}); o.ChanceUnderCeiling != nil {
		t.Error("without a ceiling there is a chance to stay under it")
	}
}

func TestWhatIfRefuses(t *testing.T) {
	w := open(t)
	r := start(t, w, aJob("done", 1, inState(rebuild.JobDone)), aJob("belt", 100, func(j *rebuild.Job) {
		j.Safety = rebuild.SafetyRestraint
		j.Routes[0].Kind = rebuild.NewPart
		j.Routes = append(j.Routes, aRoute("second-hand", uncertain.Certain(20)))
		j.Routes[1].Kind = rebuild.Used
	}))
	belt := r.Jobs[1]
	for want, tweak := range map[string]Tweak{
		"-100 %":               {CostPercent: -101},
		"correlation":          {Correlation: new(2.0)},
		"no job 99":            {Jobs: []JobTweak{{JobID: 99}}},
		"only a job ahead":     {Jobs: []JobTweak{{JobID: r.Jobs[0].ID}}},
		"no route 77":          {Jobs: []JobTweak{{JobID: belt.ID, Route: 77}}},
		"must not be fitted":   {Jobs: []JobTweak{{JobID: belt.ID, Route: belt.Routes[1].ID}}},
		"hidden damage can be": {HiddenPercent: math.NaN()},
	} {
		if _, err := w.WhatIf(context.Background(), r, tweak); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", tweak, err, want)
		}
	}
}

func TestMarksAreKept(t *testing.T) {
	w := open(t)
	r := start(t, w, pays(100_000, 0), aJob("radiator", 400), aJob("hose", 20))
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	marks, err := w.Book().Marks(context.Background(), r.ID)
	if err != nil || len(marks) != 1 {
		t.Fatalf("%+v, %v", marks, err)
	}
	if m := marks[0]; m.On != today || m.Spent != 1000 || m.Mean != 1420 || m.Version != r.Version || *m.ChanceUnder != 1 {
		t.Errorf("%+v, chance %v", m, *m.ChanceUnder)
	}
	// Changes after Close are made all the same; nothing waits, nothing is kept.
	if _, _, err := w.Do(context.Background(), byTest, r.ID, pays(5_000, 0)); err != nil {
		t.Error(err)
	}
}

func TestMarksAreKeptMeanwhile(t *testing.T) {
	w := open(t)
	r := start(t, w, aJob("radiator", 400))
	for range 100 {
		if marks, err := w.Book().Marks(context.Background(), r.ID); err != nil {
			t.Fatal(err)
		} else if len(marks) == 1 {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Error("no mark within five seconds")
}

func TestHistory(t *testing.T) {
	on := func(day string) func(*rebuild.Entry) { return func(e *rebuild.Entry) { e.On = day } }
	w := open(t)
	r := start(
		t, w,
		pays(100_000, 0, on("2026-02-01")), pays(5_000, 0, on("2026-02-01")), pays(20_000, 0, on("2026-04-01")),
		aJob("radiator", 400, func(j *rebuild.Job) { j.Routes[0].Hours = uncertain.Certain(28) }),
		withCar(func(c *rebuild.Car) { c.Ceiling = amount.New(200_000, "GBP") }),
	)
	f, err := w.History(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Spent) != 2 || f.Spent[0] != (Step{"2026-02-01", 1050}) || f.Spent[1] != (Step{"2026-04-01", 1250}) {
		t.Errorf("spent %+v", f.Spent)
	}
	// 28 hours at 14 a week are two weeks.
	first, last := f.Ahead[0], f.Ahead[len(f.Ahead)-1]
	if first != (FanPoint{today, 1250, 1250, 1250}) || last != (FanPoint{"2026-07-14", 1650, 1650, 1650}) || *f.Ceiling != 2000 {
		t.Errorf("from %+v to %+v, ceiling %v", first, last, *f.Ceiling)
	}
}
