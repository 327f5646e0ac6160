package workshop

import (
	"context"
	"fmt"
	"math"
	"slices"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// PlanTweak is a what-if about the plan. Several may be given together.
type PlanTweak struct {
	Drop     []int64            // jobs that are not done
	ExtraDay []HelperDay        // working time besides
	Faster   []int64            // deliveries, by their quicker way
	Slot     map[int64][]string // other slots of outside jobs, ISO dates
}

// HelperDay is working time of a person on one day besides the week's.
type HelperDay struct {
	Person   int64  // 0: own hands
	On       string // ISO date
	From, To int    // minutes after midnight
}

// PlanEffect is what a what-if does, on the same draws on both sides.
type PlanEffect struct {
	plan.Effect
	Paid  float64  // what it costs
	Saved float64  // days until the finish and milestones missed that are not paid for
	Net   float64  // saved less paid
	Words []string // the effect only, a sentence each
}

// WhatIfPlan answers what a change does to the finish, the milestones and the
// money. What cannot be is an [*rebuild.Invalid].
func (w *Workshop) WhatIfPlan(ctx context.Context, r *rebuild.Rebuild, tweak PlanTweak) (PlanEffect, error) {
	p, err := w.Planned(ctx, r)
	if err != nil {
		return PlanEffect{}, err
	}
	if p.Why != "" {
		return PlanEffect{}, planRefused("plan", "there is no plan to try it on: %s", p.Why)
	}
	c, paid, err := tweak.change(r, p)
	if err != nil {
		return PlanEffect{}, err
	}
	after, err := tweak.slots(r, p, p.Problem)
	if err != nil {
		return PlanEffect{}, err
	}
	if after, err = after.With(c); err != nil {
		return PlanEffect{}, planRefused("plan", "%s", planTrouble(p.Problem, err))
	}
	if len(after.Tasks) == 0 {
		return PlanEffect{}, planRefused("drop", "nothing would be left to plan")
	}
	if err := after.Check(); err != nil {
		return PlanEffect{}, planRefused("plan", "%s", planTrouble(after, err))
	}
	effect, err := plan.Compare(ctx, p.Problem, p.Schedule, after, plan.Search{})
	if err != nil {
		return PlanEffect{}, fmt.Errorf("the what-if: %w", err)
	}
	if err := tweak.unmet(p, after, effect.AfterPlan); err != nil {
		return PlanEffect{}, err
	}
	e := PlanEffect{Effect: effect, Paid: paid, Saved: effect.CostSaved, Net: effect.CostSaved - paid}
	e.say(p)
	return e, nil
}

func planRefused(field, format string, args ...any) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: field, Text: fmt.Sprintf(format, args...)}}}
}

// change is the tweak in the words of the engine, with what it costs.
func (tweak PlanTweak) change(r *rebuild.Rebuild, p *WorkPlan) (plan.Change, float64, error) {
	var c plan.Change
	paid := 0.0
	for _, id := range tweak.Drop {
		if _, ok := p.TaskOfJob(id); !ok {
			return c, 0, planRefused("drop", "%s is not in the plan: it is done, dropped, left as it is or not needed", jobInWords(r, id))
		}
		c.Drop = append(c.Drop, jobTask(id))
	}
	for _, id := range tweak.Faster {
		d := r.Delivery(id)
		_, ok := p.Index(deliveryTask(id))
		switch {
		case d == nil || !ok:
			return c, 0, planRefused("faster", "delivery %d is not in the plan", id)
		case d.Faster == nil:
			return c, 0, planRefused("faster", "no quicker way is entered for %q", d.What)
		}
		if dropped := slices.Contains(tweak.Drop, d.JobID); !dropped {
			c.Faster = append(c.Faster, plan.Faster{ID: deliveryTask(id), Days: float64(d.Faster.Days)})
			paid += d.Faster.Cost.Float()
		}
	}
	b := planner{r: r, start: p.startUTC()}
	for _, x := range tweak.ExtraDay {
		id := ownHands
		if x.Person != 0 {
			who := r.Person(x.Person)
			if who == nil {
				return c, 0, planRefused("extra", "person %d is not there any more", x.Person)
			}
			if !who.Own {
				id = helperID(who.ID)
			}
		}
		open := b.openings([]rebuild.Opening{{On: x.On, From: x.From, To: x.To}})
		if len(open) == 0 || x.On < p.On || x.From < 0 || x.To > 24*60 || x.From >= x.To {
			return c, 0, planRefused("extra", "%q from %s to %s is no time ahead", x.On, rebuild.Clock(x.From), rebuild.Clock(x.To))
		}
		open[0].Resource = id
		c.Extra = append(c.Extra, open[0])
	}
	return c, paid, nil
}

// slots puts other slots in the place of those of outside jobs.
func (tweak PlanTweak) slots(r *rebuild.Rebuild, p *WorkPlan, after plan.Problem) (plan.Problem, error) {
	if len(tweak.Slot) == 0 {
		return after, nil
	}
	after.Tasks = slices.Clone(after.Tasks)
	b := planner{r: r, start: p.startUTC()}
	for id, days := range tweak.Slot {
		i, ok := p.TaskOfJob(id)
		if !ok || !after.Tasks[i].Outside {
			return after, planRefused("slot", "job %d is no outside work in the plan", id)
		}
		// The day moved is the first one ahead; the others stay as they are booked.
		var kept []float64
		for k, day := range after.Tasks[i].SlotDays {
			if k < len(p.Tasks[i].booked) && p.Tasks[i].booked[k] >= p.On {
				kept = append(kept, day)
			}
		}
		after.Tasks[i].SlotDays, after.Tasks[i].SlotEvery = kept[min(1, len(kept)):], 0
		for _, on := range days {
			day := b.day(on)
			if on < p.On || day <= 0 && on != p.On || day > furthest {
				return after, planRefused("slot", "%q is no day ahead; write it like 2026-03-21", on)
			}
			if !slices.Contains(after.Tasks[i].SlotDays, day) {
				after.Tasks[i].SlotDays = append(after.Tasks[i].SlotDays, day)
			}
		}
		slices.Sort(after.Tasks[i].SlotDays)
	}
	return after, nil
}

// jobInWords is a job by its title, for a sentence.
func jobInWords(r *rebuild.Rebuild, id int64) string {
	if j := r.Job(id); j != nil {
		return fmt.Sprintf("the job %q", j.Title)
	}
	return fmt.Sprintf("job %d", id)
}

// say puts the effect into sentences.
func (e *PlanEffect) say(p *WorkPlan) {
	days := e.FinishDays
	switch {
	case math.Abs(days) < 2*e.StandardError || math.Abs(days) < 0.05:
		e.Words = append(e.Words, "The end does not move.")
	case days > 0:
		e.Words = append(e.Words, fmt.Sprintf("The end comes %s earlier on average.", inDays(days)))
	default:
		e.Words = append(e.Words, fmt.Sprintf("The end comes %s later on average.", inDays(-days)))
	}
	for _, m := range e.Milestones {
		if math.Abs(m.After-m.Before) >= 0.005 {
			e.Words = append(e.Words, fmt.Sprintf("%s by its wished date: %s instead of %s.", p.goalName(m.ID), Percent(m.After), Percent(m.Before)))
		}
	}
}

func inDays(days float64) string {
	if days < 1.5 && days >= 0.95 {
		return "a day"
	}
	if days < 10 {
		return fmt.Sprintf("%.1f days", days)
	}
	return fmt.Sprintf("%.0f days", days)
}

func (p *WorkPlan) goalName(id string) string {
	for i, m := range p.Problem.Milestones {
		if m.ID == id {
			return p.Goals[i].Name
		}
	}
	return id
}
