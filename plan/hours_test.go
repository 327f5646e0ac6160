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
			{ID: "outside", Days: certain(1), Outside: true, Uses: []Use{{"helper", 1}, {"own", 1}}},
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
		func(m int) bool { return m/1440 != 14 },
	}
	const minute = tickHour / 60
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, 3).Draw(t, "task")
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
			there := task.Wait || task.Outside || len(task.Uses) > 0 || openAt(p, nil, m)
			for _, u := range task.Uses {
				r := p.Resources[p.resource(u.Resource)]
				there = there && (r.Always || presentAt(p, task, &r, m))
				held[u.Resource] += u.Count
			}
			if there {
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

// presentAt says whether one whom a task holds is there: for own work in working
// hours, for waits and outside work on any day on which he is not away.
func presentAt(p Problem, task Task, r *Resource, minute int) bool {
	if !task.Wait && !task.Outside {
		return openAt(p, r, minute)
	}
	for _, s := range r.Away {
		if day := float64(minute / 1440); day >= s.FromDay && day < s.ToDay {
			return false
		}
	}
	return true
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

// TestTheOrderOfTasksMakesNoCalendar: a helper alone works in his own hours, with
// the owner in those that both share, whichever task is written first. The owner
// has Tuesdays 18-20 and Saturdays 9-12, the helper Wednesdays and Saturdays 9-17:
// four hours alone end on Wednesday at 13, two of both on Saturday at 11.
func TestTheOrderOfTasksMakesNoCalendar(t *testing.T) {
	alone := Task{ID: "alone", Hours: certain(4), Uses: []Use{{"helper", 1}}}
	both := Task{ID: "both", Hours: certain(2), Uses: []Use{{"own", 1}, {"helper", 1}}, After: []Link{{ID: "alone"}}}
	for _, tasks := range [][]Task{{alone, both}, {both, alone}} {
		p := Problem{
			Start: monday, Week: &Week{time.Tuesday: {{18, 20}}, time.Saturday: {{9, 12}}}, Tasks: tasks,
			Resources: []Resource{{ID: "own", Capacity: 1}, {ID: "helper", Capacity: 1, Week: &Week{time.Wednesday: {{9, 17}}, time.Saturday: {{9, 17}}}}},
		}
		s, err := Arrange(context.Background(), p, Search{})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range s.Placed {
			if want := map[string]float64{"alone": 2 + 13./24, "both": 5 + 11./24}[x.ID]; math.Abs(x.EndDay-want) > 1e-9 {
				t.Errorf("%s first: %s ends on day %g; want %g", tasks[0].ID, x.ID, x.EndDay, want)
			}
		}
	}
}

// TestCalendarsByTheMinute holds random plans by the minute: every mix of people
// on a task, own hours or not, days away, days besides, outside work that holds
// what is hired; the tasks written in any order.
func TestCalendarsByTheMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Start: monday, Seed: 1, Week: evenings, Closed: []Span{{2, 5}}, Resources: []Resource{
			{ID: "own", Capacity: 1},
			{ID: "helper", Capacity: 1, Week: &Week{time.Saturday: {{8, 14}}, time.Wednesday: {{18, 22}}}, Extra: []Opening{{"helper", 14, Hours{19, 20}}}},
			{ID: "friend", Capacity: 1, Away: []Span{{7, 13}}},
			{ID: "hoist", Capacity: 1, Week: &Week{{{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}}, Away: []Span{{0, 3}, {20, 48}}},
		}}
		for k := range rapid.IntRange(1, 5).Draw(t, "tasks") {
			task := Task{ID: fmt.Sprint(k)}
			for _, r := range p.Resources {
				if rapid.Bool().Draw(t, r.ID) {
					task.Uses = append(task.Uses, Use{r.ID, 1})
				}
			}
			task.Outside = rapid.IntRange(0, 2).Draw(t, "outside") == 0
			if n := float64(rapid.IntRange(1, 5).Draw(t, "length")); task.Outside {
				task.Days = certain(n)
			} else {
				task.Hours = certain(n)
			}
			if k > 0 && rapid.Bool().Draw(t, "link") {
				task.After = []Link{{ID: fmt.Sprint(k - 1)}}
			}
			p.Tasks = append(p.Tasks, task)
		}
		p.Tasks = rapid.Permutation(p.Tasks).Draw(t, "order")
		s, err := Arrange(context.Background(), p, Search{Schedules: 20})
		if err != nil {
			t.Fatal(err)
		}
		if err := verifyHours(p, s); err != nil {
			t.Fatal(err)
		}
	})
}

// TestOutsideWorkWaitsForWhatIsHired: a crane is there from day 10 to day 13. Work
// of two days by others that needs it cannot begin before, and the next slot is
// taken where it is gone.
func TestOutsideWorkWaitsForWhatIsHired(t *testing.T) {
	always := &Week{{{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}, {{0, 24}}}
	p := Problem{
		Start: monday, Week: evenings, Resources: []Resource{{ID: "crane", Capacity: 1, Week: always, Away: []Span{{0, 10}, {13, 41}}}},
		Tasks: []Task{{ID: "out", Outside: true, Days: certain(2), Uses: []Use{{"crane", 1}}}},
	}
	for _, c := range []struct {
		slots []float64
		start float64
	}{{nil, 10}, {[]float64{8, 11}, 11}, {[]float64{8, 30}, 44}} {
		p.Tasks[0].SlotDays = c.slots
		s, err := Arrange(context.Background(), p, Search{})
		if err != nil {
			t.Fatal(err)
		}
		if s.Placed[0].StartDay != c.start || s.FinishDay != c.start+2 {
			t.Errorf("slots %v: from day %g to %g; want %g to %g", c.slots, s.Placed[0].StartDay, s.FinishDay, c.start, c.start+2)
		}
	}
}

// TestOwnWorkOnASlot begins with the first working hour after it: the slot is a
// Thursday's midnight, work goes on from Saturday at 9.
func TestOwnWorkOnASlot(t *testing.T) {
	p := Problem{
		Start: monday, Week: &Week{time.Saturday: {{9, 12}}}, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{{ID: "a", Hours: certain(2), Uses: []Use{{"own", 1}}, SlotDays: []float64{3}}},
	}
	s, err := Arrange(context.Background(), p, Search{})
	if err != nil {
		t.Fatal(err)
	}
	if want := 5 + 11./24; math.Abs(s.FinishDay-want) > 1e-9 {
		t.Errorf("done on day %g; want %g", s.FinishDay, want)
	}
}
