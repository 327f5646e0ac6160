package workshop

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

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
	texts := slices.Clone(p.Cautions)
	for _, line := range p.Result.Working {
		texts = append(texts, line.What)
	}
	for _, text := range texts {
		if strings.Contains(text, "gate-") || strings.Contains(text, "own-hands") {
			t.Errorf("an id is shown: %s", text)
		}
	}
}
