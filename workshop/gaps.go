package workshop

import (
	"fmt"
	"strings"

	"wreckwright/rebuild"
)

// Gaps is what the figures leave out or rest on without being told: the reason
// to doubt a total however narrow its range.
type Gaps struct {
	JobsWithoutFigure   []*rebuild.Job     // ahead, or finished unwritten, and no usable route
	RoutesNotChosen     []*rebuild.Job     // ahead, planned with the cheapest route
	FindingsWithoutJob  []*rebuild.Finding // open
	FinishedWithoutCost []*rebuild.Job     // counted with their range, where they have one
	EntriesWithoutJob   []*rebuild.Entry   // counted as spent, but their jobs still expect to be paid in full
}

func gapsOf(r *rebuild.Rebuild) Gaps {
	g := Gaps{FinishedWithoutCost: r.JobsWithoutCost(), EntriesWithoutJob: r.EntriesWithoutJob()}
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if !j.Ahead() {
			continue
		}
		if _, ok := j.Planned(); !ok {
			g.JobsWithoutFigure = append(g.JobsWithoutFigure, j)
		} else if j.Chosen == 0 {
			g.RoutesNotChosen = append(g.RoutesNotChosen, j)
		}
	}
	for _, j := range g.FinishedWithoutCost {
		if _, ok := j.Planned(); !ok {
			g.JobsWithoutFigure = append(g.JobsWithoutFigure, j)
		}
	}
	states := r.FindingStates()
	for i := range r.Findings {
		if f := &r.Findings[i]; states[f.ID] == rebuild.FindingOpen {
			g.FindingsWithoutJob = append(g.FindingsWithoutJob, f)
		}
	}
	return g
}

// LeftOut says what the total does not contain, or nothing where it is whole.
func (g Gaps) LeftOut() string {
	var parts []string
	if n := len(g.JobsWithoutFigure); n > 0 {
		parts = append(parts, count(n, "job has", "jobs have")+" no figure yet")
	}
	if n := len(g.FindingsWithoutJob); n > 0 {
		parts = append(parts, count(n, "finding has", "findings have")+" no job yet")
	}
	if len(parts) == 0 {
		return ""
	}
	return "Not in the total: " + strings.Join(parts, ", ") + "."
}

// Sentences are all gaps in words, the gravest first.
func (g Gaps) Sentences() []string {
	var out []string
	if s := g.LeftOut(); s != "" {
		out = append(out, s)
	}
	if n := len(g.FinishedWithoutCost); n > 0 {
		out = append(out, count(n, "finished job has", "finished jobs have")+" no cost written down and "+were(n)+" counted with the estimate.")
	}
	if n := len(g.EntriesWithoutJob); n > 0 {
		out = append(out, count(n, "cost belongs", "costs belong")+" to no job: if one was for a job ahead, that job is counted twice.")
	}
	if n := len(g.RoutesNotChosen); n > 0 {
		out = append(out, count(n, "job has", "jobs have")+" no route chosen and "+were(n)+" planned with the cheapest.")
	}
	return out
}

func were(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// count writes "1 job has" or "3 jobs have".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
