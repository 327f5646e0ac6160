package uncertain

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

func TestStreamIsSplitMix64(t *testing.T) {
	s := Stream{state: 0}
	want := []uint64{0xe220a8397b1dcdaf, 0x6e789e6aa1b965f4, 0x06c45d188009454f}
	for i, w := range want {
		if got := s.Bits(i); got != w {
			t.Errorf("number %d of seed 0 is %016x; want %016x", i, got, w)
		}
	}
	outside.Check(t, []outside.Case{
		{Source: "STEELE_2014", Where: "SplitMix64", What: "first number of seed 0, upper 32 bits", Got: float64(s.Bits(0) >> 32), Want: 0xe220a839, Tolerance: 0, Why: "bits"},
		{Source: "FNV_1A", Where: "64 bit", What: "hash of \"a\", upper 32 bits", Got: float64(hashText("a") >> 32), Want: 0xaf63dc4c, Tolerance: 0, Why: "bits, published test vector af63dc4c8601ec8c"},
	})
}

// The table must give the exact quantile of the chance that the bits stand for.
func TestTableIsTheQuantile(t *testing.T) {
	worst, s := 0.0, NewStream(7, "item", "input")
	check := func(bits uint64) {
		want := -NormalQuantile((float64(bits>>12) + 0.5) * tailScale)
		if bits&1 == 1 {
			want = -want
		}
		worst = math.Max(worst, math.Abs(normalOf(bits)-want))
	}
	for i := range 200_000 {
		check(s.Bits(i))
	}
	for shift := range 64 { // every octave of the tail, both signs
		for _, low := range []uint64{0, 1, 0xffff, 1<<40 | 1} {
			check(^uint64(0)>>shift ^ low)
		}
	}
	if worst > 1e-9 {
		t.Errorf("the table is off by %g; 1e-9 is promised", worst)
	}
}

func TestNormalsAreNormal(t *testing.T) {
	const n = 1 << 20
	x := make([]float64, n)
	NewStream(1, "a", "b").Normals(x, 0)
	m := MomentsOf(x)
	slices.Sort(x)
	// Kolmogorov's distance; 1.95/sqrt(n) is exceeded once in a thousand.
	d := 0.0
	for i, v := range x {
		p := NormalCDF(v)
		d = math.Max(d, math.Max(p-float64(i)/n, float64(i+1)/n-p))
	}
	if math.Abs(m.Mean) > 4/math.Sqrt(n) || math.Abs(m.Variance()-1) > 4*math.Sqrt(2.0/n) || d > 1.95/math.Sqrt(n) {
		t.Errorf("mean %g, variance %g, Kolmogorov distance %g", m.Mean, m.Variance(), d)
	}
}

// Draws belong to their identity: the order, the company and the block do not
// matter, and another seed, item or input gives other numbers.
func TestDrawsBelongToTheirIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		item, input := rapid.String().Draw(t, "item"), rapid.String().Draw(t, "input")
		s := NewStream(seed, item, input)
		whole, part := make([]float64, 50), make([]float64, 20)
		s.Normals(whole, 100)
		s.Normals(part, 117)
		c := Range{10, 20, 45}.Curve()
		factor, column, picked := make([]float64, 50), make([]float64, 50), make([]float64, 2)
		c.Draw(column, 0.8, s, 100, factor)
		c.DrawAt(picked, 0.8, s, 100, []int32{40, 3}, factor)
		if !slices.Equal(part, whole[17:37]) || math.Abs(picked[0]-column[40]) > 1e-9 || math.Abs(picked[1]-column[3]) > 1e-9 || math.Abs(c.At(0.8*whole[3])-column[3]) > 1e-9 {
			t.Fatal("a trial's number depends on how it was asked for")
		}
		for _, other := range []Stream{NewStream(seed+1, item, input), NewStream(seed, item+"x", input), NewStream(seed, item, input+"x")} {
			if other.Bits(0) == s.Bits(0) {
				t.Fatal("another identity draws the same number")
			}
		}
		if u := s.Uniform(3); !(u > 0 && u < 1) {
			t.Fatalf("uniform number %g", u)
		}
	})
}

func TestCopula(t *testing.T) {
	const n, rho = 1 << 19, 0.4
	factor, a, b := make([]float64, n), make([]float64, n), make([]float64, n)
	l := NewLoading(rho, NoBias())
	l.Factor(factor, NewStream(3, "common", "factor"), 0)
	standard := Range{100 - Z90, 100, 100 + Z90}.Curve() // normal, so that the value is the score and 100
	standard.Draw(a, l.Own, NewStream(3, "a", "cost"), 0, factor)
	standard.Draw(b, l.Own, NewStream(3, "b", "cost"), 0, factor)
	for i := range a {
		a[i] -= 100
		b[i] -= 100
	}
	// Orthant chance of two normals: P(a>0, b>0) = 1/4 + asin(rho)/(2 pi), so Kendall's tau is 4 P - 1.
	both, sum := 0, 0.0
	for i := range a {
		sum += a[i] * b[i]
		if a[i] > 0 && b[i] > 0 {
			both++
		}
	}
	pearson := sum / n
	ra, rb := ranksOf(a), ranksOf(b)
	rank := 0.0
	for i := range ra {
		rank += (ra[i] - 0.5) * (rb[i] - 0.5) * 12 / n
	}
	outside.Check(t, []outside.Case{
		{Source: "KRUSKAL_1958", Where: "bivariate normal", What: "product-moment correlation", Got: pearson, Want: rho, Tolerance: 4 * 1.2 / math.Sqrt(n), Why: "4 standard errors"},
		{Source: "KRUSKAL_1958", Where: "bivariate normal", What: "Kendall's tau through the orthant chance", Got: 4*float64(both)/n - 1, Want: kendallOf(rho), Tolerance: 16 * 0.5 / math.Sqrt(n), Why: "4 standard errors"},
		{Source: "KRUSKAL_1958", Where: "bivariate normal", What: "Spearman's rho", Got: rank, Want: spearmanOf(rho), Tolerance: 4 * 1.2 / math.Sqrt(n), Why: "4 standard errors"},
	})
}

// spearmanOf is the rank correlation that two items have under the copula.
//
// ref: KRUSKAL_1958 bivariate normal
func spearmanOf(correlation float64) float64 {
	return 6 / math.Pi * math.Asin(correlation/2)
}

// kendallOf is Kendall's rank correlation of two items under the copula.
//
// ref: KRUSKAL_1958 bivariate normal
func kendallOf(correlation float64) float64 {
	return 2 / math.Pi * math.Asin(correlation)
}

// ranksOf are the ranks of the values, scaled to 0..1.
func ranksOf(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		if x[i] < x[j] {
			return -1
		}
		return 1
	})
	ranks := make([]float64, len(x))
	for r, i := range order {
		ranks[i] = (float64(r) + 0.5) / float64(len(x))
	}
	return ranks
}

func TestCounts(t *testing.T) {
	for _, mean := range []float64{0, 0.01, 0.7, 3, 40, 999} {
		c := NewCounts(mean)
		s := NewStream(5, "hidden", fmt.Sprint(mean))
		const n = 200_000
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(c.Count(s.Uniform(i)))
		}
		m := MomentsOf(x)
		if math.Abs(m.Mean-mean) > 4*math.Sqrt(mean/n) {
			t.Errorf("mean %g of Poisson(%g)", m.Mean, mean)
		}
		if limit := 4 * math.Sqrt((mean+2*mean*mean)/n); math.Abs(m.Variance()-mean) > limit {
			t.Errorf("variance %g of Poisson(%g), tolerance %g", m.Variance(), mean, limit)
		}
	}
}

func TestSortFloats(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOf(rapid.Float64Range(-1e15, 1e15)).Draw(t, "x")
		want := slices.Sorted(slices.Values(x))
		SortFloats(x)
		if !slices.Equal(x, want) {
			t.Fatalf("%v; want %v", x, want)
		}
	})
}

func TestBlocks(t *testing.T) {
	sum := func(cores int) CoMoments {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		const trials = 10*BlockTrials + 7
		parts := make([]CoMoments, 11)
		err := Blocks(context.Background(), trials, func() func(block, first, count int) {
			a, total := make([]float64, BlockTrials), make([]float64, BlockTrials)
			return func(block, first, count int) {
				NewStream(1, "a", "x").Normals(a[:count], first)
				NewStream(1, "b", "x").Normals(total[:count], first)
				for i := range count {
					total[i] += a[i]
				}
				parts[block] = CoMomentsOf([][]float64{a[:count]}, total[:count])
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		var whole CoMoments
		for _, p := range parts {
			whole.Join(p)
		}
		return whole
	}
	one, many := sum(1), sum(4)
	if one.Total != many.Total || one.Cross[0] != many.Cross[0] || one.N != 10*BlockTrials+7 {
		t.Errorf("one core gives %+v, four give %+v", one, many)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Blocks(ctx, 10, func() func(int, int, int) { return func(int, int, int) {} }); err == nil {
		t.Error("a context that has ended is not reported")
	}
}

func TestCoMomentsJoin(t *testing.T) {
	a := []float64{1e9 + 1, 1e9 + 4, 1e9 + 2, 1e9 + 8, 1e9 + 5}
	total := []float64{2e9 + 3, 2e9 + 9, 2e9 + 1, 2e9 + 7, 2e9 + 6}
	whole := CoMomentsOf([][]float64{a}, total)
	var joined CoMoments
	joined.Join(CoMomentsOf([][]float64{a[:2]}, total[:2]))
	joined.Join(CoMomentsOf([][]float64{a[2:]}, total[2:]))
	// By hand, without the 1e9: sums of squares of total 40.8, of products 23.
	outside.Check(t, []outside.Case{
		{Source: "CHAN_1983", Where: "pairwise update", What: "sum of squares of joined blocks", Got: joined.Total.Squares, Want: 40.8, Tolerance: 1e-5, Why: "by hand; the means are known to 1e-7"},
		{Source: "CHAN_1983", Where: "pairwise update", What: "sum of products of joined blocks", Got: joined.Cross[0], Want: 23, Tolerance: 1e-5, Why: "by hand; the means are known to 1e-7"},
		{Source: "CHAN_1983", Where: "pairwise update", What: "the same in one block", Got: whole.Cross[0], Want: 23, Tolerance: 1e-5, Why: "by hand; the means are known to 1e-7"},
	})
}
