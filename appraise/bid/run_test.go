package bid

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
	"wreckwright/uncertain"
)

func run(t interface {
	Helper()
	Fatal(...any)
}, c Case,
) Result {
	t.Helper()
	r, err := Run(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// normal is the range of a normal distribution.
func normal(mean, sd float64) uncertain.Range {
	return uncertain.Range{Low: mean - uncertain.Z90*sd, Likely: mean, High: mean + uncertain.Z90*sd}
}

// normalCosts is a column of normal numbers from a generator of its own.
func normalCosts(mean, sd float64, n int) []float64 {
	dice := rand.New(rand.NewPCG(7, 11))
	out := make([]float64, n)
	for i := range out {
		out[i] = mean + sd*dice.NormFloat64()
	}
	return out
}

// TestNormalCaseSolvedByHand: value N(16000, 900), costs N(6200, 1100), profit
// 1,500 with 0.8. The difference is N(9800, sqrt(900^2 + 1100^2) = 1421.2670),
// the budget 9800 - 0.8416212 x 1421.2670 - 1500 = 7103.8315. With a fee that is
// linear, 6 % and 20 % tax on it, and 5 % tax on the price, the bid is that over
// 1.122.
func TestNormalCaseSolvedByHand(t *testing.T) {
	const n = 1_000_000
	c := Case{
		Currency: "GBP", Digits: 2, Value: normal(16000, 900), Costs: normalCosts(6200, 1100, n),
		Drivers: []Driver{{"frame", 0.75}, {"paint", 0.25}},
		FeeTax:  0.2, PriceTax: 0.05, Fees: []Band{{Percent: 6}}, Wanted: 1500, Confidence: 0.8, Step: 0.01, Seed: 3,
	}
	r := run(t, c)
	sd := math.Sqrt(900*900 + 1100*1100)
	// The error of a quantile: sqrt(p (1 - p)/n) over the density there.
	off := 4 * math.Sqrt(0.8*0.2/n) * sd / uncertain.NormalPDF(uncertain.NormalQuantile(0.8))
	shares := map[string]float64{}
	for _, d := range r.Drivers {
		shares[d.Name] = d.VarianceShare
	}
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_BID", Where: "budget", What: "budget of the normal case", Got: r.Budget, Want: 7103.831480, Tolerance: off, Why: "4 standard errors of the quantile"},
		{Source: "DESIGN_BID", Where: "budget", What: "largest bid, linear fee and tax on the price", Got: *r.MaxBid, Want: 7103.831480 / 1.122, Tolerance: off/1.122 + 0.02, Why: "4 standard errors of the quantile, and a penny"},
		{Source: "DESIGN_BID", Where: "budget", What: "expected profit at it", Got: *r.ExpectedProfitAtMax, Want: 9800 - 7103.831480, Tolerance: off + 4*sd/math.Sqrt(n), Why: "4 standard errors of quantile and mean"},
		{Source: "DESIGN_BID", Where: "budget", What: "bid at 0.9", Got: *r.Marked[0].Bid, Want: (9800 - 1.2815515655*sd - 1500) / 1.122, Tolerance: 2 * off, Why: "4 standard errors of that quantile are below this"},
		{Source: "DESIGN_BID", Where: "budget", What: "bid at 0.5", Got: *r.Marked[2].Bid, Want: (9800 - 1500) / 1.122, Tolerance: off, Why: "4 standard errors of the median are below this"},
		{Source: "DESIGN_BID", Where: "budget", What: "chance at 8,000", Got: r.At(8000).Chance, Want: uncertain.NormalCDF((9800 - 1500 - 8000*1.122) / sd), Tolerance: 4 * 0.5 / math.Sqrt(n), Why: "4 standard errors"},
		{Source: "DESIGN_BID", Where: "drivers", What: "share of the value", Got: shares["value when done"], Want: 81.0 / 202, Tolerance: 0.005, Why: "4 standard errors"},
		{Source: "DESIGN_BID", Where: "drivers", What: "share of the frame, three quarters of the costs' part", Got: shares["frame"], Want: 0.75 * 121 / 202, Tolerance: 0.005, Why: "4 standard errors"},
		{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "chance at the largest bid, at least the confidence", Got: *r.ChanceAtMax, Want: 0.8, Tolerance: 1e-4, Why: "the next bid, a penny up, falls below"},
	})
	if *r.ChanceAtMax < 0.8 || r.At(*r.MaxBid+0.01).Chance >= 0.8 {
		t.Errorf("chance %g at %g, %g a penny above", *r.ChanceAtMax, *r.MaxBid, r.At(*r.MaxBid+0.01).Chance)
	}
	if shares["marker discount"] != 0 {
		t.Errorf("no discount, but a share of %g", shares["marker discount"])
	}
}

// TestProductOfNormals: value and discount, both normal and independent. E and
// Var of V(1 - D) are mv k and mv^2 s^2 + k^2 sv^2 + sv^2 s^2; the last term,
// what they do together, is divided in halves.
func TestProductOfNormals(t *testing.T) {
	c := Case{
		Currency: "EUR", Digits: 2, Value: normal(50000, 4000), Discount: normal(0.25, 0.05),
		Selling: Selling{Percent: 4, Fixed: 500}, Confidence: 0.8, Step: 50, Trials: 1_000_000,
	}
	r := run(t, c)
	vv, dd, both := 0.75*0.75*4000*4000, 50000*50000*0.05*0.05, 4000*4000*0.05*0.05
	variance := vv + dd + both
	shares := map[string]float64{}
	for _, d := range r.Drivers {
		shares[d.Name] = d.VarianceShare
	}
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_BID", Where: "product of normals", What: "mean of what the car brings", Got: r.Net.Mean, Want: 0.96*50000*0.75 - 500, Tolerance: 4 * math.Sqrt(variance) / 1000, Why: "4 standard errors"},
		{Source: "DESIGN_BID", Where: "product of normals", What: "its standard deviation", Got: r.Net.SD, Want: 0.96 * math.Sqrt(variance), Tolerance: 4 * math.Sqrt(variance) / math.Sqrt(2e6) * 1.1, Why: "4 standard errors"},
		{Source: "DESIGN_BID", Where: "drivers", What: "share of the value in the product", Got: shares["value when done"], Want: (vv + both/2) / variance, Tolerance: 0.005, Why: "4 standard errors"},
		{Source: "DESIGN_BID", Where: "drivers", What: "share of the discount in the product", Got: shares["marker discount"], Want: (dd + both/2) / variance, Tolerance: 0.005, Why: "4 standard errors"},
	})
}

// TestTenValues: what is left before the purchase is one of ten sums; the budget
// at each confidence by counting.
func TestTenValues(t *testing.T) {
	left := []float64{5600, 2100, 9600, 4200, 3400, 7400, 5000, 6800, 6100, 8300}
	c := Case{Currency: "GBP", Digits: 2, Value: uncertain.Certain(10000), Step: 1, Confidence: 0.8}
	for _, d := range left {
		c.Costs = append(c.Costs, 10000-d)
	}
	before := slices.Clone(c.Costs)
	r := run(t, c)
	if !slices.Equal(before, c.Costs) {
		t.Error("the column of costs was changed")
	}
	var cases []outside.Case
	for _, k := range []struct{ confidence, bid float64 }{{0.5, 6100}, {0.8, 4200}, {0.9, 3400}, {1, 2100}, {0.81, 3400}} {
		m := r.markAt("", k.confidence)
		cases = append(cases,
			outside.Case{Source: "HYNDMAN_FAN_1996", Where: "definition 1", What: "bid out of ten values", Got: *m.Bid, Want: k.bid, Why: "exact"},
			outside.Case{Source: "DESIGN_BID", Where: "budget", What: "budget out of ten values", Got: m.Budget, Want: k.bid, Why: "exact"},
		)
	}
	outside.Check(t, cases)
	if p := r.At(6100); p.Chance != 0.5 || p.ExpectedProfit != 5850-6100 || p.ChanceOfLoss != 0.5 {
		t.Errorf("at 6,100: %+v", p)
	}
}

// TestCertainCase: nothing is doubtful, so every chance is 0 or 1.
func TestCertainCase(t *testing.T) {
	c := Case{
		Currency: "EUR", Digits: 2, Value: uncertain.Certain(20000), Discount: uncertain.Certain(0.2), Selling: Selling{Percent: 2.5, Fixed: 100},
		Other: []Other{{"transport", uncertain.Certain(450)}, {"transport", uncertain.Certain(50)}}, Wanted: 3000, Confidence: 0.8, Step: 50, Trials: 2000,
	}
	r := run(t, c)
	// 16000 x 0.975 - 100 - 500 - 3000
	if *r.MaxBid != 12000 || *r.ChanceAtMax != 1 || *r.ExpectedProfitAtMax != 3000 || r.At(12050).Chance != 0 {
		t.Errorf("bid %g, chance %g, profit %g, chance above %g", *r.MaxBid, *r.ChanceAtMax, *r.ExpectedProfitAtMax, r.At(12050).Chance)
	}
	for _, d := range r.Drivers {
		if d.VarianceShare != 0 {
			t.Errorf("%s has a share of %g in no doubt", d.Name, d.VarianceShare)
		}
	}
	c.Keep = true // no discount, no selling
	if r := run(t, c); *r.MaxBid != 20000-500-3000 || !strings.Contains(strings.Join(r.Cautions, " "), "kept") {
		t.Errorf("kept: bid %g, cautions %q", *r.MaxBid, r.Cautions)
	}
	c.Wanted = 25000
	if r := run(t, c); r.MaxBid != nil || r.SafeBid != nil || r.ChanceAtMax != nil || !strings.Contains(r.Why, "no bid reaches it") || len(r.Curve) == 0 {
		t.Errorf("out of reach: %+v", r)
	}
}

// TestOrderOfTheColumn: sorted costs and costs as drawn give the same answer
// within the simulation's error.
func TestOrderOfTheColumn(t *testing.T) {
	c := Case{
		Currency: "EUR", Digits: 2, Value: normal(30000, 2500), Discount: uncertain.Range{Low: 0.15, Likely: 0.22, High: 0.3},
		Costs: normalCosts(9000, 1500, 200_000), Confidence: 0.8, Step: 1,
	}
	a := run(t, c)
	c.Costs = slices.Clone(c.Costs)
	slices.Sort(c.Costs)
	b := run(t, c)
	if off := math.Abs(a.Budget - b.Budget); off > 6*a.Before.SD/math.Sqrt(200_000)*1.5 {
		t.Errorf("budgets %g and %g", a.Budget, b.Budget)
	}
	if off := math.Abs(a.Before.SD/b.Before.SD - 1); off > 0.01 {
		t.Errorf("standard deviations %g and %g", a.Before.SD, b.Before.SD)
	}
}

// anyCase draws a small case with every kind of doubt.
func anyCase(t *rapid.T) Case {
	c := anyTariff(t)
	c.Value = anyRange(t, "value", 1000, 3000)
	c.Discount = uncertain.Range{Low: 0.1, Likely: 0.2, High: 0.2 + 0.3*rapid.Float64Range(0, 1).Draw(t, "discount")}
	c.Selling = Selling{Percent: rapid.Float64Range(0, 20).Draw(t, "selling"), Fixed: 10}
	c.Other = []Other{{"transport", anyRange(t, "transport", 0, 80)}}
	c.Costs = normalCosts(400, 200, rapid.IntRange(5, 400).Draw(t, "trials"))
	c.Wanted = rapid.Float64Range(0, 900).Draw(t, "wanted")
	c.Confidence = rapid.Float64Range(0.01, 1).Draw(t, "confidence")
	c.Seed = rapid.Uint64().Draw(t, "seed")
	return c
}

func anyRange(t *rapid.T, name string, least, most float64) uncertain.Range {
	x := []float64{}
	for range 3 {
		x = append(x, rapid.Float64Range(least, most).Draw(t, name))
	}
	slices.Sort(x)
	return uncertain.Range{Low: x[0], Likely: x[1], High: x[2]}
}

func TestAnyCaseHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCase(t)
		r := run(t, c)
		checkBids(t, c, r)
		byAllIn := slices.Clone(r.Curve)
		slices.SortFunc(byAllIn, func(a, b Point) int { return int(math.Copysign(1, a.AllIn-b.AllIn)) })
		for i := 1; i < len(byAllIn); i++ {
			if byAllIn[i].Chance > byAllIn[i-1].Chance || byAllIn[i].ExpectedProfit > byAllIn[i-1].ExpectedProfit {
				t.Fatalf("dearer but likelier: %+v after %+v", byAllIn[i], byAllIn[i-1])
			}
		}
		sum := 0.0
		for _, d := range r.Drivers {
			sum += d.VarianceShare
		}
		if r.Before.SD > 0 && math.Abs(sum-1) > 1e-9 {
			t.Fatalf("shares sum to %g", sum)
		}
	})
}

// checkBids holds the bids to what they promise.
func checkBids(t *rapid.T, c Case, r Result) {
	if r.MaxBid == nil {
		if p := r.At(c.Step); p.Chance >= c.Confidence {
			t.Fatalf("no bid, but %g has the chance %g", c.Step, p.Chance)
		}
		return
	}
	if *r.ChanceAtMax < c.Confidence-1e-12 {
		t.Fatalf("chance %g at the largest bid, wanted %g", *r.ChanceAtMax, c.Confidence)
	}
	for h := *r.MaxBid + c.Step; h < *r.MaxBid+40*c.Step; h += c.Step {
		if p := r.At(h); p.Chance >= c.Confidence+1e-12 {
			t.Fatalf("%g is above the largest bid %g but has the chance %g", h, *r.MaxBid, p.Chance)
		}
	}
	if r.SafeBid == nil {
		return
	}
	if *r.SafeBid > *r.MaxBid {
		t.Fatalf("safe %g above the largest %g", *r.SafeBid, *r.MaxBid)
	}
	for h := c.Step; h <= *r.SafeBid; h += c.Step {
		if p := r.At(h); p.Chance < c.Confidence-1e-12 {
			t.Fatalf("%g is below the safe bid %g but has the chance %g", h, *r.SafeBid, p.Chance)
		}
	}
}

// TestTwiceTheMoney: all sums doubled, all bids doubled.
func TestTwiceTheMoney(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCase(t)
		c.FeeTax, c.PriceTax, c.Digits = 0, 0, 4 // no rounding to speak of
		for i := range c.Fees {
			c.Fees[i].Percent = math.Round(c.Fees[i].Percent)
		}
		twice := c
		twice.Value, twice.Wanted, twice.Step, twice.Selling.Fixed = c.Value.Times(2), 2*c.Wanted, 2*c.Step, 2*c.Selling.Fixed
		twice.Other = []Other{{"transport", c.Other[0].Cost.Times(2)}}
		twice.Costs, twice.Fees = nil, nil
		for _, v := range c.Costs {
			twice.Costs = append(twice.Costs, 2*v)
		}
		for _, b := range c.Fees {
			twice.Fees = append(twice.Fees, Band{2 * b.From, 2 * b.Fixed, b.Percent, 2 * b.Minimum})
		}
		a, b := run(t, c), run(t, twice)
		if (a.MaxBid == nil) != (b.MaxBid == nil) {
			t.Fatalf("one has a bid, the other has none: %v, %v", a.MaxBid, b.MaxBid)
		}
		if a.MaxBid != nil && math.Abs(*b.MaxBid-2**a.MaxBid) > 2*c.Step+1e-6 {
			t.Fatalf("largest bid %g, with twice the money %g", *a.MaxBid, *b.MaxBid)
		}
	})
}

func TestMistakes(t *testing.T) {
	good := func() Case {
		return Case{
			Currency: "GBP", Digits: 2, Value: uncertain.Certain(1000), Confidence: 0.8, Step: 50, Trials: 10,
			Fees: []Band{{From: 0, Fixed: 10}, {From: 500, Percent: 5}}, Other: []Other{{Name: "transport"}},
		}
	}
	run(t, good())
	for name, spoil := range map[string]func(*Case){
		"value_when_done":        func(c *Case) { c.Value = uncertain.Range{Low: 3, Likely: 2, High: 1} },
		"marker_discount":        func(c *Case) { c.Discount = uncertain.Certain(1.2) },
		"selling, percent":       func(c *Case) { c.Selling.Percent = 101 },
		"selling, fixed":         func(c *Case) { c.Selling.Fixed = -1 },
		"fee_tax":                func(c *Case) { c.FeeTax = 20 },
		"price_tax":              func(c *Case) { c.PriceTax = -0.1 },
		"wanted_profit":          func(c *Case) { c.Wanted = math.NaN() },
		"confidence":             func(c *Case) { c.Confidence = 80 },
		"step":                   func(c *Case) { c.Step = 0 },
		"step: 0.005":            func(c *Case) { c.Step = 0.005 },
		"trials":                 func(c *Case) { c.Trials = MaxTrials + 1 },
		"fee band 1, from":       func(c *Case) { c.Fees[0].From = 100 },
		"fee band 2, from":       func(c *Case) { c.Fees[1].From = 0 },
		"fee band 2, percent":    func(c *Case) { c.Fees[1].Percent = 106 },
		"fee band 1, fixed":      func(c *Case) { c.Fees[0].Fixed = -5 },
		"fee band 1, minimum":    func(c *Case) { c.Fees[0].Minimum = math.Inf(1) },
		`other "transport"`:      func(c *Case) { c.Other[0].Cost = uncertain.Certain(-1) },
		"cost in trial 2":        func(c *Case) { c.Costs = []float64{1, math.NaN()} },
		"digits of the currency": func(c *Case) { c.Digits = 7 },
	} {
		c := good()
		spoil(&c)
		_, err := Run(context.Background(), c)
		var wrong *InputError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	ended, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Run(ended, good()); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %v", err)
	}
}

// TestFarOut: figures beyond all measure give an answer too.
func TestFarOut(t *testing.T) {
	c := Case{
		Currency: "GBP", Digits: 2, Value: uncertain.Range{Low: 1, Likely: 2, High: 1e3}, Costs: []float64{1e30, 1e200, -1e200, 5},
		Fees: slab(50).Fees, Confidence: 0.5, Step: 50,
	}
	r := run(t, c)
	for _, bid := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -5, 1e300} {
		if p := r.At(bid); math.IsNaN(p.AllIn) || p.AllIn < 0 || p.Bid < 0 {
			t.Errorf("at %g: %+v", bid, p)
		}
	}
	if p := c.AllIn(-1); p.Bid != 0 || p.Fee != 75 {
		t.Errorf("less than nothing: %+v", p)
	}
}

func BenchmarkBid(b *testing.B) {
	c := Case{
		Currency: "GBP", Digits: 2, Value: uncertain.Range{Low: 52000, Likely: 58000, High: 64000},
		Discount: uncertain.Range{Low: 0.15, Likely: 0.22, High: 0.3}, Costs: normalCosts(12000, 3000, 100_000),
		Fees: slab(50).Fees, FeeTax: 0.2, Wanted: 6000, Confidence: 0.8, Step: 50,
	}
	for b.Loop() {
		if _, err := Run(context.Background(), c); err != nil {
			b.Fatal(err)
		}
	}
}
