package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

var sheets = table[rebuild.Sheet]{
	"sheet", strings.Fields("id rev of title job_id phase told note"),
	func(s *rebuild.Sheet, _ *string) []any {
		return []any{&s.ID, &s.Rev, &s.Of, &s.Title, orNull{&s.JobID}, &s.Phase, &s.Told, &s.Note}
	},
}

var people = table[rebuild.Person]{
	"person", strings.Fields("id rev name own note"),
	func(p *rebuild.Person, _ *string) []any { return []any{&p.ID, &p.Rev, &p.Name, &p.Own, &p.Note} },
}

var personHours = partsOf("person_hours", "person_id place weekday from_min to_min",
	func(h *rebuild.WorkHours) []any { return []any{&h.Weekday, &h.From, &h.To} })

var personAway = partsOf("person_away", "person_id place from_day to_day why", spanFields)

var personExtra = partsOf("person_extra", "person_id place on_day from_min to_min",
	func(o *rebuild.Opening) []any { return []any{&o.On, &o.From, &o.To} })

func spanFields(s *rebuild.DaySpan) []any { return []any{&s.From, &s.To, &s.Why} }

var things = table[rebuild.Thing]{
	"thing", strings.Fields("id rev name count from_day to_day note"),
	func(t *rebuild.Thing, _ *string) []any {
		return []any{&t.ID, &t.Rev, &t.Name, &t.Count, &t.From, &t.To, &t.Note}
	},
}

var milestones = table[rebuild.Milestone]{
	"milestone", strings.Fields("id rev name gate wished_on late_once_minor late_per_day_minor note"),
	func(m *rebuild.Milestone, currency *string) []any {
		return []any{&m.ID, &m.Rev, &m.Name, &m.Gate, &m.WishedOn, sum{&m.LateOnce, currency}, sum{&m.LatePerDay, currency}, &m.Note}
	},
}

var milestoneJobs = links("milestone_job", "milestone_id", "job_id")

var jobPlans = table[rebuild.JobPlan]{
	"job_plan", strings.Fields(`id rev job_id without_me wait_days not_before noisy daylight set_up
		outside car_goes outside_days_low outside_days_likely outside_days_high started_at done_at note`),
	func(p *rebuild.JobPlan, _ *string) []any {
		return []any{
			&p.ID, &p.Rev, &p.JobID, &p.WithoutMe, &p.WaitDays, &p.NotBefore, &p.Noisy, &p.Daylight, &p.SetUp,
			&p.Outside, &p.CarGoes, &p.OutsideDays.Low, &p.OutsideDays.Likely, &p.OutsideDays.High, &p.StartedAt, &p.DoneAt, &p.Note,
		}
	},
}

var (
	jobPlanAfter   = links("job_plan_after", "plan_id", "job_id")
	jobPlanHelpers = links("job_plan_helper", "plan_id", "person_id")
	jobPlanThings  = partsOf("job_plan_thing", "plan_id place thing_id count",
		func(u *rebuild.ThingUse) []any { return []any{&u.Thing, &u.Count} })
	jobPlanSlots = partsOf("job_plan_slot", "plan_id place on_day",
		func(day *string) []any { return []any{day} })
)

var deliveries = table[rebuild.Delivery]{
	"delivery", strings.Fields(`id rev job_id what supplier ordered_on lead_days_low lead_days_likely lead_days_high
		expected_on arrived_on faster_days faster_minor amount_minor note`),
	func(d *rebuild.Delivery, currency *string) []any {
		faster := func(of func(*rebuild.Faster) any) any { return part[rebuild.Faster]{&d.Faster, of} }
		return []any{
			&d.ID, &d.Rev,
			orNull{&d.JobID},
			&d.What, &d.Supplier, &d.OrderedOn, &d.LeadDays.Low, &d.LeadDays.Likely, &d.LeadDays.High,
			&d.ExpectedOn, &d.ArrivedOn,
			// The days, which are never null, tell first that there is a quicker way.
			faster(func(f *rebuild.Faster) any { return &f.Days }),
			faster(func(f *rebuild.Faster) any { return sum{&f.Cost, currency} }),
			sum{&d.Amount, currency},
			&d.Note,
		}
	},
}

var timetables = table[rebuild.Timetable]{
	"timetable", strings.Fields("id rev quiet_from quiet_to kept note"),
	func(t *rebuild.Timetable, _ *string) []any {
		return []any{&t.ID, &t.Rev, &t.QuietFrom, &t.QuietTo, stand{&t.Kept}, &t.Note}
	},
}

var timetableClosed = partsOf("timetable_closed", "timetable_id place from_day to_day why", spanFields)

// timetableCosts has sums, so that it needs the currency when it is read.
var timetableCosts = table[partRow[rebuild.RunningCost]]{
	"timetable_cost", strings.Fields("timetable_id place name amount_minor per"),
	func(row *partRow[rebuild.RunningCost], currency *string) []any {
		return []any{&row.of, &row.place, &row.part.Name, sum{&row.part.Amount, currency}, &row.part.Per}
	},
}

// stand is a plan as it stood, kept as JSON; an empty text is none.
type stand struct{ plan **rebuild.PlanStand }

// Value is part of [driver.Valuer].
func (s stand) Value() (driver.Value, error) {
	if *s.plan == nil {
		return "", nil
	}
	text, err := json.Marshal(*s.plan)
	return string(text), err
}

// Scan is part of sql.Scanner.
func (s stand) Scan(from any) error {
	text, ok := from.(string)
	if !ok {
		return fmt.Errorf("a plan is kept as %T", from)
	}
	*s.plan = nil
	if text == "" {
		return nil
	}
	var plan rebuild.PlanStand
	if err := json.Unmarshal([]byte(text), &plan); err != nil {
		return fmt.Errorf("a plan as it stood: %w", err)
	}
	plan = plan.Tidy()
	*s.plan = &plan
	return nil
}

func (w *rows) keepPerson(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Person)
	after, _ := e.After.(rebuild.Person)
	return firstError(
		func() error { return keepRow(w, people, e) },
		func() error { return keepParts(w, personHours, e.ID(), before.Hours, after.Hours) },
		func() error { return keepParts(w, personAway, e.ID(), before.Away, after.Away) },
		func() error { return keepParts(w, personExtra, e.ID(), before.Extra, after.Extra) },
	)
}

func (w *rows) keepMilestone(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Milestone)
	after, _ := e.After.(rebuild.Milestone)
	return firstError(
		func() error { return keepRow(w, milestones, e) },
		func() error { return w.keepLinks(milestoneJobs, e.ID(), before.Jobs, after.Jobs) },
	)
}

func (w *rows) keepJobPlan(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.JobPlan)
	after, _ := e.After.(rebuild.JobPlan)
	return firstError(
		func() error { return keepRow(w, jobPlans, e) },
		func() error { return w.keepLinks(jobPlanAfter, e.ID(), before.After, after.After) },
		func() error { return w.keepLinks(jobPlanHelpers, e.ID(), before.Helpers, after.Helpers) },
		func() error { return keepParts(w, jobPlanThings, e.ID(), before.Holds, after.Holds) },
		func() error { return keepParts(w, jobPlanSlots, e.ID(), before.Slots, after.Slots) },
	)
}

func (w *rows) keepTimetable(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Timetable)
	after, _ := e.After.(rebuild.Timetable)
	return firstError(
		func() error { return keepRow(w, timetables, e) },
		func() error { return keepParts(w, timetableClosed, e.ID(), before.Closed, after.Closed) },
		func() error { return keepParts(w, timetableCosts, e.ID(), before.Costs, after.Costs) },
	)
}

// readPlan reads measuring sheets and what belongs to the plan.
func readPlan(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	currency := r.Car.Currency
	timetable := func(id int64) *rebuild.Timetable {
		i := slices.IndexFunc(r.Timetables, func(t rebuild.Timetable) bool { return t.ID == id })
		if i < 0 {
			return nil
		}
		return &r.Timetables[i]
	}
	return firstError(
		func() (err error) { r.Sheets, err = readAll(ctx, tx, sheets, "id", r.ID, nil); return },
		func() (err error) { r.People, err = readAll(ctx, tx, people, "id", r.ID, nil); return },
		func() (err error) { r.Things, err = readAll(ctx, tx, things, "id", r.ID, nil); return },
		func() (err error) { r.Milestones, err = readAll(ctx, tx, milestones, "id", r.ID, &currency); return },
		func() (err error) { r.JobPlans, err = readAll(ctx, tx, jobPlans, "id", r.ID, nil); return },
		func() (err error) { r.Deliveries, err = readAll(ctx, tx, deliveries, "id", r.ID, &currency); return },
		func() (err error) { r.Timetables, err = readAll(ctx, tx, timetables, "id", r.ID, nil); return },
		readingParts(ctx, tx, personHours, r, r.Person, func(p *rebuild.Person) *[]rebuild.WorkHours { return &p.Hours }),
		readingParts(ctx, tx, personAway, r, r.Person, func(p *rebuild.Person) *[]rebuild.DaySpan { return &p.Away }),
		readingParts(ctx, tx, personExtra, r, r.Person, func(p *rebuild.Person) *[]rebuild.Opening { return &p.Extra }),
		readingLinks(ctx, tx, milestoneJobs, r, r.Milestone, func(m *rebuild.Milestone) *[]int64 { return &m.Jobs }),
		readingLinks(ctx, tx, jobPlanAfter, r, r.JobPlan, func(p *rebuild.JobPlan) *[]int64 { return &p.After }),
		readingLinks(ctx, tx, jobPlanHelpers, r, r.JobPlan, func(p *rebuild.JobPlan) *[]int64 { return &p.Helpers }),
		readingParts(ctx, tx, jobPlanThings, r, r.JobPlan, func(p *rebuild.JobPlan) *[]rebuild.ThingUse { return &p.Holds }),
		readingParts(ctx, tx, jobPlanSlots, r, r.JobPlan, func(p *rebuild.JobPlan) *[]string { return &p.Slots }),
		readingParts(ctx, tx, timetableClosed, r, timetable, func(t *rebuild.Timetable) *[]rebuild.DaySpan { return &t.Closed }),
		readingParts(ctx, tx, timetableCosts, r, timetable, func(t *rebuild.Timetable) *[]rebuild.RunningCost { return &t.Costs }),
	)
}
