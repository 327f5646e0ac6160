package workshop

import (
	"context"
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"wreckwright/knowledge"
	"wreckwright/plan"
	"wreckwright/rebuild"
	"wreckwright/store"
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
	begun, err := w.book.Begun(ctx, r.ID)
	if err != nil {
		return "", fmt.Errorf("when the rebuild was started: %w", err)
	}
	// Noon, for not every zone has each midnight; only its day and its zone count.
	y, m, d := p.Problem.Start.Date()
	problem := p.Problem
	problem.Start = time.Date(y, m, d, 12, 0, 0, 0, time.Local)
	events := plan.CalendarEvents(problem, p.Result, calendarID(r, begun))
	for i := range events {
		e := &events[i]
		e.Sequence = int(min(r.Version, 1<<30))
		e.Categories = []string{r.Car.Name}
		p.tell(e)
	}
	return plan.ICalendar(name, made, events), nil
}

// calendarID makes the ids of a rebuild's events its own among all calendars: by the
// moment at which it was started, which is the same in every copy of the book.
func calendarID(r *rebuild.Rebuild, begun store.Record) string {
	mark := sha256.Sum256(fmt.Appendf(nil, "%d %s %s", begun.At.UnixNano(), begun.Who, begun.What))
	return fmt.Sprintf("rebuild-%d-%x", r.ID, mark[:8])
}

// tell puts into an event what the pages say of it: cautions at dangerous work, the
// chance of a wished date; and reminds of work and of what is to come.
func (p *WorkPlan) tell(e *plan.Event) {
	for i, t := range p.Tasks {
		if !eventOf(e.UID, "task", p.Problem.Tasks[i].ID) && !eventOf(e.UID, "wait", p.Problem.Tasks[i].ID) {
			continue
		}
		for _, hazard := range t.hazards() {
			if c, ok := knowledge.CautionFor(hazard); ok {
				e.Description = strings.TrimSpace(fmt.Sprintf("%s\nCaution, %s: %s %s", e.Description, c.Name, c.Text, c.DeferTo))
			}
		}
		if len(e.Alarms) == 0 {
			e.Alarms = []plan.Alarm{{Before: dayAlarm(*e)}}
		}
		return
	}
	for i, m := range p.Reached {
		if eventOf(e.UID, "milestone", m.ID) && m.ChanceBy != nil {
			e.Description = fmt.Sprintf("%s wished by %s: chance %s. Nine in ten by %s.", p.Goals[i].Name, m.ByDate, Percent(*m.ChanceBy), dateOf(p, m.Quantiles.P90))
		}
	}
}

// dayAlarm is when a calendar reminds: an hour before work, at nine in the morning of
// a whole day.
func dayAlarm(e plan.Event) time.Duration {
	if e.WholeDays {
		return -9 * time.Hour
	}
	return time.Hour
}

// eventOf reports whether an event is of that task or milestone, whichever of its
// sessions.
func eventOf(uid, kind, id string) bool {
	_, rest, ok := strings.Cut(uid, "-"+kind+"-"+id)
	return ok && (rest == "" || rest[0] == '@' || rest[0] == '-' && len(rest) > 1 && rest[1] >= '0' && rest[1] <= '9')
}
