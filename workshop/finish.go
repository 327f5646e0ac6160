package workshop

import (
	"math"
	"time"

	"wreckwright/rebuild"
)

// Finish is when the own hours that are left will be done, at the hours a week
// that the car gets. Waiting for parts and for other people's work is not in it.
type Finish struct {
	Known         bool
	Why           string  // why it cannot be told
	HoursPerWeek  float64 // as the car has it
	P10, P50, P90 string  // ISO dates: one chance in ten to be done by then, even, nine in ten
	WantedBy      string  // ISO date; empty: none
	ChanceBy      *float64
	StandardError float64
	WithoutHours  int // jobs ahead for which no hours are given: they take none here
}

// finishOf turns hours into dates: days = hours / hours a week x 7.
func finishOf(r *rebuild.Rebuild, o *Outlook, today string) Finish {
	f := Finish{HoursPerWeek: r.Car.HoursPerWeek, WantedBy: r.Car.WantedBy}
	now, err := time.Parse(time.DateOnly, today)
	ahead := 0
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if !j.Ahead() {
			continue
		}
		ahead++
		if route, ok := j.Planned(); !ok || route.Hours.High == 0 {
			f.WithoutHours++
		}
	}
	switch {
	case err != nil:
		f.Why = "what day it is today is not known"
	case ahead == 0 && len(r.Jobs) == 0:
		f.Why = "no job is entered yet"
	case f.WithoutHours == ahead && ahead > 0:
		f.Why = "no job ahead says how many hours it takes"
	case f.HoursPerWeek <= 0 && ahead > 0:
		f.Why = "how many hours a week the car gets is not said"
	}
	if f.Why != "" {
		return f
	}
	f.Known = true
	f.P10, f.P50, f.P90 = f.after(now, o.Hours.P10), f.after(now, o.Hours.P50), f.after(now, o.Hours.P90)
	f.chance(o, now)
	return f
}

func (f *Finish) after(now time.Time, hours float64) string {
	return now.AddDate(0, 0, f.days(hours)).Format(time.DateOnly)
}

// days is how many days so many hours take, begun days counted whole.
func (f *Finish) days(hours float64) int {
	if hours <= 0 {
		return 0
	}
	// Ten years are as good as never, and keep the calendar's range.
	return int(math.Min(3660, math.Ceil(hours/f.HoursPerWeek*7-1e-9)))
}

func (f *Finish) chance(o *Outlook, now time.Time) {
	wanted, err := time.Parse(time.DateOnly, f.WantedBy)
	if err != nil {
		return
	}
	days := wanted.Sub(now).Hours() / 24
	p, se := 0.0, 0.0
	if days >= 0 {
		p, se = o.HoursWithin(days / 7 * f.HoursPerWeek)
	}
	f.ChanceBy, f.StandardError = &p, se
}
