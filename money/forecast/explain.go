package forecast

import (
	"fmt"

	"wreckwright/uncertain"
	"wreckwright/working"
)

// fewTrials is where the simulation's own error starts to show in the figures.
const fewTrials = 1000

// cautions are what makes the forecast usable but doubtful.
func cautions(c Case, r Result) []string {
	list := []string{}
	note := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if c.Trials < fewTrials {
		note("trials: %d; the figures themselves are rough below %d", c.Trials, fewTrials)
	}
	if n := r.Bias.N; n > 0 && n < 3 {
		note("closed jobs behind the own bias: %d, too few to trust", n)
	}
	unscored := 0
	for _, k := range c.Closed {
		if k.IsCertain() {
			unscored++
		}
	}
	if unscored > 0 {
		note("closed jobs that had one plain number as their range: %d; they say nothing about the bias", unscored)
	}
	for _, j := range c.Jobs {
		if j.Works != nil && *j.Works < 1 && j.Fallback == nil {
			note("%s: the route may fail but has no fallback; nothing is counted for that", j.Name)
		}
		cautionRange(note, j.Name+", cost", j.Cost)
		if j.Hours != nil {
			cautionRange(note, j.Name+", hours", *j.Hours)
		}
		if j.Fallback != nil {
			cautionRange(note, j.Name+", fallback", j.Fallback.Cost)
		}
	}
	for _, h := range c.Hidden {
		cautionRange(note, h.Name()+", cost", h.Cost)
	}
	if r.Total.Mean > r.Total.P90 {
		note("the mean of the total lies above its 90 %% point: a few trials with very high costs make it, and it says little; look at the quantiles")
	}
	return list
}

func cautionRange(note func(string, ...any), where string, r uncertain.Range) {
	curve := r.Curve()
	switch s := curve.Sigma(); {
	case curve.OneSided():
		note("%s: low, likely and high leave doubt on one side only; half of the chance is put at the likely figure", where)
	case s > 2.5:
		note("%s: the high figure is so far out beside the low one that the mean says little; look at the quantiles", where)
	}
}

// explain is the working of a forecast.
func explain(c Case, r Result) working.Working {
	var w working.Working
	money, source := c.Currency, "DESIGN_FORECAST"
	w.Add("spent so far", "given", c.Spent, money, "own record")
	w.Add("own bias: shift", "n zbar/(n + 4), z = normal score of each actual in its own range", r.Bias.Shift, "sd", "DESIGN_BIAS")
	w.Add("own bias: spread", "sqrt((4 + SS + 4 n zbar^2/(n + 4))/(n + 4))", r.Bias.Spread, "", "DESIGN_BIAS")
	w.Add("correlation of any two items", "Z = shift + spread (sqrt(rho) F + sqrt(1 - rho) e)", c.Correlation, "", "GAO_COST_GUIDE step 9")
	for i, j := range r.Jobs {
		w.Add("expected: "+j.Name, jobFormula(c.Jobs[i], c.HourValue), j.ExpectedCost, money, source)
	}
	for _, h := range r.Hidden {
		w.Add("expected: "+h.Name, "mean of a Poisson number of items, each drawn from its range", h.ExpectedCost, money, source)
	}
	for _, o := range r.Other {
		w.Add("expected: "+o.Name, "mean of what was drawn elsewhere, trial by trial", o.ExpectedCost, money, source)
	}
	w.Add("remaining, mean", "sum of the expected figures of all items", r.Remaining.Mean, money, source)
	w.Add("remaining, standard deviation", fmt.Sprintf("over %d trials, seed %d", c.Trials, c.Seed), r.Remaining.SD, money, source)
	w.Add("total, mean", "spent + remaining", r.Total.Mean, money, source)
	const smallest = "the ceil(p n)-th smallest total of the trials"
	w.Add("total, 10 % point", smallest, r.Total.P10, money, "HYNDMAN_FAN_1996 definition 1")
	w.Add("total, 50 % point", smallest, r.Total.P50, money, "HYNDMAN_FAN_1996 definition 1")
	w.Add("total, 80 % point", smallest, r.Total.P80, money, "HYNDMAN_FAN_1996 definition 1")
	w.Add("total, 90 % point", smallest, r.Total.P90, money, "HYNDMAN_FAN_1996 definition 1")
	w.Add("plain total", "spent + likely figure of every job", r.Plain.Value, money, "GAO_COST_GUIDE step 9")
	w.Add("chance of staying within the plain total", "share of trials", r.Plain.Chance, "", "GAO_COST_GUIDE step 9")
	if c.Ceiling != nil {
		w.Add("ceiling", "given", *c.Ceiling, money, "own record")
		w.Add("chance under the ceiling", "share of trials with total <= ceiling", *r.ChanceUnderCeiling, "", source)
		w.Add("its standard error", "sqrt(p (1 - p)/n)", *r.StandardError, "", "CONOVER_1999 section 3.1")
	}
	for _, d := range r.Drivers {
		w.Add("share of the doubt: "+d.Name, "Cov(item, total)/Var(total)", d.VarianceShare, "", "DESIGN_SHARES")
	}
	return w
}

// jobFormula says how a job's expected cost is made up.
func jobFormula(j Job, hourValue float64) string {
	formula := "mean of the cost"
	if j.Hours != nil && hourValue > 0 {
		formula = fmt.Sprintf("mean of cost + %g x hours", hourValue)
	}
	if j.Works != nil && *j.Works < 1 && j.Fallback != nil {
		formula += fmt.Sprintf(", + %.3g x fallback", 1-*j.Works)
	}
	if j.Needed != nil && *j.Needed < 1 {
		formula = fmt.Sprintf("%.3g x (%s)", *j.Needed, formula)
	}
	if j.Paid > 0 || j.HoursDone > 0 {
		formula += fmt.Sprintf("; in each trial less %.2f paid and %.4g h done, neither below zero", j.Paid, j.HoursDone)
	}
	return formula
}
