package plan

import (
	"context"
	"math"
	"testing"

	"wreckwright/uncertain"
)

// TestChanceOfASlot: work that takes 2 or 12 days - one day, and eleven more where it
// fails, which it does in 30 of 100 trials - comes before a slot on day 5 and one on
// day 9. By arithmetic 70 % meet the first, none the second, and 30 % neither.
func TestChanceOfASlot(t *testing.T) {
	p := Problem{Start: monday, Seed: 1, Trials: 4000, Resources: []Resource{{ID: "own", Capacity: 1}}, Tasks: []Task{
		{ID: "prepare", Days: certain(2), Uses: []Use{{"own", 1}}, Again: &Again{Chance: 0.3, Days: certain(10)}},
		{ID: "paint", Days: certain(7), Outside: true, SlotDays: []float64{5, 9}, After: []Link{{ID: "prepare"}}},
	}}
	s, err := Arrange(context.Background(), p, Search{Schedules: 10})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Simulate(context.Background(), p, s, "")
	if err != nil {
		t.Fatal(err)
	}
	// The shares are of the first trials; four standard errors of those.
	room := 4 * uncertain.ChanceError(0.7, startsKept)
	if got := d.Tasks[1].Slots; len(got) != 2 || math.Abs(got[0]-0.7) > room || got[1] != 0 {
		t.Errorf("slots are met with %v, want 0.7 and 0", got)
	}
	if d.Tasks[0].Slots != nil {
		t.Errorf("work without slots has %v", d.Tasks[0].Slots)
	}
	if e := d.Tasks[0].EndP50; e != 2 {
		t.Errorf("even chance to be prepared by day %g, want 2", e)
	}
}

// TestTheOrderThereWasIsTriedToo: a what-if whose search came upon a dear order takes
// the order that there was where that does better. First the one day, wished by day
// 1.5, then the ten: nothing is late; the other way round it is 9.5 days late.
func TestTheOrderThereWasIsTriedToo(t *testing.T) {
	own := []Use{{"own", 1}}
	for _, perDay := range []float64{0, 10} {
		p := Problem{
			Start: monday, Seed: 1, Trials: 100, Resources: []Resource{{ID: "own", Capacity: 1}},
			Tasks:      []Task{{ID: "a", Days: certain(1), Uses: own}, {ID: "b", Days: certain(10), Uses: own}},
			Milestones: []Milestone{{ID: "m", After: []Link{{ID: "a"}}, ByDay: new(1.5), LateCostPerDay: perDay}},
		}
		arranged := func(order ...string) Schedule {
			s, err := Arrange(context.Background(), p, Search{Schedules: 1, From: order})
			if err != nil {
				t.Fatal(err)
			}
			s.Order = order
			return s
		}
		e := Effect{BeforePlan: arranged("a", "b"), AfterPlan: arranged("b", "a"), Trials: 100}
		m, o, err := e.bestAfter(context.Background(), p, KeepOrder)
		if err != nil {
			t.Fatal(err)
		}
		if late := m.worth(o); o.milestones[0][0] != 1 || late > 12 {
			t.Errorf("%g a day: the milestone is reached on day %g", perDay, o.milestones[0][0])
		}
	}
}
