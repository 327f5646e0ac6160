package recharge

import (
	"math"
	"strings"
	"testing"
)

// TestDrift: the best minutes of a unit that grows worse do not pass it; shifts now
// and then, noted or not, do not take a pass back. Invented times.
func TestDrift(t *testing.T) {
	for _, c := range []struct {
		name      string
		intervals []float64
		operatedS []float64
		verdict   string
		why       string
	}{
		{"three long, then short alike", []float64{300, 290, 280, 80, 82, 81, 79, 80}, nil, CannotTell, "the last 4 intervals are shorter and alike, 79 to 82 s"},
		{"shrinking all along", []float64{310, 300, 290, 270, 250, 230, 210, 190}, nil, CannotTell, "the last 8 intervals shrink one by one from 310 to 190 s"},
		{"long, then shrinking below the rule", []float64{400, 385, 372, 300, 250, 200, 150, 110, 90, 70, 60}, nil, CannotTell, "shrink one by one"},
		{"too near, and shrinking", []float64{148, 140, 120, 121, 116, 102, 94, 89, 84, 80}, nil, CannotTell, "too near the two minutes of common practice to go by; the last 7 intervals shrink one by one from 121 to 80 s"},
		{"few long ones", []float64{90, 300, 310, 305, 95, 90, 88, 92, 91, 89}, nil, CannotTell, "shorter and alike"},
		{"shifts now and then", []float64{377, 378, 377, 80, 42, 126, 160}, nil, Pass, "over the two minutes"},
		{"one short at the end", []float64{300, 305, 298, 80}, nil, Pass, "over the two minutes"},
		{"steady, a little shorter each", []float64{306, 305, 304, 303, 302, 301, 300}, nil, Pass, "over the two minutes"},
		{"shifts, noted", []float64{300, 290, 280, 80, 82, 81, 79, 80}, []float64{1890, 1970, 2050, 2130, 2210}, Pass, "over the two minutes"},
		{"short from the start", []float64{80, 82, 81, 79, 80}, nil, Fail, "under the two minutes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			starts := []float64{1000}
			runs := []PumpRun{{1000, 1002.5}}
			var marks []Mark
			for i, v := range c.intervals {
				starts = append(starts, starts[i]+v)
				runs = append(runs, PumpRun{starts[i+1], starts[i+1] + 2.5})
			}
			for _, at := range c.operatedS {
				marks = append(marks, Mark{at, Actuation})
			}
			alone, err := ExamineStarts(Starts{AtS: starts, OperatedS: c.operatedS})
			if err != nil || alone.Verdict != c.verdict || !strings.Contains(alone.Why, c.why) {
				t.Errorf("starts: %s: %s, %v", alone.Verdict, alone.Why, err)
			}
			r, err := Examine(t.Context(), Case{Runs: runs, Marks: marks})
			if err != nil || r.Verdict != c.verdict || !strings.Contains(r.Why, c.why) {
				t.Errorf("runs: %s: %s, %v", r.Verdict, r.Why, err)
			}
		})
	}
}

// TestDriftInALog: a log whose intervals shrink one by one is not passed by the
// mean of its best. An invented saw-tooth, quantised to a tenth of a bar.
func TestDriftInALog(t *testing.T) {
	var log Log
	at := 0.0
	run := func(seconds, from, to float64) {
		for k := 0.0; k < seconds; k += 0.5 {
			log.TimeS = append(log.TimeS, at+k)
			log.PressureBar = append(log.PressureBar, math.Round(10*(from+(to-from)*k/seconds))/10)
		}
		at += seconds
	}
	for _, interval := range []float64{310, 300, 290, 270, 250, 230, 210, 190} {
		run(3, 40, 50)
		run(interval-3, 50, 40)
	}
	run(3, 40, 50)
	run(60, 50, 48)
	r, err := Examine(t.Context(), Case{Log: &log})
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict != CannotTell || !strings.Contains(r.Why, "shrink one by one") {
		t.Errorf("%s: %s", r.Verdict, r.Why)
	}
	if n := r.Interval.N; n < needed {
		t.Errorf("%d settled intervals: the log does not try the guard", n)
	}
}
