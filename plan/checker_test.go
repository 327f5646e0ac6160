package plan

import (
	"fmt"
	"math"
	"slices"
)

// verify holds a schedule against its problem without any of the engine's own
// means: lengths, links, capacities summed up at every start. It knows no
// calendars; those are held in hours_test.go.
func verify(p Problem, s Schedule) error {
	at := map[string]Placed{}
	for _, x := range s.Placed {
		if _, twice := at[x.ID]; twice {
			return fmt.Errorf("%s is placed twice", x.ID)
		}
		at[x.ID] = x
	}
	last := 0.0
	for _, t := range p.Tasks {
		x, ok := at[t.ID]
		if !ok {
			return fmt.Errorf("%s is not placed", t.ID)
		}
		if x.StartDay < 0 || math.Abs(x.EndDay-x.StartDay-t.Days.Likely) > 1e-9 {
			return fmt.Errorf("%s goes from %g to %g, not %g days", t.ID, x.StartDay, x.EndDay, t.Days.Likely)
		}
		for _, l := range t.After {
			if y, isTask := at[l.ID]; isTask && x.StartDay < y.EndDay+l.LagDays-1e-9 {
				return fmt.Errorf("%s begins at %g, before %s is done at %g (lag %g)", t.ID, x.StartDay, l.ID, y.EndDay, l.LagDays)
			}
		}
		last = math.Max(last, x.EndDay)
	}
	if math.Abs(last-s.FinishDay) > 1e-9 {
		return fmt.Errorf("the last end is %g, the finish %g", last, s.FinishDay)
	}
	return verifyUse(p, at)
}

// verifyUse sums up what is held just after every start.
func verifyUse(p Problem, at map[string]Placed) error {
	for _, moment := range p.Tasks {
		when := at[moment.ID].StartDay
		held := map[string]int{}
		for _, t := range p.Tasks {
			if x := at[t.ID]; x.StartDay <= when && when < x.EndDay {
				for _, u := range t.Uses {
					held[u.Resource] += u.Count
				}
			}
		}
		for name, n := range held {
			k := slices.IndexFunc(p.Resources, func(r Resource) bool { return r.ID == name })
			if n > p.Resources[k].Capacity {
				return fmt.Errorf("at day %g %d %s are held, there are %d", when, n, name, p.Resources[k].Capacity)
			}
		}
	}
	return nil
}
