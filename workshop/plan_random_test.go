package workshop

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

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
		least := p.Problem.TodayDay
		if len(p.Tasks[i].booked) > 0 {
			least = math.Floor(least) // a slot of today is kept after a tap too
		}
		if x.StartDay < least-little && !x.Started {
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
