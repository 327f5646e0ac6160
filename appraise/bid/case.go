package bid

import (
	"fmt"
	"math"

	"wreckwright/uncertain"
)

const (
	// DefaultTrials gives a chance to a third of a point (95 %).
	DefaultTrials = 100_000
	// MaxTrials bounds the memory of one run.
	MaxTrials = 10_000_000
	// MaxDigits is the most decimals that a currency has.
	MaxDigits = 4
)

// Case is what a bid is worked out from. Money is in the one currency.
type Case struct {
	Currency string // ISO 4217
	Digits   int    // decimals of the currency: 2 for pounds and pence

	Value    uncertain.Range // when done, as if never damaged
	Discount uncertain.Range // share of the value that the salvage marker takes, 0..1
	Selling  Selling
	Keep     bool // nothing is sold: Discount and Selling are left out

	// Costs is the cost of jobs and hidden damage in each trial, own hours at
	// their worth, in any order; its length is the number of trials. Empty: none,
	// in as many trials as Trials says. It is not changed.
	Costs   []float64
	Drivers []Driver // how the variance of Costs divides; the shares sum to 1, or all are 0
	Other   []Other

	Fees     []Band  // ascending by From, the first from 0; none: no fees
	FeeTax   float64 // share, on the fee
	PriceTax float64 // share, on the hammer price

	Wanted     float64 // profit wanted
	Confidence float64 // chance wanted, above 0, at most 1
	Step       float64 // bids are multiples of this
	Trials     int     // where Costs is empty; 0 stands for the usual number
	Seed       uint64
}

// Selling is what selling costs.
type Selling struct {
	Percent float64 // of the price that the car fetches, 0..100
	Fixed   float64
}

// Other is a cost beside the jobs: transport, storage.
type Other struct {
	Name string
	Cost uncertain.Range
}

// Driver is one item with its share of the variance.
type Driver struct {
	Name          string  `json:"name"`
	VarianceShare float64 `json:"variance_share"`
}

// Band is the buyer's fee from a hammer price upwards: Fixed + Percent of the
// whole price, at least Minimum.
type Band struct {
	From    float64
	Fixed   float64
	Percent float64 // 0..100
	Minimum float64
}

// InputError says which figure of a case cannot be.
type InputError struct {
	Where string // "fee band 2, percent"
	Err   error
}

func (e *InputError) Error() string { return e.Where + ": " + e.Err.Error() }
func (e *InputError) Unwrap() error { return e.Err }

var (
	// ShareBounds hold for a discount, a tax or a chance as a share.
	ShareBounds = uncertain.Bounds{Min: 0, Max: 1}
	// PercentBounds hold for a percentage.
	PercentBounds = uncertain.Bounds{Min: 0, Max: 100}
	// ConfidenceBounds hold for the chance wanted.
	ConfidenceBounds = uncertain.Bounds{Min: 0.001, Max: 1}
)

// Validate reports the first figure that cannot be, as an [*InputError].
func (c Case) Validate() error {
	for _, k := range []struct {
		where string
		value float64
		bound uncertain.Bounds
	}{
		{"selling, percent", c.Selling.Percent, PercentBounds},
		{"selling, fixed", c.Selling.Fixed, uncertain.MoneyBounds},
		{"fee_tax", c.FeeTax, ShareBounds},
		{"price_tax", c.PriceTax, ShareBounds},
		{"wanted_profit", c.Wanted, uncertain.MoneyBounds},
		{"confidence", c.Confidence, ConfidenceBounds},
		{"step", c.Step, uncertain.Bounds{Min: 1 / pow10(MaxDigits), Max: uncertain.MoneyBounds.Max}},
		{"digits of the currency", float64(c.Digits), uncertain.Bounds{Max: MaxDigits}},
		{"trials", float64(max(c.Trials, len(c.Costs))), uncertain.Bounds{Max: MaxTrials}},
	} {
		if err := k.bound.Check(k.value); err != nil {
			return &InputError{k.where, err}
		}
	}
	return c.validateRanges()
}

func (c Case) validateRanges() error {
	if err := c.Value.Validate(uncertain.MoneyBounds); err != nil {
		return &InputError{"value_when_done", err}
	}
	if err := c.Discount.Validate(ShareBounds); err != nil {
		return &InputError{"marker_discount", err}
	}
	for _, o := range c.Other {
		if err := o.Cost.Validate(uncertain.MoneyBounds); err != nil {
			return &InputError{fmt.Sprintf("other %q, cost", o.Name), err}
		}
	}
	for i, v := range c.Costs {
		if err := (uncertain.Bounds{Min: -math.MaxFloat64, Max: math.MaxFloat64}).Check(v); err != nil {
			return &InputError{fmt.Sprintf("cost in trial %d", i+1), err}
		}
	}
	if err := WholeCoins(c.Step, c.Digits); err != nil {
		return &InputError{"step", err}
	}
	return c.validateBands()
}

func (c Case) validateBands() error {
	at := func(i int, what string, err error) error {
		return &InputError{fmt.Sprintf("fee band %d, %s", i+1, what), err}
	}
	for i, b := range c.Fees {
		for _, k := range []struct {
			what  string
			value float64
			bound uncertain.Bounds
		}{
			{"from", b.From, uncertain.MoneyBounds},
			{"fixed", b.Fixed, uncertain.MoneyBounds},
			{"percent", b.Percent, PercentBounds},
			{"minimum", b.Minimum, uncertain.MoneyBounds},
		} {
			if err := k.bound.Check(k.value); err != nil {
				return at(i, k.what, err)
			}
		}
		if i == 0 && b.From != 0 {
			return at(i, "from", fmt.Errorf("%g leaves lower prices without a band; expected 0 in the first band", b.From))
		}
		if i > 0 && b.From <= c.Fees[i-1].From {
			return at(i, "from", fmt.Errorf("%g is not above the band before it (%g); expected bands in order, each from once", b.From, c.Fees[i-1].From))
		}
	}
	return nil
}
