package workshop

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/knowledge"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

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
	for title, words := range map[string]string{"Grind": "these are quiet hours", "Lift": "Bo is not here", "Waits": "waits for leg"} {
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
	// The ends are of some two thousand trials: a day's doubt.
	if c := by["clips"]; !near(c.From, "2026-08-19") || !near(c.To, "2026-09-18") || !slices.Contains(c.Blocks, "Trim") {
		t.Errorf("50 to 80 days from 30 June are 19 August to 18 September, not %s to %s", c.From, c.To)
	}
	// Thirty days earlier moves the end by about as much, at 10 a day for 10.
	if c := by["clips"]; c.Worth == nil || c.Worth.FinishDays < 15 || !c.Pays {
		t.Errorf("the quicker way of the clips: %+v", c.Worth)
	}
}

// near reports whether two dates are a day apart at most.
func near(a, b string) bool {
	x, errX := time.Parse(time.DateOnly, a)
	y, errY := time.Parse(time.DateOnly, b)
	return errX == nil && errY == nil && math.Abs(x.Sub(y).Hours()) <= 24
}

// inBook starts a rebuild in the book of a workshop and makes the steps.
func inBook(t testing.TB, w *Workshop, steps ...step) *rebuild.Rebuild {
	t.Helper()
	r, err := w.Book().Start(t.Context(), byTest, aCar())
	for _, s := range steps {
		if err == nil {
			r, _, err = w.Book().Do(t.Context(), byTest, r.ID, s)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestTheCalendarFile(t *testing.T) {
	w := open(t)
	r := inBook(t, w, aJob("Weld, then paint", 10, takes(2, 3, 4), func(j *rebuild.Job) { j.Routes[0].Method = rebuild.MethodWelded }),
		withCar(func(c *rebuild.Car) { c.WantedBy = "2030-12-01" }))
	text, err := w.Calendar(t.Context(), r, time.Date(2026, 6, 30, 12, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"BEGIN:VCALENDAR\r\n", `SUMMARY:Weld\, then paint` + "\r\n", "BEGIN:VALARM\r\n", "END:VCALENDAR\r\n"} {
		if !strings.Contains(text, line) {
			t.Errorf("it holds no %q", line)
		}
	}
	plain := strings.NewReplacer("\r\n ", "", `\`, "").Replace(text)
	welding, _ := knowledge.CautionFor("welding")
	for _, words := range []string{"Caution, " + welding.Name, "TRIGGER:PT9H", "chance " + Percent(1)} {
		if !strings.Contains(plain, words) {
			t.Errorf("nothing says %q", words)
		}
	}
	// The same in every copy of the book, and no other's.
	uids := regexp.MustCompile(`UID:rebuild-\d+-[0-9a-f]{16}-`)
	again, err := w.Calendar(t.Context(), r, time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC))
	if err != nil || len(uids.FindAllString(plain, -1)) != strings.Count(plain, "UID:") || uids.FindString(plain) != uids.FindString(again) {
		t.Errorf("the ids are %q, then %q (%v)", uids.FindString(plain), uids.FindString(again), err)
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
