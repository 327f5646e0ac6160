package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"wreckwright/casefile"
	"wreckwright/plan"
)

type planCommand struct {
	Case string `arg:"" name:"case.yaml" help:"Case file: tasks with their lengths and what they come after, people, milestones."`
	JSON bool   `name:"json" help:"Print one JSON object and nothing else."`
}

// Run reads the case, arranges the work, plays it and prints it.
func (f planCommand) Run(ctx context.Context, out output) error {
	file, err := casefile.Read(f.Case)
	if err != nil {
		return err
	}
	c, err := readPlanCase(file)
	if err != nil {
		return err
	}
	// The budget in schedules alone decides what comes out, on a slow machine too.
	result, err := plan.Run(ctx, ctx, c.problem, c.search)
	if err != nil {
		return err
	}
	if f.JSON {
		return writeJSON(out.Result, result)
	}
	writePlan(out.Result, c.problem, result)
	return nil
}

func writePlan(w io.Writer, p plan.Problem, r plan.Result) {
	fmt.Fprintf(w, "done on %s, day %s, if everything takes its likely time\n", r.FinishDate, days(r.FinishDay))
	switch {
	case r.Search.Proven:
		fmt.Fprintln(w, "no order is better")
	case r.LowerBound > 0:
		fmt.Fprintf(w, "no order can be done before day %s; %d schedules tried\n", days(r.LowerBound), r.Search.Schedules)
	}
	fmt.Fprintf(w, "one chance in ten by %s, as likely as not by %s, four in five by %s, nine in ten by %s\n",
		r.FinishDates.P10, r.FinishDates.P50, r.FinishDates.P80, r.FinishDates.P90)
	writeMilestones(w, r)
	fmt.Fprintln(w)
	writeTimeLine(w, r)
	if len(r.Critical) > 0 {
		fmt.Fprintf(w, "\nthe finish hangs on: %s\n", strings.Join(r.Critical, ", "))
	}
	writeDelays(w, p, r)
	for _, caution := range r.Cautions {
		fmt.Fprintf(w, "\ncaution: %s\n", caution)
	}
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

// days shows a time to the tenth of a day.
func days(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}

func writeMilestones(w io.Writer, r plan.Result) {
	if len(r.Reached) == 0 {
		return
	}
	fmt.Fprintln(w)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "milestone\tplanned\twished\tchance\tnine in ten by day")
	for _, m := range r.Reached {
		wished, chance := "-", "-"
		if m.ChanceBy != nil {
			wished, chance = m.ByDate, percent(*m.ChanceBy)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", m.ID, m.Date, wished, chance, days(m.Quantiles.P90))
	}
	table.Flush()
}

// timeLineWidth is how many letters the whole plan takes.
const timeLineWidth = 48

// writeTimeLine draws every task as a bar, in the order of their starts: # own
// work, ~ a wait, = outside work.
func writeTimeLine(w io.Writer, r plan.Result) {
	placed := slices.Clone(r.Placed)
	slices.SortStableFunc(placed, func(a, b plan.Placed) int {
		switch {
		case a.StartDay < b.StartDay:
			return -1
		case a.StartDay > b.StartDay:
			return 1
		}
		return 0
	})
	scale := timeLineWidth / math.Max(r.FinishDay, 1e-9)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(table, "task\tstart\tend\tto spare\t# work, ~ wait, = outside\n")
	for _, x := range placed {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t|%s|\n", x.ID, x.StartDate, x.EndDate, days(x.SlackDays)+" d", bar(x, scale))
	}
	table.Flush()
}

func bar(x plan.Placed, scale float64) string {
	letter := "#"
	switch {
	case x.Wait:
		letter = "~"
	case x.Outside:
		letter = "="
	}
	from := min(int(x.StartDay*scale), timeLineWidth-1)
	to := min(max(from+1, int(math.Round(x.EndDay*scale))), timeLineWidth)
	return strings.Repeat(" ", from) + strings.Repeat(letter, to-from) + strings.Repeat(" ", timeLineWidth-to)
}

// delaysShown is how many tasks the short result lists.
const delaysShown = 6

// writeDelays lists the tasks whose delay costs most.
func writeDelays(w io.Writer, p plan.Problem, r plan.Result) {
	tasks := slices.Clone(r.Tasks)
	slices.SortStableFunc(tasks, func(a, b plan.TaskDoubt) int {
		switch {
		case a.DelayCost != b.DelayCost:
			return int(math.Copysign(1, b.DelayCost-a.DelayCost))
		case a.DelayDays != b.DelayDays:
			return int(math.Copysign(1, b.DelayDays-a.DelayDays))
		}
		return 0
	})
	fmt.Fprintln(w, "\nwhat a day longer does to the finish")
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, t := range tasks[:min(len(tasks), delaysShown)] {
		if t.DelayDays <= 0 && t.DelayCost <= 0 {
			continue
		}
		money := ""
		if t.DelayCost > 0 {
			money = fmt.Sprintf("%s %s", moneyExact(t.DelayCost), p.Currency)
		}
		fmt.Fprintf(table, "%.2f days\t%s\t in %s of cases  %s\t\n", t.DelayDays, money, percent(t.Criticality), t.ID)
	}
	table.Flush()
}

// moneyExact shows an amount to two decimals: a day's cost may be small.
func moneyExact(v float64) string { return fmt.Sprintf("%.2f", v) }
