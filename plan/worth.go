package plan

import (
	"context"
	"fmt"
	"slices"

	"wreckwright/uncertain"
)

const (
	// delayTrials bound what is played for each task's delay.
	delayTrials = 200
	// delayLeast is the criticality below which a delay is not played: it would
	// move the finish by minutes.
	delayLeast = 0.01
	// delayMost bounds the number of tasks whose delay is played.
	delayMost = 40
)

// delays plays each task that matters with a length one day longer, on the same
// draws, and notes what the finish and the money do on average.
func (m *simulation) delays(ctx context.Context, tasks []TaskDoubt) error {
	var which []int
	for i, t := range tasks {
		if (t.Criticality >= delayLeast || m.holdsMilestone(i)) && m.p.Tasks[i].DoneDay == nil {
			which = append(which, i)
		}
	}
	slices.SortStableFunc(which, func(a, b int) int {
		if tasks[a].Criticality > tasks[b].Criticality {
			return -1
		}
		return 1
	})
	which = which[:min(len(which), delayMost)]
	days, money := m.means(delayTrials)
	// One block stands for one task, so that all cores are used.
	return uncertain.Blocks(ctx, len(which)*uncertain.BlockTrials, func() func(block, first, count int) {
		return func(block, _, _ int) {
			i := which[block]
			later, dearer := m.shifted(i, 1).means(delayTrials)
			tasks[i].DelayDays, tasks[i].DelayCost = tidy(later-days), tidy(dearer-money)
		}
	})
}

// holdsMilestone reports a task that stands directly before a milestone with a
// wished date.
func (m *simulation) holdsMilestone(i int) bool {
	return slices.ContainsFunc(m.g.behind[i], func(a arc) bool { return m.g.due[a.node] < never })
}

// shifted is the same plan with one task's length moved by some days of its
// unit, on the same draws.
func (m *simulation) shifted(i int, days float64) *simulation {
	other, d := *m, *m.lengths
	d.shift = slices.Clone(d.shift)
	unit := m.p.Tasks[i]
	if unit.Hours != nil {
		unit.Hours, unit.Days = nil, new(uncertain.Certain(1))
	}
	per := float64(m.p.ticks(unit, 1024)) / 1024
	d.shift[i] += int64(days * per)
	other.lengths = &d
	return &other
}

// means is the mean finish and the mean cost of the first trials.
func (m *simulation) means(trials int) (days, money float64) {
	m.each(trials, m.policy, func(y *player) {
		day := toDays(finish(y.end))
		days += day
		money += m.costOf(day, func(k int) float64 { return toDays(y.end[m.g.tasks+k]) })
	})
	return days / float64(trials), money / float64(trials)
}

// Worth is what an earlier arrival of one thing does.
type Worth struct {
	ID          string            `json:"id"`
	Days        float64           `json:"days"`        // earlier, as asked for
	FinishDays  float64           `json:"finish_days"` // by which the finish comes earlier, on average
	P80Days     float64           `json:"p80_days"`    // the same of the 80 % point
	Milestones  []MilestoneChange `json:"milestones"`  // with a wished date
	CostSaved   float64           `json:"cost_saved"`  // days until the finish, milestones missed
	PerDay      float64           `json:"per_day"`     // the same for each day earlier: the most that is worth paying
	Criticality float64           `json:"criticality"` // of the thing, as it stands
	Trials      int               `json:"trials"`
}

// MilestoneChange is the chance of one wished date before and after.
type MilestoneChange struct {
	ID     string  `json:"id"`
	Before float64 `json:"before"`
	After  float64 `json:"after"`
}

// WorthOfDay answers what it is worth when one task - a delivery, say - is over
// some days earlier (later: negative days). The plan's order and policy and all
// draws stay, so that only the effect shows.
func WorthOfDay(ctx context.Context, p Problem, s Schedule, id string, days float64) (Worth, error) {
	i := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.ID == id })
	if i < 0 {
		return Worth{}, fmt.Errorf("plan: %q is no task; expected the id of one", id)
	}
	m, err := newSimulation(p, s, "")
	if err != nil {
		return Worth{}, err
	}
	before, err := m.run(ctx, m.trials())
	if err != nil {
		return Worth{}, err
	}
	after, err := m.shifted(i, -days).run(ctx, m.trials())
	if err != nil {
		return Worth{}, err
	}
	w := Worth{ID: id, Days: days, Criticality: before.critical[i], Trials: m.trials(), CostSaved: tidy(m.cost(before) - m.cost(after))}
	w.Milestones = m.changes(before, p, after)
	was, is := quantiles(before.finish), quantiles(after.finish)
	w.FinishDays, w.P80Days = tidy(was.Mean-is.Mean), tidy(was.P80-is.P80)
	if days != 0 {
		w.PerDay = w.CostSaved / days
	}
	return w, nil
}

func (m *simulation) trials() int {
	if m.p.Trials > 0 {
		return m.p.Trials
	}
	return DefaultTrials
}

// changes are the chances of the wished dates of two runs; milestones that are
// not in both are left out.
func (m *simulation) changes(before *outcome, p Problem, after *outcome) []MilestoneChange {
	out := []MilestoneChange{}
	for k, one := range m.p.Milestones {
		j := slices.IndexFunc(p.Milestones, func(o Milestone) bool { return o.ID == one.ID })
		if one.ByDay == nil || j < 0 {
			continue
		}
		out = append(out, MilestoneChange{one.ID, chanceBy(before.milestones[k], *one.ByDay), chanceBy(after.milestones[j], *one.ByDay)})
	}
	return out
}

func chanceBy(days []float64, by float64) float64 {
	n := 0
	for _, d := range days {
		if d <= by+rounding {
			n++
		}
	}
	return float64(n) / float64(len(days))
}

// tidy takes what rounding leaves of a difference away.
func tidy(v float64) float64 {
	if v < 1e-7 && v > -1e-7 {
		return 0
	}
	return v
}
