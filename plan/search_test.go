package plan

import (
	"context"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// exhaustive is the best finish of all orders, by the test's own means: every
// permutation, each task at the first whole day that fits. Lengths must be whole.
func exhaustive(p Problem) float64 {
	best := math.Inf(1)
	start := map[string]float64{}
	length := map[string]float64{}
	for _, t := range p.Tasks {
		length[t.ID] = t.Days.Likely
	}
	fits := func(t Task, from float64) bool {
		for day := from; day < from+length[t.ID]; day++ {
			for _, r := range p.Resources {
				held := 0
				for _, o := range p.Tasks {
					s, placed := start[o.ID]
					if o.ID != t.ID && placed && s <= day && day < s+length[o.ID] || o.ID == t.ID {
						for _, u := range o.Uses {
							if u.Resource == r.ID {
								held += u.Count
							}
						}
					}
				}
				if held > r.Capacity {
					return false
				}
			}
		}
		return true
	}
	var place func(last float64)
	place = func(last float64) {
		if last >= best {
			return
		}
		if len(start) == len(p.Tasks) {
			best = last
			return
		}
		for _, t := range p.Tasks {
			if _, placed := start[t.ID]; placed {
				continue
			}
			from, ready := 0.0, true
			for _, l := range t.After {
				s, placed := start[l.ID]
				ready = ready && placed
				from = math.Max(from, s+length[l.ID]+l.LagDays)
			}
			if !ready {
				continue
			}
			for !fits(t, from) {
				from++
			}
			start[t.ID] = from
			place(math.Max(last, from+length[t.ID]))
			delete(start, t.ID)
		}
	}
	place(0)
	return best
}

// TestSmallPlansAreSolved holds the search and every bound to the best of all
// orders.
func TestSmallPlansAreSolved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomProblem(t, 6)
		best := exhaustive(p)
		s, err := Arrange(context.Background(), p, Search{Schedules: 300})
		if err != nil {
			t.Fatal(err)
		}
		if err := verify(p, s); err != nil {
			t.Fatal(err)
		}
		if s.FinishDay != best {
			t.Fatalf("finish %g, the best of all orders has %g", s.FinishDay, best)
		}
		for _, b := range s.Bounds {
			if b.Day > best+1e-9 {
				t.Fatalf("bound by %s is %g, above the best %g", b.Name, b.Day, best)
			}
		}
		if last := s.Critical; len(last) > 0 && best > 0 {
			verifyChain(t, p, s)
		}
	})
}

// verifyChain holds the critical chain to what it claims: it leads to the finish,
// and each task starts when the one before it ends, a lag apart.
func verifyChain(t *rapid.T, p Problem, s Schedule) {
	at := map[string]Placed{}
	for _, x := range s.Placed {
		at[x.ID] = x
	}
	lag := func(from, to string) float64 {
		for _, task := range p.Tasks {
			for _, l := range task.After {
				if task.ID == to && l.ID == from && at[to].StartDay == at[from].EndDay+l.LagDays {
					return l.LagDays
				}
			}
		}
		return 0
	}
	if end := at[s.Critical[len(s.Critical)-1]].EndDay; end != s.FinishDay {
		t.Fatalf("the chain %v ends at %g, the plan at %g", s.Critical, end, s.FinishDay)
	}
	if first := at[s.Critical[0]].StartDay; first != 0 {
		t.Fatalf("the chain %v begins at %g", s.Critical, first)
	}
	for k := 1; k < len(s.Critical); k++ {
		from, to := s.Critical[k-1], s.Critical[k]
		if at[to].StartDay != at[from].EndDay+lag(from, to) {
			t.Fatalf("chain %v: %s starts at %g, %s ends at %g", s.Critical, to, at[to].StartDay, from, at[from].EndDay)
		}
		if at[to].SlackDays != 0 {
			t.Fatalf("chain %v: %s has %g days to spare", s.Critical, to, at[to].SlackDays)
		}
	}
}

// TestSameSeedSamePlan: nothing but the seed and the budget decides.
func TestSameSeedSamePlan(t *testing.T) {
	p := large(60, 3)
	one, err := Arrange(context.Background(), p, Search{Schedules: 400})
	if err != nil {
		t.Fatal(err)
	}
	two, err := Arrange(context.Background(), p, Search{Schedules: 400, OnBetter: func(Progress) {}})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(one, two) {
		t.Error("the same seed and budget gave two plans")
	}
	if one.Search.Schedules > 400 {
		t.Errorf("%d schedules made of 400", one.Search.Schedules)
	}
}

// TestStoppedSearch: a context that has ended still gives a plan, and it says so;
// progress only ever gets better.
func TestStoppedSearch(t *testing.T) {
	p := large(60, 3)
	ctx, stop := context.WithCancel(context.Background())
	last, calls := math.Inf(1), 0
	s, err := Arrange(ctx, p, Search{Schedules: 100_000, OnBetter: func(g Progress) {
		if g.FinishDay > last {
			t.Errorf("from %g to %g: worse", last, g.FinishDay)
		}
		last = g.FinishDay
		if calls++; calls == 2 {
			stop()
		}
	}})
	stop()
	if err != nil {
		t.Fatal(err)
	}
	if err := verify(p, s); err != nil {
		t.Error(err)
	}
	if s.Search.Stopped != "time" || s.FinishDay != last {
		t.Errorf("stopped by %q at %g after %d schedules, last told %g", s.Search.Stopped, s.FinishDay, s.Search.Schedules, last)
	}
}

// TestLatenessFirst: a wished date is kept before the finish is made early.
func TestLatenessFirst(t *testing.T) {
	by := 2.0
	p := Problem{
		Start: monday, Seed: 1, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{
			{ID: "long", Days: certain(5), Uses: []Use{{"own", 1}}},
			{ID: "cure", Days: certain(9), Wait: true, After: []Link{{ID: "long"}}},
			{ID: "short", Days: certain(2), Uses: []Use{{"own", 1}}},
		},
		Milestones: []Milestone{{ID: "promised", After: []Link{{ID: "short"}}, ByDay: &by}},
	}
	s, err := Arrange(context.Background(), p, Search{})
	if err != nil {
		t.Fatal(err)
	}
	if s.Reached[0].LateDays != 0 || s.FinishDay != 16 {
		t.Errorf("late by %g, finish %g; want 0 and 16", s.Reached[0].LateDays, s.FinishDay)
	}
	p.Milestones[0].ByDay = nil
	if s, _ = Arrange(context.Background(), p, Search{}); s.FinishDay != 14 {
		t.Errorf("without a wish the finish is %g; want 14", s.FinishDay)
	}
}
