package main

import (
	"context"
	"fmt"
	"io"
	"text/tabwriter"

	"wreckwright/appraise/bid"
	"wreckwright/casefile"
	"wreckwright/money/forecast"
)

type bidCommand struct {
	Case string `arg:"" name:"case.yaml" help:"Case file: the value when done, the jobs, the buyer's fees, the profit wanted."`
	JSON bool   `name:"json" help:"Print one JSON object and nothing else."`
}

// Run reads the case, forecasts the jobs, works out the bid and prints it.
func (b bidCommand) Run(ctx context.Context, out output) error {
	file, err := casefile.Read(b.Case)
	if err != nil {
		return err
	}
	c, err := readBidCase(file)
	if err != nil {
		return err
	}
	result, err := c.run(ctx)
	if err != nil {
		return err
	}
	if b.JSON {
		return writeJSON(out.Result, result)
	}
	writeBid(out.Result, result)
	return nil
}

// bidCase is a case file read: the jobs for the forecast, the rest for the bid.
type bidCase struct {
	jobs forecast.Case
	bid  bid.Case
}

// run forecasts the jobs and hands their cost to the bid.
func (c bidCase) run(ctx context.Context) (bid.Result, error) {
	jobs, err := forecast.Run(ctx, c.jobs)
	if err != nil {
		return bid.Result{}, err
	}
	c.bid.Costs = jobs.Sample()
	for _, d := range jobs.Drivers {
		c.bid.Drivers = append(c.bid.Drivers, bid.Driver(d))
	}
	result, err := bid.Run(ctx, c.bid)
	if err != nil {
		return bid.Result{}, err
	}
	result.Cautions = append(result.Cautions, jobs.Cautions...)
	return result, nil
}

func writeBid(w io.Writer, r bid.Result) {
	if r.MaxBid == nil {
		fmt.Fprintf(w, "no bid: %s\n", r.Why)
	} else {
		fmt.Fprintf(w, "bid at most %s %s: %s\n", money(*r.MaxBid), r.Currency, r.Why)
		fmt.Fprintf(w, "chance of a profit of %s: %s (standard error %.2g); of a loss: %s\nexpected profit %s, all in %s\n",
			money(r.Wanted), percent(*r.ChanceAtMax), *r.StandardError, percent(*r.ChanceOfLossAtMax), money(*r.ExpectedProfitAtMax), money(*r.AllInAtMax))
	}
	writeMarks(w, r)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "\n%s\tmean\tsd\t10 %%\t50 %%\t90 %%\t\n", r.Currency)
	for _, k := range []struct {
		name string
		s    bid.Summary
	}{{"the car brings", r.Net}, {"jobs and other costs", r.Costs}, {"before the purchase", r.Before}} {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t\n", k.name, money(k.s.Mean), money(k.s.SD), money(k.s.P10), money(k.s.P50), money(k.s.P90))
	}
	table.Flush()
	for _, e := range r.Edges {
		fmt.Fprintf(w, "\na fee band begins at %s: it comes to %s all in, %s to %s\n", money(e.Above), money(e.AboveAllIn), money(e.Below), money(e.BelowAllIn))
	}
	drivers := make([]forecast.Driver, 0, len(r.Drivers))
	for _, d := range r.Drivers {
		drivers = append(drivers, forecast.Driver(d))
	}
	writeDrivers(w, drivers)
	for _, caution := range r.Cautions {
		fmt.Fprintf(w, "\ncaution: %s\n", caution)
	}
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeMarks(w io.Writer, r bid.Result) {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "\n%s\tchance\tbid\tsafe\tall in\texpected profit\t\n", r.Currency)
	for _, m := range r.Marked {
		shown := func(v *float64) string {
			if v == nil {
				return "none"
			}
			return money(*v)
		}
		allIn, profit := "", ""
		if m.AtBid != nil {
			allIn, profit = money(m.AtBid.AllIn), money(m.AtBid.ExpectedProfit)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t\n", m.Name, percent(m.Confidence), shown(m.Bid), shown(m.SafeBid), allIn, profit)
	}
	table.Flush()
}
