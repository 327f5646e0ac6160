package workshop

import (
	"context"
	"fmt"
	"slices"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// Wait is something that is to come, with what hangs on it.
type Wait struct {
	Delivery rebuild.Delivery
	Title    string // of the job that waits; empty: none
	// From, Likely and To are when it comes: one chance in ten, even, nine in ten, it
	// being known that it has not come yet.
	// Empty where nothing in the plan waits for it.
	From, Likely, To string
	Late             bool // it was expected by now
	Blocks           []string
	SlackDays        float64 // by how much it may be later without moving the finish
	Criticality      float64 // share of trials in which the finish hung on it
	// Worth is what its quicker way does, or a day earlier where none is known; nil
	// where nothing hangs on it.
	Worth *plan.Worth
	Pays  bool // the quicker way saves more than it costs
}

// mostWorth bounds for how many waits the worth is worked out for one page.
const mostWorth = 8

// Waiting lists what has not come yet, what holds up most first.
func (w *Workshop) Waiting(ctx context.Context, r *rebuild.Rebuild) ([]Wait, error) {
	p, err := w.Planned(ctx, r)
	if err != nil {
		return nil, err
	}
	return w.waiting.get(ctx, w.life, r, fmt.Sprintf("%s/%v", p.On, p.Improving), func(life context.Context) ([]Wait, error) { return waitsOf(life, r, p) })
}

func waitsOf(ctx context.Context, r *rebuild.Rebuild, p *WorkPlan) ([]Wait, error) {
	var list []Wait
	for _, d := range r.Deliveries {
		if d.Arrived() {
			continue
		}
		wait := Wait{Delivery: d, Late: d.ExpectedOn != "" && d.ExpectedOn < p.On}
		if j := r.Job(d.JobID); j != nil {
			wait.Title = j.Title
		}
		if i, ok := p.Index(deliveryTask(d.ID)); ok && p.Why == "" {
			wait.placed(p, i)
		}
		list = append(list, wait)
	}
	slices.SortStableFunc(list, func(a, b Wait) int {
		switch {
		case a.Criticality != b.Criticality:
			return map[bool]int{true: -1, false: 1}[a.Criticality > b.Criticality]
		case a.SlackDays < b.SlackDays:
			return -1
		case a.SlackDays > b.SlackDays:
			return 1
		}
		return 0
	})
	for i := range list[:min(len(list), mostWorth)] {
		if err := list[i].value(ctx, p); err != nil {
			return nil, err
		}
	}
	return list, nil
}

func (wait *Wait) placed(p *WorkPlan, i int) {
	// Of the trials, which know that it has not come by now.
	d := p.Doubt.Tasks[i]
	wait.From, wait.Likely, wait.To = dateOf(p, d.EndP10), dateOf(p, d.EndP50), dateOf(p, d.EndP90)
	wait.Blocks, wait.SlackDays, wait.Criticality = p.Tasks[i].Blocks, p.Placed[i].SlackDays, p.Result.Tasks[i].Criticality
}

// value works out what its quicker way is worth.
func (wait *Wait) value(ctx context.Context, p *WorkPlan) error {
	if wait.From == "" || wait.Criticality < 0.01 {
		return nil
	}
	days := 1.0
	if f := wait.Delivery.Faster; f != nil {
		days = float64(f.Days)
	}
	worth, err := plan.WorthOfDay(ctx, p.Problem, p.Schedule, deliveryTask(wait.Delivery.ID), days)
	if err != nil {
		return fmt.Errorf("what a day earlier is worth: %w", err)
	}
	wait.Worth = &worth
	if f := wait.Delivery.Faster; f != nil {
		wait.Pays = worth.CostSaved > f.Cost.Float()
	}
	return nil
}
