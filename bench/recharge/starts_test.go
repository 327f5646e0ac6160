package recharge_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"wreckwright/bench/recharge"
)

// startsAfter are starts with those intervals between them. All readings here
// are invented; the means and their bounds are worked by hand with t(0.975, 2) =
// 4.303 and t(0.975, 3) = 3.182 of the published table (Fisher and Yates, table III).
func startsAfter(intervals ...float64) []float64 {
	at := []float64{1000}
	for _, v := range intervals {
		at = append(at, at[len(at)-1]+v)
	}
	return at
}

func TestStartsAlone(t *testing.T) {
	cases := []struct {
		name            string
		starts          recharge.Starts
		n               int
		mean, low, high float64
		verdict, says   string
	}{
		{"one start", recharge.Starts{AtS: startsAfter()}, 0, 0, 0, 0, recharge.CannotTell, "no settled interval yet"},
		{"one short interval", recharge.Starts{AtS: startsAfter(40)}, 1, 40, 0, 0, recharge.CannotTell, "1 settled interval, where 3 are asked for"},
		{"three short ones", recharge.Starts{AtS: startsAfter(80, 82, 84)}, 3, 82, 77.03, 86.97, recharge.Fail, "under the two minutes"},
		{"three about the limit", recharge.Starts{AtS: startsAfter(90, 95, 100)}, 3, 95, 82.58, 107.42, recharge.CannotTell, "too near"},
		{"three long ones", recharge.Starts{AtS: startsAfter(300, 310, 320)}, 3, 310, 285.16, 334.84, recharge.Pass, "over the two minutes"},
		{"a fill from empty first", recharge.Starts{AtS: startsAfter(150, 300, 310, 320), ColdFill: true}, 3, 310, 285.16, 334.84, recharge.Pass, "over the two minutes"},
		// Three equal intervals: the clock's own doubt, 1.96 x sqrt 2 x 0.3 s / sqrt 3.
		{"equal ones at the limit", recharge.Starts{AtS: startsAfter(100, 100, 100)}, 3, 100, 99.52, 100.48, recharge.CannotTell, "too near"},
		{"equal ones below it", recharge.Starts{AtS: startsAfter(99, 99, 99)}, 3, 99, 98.52, 99.48, recharge.Fail, "under the two minutes"},
		{"a clock of 1 s", recharge.Starts{AtS: startsAfter(99, 99, 99), TimedToS: 1}, 3, 99, 97.40, 100.60, recharge.CannotTell, "too near"},
		// A start that nobody noted makes one interval out of two.
		{"a missed start", recharge.Starts{AtS: startsAfter(80, 82, 164, 84)}, 3, 82, 77.03, 86.97, recharge.Fail, "under the two minutes"},
		{"missed starts shown by stops", recharge.Starts{AtS: startsAfter(80, 164, 82, 164, 84), StopsS: []float64{1003, 1083, 1165, 1247, 1329, 1411, 1493, 1577}}, 3, 82, 77.03, 86.97, recharge.Fail, "under the two minutes"},
		// Neither the interval in which something was operated counts, nor the one
		// after it, which begins with gas warm from the longer recharge.
		{"something operated between", recharge.Starts{AtS: startsAfter(300, 310, 290, 270, 320), OperatedS: []float64{1700}}, 3, 310, 285.16, 334.84, recharge.Pass, "3 settled intervals"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r, err := recharge.ExamineStarts(c.starts)
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict != c.verdict || !strings.Contains(r.Why, c.says) || r.Interval.N != c.n {
				t.Errorf("%s, %q, %+v; want %s, %q, n %d", r.Verdict, r.Why, r.Interval, c.verdict, c.says, c.n)
			}
			for _, pair := range []struct {
				got  *float64
				want float64
			}{{r.Interval.MeanS, c.mean}, {r.Interval.LowS, c.low}, {r.Interval.HighS, c.high}} {
				if (pair.got == nil) != (pair.want == 0) || pair.got != nil && math.Abs(*pair.got-pair.want) > 0.01 {
					t.Errorf("interval %v, want %v", pair.got, pair.want)
				}
			}
			if len(r.Cautions) == 0 || !strings.Contains(r.Cautions[0], "Never open a charged accumulator") {
				t.Error("the caution is missing")
			}
			if r.Verdict != recharge.Pass && len(r.Next) == 0 {
				t.Error("it does not say what to read next")
			}
		})
	}
}

func TestStartsThatCannotBe(t *testing.T) {
	for _, at := range [][]float64{nil, {5, 4}, {5, 5}, {math.NaN(), 1}} {
		var wrong *recharge.InputError
		if _, err := recharge.ExamineStarts(recharge.Starts{AtS: at}); !errors.As(err, &wrong) {
			t.Errorf("starts %v: %v", at, err)
		}
	}
}
