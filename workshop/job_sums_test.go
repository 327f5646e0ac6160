package workshop

import (
	"math"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// The sums of a job, worked out by hand: 100 and, in one case of five, 50 on top;
// 2 hours of 30 each; a sale of the old part leaves what was paid alone.
func TestJobSums(t *testing.T) {
	gbp := func(minor int64) amount.Amount { return amount.New(minor, "GBP") }
	r := &rebuild.Rebuild{
		Car: rebuild.Car{Currency: "GBP", HourValue: gbp(3000)},
		Jobs: []rebuild.Job{
			{ID: 1, State: rebuild.JobDoing, Chosen: 10, Routes: []rebuild.Route{{
				ID: 10, Kind: rebuild.Repair, Cost: uncertain.Certain(100), Hours: uncertain.Certain(2), Works: 0.8,
				Fallback: &rebuild.Fallback{Cost: uncertain.Certain(50)},
			}}},
			{ID: 2, State: rebuild.JobDone},
			{ID: 3, State: rebuild.JobDone, CostNothing: true},
		},
		Entries: []rebuild.Entry{
			{ID: 20, JobID: 1, Kind: rebuild.EntryPart, Amount: gbp(4050)},
			{ID: 21, JobID: 1, Kind: rebuild.EntrySale, Amount: gbp(-1000)},
			{ID: 22, Kind: rebuild.EntryTool, Amount: gbp(9900)},
		},
	}
	sums := JobSums(r)
	if len(sums) != 3 {
		t.Fatalf("%d sums; want one a job", len(sums))
	}
	if got, want := sums[0].Total, 100+0.2*50+2*30.0; math.Abs(got-want) > 1e-9 {
		t.Errorf("the job is expected to cost %v; want %v", got, want)
	}
	if sums[0].Hours != 2 || sums[0].Route.ID != 10 || sums[0].Paid != gbp(4050) || !sums[0].Written {
		t.Errorf("the job's sums are %+v", sums[0])
	}
	if sums[1].Route != nil || !sums[1].Silent() || sums[2].Silent() || sums[0].Silent() {
		t.Errorf("silent are %v, %v, %v; want only the second", sums[0].Silent(), sums[1].Silent(), sums[2].Silent())
	}
}
