package savings

import (
	"fmt"
	"math"

	"wreckwright/working"
)

// State is how far a saving has come.
type State string

const (
	NotYet  State = "not yet" // the job is open
	Claimed State = "claimed" // the job is done, nothing shows that it holds
	Proven  State = "proven"  // the job is done and evidence stands behind it
)

// Job is one job that has a reference price.
type Job struct {
	Key            string
	Name           string
	ReferenceMinor int64 // what the trade would have charged, in minor units
	CostMinor      int64 // actual cost where the job is done, else the expected cost
	Done           bool
	Evidence       int // passed tests, readings and photos that stand behind the job
}

// State is how far the job's saving has come.
func (j Job) State() State {
	switch {
	case !j.Done:
		return NotYet
	case j.Evidence <= 0:
		return Claimed
	}
	return Proven
}

// Saving is one job's saving. It is negative where the job came dearer than the
// trade.
type Saving struct {
	Key            string
	Name           string
	State          State
	ReferenceMinor int64
	CostMinor      int64
	SavedMinor     int64
}

// Result is the savings in the order of the jobs, and the totals.
type Result struct {
	Savings      []Saving
	ProvenMinor  int64
	ClaimedMinor int64
	NotYetMinor  int64 // what the open jobs are expected to save
	Working      working.Working
}

// maxMinor keeps sums of a book's worth of amounts from overflowing.
const maxMinor = 1_000_000_000_000_000

// Of works out the savings. unit is the currency and minorDigits its decimal
// places, for the working. It fails where an amount is negative or beyond 10^15.
func Of(jobs []Job, unit string, minorDigits int) (Result, error) {
	var r Result
	for _, j := range jobs {
		if err := j.validate(); err != nil {
			return Result{}, err
		}
		s := Saving{
			Key: j.Key, Name: j.Name, State: j.State(), ReferenceMinor: j.ReferenceMinor,
			CostMinor: j.CostMinor, SavedMinor: j.ReferenceMinor - j.CostMinor,
		}
		r.Savings = append(r.Savings, s)
		switch s.State {
		case Proven:
			r.ProvenMinor += s.SavedMinor
		case Claimed:
			r.ClaimedMinor += s.SavedMinor
		default:
			r.NotYetMinor += s.SavedMinor
		}
	}
	r.explain(unit, minorDigits)
	return r, nil
}

func (j Job) validate() error {
	for _, n := range []struct {
		what  string
		minor int64
	}{{"reference price", j.ReferenceMinor}, {"cost", j.CostMinor}} {
		if n.minor < 0 || n.minor > maxMinor {
			return fmt.Errorf("savings: job %q: %s of %d minor units; expected 0 to %d", j.Name, n.what, n.minor, int64(maxMinor))
		}
	}
	return nil
}

func (r *Result) explain(unit string, digits int) {
	whole := func(minor int64) float64 { return float64(minor) / math.Pow10(digits) }
	const source = "DESIGN_SAVINGS"
	for _, s := range r.Savings {
		r.Working.Add(s.Name+" ("+string(s.State)+")", "reference price - cost", whole(s.SavedMinor), unit, source)
	}
	r.Working.Add("saved, proven", "sum over jobs done with evidence", whole(r.ProvenMinor), unit, source)
	r.Working.Add("saved, claimed", "sum over jobs done without evidence", whole(r.ClaimedMinor), unit, source)
	r.Working.Add("saved, not yet", "sum over open jobs, at their expected cost", whole(r.NotYetMinor), unit, source)
}
