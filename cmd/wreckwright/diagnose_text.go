package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
)

// alternativesShown is how many other actions the short result lists, and
// flipsShown how many changes of mind.
const (
	alternativesShown = 2
	flipsShown        = 5
)

// write prints a diagnosis for a person.
func (r diagnosis) write(w io.Writer) {
	fmt.Fprintf(w, "%s\n", r.model.Case.Symptom)
	if r.model.Stop != "" {
		fmt.Fprintf(w, "\n%s\n", whyStop)
		r.writeCautions(w)
		return
	}
	r.writeChances(w)
	r.writeNext(w)
	r.writeCautions(w)
	r.writeAlternatives(w)
	r.writeWhole(w)
	r.writeFlips(w)
	if r.advice.Surprise != "" {
		fmt.Fprintf(w, "\ndoubt: %s\n", r.advice.Surprise)
	}
	for _, caution := range r.advice.Cautions {
		fmt.Fprintf(w, "\ncaution: %s\n", caution)
	}
	fmt.Fprintf(w, "\nmethod: %s\n", methodWords(r.advice.Method))
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.advice.Working)
}

func methodWords(m diagnose.Method) string {
	if m == diagnose.Exact {
		return "exact: every plan of these tests and repairs was weighed"
	}
	return "look-ahead, as the caution says"
}

// barWidth is the length of a bar for a chance of 1.
const barWidth = 20

// writeChances lists the faults, the likeliest first.
func (r diagnosis) writeChances(w io.Writer) {
	faults := r.model.Case.Faults
	order := make([]int, len(faults))
	width := 0
	for i := range faults {
		order[i] = i
		width = max(width, len([]rune(r.model.FaultName(i))))
	}
	chance := func(i int) float64 { return r.advice.Posterior[faults[i].ID] }
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case chance(a) > chance(b):
			return -1
		case chance(a) < chance(b):
			return 1
		}
		return 0
	})
	title := "what it can be"
	switch {
	case r.advice.Next.Kind == diagnose.KindDone:
		title = "what it was"
	case r.model.Case.Several > 1:
		title = "what it can be (up to two at once, so the chances may come to more than 100 %)"
	}
	fmt.Fprintf(w, "\n%s\n", title)
	for _, i := range order {
		bar := strings.Repeat("#", int(math.Round(chance(i)*barWidth)))
		line := fmt.Sprintf("  %-*s %8s  %s", width, r.model.FaultName(i), percent(chance(i)), bar)
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
}

// writeNext says the one next action, how it is done, why, and what it comes to.
func (r diagnosis) writeNext(w io.Writer) {
	next := r.advice.Next
	switch next.Kind {
	case diagnose.KindDone:
		fmt.Fprintln(w, "\nthe symptom is gone: nothing is left to do")
		return
	case diagnose.KindNothing:
		fmt.Fprintln(w, "\nnothing in this case can cure what is left: a fault is missing from the list, or a repair, or the whole unit")
		return
	}
	fmt.Fprintf(w, "\nnext %s\n", r.action(next))
	for _, line := range r.steps(next) {
		fmt.Fprintf(w, "  %s\n", line)
	}
	r.writeWhy(w)
	fmt.Fprintf(w, "  from here on about %s %s: %s paid out and %.1f own hours", money(next.ExpectedCost), r.advice.Currency,
		money(r.advice.ExpectedMoney), r.advice.ExpectedMinutes/60)
	if r.advice.ReplaceAllCost != nil {
		fmt.Fprintf(w, "; chance that the whole unit is bought in the end: %s", percent(r.advice.ChanceReplaceAll))
	}
	fmt.Fprintln(w)
}

// writeWhy gives the reason for the next action, and what is best after each way
// in which it can come out.
func (r diagnosis) writeWhy(w io.Writer) {
	var why []string
	if s := r.reason.Splits; len(s) == 2 {
		why = append(why, fmt.Sprintf("it tells “%s” from “%s”", r.faultName(s[0]), r.faultName(s[1])))
	}
	if c := r.reason.Cures; len(c) > 0 {
		why = append(why, fmt.Sprintf("it may take away “%s” (%s)", r.faultName(c[0].ID), percent(c[0].Chance)))
	}
	if worth := r.reason.Worth; worth != nil {
		why = append(why, fmt.Sprintf("doing without it would cost %s %s more on average", more(*worth), r.advice.Currency))
	}
	if len(why) > 0 {
		fmt.Fprintf(w, "  why: %s\n", strings.Join(why, "; "))
	}
	for _, way := range r.reason.Ways {
		fmt.Fprintf(w, "  if %s (%s): %s\n", r.wayWords(way), percent(way.Chance), r.thenWords(way.Then))
	}
}

func (r diagnosis) faultName(id string) string {
	i := slices.IndexFunc(r.model.Case.Faults, func(f diagnose.Fault) bool { return f.ID == id })
	return r.model.FaultName(i)
}

// wayWords names the way in which the next action came out.
func (r diagnosis) wayWords(way diagnose.Way) string {
	if r.advice.Next.Kind != diagnose.KindTest {
		return way.Outcome
	}
	i := r.testIndex(r.advice.Next.ID)
	unit := r.model.Tests[i].Unit
	switch {
	case way.From != nil && way.To != nil:
		return strings.TrimSpace(fmt.Sprintf("%.3g to %.3g %s", *way.From, *way.To, unit))
	case way.From != nil:
		return strings.TrimSpace(fmt.Sprintf("above %.3g %s", *way.From, unit))
	case way.To != nil:
		return strings.TrimSpace(fmt.Sprintf("below %.3g %s", *way.To, unit))
	case r.model.Case.Tests[i].Measured != nil:
		return "whatever it reads"
	}
	o := slices.Index(r.model.Case.Tests[i].Outcomes, way.Outcome)
	return "“" + r.model.OutcomeName(i, o) + "”"
}

func (r diagnosis) thenWords(a diagnose.Action) string {
	switch a.Kind {
	case diagnose.KindDone:
		return "done"
	case diagnose.KindNothing:
		return "nothing is left to try"
	}
	return "then " + r.action(a)
}

// action names an action with what it takes.
func (r diagnosis) action(a diagnose.Action) string {
	what := func(kind, name string, cost, minutes float64) string {
		return fmt.Sprintf("%s: %s (%s %s, %s min)", kind, name, money(cost), r.advice.Currency, money(minutes))
	}
	c := r.model.Case
	switch a.Kind {
	case diagnose.KindTest:
		i := r.testIndex(a.ID)
		return what("test", r.model.TestName(i), c.Tests[i].Cost, c.Tests[i].Minutes)
	case diagnose.KindRepair:
		i := r.repairIndex(a.ID)
		return what("repair", r.model.RepairName(i), c.Repairs[i].Cost, c.Repairs[i].Minutes)
	}
	return what("replace", r.model.UnitName(), c.ReplaceAll.Cost, c.ReplaceAll.Minutes)
}

// actionName is the name of an action alone.
func (r diagnosis) actionName(a diagnose.Action) string {
	switch a.Kind {
	case diagnose.KindTest:
		return r.model.TestName(r.testIndex(a.ID))
	case diagnose.KindRepair:
		return r.model.RepairName(r.repairIndex(a.ID))
	}
	return r.model.UnitName()
}

func (r diagnosis) testIndex(id string) int {
	return slices.IndexFunc(r.model.Case.Tests, func(t diagnose.Test) bool { return t.ID == id })
}

func (r diagnosis) repairIndex(id string) int {
	return slices.IndexFunc(r.model.Case.Repairs, func(t diagnose.Repair) bool { return t.ID == id })
}

// steps is how an action is done.
func (r diagnosis) steps(a diagnose.Action) []string {
	var lines []string
	switch a.Kind {
	case diagnose.KindTest:
		note := r.model.Tests[r.testIndex(a.ID)]
		lines = append(lines, note.How)
		if len(note.Tools) > 0 {
			lines = append(lines, "tools: "+joinWords(note.Tools))
		}
	case diagnose.KindRepair:
		lines = append(lines, r.model.Repairs[r.repairIndex(a.ID)].How)
	}
	return slices.DeleteFunc(lines, func(s string) bool { return s == "" })
}

func (r diagnosis) writeCautions(w io.Writer) {
	for _, c := range r.cautions {
		fmt.Fprintf(w, "\ncaution, %s: %s\n  %s\n", lowerFirst(c.Name), c.Text, c.DeferTo)
	}
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func joinWords(words []string) string { return strings.Join(words, ", ") }

// writeAlternatives lists the next best actions, and what beginning with them
// costs more.
func (r diagnosis) writeAlternatives(w io.Writer) {
	if len(r.advice.Ranked) < 2 || r.advice.Next.Kind == diagnose.KindNothing {
		return
	}
	fmt.Fprintln(w, "\notherwise")
	for _, a := range r.advice.Ranked[1:min(len(r.advice.Ranked), 1+alternativesShown)] {
		fmt.Fprintf(w, "  %s: %s more in all\n", r.action(a), more(a.ExpectedCost-r.advice.Next.ExpectedCost))
	}
}

// figure is a number to four digits, or to the unit where it is larger.
func figure(v float64) string {
	if math.Abs(v) >= 1e4 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.4g", v)
}

// more shows a difference that may be below a unit of money.
func more(v float64) string {
	if v < 10 {
		return fmt.Sprintf("%.2f", v)
	}
	return money(v)
}

// writeWhole keeps the price of the whole unit in sight.
func (r diagnosis) writeWhole(w io.Writer) {
	fmt.Fprintln(w)
	a := r.advice
	if a.ReplaceAllCost == nil {
		fmt.Fprintln(w, "the whole unit cannot be had")
	} else {
		fmt.Fprintf(w, "%s costs %s %s with its hours; expected saving against it: %s\n",
			r.model.UnitName(), money(*a.ReplaceAllCost), a.Currency, money(*a.ExpectedSaving))
	}
	if a.Next.Kind != diagnose.KindDone && a.Next.Kind != diagnose.KindNothing {
		fmt.Fprintf(w, "knowing the cause for sure would be worth %s at most, and so no test is worth more\n", money(a.PerfectInformation))
	}
}

// writeFlips says what would change the advice.
func (r diagnosis) writeFlips(w io.Writer) {
	if len(r.advice.Flips) == 0 {
		return
	}
	fmt.Fprintln(w, "\nwhat would change the advice")
	for i, f := range r.advice.Flips {
		if i == flipsShown {
			break
		}
		fmt.Fprintf(w, "  %s\n", r.flip(f))
	}
}

// flip says where another action comes first.
func (r diagnosis) flip(f diagnose.Flip) string {
	what := f.Input
	show := figure
	if in, ok := r.model.Input(f.Input); ok {
		what = in.What
		if in.Measure == faultmodel.Chance {
			what, show = "the chance of "+strings.TrimSuffix(in.What, ","), percent
		}
	}
	side := string(f.Beyond)
	if f.Approximate {
		side += " about"
	}
	if f.FlipsAt == f.Now {
		side = "at the least move " + string(f.Beyond)
	}
	return fmt.Sprintf("%s, now %s: %s %s begin with %s", what, show(f.Now), side, show(f.FlipsAt), r.actionName(f.To))
}
