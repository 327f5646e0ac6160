package recharge

import (
	"fmt"
	"slices"
)

// The longest intervals that agree are taken as those in which nothing was
// operated, for an actuation only ever shortens one. Where nobody noted one, a unit
// that grows worse as its oil warms looks the same, and would pass by the intervals
// of its best minutes. So a pass is taken back where the last intervals are short
// alike, or each is shorter than the one before: shifts come now and then and do
// neither for so long. Own estimates.
const (
	shortAlike = 4
	shrinking  = 6
)

// drift tells that the last intervals, in which nothing is known to have been
// operated, are another story than those that count; empty where they are not.
func (u *unit) drift() string {
	last := u.unexplained()
	if n := len(last); n >= shortAlike && !u.r.Cycles[len(u.r.Cycles)-1].Settled {
		few := last[n-shortAlike:]
		low, high := slices.Min(few), slices.Max(few)
		if high < longS && high-low < 2*agreeing*high {
			return fmt.Sprintf("the last %d intervals are shorter and alike, %.0f to %.0f s", shortAlike, low, high)
		}
	}
	from := len(last) - 1
	for from > 0 && last[from-1] > last[from] {
		from--
	}
	if n := len(last) - from; n >= shrinking && last[len(last)-1] < (1-4*agreeing)*last[from] {
		return fmt.Sprintf("the last %d intervals shrink one by one from %.0f to %.0f s", n, last[from], last[len(last)-1])
	}
	return ""
}

// unexplained are the last intervals in a row in which nothing is known to have
// been operated, those about a fill left out.
func (u *unit) unexplained() []float64 {
	var out []float64
	for i := len(u.r.Cycles) - 1; i > 0; i-- {
		c, before := u.r.Cycles[i], u.r.Cycles[i-1]
		if c.IntervalS == nil || before.ColdFill || c.busy || before.busy && !before.rested {
			break
		}
		out = append(out, *c.IntervalS)
	}
	slices.Reverse(out)
	return out
}
