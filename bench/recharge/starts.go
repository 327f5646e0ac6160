package recharge

import "fmt"

// Starts are the moments at which the pump was heard to start, where nobody
// noted when it stopped: what a person with a stopwatch has.
type Starts struct {
	AtS       []float64 // rising
	OperatedS []float64 // when something was operated; the interval around it does not count
	ColdFill  bool      // the first start was the fill from empty
}

// StartsResult is what starts alone say: the settled interval and the rule of
// the trade. They cannot tell one cause from another, so there are no chances.
type StartsResult struct {
	Cycles   []Cycle // OffS and FillS are not known and zero
	Interval Interval
	Verdict  string
	Why      string
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
	u := &unit{}
	for i, at := range s.AtS {
		c := Cycle{OnS: at, ColdFill: i == 0 && s.ColdFill}
		if i > 0 {
			if !(at > s.AtS[i-1]) {
				return StartsResult{}, &InputError{What: "pump starts", Problem: "the clock runs backwards or stands still", Expected: "starts in order"}
			}
			c.IntervalS = new(at - s.AtS[i-1])
		}
		u.r.Cycles = append(u.r.Cycles, c)
	}
	u.staticByTimes()
	for i := 1; i < len(u.r.Cycles); i++ {
		c := &u.r.Cycles[i]
		c.Static = c.Static && !anyWithin(s.OperatedS, u.r.Cycles[i-1].OnS, c.OnS)
		c.rested = !anyWithin(s.OperatedS, c.OnS-atRestS, c.OnS)
	}
	markSettled(u.r.Cycles)
	u.r.Interval = MeanInterval(u.settledIntervals())
	out := StartsResult{Cycles: u.r.Cycles, Interval: u.r.Interval, Version: Version}
	out.Cautions = u.cautions()[:1]
	u.judgeStarts(&out)
	return out, nil
}

func anyWithin(moments []float64, from, to float64) bool {
	for _, m := range moments {
		if m > from && m < to {
			return true
		}
	}
	return false
}

// judgeStarts is the verdict on the interval alone.
func (u *unit) judgeStarts(out *StartsResult) {
	out.Verdict = u.rule()
	n := out.Interval.N
	switch {
	case n < needed:
		out.Why = tooFew(n)
		out.Next = append(out.Next, Advice{Text: "at least three settled intervals with nothing operated"})
	default:
		out.Why = u.interval(out.Verdict)
	}
	if out.Verdict == Fail {
		out.Next = append(out.Next, Advice{Text: "a pressure log with the cold first fill: it parts gas loss from a leak and from a weak pump, which the interval alone cannot"})
	}
	if out.Verdict != Pass {
		out.Next = append(out.Next, Advice{"the stops of the pump as well: how long it runs tells of the pump and the gas", []Input{InputRuns}})
	}
}

func tooFew(n int) string {
	count := "no settled interval yet"
	if n > 0 {
		count = fmt.Sprintf("%d settled %s", n, plural(n, "interval"))
	}
	return fmt.Sprintf("%s, where %d are asked for before anything is said", count, needed)
}
