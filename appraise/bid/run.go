package bid

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"wreckwright/uncertain"
)

// Run works out the bid. It fails with an [*InputError] where a figure of the
// case cannot be, and with the context's error where that ends first.
func Run(ctx context.Context, c Case) (Result, error) {
	if err := c.Validate(); err != nil {
		return Result{}, fmt.Errorf("bid: %w", err)
	}
	if c.Keep {
		c.Selling, c.Discount = Selling{}, uncertain.Range{}
	}
	columns, err := draw(ctx, c)
	if err != nil {
		return Result{}, fmt.Errorf("bid: %w", err)
	}
	r := Result{
		Currency: c.Currency, Wanted: c.Wanted, Confidence: c.Confidence, Keep: c.Keep,
		Trials: len(columns.net), Seed: c.Seed, tariff: newTariff(c),
	}
	r.Drivers = columns.drivers(c)
	r.summarise(columns)
	r.answer()
	r.mark()
	r.Curve = r.curve()
	r.Edges = r.tariff.edges()
	r.Cautions = cautions(c, r)
	r.Working = explain(c, r)
	return r, nil
}

// summarise sorts the columns and fills the figures that no bid changes.
func (r *Result) summarise(c *columns) {
	var group sync.WaitGroup
	r.before = c.before
	for _, k := range []struct {
		column []float64
		to     *Summary
	}{{c.net, &r.Net}, {c.costs, &r.Costs}, {c.before, &r.Before}} {
		group.Go(func() { *k.to = summary(k.column) })
	}
	group.Wait()
	r.Budget = r.budget(r.Confidence)
	low, high, _ := uncertain.QuantileRanks(len(r.before), 1-r.Confidence, 0.95)
	r.BudgetInterval = uncertain.Interval{Low: r.ranked(low) - r.Wanted, High: r.ranked(high) - r.Wanted}
}

// summary sorts a column and sums it up.
func summary(column []float64) Summary {
	m := uncertain.MomentsOf(column)
	uncertain.SortFloats(column)
	return Summary{
		Mean: m.Mean, SD: math.Sqrt(m.Variance()), P10: uncertain.SampleQuantile(column, 0.1),
		P50: uncertain.SampleQuantile(column, 0.5), P90: uncertain.SampleQuantile(column, 0.9),
	}
}

// budget is the most that the purchase may come to, all in, with the profit
// wanted at a confidence: the (n - ceil(c n) + 1)-th smallest less the profit.
//
// ref: DESIGN_BID budget; HYNDMAN_FAN_1996 definition 1
func (r Result) budget(confidence float64) float64 {
	n := len(r.before)
	// A product like 0.07*100 lands a hair above 7; it must not move to the next rank.
	needed := int(math.Ceil(confidence*float64(n) - 1e-9))
	return r.ranked(n-needed+1) - r.Wanted
}

// ranked is the k-th smallest, counted from 1.
func (r Result) ranked(k int) float64 { return r.before[min(max(k, 1), len(r.before))-1] }

// inMinor is a budget in minor units: what is left over is not enough for one
// more.
func (t tariff) inMinor(budget float64) int64 {
	// No price can be dearer than the greatest sum of money.
	budget = max(min(budget, uncertain.MoneyBounds.Max), -uncertain.MoneyBounds.Max)
	return int64(math.Floor((budget + rounding) * t.scale))
}

func (r *Result) answer() {
	chosen := r.markAt("chosen", r.Confidence)
	r.MaxBid, r.SafeBid = chosen.Bid, chosen.SafeBid
	if chosen.Bid == nil {
		r.Why = r.whyNot()
		return
	}
	at := *chosen.AtBid
	payment := r.tariff.payment(r.tariff.near(*chosen.Bid))
	interval := uncertain.Wilson(int(math.Round(at.Chance*float64(r.Trials))), r.Trials, 0.95)
	r.ChanceAtMax, r.StandardError, r.ChanceInterval = &at.Chance, new(uncertain.ChanceError(at.Chance, r.Trials)), &interval
	r.ExpectedProfitAtMax, r.ChanceOfLossAtMax, r.AllInAtMax = &at.ExpectedProfit, &at.ChanceOfLoss, &at.AllIn
	r.Payment = &payment
	r.ProfitAtMax = &Summary{
		Mean: r.Before.Mean - at.AllIn, SD: r.Before.SD,
		P10: r.Before.P10 - at.AllIn, P50: r.Before.P50 - at.AllIn, P90: r.Before.P90 - at.AllIn,
	}
	r.Why = r.whySo(chosen)
}

func (r Result) whySo(m Mark) string {
	text := fmt.Sprintf("%.*f comes to %.*f with fees and taxes, within the %.*f that may be paid for a profit of %.*f with a chance of %.4g %%",
		r.places(), *m.Bid, r.places(), m.AtBid.AllIn, r.places(), m.Budget, r.places(), r.Wanted, 100*r.Confidence)
	switch {
	case m.SafeBid == nil:
		text += "; a fee band makes lower bids too dear, so no bid is safe: win below it and it costs more"
	case *m.SafeBid < *m.Bid:
		text += fmt.Sprintf("; between %.*f and it a fee band makes bids too dear: %.*f is safe, whatever it is won for", r.places(), *m.SafeBid, r.places(), *m.SafeBid)
	}
	return text
}

func (r Result) whyNot() string {
	lowest := r.point(r.tariff.step)
	for band := range r.tariff.bands {
		first, last := r.tariff.steps(band, math.MaxInt64)
		if last < first {
			continue
		}
		if p := r.point(first * r.tariff.step); p.AllIn < lowest.AllIn {
			lowest = p
		}
	}
	return fmt.Sprintf("no bid reaches it: even %.*f (%.*f with fees and taxes) leaves a profit of %.*f with a chance of only %.3g %%; wanted %.4g %%",
		r.places(), lowest.Bid, r.places(), lowest.AllIn, r.places(), r.Wanted, 100*lowest.Chance, 100*r.Confidence)
}

// places is the decimals that money is worded with.
func (r Result) places() int { return int(math.Round(math.Log10(r.tariff.scale))) }

// The confidences that are marked beside the chosen one.
const (
	cautious = 0.9
	even     = 0.5
)

func (r *Result) mark() {
	r.Marked = []Mark{r.markAt("cautious", cautious), r.markAt("chosen", r.Confidence), r.markAt("even", even)}
}

// markAt is the largest bid at a confidence, without another simulation.
func (r Result) markAt(name string, confidence float64) Mark {
	m := Mark{Name: name, Confidence: confidence, Budget: r.budget(confidence)}
	most, safe := r.tariff.largest(r.tariff.inMinor(m.Budget))
	if most > 0 {
		at := r.point(most)
		m.Bid, m.AtBid = &at.Bid, &at
	}
	if safe > 0 {
		m.SafeBid = new(r.tariff.major(safe))
	}
	return m
}

// curvePoints is about how many bids the curve has.
const curvePoints = 80

// curve is chance and profit over the bids: from a bid that is nearly sure to
// one that is nearly hopeless, evenly, with both sides of every band's edge and
// the marked bids among them.
func (r Result) curve() []Point {
	t := r.tariff
	high, _ := t.largest(t.inMinor(r.budget(0.01)))
	low, _ := t.largest(t.inMinor(r.budget(0.999)))
	if high == 0 {
		high = max(t.step, t.inMinor(r.Net.P50)/2)
	}
	first, last := max(1, low/t.step), max(1, high/t.step)
	stride := max(1, (last-first)/curvePoints)
	var at []int64
	for k := first; k <= last; k += stride {
		at = append(at, k)
	}
	at = append(at, 1, last)
	for band := 1; band < len(t.bands); band++ {
		if edge, _ := t.steps(band, math.MaxInt64); edge > first && edge <= last {
			at = append(at, edge-1, edge)
		}
	}
	for _, m := range r.Marked {
		for _, bid := range []*float64{m.Bid, m.SafeBid} {
			if bid != nil {
				at = append(at, t.near(*bid)/t.step)
			}
		}
	}
	slices.Sort(at)
	var points []Point
	for _, k := range slices.Compact(at) {
		points = append(points, r.point(k*t.step))
	}
	return points
}
