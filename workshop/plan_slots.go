package workshop

import (
	"fmt"
	"math"
	"slices"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// Booked is outside work with the slots that are booked or free for it.
type Booked struct {
	JobID  int64
	Title  string
	Slots  []SlotChance // ahead
	Missed float64      // chance that none of them is met
	// Invented is the day on which the plan has it begin where it meets none of them;
	// empty: it meets one.
	Invented string
	Ready    string // the day on which what comes before it is likely done
}

// SlotChance is the chance that outside work begins on a slot.
type SlotChance struct {
	On     string // ISO date
	Chance float64
}

// nextSlot is after how many days another slot is assumed.
const nextSlot = int(plan.DefaultSlotEvery)

// Booked lists outside work that has slots, with the chance of meeting each.
func (p *WorkPlan) Booked() []Booked {
	var list []Booked
	for i, t := range p.Tasks {
		if p.Why == "" && len(t.booked) > 0 && p.Problem.Tasks[i].StartedDay == nil {
			list = append(list, p.bookedAt(i))
		}
	}
	return list
}

func (p *WorkPlan) bookedAt(i int) Booked {
	t := p.Tasks[i]
	b := Booked{JobID: t.JobID, Title: t.Title, Missed: 1}
	for k, on := range t.booked {
		chance := 0.0
		if days := p.Problem.Tasks[i].SlotDays; k < len(days) && dateOf(p, days[k]) == on {
			chance = p.Doubt.Tasks[i].Slots[k]
		}
		b.Missed -= chance
		if on >= p.On {
			b.Slots = append(b.Slots, SlotChance{on, chance})
		}
	}
	b.Missed = max(0, b.Missed)
	b.Ready = dateOf(p, p.ready(i))
	if begin := dateOf(p, p.Placed[i].StartDay); !slices.Contains(t.booked, begin) {
		b.Invented = begin
	}
	return b
}

// ready is when the last of what comes before a task ends in the schedule.
func (p *WorkPlan) ready(i int) float64 {
	ready := max(p.Problem.TodayDay, p.Problem.Tasks[i].NotBeforeDay)
	for _, l := range p.Problem.Tasks[i].After {
		if k, ok := p.Index(l.ID); ok {
			ready = max(ready, p.Placed[k].EndDay+l.LagDays)
		}
		for k := range p.Problem.Milestones {
			if p.Problem.Milestones[k].ID == l.ID && k < len(p.Reached) {
				ready = max(ready, p.Reached[k].Day+l.LagDays)
			}
		}
	}
	return ready
}

// slotCautions say which slots the plan does not meet, and what it takes instead.
func (p *WorkPlan) slotCautions() []string {
	var out []string
	for _, b := range p.Booked() {
		switch n := len(b.Slots); {
		case b.Invented == "":
		case n == 0:
			out = append(out, fmt.Sprintf("the slots of %q are past: another one on %s is assumed; ask for one and enter it", b.Title, b.Invented))
		default:
			last := b.Slots[n-1]
			out = append(out, fmt.Sprintf("the slot of %s for %q is missed in this plan, for work before it likely ends on %s; another one on %s is assumed, as if one came free every two weeks (chance of meeting the slot: %s)",
				last.On, b.Title, b.Ready, b.Invented, Percent(last.Chance)))
		}
	}
	return out
}

// openDays are the days on which others take work in: Monday to Friday, for half a
// year; after that one day a week. Their holidays are not known.
//
// ref: DESIGN_PLAN_OF_A_REBUILD usual open days
func (b *planner) openDays() (days []float64, every float64) {
	first := int(math.Ceil(b.p.TodayDay)) // once something was tapped today, its morning is over
	for day := first; day < first+26*7; day++ {
		if w := b.start.AddDate(0, 0, day).Weekday(); w != time.Saturday && w != time.Sunday {
			days = append(days, float64(day))
		}
	}
	return days, 7
}

// JobDates is when a job is done by the plan.
type JobDates struct {
	Begin, End         string // in the schedule
	BeginP10, EndP90   string // in eight of ten cases it lies within
	EndP10             string
	SlackDays          float64
	Criticality        float64
	Needed             float64
	Booked             *Booked
	On                 string
	Started, Improving bool
}

// DatesOfJob is when a job is done by the plan that is at hand; nil where none is or
// the job is not in it. It never works out a plan while a page waits.
func (w *Workshop) DatesOfJob(r *rebuild.Rebuild, job int64) *JobDates {
	want := stamp{r.Version, w.today()}
	p, ok := w.better.look(r.ID, want)
	if !ok {
		p, ok = w.plans.look(r.ID, want)
	}
	if !ok {
		w.aside.Go(func() { _, _ = w.shortPlan(w.life, r) }) // for the next time
		return nil
	}
	i, there := p.TaskOfJob(job)
	if p.Why != "" || !there {
		return nil
	}
	x, d := p.Placed[i], p.Doubt.Tasks[i]
	dates := &JobDates{
		Begin: dateOf(p, x.StartDay), End: dateOf(p, x.EndDay), BeginP10: dateOf(p, d.StartP10), EndP10: dateOf(p, d.EndP10), EndP90: dateOf(p, d.EndP90),
		SlackDays: x.SlackDays, Criticality: d.Criticality, Needed: p.Tasks[i].Needed, On: p.On, Started: x.Started,
	}
	if len(p.Tasks[i].booked) > 0 && !x.Started {
		dates.Booked = new(p.bookedAt(i))
	}
	return dates
}

// unmet says why the slot of a what-if cannot be met; nil: it can.
func (tweak PlanTweak) unmet(p *WorkPlan, after plan.Problem, s plan.Schedule) error {
	for id, days := range tweak.Slot {
		i := slices.IndexFunc(after.Tasks, func(t plan.Task) bool { return t.ID == jobTask(id) })
		if i < 0 || i >= len(s.Placed) {
			continue
		}
		then := *p
		then.Problem, then.Schedule = after, s
		if begin := dateOf(p, s.Placed[i].StartDay); !slices.Contains(days, begin) && !slices.ContainsFunc(after.Tasks[i].SlotDays, func(day float64) bool { return dateOf(p, day) == begin }) {
			return planRefused("slot", "that slot cannot be met: work before it likely ends on %s", dateOf(p, then.ready(i)))
		}
	}
	return nil
}
