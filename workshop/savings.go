package workshop

import (
	"context"
	"strconv"

	"wreckwright/money/amount"
	"wreckwright/money/savings"
	"wreckwright/rebuild"
	"wreckwright/working"
)

// Savings is what doing the work at home saves, job by job: the reference price
// less what the job costs, own hours at their worth where they have one.
type Savings struct {
	Jobs                    []SavedOn // proven first, then claimed, then not yet; the largest first
	Proven, Claimed, NotYet amount.Amount
	// WithoutReference are jobs of which nobody said what the trade would have
	// charged: they show no saving. Dropped jobs are not among them.
	WithoutReference []*rebuild.Job
	Working          working.Working
}

// SavedOn is the saving on one job.
type SavedOn struct {
	Job             *rebuild.Job
	State           savings.State
	Reference, Cost amount.Amount
	Saving          amount.Amount // below zero where the trade was cheaper
	Why             string        // why it is not proven; empty where it is
}

// Savings works the list out. A saving is proven when the job is done, evidence
// stands behind it, and its cost stands in the ledger or it is marked as having
// cost nothing.
func (w *Workshop) Savings(r *rebuild.Rebuild) (Savings, error) {
	return w.savings.get(w.life, w.life, r, "", func(context.Context) (Savings, error) { return savingsOf(r) })
}

func savingsOf(r *rebuild.Rebuild) (Savings, error) {
	var list Savings
	var jobs []savings.Job
	paid := r.Paid()
	for i := range r.Jobs {
		j := &r.Jobs[i]
		switch {
		case j.State == rebuild.JobDropped:
		case j.Reference.Minor <= 0:
			list.WithoutReference = append(list.WithoutReference, j)
		default:
			if s, ok := savingJob(r, j, paid); ok {
				jobs = append(jobs, s)
			}
		}
	}
	result, err := savings.Of(jobs, r.Car.Currency, amount.Digits(r.Car.Currency))
	if err != nil {
		return Savings{}, err
	}
	list.Proven, list.Claimed, list.NotYet = r.Amount(result.ProvenMinor), r.Amount(result.ClaimedMinor), r.Amount(result.NotYetMinor)
	list.Working = result.Working
	for _, s := range result.Savings {
		id, _ := strconv.ParseInt(s.Key, 10, 64)
		j := r.Job(id)
		_, written := paid[j.ID]
		list.Jobs = append(list.Jobs, SavedOn{
			Job: j, State: s.State, Reference: r.Amount(s.ReferenceMinor), Cost: r.Amount(s.CostMinor),
			Saving: r.Amount(s.SavedMinor), Why: whyNotProven(j, s.State, written || j.CostNothing),
		})
	}
	rank := map[savings.State]int64{savings.Proven: 0, savings.Claimed: 1, savings.NotYet: 2}
	sortBy(list.Jobs, func(s SavedOn) int64 { return -s.Saving.Minor })
	sortBy(list.Jobs, func(s SavedOn) int64 { return rank[s.State] })
	return list, nil
}

// savingJob is a job as far as savings go; ok is false where it has no cost to
// compare: a job ahead without a usable route.
func savingJob(r *rebuild.Rebuild, j *rebuild.Job, paid map[int64]int64) (s savings.Job, ok bool) {
	minor, written := paid[j.ID]
	s = savings.Job{Key: strconv.FormatInt(j.ID, 10), Name: j.Title, ReferenceMinor: j.Reference.Minor, Done: j.Finished()}
	known := written || j.CostNothing
	if j.Finished() && known {
		s.CostMinor = max(0, minor) + amount.FromFloat(r.Car.HourValue.Float()*j.HoursSpent, r.Car.Currency).Minor
		if j.State == rebuild.JobProven {
			s.Evidence = max(1, len(j.Proofs))
		}
		return s, true
	}
	route, planned := j.Planned()
	if !planned {
		return s, false
	}
	v := valueOf(route, r.Car.HourValue.Float())
	total := max(v.Total, r.Amount(minor).Float()+r.Car.HourValue.Float()*j.HoursSpent)
	s.CostMinor = amount.FromFloat(total, r.Car.Currency).Minor
	return s, true
}

func whyNotProven(j *rebuild.Job, state savings.State, written bool) string {
	switch {
	case state == savings.Proven:
		return ""
	case !j.Finished():
		return "not done yet: its cost is an estimate"
	case !written && j.State != rebuild.JobProven:
		return "its cost is not written down, and nothing shows yet that it is done right"
	case !written:
		return "its cost is not written down"
	}
	return "nothing shows yet that it is done right"
}
