package plan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"wreckwright/uncertain"
)

// large is a made-up problem of many tasks on four resources.
func large(n int, seed uint64) Problem {
	dice := rand.New(rand.NewPCG(seed, 7))
	p := Problem{Start: monday, Seed: 1}
	for r := range 4 {
		p.Resources = append(p.Resources, Resource{ID: fmt.Sprintf("r%d", r), Capacity: 5})
	}
	for k := range n {
		days := float64(1 + dice.IntN(10))
		t := Task{ID: fmt.Sprint(k), Days: &uncertain.Range{Low: 0.8 * days, Likely: days, High: 1.6 * days}}
		for r := range 4 {
			if dice.IntN(2) == 0 {
				t.Uses = append(t.Uses, Use{fmt.Sprintf("r%d", r), 1 + dice.IntN(4)})
			}
		}
		for range 2 {
			if k > 0 {
				t.After = append(t.After, Link{ID: fmt.Sprint(max(0, k-1-dice.IntN(12)))})
			}
		}
		p.Tasks = append(p.Tasks, t)
	}
	return p
}

// BenchmarkFirstSchedule is from the problem to the first schedule: 120 tasks,
// four resources.
func BenchmarkFirstSchedule(b *testing.B) {
	p := large(120, 1)
	waited, n := time.Duration(0), 0
	for b.Loop() {
		begun, told := time.Now(), false
		if _, err := Arrange(context.Background(), p, Search{Schedules: 3, OnBetter: func(Progress) {
			if !told {
				told = true
				waited += time.Since(begun)
				n++
			}
		}}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(waited.Seconds()*1e3/float64(n), "ms/first")
}

func BenchmarkFiveThousandSchedules(b *testing.B) {
	p := large(120, 1)
	for b.Loop() {
		s, err := Arrange(context.Background(), p, Search{Schedules: 5000})
		if err != nil {
			b.Fatal(err)
		}
		if s.Search.Schedules < 4990 {
			b.Fatalf("%s after %d schedules: not the work to be measured", s.Search.Stopped, s.Search.Schedules)
		}
	}
}

func BenchmarkTenThousandTrials(b *testing.B) {
	p := large(120, 1)
	s, err := Arrange(context.Background(), p, Search{Schedules: 100})
	if err != nil {
		b.Fatal(err)
	}
	for _, policy := range []Policy{KeepOrder, TakeNext} {
		b.Run(string(policy), func(b *testing.B) {
			for b.Loop() {
				if _, err := Simulate(context.Background(), p, s, policy); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
