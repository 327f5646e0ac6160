package plan

import (
	"context"
	"math"
	"testing"
	"time"
)

// playedBy is a plan after a short search, played by a policy.
func playedBy(t *testing.T, p Problem, policy Policy) (Schedule, Doubt) {
	t.Helper()
	s, err := Arrange(context.Background(), p, Search{Schedules: 60})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Simulate(context.Background(), p, s, policy)
	if err != nil {
		t.Fatal(err)
	}
	return s, d
}

// TestASlotIsNotSpoilt: the car is away from day 7 for ten days; five small jobs of
// two days need it too. Two of them fit between the preparation and the slot, three
// come after it: by arithmetic the finish is 7 + 10 + 3 x 2 = 23. Begun on day 6 the
// third would hold the car on day 7, and the slot of day 21 would make it 31 or more.
func TestASlotIsNotSpoilt(t *testing.T) {
	job := []Use{{"own", 1}, {"car", 1}}
	p := Problem{Start: monday, Seed: 1, Trials: 100, Resources: []Resource{{ID: "own", Capacity: 1}, {ID: "car", Capacity: 1000}}, Tasks: []Task{
		{ID: "prepare", Days: certain(2), Uses: job},
		{ID: "paint", Days: certain(10), Outside: true, SlotDays: []float64{7}, Uses: []Use{{"car", 1000}}, After: []Link{{ID: "prepare"}}},
	}}
	for _, id := range []string{"1", "2", "3", "4", "5"} {
		p.Tasks = append(p.Tasks, Task{ID: id, Days: certain(2), Uses: job})
	}
	for _, policy := range []Policy{KeepOrder, TakeNext} {
		s, d := playedBy(t, p, policy)
		if s.FinishDay != 23 || d.Finish.P10 != 23 || d.Finish.P90 != 23 {
			t.Errorf("%s: planned until day %g, played until %g to %g; want 23", policy, s.FinishDay, d.Finish.P10, d.Finish.P90)
		}
	}
	// The preparation is still going on when a job could be begun by somebody else.
	p.Resources = append(p.Resources, Resource{ID: "helper", Capacity: 1})
	p.Tasks = append(p.Tasks[:2:2], Task{ID: "small", Days: certain(6), Uses: []Use{{"helper", 1}, {"car", 1}}, NotBeforeDay: 1.5})
	if _, d := playedBy(t, p, TakeNext); d.Finish.P90 != 23 || d.Tasks[1].StartP90 != 7 {
		t.Errorf("begun on day %g, all done on day %g; want 7 and 7 + 10 + 6", d.Tasks[1].StartP90, d.Finish.P90)
	}
}

// TestWhoFreedIt: two evenings of the owner's, one after the other, and a Wednesday
// of the helper's between them, all on the same car, of which there is enough for
// all. The finish hangs on the two evenings alone.
func TestWhoFreedIt(t *testing.T) {
	p := Problem{
		Start: monday, Seed: 1, Trials: 200, Week: &Week{time.Tuesday: {{18, 20}}, time.Thursday: {{18, 20}}},
		Resources: []Resource{{ID: "own", Capacity: 1}, {ID: "helper", Capacity: 1, Week: &Week{time.Wednesday: {{9, 17}}}}, {ID: "car", Capacity: 1000, Always: true}},
		Tasks: []Task{
			{ID: "a", Hours: certain(2), Uses: []Use{{"own", 1}, {"car", 1}}},
			{ID: "b", Hours: certain(2), Uses: []Use{{"own", 1}, {"car", 1}}},
			{ID: "c", Hours: certain(2), Uses: []Use{{"helper", 1}, {"car", 1}}},
		},
	}
	for _, policy := range []Policy{KeepOrder, TakeNext} {
		_, d := playedBy(t, p, policy)
		if d.Tasks[0].Criticality != 1 || d.Tasks[1].Criticality != 1 || d.Tasks[2].Criticality != 0 {
			t.Errorf("%s: the finish hangs on %g, %g, %g; want 1, 1, 0", policy, d.Tasks[0].Criticality, d.Tasks[1].Criticality, d.Tasks[2].Criticality)
		}
	}
}

// TestTheSlotOfToday is there all day: at ten in the morning of the slot the work
// still begins on that day, now. Further slots are counted from its midnight.
func TestTheSlotOfToday(t *testing.T) {
	now := 5 + 10./24
	p := Problem{
		Start: monday, Seed: 1, Trials: 100, TodayDay: now, Resources: []Resource{{ID: "car", Capacity: 1}},
		Tasks: []Task{{ID: "paint", Days: certain(3), Outside: true, SlotDays: []float64{5}, Uses: []Use{{"car", 1}}}},
	}
	for _, policy := range []Policy{KeepOrder, TakeNext} {
		s, d := playedBy(t, p, policy)
		if math.Abs(s.Placed[0].StartDay-now) > 1e-9 || math.Abs(d.Finish.P90-now-3) > 1e-9 || d.Tasks[0].Slots[0] != 1 {
			t.Errorf("%s: planned for day %g, done on day %g, slots %v; want now, three days from now, all", policy, s.Placed[0].StartDay, d.Finish.P90, d.Tasks[0].Slots)
		}
	}
	p.Tasks[0].NotBeforeDay = 6
	if s, _ := playedBy(t, p, KeepOrder); s.Placed[0].StartDay != 19 {
		t.Errorf("the next slot is on day %g; want 19", s.Placed[0].StartDay)
	}
}
