package workshop

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// prepareAndPaint: own hours are Saturdays 9 to 17, the first one 4 July. Preparing
// takes 8 h, which is done on 4 July; where it fails, as it does in 40 of 100 cases,
// 8 h more, until 11 July.
func prepareAndPaint(t *testing.T, slots ...string) *rebuild.Rebuild {
	return stand(t,
		aJob("Prepare", 10, takes(8, 8, 8), func(j *rebuild.Job) {
			j.Routes[0].Works, j.Routes[0].Fallback = 0.6, &rebuild.Fallback{Cost: uncertain.Certain(1), Hours: uncertain.Certain(8)}
		}),
		aJob("Paint", 10, takes(0, 0, 0)), person("Ada", true, saturdays(9, 17)),
		plannedJob(t, "Paint", []string{"Prepare"}, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) {
			k.Outside, k.WithoutMe, k.OutsideDays, k.Slots = true, true, uncertain.Certain(7), slots
		}),
	)
}

func TestTheChanceOfASlotIsSaid(t *testing.T) {
	p := arrange(t, prepareAndPaint(t, "2026-07-06", "2026-07-08"))
	list := p.Booked()
	if len(list) != 1 || len(list[0].Slots) != 2 || list[0].Title != "Paint" || list[0].Invented != "" || list[0].Ready != "2026-07-04" {
		t.Fatalf("booked: %+v", list)
	}
	// Four standard errors of two thousand trials.
	room := 4 * math.Sqrt(0.24/2000)
	if s := list[0].Slots; s[0].On != "2026-07-06" || math.Abs(s[0].Chance-0.6) > room || s[1].Chance != 0 || math.Abs(list[0].Missed-0.4) > room {
		t.Errorf("the chances are %+v, missed %g; want 0.6, 0 and 0.4", s, list[0].Missed)
	}
	if all := strings.Join(p.Cautions, "\n"); strings.Contains(all, "is assumed") {
		t.Errorf("a slot that is likely met is called missed: %s", all)
	}
}

func TestASlotThatCannotBeMetIsSaid(t *testing.T) {
	p := arrange(t, prepareAndPaint(t, "2026-07-02"))
	b := p.Booked()[0]
	if b.Slots[0].Chance != 0 || b.Missed != 1 || b.Invented != "2026-07-16" || b.Ready != "2026-07-04" {
		t.Errorf("booked: %+v", b)
	}
	if all := strings.Join(p.Cautions, "\n"); !strings.Contains(all, `the slot of 2026-07-02 for "Paint" is missed in this plan, for work before it likely ends on 2026-07-04; another one on 2026-07-16 is assumed`) {
		t.Errorf("the cautions are %s", all)
	}
	past := arrange(t, prepareAndPaint(t, "2026-06-01"))
	if b := past.Booked()[0]; len(b.Slots) != 0 || b.Missed != 1 || b.Invented == "" {
		t.Errorf("with slots that are past: %+v", b)
	}
	if all := strings.Join(past.Cautions, "\n"); !strings.Contains(all, `the slots of "Paint" are past`) {
		t.Errorf("the cautions are %s", all)
	}
}

// TestAWhatIfInventsNoSlot: a day on which the work before is not done is refused with
// the reason, not answered by a slot that nobody has.
func TestAWhatIfInventsNoSlot(t *testing.T) {
	w := open(t)
	r := prepareAndPaint(t, "2026-07-06", "2026-08-03")
	paint := idOf(t, r, "Paint")
	if _, err := w.WhatIfPlan(t.Context(), r, PlanTweak{Slot: map[int64][]string{paint: {"2026-07-07"}}}); err != nil {
		t.Errorf("a day later: %v", err)
	}
	// The other slot is kept: the work goes there.
	if e, err := w.WhatIfPlan(t.Context(), r, PlanTweak{Slot: map[int64][]string{paint: {"2026-07-02"}}}); err != nil || e.FinishDays > 0 {
		t.Errorf("a slot that cannot be met gains %g days (%v)", e.FinishDays, err)
	}
	alone := prepareAndPaint(t, "2026-07-06")
	_, err := open(t).WhatIfPlan(t.Context(), alone, PlanTweak{Slot: map[int64][]string{idOf(t, alone, "Paint"): {"2026-07-02"}}})
	if err == nil || !strings.Contains(err.Error(), "that slot cannot be met: work before it likely ends on 2026-07-04") {
		t.Errorf("got %v", err)
	}
}

// TestOthersTakeWorkInOnWeekdays: prepared on Saturday, 4 July, it goes away on Monday.
func TestOthersTakeWorkInOnWeekdays(t *testing.T) {
	r := prepareAndPaint(t)
	p := arrange(t, r)
	if at := p.Date(placedOf(t, p, jobTask(idOf(t, r, "Paint"))).StartDay); at.Format(time.DateOnly) != "2026-07-06" {
		t.Errorf("it goes away on %s", at)
	}
	if len(p.Booked()) != 0 {
		t.Error("usual open days are told as booked slots")
	}
}

// TestAWishedDateIsKeptOnThatDay: with 8 h that are certain the work ends on Saturday,
// 4 July, at 17: wished for that day it is kept, the day before it is not.
func TestAWishedDateIsKeptOnThatDay(t *testing.T) {
	for on, want := range map[string]float64{"2026-07-03": 0, "2026-07-04": 1} {
		r := stand(t, aJob("Weld", 10, takes(8, 8, 8)), person("Ada", true, saturdays(9, 17)), func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddMilestone(rebuild.Milestone{Name: "Welded", Jobs: []int64{r.Jobs[0].ID}, WishedOn: on, LateOnce: amount.New(100, "GBP")})
		})
		p := arrange(t, r)
		i := slices.IndexFunc(p.Goals, func(g PlanGoal) bool { return g.Name == "Welded" })
		if m := p.Reached[i]; *m.ChanceBy != want || m.ByDate != on || m.Date != "2026-07-04" {
			t.Errorf("wished by %s: %+v, chance %g", on, m, *m.ChanceBy)
		}
	}
}

// TestTheWishedInspectionIsOverByThen: the date is of the inspection, not of being
// ready for it.
func TestTheWishedInspectionIsOverByThen(t *testing.T) {
	r := stand(t, aJob("Weld", 10, takes(8, 8, 8)), person("Ada", true, saturdays(9, 17)), func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddMilestone(rebuild.Milestone{Gate: rebuild.GateInspection, WishedOn: "2026-12-01"})
	})
	p := arrange(t, r)
	days := map[string]float64{}
	for i, g := range p.Goals {
		days[g.Name] = p.Reached[i].Day
		if wished := p.Reached[i].ByDate != ""; wished != (g.Name == "Inspection held") {
			t.Errorf("%q has the wished date %q", g.Name, p.Reached[i].ByDate)
		}
	}
	i, _ := p.Index("inspection")
	if held := days["Inspection held"]; held <= days["Ready for the inspection"] || math.Abs(held-p.Placed[i].EndDay) > 1e-6 {
		t.Errorf("the milestones are on %v, the inspection ends on %g", days, p.Placed[i].EndDay)
	}
}

// TestDaysHaveTheirMidnight: where the clocks go forward at midnight the plan's first
// day is that day, not the one before.
func TestDaysHaveTheirMidnight(t *testing.T) {
	here := time.Local
	defer func() { time.Local = here }()
	var err error
	if time.Local, err = time.LoadLocation("America/Santiago"); err != nil {
		t.Skip("no time zones are installed here")
	}
	// No midnight on 6 September 2026 there: the clock goes from 23:59 to 1:00.
	r := stand(t, aJob("Weld", 10, takes(8, 8, 8)), person("Ada", true, rebuild.WorkHours{Weekday: 0, From: 540, To: 1020}))
	p := PlanOf(r, "2026-09-06")
	if p.Why != "" || p.Problem.Start.Format(time.DateOnly) != "2026-09-06" || p.Date(1.5).Format("2006-01-02 15:04") != "2026-09-07 12:00" {
		t.Errorf("the first day is %s, noon of the next %s (%s)", p.Problem.Start, p.Date(1.5), p.Why)
	}
	if got := (&WorkPlan{Problem: p.Problem}).Date(9.0/24 + 29.9999/24/60).Format("15:04"); got != "09:30" {
		t.Errorf("half past nine is told as %s", got)
	}
}

// TestWhatHasNotComeIsExpectedLater: ordered 20 days ago with 10 to 30 days to come,
// it has not come yet, and no date before today is told.
func TestWhatHasNotComeIsExpectedLater(t *testing.T) {
	r := stand(t, aJob("Weld", 10, takes(2, 3, 4)), func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddDelivery(rebuild.Delivery{JobID: r.Jobs[0].ID, What: "leg", OrderedOn: "2026-06-10", LeadDays: uncertain.Range{Low: 10, Likely: 15, High: 30}})
	})
	p := arrange(t, r)
	list, err := waitsOf(t.Context(), r, p)
	if err != nil {
		t.Fatal(err)
	}
	i, _ := p.Index(deliveryTask(r.Deliveries[0].ID))
	d := p.Doubt.Tasks[i]
	// Fifteen days, the likely length, were over on 25 June.
	if c := list[0]; c.Likely <= today || c.From > c.Likely || c.Likely >= c.To || c.Likely != dateOf(p, d.EndP50) || c.To != dateOf(p, d.EndP90) {
		t.Errorf("it is expected on %s, %s to %s", c.Likely, c.From, c.To)
	}
}

// TestOnlyTheWorkBegunLastGoesOn: of two jobs begun at the same moment the one entered
// last; a tap on the other lets that one go on.
func TestOnlyTheWorkBegunLastGoesOn(t *testing.T) {
	begun := func(title, at string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.StartJob(idOf(t, r, title), at) }
	}
	r := stand(t, aJob("Weld", 10), aJob("Grind", 10), begun("Weld", "2026-06-30T10:00:00+02:00"), begun("Grind", "2026-06-30T08:00:00Z"))
	weld, grind := idOf(t, r, "Weld"), idOf(t, r, "Grind")
	if going := GoingOn(r); going[weld] || !going[grind] {
		t.Errorf("going on: %v", going)
	}
	if _, err := r.StartJob(grind, "2026-06-30T12:00:00Z"); err == nil {
		t.Error("what goes on was begun again")
	}
	r = more(t, r, begun("Weld", "2026-06-30T11:00:00Z"))
	if going := GoingOn(r); !going[weld] || going[grind] {
		t.Errorf("after a tap on the other: %v", going)
	}
}

// TestRememberingOneAgainForgetsNoOther: what is kept anew takes no other's place.
func TestRememberingOneAgainForgetsNoOther(t *testing.T) {
	var m memory[int]
	for id := range int64(mostRemembered) {
		m.keep(id, remembered[int]{stamp{1, today}, int(id)})
	}
	for range 5 {
		m.keep(3, remembered[int]{stamp{2, today}, 3})
	}
	if len(m.answers) != mostRemembered {
		t.Errorf("%d of %d are left", len(m.answers), mostRemembered)
	}
}

// TestASearchThatIsOverIsForgotten: a page that asks for a plan whose better order is
// not remembered any more searches again instead of waiting for ever.
func TestASearchThatIsOverIsForgotten(t *testing.T) {
	w := open(t)
	r := stand(t, aJob("Weld", 10, takes(2, 3, 4)), aJob("Grind", 10, takes(2, 5, 9)), aJob("Fit", 10, takes(1, 5, 9)))
	for range 2 {
		p, err := w.Planned(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		w.searching.all.Wait()
		if p.Search.Proven {
			t.Skip("proven best at once")
		}
		if len(w.searching.going) != 0 {
			t.Fatal("a search that is over is still waited for")
		}
		if again, err := w.Planned(t.Context(), r); err != nil || again.Improving {
			t.Errorf("after the search it is still improving (%v)", err)
		}
		w.better = memory[*WorkPlan]{}
	}
}
