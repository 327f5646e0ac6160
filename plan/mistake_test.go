package plan

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"wreckwright/uncertain"
)

func TestMistakes(t *testing.T) {
	before, late := -34.0, 3.0
	good := func() Problem {
		return Problem{
			Start: monday, Resources: []Resource{{ID: "own", Capacity: 1}},
			Tasks: []Task{
				{ID: "strip", Days: certain(3), Uses: []Use{{"own", 1}}},
				{ID: "weld", Days: certain(2), Uses: []Use{{"own", 1}}, After: []Link{{ID: "strip"}}},
				{ID: "paint", Days: certain(2), After: []Link{{ID: "weld"}}},
			},
			Milestones: []Milestone{{ID: "done", After: []Link{{ID: "paint"}}}},
		}
	}
	if err := good().Check(); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name  string
		spoil func(*Problem)
		want  string
	}{
		{"circle", func(p *Problem) { p.Tasks[0].After = []Link{{ID: "paint"}} }, `plan: task "strip", after: goes round in a circle: strip after paint after weld after strip; expected an order that has a beginning`},
		{"own circle", func(p *Problem) { p.Tasks[0].After = []Link{{ID: "strip"}} }, `plan: task "strip", after: goes round in a circle: strip after strip; expected an order that has a beginning`},
		{"circle through a milestone", func(p *Problem) { p.Tasks[2].After = []Link{{ID: "done"}} }, `plan: task "paint", after: goes round in a circle: paint after done after paint; expected an order that has a beginning`},
		{"unknown id", func(p *Problem) { p.Tasks[1].After = []Link{{ID: "stripe"}} }, `plan: task "weld", after: "stripe" is no task or milestone; expected strip, if that was meant`},
		{"far id", func(p *Problem) { p.Tasks[1].After = []Link{{ID: "gearbox"}} }, `plan: task "weld", after: "gearbox" is no task or milestone; expected the id of one`},
		{"unknown person", func(p *Problem) { p.Tasks[1].Uses = []Use{{"lift", 1}} }, `plan: task "weld", uses: "lift" is not among people; expected one of own`},
		{"more than there is", func(p *Problem) { p.Tasks[1].Uses = []Use{{"own", 2}} }, `plan: task "weld", uses: needs 2 own, but there is 1; expected 1 at most`},
		{"milestone before the start", func(p *Problem) { p.Milestones[0].ByDay = &before }, `plan: milestone "done", by: is 2026-12-01, before the start (2027-01-04); expected a date from the start on`},
		{"nobody", func(p *Problem) { p.Resources[0].Capacity = 0 }, `plan: resource "own": is 0: there is nobody to do its tasks; expected a whole number from 1 to 10000`},
		{"fewer than nobody", func(p *Problem) { p.Resources[0].Capacity = -2 }, `plan: resource "own": -2 is negative; expected a whole number from 1 to 10000`},
		{"negative length", func(p *Problem) { p.Tasks[0].Days = certain(-1) }, `plan: task "strip", days: low -1 is negative; expected a number from 0 to 20000`},
		{"range out of order", func(p *Problem) { p.Tasks[0].Days = &uncertain.Range{Low: 3, Likely: 2, High: 4} }, `plan: task "strip", days: low 3 is above likely (2); expected low <= likely <= high`},
		{"no length", func(p *Problem) { p.Tasks[0].Days = nil }, `plan: task "strip", days: is missing; expected days: or hours: with a number or {low, likely, high}`},
		{"hours without a week", func(p *Problem) { p.Tasks[0].Hours, p.Tasks[0].Days = certain(2), nil }, `plan: task "strip", hours: needs to know how many hours a week has; expected hours_per_week or week in the plan, or days here`},
		{"a wait in hours", func(p *Problem) { p.Tasks[2].Hours, p.Tasks[2].Days, p.Tasks[2].Wait = certain(2), nil, true }, `plan: task "paint", hours: cannot be the length of what runs on calendar days; expected days`},
		{"chance above one", func(p *Problem) { p.Tasks[0].Skip = 1.5 }, `plan: task "strip", skip: 1.5 is above 1; expected a number from 0 to 1`},
		{"negative chance", func(p *Problem) { p.Tasks[0].Again = &Again{Chance: -0.1, Days: certain(1)} }, `plan: task "strip", again: -0.1 is negative; expected a number from 0 to 1`},
		{"second way in another unit", func(p *Problem) { p.Tasks[0].Again = &Again{Chance: 0.1, Hours: certain(1)} }, `plan: task "strip", again: does not say in days how much more work follows; expected days, as for the task, with a number or {low, likely, high}`},
		{"negative second way", func(p *Problem) { p.Tasks[0].Again = &Again{Chance: 0.1, Days: certain(-1)} }, `plan: task "strip", again: low -1 is negative; expected a number from 0 to 20000`},
		{"id twice", func(p *Problem) { p.Milestones[0].ID = "weld" }, `plan: milestone "weld", id: "weld" is the id of task 2 already; expected each id once`},
		{"no id", func(p *Problem) { p.Tasks[1].ID = "" }, `plan: task 2, id: is missing; expected a short name, each its own`},
		{"negative lag", func(p *Problem) { p.Tasks[1].After[0].LagDays = -1 }, `plan: task "weld", after: -1 is negative; expected a number from 0 to 20000`},
		{"done in the future", func(p *Problem) { p.Tasks[0].DoneDay = &late }, `plan: task "strip", done: day 3 lies after today (day 0); expected what has happened already`},
		{"empty milestone", func(p *Problem) { p.Milestones[0].After = nil }, `plan: milestone "done", after: lists nothing; expected the tasks that it stands for`},
		{"no tasks", func(p *Problem) { p.Tasks = nil }, `plan: tasks: lists nothing; expected at least one task`},
		{"no start", func(p *Problem) { p.Start = time.Time{} }, `plan: start: is missing; expected the date of day 0`},
		{"empty week", func(p *Problem) { p.Week = &Week{} }, `plan: week: has no working time; expected some hours on at least one day`},
		{"people who never meet", func(p *Problem) {
			p.Week = evenings
			p.Resources = append(p.Resources, Resource{ID: "helper", Capacity: 1, Week: &Week{time.Sunday: {{9, 12}}}})
			p.Tasks[1].Uses = []Use{{"own", 1}, {"helper", 1}}
		}, `plan: task "weld", uses: never comes about: own and helper share no working time; expected people who share some working time in a week`},
		{"hours beyond the day", func(p *Problem) { p.Week = &Week{time.Monday: {{22, 26}}} }, `plan: week: has 22 to 26 on Monday; expected hours from 0 to 24, each stretch after the one before`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := good()
			tt.spoil(&p)
			_, err := Arrange(context.Background(), p, Search{})
			var wrong *InputError
			if !errors.As(err, &wrong) || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

func TestUnknownInQuestions(t *testing.T) {
	p := workshopPlan()
	s, err := Arrange(context.Background(), p, Search{Schedules: 100})
	if err != nil {
		t.Fatal(err)
	}
	_, err = WorthOfDay(context.Background(), p, s, "ordr", 1)
	for _, c := range []Change{{Drop: []string{"x"}}, {Faster: []Faster{{"x", 1}}}, {More: []More{{"x", 1}}}, {Extra: []Opening{{"x", 1, Hours{1, 2}}}}} {
		_, wrong := WhatIf(context.Background(), p, s, c, Search{Schedules: 100})
		err = errors.Join(err, wrong)
	}
	if err == nil || strings.Count(err.Error(), "expected") != 5 {
		t.Errorf("got %v; want five mistakes", err)
	}
}
