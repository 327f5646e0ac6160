package plan

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// evenings is a week of two evenings and a Saturday: 11 hours.
var evenings = &Week{time.Monday: {{19, 21}}, time.Wednesday: {{19, 21}}, time.Saturday: {{9, 12}, {13, 17}}}

// openAt says by the test's own means whether somebody works in a minute.
func openAt(p Problem, r *Resource, minute int) bool {
	day := minute / 1440
	hour := float64(minute%1440) / 60
	week := p.Week
	spans := p.Closed
	if r != nil {
		spans = append(append([]Span{}, spans...), r.Away...)
		if r.Week != nil {
			week = r.Week
		}
		for _, o := range r.Extra {
			if o.Day == day && hour >= o.Hours.From && hour < o.Hours.To {
				return true
			}
		}
	}
	for _, s := range spans {
		if float64(day) >= s.FromDay && float64(day) < s.ToDay {
			return false
		}
	}
	for _, h := range week[p.Start.AddDate(0, 0, day).Weekday()] {
		if hour >= h.From && hour < h.To {
			return true
		}
	}
	return false
}

// TestCalendarByTheMinute holds every question to a calendar to counting minutes.
func TestCalendarByTheMinute(t *testing.T) {
	p := Problem{
		Start: monday, Week: evenings, Closed: []Span{{2, 5}},
		Resources: []Resource{
			{ID: "own", Capacity: 1, Away: []Span{{14, 15}}},
			{ID: "helper", Capacity: 1, Week: &Week{time.Saturday: {{8, 14}}}, Extra: []Opening{{"helper", 14, Hours{19, 20}}}},
			{ID: "lift", Capacity: 1, Always: true},
		},
		Tasks: []Task{
			{ID: "alone", Hours: certain(1), Uses: []Use{{"own", 1}, {"lift", 1}}},
			{ID: "both", Hours: certain(1), Uses: []Use{{"own", 1}, {"helper", 1}}},
			{ID: "helper", Hours: certain(1), Uses: []Use{{"helper", 1}}},
		},
	}
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	calendars, err := p.calendars()
	if err != nil {
		t.Fatal(err)
	}
	open := []func(minute int) bool{
		func(m int) bool { return openAt(p, &p.Resources[0], m) },
		func(m int) bool { return openAt(p, &p.Resources[0], m) && openAt(p, &p.Resources[1], m) },
		func(m int) bool { return openAt(p, &p.Resources[1], m) },
	}
	const minute = tickHour / 60
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, 2).Draw(t, "task")
		c, from := calendars[k], rapid.IntRange(0, 60*1440).Draw(t, "from")
		work := rapid.IntRange(1, 30*60).Draw(t, "work")
		next := from
		for !open[k](next) {
			next++
		}
		end, left := from, work
		for ; left > 0; end++ {
			if open[k](end) {
				left--
			}
		}
		if got := c.nextOpen(int64(from) * minute); got != int64(next)*minute {
			t.Fatalf("open from minute %d at %d; want %d", from, got/minute, next)
		}
		got := c.after(int64(from)*minute, int64(work)*minute)
		if got != int64(end)*minute {
			t.Fatalf("%d minutes from %d end at %d; want %d", work, from, got/minute, end)
		}
		if back := c.before(got, int64(work)*minute); back != int64(next)*minute {
			t.Fatalf("%d minutes until %d begin at %d; want %d", work, end, back/minute, next)
		}
		last := from
		for last > 0 && !open[k](last-1) {
			last--
		}
		if at := c.lastOpen(int64(from) * minute); at != int64(last)*minute {
			t.Fatalf("open last before minute %d at %d; want %d", from, at/minute, last)
		}
	})
}

// verifyHours holds a schedule with calendars, by the minute: own work goes on
// only while all its people are there, nobody is in two places, slots are kept.
func verifyHours(p Problem, s Schedule) error {
	at := map[string]Placed{}
	for _, x := range s.Placed {
		at[x.ID] = x
	}
	last := int(math.Ceil(s.FinishDay * 1440))
	worked := make([]int, len(p.Tasks))
	for m := range last {
		held := map[string]int{}
		for i, task := range p.Tasks {
			x := at[task.ID]
			if from, to := minutes(x.StartDay), minutes(x.EndDay); m < from || m >= to {
				continue
			}
			there := true
			for _, u := range task.Uses {
				r := p.Resources[p.resource(u.Resource)]
				there = there && (r.Always || openAt(p, &r, m))
				held[u.Resource] += u.Count
			}
			if there || task.Wait || task.Outside {
				worked[i]++
			}
		}
		for name, n := range held {
			if n > p.Resources[p.resource(name)].Capacity {
				return fmt.Errorf("minute %d: %d %s held", m, n, name)
			}
		}
	}
	for i, task := range p.Tasks {
		want := 0
		switch {
		case task.Hours != nil:
			want = int(math.Round(task.Hours.Likely * 60))
		default:
			want = int(math.Round(task.Days.Likely * 1440))
		}
		if worked[i] != want {
			return fmt.Errorf("%s is worked on for %d minutes, not %d", task.ID, worked[i], want)
		}
		for _, l := range task.After {
			if at[task.ID].StartDay < at[l.ID].EndDay+l.LagDays-1e-9 {
				return fmt.Errorf("%s begins before %s", task.ID, l.ID)
			}
		}
	}
	return nil
}

func minutes(day float64) int { return int(math.Round(day * 1440)) }

// workshopPlan is an invented plan with everything in it.
func workshopPlan() Problem {
	by := 42.0
	return Problem{
		Start: monday, Seed: 1, Week: evenings, Closed: []Span{{14, 21}}, CostPerDay: 8, Currency: "GBP", Trials: 2000,
		Resources: []Resource{
			{ID: "own", Capacity: 1},
			{ID: "helper", Capacity: 1, Week: &Week{time.Saturday: {{9, 13}}}},
			{ID: "lift", Capacity: 1, Always: true},
		},
		Tasks: []Task{
			{ID: "strip", Hours: span(5, 6, 9), Uses: []Use{{"own", 1}}, Zone: "front left"},
			{ID: "order", Days: span(10, 14, 30), Wait: true},
			{ID: "lift-out", Hours: certain(3), Uses: []Use{{"own", 1}, {"helper", 1}, {"lift", 1}}, After: []Link{{ID: "strip"}}},
			{ID: "weld", Hours: span(4, 6, 10), Uses: []Use{{"own", 1}, {"lift", 1}}, After: []Link{{ID: "lift-out"}, {ID: "order"}}, Noisy: true, Zone: "front left"},
			{ID: "wiring", Hours: span(2, 4, 9), Uses: []Use{{"own", 1}}, After: []Link{{ID: "strip"}}, Zone: "cabin"},
			{ID: "cure", Days: certain(2), Wait: true, Uses: []Use{{"lift", 1}}, After: []Link{{ID: "weld"}}},
			{ID: "brakes", Hours: certain(4), Uses: []Use{{"own", 1}, {"lift", 1}}, After: []Link{{ID: "strip"}}},
			{ID: "paint", Days: span(3, 4, 8), Outside: true, SlotDays: []float64{42, 63}, After: []Link{{ID: "cure", LagDays: 1}}},
		},
		Milestones: []Milestone{{ID: "ready", After: []Link{{ID: "cure"}}, ByDay: &by, LateCost: 150}},
	}
}

func TestWorkshopPlan(t *testing.T) {
	p := workshopPlan()
	s, err := Arrange(context.Background(), p, Search{Schedules: 500})
	if err != nil {
		t.Fatal(err)
	}
	if err := verifyHours(p, s); err != nil {
		t.Error(err)
	}
	if paint := s.Placed[7]; paint.StartDay != 42 {
		t.Errorf("paint begins on day %g; want the slot on day 42", paint.StartDay)
	}
	p.Tasks[1].Days = certain(60) // both slots are missed: two weeks after the last
	if s, err = Arrange(context.Background(), p, Search{Schedules: 500}); err != nil {
		t.Fatal(err)
	}
	if paint := s.Placed[7]; paint.StartDay != 77 {
		t.Errorf("paint begins on day %g; want the next slot on day 77", paint.StartDay)
	}
}

// TestDaysOfOwnWork: hours a week spread a task in hours evenly; a task in days
// stays in days.
func TestDaysOfOwnWork(t *testing.T) {
	p := Problem{
		Start: monday, HoursPerWeek: 14, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{{ID: "a", Hours: certain(7), Uses: []Use{{"own", 1}}}, {ID: "b", Days: certain(2), Uses: []Use{{"own", 1}}, After: []Link{{ID: "a"}}}},
	}
	s, err := Arrange(context.Background(), p, Search{})
	if err != nil {
		t.Fatal(err)
	}
	if s.Placed[0].EndDay != 3.5 || s.FinishDay != 5.5 || s.FinishDate != "2027-01-09" {
		t.Errorf("7 h end on day %g, all on day %g, %s; want 3.5, 5.5, 2027-01-09", s.Placed[0].EndDay, s.FinishDay, s.FinishDate)
	}
}
