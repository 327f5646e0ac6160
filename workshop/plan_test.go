package workshop

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wreckwright/money/amount"
	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// takes gives a job's first route its hours.
func takes(low, likely, high float64) func(*rebuild.Job) {
	return func(j *rebuild.Job) { j.Routes[0].Hours = uncertain.Range{Low: low, Likely: likely, High: high} }
}

func inStage(stage int64) func(*rebuild.Job) { return func(j *rebuild.Job) { j.Stage = stage } }

func idOf(t testing.TB, r *rebuild.Rebuild, title string) int64 {
	t.Helper()
	for _, j := range r.Jobs {
		if j.Title == title {
			return j.ID
		}
	}
	t.Fatalf("there is no job %q", title)
	return 0
}

// planOfA is a job's plan that is looked up by titles.
func plannedJob(t testing.TB, title string, after []string, change ...func(*rebuild.Rebuild, *rebuild.JobPlan)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		k := rebuild.JobPlan{JobID: idOf(t, r, title)}
		for _, a := range after {
			k.After = append(k.After, idOf(t, r, a))
		}
		for _, c := range change {
			c(r, &k)
		}
		return r.SetJobPlan(k)
	}
}

func person(name string, own bool, hours ...rebuild.WorkHours) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddPerson(rebuild.Person{Name: name, Own: own, Hours: hours})
	}
}

func saturdays(from, to int) rebuild.WorkHours {
	return rebuild.WorkHours{Weekday: 6, From: from * 60, To: to * 60}
}

func arrange(t testing.TB, r *rebuild.Rebuild) *WorkPlan {
	t.Helper()
	p, err := arranged(context.Background(), PlanOf(r, today), quickSeconds, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if p.Why != "" {
		t.Fatal(p.Why)
	}
	return p
}

func placedOf(t testing.TB, p *WorkPlan, id string) plan.Placed {
	t.Helper()
	i, ok := p.Index(id)
	if !ok {
		t.Fatalf("there is no task %q", id)
	}
	return p.Placed[i]
}

// TestHoursPeopleAndSlots: everything worked out by hand. Today is Tuesday, 30 June
// 2026; own hours are Saturdays 9 to 17, the first one 4 July. Strip 8 h: 4 July, 9
// to 17. Weld 4 h comes after it and needs Bo, whose Saturdays are 12 to 17: 11
// July, 12 to 16. Then 1.5 days of curing: nothing before Monday 13 July, 4:00.
// Paint is done outside from one of its slots: 20 July, and takes 7 days.
func TestHoursPeopleAndSlots(t *testing.T) {
	r := stand(t,
		aJob("Strip", 10, takes(8, 8, 8)), aJob("Weld", 10, takes(4, 4, 4)), aJob("Paint", 10, takes(0, 0, 0)),
		person("Ada", true, saturdays(9, 17)), person("Bo", false, saturdays(12, 17)),
		plannedJob(t, "Weld", []string{"Strip"}, func(r *rebuild.Rebuild, k *rebuild.JobPlan) {
			k.Helpers, k.WaitDays = []int64{r.Helpers()[0].ID}, 1.5
		}),
		plannedJob(t, "Paint", []string{"Weld"}, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) {
			k.Outside, k.WithoutMe, k.OutsideDays, k.Slots = true, true, uncertain.Certain(7), []string{"2026-07-06", "2026-07-20"}
		}),
	)
	p := arrange(t, r)
	day := func(month time.Month, d int, hour float64) float64 {
		return time.Date(2026, month, d, 0, 0, 0, 0, time.UTC).Sub(time.Date(2026, 6, 30, 0, 0, 0, 0, time.UTC)).Hours()/24 + hour/24
	}
	for _, c := range []struct {
		title    string
		from, to float64
	}{{"Strip", day(7, 4, 9), day(7, 4, 17)}, {"Weld", day(7, 11, 12), day(7, 11, 16)}, {"Paint", day(7, 20, 0), day(7, 27, 0)}} {
		got := placedOf(t, p, jobTask(idOf(t, r, c.title)))
		if math.Abs(got.StartDay-c.from) > 1e-6 || math.Abs(got.EndDay-c.to) > 1e-6 {
			t.Errorf("%s from day %.4f to %.4f, want %.4f to %.4f", c.title, got.StartDay, got.EndDay, c.from, c.to)
		}
	}
	if i, _ := p.TaskOfJob(idOf(t, r, "Weld")); p.Tasks[i].Who != "you and Bo" || !slices.Contains(p.Tasks[i].Blocks, "Paint") {
		t.Errorf("the weld is %+v", p.Tasks[i])
	}
}

// TestWhatIsTakenForGrantedIsSaid holds that a plan of a bare book says what it
// rests on.
func TestWhatIsTakenForGrantedIsSaid(t *testing.T) {
	r := stand(t, aJob("Weld", 10), func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddDelivery(rebuild.Delivery{JobID: r.Jobs[0].ID, What: "leg"})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddStripItem(rebuild.StripItem{At: "2026-06-01T10:00:00Z", What: "seat", Zone: "underside"})
	})
	p := arrange(t, r)
	all := strings.Join(p.Assumed, "\n")
	for _, words := range []string{
		"the 14 h of a week are taken as two evenings and a Saturday", "1 job is without hours", "1 delivery is not ordered yet", "Of 1 delivery no date is known",
		"Putting back 1 thing that is off", "6 stages of the first drives are left", "The inspection is still to be passed",
	} {
		if !strings.Contains(all, words) {
			t.Errorf("nothing says %q in\n%s", words, all)
		}
	}
	if hours := weekHours(*p.Problem.Week); math.Abs(hours-14) > 1e-9 {
		t.Errorf("the usual week has %g h", hours)
	}
}

func weekHours(w plan.Week) float64 {
	sum := 0.0
	for _, day := range w {
		for _, h := range day {
			sum += h.To - h.From
		}
	}
	return sum
}

func TestTheUsualWeekHasTheHours(t *testing.T) {
	for _, hours := range []float64{0.5, 3, 14, 20, 28, 28.5, 40, 100, 168} {
		w := usualWeek(hours)
		if got := weekHours(w); math.Abs(got-hours) > 1e-9 {
			t.Errorf("a week of %g h has %g", hours, got)
		}
		for day, list := range w {
			for _, h := range list {
				if h.From < 0 || h.To > 24+1e-9 || h.From >= h.To {
					t.Errorf("a week of %g h has %g to %g on day %d", hours, h.From, h.To, day)
				}
			}
		}
	}
}

func TestWhyThereIsNoPlan(t *testing.T) {
	late := rebuild.WorkHours{Weekday: 1, From: 1200, To: 1260}
	passed := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.PassGate(rebuild.GatePass{Gate: rebuild.GateHandOver, At: "2026-06-01T10:00:00Z", By: "Ada"})
	}
	for _, c := range []struct {
		name  string
		steps []step
		says  string
	}{
		{"nothing entered", nil, "no job is entered yet; the plan begins with the first one"},
		{"handed over", []step{aJob("Weld", 10), passed}, "the hand-over gate is passed"},
		{"people who never meet", []step{aJob("Weld", 10, takes(1, 2, 3)), person("Ada", true, saturdays(9, 17)), person("Bo", false, late), plannedJob(t, "Weld", nil, func(r *rebuild.Rebuild, k *rebuild.JobPlan) { k.Helpers = []int64{r.Helpers()[0].ID} })}, `"Weld": it never comes about: Ada and Bo share no working time`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if p := PlanOf(stand(t, c.steps...), today); !strings.Contains(p.Why, c.says) {
				t.Errorf("it says %q, not %q", p.Why, c.says)
			}
		})
	}
}

func TestWhatReallyHappenedIsKept(t *testing.T) {
	r := stand(t,
		aJob("Strip", 10, takes(4, 6, 9)), aJob("Weld", 10, takes(2, 3, 5)), aJob("Fit", 10, takes(2, 3, 5)),
		plannedJob(t, "Weld", []string{"Strip"}, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) { k.WaitDays = 3 }), plannedJob(t, "Fit", []string{"Weld"}),
	)
	strip, weld := idOf(t, r, "Strip"), idOf(t, r, "Weld")
	r = more(t, r, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.StartJob(strip, "2026-06-27T09:00:00Z") })
	p := arrange(t, r)
	// The 27th is three days before today, and the plan counts from there.
	if got := placedOf(t, p, jobTask(strip)); !got.Started || math.Abs(got.StartDay-9.0/24) > 1e-6 || p.Problem.TodayDay != 3 {
		t.Errorf("begun, it is placed %+v; today is day %g", got, p.Problem.TodayDay)
	}
	r = more(t, r,
		func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.FinishJob(strip, "2026-06-29T12:00:00Z") },
		func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.StartJob(weld, "2026-06-30T08:00:00Z") },
		func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.FinishJob(weld, "2026-06-30T10:00:00Z") },
	)
	p = arrange(t, r)
	if _, there := p.TaskOfJob(strip); there || len(p.Over) != 2 || p.Over[0].JobID != weld {
		t.Errorf("done jobs: %+v", p.Over)
	}
	// Fit may begin three days after the weld was done: 3 July, 10:00.
	fit := placedOf(t, p, jobTask(idOf(t, r, "Fit")))
	if fit.StartDay < 3+10.0/24-1e-6 {
		t.Errorf("it begins on day %g, while the weld still cures", fit.StartDay)
	}
}

func TestGatesDrivesAndPaintComeInOrder(t *testing.T) {
	r := stand(t,
		aJob("Brakes", 10, takes(2, 3, 5), func(j *rebuild.Job) { j.Safety = rebuild.SafetyBrake }), aJob("Trim", 10, takes(1, 2, 3)), aJob("Paint", 10, takes(0, 0, 0), inStage(8)), aJob("Badges", 10, takes(1, 1, 2)),
		plannedJob(t, "Paint", nil, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) {
			k.Outside, k.WithoutMe, k.CarGoes, k.OutsideDays = true, true, true, uncertain.Range{Low: 5, Likely: 7, High: 14}
		}),
		plannedJob(t, "Badges", []string{"Paint"}),
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddMilestone(rebuild.Milestone{Gate: rebuild.GateBodyShop, WishedOn: "2026-09-01", LateOnce: amount.New(20_000, "GBP")})
		},
		withCar(func(c *rebuild.Car) { c.WantedBy = "2026-12-01" }),
	)
	p := arrange(t, r)
	at := map[string]float64{}
	for i, m := range p.Reached {
		at[p.Goals[i].Key] = m.Day
	}
	brakes, paint, badges := placedOf(t, p, jobTask(idOf(t, r, "Brakes"))), placedOf(t, p, jobTask(idOf(t, r, "Paint"))), placedOf(t, p, jobTask(idOf(t, r, "Badges")))
	full, inspection := placedOf(t, p, "drive-full"), placedOf(t, p, "inspection")
	order := []struct {
		what string
		day  float64
	}{
		{"brakes done", brakes.EndDay},
		{"road test", at["road test"]},
		{"driven fully", full.EndDay},
		{"body shop", at["body shop"]},
		{"paint begins", paint.StartDay},
		{"paint done", paint.EndDay},
		{"badges begin", badges.StartDay},
		{"inspection gate", at["inspection"]},
		{"inspected", inspection.EndDay},
		{"hand-over", at["hand-over"]},
	}
	for i := 1; i < len(order); i++ {
		if order[i].day < order[i-1].day-1e-6 {
			t.Errorf("%s on day %.2f, before %s on day %.2f", order[i].what, order[i].day, order[i-1].what, order[i-1].day)
		}
	}
	if m := p.Reached[slices.IndexFunc(p.Goals, func(g PlanGoal) bool { return g.Gate == rebuild.GateHandOver })]; m.ByDate != "2026-12-01" || m.ChanceBy == nil {
		t.Errorf("the day it is wanted by is not that of the hand-over: %+v", m)
	}
	for i, x := range p.Placed {
		if p.Tasks[i].Kind != TaskJob || p.Tasks[i].Title == "Paint" {
			continue
		}
		if x.StartDay < paint.EndDay-1e-6 && x.EndDay > paint.StartDay+1e-6 {
			t.Errorf("%q is worked on while the car is away", p.Tasks[i].Title)
		}
	}
}

// TestAnyRebuildHasAPlan makes random books and holds each plan against a check of
// its own: every job that takes time is in it once, what comes first is done first,
// nobody is in two places, and work goes on only in working hours.
func TestAnyRebuildHasAPlan(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyPlannedRebuild(t, rt)
		p := PlanOf(r, today)
		if p.Why != "" {
			rt.Fatalf("no plan: %s", p.Why)
		}
		p, err := arranged(context.Background(), p, 0.001, nil, nil)
		if err != nil {
			rt.Fatal(err)
		}
		for _, complaint := range complaints(r, p) {
			rt.Error(complaint)
		}
		if err := p.Stand.Validate(); err != nil {
			rt.Errorf("its stand cannot be kept: %v", err)
		}
	})
}

func anyPlannedRebuild(t *testing.T, rt *rapid.T) *rebuild.Rebuild {
	steps := []step{person("Ada", true, saturdays(9, 17), rebuild.WorkHours{Weekday: 2, From: 1110, To: 1260}), person("Bo", false, saturdays(8, 14))}
	steps = append(steps, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddThing(rebuild.Thing{Name: "lift", Count: 1})
	})
	n := rapid.IntRange(1, 12).Draw(rt, "jobs")
	for i := range n {
		hours := rapid.Float64Range(0, 20).Draw(rt, "hours")
		steps = append(steps, aJob(fmt.Sprintf("job %d", i), 10, takes(hours/2, hours, 2*hours), func(j *rebuild.Job) {
			j.Needed = rapid.SampledFrom([]float64{0, 0.3, 0.7, 1, 1}).Draw(rt, "needed")
			j.Stage = rapid.Int64Range(0, 9).Draw(rt, "stage")
			j.State = rapid.SampledFrom([]rebuild.JobState{rebuild.JobOpen, rebuild.JobOpen, rebuild.JobDoing, rebuild.JobWaiting, rebuild.JobDropped, rebuild.JobDone}).Draw(rt, "state")
			j.HoursSpent = rapid.Float64Range(0, 10).Draw(rt, "spent")
			if j.Finished() {
				j.DoneOn = "2026-06-20"
			}
			if rapid.Bool().Draw(rt, "brakes") {
				j.Safety = rebuild.SafetyBrake
			}
			if rapid.Bool().Draw(rt, "may fail") {
				j.Routes[0].Works = 0.6
				j.Routes[0].Fallback = &rebuild.Fallback{Name: "new", Hours: uncertain.Range{Low: 1, Likely: 2, High: 4}}
			}
		}))
	}
	r := stand(t, steps...)
	for i := range r.Jobs {
		r = more(t, r, anyJobPlanOf(rt, r, i))
		if rapid.IntRange(0, 2).Draw(rt, "delivery") == 0 {
			d := rebuild.Delivery{JobID: r.Jobs[i].ID, What: "part", OrderedOn: rapid.SampledFrom([]string{"", "2026-05-01", "2026-06-30"}).Draw(rt, "ordered"), ExpectedOn: rapid.SampledFrom([]string{"", "2026-06-30", "2026-08-01"}).Draw(rt, "expected")}
			r = more(t, r, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddDelivery(d) })
		}
		if rapid.IntRange(0, 2).Draw(rt, "off") == 0 {
			s := rebuild.StripItem{At: fmt.Sprintf("2026-06-%02dT10:00:00Z", 1+i), What: "panel", Zone: "underside", Jobs: []int64{r.Jobs[i].ID}}
			if len(r.Strip) > 0 && rapid.Bool().Draw(rt, "behind") {
				s.After = []int64{r.Strip[len(r.Strip)-1].ID}
			}
			r = more(t, r, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddStripItem(s) })
		}
	}
	return r
}

// anyJobPlanOf comes after jobs entered before it, so that no circle comes about.
func anyJobPlanOf(rt *rapid.T, r *rebuild.Rebuild, i int) step {
	k := rebuild.JobPlan{JobID: r.Jobs[i].ID, WaitDays: rapid.SampledFrom([]float64{0, 0, 1.5}).Draw(rt, "cures"), NotBefore: rapid.SampledFrom([]string{"", "2026-07-20", "2020-01-01"}).Draw(rt, "not before")}
	for b := range i {
		if rapid.IntRange(0, 3).Draw(rt, "after") == 0 {
			k.After = append(k.After, r.Jobs[b].ID)
		}
	}
	switch rapid.IntRange(0, 3).Draw(rt, "who") {
	case 0:
		k.Outside, k.WithoutMe, k.OutsideDays, k.CarGoes = true, true, uncertain.Range{Low: 2, Likely: 3, High: 6}, rapid.Bool().Draw(rt, "car goes")
		k.Slots = rapid.SampledFrom([][]string{nil, {"2026-06-01"}, {"2026-07-13", "2026-08-03"}}).Draw(rt, "slots")
	case 1:
		k.Helpers = []int64{r.Helpers()[0].ID}
	case 2:
		k.Holds = []rebuild.ThingUse{{Thing: r.Things[0].ID, Count: 1}}
	}
	if r.Jobs[i].State == rebuild.JobDoing && rapid.Bool().Draw(rt, "begun") {
		k.StartedAt = rapid.SampledFrom([]string{"2026-06-30T09:00:00Z", "2026-06-01T09:00:00Z"}).Draw(rt, "at")
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.SetJobPlan(k) }
}

// complaints checks a plan by the book alone, by other means than the engine.
func complaints(r *rebuild.Rebuild, p *WorkPlan) []string {
	var out []string
	complain := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	const little = 1e-6
	times := map[int64]int{}
	for _, t := range p.Tasks {
		if t.Kind == TaskJob {
			times[t.JobID]++
		}
	}
	for i := range r.Jobs {
		j := &r.Jobs[i]
		want := 0
		if j.Ahead() && j.Needed > 0 {
			want = 1
		}
		if times[j.ID] != want {
			complain("job %q (%s, needed %g) is %d times in the plan", j.Title, j.State, j.Needed, times[j.ID])
		}
	}
	for _, k := range r.JobPlans {
		one, ok := p.TaskOfJob(k.JobID)
		if !ok || p.Placed[one].Started {
			continue
		}
		for _, before := range k.After {
			if two, ok := p.TaskOfJob(before); ok && p.Placed[one].StartDay < p.Placed[two].EndDay+r.PlanOfJob(before).WaitDays-little {
				complain("%q begins on day %g, %q ends on day %g", p.Tasks[one].Title, p.Placed[one].StartDay, p.Tasks[two].Title, p.Placed[two].EndDay)
			}
		}
		for _, d := range r.DeliveriesOf(k.JobID) {
			if i, ok := p.Index(deliveryTask(d.ID)); ok && p.Placed[one].StartDay < p.Placed[i].EndDay-little {
				complain("%q begins before %q has come", p.Tasks[one].Title, d.What)
			}
		}
	}
	for _, of := range p.Problem.Resources {
		out = append(out, overlaps(p, of)...)
	}
	for i, x := range p.Placed {
		if x.StartDay < p.Problem.TodayDay-little && !x.Started {
			complain("%q begins on day %g, in the past", p.Tasks[i].Title, x.StartDay)
		}
	}
	return append(out, twoPlaces(r, p)...)
}

// twoPlaces holds by the book who works: own hands are in one place at a time, on
// Saturdays and Tuesdays only.
func twoPlaces(r *rebuild.Rebuild, p *WorkPlan) []string {
	var out []string
	const little = 1e-6
	var mine []int
	for i, t := range p.Tasks {
		k := r.PlanOfJob(t.JobID)
		own := slices.Contains([]TaskKind{TaskRefit, TaskTighten, TaskDrive}, t.Kind) || t.Kind == TaskJob && (k == nil || !k.Outside && !k.WithoutMe)
		if own && !p.Placed[i].Started && p.Placed[i].EndDay > p.Placed[i].StartDay+little {
			mine = append(mine, i)
		}
	}
	for n, i := range mine {
		x := p.Placed[i]
		if at := p.Date(x.StartDay + little); at.Weekday() != time.Saturday && at.Weekday() != time.Tuesday {
			out = append(out, fmt.Sprintf("%q begins on a %s", p.Tasks[i].Title, at.Weekday()))
		}
		for _, k := range mine[:n] {
			if y := p.Placed[k]; x.StartDay < y.EndDay-little && y.StartDay < x.EndDay-little {
				out = append(out, fmt.Sprintf("own hands are at %q and %q at once", p.Tasks[i].Title, p.Tasks[k].Title))
			}
		}
	}
	return out
}

// overlaps looks at every start: what runs then must not hold more than there is.
// What had begun already is left aside among itself: it happened.
func overlaps(p *WorkPlan, of plan.Resource) []string {
	var out []string
	const little = 1e-6
	holds := func(i int) int {
		n := 0
		for _, u := range p.Problem.Tasks[i].Uses {
			if u.Resource == of.ID {
				n += u.Count
			}
		}
		return n
	}
	for i, x := range p.Placed {
		if holds(i) == 0 || x.Started || x.EndDay-x.StartDay < little {
			continue
		}
		sum := 0
		for k, y := range p.Placed {
			if y.StartDay <= x.StartDay+little && y.EndDay > x.StartDay+little {
				sum += holds(k)
			}
		}
		if sum > of.Capacity {
			out = append(out, fmt.Sprintf("%d of %s are held when %q begins, and there is %d", sum, of.ID, p.Tasks[i].Title, of.Capacity))
		}
	}
	return out
}

// TestTheDaysUntilTheFinishAreInTheForecast: with 10 a day the forecast has what the
// plan's days cost, drawn together with it, and a what-if on the same column.
func TestTheDaysUntilTheFinishAreInTheForecast(t *testing.T) {
	w := open(t)
	plain := stand(t, aJob("Weld", 100, takes(10, 20, 60), func(j *rebuild.Job) { j.Needed = 0.5 }))
	r := more(t, plain, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.SetTimetable(rebuild.Timetable{Costs: []rebuild.RunningCost{{Name: "storage", Amount: amount.New(1_000, "GBP"), Per: rebuild.PerDay}}})
	})
	before, err := w.Forecast(t.Context(), plain)
	if err != nil {
		t.Fatal(err)
	}
	o, err := w.Forecast(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	if before.Overheads != nil || o.Overheads == nil || o.Overheads.PerDay != 10 || math.Abs(o.Overheads.Mean-10*o.Overheads.Days) > 1e-6 {
		t.Fatalf("overheads %+v, then %+v", before.Overheads, o.Overheads)
	}
	// Four standard errors of the mean of the total.
	se := o.Total.SD / math.Sqrt(float64(o.Trials))
	if got, want := o.Total.Mean, before.Total.Mean+o.Overheads.Mean; math.Abs(got-want) > 4*se {
		t.Errorf("the total is %.1f on average, want %.1f", got, want)
	}
	// The job is needed in the same trials in the money and in the days: more doubt
	// than if the two had nothing to do with one another.
	p, err := w.shortPlan(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apart := math.Hypot(before.Total.SD, 10*p.Finish.SD)
	if o.Total.SD < 1.02*apart {
		t.Errorf("standard deviation %.1f, and %.1f if time and money were drawn apart", o.Total.SD, apart)
	}
	tried, err := w.WhatIf(t.Context(), r, Tweak{CostPercent: 0})
	if err != nil || tried.Total != o.Total {
		t.Errorf("a what-if of nothing gives %+v instead of %+v (%v)", tried.Total, o.Total, err)
	}
}

func TestWhatIfAboutThePlan(t *testing.T) {
	w := open(t)
	r := stand(t,
		aJob("Strip", 10, takes(6, 8, 12)), aJob("Weld", 10, takes(3, 4, 8)), aJob("Paint", 10, takes(0, 0, 0), inStage(8)),
		person("Ada", true, saturdays(9, 17)),
		plannedJob(t, "Weld", []string{"Strip"}),
		plannedJob(t, "Paint", []string{"Weld"}, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) {
			k.Outside, k.WithoutMe, k.CarGoes, k.OutsideDays, k.Slots = true, true, true, uncertain.Certain(7), []string{"2026-10-05"}
		}),
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetTimetable(rebuild.Timetable{Costs: []rebuild.RunningCost{{Name: "storage", Amount: amount.New(1_000, "GBP"), Per: rebuild.PerDay}}})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddDelivery(rebuild.Delivery{JobID: idOf(t, r, "Strip"), What: "puller", OrderedOn: "2026-06-29", LeadDays: uncertain.Range{Low: 20, Likely: 25, High: 30}, Faster: &rebuild.Faster{Days: 14, Cost: amount.New(4_000, "GBP")}})
		},
	)
	ctx := t.Context()
	paint, strip := idOf(t, r, "Paint"), idOf(t, r, "Strip")
	moved, err := w.WhatIfPlan(ctx, r, PlanTweak{Slot: map[int64][]string{paint: {"2026-11-02"}}})
	if err != nil {
		t.Fatal(err)
	}
	// Four weeks later in nearly all trials; what follows falls on Saturdays.
	if moved.FinishDays > -26 || moved.FinishDays < -31 || math.Abs(moved.CostSaved-10*moved.FinishDays) > 1 {
		t.Errorf("the slot moved by four weeks: %+.2f days, %+.2f saved", moved.FinishDays, moved.CostSaved)
	}
	faster, err := w.WhatIfPlan(ctx, r, PlanTweak{Faster: []int64{r.Deliveries[0].ID}})
	if err != nil || faster.Paid != 40 || faster.Net != faster.Saved-40 || len(faster.Words) == 0 {
		t.Errorf("a quicker delivery: %+v (%v)", faster, err)
	}
	dropped, err := w.WhatIfPlan(ctx, r, PlanTweak{Drop: []int64{strip}})
	if err != nil || dropped.FinishDays < 0 {
		t.Errorf("a job dropped: %+v (%v)", dropped, err)
	}
	extra, err := w.WhatIfPlan(ctx, r, PlanTweak{ExtraDay: []HelperDay{{On: "2026-07-26", From: 540, To: 1020}}})
	if err != nil || extra.FinishDays < -0.5 {
		t.Errorf("a Sunday more: %+v (%v)", extra, err)
	}
	for _, c := range []struct {
		tweak PlanTweak
		says  string
	}{
		{PlanTweak{Drop: []int64{999}}, "job 999 is not in the plan"},
		{PlanTweak{Faster: []int64{999}}, "delivery 999 is not in the plan"},
		{PlanTweak{Slot: map[int64][]string{strip: {"2026-11-02"}}}, "is no outside work in the plan"},
		{PlanTweak{Slot: map[int64][]string{paint: {"2020-11-02"}}}, `"2020-11-02" is no day ahead`},
		{PlanTweak{ExtraDay: []HelperDay{{On: "2026-07-26", From: 600, To: 540}}}, "is no time ahead"},
		{PlanTweak{ExtraDay: []HelperDay{{Person: 999, On: "2026-07-26", From: 540, To: 600}}}, "person 999 is not there any more"},
	} {
		if _, err := w.WhatIfPlan(ctx, r, c.tweak); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("got %v, want %q", err, c.says)
		}
	}
}

func TestTheListOfNow(t *testing.T) {
	w := open(t)
	r := stand(t,
		aJob("Strip", 10, takes(6, 8, 12), func(j *rebuild.Job) { j.Zone, j.Safety = "underside", rebuild.SafetyBrake }), aJob("Grind", 10, takes(1, 2, 3)), aJob("Lift", 10, takes(1, 2, 3)), aJob("Waits", 10, takes(1, 2, 3)), aJob("Later", 10, takes(1, 2, 3)),
		person("Ada", true, saturdays(9, 17)), person("Bo", false, saturdays(9, 17)),
		plannedJob(t, "Grind", nil, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) { k.Noisy = true }),
		plannedJob(t, "Lift", nil, func(r *rebuild.Rebuild, k *rebuild.JobPlan) { k.Helpers = []int64{r.Helpers()[0].ID} }),
		plannedJob(t, "Later", []string{"Strip"}),
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddDelivery(rebuild.Delivery{JobID: idOf(t, r, "Waits"), What: "leg", OrderedOn: "2026-06-20", ExpectedOn: "2026-07-10"})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetTimetable(rebuild.Timetable{QuietFrom: 1260, QuietTo: 420})
		},
	)
	list, err := w.NowList(t.Context(), r, Present{Hours: 3, Here: map[int64]bool{r.Helpers()[0].ID: false}, At: "2026-06-30T22:00:00+02:00"})
	if err != nil {
		t.Fatal(err)
	}
	held := map[string]string{}
	for _, h := range list.Held {
		held[h.Title] = strings.Join(h.Held.Why, "; ")
	}
	var now []string
	for _, line := range list.Now {
		now = append(now, line.PlanTask.Title)
		if len(line.Startable.Why) == 0 {
			t.Errorf("%q stands there without a reason", line.PlanTask.Title)
		}
	}
	if !slices.Equal(now, []string{"Strip"}) {
		t.Errorf("now: %q, want the strip alone", now)
	}
	if line := list.Now[0]; len(line.Hazards) == 0 || line.Fits {
		t.Errorf("work on brakes stands without its caution, or fits into 3 h: %+v", line)
	}
	for title, words := range map[string]string{"Grind": "these are quiet hours", "Lift": "needs 1 Bo; 0 here", "Waits": "waits for leg"} {
		if !strings.Contains(held[title], words) {
			t.Errorf("%q is held by %q, not %q", title, held[title], words)
		}
	}
	if _, there := held["Later"]; there {
		t.Error("what comes later is on the list")
	}
}

func TestWhatIsWaitedFor(t *testing.T) {
	r := stand(t, aJob("Weld", 10, takes(2, 3, 4)), aJob("Trim", 10, takes(2, 3, 4)), func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.SetTimetable(rebuild.Timetable{Costs: []rebuild.RunningCost{{Name: "storage", Amount: amount.New(1_000, "GBP"), Per: rebuild.PerDay}}})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddDelivery(rebuild.Delivery{JobID: r.Jobs[0].ID, What: "leg", OrderedOn: "2026-06-01", ExpectedOn: "2026-06-20", Faster: &rebuild.Faster{Days: 5, Cost: amount.New(100, "GBP")}})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddDelivery(rebuild.Delivery{JobID: r.Jobs[1].ID, What: "clips", LeadDays: uncertain.Range{Low: 50, Likely: 60, High: 80}, Faster: &rebuild.Faster{Days: 30, Cost: amount.New(1_000, "GBP")}})
	}, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddDelivery(rebuild.Delivery{What: "oil"})
	})
	p := arrange(t, r)
	list, err := waitsOf(t.Context(), r, p)
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]Wait{}
	for _, wait := range list {
		by[wait.Delivery.What] = wait
	}
	if list[0].Delivery.What != "clips" || !by["leg"].Late || by["clips"].Title != "Trim" || by["oil"].From != "" {
		t.Errorf("the waits are %+v", list)
	}
	if c := by["clips"]; c.From != "2026-08-19" || c.To != "2026-09-18" || !slices.Contains(c.Blocks, "Trim") {
		t.Errorf("50 to 80 days from 30 June are 19 August to 18 September, not %s to %s", c.From, c.To)
	}
	// Thirty days earlier moves the end by about as much, at 10 a day for 10.
	if c := by["clips"]; c.Worth == nil || c.Worth.FinishDays < 15 || !c.Pays {
		t.Errorf("the quicker way of the clips: %+v", c.Worth)
	}
}

func TestTheCalendarFile(t *testing.T) {
	w := open(t)
	r := stand(t, aJob("Weld, then paint", 10, takes(2, 3, 4)))
	text, err := w.Calendar(t.Context(), r, time.Date(2026, 6, 30, 12, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"BEGIN:VCALENDAR\r\n", `SUMMARY:Weld\, then paint` + "\r\n", "BEGIN:VALARM\r\n", "END:VCALENDAR\r\n"} {
		if !strings.Contains(text, line) {
			t.Errorf("it holds no %q", line)
		}
	}
	if text, err := w.Calendar(t.Context(), stand(t), time.Now()); err != nil || strings.Contains(text, "VEVENT") {
		t.Errorf("a book without jobs has the calendar %q (%v)", text, err)
	}
}

// TestThePlanGetsBetterAndIsKept asks until the long search is over, and looks at
// what is kept of the day.
func TestThePlanGetsBetterAndIsKept(t *testing.T) {
	w := open(t)
	ctx := t.Context()
	r, err := w.Book().Start(ctx, byTest, aCar())
	if err != nil {
		t.Fatal(err)
	}
	for i := range 12 {
		if r, _, err = w.Do(ctx, byTest, r.ID, aJob(fmt.Sprintf("job %d", i), 10, takes(2, 3+float64(i%4), 9))); err != nil {
			t.Fatal(err)
		}
	}
	first, err := w.Planned(ctx, r)
	if err != nil {
		t.Fatal(err)
	}
	last := first
	w.searching.all.Wait()
	if last, err = w.Planned(ctx, r); err != nil || last.Improving || last.FinishDay > first.FinishDay+1e-9 {
		t.Errorf("after the long search: improving %v, finish %g, before %g (%v)", last.Improving, last.FinishDay, first.FinishDay, err)
	}
	if err := w.keepMark(ctx, r.ID); err != nil {
		t.Fatal(err)
	}
	h, err := w.PlanHistory(ctx, r)
	if err != nil || h.Kept || h.First == nil || len(h.Marks) != 1 || h.First.P50 != last.FinishDates.P50 {
		t.Errorf("the history is %+v (%v), the finish %s", h, err, last.FinishDates.P50)
	}
	stand := last.Stand
	stand.P50 = "2026-12-24"
	if r, _, err = w.Do(ctx, byTest, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.KeepPlan(&stand) }); err != nil {
		t.Fatal(err)
	}
	if h, err = w.PlanHistory(ctx, r); err != nil || !h.Kept || h.First.P50 != "2026-12-24" {
		t.Errorf("the kept plan is %+v (%v)", h.First, err)
	}
}

// TestWhatTheBodyShopAsksFor: gaps are set before paint although both are of the
// finish, the lamp may be polished whenever there is time, badges come after paint;
// and the car rolls to the alignment only with its wheel back on.
func TestWhatTheBodyShopAsksFor(t *testing.T) {
	away := func(_ *rebuild.Rebuild, k *rebuild.JobPlan) {
		k.Outside, k.WithoutMe, k.CarGoes, k.OutsideDays = true, true, true, uncertain.Range{Low: 5, Likely: 7, High: 14}
	}
	r := stand(t,
		aJob("Gaps", 10, takes(20, 30, 40), inStage(8)), aJob("Paint", 10, takes(0, 0, 0), inStage(8)), aJob("Badges", 10, takes(1, 1, 2), inStage(8)), aJob("Polish", 10, takes(1, 2, 3), inStage(8)), aJob("Alignment", 10, takes(0, 0, 0), inStage(7)),
		plannedJob(t, "Paint", []string{"Gaps"}, away), plannedJob(t, "Badges", []string{"Paint"}), plannedJob(t, "Alignment", nil, away),
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddStripItem(rebuild.StripItem{At: "2026-06-01T10:00:00Z", What: "wheel", Zone: "underside"})
		},
	)
	p := arrange(t, r)
	of := func(title string) plan.Placed { return placedOf(t, p, jobTask(idOf(t, r, title))) }
	gate := p.Reached[slices.IndexFunc(p.Goals, func(g PlanGoal) bool { return g.Gate == rebuild.GateBodyShop })].Day
	wheel := placedOf(t, p, fmt.Sprintf("refit-%d", r.Strip[0].ID))
	for _, c := range []struct {
		what          string
		first, second float64
	}{
		{"gaps before the gate", of("Gaps").EndDay, gate},
		{"the gate before paint", gate, of("Paint").StartDay},
		{"paint before badges", of("Paint").EndDay, of("Badges").StartDay},
		{"the wheel before the alignment", wheel.EndDay, of("Alignment").StartDay},
	} {
		if c.first > c.second+1e-6 {
			t.Errorf("not %s: day %g, then day %g", c.what, c.first, c.second)
		}
	}
	m := p.Problem.Milestones[slices.IndexFunc(p.Problem.Milestones, func(m plan.Milestone) bool { return m.ID == "gate-body-shop" })]
	if slices.ContainsFunc(m.After, func(l plan.Link) bool { return l.ID == jobTask(idOf(t, r, "Polish")) }) {
		t.Error("the body shop asks for the lamp to be polished")
	}
	for _, text := range append(slices.Clone(p.Cautions), p.Result.Working[0].What) {
		if strings.Contains(text, "gate-") {
			t.Errorf("an id is shown: %s", text)
		}
	}
}
