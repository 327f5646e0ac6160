package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wreckwright/outside"
	"wreckwright/uncertain"
)

var monday = time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC)

func certain(days float64) *uncertain.Range { return new(uncertain.Certain(days)) }

func network4(t testing.TB, p Problem) *network {
	t.Helper()
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	g, err := newNetwork(p)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// numbered is a problem of tasks 1, 2, ... with one person each.
func numbered(people int, lengths []float64, after map[int][]int) Problem {
	p := Problem{Start: monday, Seed: 1, Resources: []Resource{{ID: "people", Capacity: people}}}
	for k, d := range lengths {
		task := Task{ID: fmt.Sprint(k + 1), Days: certain(d), Uses: []Use{{"people", 1}}}
		for _, b := range after[k+1] {
			task.After = append(task.After, Link{ID: fmt.Sprint(b)})
		}
		p.Tasks = append(p.Tasks, task)
	}
	return p
}

// takeNext plays a list by the parallel scheme with likely lengths.
func takeNextFinish(t *testing.T, p Problem, list ...int32) float64 {
	g := network4(t, p)
	if list == nil {
		for i := range g.n {
			list = append(list, int32(i+1))
		}
	}
	order := make([]int32, len(list))
	for k, i := range list {
		order[k] = i - 1
	}
	y := newPlayer(g, TakeNext, order, nil)
	y.play(g.likely)
	return toDays(finish(y.end))
}

func TestGrahamsAnomalies(t *testing.T) {
	after := map[int][]int{9: {1}, 5: {4}, 6: {4}, 7: {4}, 8: {4}}
	lengths := []float64{3, 2, 2, 2, 4, 4, 4, 4, 9}
	shorter := []float64{2, 1, 1, 1, 3, 3, 3, 3, 8}
	fewer := map[int][]int{9: {1}, 7: {4}, 8: {4}}
	var cases []outside.Case
	add := func(what string, got, want float64) {
		cases = append(cases, outside.Case{Source: "GRAHAM_1969", Where: "anomalies", What: what + ", finish", Got: got, Want: want, Why: "whole numbers"})
	}
	add("three people", takeNextFinish(t, numbered(3, lengths, after)), 12)
	add("four people", takeNextFinish(t, numbered(4, lengths, after)), 15)
	add("all one day shorter", takeNextFinish(t, numbered(3, shorter, after)), 13)
	add("two constraints fewer", takeNextFinish(t, numbered(3, lengths, fewer)), 16)
	add("another list", takeNextFinish(t, numbered(3, lengths, after), 1, 2, 4, 5, 6, 3, 9, 7, 8), 14)
	outside.Check(t, cases)
}

// randomProblem draws a small problem with lags, waits and two resources.
func randomProblem(t *rapid.T, most int) Problem {
	n := rapid.IntRange(2, most).Draw(t, "tasks")
	p := Problem{Start: monday, Seed: 1, Resources: []Resource{{ID: "own", Capacity: rapid.IntRange(1, 2).Draw(t, "own")}, {ID: "bay", Capacity: 2}}}
	for k := range n {
		days := float64(rapid.IntRange(0, 9).Draw(t, "days"))
		task := Task{ID: fmt.Sprint(k), Days: &uncertain.Range{Low: days * 0.7, Likely: days, High: days * 1.8}}
		task.Wait = rapid.IntRange(0, 4).Draw(t, "wait") == 0
		if !task.Wait {
			task.Uses = []Use{{"own", 1}, {"bay", rapid.IntRange(0, 2).Draw(t, "bays")}}
		}
		for b := range k {
			if rapid.IntRange(0, 3).Draw(t, "link") == 0 {
				task.After = append(task.After, Link{fmt.Sprint(b), float64(rapid.IntRange(0, 3).Draw(t, "lag"))})
			}
		}
		p.Tasks = append(p.Tasks, task)
	}
	return p
}

// doubtfulProblem has tasks besides that may turn out not to be needed, and others
// that begin on booked days only and take up all bays.
func doubtfulProblem(t *rapid.T, most int) Problem {
	p := randomProblem(t, most)
	for i := range p.Tasks {
		p.Tasks[i].Skip = rapid.SampledFrom([]float64{0, 0, 0.3, 0.7, 1}).Draw(t, "skip")
		if rapid.IntRange(0, 3).Draw(t, "booked") == 0 {
			p.Tasks[i].Outside, p.Tasks[i].Wait, p.Tasks[i].Uses = true, false, []Use{{"bay", 2}}
			p.Tasks[i].SlotDays = rapid.SliceOfN(rapid.SampledFrom([]float64{2, 5, 9, 16}), 1, 2).Draw(t, "slots")
			p.Tasks[i].SlotEvery = rapid.SampledFrom([]float64{0, 1, 7}).Draw(t, "every")
		}
	}
	return p
}

// drawn is a set of lengths for a network; what may not be needed takes nothing in
// some of them.
func drawn(t *rapid.T, p Problem, g *network) []int64 {
	work := make([]int64, g.n)
	for i, task := range p.Tasks {
		work[i] = toTicks(task.Days.Likely) * int64(rapid.IntRange(50, 250).Draw(t, "length")) / 100
		if task.Skip == 1 || task.Skip > 0 && rapid.Bool().Draw(t, "skipped") {
			work[i] = 0
		}
	}
	return work
}

// prepared is a simulation of the best order found in few schedules.
func prepared(t *rapid.T, p Problem) *simulation {
	s, err := Arrange(context.Background(), p, Search{Schedules: 60})
	if err != nil {
		t.Fatal(err)
	}
	m, err := newSimulation(p, s, KeepOrder)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestPlaysAreFeasible: whatever the lengths, nobody is in two places, and
// nothing begins before what it comes after.
func TestPlaysAreFeasible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := doubtfulProblem(t, 10)
		m := prepared(t, p)
		work := drawn(t, m.p, m.g)
		for _, policy := range []Policy{KeepOrder, TakeNext} {
			y := newPlayer(m.g, policy, m.order, m.flow)
			y.play(work)
			q, s := p, Schedule{}
			q.Tasks = slices.Clone(p.Tasks)
			for i := range q.Tasks {
				q.Tasks[i].Days = certain(toDays(work[i]))
				s.Placed = append(s.Placed, Placed{ID: q.Tasks[i].ID, StartDay: toDays(y.start[i]), EndDay: toDays(y.end[i])})
				s.FinishDay = math.Max(s.FinishDay, toDays(y.end[i]))
			}
			if err := verify(q, s); err != nil {
				t.Fatalf("%s: %v", policy, err)
			}
		}
	})
}

// TestPoliciesDoNotSeeTheFuture: two worlds that differ only in how long things
// take that are not done by a moment look the same up to that moment.
func TestPoliciesDoNotSeeTheFuture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := prepared(t, doubtfulProblem(t, 10))
		for _, policy := range []Policy{KeepOrder, TakeNext} {
			one, two := newPlayer(m.g, policy, m.order, m.flow), newPlayer(m.g, policy, m.order, m.flow)
			work := drawn(t, m.p, m.g)
			one.play(work)
			now := finish(one.end) * int64(rapid.IntRange(0, 100).Draw(t, "moment")) / 100
			other := slices.Clone(work)
			for i := range other {
				if one.end[i] > now {
					longer := int64(rapid.IntRange(0, 300).Draw(t, "longer"))
					other[i] = max(0, now-one.start[i]) + 1 + other[i]*longer/100
				}
			}
			two.play(other)
			for i := range m.g.n {
				if one.start[i] <= now && two.start[i] != one.start[i] {
					t.Fatalf("%s: %d starts at %d or %d; at %d nothing told the two apart", policy, i, one.start[i], two.start[i], now)
				}
			}
		}
	})
}

// TestKeepingTheOrder: with likely lengths the plan itself comes out, and longer
// lengths never end anything earlier.
func TestKeepingTheOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := doubtfulProblem(t, 10)
		s, err := Arrange(context.Background(), p, Search{Schedules: 60})
		if err != nil {
			t.Fatal(err)
		}
		m, err := newSimulation(p, s, KeepOrder)
		if err != nil {
			t.Fatal(err)
		}
		y := newPlayer(m.g, KeepOrder, m.order, m.flow)
		y.play(m.g.likely)
		for i, x := range s.Placed {
			if toDays(y.start[i]) != x.StartDay {
				t.Fatalf("%s is planned for %g and starts at %g", x.ID, x.StartDay, toDays(y.start[i]))
			}
		}
		before := slices.Clone(y.end)
		work := slices.Clone(m.g.likely)
		for i := range m.g.tasks {
			if m.p.Tasks[i].Skip == 1 {
				continue
			}
			work[i] += int64(rapid.IntRange(0, 5).Draw(t, "more")) * tickDay
		}
		y.play(work)
		for i := range before {
			if y.end[i] < before[i] {
				t.Fatalf("%d ends at %d, earlier than %d, with longer lengths", i, y.end[i], before[i])
			}
		}
	})
}

func span(low, likely, high float64) *uncertain.Range {
	return &uncertain.Range{Low: low, Likely: likely, High: high}
}
