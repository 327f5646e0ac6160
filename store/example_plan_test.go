package store_test

import (
	"context"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// fillPlan enters an eighth car that is planned: two people, a lift, a body shop
// with a slot, parts on their way, milestones, a measuring sheet, and the plan of
// an earlier day.
func fillPlan(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	tern := skua
	tern.Name, tern.Model, tern.Ceiling = "Tern", "Tern", amount.Amount{}
	r, err := b.Start(ctx, me, tern)
	must(t, err)
	id := r.ID
	job := func(title string) plan {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			j := hubJob(0)
			j.Title, j.Findings, j.Safety = title, nil, rebuild.SafetyNone
			return r.AddJob(j)
		}
	}
	for _, step := range append([]plan{job("Strip the corner"), job("Straighten the leg"), job("Paint the wing")}, planSteps()...) {
		do(t, b, id, step)
	}
	chance := 0.42
	stand := &rebuild.PlanStand{
		On: "2026-03-01", P10: "2026-05-01", P50: "2026-05-20", P80: "2026-06-03", P90: "2026-06-20",
		Reached: []rebuild.ReachedStand{{Key: "body shop", Name: "body shop", P50: "2026-05-02", P80: "2026-05-09", Wished: "2026-05-04", Chance: &chance}},
	}
	do(t, b, id, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.KeepPlan(stand) })
	must(t, b.KeepMark(ctx, id, store.Mark{On: "2026-03-01", Mean: 4000, P10: 3000, P50: 4000, P80: 4500, P90: 5000, Version: 5, Plan: stand}))
	must(t, b.KeepMark(ctx, id, store.Mark{On: "2026-03-02", Mean: 4100, P10: 3000, P50: 4000, P80: 4500, P90: 5000, Version: 6}))
}

func planSteps() []plan {
	return []plan{
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddPerson(rebuild.Person{Name: "Ada", Own: true, Hours: []rebuild.WorkHours{{Weekday: 2, From: 1110, To: 1260}, {Weekday: 6, From: 540, To: 1020}}, Away: []rebuild.DaySpan{{From: "2026-04-03", To: "2026-04-12", Why: "away"}}})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddPerson(rebuild.Person{Name: "Bo", Hours: []rebuild.WorkHours{{Weekday: 6, From: 540, To: 1020}}, Extra: []rebuild.Opening{{On: "2026-03-15", From: 540, To: 900}}})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddThing(rebuild.Thing{Name: "lift", Count: 1, From: "2026-03-01"})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetTimetable(rebuild.Timetable{
				Closed: []rebuild.DaySpan{{From: "2026-12-24", To: "2026-12-26", Why: "feast"}}, QuietFrom: 1260, QuietTo: 420,
				Costs: []rebuild.RunningCost{{Name: "storage", Amount: amount.New(9_000, "GBP"), Per: rebuild.PerMonth}},
			})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetJobPlan(rebuild.JobPlan{JobID: r.Jobs[1].ID, After: []int64{r.Jobs[0].ID}, Helpers: []int64{r.People[1].ID}, Holds: []rebuild.ThingUse{{Thing: r.Things[0].ID, Count: 1}}, WaitDays: 1.5, Noisy: true, SetUp: "press"})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetJobPlan(rebuild.JobPlan{JobID: r.Jobs[2].ID, After: []int64{r.Jobs[1].ID}, WithoutMe: true, Outside: true, CarGoes: true, OutsideDays: uncertain.Range{Low: 5, Likely: 7, High: 12}, Slots: []string{"2026-05-04", "2026-06-01"}})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.StartJob(r.Jobs[0].ID, "2026-03-03T18:30:00+01:00")
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.FinishJob(r.Jobs[0].ID, "2026-03-07T12:00:00+01:00")
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddDelivery(rebuild.Delivery{JobID: r.Jobs[1].ID, What: "leg", Supplier: "Moor Breakers", OrderedOn: "2026-03-02", LeadDays: uncertain.Range{Low: 5, Likely: 9, High: 21}, Faster: &rebuild.Faster{Days: 4, Cost: amount.New(4_000, "GBP")}, Amount: amount.New(21_050, "GBP")})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddDelivery(rebuild.Delivery{JobID: r.Jobs[1].ID, What: "bolts"})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.Arrive(r.Deliveries[1].ID, "2026-03-05")
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddMilestone(rebuild.Milestone{Gate: rebuild.GateBodyShop, WishedOn: "2026-05-04", LateOnce: amount.New(20_000, "GBP"), LatePerDay: amount.New(500, "GBP")})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddMilestone(rebuild.Milestone{Name: "off the lift", Jobs: []int64{r.Jobs[1].ID}})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddSheet(rebuild.Sheet{Of: rebuild.InstrumentSurvey, Title: "Underbody", JobID: r.Jobs[1].ID, Phase: rebuild.PhaseBefore, Told: `{"distances":[{"from":"A","to":"B","mm":1204.5}]}`})
		},
	}
}
