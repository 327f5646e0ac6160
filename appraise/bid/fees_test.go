package bid

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
	"wreckwright/uncertain"
)

// slab is an invented tariff: to 1,000 12 %, at least 75; to 5,000 10 %, at
// least 125; to 15,000 8 % + 60; above 6 % + 200. 20 % tax on the fee.
func slab(step float64) Case {
	return Case{
		Currency: "GBP", Digits: 2, FeeTax: 0.2, Step: step, Confidence: 0.8,
		Fees: []Band{
			{From: 0, Percent: 12, Minimum: 75},
			{From: 1001, Percent: 10, Minimum: 125},
			{From: 5001, Percent: 8, Fixed: 60},
			{From: 15001, Percent: 6, Fixed: 200},
		},
	}
}

// TestFeesByHand: each worked out with pencil and paper.
func TestFeesByHand(t *testing.T) {
	var cases []outside.Case
	for _, k := range []struct{ hammer, fee, allIn float64 }{
		{300, 75, 390},             // 36 is below the minimum
		{625, 75, 715},             // 12 % is exactly the minimum
		{1000, 120, 1144},          // last of the first band
		{1001, 125, 1151},          // 100.10 is below the minimum
		{5000, 500, 5600},          // last of the second band
		{5001, 460.08, 5553.10},    // 400.08 + 60; tax 92.016 goes to 92.02
		{15000, 1260, 16512},       // last of the third band
		{15001, 1100.06, 16321.07}, // 900.06 + 200; tax 220.012 goes to 220.01
	} {
		p := slab(1).AllIn(k.hammer)
		cases = append(cases,
			outside.Case{Source: "DESIGN_BID", Where: "fees by hand", What: "fee", Got: p.Fee, Want: k.fee, Why: "exact in pence"},
			outside.Case{Source: "DESIGN_BID", Where: "fees by hand", What: "all in", Got: p.AllIn, Want: k.allIn, Why: "exact in pence"},
		)
	}
	taxed := slab(1)
	taxed.PriceTax = 0.2
	p := taxed.AllIn(625)
	cases = append(cases, outside.Case{Source: "DESIGN_BID", Where: "fees by hand", What: "all in, tax on the price too", Got: p.AllIn, Want: 625 + 75 + 15 + 125, Why: "exact in pence"})
	yen := Case{Currency: "JPY", Digits: 0, FeeTax: 0.1, Fees: []Band{{Percent: 5}}}
	cases = append(cases, outside.Case{Source: "DESIGN_BID", Where: "fees by hand", What: "5 % of 90 yen is 4.5, goes to 5; tax 0.5 goes to 1", Got: yen.AllIn(90).AllIn, Want: 96, Why: "exact"})
	outside.Check(t, cases)
	if p := slab(1).AllIn(5001); p.Band != 3 {
		t.Errorf("5,001 is in band %d, want 3", p.Band)
	}
}

// TestFeesTurnedRound: the largest hammer price for a budget and the safe one,
// by hand; at 5,000 and 15,000 the all-in price falls.
func TestFeesTurnedRound(t *testing.T) {
	var cases []outside.Case
	for _, k := range []struct{ budget, step, most, safe float64 }{
		{900, 1, 786, 786},
		{900, 50, 750, 750},
		{1400, 1, 1250, 1250},
		{1400, 50, 1250, 1250},
		{6000, 1, 5408, 5408},
		{6000, 50, 5400, 5400},
		{9000, 1, 8145, 8145},
		{9000, 50, 8100, 8100},
		{17000, 1, 15634, 15634},
		{17000, 50, 15600, 15600},
		{5560, 1, 5007, 4964},
		{16400, 1, 15074, 14897},
		{5600, 1, 5043, 5043},
		{80, 1, 0, 0}, // the fee alone is more
		{91, 1, 1, 1}, // 1 + 75 + 15
		{90.99, 1, 0, 0},
		{-5, 1, 0, 0},
	} {
		tariff := newTariff(slab(k.step))
		most, safe := tariff.largest(tariff.inMinor(k.budget))
		cases = append(cases,
			outside.Case{Source: "DESIGN_BID", Where: "fees turned round", What: "largest affordable", Got: tariff.major(most), Want: k.most, Why: "exact"},
			outside.Case{Source: "DESIGN_BID", Where: "fees turned round", What: "safe", Got: tariff.major(safe), Want: k.safe, Why: "exact"},
		)
	}
	outside.Check(t, cases)
}

// slowAllIn is the all-in price by fractions, in minor units: a second way that
// shares no arithmetic with the first.
func slowAllIn(c Case, minor int64) int64 {
	portion := func(amount int64, share string, of int64) int64 {
		r, _ := new(big.Rat).SetString(share)
		r.Mul(r, big.NewRat(amount, of))
		return new(big.Int).Div(new(big.Int).Add(new(big.Int).Lsh(r.Num(), 1), r.Denom()), new(big.Int).Lsh(r.Denom(), 1)).Int64()
	}
	text := func(v float64) string { return big.NewFloat(v).Text('f', 8) }
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(c.Digits)), nil).Int64()
	fee := int64(0)
	for _, b := range c.Fees {
		if int64(b.From)*scale <= minor {
			fee = max(int64(b.Fixed)*scale+portion(minor, text(b.Percent), 100), int64(b.Minimum)*scale)
		}
	}
	return minor + fee + portion(fee, text(c.FeeTax), 1) + portion(minor, text(c.PriceTax), 1)
}

// anyTariff draws up to five bands in order, with edges that may jump either way.
func anyTariff(t *rapid.T) Case {
	c := Case{
		Currency: "GBP", Digits: rapid.SampledFrom([]int{0, 2, 3}).Draw(t, "digits"),
		FeeTax:   float64(rapid.IntRange(0, 25).Draw(t, "fee tax")) / 100,
		PriceTax: float64(rapid.IntRange(0, 25).Draw(t, "price tax")) / 100,
		Step:     float64(rapid.IntRange(1, 60).Draw(t, "step")), Confidence: 0.8,
	}
	from := 0
	for range rapid.IntRange(0, 5).Draw(t, "bands") {
		c.Fees = append(c.Fees, Band{
			From: float64(from), Fixed: float64(rapid.IntRange(0, 90).Draw(t, "fixed")),
			Percent: float64(rapid.IntRange(0, 300).Draw(t, "percent")) / 10,
			Minimum: float64(rapid.IntRange(0, 120).Draw(t, "minimum")),
		})
		from += rapid.IntRange(1, 400).Draw(t, "width")
	}
	return c
}

// TestTurningRoundAgainstCounting looks at every bid there is.
func TestTurningRoundAgainstCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyTariff(t)
		tariff := newTariff(c)
		budget := int64(rapid.IntRange(0, 3000).Draw(t, "budget")) * tariff.near(1)
		var most, safe int64
		unbroken := true
		for h := tariff.step; h <= budget; h += tariff.step {
			all := slowAllIn(c, h)
			if got := tariff.allIn(h); got != all {
				t.Fatalf("all in for %d: %d, by fractions %d", h, got, all)
			}
			if all > budget {
				unbroken = false
				continue
			}
			most = h
			if unbroken {
				safe = h
			}
		}
		gotMost, gotSafe := tariff.largest(budget)
		if gotMost != most || gotSafe != safe {
			t.Fatalf("budget %d: largest %d, safe %d; counting gives %d and %d", budget, gotMost, gotSafe, most, safe)
		}
	})
}

// TestGreatSums: the largest sums that are allowed do not overflow.
func TestGreatSums(t *testing.T) {
	c := Case{Currency: "CLF", Digits: 4, FeeTax: 1, PriceTax: 1, Step: 1, Fees: []Band{{Percent: 100, Fixed: uncertain.MoneyBounds.Max}}}
	p := c.AllIn(uncertain.MoneyBounds.Max)
	if p.AllIn != 6*uncertain.MoneyBounds.Max {
		t.Errorf("all in %g, want six times the price", p.AllIn)
	}
	if got := portion(1e16, shareUnit); got != 1e16 {
		t.Errorf("the whole of 1e16 is %d", got)
	}
}
