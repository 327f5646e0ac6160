package workshop

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func jobTask(id int64) string { return fmt.Sprintf("job-%d", id) }

// stageFinish is the stage of paint and trim.
const stageFinish = 8

// jobs enters the jobs that are still to be done.
func (b *planner) jobs() {
	b.late, b.free = b.lateJobs()
	going := b.goingOn()
	withoutHours := 0
	for i := range b.r.Jobs {
		j := &b.r.Jobs[i]
		route, known := j.Planned()
		if !b.planned(j) {
			continue
		}
		k := b.planOfJob(j.ID)
		t := plan.Task{ID: jobTask(j.ID), Zone: rebuild.ZoneName(j.Zone), Tool: k.SetUp, Noisy: k.Noisy, Daylight: k.Daylight, NotBeforeDay: b.notBefore(k)}
		about := PlanTask{Kind: TaskJob, JobID: j.ID, StartedAt: k.StartedAt, Title: j.Title, Target: Target{Page: "job", ID: j.ID}, zone: j.Zone, safety: j.Safety, welded: route.Method == rebuild.MethodWelded}
		t.After = b.comesAfter(k)
		if j.Needed < 1 && j.State != rebuild.JobDoing {
			t.Skip = 1 - j.Needed
		}
		if k.Outside {
			b.outside(&t, &about, k)
		} else if b.work(&t, &about, j, route, k); !known || route.Hours.High == 0 {
			withoutHours++
			about.Note = "no hours are entered: what is usual is taken"
		}
		if going[j.ID] {
			t.StartedDay = new(b.began(j, k))
			t.SlotDays, t.NotBeforeDay, t.Skip = nil, 0, 0
		}
		b.add(t, about)
	}
	if withoutHours > 0 {
		b.assume("%s without hours: 1 to 8 h each are taken, 3 h likely.", count(withoutHours, "job is", "jobs are"))
	}
}

// planned reports whether a job takes time in the plan.
func (b *planner) planned(j *rebuild.Job) bool {
	route := j.ChosenRoute()
	return j.Ahead() && j.Needed > 0 && (route == nil || route.Kind != rebuild.Leave)
}

func (b *planner) planOfJob(id int64) rebuild.JobPlan {
	if k := b.r.PlanOfJob(id); k != nil {
		return *k
	}
	return rebuild.JobPlan{JobID: id}
}

// work says how long own work takes and who does it.
func (b *planner) work(t *plan.Task, about *PlanTask, j *rebuild.Job, route rebuild.Route, k rebuild.JobPlan) {
	hours := route.Hours
	if hours.High == 0 {
		hours = *usual("job")
	}
	fails := 0.0
	if route.Fallback != nil && route.Fallback.Hours.High > 0 {
		fails = 1 - route.Works
		if j.Failed {
			fails = 1
		}
	}
	if k.StartedAt == "" || j.State != rebuild.JobDoing || j.HoursSpent > 0 {
		hours = lessDone(hours, j.HoursSpent)
	}
	t.Hours = &hours
	t.Draws = "job/" + drawKey(j, route)
	if fails > 0 {
		more := route.Fallback.Hours
		t.Again = &plan.Again{Chance: fails, Hours: &more}
	}
	t.Uses = append(t.Uses, plan.Use{Resource: theCar, Count: 1})
	var who []string
	if !k.WithoutMe {
		t.Uses = append(t.Uses, plan.Use{Resource: ownHands, Count: 1})
		who = append(who, "you")
	}
	for _, id := range k.Helpers {
		t.Uses = append(t.Uses, plan.Use{Resource: helperID(id), Count: 1})
		if p := b.r.Person(id); p != nil {
			who = append(who, p.Name)
		}
	}
	for _, h := range k.Holds {
		t.Uses = append(t.Uses, plan.Use{Resource: thingID(h.Thing), Count: h.Count})
	}
	about.Who = strings.Join(who, " and ")
}

// lessDone takes the hours spent off a range; a job that took longer than likely
// already has something left all the same.
func lessDone(hours uncertain.Range, spent float64) uncertain.Range {
	if spent <= 0 {
		return hours
	}
	least := 0.1 * hours.Likely
	left := uncertain.Range{Low: max(0, hours.Low-spent), Likely: max(least, hours.Likely-spent), High: max(2*least, hours.High-spent)}
	left.Low = min(left.Low, left.Likely)
	return left
}

// outside says how long somebody else's work takes and when it can begin.
func (b *planner) outside(t *plan.Task, about *PlanTask, k rebuild.JobPlan) {
	t.Outside, t.Days, about.Who = true, new(k.OutsideDays), "outside"
	for _, h := range k.Holds {
		t.Uses = append(t.Uses, plan.Use{Resource: thingID(h.Thing), Count: h.Count})
	}
	if k.CarGoes {
		t.Uses = append(t.Uses, plan.Use{Resource: theCar, Count: carHolders})
	}
	for _, s := range k.Slots {
		if on := b.day(s); on >= 0 && on < furthest {
			t.SlotDays = append(t.SlotDays, on)
			about.booked = append(about.booked, s)
		}
	}
	if len(k.Slots) == 0 {
		t.SlotDays, t.SlotEvery = b.openDays()
		return
	}
	switch last := len(t.SlotDays) - 1; {
	case len(k.Slots) > 0 && last < 0:
		about.Note = "its slots are past: another is taken to be found every two weeks"
		t.SlotDays, about.booked = []float64{math.Floor(b.p.TodayDay) + float64(nextSlot)}, k.Slots
	case last >= 0 && t.SlotDays[last] < math.Floor(b.p.TodayDay):
		about.Note = "its slots are past: another is taken to be found every two weeks"
	case last >= 0:
		about.Note = "where its last slot is missed, another is taken to be found every two weeks"
	}
}

// notBefore is the earliest day, with what must cure after jobs that are done.
func (b *planner) notBefore(k rebuild.JobPlan) float64 {
	at := b.day(k.NotBefore)
	for _, id := range k.After {
		before := b.planOfJob(id)
		if j := b.r.Job(id); j != nil && j.Finished() && before.WaitDays > 0 {
			done := b.moment(before.DoneAt)
			if before.DoneAt == "" {
				done = b.day(j.DoneOn)
			}
			at = max(at, done+before.WaitDays)
		}
	}
	return max(0, min(at, furthest))
}

// comesAfter are the tasks of the jobs before one, and its deliveries. A job that
// is dropped or left lets through what it came after.
func (b *planner) comesAfter(k rebuild.JobPlan) []plan.Link {
	var links []plan.Link
	seen := map[int64]bool{}
	var follow func(id int64)
	follow = func(id int64) {
		j := b.r.Job(id)
		if j == nil || seen[id] {
			return
		}
		seen[id] = true
		switch {
		case b.planned(j):
			links = append(links, b.jobLink(id))
		case !j.Finished():
			for _, before := range b.planOfJob(id).After {
				follow(before)
			}
		}
	}
	for _, id := range k.After {
		follow(id)
	}
	for _, d := range b.r.DeliveriesOf(k.JobID) {
		if !d.Arrived() {
			links = append(links, plan.Link{ID: deliveryTask(d.ID)})
		}
	}
	return links
}

// jobLink is to come after a job and what must cure after it.
func (b *planner) jobLink(id int64) plan.Link {
	return plan.Link{ID: jobTask(id), LagDays: b.planOfJob(id).WaitDays}
}

// began is when a job that is going on began. Where hours spent on it are entered,
// what is left of it begins now.
func (b *planner) began(j *rebuild.Job, k rebuild.JobPlan) float64 {
	if j.HoursSpent > 0 && !k.Outside {
		return b.p.TodayDay
	}
	return max(0, min(b.moment(k.StartedAt), b.p.TodayDay))
}

// lateJobs are the work of the body shop - jobs of the finish for which the car is
// away - and what comes after it; free are the other jobs of the finish which that
// work does not come after.
func (b *planner) lateJobs() (late, free map[int64]bool) {
	late, free = map[int64]bool{}, map[int64]bool{}
	var before []int64
	for i := range b.r.Jobs {
		j := &b.r.Jobs[i]
		k := b.planOfJob(j.ID)
		if late[j.ID] = j.Stage >= stageFinish && k.Outside && k.CarGoes; late[j.ID] {
			before = append(before, k.After...)
		}
	}
	for moved := true; moved; {
		moved = false
		for _, k := range b.r.JobPlans {
			if !late[k.JobID] && slices.ContainsFunc(k.After, func(id int64) bool { return late[id] }) {
				late[k.JobID], moved = true, true
			}
		}
	}
	needed := map[int64]bool{}
	for len(before) > 0 {
		id := before[0]
		before = before[1:]
		if !needed[id] {
			needed[id] = true
			before = append(before, b.planOfJob(id).After...)
		}
	}
	for i := range b.r.Jobs {
		j := &b.r.Jobs[i]
		free[j.ID] = j.Stage >= stageFinish && !late[j.ID] && !needed[j.ID]
	}
	return late, free
}

// goingOn are the jobs that are being worked on now: of those begun by a tap, the
// ones begun last, as far as people and things reach. The others were laid aside.
func (b *planner) goingOn() map[int64]bool {
	var begun []rebuild.JobPlan
	for _, k := range b.r.JobPlans {
		if j := b.r.Job(k.JobID); j != nil && j.State == rebuild.JobDoing && k.StartedAt != "" {
			begun = append(begun, k)
		}
	}
	slices.SortFunc(begun, func(x, y rebuild.JobPlan) int {
		return cmp.Or(instant(y.StartedAt).Compare(instant(x.StartedAt)), cmp.Compare(y.ID, x.ID))
	})
	going, held, aside := map[int64]bool{}, map[string]int{}, 0
	for _, k := range begun {
		if b.fits(k, held) {
			going[k.JobID] = true
		} else {
			aside++
		}
	}
	if aside > 0 {
		b.assume("More jobs are begun than hands and things reach for: the ones begun last are taken to be going on, %s laid aside.", count(aside, "other is", "others are"))
	}
	return going
}

func instant(at string) time.Time {
	t, _ := time.Parse(time.RFC3339, at) // the book holds no other
	return t
}

// GoingOn are the jobs that are being worked on now: begun by a tap and not laid
// aside for others since.
func GoingOn(r *rebuild.Rebuild) map[int64]bool {
	b := &planner{r: r, tasks: map[string]int{}, out: &WorkPlan{}}
	b.people()
	return b.goingOn()
}

// fits reports whether what a job needs is free, and takes it.
func (b *planner) fits(k rebuild.JobPlan, held map[string]int) bool {
	var uses []plan.Use
	probe, about := plan.Task{}, PlanTask{}
	if k.Outside {
		b.outside(&probe, &about, k)
	} else {
		b.work(&probe, &about, b.r.Job(k.JobID), rebuild.Route{}, k)
	}
	uses = probe.Uses
	for _, u := range uses {
		i := slices.IndexFunc(b.p.Resources, func(r plan.Resource) bool { return r.ID == u.Resource })
		if i < 0 || held[u.Resource]+u.Count > b.p.Resources[i].Capacity {
			return false
		}
	}
	for _, u := range uses {
		held[u.Resource] += u.Count
	}
	return true
}
