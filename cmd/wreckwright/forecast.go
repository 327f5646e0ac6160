package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wreckwright/casefile"
	"wreckwright/money/forecast"
	"wreckwright/working"
)

type forecastCommand struct {
	Case string `arg:"" name:"case.yaml" help:"Case file: jobs with their ranges, what is spent, the ceiling."`
	JSON bool   `name:"json" help:"Print one JSON object and nothing else."`
}

// Run reads the case, makes the forecast and prints it.
func (f forecastCommand) Run(ctx context.Context, out output) error {
	file, err := casefile.Read(f.Case)
	if err != nil {
		return err
	}
	c, err := readForecastCase(file)
	if err != nil {
		return err
	}
	result, err := forecast.Run(ctx, c)
	if err != nil {
		return err
	}
	if f.JSON {
		return writeJSON(out.Result, result)
	}
	writeForecast(out.Result, result)
	return nil
}

// writeJSON prints one object, indented.
func writeJSON(w io.Writer, v any) error {
	encoder := json.NewEncoder(w)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return fmt.Errorf("cannot write the result as JSON: %w", err)
	}
	return nil
}

// driversShown is how many drivers the short result lists.
const driversShown = 8

func writeForecast(w io.Writer, r forecast.Result) {
	if r.ChanceUnderCeiling != nil {
		fmt.Fprintf(w, "chance of staying under %s %s: %s (standard error %.2g)\n\n",
			money(*r.Ceiling), r.Currency, percent(*r.ChanceUnderCeiling), *r.StandardError)
	}
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "%s\tmean\tsd\t10 %%\t50 %%\t80 %%\t90 %%\t\n", r.Currency)
	row := func(name string, s forecast.Summary, show func(float64) string) {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", name,
			show(s.Mean), show(s.SD), show(s.P10), show(s.P50), show(s.P80), show(s.P90))
	}
	fmt.Fprintf(table, "spent\t%s\t\t\t\t\t\t\n", money(r.Spent))
	row("remaining", r.Remaining, money)
	row("total", r.Total, money)
	row("own hours left", r.Hours, func(h float64) string { return fmt.Sprintf("%.1f h", h) })
	table.Flush()

	fmt.Fprintf(w, "\nthe plain sum of likely figures is %s: kept with a chance of %s\n",
		money(r.Plain.Value), percent(r.Plain.Chance))
	fmt.Fprintf(w, "own record: %s\n", r.Bias.Words())
	writeDrivers(w, r.Drivers)
	for _, caution := range r.Cautions {
		fmt.Fprintf(w, "\ncaution: %s\n", caution)
	}
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeDrivers(w io.Writer, drivers []forecast.Driver) {
	if len(drivers) == 0 {
		return
	}
	fmt.Fprintln(w, "\nwhere the doubt comes from")
	rest := 0.0
	for i, d := range drivers {
		if i >= driversShown {
			rest += d.VarianceShare
			continue
		}
		fmt.Fprintf(w, "  %6s  %s\n", percent(d.VarianceShare), d.Name)
	}
	if n := len(drivers) - driversShown; n > 0 {
		fmt.Fprintf(w, "  %6s  %d others\n", percent(rest), n)
	}
}

// writeWorking prints the steps: what, value with unit, formula, source.
func writeWorking(w io.Writer, steps working.Working) {
	for _, s := range steps {
		value := strings.TrimSpace(fmt.Sprintf("%.6g %s", s.Value, s.Unit))
		fmt.Fprintf(w, "  %s = %s\n      %s [%s]\n", s.What, value, s.Formula, s.Source)
	}
}

// money shows an amount to the whole unit: a forecast has no pence.
func money(v float64) string { return fmt.Sprintf("%.0f", v) }

// percent shows a chance without rounding a doubt away.
func percent(p float64) string {
	switch {
	case p > 0 && p < 0.0005:
		return "< 0.1 %"
	case p < 1 && p > 0.9995:
		return "> 99.9 %"
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}
