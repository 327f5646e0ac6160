package workshop

import (
	"context"
	"fmt"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// Calendar is the plan as a calendar file (RFC 5545): work, arrivals, outside work
// and milestones with alarms. Where there is no plan it is an empty calendar.
func (w *Workshop) Calendar(ctx context.Context, r *rebuild.Rebuild, made time.Time) (string, error) {
	p, err := w.Planned(ctx, r)
	if err != nil {
		return "", err
	}
	name := r.Car.Name + ": plan"
	if p.Why != "" {
		return plan.ICalendar(name, made, nil), nil
	}
	events := plan.CalendarEvents(p.Problem, p.Result, fmt.Sprintf("rebuild-%d", r.ID))
	for i := range events {
		events[i].Sequence = int(min(r.Version, 1<<30))
		events[i].Categories = []string{r.Car.Name}
	}
	return plan.ICalendar(name, made, events), nil
}
