package recharge

import (
	"context"
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// evenRuns are runs of runS with those intervals between their starts; invented.
func evenRuns(runS float64, intervals ...float64) []PumpRun {
	at, out := 0.0, []PumpRun{{0, runS}}
	for _, v := range intervals {
		at += v
		out = append(out, PumpRun{at, at + runS})
	}
	return out
}

func TestVerdictsByTimes(t *testing.T) {
	for _, c := range []struct {
		name, verdict, says string
		runs                []PumpRun
	}{
		{"one short interval", CannotTell, "1 settled interval, where 3 are asked for", evenRuns(3, 40)},
		{"two short intervals", CannotTell, "2 settled intervals, where 3 are asked for", evenRuns(3, 40, 41)},
		{"at the lower limit", CannotTell, "too near", evenRuns(3, 100, 100, 100, 100)},
		{"at two minutes", CannotTell, "too near", evenRuns(3, 120, 120, 120, 120)},
		{"at the upper limit", CannotTell, "too near", evenRuns(3, 150, 150, 150)},
		{"short", Fail, "under the two minutes", evenRuns(3, 70, 71, 72)},
		{"short, run short as well", Fail, "under the two minutes", evenRuns(0.8, 70, 71, 72)},
		{"long", Pass, "over the two minutes", evenRuns(3, 370, 371, 372)},
		{"long, but the pump runs and runs", Fail, "where about", evenRuns(14, 370, 371, 372)},
		{"a start not noted", Fail, "under the two minutes", evenRuns(3, 70, 71, 142, 72)},
	} {
		r, err := Examine(t.Context(), Case{Runs: c.runs})
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != c.verdict || !strings.Contains(r.Why, c.says) {
			t.Errorf("%s: %s, %s", c.name, r.Verdict, r.Why)
		}
		reasonable(t, r)
		for _, p := range r.Causes.byName() {
			if r.Interval.N < 2 && p > 0.5 {
				t.Errorf("%s: too sure, %+v", c.name, r.Causes)
			}
		}
	}
}

// TestTimesAgreeWithStarts: noting the stops as well never turns a fail or an open
// question of the starts alone into something else.
func TestTimesAgreeWithStarts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		intervals := rapid.SliceOfN(rapid.Float64Range(0.97, 1.03), 1, 6).Draw(t, "shares")
		mean := rapid.Float64Range(30, 500).Draw(t, "mean")
		for i := range intervals {
			intervals[i] *= mean
		}
		runs := evenRuns(rapid.Float64Range(0.3, 20).Draw(t, "run"), intervals...)
		var starts Starts
		for _, r := range runs {
			starts.AtS = append(starts.AtS, r.OnS)
		}
		by, err := ExamineStarts(starts)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Examine(context.Background(), Case{Runs: runs, TimedToS: ThumbS})
		if err != nil {
			t.Fatal(err)
		}
		reasonable(t, r)
		if r.Interval.N != by.Interval.N || by.Verdict != Pass && r.Verdict != by.Verdict {
			t.Fatalf("starts %s (%d): %s\nruns %s (%d): %s", by.Verdict, by.Interval.N, by.Why, r.Verdict, r.Interval.N, r.Why)
		}
	})
}

// tapped are marks of a stopwatch: "on" and "off" in turn, those of left left out.
func tapped(runs []PumpRun, left ...int) []Mark {
	var out []Mark
	for i, r := range runs {
		for k, m := range []Mark{{r.OnS, PumpOn}, {r.OffS, PumpOff}} {
			skip := false
			for _, at := range left {
				skip = skip || at == 2*i+k
			}
			if !skip {
				out = append(out, m)
			}
		}
	}
	return out
}

// TestMissedTaps: a start or stop that was not tapped costs what it tells and no
// more.
func TestMissedTaps(t *testing.T) {
	runs := evenRuns(3, 200, 202, 204, 206, 208)
	for _, c := range []struct {
		name       string
		left       []int
		n, starts  int
		mean, runs float64
	}{
		{"none", nil, 5, 6, 204, 3},
		{"a stop", []int{5}, 5, 6, 204, 3},
		{"a start", []int{6}, 3, 5, (200 + 202 + 208) / 3.0, 3},
		{"the first start", []int{0}, 4, 5, (202 + 204 + 206 + 208) / 4.0, 3},
		{"all stops", []int{1, 3, 5, 7, 9, 11}, 5, 6, 204, 0},
	} {
		r, err := Examine(t.Context(), Case{Marks: tapped(runs, c.left...), TimedToS: ThumbS})
		if err != nil {
			t.Fatal(c.name, err)
		}
		if len(r.Cycles) != c.starts || r.Interval.N != c.n {
			t.Errorf("%s: %d starts, %d intervals: %s", c.name, len(r.Cycles), r.Interval.N, r.Why)
			continue
		}
		near(t, c.name, *r.Interval.MeanS, c.mean, 1e-9)
		if (r.PumpPerCharge == nil) != (c.runs == 0) {
			t.Errorf("%s: pump %v", c.name, r.PumpPerCharge)
		}
		reasonable(t, r)
	}
}

// TestOperatedByTimes: what was noted as operated does not count.
func TestOperatedByTimes(t *testing.T) {
	marks := append(tapped(evenRuns(3, 300, 290, 305, 310)), Mark{450, Actuation})
	r, err := Examine(t.Context(), Case{Marks: marks, TimedToS: ThumbS})
	if err != nil {
		t.Fatal(err)
	}
	if r.Interval.N != 3 || r.Cycles[2].Static {
		t.Errorf("%+v", r.Interval)
	}
}

// TestThumbsAreNotClamps: the same runs scatter less than a thumb does, so that
// their scatter tells nothing of air.
func TestThumbsAreNotClamps(t *testing.T) {
	runs := evenRuns(3, 300, 301, 302, 303)
	for i, by := range []float64{0.3, -0.2, 0.25, -0.3, 0.1} {
		runs[i].OffS += by
	}
	clamp, err := Examine(t.Context(), Case{Runs: runs, TimedToS: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	thumb, err := Examine(t.Context(), Case{Runs: runs, TimedToS: ThumbS})
	if err != nil {
		t.Fatal(err)
	}
	if clamp.Causes.Air < 0.5 || thumb.Causes.Air > 0.15 {
		t.Errorf("air: %.2f by a clamp, %.2f by a thumb", clamp.Causes.Air, thumb.Causes.Air)
	}
}

// leaving is a context that ends when it was asked so often.
type leaving struct {
	context.Context
	left int
}

func (c *leaving) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// TestNobodyWaits: whenever the one who asked goes away, the work ends with the
// context's error; and it is asked often enough.
func TestNobodyWaits(t *testing.T) {
	log, _ := healthyUnit().play(rand.New(rand.NewPCG(1, 2)))
	for left := 0; ; left++ {
		ctx := &leaving{t.Context(), left}
		_, err := Examine(ctx, Case{Log: &log})
		if err == nil {
			if left < 2*12 { // twice for each of a dozen recharges
				t.Errorf("asked %d times only", left)
			}
			return
		}
		if !errors.Is(err, context.Canceled) {
			t.Fatal(left, err)
		}
	}
}

// TestColdFillAsSaid: a fill that the person says was one is left out with the
// interval after it, though its length does not show it; and no pre-charge is read
// from what is hardly longer than a recharge.
func TestColdFillAsSaid(t *testing.T) {
	runs := []PumpRun{{0, 6}, {282, 286}, {582, 586}, {887, 891}, {1188, 1192}}
	n := map[bool]int{false: 4, true: 3}
	for said, want := range n {
		r, err := Examine(t.Context(), Case{Runs: runs, ColdFill: said})
		if err != nil || r.Interval.N != want || r.Cycles[0].ColdFill != said || r.PrechargeBar != nil {
			t.Errorf("said %t: %d settled, %+v, %v, %v", said, r.Interval.N, r.Cycles[0], r.PrechargeBar, err)
		}
		if told := strings.Contains(strings.Join(r.Signs, "; "), "hardly longer than a recharge"); told != said {
			t.Errorf("said %t: %v", said, r.Signs)
		}
	}
	runs[0].OffS = 16
	r, err := Examine(t.Context(), Case{Runs: runs, ColdFill: true})
	if err != nil || r.PrechargeBar == nil {
		t.Errorf("a fill four times as long as a recharge: %v, %v", r.PrechargeBar, err)
	}
	// Its stop was not noted: it is left out all the same.
	var marks []Mark
	for i, run := range runs {
		if marks = append(marks, Mark{run.OnS, PumpOn}); i > 0 {
			marks = append(marks, Mark{run.OffS, PumpOff})
		}
	}
	r, err = Examine(t.Context(), Case{Marks: marks, ColdFill: true})
	if err != nil || r.Interval.N != 3 || r.PrechargeBar != nil {
		t.Errorf("%d settled, %v, %v", r.Interval.N, r.PrechargeBar, err)
	}
}
