package web

import (
	"cmp"
	"html/template"
	"slices"
	"time"

	"wreckwright/chart"
	"wreckwright/workshop"
)

// Bounds of the plan over time, as long as nobody asks for all of it.
const (
	shownBars  = 40
	shownWeeks = 8
	shownDone  = 4  // jobs that are done
	doneWithin = 21 // days ago
)

// planLine draws the plan and gives how many of its tasks it leaves out.
func planLine(f Frame, p *workshop.WorkPlan, all bool) (template.HTML, int) {
	s := chart.Schedule{
		Head: chart.Head{ID: "plan-line", Title: "The plan from today on"}, Start: p.Problem.Start, Today: p.Problem.TodayDay,
		Bars: planBars(f, p), Weeks: shownWeeks,
	}
	hidden := 0
	if all {
		s.Weeks = 0
	} else if len(s.Bars) > shownBars {
		hidden = len(s.Bars) - shownBars
		s.Bars = s.Bars[:shownBars]
	}
	s.Bars = slices.Concat(doneBars(f, p), s.Bars)
	for i, m := range p.Reached {
		mark := chart.ScheduleMark{
			Name: p.Goals[i].Name, Href: f.goalPath(p.Goals[i]), Day: m.Day, Early: m.Quantiles.P10, Late: m.Quantiles.P90, By: m.ByDay,
		}
		if m.ChanceBy != nil {
			mark.Chance = percent(*m.ChanceBy)
		}
		s.Marks = append(s.Marks, mark)
	}
	return chart.NewSchedule(s).HTML(), hidden
}

// planBars are the tasks ahead by their start. What is more likely not needed
// takes no time in the plan and is left out.
func planBars(f Frame, p *workshop.WorkPlan) []chart.ScheduleBar {
	chain := map[string]int{}
	for k, id := range p.Critical {
		chain[id] = k + 1
	}
	var bars []chart.ScheduleBar
	for i, x := range p.Placed {
		if x.Done || x.StartDay == x.EndDay && p.Tasks[i].Needed < 0.5 {
			continue
		}
		bar := chart.ScheduleBar{
			Name: p.Tasks[i].Title, Href: f.taskPath(p.Tasks[i]), Kind: chart.BarWork, From: x.StartDay, To: x.EndDay,
			Early: p.Doubt.Tasks[i].EndP10, Late: p.Doubt.Tasks[i].EndP90, Chain: chain[x.ID],
		}
		switch {
		case x.Wait:
			bar.Kind = chart.BarWait
		case x.Outside:
			bar.Kind = chart.BarOutside
		}
		bars = append(bars, bar)
	}
	slices.SortStableFunc(bars, func(a, b chart.ScheduleBar) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	return bars
}

// doneBars are the jobs that were done last, the earliest first.
func doneBars(f Frame, p *workshop.WorkPlan) []chart.ScheduleBar {
	var bars []chart.ScheduleBar
	for _, d := range p.Over {
		to, ok := dayOfPlan(p, d.DoneAt)
		if !ok || len(bars) == shownDone || to < p.Problem.TodayDay-doneWithin {
			break
		}
		from, ok := dayOfPlan(p, d.StartedAt)
		if !ok || from > to {
			from = to
		}
		bars = append(bars, chart.ScheduleBar{
			Name: d.Title, Href: f.To(workshop.Target{Page: "job", ID: d.JobID}), Kind: chart.BarWork,
			From: max(from, p.Problem.TodayDay-doneWithin), To: to, Done: true,
		})
	}
	slices.Reverse(bars)
	return bars
}

// dayOfPlan is a moment as days from the start of the plan.
func dayOfPlan(p *workshop.WorkPlan, moment string) (float64, bool) {
	at, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		return 0, false
	}
	y, m, d := at.Date()
	whole := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	y, m, d = p.Problem.Start.Date()
	start := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	return whole.Sub(start).Hours()/24 + float64(at.Hour())/24 + float64(at.Minute())/24/60, true
}

// byMost sorts by a figure, the greatest first.
func byMost[T any](list []T, of func(T) float64) {
	slices.SortStableFunc(list, func(a, b T) int { return cmp.Compare(of(b), of(a)) })
}

// byDayDown sorts by a date, the latest first.
func byDayDown[T any](list []T, of func(T) string) {
	slices.SortStableFunc(list, func(a, b T) int { return cmp.Compare(of(b), of(a)) })
}
