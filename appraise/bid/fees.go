package bid

import (
	"fmt"
	"math"
	"math/bits"
	"sort"

	"wreckwright/uncertain"
)

// shareUnit is how finely a share is kept: a hundred-millionth of the whole, so
// that 17.5 % and 8.25 % are exact.
const shareUnit = 1e8

// coins turns money into whole minor units and back.
type coins struct{ scale float64 }

func (c Case) money() coins { return coins{pow10(c.Digits)} }

func pow10(n int) float64 { return math.Pow10(n) }

// WholeCoins reports a sum that is not a whole number, above zero, of the
// smallest coin of a currency with that many decimals.
func WholeCoins(v float64, digits int) error {
	coins := v * pow10(digits)
	if whole := math.Round(coins); whole < 1 || math.Abs(coins-whole) > 1e-6 {
		return fmt.Errorf("%g is not a whole number of the currency's smallest coin (%g)", v, 1/pow10(digits))
	}
	return nil
}

// near is a sum in minor units, rounded, halves away from zero.
func (c coins) near(v float64) int64 { return int64(math.Round(v * c.scale)) }

func (c coins) major(m int64) float64 { return float64(m) / c.scale }

// portion is share (in shareUnit) of an amount that is not negative, rounded to
// the unit, halves away from zero. The product has 128 bits.
func portion(amount, share int64) int64 {
	hi, lo := bits.Mul64(uint64(amount), uint64(share))
	lo, carry := bits.Add64(lo, shareUnit/2, 0)
	quotient, _ := bits.Div64(hi+carry, lo, shareUnit)
	return int64(quotient)
}

// minorBand is a band in minor units.
type minorBand struct {
	from, fixed, percent, minimum int64
}

// tariff is fees and taxes in minor units.
type tariff struct {
	coins
	bands            []minorBand
	feeTax, priceTax int64
	step             int64
	given            bool // there are bands
}

func newTariff(c Case) tariff {
	t := tariff{
		coins:  c.money(),
		feeTax: int64(math.Round(c.FeeTax * shareUnit)), priceTax: int64(math.Round(c.PriceTax * shareUnit)),
	}
	t.step, t.given = t.near(c.Step), len(c.Fees) > 0
	for _, b := range c.Fees {
		t.bands = append(t.bands, minorBand{
			from: int64(math.Ceil(b.From*t.scale - 1e-6)), fixed: t.near(b.Fixed),
			percent: int64(math.Round(b.Percent / 100 * shareUnit)), minimum: t.near(b.Minimum),
		})
	}
	if len(t.bands) == 0 {
		t.bands = []minorBand{{}}
	}
	return t
}

// bandAt is the number of the last band that begins at or below the price.
func (t tariff) bandAt(price int64) int {
	return sort.Search(len(t.bands), func(i int) bool { return t.bands[i].from > price }) - 1
}

// Payment is what a hammer price comes to.
type Payment struct {
	Bid      float64 `json:"bid"` // the hammer price
	Fee      float64 `json:"fee"`
	FeeTax   float64 `json:"fee_tax"`
	PriceTax float64 `json:"price_tax"`
	AllIn    float64 `json:"all_in"`
	Band     int     `json:"band"` // the fee band that applies, counted from 1; 0 without fees
}

// parts are the fee and the taxes of a price.
func (t tariff) parts(price int64) (fee, feeTax, priceTax int64) {
	b := t.bands[t.bandAt(price)]
	fee = max(b.fixed+portion(price, b.percent), b.minimum)
	return fee, portion(fee, t.feeTax), portion(price, t.priceTax)
}

// allIn is the price with its fee and taxes.
func (t tariff) allIn(price int64) int64 {
	fee, feeTax, priceTax := t.parts(price)
	return price + fee + feeTax + priceTax
}

// price is a hammer price in minor units; one below zero, or none at all, is
// zero, and none is above the greatest sum of money.
func (t tariff) price(v float64) int64 {
	if !(v > 0) {
		return 0
	}
	return t.near(min(v, uncertain.MoneyBounds.Max))
}

// AllIn works out what a hammer price comes to under the fees and taxes of a
// valid case. The price is rounded to the minor unit.
func (c Case) AllIn(price float64) Payment {
	t := newTariff(c)
	return t.payment(t.price(price))
}

// steps are the first and the last multiple of the step in a band, counted in
// steps; the last band reaches up to most. There are none where last < first.
func (t tariff) steps(band int, most int64) (first, last int64) {
	first = max(1, (t.bands[band].from+t.step-1)/t.step)
	last = most / t.step
	if band+1 < len(t.bands) {
		last = min(last, (t.bands[band+1].from-1)/t.step)
	}
	return first, last
}

// largest is the largest bid whose all-in price is within the budget, and safe
// the largest of which this holds for every lower bid too; 0 where there is none.
//
// ref: DESIGN_BID fees turned round
func (t tariff) largest(budget int64) (most, safe int64) {
	unbroken := true
	for band := range t.bands {
		first, last := t.steps(band, max(budget, 0))
		if last < first {
			// Above the budget every price is too dear; a band may also fall between
			// two bids and then breaks nothing.
			unbroken = unbroken && first*t.step <= budget
			continue
		}
		// Within a band the all-in price never falls.
		count := int64(sort.Search(int(last-first+1), func(k int) bool {
			return t.allIn((first+int64(k))*t.step) > budget
		}))
		if count > 0 {
			most = (first + count - 1) * t.step
		}
		if unbroken && count > 0 {
			safe = most
		}
		unbroken = unbroken && count == last-first+1
	}
	return most, safe
}
