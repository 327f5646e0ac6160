package main

import (
	"fmt"
	"io"
	"strings"

	"wreckwright/appraise/history"
	"wreckwright/casefile"
	"wreckwright/workshop"
)

type historyCommand struct {
	Case  string `arg:"" name:"case.yaml" help:"Case file: the jurisdiction, the car, what happened to it."`
	JSON  bool   `name:"json" help:"Print one JSON object and nothing else."`
	Today string `name:"today" hidden:"" help:"The day to reckon from."`
}

// Run reads the story and prints what it shows.
func (h historyCommand) Run(out output) error {
	today, err := readToday(h.Today)
	if err != nil {
		return err
	}
	file, err := casefile.Read(h.Case)
	if err != nil {
		return err
	}
	c, err := readHistoryCase(file, today)
	if err != nil {
		return err
	}
	result, err := history.Read(c, workshop.HistoryRules())
	if err != nil {
		return err
	}
	if h.JSON {
		return writeJSON(out.Result, result)
	}
	writeHistory(out.Result, result)
	return nil
}

func writeHistory(w io.Writer, r history.Result) {
	fmt.Fprintf(w, "may it return to the road in %s: %s\n  %s\n", r.PlaceName, r.MayReturn, r.Why)
	headings := map[string]string{history.Stop: "stops the purchase", history.Question: "ask", history.Note: "to know"}
	last := ""
	for _, f := range r.Findings {
		if f.Severity != last {
			fmt.Fprintf(w, "\n%s\n", headings[f.Severity])
			last = f.Severity
		}
		fmt.Fprintf(w, "  %s\n      [%s]\n", f.Text, f.Source)
	}
	writeAdvice(w, "before the road", r.MustDo)
	writeAdvice(w, "to be told on a sale", r.MustDisclose)
	fmt.Fprintln(w, "\nthe story")
	for _, p := range r.Timeline {
		fmt.Fprintf(w, "  %s\n", strings.TrimRight(pointLine(p, r.Unit), " "))
	}
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
	fmt.Fprintf(w, "\n%s\n", r.Disclaim)
}

func writeAdvice(w io.Writer, heading string, list []history.Advice) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", heading)
	for _, a := range list {
		fmt.Fprintf(w, "  %s\n      [%s]\n", a.Text, a.Source)
	}
}

func pointLine(p history.Point, unit string) string {
	reading := ""
	if p.Odometer != nil {
		reading = fmt.Sprintf("%.0f %s", *p.Odometer, unit)
	}
	what := strings.Join(strings.Fields(p.Kind+" "+p.Category+" "+p.Result), " ")
	return fmt.Sprintf("%s  %12s  %-24s %s", p.Date, reading, what, strings.Join(p.Flags, ", "))
}
