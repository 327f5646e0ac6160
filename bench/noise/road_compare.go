package noise

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outcome is one way in which a road test can come out, and how likely what was
// measured is under it, up to a factor that all share.
type Outcome struct {
	Name       string
	Likelihood float64
}

// The names of outcomes.
const (
	LouderLeft  = "left"  // louder steering left: the right side is loaded
	LouderRight = "right" // louder steering right: the left side is loaded
	Same        = "same"
	Changes     = "changes"
	Gone        = "gone"
)

// The names of road tests.
const (
	TestWeave   = "weave"
	TestSurface = "surface"
	TestNeutral = "neutral"
	TestTorque  = "torque"
	TestPlace   = "place"
)

// RoadTest is one comparison.
type RoadTest struct {
	Name         string
	DifferenceDB float64 // first minus second of what is compared; of the places the loudest over the mean of the others
	SD           float64
	Parts        int    // of the side with fewer
	Outcome      string // empty: cannot tell
	Likely       []Outcome
	Why          string
}

// effect is how a difference is spread when an outcome is so.
type effect struct {
	name     string
	mean, sd float64
	both     bool // either way
}

// What each outcome does to the level, dB. Nobody has published them for a
// phone in a car; the doubt in them is wide.
//
// ref: DESIGN_ROAD_TESTS
var effects = map[string][]effect{
	TestWeave:   {{LouderLeft, 4.5, 2, false}, {LouderRight, -4.5, 2, false}, {Same, 0, 0.7, false}},
	TestSurface: {{Changes, 6, 3, true}, {Same, 0, 1.2, false}},
	TestNeutral: {{Changes, -5, 2.5, false}, {Gone, -15, 5, false}, {Same, 0, 1, false}},
	TestTorque:  {{Changes, 5, 2.5, true}, {Same, 0, 1, false}},
}

// Where a test has an outcome.
//
// ref: DESIGN_ROAD_TESTS
const (
	decidedLead  = 10.0 // of the likeliest over the next
	weaveLeastDB = 3.0
	weaveParts   = 3
	weaveAgree   = 0.75 // of the weaves, one after the other
)

// compare draws every comparison that the pieces allow.
func (r *Road) compare() {
	cruise := append(r.of(RoadCruise), r.of(RoadDrive)...)
	if len(r.of(RoadCruise)) > 0 {
		cruise = r.of(RoadCruise)
	}
	for _, t := range []struct {
		name          string
		first, second []RoadLevel
		said          string
	}{
		{TestWeave, r.of(RoadWeaveLeft), r.of(RoadWeaveRight), "steering left against steering right"},
		{TestSurface, r.of(RoadOtherSurface), cruise, "other surface against the first"},
		{TestNeutral, r.of(RoadNeutral), cruise, "in neutral against in gear"},
		{TestTorque, r.of(RoadDrive), r.of(RoadCoast), "pulling against foot off"},
	} {
		if len(t.first) == 0 || len(t.second) == 0 {
			continue
		}
		test := RoadTest{Name: t.name, Parts: min(len(t.first), len(t.second))}
		test.DifferenceDB, test.SD = difference(t.first, t.second)
		test.decide(r.ByLines, t.first, t.second)
		r.Tests = append(r.Tests, test)
		r.Working.Add(t.said, "mean level of the one less that of the other", test.DifferenceDB, "dB", "DESIGN_ROAD_TESTS")
		r.Working.Add(t.said+", standard uncertainty", "scatter between pieces, within them, and of the speed's correction", test.SD, "dB", "DESIGN_ROAD_TESTS")
	}
	if test, ok := r.places(); ok {
		r.Tests = append(r.Tests, test)
	}
}

// of are the levels of a tag at the phone's usual place.
func (r *Road) of(tag RoadTag) []RoadLevel {
	var list []RoadLevel
	for _, l := range r.Levels {
		if l.Tag == tag && l.Place == "" {
			list = append(list, l)
		}
	}
	return list
}

// difference is the first's mean less the second's, with its uncertainty: the
// scatter between pieces where there are several, widened for how few they are.
func difference(first, second []RoadLevel) (db, sd float64) {
	a, va, na := pooled(first)
	b, vb, nb := pooled(second)
	sd = math.Sqrt(va + vb)
	if dof := na + nb - 2; dof > 0 {
		sd *= distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(dof)}.Quantile(0.975) / normal975
	}
	return a - b, sd
}

const normal975 = 1.959963985

// pooled is the mean level and the variance of it.
func pooled(list []RoadLevel) (mean, variance float64, n int) {
	var levels []float64
	within := 0.0
	for _, l := range list {
		levels = append(levels, l.DB)
		within += l.SD * l.SD
	}
	mean, between := meanAndSD(levels)
	count := float64(len(list))
	if len(list) == 1 {
		between = repeatSD
	}
	return mean, math.Max(between*between, within/count) / count, len(list)
}

// decide weighs the outcomes.
func (t *RoadTest) decide(byLines bool, first, second []RoadLevel) {
	for _, e := range effects[t.Name] {
		s := math.Hypot(e.sd, t.SD)
		like := density(t.DifferenceDB, e.mean, s)
		if e.both {
			like = (like + density(t.DifferenceDB, -e.mean, s)) / 2
		}
		t.Likely = append(t.Likely, Outcome{Name: e.name, Likelihood: like})
	}
	best, lead := leading(t.Likely)
	measured := fmt.Sprintf("%+.1f dB, uncertain by %.1f", t.DifferenceDB, 2*t.SD)
	switch {
	case t.Name == TestSurface && !byLines:
		t.Likely = nil
		t.Why = "no line stands out of the road's own noise, which changes with the surface whatever hums: listen yourself"
	case lead < decidedLead:
		t.Why = measured + ": the outcomes are too near each other. Record more of both, each longer"
	case t.Name == TestWeave && t.Parts < weaveParts:
		t.Why = fmt.Sprintf("%s, but out of %d weaves to the side with fewer: record %d to each side", measured, t.Parts, weaveParts)
	case t.Name == TestWeave && best != Same && (math.Abs(t.DifferenceDB) < weaveLeastDB || agreeing(first, second) < weaveAgree):
		t.Why = fmt.Sprintf("%s: the weaves do not agree. Record more of them, at one speed", measured)
	default:
		t.Outcome = best
		t.Why = measured + ": " + outcomeWords[t.Name+" "+best]
	}
}

var outcomeWords = map[string]string{
	"weave left":      "louder steering left, which loads the right side",
	"weave right":     "louder steering right, which loads the left side",
	"weave same":      "no louder to either side",
	"surface changes": "it changes with the road",
	"surface same":    "it stays on another surface",
	"neutral changes": "it changes in neutral",
	"neutral gone":    "it is gone in neutral",
	"neutral same":    "it stays in neutral",
	"torque changes":  "it changes with the throttle",
	"torque same":     "it stays the same pulling and with the foot off",
}

// agreeing is the share of pairs, one after the other, whose difference has the
// sign of the whole.
func agreeing(first, second []RoadLevel) float64 {
	n := min(len(first), len(second))
	whole, _ := difference(first, second)
	same := 0
	for i := range n {
		if (first[i].DB-second[i].DB)*whole > 0 {
			same++
		}
	}
	return float64(same) / float64(n)
}

// leading is the likeliest outcome and by how much it leads.
func leading(list []Outcome) (string, float64) {
	sorted := slices.Clone(list)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Likelihood > sorted[j].Likelihood })
	if len(sorted) < 2 || sorted[0].Likelihood <= 0 {
		return "", 0
	}
	return sorted[0].Name, sorted[0].Likelihood / math.Max(sorted[1].Likelihood, math.SmallestNonzeroFloat64)
}

func density(x, mean, sd float64) float64 {
	z := (x - mean) / sd
	return math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
}

// Corners are where a phone can lie.
var Corners = []string{"FL", "FR", "RL", "RR"}

// A bearing is louder at its own corner by nearDB; levels at the others scatter.
//
// ref: DESIGN_ROAD_TESTS
const (
	nearDB   = 6.0
	placeSD  = 3.0
	placeSay = 0.8 // share of the likelihoods from where a corner is named
)

// places compares the corners that the phone lay at; at least two must be there.
func (r *Road) places() (RoadTest, bool) {
	t := RoadTest{Name: TestPlace}
	var at []string
	var level, sd []float64
	for _, corner := range Corners {
		var here []RoadLevel
		for _, l := range r.Levels {
			if l.Place == corner && l.Tag == RoadCruise {
				here = append(here, l)
			}
		}
		if len(here) > 0 {
			m, v, n := pooled(here)
			at, level, sd = append(at, corner), append(level, m), append(sd, math.Sqrt(v))
			if t.Parts == 0 || n < t.Parts {
				t.Parts = n
			}
		}
	}
	if len(at) < 2 {
		return t, false
	}
	total := 0.0
	for _, corner := range Corners {
		like := cornerLikelihood(slices.Index(at, corner), level, sd)
		t.Likely = append(t.Likely, Outcome{Name: corner, Likelihood: like})
		total += like
	}
	best, _ := leading(t.Likely)
	i := slices.Index(at, best)
	if i < 0 {
		t.Why = "no corner where the phone lay is louder than the others"
		return t, true
	}
	t.DifferenceDB, t.SD = overOthers(i, level, sd)
	for _, o := range t.Likely {
		if o.Name == best && o.Likelihood/total >= placeSay {
			t.Outcome = best
		}
	}
	t.Why = fmt.Sprintf("loudest at %s, %+.1f dB over the mean of the others", best, t.DifferenceDB)
	if t.Outcome == "" {
		t.Why += ": too little to name the corner"
	}
	return t, true
}

// cornerLikelihood is how likely the levels are when the source is at one of the
// corners listened to, or (-1) at one that was not. The common level is the one
// that fits best.
func cornerLikelihood(source int, level, sd []float64) float64 {
	sum, weight := 0.0, 0.0
	rest := make([]float64, len(level))
	for i := range level {
		if rest[i] = level[i]; i == source {
			rest[i] -= nearDB
		}
		w := 1 / (placeSD*placeSD + sd[i]*sd[i])
		sum, weight = sum+w*rest[i], weight+w
	}
	chi := 0.0
	for i, x := range rest {
		d := x - sum/weight
		chi += d * d / (placeSD*placeSD + sd[i]*sd[i])
	}
	return math.Exp(-chi / 2)
}

func overOthers(i int, level, sd []float64) (db, u float64) {
	n := float64(len(level) - 1)
	for j := range level {
		if j != i {
			db += level[j] / n
			u += sd[j] * sd[j] / (n * n)
		}
	}
	return level[i] - db, math.Sqrt(u + sd[i]*sd[i])
}

// strongestOrders are the orders of the loudest lines, rising.
func strongestOrders(lines []line) []float64 {
	sort.SliceStable(lines, func(i, j int) bool { return lines[i].ratio > lines[j].ratio })
	var orders []float64
	for _, l := range lines[:min(len(lines), mostLines)] {
		orders = append(orders, l.hz)
	}
	sort.Float64s(orders)
	return orders
}
