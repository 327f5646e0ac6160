package workshop

import (
	"context"

	"wreckwright/bench/recharge"
)

// fewestRuns is how many runs must be known whole before their length tells
// anything: one says nothing of how runs differ.
const fewestRuns = 2

// saidByTimes asks the engine what moments of a pump say, however they were
// noted: how long it ran, where that is known of some runs, else the starts
// alone. A start or a stop that was missed is the engine's to see: all moments
// are told to it. doubtS is the standard uncertainty of one.
func saidByTimes(ctx context.Context, marks []recharge.Mark, doubtS float64, s UnitSettings) (Recharged, error) {
	if wholeRuns(marks) >= fewestRuns {
		c := s.unit()
		c.Marks, c.ColdFill, c.TimedToS = marks, s.ColdFill, doubtS
		r, err := recharge.Examine(ctx, c)
		return recharged(r), plainInput(err)
	}
	starts := recharge.Starts{ColdFill: s.ColdFill, TimedToS: doubtS}
	for _, m := range marks {
		switch m.Kind {
		case recharge.PumpOn:
			starts.AtS = append(starts.AtS, m.AtS)
		case recharge.PumpOff:
			starts.StopsS = append(starts.StopsS, m.AtS)
		case recharge.Actuation:
			starts.OperatedS = append(starts.OperatedS, m.AtS)
		}
	}
	r, err := recharge.ExamineStarts(starts)
	return rechargedByStarts(r), plainInput(err)
}

// wholeRuns is how many runs have a start and a stop.
func wholeRuns(marks []recharge.Mark) int {
	n, on := 0, -1.0
	for _, m := range marks {
		switch m.Kind {
		case recharge.PumpOn:
			on = m.AtS
		case recharge.PumpOff:
			if on >= 0 && m.AtS > on {
				n++
			}
			on = -1
		}
	}
	return n
}
