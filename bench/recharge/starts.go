package recharge

import (
	"cmp"
	"math"
	"slices"
)

// Starts are the moments at which the pump was heard to start, where nobody
// noted how long it ran: what a person with a stopwatch has.
type Starts struct {
	AtS       []float64 // rising
	StopsS    []float64 // stops that were noted, rising; two without a start between them tell of a start that was missed
	OperatedS []float64 // when something was operated; the interval around it does not count
	ColdFill  bool      // the first start was the fill from empty
	TimedToS  float64   // standard uncertainty of one moment; 0: that of a thumb
}

// StartsResult is what starts alone say: the settled interval and the rule of
// the trade. They cannot tell one cause from another, so there are no chances.
type StartsResult struct {
	Cycles   []Cycle // OffS is OnS and FillS zero: not known
	Interval Interval
	Verdict  string
	Why      string
	Reasons  []string // as in a [Result]
	Next     []Advice
	Cautions []string
	Version  string
}

// ExamineStarts applies the rule of the trade to starts of the pump. The error
// is an [*InputError].
//
// ref: COMMON_PRACTICE under about two minutes between recharges the accumulator is due, several minutes is healthy
func ExamineStarts(s Starts) (StartsResult, error) {
	if len(s.AtS) == 0 {
		return StartsResult{}, &InputError{What: "pump starts", Problem: "there is none", Expected: "four of them, for three intervals"}
	}
	for i, at := range s.AtS {
		if math.IsNaN(at) || math.IsInf(at, 0) || i > 0 && at <= s.AtS[i-1] {
			return StartsResult{}, &InputError{What: "pump starts", Problem: "the clock runs backwards or stands still", Expected: "starts in order"}
		}
	}
	u := &unit{c: Case{TimedToS: cmp.Or(s.TimedToS, ThumbS)}}
	list := timedMarks(s.marks())
	for i := range list {
		list[i].off = math.NaN()
	}
	operated := slices.Sorted(slices.Values(s.OperatedS))
	for _, at := range operated {
		u.c.Marks = append(u.c.Marks, Mark{at, Actuation})
	}
	u.readTimes(list, operated, s.ColdFill)
	u.r.Interval = MeanInterval(u.settledIntervals(), u.timedTo)
	u.judgeTimes()
	return StartsResult{
		Cycles: u.r.Cycles, Interval: u.r.Interval, Verdict: u.r.Verdict, Why: u.r.Why, Reasons: u.r.Reasons, Next: u.r.Next,
		Cautions: u.cautions()[:1], Version: Version,
	}, nil
}

// marks are starts and stops in order.
func (s Starts) marks() []Mark {
	var out []Mark
	for _, at := range s.AtS {
		out = append(out, Mark{at, PumpOn})
	}
	for _, at := range s.StopsS {
		out = append(out, Mark{at, PumpOff})
	}
	slices.SortStableFunc(out, func(a, b Mark) int { return cmp.Compare(a.AtS, b.AtS) })
	return out
}
