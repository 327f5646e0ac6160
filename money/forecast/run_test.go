package forecast

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
	"wreckwright/uncertain"
)

func run(t testing.TB, c Case) Result {
	t.Helper()
	r, err := Run(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// normalRange is the range of a normal quantity.
func normalRange(mean, sd float64) uncertain.Range {
	return uncertain.Range{Low: mean - sd*uncertain.Z90, Likely: mean, High: mean + sd*uncertain.Z90}
}

// TestSumOfNormals: n normal items of common correlation rho have the sd
// sqrt(sum s^2 + rho sum_{i!=j} s_i s_j), and the sum is normal.
func TestSumOfNormals(t *testing.T) {
	for _, rho := range []float64{0, 0.25, 0.9} {
		c := NewCase("EUR")
		c.Trials, c.Correlation, c.Spent = 200_000, rho, 1000
		mean, squares, sum := 1000.0, 0.0, 0.0
		for i, sd := range []float64{30, 40, 50, 60, 20, 35} {
			c.Jobs = append(c.Jobs, Job{Name: string(rune('a' + i)), Cost: normalRange(1000+100*float64(i), sd)})
			mean += 1000 + 100*float64(i)
			squares += sd * sd
			sum += sd
		}
		sd := math.Sqrt((1-rho)*squares + rho*sum*sum)
		c.Ceiling = new(mean + 0.5*sd)
		r := run(t, c)
		n := math.Sqrt(float64(c.Trials))
		outside.Check(t, []outside.Case{
			{Source: "DESIGN_DEPENDENCE", Where: "sum of normals", What: "mean", Got: r.Total.Mean, Want: mean, Tolerance: 4 * sd / n, Why: "4 standard errors"},
			{Source: "DESIGN_DEPENDENCE", Where: "sum of normals", What: "sd", Got: r.Total.SD, Want: sd, Tolerance: 4 * sd / n / math.Sqrt2, Why: "4 standard errors"},
			{Source: "DESIGN_DEPENDENCE", Where: "sum of normals", What: "80 % point", Got: r.Total.P80, Want: mean + 0.8416212336*sd, Tolerance: 4 * sd * 0.4 / 0.28 / n, Why: "4 standard errors"},
			{Source: "DESIGN_DEPENDENCE", Where: "sum of normals", What: "chance under the ceiling", Got: *r.ChanceUnderCeiling, Want: 0.6914624613, Tolerance: 4 * *r.StandardError, Why: "4 standard errors"},
		})
		// Cov(item, total) = s_i ((1-rho) s_i + rho sum).
		for i, s := range []float64{30, 40, 50, 60, 20, 35} {
			outside.Check(t, []outside.Case{{
				Source: "DESIGN_SHARES", Where: "sum of normals", What: "covariance share of " + c.Jobs[i].Name, Got: r.Jobs[i].VarianceShare,
				Want: s * ((1-rho)*s + rho*sum) / (sd * sd), Tolerance: 4 * 1.5 / n, Why: "4 standard errors",
			}})
		}
	}
}

// TestSkewedPair: two S_L items under the copula have the covariance
// d1 d2 exp((s1^2+s2^2)/2) (exp(rho s1 s2) - 1).
func TestSkewedPair(t *testing.T) {
	a, b := uncertain.Range{Low: 500, Likely: 700, High: 1100}, uncertain.Range{Low: 240, Likely: 320, High: 520}
	c := NewCase("EUR")
	c.Trials, c.Correlation = 400_000, 0.6
	c.Jobs = []Job{{Name: "a", Cost: a}, {Name: "b", Cost: b}}
	r := run(t, c)
	ca, cb := a.Curve(), b.Curve()
	d := (700 - ca.Theta()) * (320 - cb.Theta())
	s1, s2 := ca.Sigma(), cb.Sigma()
	cov := d * math.Exp((s1*s1+s2*s2)/2) * math.Expm1(0.6*s1*s2)
	variance := ca.Variance() + cb.Variance() + 2*cov
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_DEPENDENCE", Where: "pair of lognormals", What: "sd of the sum", Got: r.Total.SD, Want: math.Sqrt(variance), Tolerance: 4 * math.Sqrt(variance) * 2 / math.Sqrt(400_000), Why: "4 standard errors, kurtosis below 17"},
		{Source: "DESIGN_SHARES", Where: "pair of lognormals", What: "share of the first", Got: r.Jobs[0].VarianceShare, Want: (ca.Variance() + cov) / variance, Tolerance: 0.01, Why: "4 standard errors"},
	})
}

// TestEvents: chances, hours and fallbacks of certain amounts have moments that
// can be written down.
func TestEvents(t *testing.T) {
	c := NewCase("EUR")
	c.Trials, c.HourValue = 200_000, 10
	c.Jobs = []Job{{
		Name: "pump", Cost: uncertain.Certain(100), Hours: new(uncertain.Certain(3)), Needed: new(0.6), Works: new(0.7),
		Fallback: &Fallback{Cost: uncertain.Certain(400), Hours: new(uncertain.Certain(5))},
	}}
	r := run(t, c)
	// 130 where needed (0.6), 450 more where it then fails (0.3 of those).
	mean := 0.6 * (130 + 0.3*450)
	square := 0.6*0.7*130*130 + 0.6*0.3*580*580
	sd := math.Sqrt(square - mean*mean)
	n := math.Sqrt(float64(c.Trials))
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_ROUTES", Where: "two-stage job", What: "mean with need and failure", Got: r.Total.Mean, Want: mean, Tolerance: 4 * sd / n, Why: "4 standard errors"},
		{Source: "DESIGN_ROUTES", Where: "two-stage job", What: "sd with need and failure", Got: r.Total.SD, Want: sd, Tolerance: 4 * sd / n, Why: "4 standard errors"},
		{Source: "DESIGN_ROUTES", Where: "two-stage job", What: "hours with need and failure", Got: r.Hours.Mean, Want: 0.6 * (3 + 0.3*5), Tolerance: 4 * 3 / n, Why: "4 standard errors"},
		{Source: "DESIGN_ROUTES", Where: "two-stage job", What: "hours of the job", Got: r.Jobs[0].ExpectedHours, Want: 0.6 * (3 + 0.3*5), Tolerance: 4 * 3 / n, Why: "4 standard errors"},
	})
	for _, v := range []float64{0, 130, 580} {
		if at, _ := r.ChanceWithin(v); v > 0 {
			if below, _ := r.ChanceWithin(v - 1); at-below < 0.1 {
				t.Errorf("no trial came to %g", v)
			}
		}
	}
	c.HourValue = 0
	if r := run(t, c); r.Quantile(1) != 500 || r.Hours.P90 != 8 {
		t.Errorf("hours without worth: greatest total %g, hours %g; want 500, 8", r.Quantile(1), r.Hours.P90)
	}
}

func TestHiddenDamage(t *testing.T) {
	c := NewCase("EUR")
	c.Trials, c.Correlation = 400_000, 0
	c.Hidden = []Hidden{{Expected: 1.8, Cost: uncertain.Range{Low: 54, Likely: 180, High: 600}}}
	r := run(t, c)
	chance := func(x float64) float64 { p, _ := r.ChanceWithin(x); return p }
	outside.Check(t, []outside.Case{
		{Source: "KLUGMAN_LOSS_MODELS", Where: "compound Poisson moments", What: "mean", Got: r.Total.Mean, Want: 503.7302, Tolerance: 3.7, Why: "4 standard errors"},
		{Source: "PANJER_1981", Where: "aggregate distribution", What: "chance of none", Got: chance(0), Want: 0.16529889, Tolerance: 0.0024, Why: "4 standard errors"},
		{Source: "PANJER_1981", Where: "aggregate distribution", What: "chance of at most 500", Got: chance(500), Want: 0.63197, Tolerance: 0.0031, Why: "4 standard errors"},
		{Source: "PANJER_1981", Where: "aggregate distribution", What: "chance of at most 2000", Got: chance(2000), Want: 0.97383, Tolerance: 0.001, Why: "4 standard errors"},
	})
	if r.Drivers[0].Name != "hidden damage" || math.Abs(r.Drivers[0].VarianceShare-1) > 1e-12 {
		t.Errorf("drivers %+v; want hidden damage alone", r.Drivers)
	}
}

// TestBiasMovesEveryRange: with the record's shift m and spread k a normal item
// of mean mu and sd s becomes one of mean mu + m s and sd k s.
func TestBiasMovesEveryRange(t *testing.T) {
	c := NewCase("EUR")
	c.Trials, c.Spent = 200_000, 0
	c.Jobs = []Job{{Name: "a", Cost: normalRange(1000, 50)}, {Name: "certain", Cost: uncertain.Certain(70)}}
	for range 4 {
		c.Closed = append(c.Closed, uncertain.Closed{Range: normalRange(300, 10), Actual: 310})
	}
	r := run(t, c)
	n := math.Sqrt(float64(c.Trials))
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_BIAS", Where: "normal item", What: "mean", Got: r.Total.Mean, Want: 1070 + 0.5*50, Tolerance: 4 * 50 / n, Why: "4 standard errors"},
		{Source: "DESIGN_BIAS", Where: "normal item", What: "sd", Got: r.Total.SD, Want: 50 * math.Sqrt(6.0/8), Tolerance: 4 * 50 / n, Why: "4 standard errors"},
	})
}

// TestAnyNumberOfCores: the answer is the same to the last bit.
func TestAnyNumberOfCores(t *testing.T) {
	c := benchCase(12, 5000)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := run(t, c)
	runtime.GOMAXPROCS(5)
	if five := run(t, c); !reflect.DeepEqual(one, five) {
		t.Error("one core and five cores differ")
	}
}

// jobs draws a case's jobs.
func jobs() *rapid.Generator[[]Job] {
	amount := func(t *rapid.T, label string) uncertain.Range {
		v := []float64{rapid.Float64Range(0, 900).Draw(t, label), rapid.Float64Range(0, 900).Draw(t, label), rapid.Float64Range(0, 900).Draw(t, label)}
		slices.Sort(v)
		return uncertain.Range{Low: v[0], Likely: v[1], High: v[2]}
	}
	chance := func(t *rapid.T, label string) *float64 {
		if !rapid.Bool().Draw(t, label) {
			return nil
		}
		return new(rapid.Float64Range(0, 1).Draw(t, label))
	}
	return rapid.Custom(func(t *rapid.T) []Job {
		var list []Job
		for i := range rapid.IntRange(0, 5).Draw(t, "jobs") {
			j := Job{
				Name: string(rune('a' + i)), Cost: amount(t, "cost"),
				Needed: chance(t, "needed"), Works: chance(t, "works"),
			}
			if rapid.Bool().Draw(t, "with hours") {
				j.Hours = new(amount(t, "hours"))
			}
			if j.Works != nil {
				j.Fallback = &Fallback{Cost: amount(t, "fallback")}
			}
			list = append(list, j)
		}
		return list
	})
}

func TestForecastProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := NewCase("EUR")
		c.Trials, c.Seed = 600, rapid.Uint64().Draw(t, "seed")
		c.HourValue = rapid.SampledFrom([]float64{0, 12.5}).Draw(t, "hour value")
		c.Jobs = jobs().Draw(t, "jobs")
		c.Spent = rapid.Float64Range(-500, 5000).Draw(t, "spent")
		c.Ceiling = new(rapid.Float64Range(0, 8000).Draw(t, "ceiling"))
		c.Hidden = []Hidden{{Expected: 0.5, Cost: uncertain.Range{Low: 10, Likely: 20, High: 60}}}
		r, err := Run(context.Background(), c)
		if err != nil {
			t.Fatal(err)
		}
		holdSums(t, c, r)
		holdScale(t, c, r)
		holdOthersAlone(t, c, r)
	})
}

func holdSums(t *rapid.T, c Case, r Result) {
	shares, expected := 0.0, 0.0
	for _, d := range r.Drivers {
		shares += d.VarianceShare
	}
	for _, j := range r.Jobs {
		expected += j.ExpectedCost
	}
	expected += r.Hidden[0].ExpectedCost
	if r.Total.SD > 0 && math.Abs(shares-1) > 1e-9 {
		t.Fatalf("shares sum to %g", shares)
	}
	if math.Abs(expected-r.Remaining.Mean) > 1e-6 || math.Abs(r.Remaining.Mean+c.Spent-r.Total.Mean) > 1e-6 {
		t.Fatalf("items %g, remaining %g, total %g, spent %g", expected, r.Remaining.Mean, r.Total.Mean, c.Spent)
	}
	inBins := r.Histogram.Below + r.Histogram.Above
	for _, n := range r.Histogram.Counts {
		inBins += n
	}
	if inBins != c.Trials {
		t.Fatalf("%d of %d trials in the histogram", inBins, c.Trials)
	}
	s := r.Total
	if s.P10 > s.P50 || s.P50 > s.P80 || s.P80 > s.P90 {
		t.Fatalf("quantiles out of order: %+v", s)
	}
}

// holdScale: twice the money is twice the forecast, with the same luck.
//
// Curves of next to nothing are good to a millionth of the money only, and a cost
// may lie right on the ceiling, so that the chance lies between those of ceilings a
// hair below and above.
func holdScale(t *rapid.T, c Case, r Result) {
	hair := 1e-4 * (1 + math.Abs(c.Spent) + *c.Ceiling)
	under := func(ceiling float64) float64 {
		if ceiling < 0 {
			return 0
		}
		near := c
		near.Ceiling = &ceiling
		got, err := Run(context.Background(), near)
		if err != nil {
			t.Fatal(err)
		}
		return *got.ChanceUnderCeiling
	}
	least, most := under(*c.Ceiling-hair), under(*c.Ceiling+hair)
	twice := c
	twice.Jobs = slices.Clone(c.Jobs)
	for i, j := range twice.Jobs {
		twice.Jobs[i].Cost = j.Cost.Times(2)
		if j.Fallback != nil {
			twice.Jobs[i].Fallback = &Fallback{Cost: j.Fallback.Cost.Times(2), Hours: j.Fallback.Hours}
		}
	}
	twice.HourValue, twice.Spent = 2*c.HourValue, 2*c.Spent
	twice.Ceiling = new(2 * *c.Ceiling)
	twice.Hidden = []Hidden{{Expected: 0.5, Cost: c.Hidden[0].Cost.Times(2)}}
	got, err := Run(context.Background(), twice)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Total.P80-2*r.Total.P80) > 1e-6*(1+math.Abs(r.Total.P80)) || *got.ChanceUnderCeiling < least-2.0/600 || *got.ChanceUnderCeiling > most+2.0/600 {
		t.Fatalf("twice the money: P80 %g, chance %g; was %g, between %g and %g", got.Total.P80, *got.ChanceUnderCeiling, r.Total.P80, least, most)
	}
}

// holdOthersAlone: a job more, at any place, leaves all others' luck alone.
func holdOthersAlone(t *rapid.T, c Case, r Result) {
	more := c
	at := rapid.IntRange(0, len(c.Jobs)).Draw(t, "place")
	more.Jobs = slices.Insert(slices.Clone(c.Jobs), at, Job{Name: "new", Cost: uncertain.Range{Low: 1, Likely: 2, High: 4}})
	got, err := Run(context.Background(), more)
	if err != nil {
		t.Fatal(err)
	}
	others := slices.Delete(slices.Clone(got.Jobs), at, at+1)
	for i, j := range others {
		if j.ExpectedCost != r.Jobs[i].ExpectedCost || j.ExpectedHours != r.Jobs[i].ExpectedHours {
			t.Fatalf("%s came to %g, and to %g beside a new job", j.Name, r.Jobs[i].ExpectedCost, j.ExpectedCost)
		}
	}
	if got.Hidden[0].ExpectedCost != r.Hidden[0].ExpectedCost {
		t.Fatal("a new job changed the hidden damage")
	}
}

func TestRaisingAChanceOnlyAdds(t *testing.T) {
	c := NewCase("EUR")
	c.Trials = 20_000
	job := Job{Name: "pump", Cost: uncertain.Certain(100), Works: new(0.8), Fallback: &Fallback{Cost: uncertain.Certain(500)}}
	c.Jobs = []Job{job}
	before := run(t, c)
	c.Jobs[0].Works = new(0.7)
	after := run(t, c)
	if d := after.Total.Mean - before.Total.Mean; math.Abs(d-50) > 5 {
		t.Errorf("a tenth more failures of 500 cost %g more; want 50 +- 5", d)
	}
}

// TestSameName: two jobs of one name are two jobs, not one drawn twice.
func TestSameName(t *testing.T) {
	c := NewCase("EUR")
	c.Correlation, c.Trials = 0, 100_000
	c.Jobs = []Job{{Name: "tyre", Cost: normalRange(1000, 50)}, {Name: "tyre", Cost: normalRange(1000, 50)}}
	r := run(t, c)
	if want := 50 * math.Sqrt2; math.Abs(r.Total.SD-want) > 1 {
		t.Errorf("sd %g; want %g", r.Total.SD, want)
	}
}

func TestCertainCase(t *testing.T) {
	c := NewCase("EUR")
	c.Spent, c.Ceiling = 0.1, new(0.3)
	c.Jobs = []Job{{Name: "a", Cost: uncertain.Certain(0.2)}}
	r := run(t, c)
	if *r.ChanceUnderCeiling != 1 || *r.StandardError != 0 || r.Total.SD > 1e-12 || r.Drivers[0].VarianceShare != 0 {
		t.Errorf("0.1 + 0.2 under 0.3: chance %g, sd %g, drivers %v", *r.ChanceUnderCeiling, r.Total.SD, r.Drivers)
	}
	none := NewCase("EUR")
	none.Spent = 50
	if r := run(t, none); r.Total.P90 != 50 || r.ChanceUnderCeiling != nil || len(r.Drivers) != 0 {
		t.Errorf("nothing to do: %+v", r.Total)
	}
}

func TestRouteArithmetic(t *testing.T) {
	c := benchCase(3, 20_000)
	whole := run(t, c)
	route, err := c.Route(context.Background(), c.Jobs[0])
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(route.Money.Mean-whole.Jobs[0].ExpectedCost) > 1e-9 || math.Abs(route.Hours.Mean-whole.Jobs[0].ExpectedHours) > 1e-9 {
		t.Errorf("the route alone comes to %g; within the case to %g", route.Money.Mean, whole.Jobs[0].ExpectedCost)
	}
}

func TestImpossibleFigures(t *testing.T) {
	good := uncertain.Certain(1)
	bad := uncertain.Range{Low: 3, Likely: 2, High: 5}
	tests := []struct {
		name   string
		change func(*Case)
		words  []string
	}{
		{"correlation", func(c *Case) { c.Correlation = 0.96 }, []string{"correlation", "above 0.95"}},
		{"no trials", func(c *Case) { c.Trials = 0 }, []string{"trials", "below 1"}},
		{"spent", func(c *Case) { c.Spent = math.NaN() }, []string{"spent", "not a number"}},
		{"ceiling", func(c *Case) { c.Ceiling = new(math.Inf(1)) }, []string{"ceiling", "infinite"}},
		{"cost", func(c *Case) { c.Jobs = []Job{{Name: "arch", Cost: bad}} }, []string{`job "arch", cost`, "low (3) is above likely (2)"}},
		{"hours", func(c *Case) { c.Jobs = []Job{{Name: "arch", Cost: good, Hours: &bad}} }, []string{`job "arch", hours`}},
		{"works", func(c *Case) { c.Jobs = []Job{{Name: "arch", Cost: good, Works: new(1.5)}} }, []string{"works", "above 1"}},
		{"needed", func(c *Case) { c.Jobs = []Job{{Name: "arch", Cost: good, Needed: new(-0.5)}} }, []string{"needed", "negative"}},
		{"fallback", func(c *Case) { c.Jobs = []Job{{Name: "arch", Cost: good, Fallback: &Fallback{Cost: bad}}} }, []string{"fallback cost"}},
		{"fallback hours", func(c *Case) {
			c.Jobs = []Job{{Name: "arch", Cost: good, Fallback: &Fallback{Cost: good, Hours: &bad}}}
		}, []string{"fallback hours"}},
		{"hidden number", func(c *Case) { c.Hidden = []Hidden{{Zone: "sill", Expected: -1, Cost: good}} }, []string{"hidden damage: sill", "negative"}},
		{"hidden cost", func(c *Case) { c.Hidden = []Hidden{{Expected: 1, Cost: bad}} }, []string{"hidden damage, cost"}},
		{"closed", func(c *Case) { c.Closed = []uncertain.Closed{{Range: good, Actual: -2}} }, []string{"closed job 1", "negative"}},
	}
	for _, tt := range tests {
		c := NewCase("EUR")
		tt.change(&c)
		_, err := Run(context.Background(), c)
		var wrong *InputError
		if !errors.As(err, &wrong) {
			t.Errorf("%s: %v; want an InputError", tt.name, err)
			continue
		}
		for _, w := range tt.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q lacks %q", tt.name, err, w)
			}
		}
	}
}

func TestContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, benchCase(3, 1000)); !errors.Is(err, context.Canceled) {
		t.Errorf("%v; want the context's error", err)
	}
}

// TestCautions: doubtful cases are answered, and say why they are doubtful.
func TestCautions(t *testing.T) {
	c := NewCase("EUR")
	c.Trials = 50
	c.Closed = []uncertain.Closed{{Range: uncertain.Certain(5), Actual: 7}, {Range: normalRange(100, 10), Actual: 100}}
	c.Jobs = []Job{
		{Name: "lamp", Cost: uncertain.Range{Low: 5, Likely: 5, High: 9}},
		{Name: "sill", Cost: uncertain.Range{Low: 10, Likely: 11, High: 900}},
		{Name: "pump", Cost: uncertain.Certain(5), Works: new(0.5)},
		{Name: "belt", Hours: &uncertain.Range{Low: 1, Likely: 1, High: 2}, Works: new(0.5), Fallback: &Fallback{Cost: uncertain.Range{Low: 1, Likely: 2, High: 2}}},
	}
	all := strings.Join(run(t, c).Cautions, "\n")
	for _, w := range []string{"trials: 50", "too few to trust", "plain number", "lamp, cost", "one side only", "sill, cost", "look at the quantiles", "pump: the route may fail", "belt, hours", "belt, fallback"} {
		if !strings.Contains(all, w) {
			t.Errorf("no caution with %q in:\n%s", w, all)
		}
	}
}

// TestCautionOfAHeavyTail: a mean that a few trials make is not left unremarked,
// where each range by itself is none to remark on.
func TestCautionOfAHeavyTail(t *testing.T) {
	const words = "the mean of the total lies above its 90 % point"
	c := NewCase("EUR")
	c.Jobs = []Job{{Name: "loom", Cost: uncertain.Range{Low: 80, Likely: 250, High: 1500}}}
	if r := run(t, c); strings.Contains(strings.Join(r.Cautions, "\n"), words) {
		t.Errorf("mean %g, 90 %% point %g, and yet: %q", r.Total.Mean, r.Total.P90, r.Cautions)
	}
	// Six jobs far beyond their own ranges widen all others.
	for range 3 {
		c.Closed = append(c.Closed, uncertain.Closed{Range: normalRange(100, 10), Actual: 60}, uncertain.Closed{Range: normalRange(100, 10), Actual: 140})
	}
	if r := run(t, c); !strings.Contains(strings.Join(r.Cautions, "\n"), words) {
		t.Errorf("mean %g, 90 %% point %g, no caution: %q", r.Total.Mean, r.Total.P90, r.Cautions)
	}
}
