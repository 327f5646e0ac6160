package workshop

import (
	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// JobSum is what one job comes to, for lists of many: quick to work out.
type JobSum struct {
	Job   *rebuild.Job
	Route *rebuild.Route // what the forecast counts with; nil where no route can be used
	// Total is what that route is expected to cost, failure counted, own hours at
	// their worth where they have one; Hours are its own hours. The chance that
	// the job is needed at all is not in them.
	Total, Hours float64
	Paid         amount.Amount // by the ledger, sales of old parts left aside
	Written      bool          // something in the ledger belongs to the job
}

// Silent reports whether the job is finished and nobody wrote down its cost.
func (s JobSum) Silent() bool { return s.Job.Finished() && !s.Written && !s.Job.CostNothing }

// JobSums gives the sums of all jobs, in their order.
func JobSums(r *rebuild.Rebuild) []JobSum {
	paid := r.Paid()
	sums := make([]JobSum, len(r.Jobs))
	for i := range r.Jobs {
		j := &r.Jobs[i]
		minor, written := paid[j.ID]
		sums[i] = JobSum{Job: j, Paid: r.Amount(minor), Written: written}
		if route, ok := j.Planned(); ok {
			v := valueOf(route, r.Car.HourValue.Float())
			sums[i].Route, sums[i].Total, sums[i].Hours = &route, v.Total, v.Hours
		}
	}
	return sums
}
