package workshop

import (
	"fmt"

	"wreckwright/money/forecast"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// usualTrials give a chance to two thirds of a point (95 %).
const usualTrials = 20_000

// drawBudget bounds items times trials: what is drawn in some 20 ms on two cores,
// so that a slider and the first page after a change need no wait.
const drawBudget = 1_000_000

// fewestTrials give a chance to three points (95 %).
const fewestTrials = 1_000

// trialsFor is how many trials a forecast of so many items gets.
func trialsFor(items int) int {
	return min(usualTrials, max(fewestTrials, drawBudget/max(items, 1)))
}

// translation is a rebuild as the forecast sees it, with the way back.
type translation struct {
	forecast.Case
	jobs  []int64  // the job of each Case.Jobs
	zones []string // the zone key of each Case.Hidden
	gaps  Gaps
	// workedWorth is the part of Case.Spent that is own hours, not ledger.
	workedWorth float64
}

// translate applies the rules in doc.go.
func translate(r *rebuild.Rebuild) translation {
	paid := r.Paid()
	t := translation{Case: forecast.NewCase(r.Car.Currency), gaps: gapsOf(r)}
	t.Correlation = r.Car.Correlation
	t.HourValue = r.Car.HourValue.Float()
	t.workedWorth = t.HourValue * hoursSpent(r)
	t.Spent = r.Spent().Float() + t.workedWorth
	if r.Car.Ceiling.Minor > 0 {
		t.Ceiling = new(r.Car.Ceiling.Float())
	}
	silent := map[int64]bool{}
	for _, j := range t.gaps.FinishedWithoutCost {
		silent[j.ID] = true
	}
	for i := range r.Jobs {
		j := &r.Jobs[i]
		route, planned := j.Planned()
		switch {
		case !planned:
		case j.Ahead():
			t.add(j, aheadJob(j, route, r.Amount(paid[j.ID]).Float()))
		case silent[j.ID]:
			t.add(j, unwrittenJob(j, route))
		}
	}
	t.Hidden, t.zones = hiddenItems(r)
	t.Closed = closedJobs(r, paid)
	t.Trials = trialsFor(len(t.Jobs) + len(t.Hidden))
	return t
}

func (t *translation) add(j *rebuild.Job, f forecast.Job) {
	t.Jobs = append(t.Jobs, f)
	t.jobs = append(t.jobs, j.ID)
}

// aheadJob is a job that is still to be done.
func aheadJob(j *rebuild.Job, route rebuild.Route, paid float64) forecast.Job {
	f := forecast.Job{
		Key: drawKey(j, route), Name: j.Title,
		Cost: route.Cost, Hours: hoursRange(route.Hours),
		Paid: max(0, paid), HoursDone: j.HoursSpent,
	}
	if j.Needed < 1 && j.State != rebuild.JobDoing {
		f.Needed = new(j.Needed)
	}
	f.Works, f.Fallback = fallbackOf(j, route, route.Works)
	return f
}

// unwrittenJob is a finished job whose cost nobody wrote down: it was paid, and
// its range is what is known of it.
func unwrittenJob(j *rebuild.Job, route rebuild.Route) forecast.Job {
	f := forecast.Job{Key: drawKey(j, route), Name: j.Title + " (done, cost not written down)", Cost: route.Cost}
	if j.Failed {
		f.Works, f.Fallback = fallbackOf(j, route, 0)
		if f.Fallback != nil {
			f.Fallback.Hours = nil
		}
	}
	return f
}

func fallbackOf(j *rebuild.Job, route rebuild.Route, works float64) (*float64, *forecast.Fallback) {
	if j.Failed {
		works = 0
	}
	if route.Fallback == nil || works >= 1 {
		return nil, nil
	}
	return new(works), &forecast.Fallback{Cost: route.Fallback.Cost, Hours: hoursRange(route.Fallback.Hours)}
}

func hoursRange(r uncertain.Range) *uncertain.Range {
	if r == (uncertain.Range{}) {
		return nil
	}
	return &r
}

// drawKey is the identity under which a job's random numbers are drawn.
func drawKey(j *rebuild.Job, route rebuild.Route) string {
	return fmt.Sprintf("job %d route %d", j.ID, route.ID)
}

func hiddenItems(r *rebuild.Rebuild) (items []forecast.Hidden, zones []string) {
	for i := range r.Zones {
		z := &r.Zones[i]
		if left := z.HiddenLeft(); left > 0 {
			items = append(items, forecast.Hidden{Zone: z.Place().Name, Expected: left, Cost: z.HiddenCost})
			zones = append(zones, z.Place().Key)
		}
	}
	return items, zones
}

// closedJobs are the finished jobs that were estimated beforehand and whose cost
// stands in the ledger.
func closedJobs(r *rebuild.Rebuild, paid map[int64]int64) []uncertain.Closed {
	var closed []uncertain.Closed
	for i := range r.Jobs {
		j := &r.Jobs[i]
		minor, known := paid[j.ID]
		estimate, scored := j.ForecastRange()
		if j.Finished() && known && scored && minor >= 0 {
			closed = append(closed, uncertain.Closed{Range: estimate, Actual: r.Amount(minor).Float()})
		}
	}
	return closed
}

func hoursSpent(r *rebuild.Rebuild) float64 {
	sum := 0.0
	for i := range r.Jobs {
		sum += r.Jobs[i].HoursSpent
	}
	return sum
}
