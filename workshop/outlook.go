package workshop

import (
	"context"
	"fmt"

	"wreckwright/money/forecast"
	"wreckwright/rebuild"
)

// Outlook is what a rebuild will come to, as the pages show it. Money is in the
// rebuild's currency.
type Outlook struct {
	RebuildID, Version int64
	forecast.Result

	Ledger      float64 // paid so far, as the ledger has it
	WorkedWorth float64 // own hours spent at their worth; Spent is both together
	HoursSpent  float64 // on all jobs
	Drivers     []Driver
	Gaps        Gaps
	// Overheads are in the total; nil where no day costs anything.
	Overheads *Overheads
	// Base is the outlook without the tweak, by the same trials: what a what-if
	// is to be compared with. Nil in a plain forecast.
	Base *Base
}

// Base are the figures that a what-if changes.
type Base struct {
	Total, Remaining, Hours forecast.Summary
	ChanceUnderCeiling      *float64
	Ceiling                 *float64
}

// Driver is a job or a zone with its share of the doubt about the total.
type Driver struct {
	JobID    int64  // 0 for a zone
	Zone     string // key; empty for a job
	Name     string
	Share    float64 // Cov(item, total)/Var(total)
	Expected float64 // still to pay, own hours at their worth
	Hours    float64 // own hours still to do
}

// JobDriver is the driver of that job, or nil where nothing is to be paid on it any more.
func (o *Outlook) JobDriver(id int64) *Driver {
	for i := range o.Drivers {
		if o.Drivers[i].JobID == id {
			return &o.Drivers[i]
		}
	}
	return nil
}

// forecastOf runs a translation.
func forecastOf(ctx context.Context, r *rebuild.Rebuild, t translation) (Outlook, error) {
	result, err := forecast.Run(ctx, t.Case)
	if err != nil {
		return Outlook{}, fmt.Errorf("the forecast of %q: %w", r.Car.Name, err)
	}
	o := Outlook{
		RebuildID: r.ID, Version: r.Version, Result: result,
		Ledger: t.Spent - t.workedWorth, WorkedWorth: t.workedWorth, HoursSpent: hoursSpent(r),
		Gaps: t.gaps, Drivers: driversOf(t, result),
	}
	o.Cautions = append(t.gaps.Sentences(), o.Cautions...)
	return o, nil
}

// driversOf puts jobs and zones back in the place of names, largest share first.
func driversOf(t translation, result forecast.Result) []Driver {
	drivers := make([]Driver, 0, len(result.Jobs)+len(result.Hidden))
	for i, j := range result.Jobs {
		drivers = append(drivers, Driver{JobID: t.jobs[i], Name: j.Name, Share: j.VarianceShare, Expected: j.ExpectedCost, Hours: j.ExpectedHours})
	}
	for i, h := range result.Hidden {
		drivers = append(drivers, Driver{Zone: t.zones[i], Name: h.Name, Share: h.VarianceShare, Expected: h.ExpectedCost})
	}
	for _, o := range result.Other {
		drivers = append(drivers, Driver{Name: o.Name, Share: o.VarianceShare, Expected: o.ExpectedCost})
	}
	sortBy(drivers, func(d Driver) float64 { return -d.Share })
	return drivers
}
