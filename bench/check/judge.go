package check

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// judge gives the verdict, its reason, and what would decide it.
func (r *Result) judge(m measured) {
	switch {
	case r.Chance >= 1-r.Risk:
		r.Verdict = Pass
		r.Why = fmt.Sprintf("%s lies within %s with a chance of %s; %s was asked", r.value(), r.limits(), r.percent(r.Chance), percent(1-r.Risk))
	case r.Chance <= r.Risk:
		r.Verdict = Fail
		r.Why = fmt.Sprintf("%s lies outside %s: the chance that it is within is %s", r.value(), r.limits(), r.percent(r.Chance))
	default:
		r.Verdict = CannotTell
		r.Why = fmt.Sprintf("%s is too near to %s for its doubt: within with a chance of %s, where %s would pass and %s would fail",
			r.value(), r.limits(), r.percent(r.Chance), percent(1-r.Risk), percent(r.Risk))
		r.Next = r.decides(m)
	}
	if r.Lower != nil && r.Upper != nil && r.AcceptLow == nil {
		r.Why += "; with this doubt no value could pass: the limits lie too close together for it"
	}
}

// decides says what would settle an open verdict if the value stays as it is.
func (r *Result) decides(m measured) []string {
	next := []string{}
	margin, passes := r.margin()
	if margin == 0 {
		return append(next, "the value lies at the limit: only a change of the part or the maker's word settles it")
	}
	word := "fail"
	if passes {
		word = "pass"
	}
	if n := moreReadings(m, r, passes); n > 0 {
		next = append(next, fmt.Sprintf("%s in all instead of %d, if they scatter as these do, would let it %s", times(n, "reading"), m.n, word))
	}
	u := margin / component{1, math.Inf(1)}.reach(r.Risk)
	if u >= r.StandardUncertainty { // few readings are the doubt, not how widely they lie
		if len(next) == 0 {
			next = append(next, "more readings: out of so few nobody knows well how widely they lie")
		}
		return next
	}
	return append(next, fmt.Sprintf("a doubt of at most +- %s (95 %%) would let it %s if the value stays (an instrument off by at most %s where it is all of the doubt)",
		roundDown(component{u, math.Inf(1)}.reach(0.025)), word, roundDown(u*math.Sqrt(3))))
}

// margin is how far the value is from the nearest limit, and whether within.
func (r *Result) margin() (margin float64, within bool) {
	margin, within = math.Inf(1), true
	if r.Lower != nil {
		margin, within = math.Abs(r.Mean-*r.Lower), r.Mean >= *r.Lower
	}
	if r.Upper != nil {
		within = within && r.Mean <= *r.Upper
		margin = math.Min(margin, math.Abs(r.Mean-*r.Upper))
	}
	return margin, within
}

// mostReadings is how many anybody would take.
const mostReadings = 30

// moreReadings is how many readings of one row would decide, their scatter and
// mean staying; 0 where none up to mostReadings would, or nothing scatters.
func moreReadings(m measured, r *Result, passes bool) int {
	if m.readingsSD == nil || *m.readingsSD == 0 {
		return 0
	}
	weight := math.Abs(m.parts[0].Weight)
	for n := m.n + 1; n <= mostReadings; n++ {
		u := combine([]component{{weight * *m.readingsSD / math.Sqrt(float64(n)), float64(n - 1)}, {m.systematic, math.Inf(1)}})
		out := u.outside(r.Mean, r.Lower, r.Upper)
		if passes && out <= r.Risk || !passes && 1-out <= r.Risk {
			return n
		}
	}
	return 0
}

func (r *Result) value() string {
	value := strings.TrimSpace(fmt.Sprintf("%s +- %s %s", r.figure(r.Mean), r.figure(r.Half(0.95)), r.Unit))
	return value + " (95 %)"
}

func (r *Result) limits() string {
	switch {
	case r.Upper == nil:
		return "the limit (at least " + plain(*r.Lower) + ")"
	case r.Lower == nil:
		return "the limit (at most " + plain(*r.Upper) + ")"
	}
	return "the limits (" + plain(*r.Lower) + " to " + plain(*r.Upper) + ")"
}

// figure is a number to the second significant digit of its doubt.
func (r *Result) figure(x float64) string {
	if r.StandardUncertainty == 0 {
		return plain(x)
	}
	places := 1 - int(math.Floor(math.Log10(r.StandardUncertainty)))
	return strconv.FormatFloat(x, 'f', min(max(places, 0), 9), 64)
}

func plain(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// roundDown is a number to two digits, cut off.
func roundDown(x float64) string {
	scale := math.Pow(10, 1-math.Floor(math.Log10(x)))
	return plain(math.Floor(x*scale) / scale)
}

// percent is a chance as it is said; while there is any doubt it is not certain,
// though the digits of the computer are at their end.
func (r *Result) percent(p float64) string {
	switch {
	case r.StandardUncertainty > 0 && p == 0:
		return "under 0.1 %"
	case r.StandardUncertainty > 0 && p == 1:
		return "over 99.9 %"
	}
	return percent(p)
}

// percent is a chance as it is said. One that is not certain never reads as
// certain.
func percent(p float64) string {
	switch {
	case p > 0 && p < 0.001:
		return "under 0.1 %"
	case p < 1 && p > 0.999:
		return "over 99.9 %"
	}
	return strconv.FormatFloat(math.Round(p*1000)/10, 'f', -1, 64) + " %"
}
