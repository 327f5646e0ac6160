package workshop

import (
	"context"
	"fmt"

	"wreckwright/money/forecast"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Tweak is what a what-if changes. The zero value changes nothing.
type Tweak struct {
	CostPercent  float64  // on all costs of jobs ahead: +10 makes them a tenth dearer; at least -100
	HoursPercent float64  // on all hours ahead
	Correlation  *float64 // 0 to 0.95
	Ceiling      *float64 // major units; 0: none
	HourValue    *float64 // major units
	// HiddenPercent is on the number of faults that still hide, in all zones.
	HiddenPercent float64
	Jobs          []JobTweak
}

// JobTweak changes one job.
type JobTweak struct {
	JobID int64
	Route int64    // goes this route instead; 0: as planned
	Works *float64 // chance that the route works
	Drop  bool     // not done at all
}

// WhatIf is the outlook under the tweak, with the untweaked one in
// [Outlook.Base]: both use the same draws, so that only the change shows.
func (w *Workshop) WhatIf(ctx context.Context, r *rebuild.Rebuild, tweak Tweak) (Outlook, error) {
	base, err := w.Forecast(ctx, r)
	if err != nil {
		return Outlook{}, err
	}
	t, over, err := w.withOverheads(ctx, r, translate(r))
	if err != nil {
		return Outlook{}, err
	}
	if err := tweak.apply(r, &t); err != nil {
		return Outlook{}, err
	}
	o, err := forecastOf(ctx, r, t)
	if err != nil {
		return Outlook{}, err
	}
	o.Overheads = over
	o.Base = &Base{base.Total, base.Remaining, base.Hours, base.ChanceUnderCeiling, base.Ceiling}
	return o, nil
}

func (tweak Tweak) apply(r *rebuild.Rebuild, t *translation) error {
	if err := tweak.validate(); err != nil {
		return err
	}
	for _, j := range tweak.Jobs {
		if err := j.apply(r, t); err != nil {
			return err
		}
	}
	cost, hours, hidden := 1+tweak.CostPercent/100, 1+tweak.HoursPercent/100, 1+tweak.HiddenPercent/100
	for i := range t.Jobs {
		scale(&t.Jobs[i], cost, hours)
	}
	for i := range t.Hidden {
		t.Hidden[i].Expected = min(t.Hidden[i].Expected*hidden, forecast.MaxHidden)
	}
	if tweak.Correlation != nil {
		t.Correlation = *tweak.Correlation
	}
	if tweak.Ceiling != nil {
		t.Ceiling = tweak.Ceiling
		if *tweak.Ceiling == 0 {
			t.Ceiling = nil
		}
	}
	if tweak.HourValue != nil {
		t.HourValue = *tweak.HourValue
		t.Spent -= t.workedWorth
		t.workedWorth = t.HourValue * hoursSpent(r)
		t.Spent += t.workedWorth
	}
	return nil
}

func (tweak Tweak) validate() error {
	for _, p := range []struct {
		name  string
		value float64
	}{{"costs", tweak.CostPercent}, {"hours", tweak.HoursPercent}, {"hidden damage", tweak.HiddenPercent}} {
		if !(p.value >= -100 && p.value <= 1000) {
			return fmt.Errorf("%s can be changed by -100 %% to +1000 %%, not %+.4g %%", p.name, p.value)
		}
	}
	return nil
}

// scale makes a job ahead dearer and longer. What was paid stays as it is.
func scale(j *forecast.Job, cost, hours float64) {
	j.Cost = j.Cost.Times(cost)
	j.Hours = times(j.Hours, hours)
	if j.Fallback != nil {
		j.Fallback = &forecast.Fallback{Cost: j.Fallback.Cost.Times(cost), Hours: times(j.Fallback.Hours, hours)}
	}
}

func times(r *uncertain.Range, factor float64) *uncertain.Range {
	if r == nil {
		return nil
	}
	return new(r.Times(factor))
}

func (jt JobTweak) apply(r *rebuild.Rebuild, t *translation) error {
	j := r.Job(jt.JobID)
	if j == nil {
		return &rebuild.Missing{Kind: rebuild.KindJob, ID: jt.JobID}
	}
	if !j.Ahead() {
		return fmt.Errorf("%q is %s: only a job ahead can be tried another way", j.Title, j.State)
	}
	route, ok := j.Planned()
	if jt.Route != 0 {
		chosen := j.Route(jt.Route)
		if chosen == nil {
			return fmt.Errorf("%q has no route %d any more", j.Title, jt.Route)
		}
		if bars := rebuild.Bars(j.Safety, *chosen); len(bars) > 0 {
			return fmt.Errorf("%q cannot go that way: %s", j.Title, bars[0].Reason)
		}
		route, ok = *chosen, true
	}
	if !ok {
		return fmt.Errorf("%q has no route with figures to try", j.Title)
	}
	if jt.Works != nil {
		if err := uncertain.ChanceBounds.Check(*jt.Works); err != nil {
			return fmt.Errorf("the chance that the route of %q works: %w", j.Title, err)
		}
		route.Works = *jt.Works
	}
	t.replace(r, j, route, jt.Drop)
	return nil
}

// replace puts a job on another route in its place, adds it where it had no
// figure, or takes it out.
func (t *translation) replace(r *rebuild.Rebuild, j *rebuild.Job, route rebuild.Route, drop bool) {
	job := aheadJob(j, route, r.Amount(r.Paid()[j.ID]).Float())
	if drop {
		job.Needed = new(0.0)
	}
	for i, id := range t.jobs {
		if id == j.ID {
			t.Jobs[i] = job
			return
		}
	}
	t.add(j, job)
}
