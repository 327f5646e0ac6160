package workshop

import (
	"testing"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// TestATapOnTheMorningOfASlot: the car is booked for today. That another job was
// finished at ten this morning loses neither the slot nor a word about it.
func TestATapOnTheMorningOfASlot(t *testing.T) {
	r := stand(t, aJob("Mask", 10, takes(1, 2, 3)), aJob("Paint", 10), plannedJob(t, "Paint", []string{"Mask"}, func(_ *rebuild.Rebuild, k *rebuild.JobPlan) {
		k.Outside, k.CarGoes, k.Slots, k.OutsideDays = true, true, []string{today}, uncertain.Range{Low: 3, Likely: 4, High: 6}
	}))
	mask, paint := idOf(t, r, "Mask"), idOf(t, r, "Paint")
	r = more(t, r,
		func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.StartJob(mask, today+"T08:00:00Z") },
		func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.FinishJob(mask, today+"T10:00:00Z") },
	)
	p := arrange(t, r)
	i, _ := p.TaskOfJob(paint)
	if got := p.Placed[i].StartDate; got != today {
		t.Errorf("it is placed on %s; its slot is today, %s", got, today)
	}
	if note := p.Tasks[i].Note; note != "where its last slot is missed, another is taken to be found every two weeks" {
		t.Errorf("of its slot it says %q", note)
	}
}
