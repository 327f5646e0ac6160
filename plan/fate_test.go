package plan

import (
	"context"
	"math"
	"testing"
	"time"

	"wreckwright/uncertain"
)

// TestAWaitSharesTheFateOfItsJob: a part of ten days that is needed only with its
// job. Together the finish is 0 or 13 days; with coins of their own the wait alone
// would last in some trials. Expected by arithmetic: 30 % x 13.
func TestAWaitSharesTheFateOfItsJob(t *testing.T) {
	ten, three := uncertain.Certain(10), uncertain.Certain(3)
	p := Problem{
		Start: time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC), Resources: []Resource{{ID: "own", Capacity: 1}}, Trials: 4096, Seed: 1,
		Tasks: []Task{
			{ID: "part", Wait: true, Days: &ten, Skip: 0.7, SkipAs: "job"},
			{ID: "job", Days: &three, Skip: 0.7, After: []Link{{ID: "part"}}, Uses: []Use{{"own", 1}}},
		},
	}
	s, err := Arrange(context.Background(), p, Search{Schedules: 10})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Simulate(context.Background(), p, s, "")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, day := range d.ByTrial() {
		switch day {
		case 0:
		case 13:
			n++
		default:
			t.Fatalf("a trial ends on day %g, not 0 or 13: the two do not share their fate", day)
		}
	}
	// Four standard errors of 4096 trials: 4 sqrt(0.3 x 0.7/4096) = 0.029.
	if got := float64(n) / 4096; math.Abs(got-0.3) > 0.029 {
		t.Errorf("needed in %.3f of the trials, want 0.3", got)
	}
	p.Tasks[0].SkipAs = "nobody"
	if err := p.Check(); err == nil || err.Error() != `plan: task "part", skip_as: "nobody" is no task; expected the id of one` {
		t.Errorf("an unknown id: %v", err)
	}
}

// TestWhatIsSeldomNeededTakesHandsToo: one pair of hands, five days that are needed
// and five that are needed in four of ten trials. Expected by arithmetic: a mean of
// 5 + 0.4 x 5 = 7 days, a standard deviation of 5 sqrt(0.4 x 0.6) = 2.449; in either
// order in the file, with either policy, and with a wait and more work behind.
func TestWhatIsSeldomNeededTakesHandsToo(t *testing.T) {
	own := []Use{{"own", 1}}
	sure, seldom := Task{ID: "a", Days: certain(5), Uses: own}, Task{ID: "b", Days: certain(5), Skip: 0.6, Uses: own}
	more := []Task{{ID: "p", Days: certain(7), Wait: true}, {ID: "e", Days: certain(5), Uses: own, After: []Link{{ID: "p"}}}}
	for _, c := range []struct {
		tasks []Task
		base  float64
	}{
		{[]Task{sure, seldom}, 5},
		{[]Task{seldom, sure}, 5},
		{append([]Task{sure, {ID: "c", Days: certain(5), Uses: own}, seldom}, more...), 15},
	} {
		p := Problem{Start: monday, Seed: 1, Trials: 10_000, Resources: []Resource{{ID: "own", Capacity: 1}}, Tasks: c.tasks}
		s, err := Arrange(context.Background(), p, Search{Schedules: 30})
		if err != nil {
			t.Fatal(err)
		}
		if s.FinishDay != c.base {
			t.Errorf("planned until day %g; want %g", s.FinishDay, c.base)
		}
		for _, policy := range []Policy{KeepOrder, TakeNext} {
			d, err := Simulate(context.Background(), p, s, policy)
			if err != nil {
				t.Fatal(err)
			}
			// Four standard errors of 10,000 trials: 4 x 2.449/100.
			if math.Abs(d.Finish.Mean-c.base-2) > 0.098 || math.Abs(d.Finish.SD-2.449) > 0.098 {
				t.Errorf("%s: mean %g, sd %g; want %g, 2.449", policy, d.Finish.Mean, d.Finish.SD, c.base+2)
			}
		}
	}
}
