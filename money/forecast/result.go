package forecast

import (
	"wreckwright/uncertain"
	"wreckwright/working"
)

// Summary is a distribution in six figures.
type Summary struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
	P10  float64 `json:"p10"`
	P50  float64 `json:"p50"`
	P80  float64 `json:"p80"`
	P90  float64 `json:"p90"`
}

// Driver is one item with its share of the variance of the total.
type Driver struct {
	Name          string  `json:"name"`
	VarianceShare float64 `json:"variance_share"`
}

// JobFigures is what one job is expected to come to.
type JobFigures struct {
	Key           string  `json:"key,omitempty"`
	Name          string  `json:"name"`
	ExpectedCost  float64 `json:"expected_cost"`  // money, own hours at their worth, failure and chance of need counted
	ExpectedHours float64 `json:"expected_hours"` // failure and chance of need counted
	VarianceShare float64 `json:"variance_share"`
}

// HiddenFigures is what the damage not yet seen is expected to come to.
type HiddenFigures struct {
	Name          string  `json:"name"`
	ExpectedItems float64 `json:"expected_items"`
	ExpectedCost  float64 `json:"expected_cost"`
	ChanceOfNone  float64 `json:"chance_of_none"`
	VarianceShare float64 `json:"variance_share"`
}

// OtherFigures is what money drawn elsewhere is expected to come to.
type OtherFigures struct {
	Name          string  `json:"name"`
	ExpectedCost  float64 `json:"expected_cost"`
	VarianceShare float64 `json:"variance_share"`
}

// Point is one point of the distribution function of the total.
type Point struct {
	Chance float64 `json:"chance"`
	Value  float64 `json:"value"`
}

// Histogram is the total in bins of equal width, with the trials in each. Its
// ends are the 0.1 % and 99.9 % points; what lies beyond is counted apart.
type Histogram struct {
	From   float64 `json:"from"`
	Width  float64 `json:"width"` // 0 where the total is certain
	Counts []int   `json:"counts"`
	Below  int     `json:"below"`
	Above  int     `json:"above"`
}

// QuantileIntervals are 95 % intervals of the quantiles of the total, by order
// statistics: how far the simulation itself can be off.
type QuantileIntervals struct {
	P10 uncertain.Interval `json:"p10"`
	P50 uncertain.Interval `json:"p50"`
	P80 uncertain.Interval `json:"p80"`
	P90 uncertain.Interval `json:"p90"`
}

// PlainTotal is the sum that a person would write down - spent and the likely
// figure of every job, hidden damage and failures left out - and the chance of
// staying within it.
//
// ref: DESIGN_FORECAST
type PlainTotal struct {
	Value  float64 `json:"value"`
	Chance float64 `json:"chance"`
}

// Result is a forecast. Money is in the case's currency.
type Result struct {
	Currency string   `json:"currency"`
	Ceiling  *float64 `json:"ceiling"`
	Spent    float64  `json:"spent"`

	Remaining Summary `json:"remaining"`
	Total     Summary `json:"total"`
	Hours     Summary `json:"hours_remaining"`

	ChanceUnderCeiling *float64            `json:"chance_under_ceiling"` // nil without a ceiling
	StandardError      *float64            `json:"standard_error"`       // of that chance
	ChanceInterval     *uncertain.Interval `json:"chance_interval"`      // Wilson, 95 %

	Drivers []Driver       `json:"drivers"` // largest share first; shares sum to 1
	Bias    uncertain.Bias `json:"bias"`

	Jobs      []JobFigures      `json:"jobs"`
	Hidden    []HiddenFigures   `json:"hidden"`
	Other     []OtherFigures    `json:"other,omitempty"`
	Plain     PlainTotal        `json:"plain_total"`
	Intervals QuantileIntervals `json:"total_intervals"`
	Histogram Histogram         `json:"histogram"`
	Curve     []Point           `json:"distribution"` // 0.5 % to 99.5 % in steps of 1 %

	Correlation float64         `json:"correlation"`
	Trials      int             `json:"trials"`
	Seed        uint64          `json:"seed"`
	Cautions    []string        `json:"cautions"`
	Working     working.Working `json:"working"`

	sorted      []float64 // the total of every trial, smallest first
	sortedHours []float64 // the own hours left of every trial, smallest first
}

// Sample is the total of every trial, smallest first. It must not be changed.
func (r Result) Sample() []float64 { return r.sorted }

// ChanceWithin is the chance that the total is at most limit, and its standard
// error: the ceiling of a what-if without another run.
func (r Result) ChanceWithin(limit float64) (chance, standardError float64) {
	chance = uncertain.SampleChance(r.sorted, limit+rounding)
	return chance, uncertain.ChanceError(chance, r.Trials)
}

// HoursWithin is the chance that at most limit own hours are left to do, and its
// standard error.
func (r Result) HoursWithin(limit float64) (chance, standardError float64) {
	chance = uncertain.SampleChance(r.sortedHours, limit+rounding)
	return chance, uncertain.ChanceError(chance, r.Trials)
}

// Quantile is the total that is not exceeded with the chance p.
func (r Result) Quantile(p float64) float64 { return uncertain.SampleQuantile(r.sorted, p) }

// rounding is what a sum of decimal amounts in floats may be off by.
const rounding = 1e-6
