package bid

import (
	"fmt"
	"math"

	"wreckwright/uncertain"
	"wreckwright/working"
)

// payment is what a price comes to.
func (t tariff) payment(price int64) Payment {
	fee, feeTax, priceTax := t.parts(price)
	p := Payment{
		Bid: t.major(price), Fee: t.major(fee), FeeTax: t.major(feeTax), PriceTax: t.major(priceTax),
		AllIn: t.major(price + fee + feeTax + priceTax),
	}
	if t.given {
		p.Band = t.bandAt(price) + 1
	}
	return p
}

// edges are the bands' edges at which the all-in price falls by a step.
func (t tariff) edges() []Edge {
	list := []Edge{}
	for band := 1; band < len(t.bands); band++ {
		first, last := t.steps(band, math.MaxInt64)
		if last < first || first < 2 {
			continue
		}
		below, above := (first-1)*t.step, first*t.step
		if t.allIn(above) < t.allIn(below) {
			list = append(list, Edge{t.major(below), t.major(t.allIn(below)), t.major(above), t.major(t.allIn(above))})
		}
	}
	return list
}

// fewTrials is where the simulation's own error starts to show in the figures.
const fewTrials = 1000

// cautions are what makes the bid usable but doubtful.
func cautions(c Case, r Result) []string {
	list := []string{}
	note := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if r.Trials < fewTrials {
		note("trials: %d; the figures themselves are rough below %d", r.Trials, fewTrials)
	}
	if wide := r.BudgetInterval.High - r.BudgetInterval.Low; wide > 5*c.Step && wide > 0.02*math.Abs(r.Budget) {
		note("the simulation alone leaves the purchase between %.0f and %.0f all in (95 %%): take more trials", r.BudgetInterval.Low, r.BudgetInterval.High)
	}
	if c.Keep {
		note("the car is kept: no sale and no marker's discount is counted; what the marker takes is lost on the day it is sold after all")
	}
	if r.MaxBid != nil && (r.SafeBid == nil || *r.SafeBid < *r.MaxBid) {
		note("at a fee band's edge a higher bid comes cheaper; who may win below the largest bid stays within the safe one")
	}
	for _, k := range []struct {
		name string
		r    uncertain.Range
	}{{"value when done", c.Value}, {"marker discount", c.Discount}} {
		if k.r.Curve().OneSided() {
			note("%s: low, likely and high leave doubt on one side only; half of the chance is put at the likely figure", k.name)
		}
	}
	return list
}

// explain is the working of a bid.
func explain(c Case, r Result) working.Working {
	var w working.Working
	money, source := c.Currency, "DESIGN_BID"
	if c.Keep {
		w.Add("price of an equal undamaged car, mean", "mean over the trials; nothing is sold", r.Net.Mean, money, "own estimate")
	} else {
		w.Add("value when done, mean of its range", "mean of the distribution through low, likely, high", c.Value.Curve().MeanCut(), money, "DESIGN_RANGE")
		w.Add("marker's discount, mean of its range", "mean of the distribution through low, likely, high", c.Discount.Curve().MeanCut(), "", "DESIGN_RANGE")
		w.Add("what the car brings, mean", fmt.Sprintf("value (1 - discount) (1 - %g %%) - %g", c.Selling.Percent, c.Selling.Fixed), r.Net.Mean, money, source)
	}
	w.Add("jobs, hidden damage and other costs, mean", "mean over the trials, own hours at their worth", r.Costs.Mean, money, "DESIGN_FORECAST")
	w.Add("before the purchase, mean", "what the car brings - costs", r.Before.Mean, money, source)
	w.Add("before the purchase, standard deviation", fmt.Sprintf("over %d trials, seed %d", r.Trials, r.Seed), r.Before.SD, money, source)
	w.Add("profit wanted", "given", c.Wanted, money, "own estimate")
	w.Add("confidence", "given", c.Confidence, "", "own estimate")
	w.Add("budget for the purchase, all in", "the (n - ceil(c n) + 1)-th smallest of before the purchase - profit wanted", r.Budget, money, "HYNDMAN_FAN_1996 definition 1")
	if r.MaxBid != nil {
		r.explainBid(&w)
	}
	for _, d := range r.Drivers {
		w.Add("share of the doubt: "+d.Name, "Cov(item, profit)/Var(profit)", d.VarianceShare, "", "DESIGN_SHARES")
	}
	return w
}

func (r Result) explainBid(w *working.Working) {
	p, money, source := r.Payment, r.Currency, "DESIGN_BID"
	w.Add("largest affordable bid", fmt.Sprintf("the largest multiple of %g that comes to at most the budget", r.tariff.major(r.tariff.step)), p.Bid, money, source)
	w.Add("its fee", fmt.Sprintf("fee band %d: fixed + share of the price, at least the minimum; rounded, halves away from zero", p.Band), p.Fee, money, source)
	w.Add("tax on the fee", "share of the fee, rounded, halves away from zero", p.FeeTax, money, source)
	w.Add("tax on the price", "share of the price, rounded, halves away from zero", p.PriceTax, money, source)
	w.Add("all in", "price + fee + taxes", p.AllIn, money, source)
	if r.SafeBid != nil {
		w.Add("safe bid", "the largest multiple below which every lower one is affordable too", *r.SafeBid, money, source)
	}
	w.Add("chance of the profit wanted", "share of trials with before the purchase - all in >= profit wanted", *r.ChanceAtMax, "", source)
	w.Add("its standard error", "sqrt(p (1 - p)/n)", *r.StandardError, "", "CONOVER_1999 section 3.1")
	w.Add("expected profit", "mean of before the purchase - all in", *r.ExpectedProfitAtMax, money, source)
}
