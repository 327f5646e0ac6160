package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"wreckwright/knowledge"
	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// PlanOf makes the problem of a rebuild's plan as it stands on that day: jobs with
// their hours and what they wait for, what goes back on the car, the first drives,
// the inspection, gates and own milestones. Where nothing is entered it takes what
// is usual and says so in Assumed. Why says in words why there is nothing to plan.
func PlanOf(r *rebuild.Rebuild, today string) *WorkPlan {
	b := &planner{r: r, tasks: map[string]int{}, gates: map[rebuild.Gate][]plan.Link{}, out: &WorkPlan{RebuildID: r.ID, Version: r.Version, On: today}}
	b.out.Over = doneJobs(r)
	if b.out.Why = b.begin(today); b.out.Why != "" {
		return b.out
	}
	b.people()
	b.jobs()
	b.deliveries()
	b.refit()
	b.rolling()
	b.drives()
	b.milestones()
	b.out.Why = b.finish()
	b.out.Problem = b.p
	return b.out
}

// furthest is how far ahead dates count, in days: ten years.
const furthest = 3650.0

// planner builds a plan's problem.
type planner struct {
	r     *rebuild.Rebuild
	p     plan.Problem
	out   *WorkPlan
	start time.Time // midnight UTC of day 0: for counting days

	tasks map[string]int // place of each task
	late  map[int64]bool // jobs that come after the body shop's gate
	free  map[int64]bool // jobs of the finish that it does not ask for either
	gates map[rebuild.Gate][]plan.Link
	back  []plan.Link // what goes back on the car before the first drive
	after []plan.Link // what goes back after the body shop
	last  []plan.Link // the last of the first drives
}

func (b *planner) assume(format string, args ...any) {
	b.out.Assumed = append(b.out.Assumed, fmt.Sprintf(format, args...))
}

// begin sets the first day and today, and says why nothing can be planned.
func (b *planner) begin(today string) string {
	now, err := time.Parse(time.DateOnly, today)
	switch {
	case err != nil:
		return "what day it is today is not known"
	case len(b.r.Jobs) == 0:
		return "no job is entered yet; the plan begins with the first one"
	case b.r.PassOf(rebuild.GateHandOver) != nil:
		return "the hand-over gate is passed: nothing is left to plan"
	}
	b.start = now
	for _, on := range b.earlier() {
		if day, err := time.Parse(time.DateOnly, on); err == nil && day.Before(b.start) {
			b.start = day
		}
	}
	if least := now.AddDate(0, 0, -int(furthest)); b.start.Before(least) {
		b.start = least
	}
	// In UTC, where each day has its midnight; only the calendar file needs a zone.
	b.p = plan.Problem{
		Start: b.start, Currency: b.r.Car.Currency, CostPerDay: b.r.Timetable().CostPerDay(),
		Correlation: min(b.r.Car.Correlation, uncertain.MaxCorrelation), Seed: planSeed,
		Bias: uncertain.LearnBias(closedJobs(b.r, b.r.Paid())),
	}
	b.out.CostPerDay = b.p.CostPerDay
	// What was tapped today is behind; what has not begun cannot begin before that.
	b.p.TodayDay = b.day(today)
	for _, k := range b.r.JobPlans {
		for _, at := range []string{k.StartedAt, k.DoneAt} {
			if day := b.moment(at); day < b.day(today)+1 {
				b.p.TodayDay = max(b.p.TodayDay, day)
			}
		}
	}
	return ""
}

// planSeed makes the draws those of the forecast, whose seed it is.
const planSeed = 1

// earlier are the days before today that count.
func (b *planner) earlier() []string {
	var days []string
	for _, m := range b.r.Milestones {
		days = append(days, m.WishedOn)
	}
	days = append(days, b.r.Car.WantedBy)
	for _, d := range b.r.Deliveries {
		if !d.Arrived() {
			days = append(days, d.OrderedOn)
		}
	}
	for _, k := range b.r.JobPlans {
		if j := b.r.Job(k.JobID); j != nil && j.Ahead() && k.StartedAt != "" {
			days = append(days, k.StartedAt[:min(len(k.StartedAt), len(time.DateOnly))])
		}
	}
	return days
}

// day counts from the first day of the problem; 0 where none is said.
func (b *planner) day(on string) float64 {
	at, err := time.Parse(time.DateOnly, on)
	if err != nil {
		return 0
	}
	return at.Sub(b.start).Hours() / 24
}

// moment is a day with its time, by the clock on the wall where it was written.
func (b *planner) moment(at string) float64 {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return 0
	}
	return b.day(t.Format(time.DateOnly)) + (float64(t.Hour())+float64(t.Minute())/60)/24
}

// add enters a task.
func (b *planner) add(t plan.Task, about PlanTask) {
	t.Name = about.Title
	b.tasks[t.ID] = len(b.p.Tasks)
	b.p.Tasks = append(b.p.Tasks, t)
	if about.Needed == 0 {
		about.Needed = 1 - t.Skip
	}
	b.out.Tasks = append(b.out.Tasks, about)
}

// usual is how long something takes of which nothing is said.
func usual(key string) *uncertain.Range {
	u, ok := knowledge.UsualLengthFor(key)
	if !ok {
		return new(uncertain.Certain(1))
	}
	return &uncertain.Range{Low: u.Low, Likely: u.Likely, High: u.High}
}

func doneJobs(r *rebuild.Rebuild) []DoneJob {
	var list []DoneJob
	for _, k := range r.JobPlans {
		if j := r.Job(k.JobID); j != nil && j.Finished() && k.DoneAt != "" {
			list = append(list, DoneJob{j.ID, j.Title, k.StartedAt, k.DoneAt})
		}
	}
	slices.SortFunc(list, func(a, b DoneJob) int { return -cmp.Or(cmp.Compare(a.DoneAt, b.DoneAt), cmp.Compare(a.JobID, b.JobID)) })
	return list
}

// finish adds what waits for what, and looks at the whole.
func (b *planner) finish() string {
	if len(b.p.Tasks) == 0 {
		return "everything that was entered is done: nothing is left to plan"
	}
	if n := len(b.p.Tasks) + len(b.p.Milestones); n > plan.MaxTasks {
		return fmt.Sprintf("there are %d things to plan, and %d are the most; drop or finish some", n, plan.MaxTasks)
	}
	if len(b.p.Resources) > plan.MaxResources {
		return fmt.Sprintf("there are %d people and things, and %d are the most", len(b.p.Resources), plan.MaxResources)
	}
	for i, t := range b.p.Tasks {
		for _, l := range t.After {
			if k, ok := b.tasks[l.ID]; ok {
				b.out.Tasks[k].Blocks = append(b.out.Tasks[k].Blocks, b.out.Tasks[i].Title)
			}
		}
	}
	b.p.Trials = max(500, min(4000, 200_000/len(b.p.Tasks)))
	if err := b.p.Check(); err != nil {
		return planTrouble(b.p, err)
	}
	return ""
}
