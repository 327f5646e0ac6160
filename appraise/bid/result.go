package bid

import (
	"slices"

	"wreckwright/uncertain"
	"wreckwright/working"
)

// Point is one bid with what it leads to.
type Point struct {
	Bid            float64 `json:"bid"`
	Chance         float64 `json:"chance"` // of the profit wanted
	ExpectedProfit float64 `json:"expected_profit"`
	AllIn          float64 `json:"all_in"`
	ChanceOfLoss   float64 `json:"chance_of_loss"`
}

// Mark is the largest bid at a confidence. Name is "cautious" (90 %), "chosen"
// or "even" (50 %).
type Mark struct {
	Name       string   `json:"name"`
	Confidence float64  `json:"confidence"`
	Budget     float64  `json:"budget"`   // the most that the purchase may come to, all in
	Bid        *float64 `json:"bid"`      // the largest affordable; nil where none is
	SafeBid    *float64 `json:"safe_bid"` // every lower bid is affordable too
	AtBid      *Point   `json:"at_bid"`   // what the largest affordable bid leads to
}

// Summary is a distribution in five figures.
type Summary struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
	P10  float64 `json:"p10"`
	P50  float64 `json:"p50"`
	P90  float64 `json:"p90"`
}

// Result is the answer. Money is in the case's currency. What stands "at max"
// belongs to the largest affordable bid and is nil where there is none.
type Result struct {
	Currency string   `json:"currency"`
	MaxBid   *float64 `json:"max_bid"`
	SafeBid  *float64 `json:"safe_bid"`
	Why      string   `json:"why"`

	ChanceAtMax         *float64            `json:"chance_at_max"`
	StandardError       *float64            `json:"standard_error"` // of that chance
	ChanceInterval      *uncertain.Interval `json:"chance_interval"`
	ExpectedProfitAtMax *float64            `json:"expected_profit_at_max"`
	ChanceOfLossAtMax   *float64            `json:"chance_of_loss_at_max"`
	AllInAtMax          *float64            `json:"all_in_at_max"`
	Payment             *Payment            `json:"payment_at_max"`
	ProfitAtMax         *Summary            `json:"profit_at_max"`

	Wanted         float64            `json:"wanted_profit"`
	Confidence     float64            `json:"confidence"`
	Budget         float64            `json:"budget"`          // the most that the purchase may come to, all in
	BudgetInterval uncertain.Interval `json:"budget_interval"` // 95 %, of the simulation's own error
	Before         Summary            `json:"before_purchase"` // money before anything is paid for the car
	Net            Summary            `json:"net_value"`       // what the car brings: sold, or the value where it is kept
	Costs          Summary            `json:"costs"`           // jobs, hidden damage, other costs

	Marked  []Mark   `json:"marked"` // cautious, chosen, even
	Curve   []Point  `json:"curve"`  // ascending bids
	Edges   []Edge   `json:"edges"`  // where a higher bid comes cheaper
	Drivers []Driver `json:"drivers"`

	Keep     bool            `json:"keep"`
	Trials   int             `json:"trials"`
	Seed     uint64          `json:"seed"`
	Cautions []string        `json:"cautions"`
	Working  working.Working `json:"working"`

	tariff tariff
	before []float64 // sorted
}

// Edge is a fee band's edge at which the all-in price falls: the last bid below
// it and the first one above.
type Edge struct {
	Below      float64 `json:"below"`
	BelowAllIn float64 `json:"below_all_in"`
	Above      float64 `json:"above"`
	AboveAllIn float64 `json:"above_all_in"`
}

// At is what any bid leads to, whether a multiple of the step or not. It costs
// a search of the sorted trials, so that a page may ask for many.
func (r Result) At(bid float64) Point { return r.point(r.tariff.price(bid)) }

// Sample is the money before the purchase in every trial, smallest first. It
// must not be changed.
func (r Result) Sample() []float64 { return r.before }

func (r Result) point(price int64) Point {
	all := r.tariff.major(r.tariff.allIn(price))
	return Point{
		Bid: r.tariff.major(price), AllIn: all,
		Chance:         r.atLeast(r.Wanted + all),
		ChanceOfLoss:   1 - r.atLeast(all),
		ExpectedProfit: r.Before.Mean - all,
	}
}

// atLeast is the share of trials with at least so much before the purchase.
func (r Result) atLeast(money float64) float64 {
	below, _ := slices.BinarySearch(r.before, money-rounding)
	return float64(len(r.before)-below) / float64(len(r.before))
}

// rounding is what a sum of decimal amounts in floats may be off by.
const rounding = 1e-6
