package check

import (
	"fmt"
	"math"
	"testing"
	"time"

	"wreckwright/outside"
)

// examined works a case out that must be in order.
func examined(t *testing.T, c Case) Result {
	t.Helper()
	r, err := Examine(c)
	if err != nil {
		t.Fatalf("%+v: %v", c, err)
	}
	return r
}

// single is one reading with a known standard uncertainty.
func single(y, u float64, lower, upper *float64) Case {
	return Case{Readings: []float64{y}, Instrument: Instrument{SD: &u}, Lower: lower, Upper: upper}
}

// TestGuideToUncertainty holds the doubt of readings against the examples of the
// Guide.
func TestGuideToUncertainty(t *testing.T) {
	temperatures := []float64{
		96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
		100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
	}
	r := examined(t, Case{Readings: temperatures, Instrument: Instrument{SD: new(0.0)}, Upper: new(200.0)})
	gauge := combine([]component{{25, 18}, {9.7, 25.6}, {2.9, 50}, {16.6, 2}})
	product := combine([]component{{0.25, 9}, {0.57, 4}, {0.82, 14}})
	ten := make([]float64, 10)
	for i := range ten {
		ten[i] = 0.1
	}
	rate, _ := formFor("rate")
	w := rate.weights([]float64{1.4, 1.1, 2}, Case{})
	outside.Check(t, []outside.Case{
		{Source: "JCGM_100", Where: "4.2.1", What: "mean of 20 temperatures, degrees C", Got: r.Mean, Want: 100.145, Tolerance: 0.0005, Why: "printed to 3 decimals"},
		{Source: "JCGM_100", Where: "4.2.2", What: "standard deviation of 20 temperatures, degrees C", Got: *r.ReadingsSD, Want: 1.489, Tolerance: 0.0005, Why: "printed to 3 decimals"},
		{Source: "JCGM_100", Where: "4.2.3", What: "uncertainty of their mean, degrees C", Got: r.StandardUncertainty, Want: 0.333, Tolerance: 0.0005, Why: "printed to 3 decimals"},
		{Source: "JCGM_100", Where: "4.2.3", What: "their degrees of freedom", Got: *r.DegreesOfFreedom, Want: 19, Tolerance: 1e-9, Why: "whole"},
		{Source: "JCGM_100", Where: "4.3.7", What: "anywhere within 96 to 104 degrees C", Got: rectangular(4), Want: 2.3, Tolerance: 0.05, Why: "printed to 1 decimal"},
		{Source: "JCGM_100", Where: "F.2.2.1", What: "step of a display, times 1", Got: step(1), Want: 0.29, Tolerance: 0.005, Why: "printed to 2 decimals"},
		{Source: "JCGM_100", Where: "5.1.2", What: "product of three in series, per cent", Got: product.u, Want: 1.03, Tolerance: 0.005, Why: "printed to 2 decimals"},
		{Source: "JCGM_100", Where: "G.4.1", What: "the same: degrees of freedom", Got: product.dof, Want: 19.0, Tolerance: 0.05, Why: "printed to 1 decimal"},
		{Source: "JCGM_100", Where: "G.4.1", What: "end gauge (H.1.6): degrees of freedom", Got: gauge.dof, Want: 16.7, Tolerance: 0.1, Why: "its inputs are printed to 2 digits"},
		{Source: "JCGM_100", Where: "5.2.2", What: "ten resistors of one standard in series, ohms", Got: common(ten), Want: 1, Tolerance: 1e-12, Why: "exact"},
		{Source: "JCGM_100", Where: "5.1.3", What: "how (a - b) / m follows a", Got: w[0], Want: 0.5, Tolerance: 1e-9, Why: "differences for a derivative"},
		{Source: "JCGM_100", Where: "5.1.3", What: "how (a - b) / m follows m", Got: w[2], Want: -0.075, Tolerance: 1e-9, Why: "differences for a derivative"},
	})
}

// TestConformity holds chances and acceptance limits against the standard's
// examples.
func TestConformity(t *testing.T) {
	chance := func(y, u float64, lower, upper *float64) float64 {
		return examined(t, single(y, u, lower, upper)).Chance
	}
	var cases []outside.Case
	for p, z := range map[float64]float64{0.80: 0.84, 0.90: 1.28, 0.95: 1.64, 0.99: 2.33, 0.999: 3.09} {
		cases = append(cases, outside.Case{
			Source: "JCGM_106", Where: "7.3", What: fmt.Sprintf("table 1: distance for a chance of %g, in u", p),
			Got: component{1, math.Inf(1)}.reach(1 - p), Want: z, Tolerance: 0.005, Why: "printed to 2 decimals",
		})
	}
	radar := single(110, 0.02*106.5876, new(100.0), nil)
	radar.Risk = 0.001
	cases = append(cases, []outside.Case{
		{Source: "JCGM_106", Where: "7.3", What: "strength of a container, at least 490 kPa", Got: chance(509.7, 8.6, new(490.0), nil), Want: 0.98900955, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "7.3", What: "breakdown voltage, at most -5.40 V", Got: chance(-5.47, 0.05, nil, new(-5.40)), Want: 0.91924334, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "7.4", What: "+-1, u 0.25, measured 0", Got: chance(0, 0.25, new(-1.0), new(1.0)), Want: 0.99993666, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "7.4", What: "+-1, u 0.25, measured 0.5", Got: chance(0.5, 0.25, new(-1.0), new(1.0)), Want: 0.97724987, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "7.4", What: "+-1, u 0.25, measured 0.9", Got: chance(0.9, 0.25, new(-1.0), new(1.0)), Want: 0.65542174, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "7.4", What: "+-1, u 0.25, measured 1", Got: chance(1, 0.25, new(-1.0), new(1.0)), Want: 0.5, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "8.3.2", What: "risk at a band of 2 u", Got: component{1, math.Inf(1)}.outside(2, new(0.0), nil), Want: 0.02275013, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "8.3.2", What: "risk at a band of 1.64 u", Got: component{1, math.Inf(1)}.outside(1.64, new(0.0), nil), Want: 0.05050258, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "8.3.2", What: "radar of 2 %, limit 100 km/h, 99.9 %", Got: *examined(t, radar).AcceptLow, Want: 106.5876, Tolerance: 1e-4, Why: "recomputed to 4 decimals"},
	}...)
	outside.Check(t, cases)
}

// TestGlobalRisks holds how often parts are misjudged against the standard's
// examples and a laboratory's notebook of them.
func TestGlobalRisks(t *testing.T) {
	gamma := density{func(x float64) float64 { // shape 4, scale 1/4
		if x <= 0 {
			return 0
		}
		return math.Pow(4, 4) / 6 * x * x * x * math.Exp(-4*x)
	}, 0, 20}
	inf := math.Inf(1)
	bearings := func(accept float64) (bad, good float64) {
		_, bad, good = risks(gamma, 0.25, [2]float64{-inf, 2}, [2]float64{-inf, accept})
		return bad, good
	}
	within, _, _ := risks(gamma, 0.25, [2]float64{-inf, 2}, [2]float64{-inf, 2})
	bad2, good2 := bearings(2)
	bad17, good17 := bearings(1.7)
	badA, goodA := bearings(1.6718287715)
	resistorsIn, resistorsBad, resistorsGood := Risks(Usual{0, 0.12}, 0.04, new(-0.2), new(0.2), new(-0.2), new(0.2))
	_, oneBad, oneGood := Risks(Usual{0, 1}, 0.25, new(-2.0), new(2.0), new(-2.0), new(2.0))
	with := single(1.8, 0.5, new(-2.0), new(2.0))
	with.Usual = &Usual{0, 1}
	u := examined(t, with).Usual
	cases := []outside.Case{
		{Source: "JCGM_106", Where: "9.5.2", What: "ball bearings: share outside", Got: 1 - within, Want: 0.0423801120, Tolerance: 1e-9, Why: "recomputed to 10 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "ball bearings: bad let pass", Got: bad2, Want: 0.0080191, Tolerance: 5e-8, Why: "notebook to 7 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "ball bearings: good refused", Got: good2, Want: 0.01744457, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "ball bearings, accepted to 1.7", Got: bad17, Want: 0.00125640, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "ball bearings, accepted to 1.7: good refused", Got: good17, Want: 0.06820743, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "ball bearings, accepted for a risk of 0.001", Got: badA, Want: 0.001, Tolerance: 1e-9, Why: "the notebook's limit to 10 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "the same: good refused", Got: goodA, Want: 0.07549388, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "resistors: share outside", Got: 1 - resistorsIn, Want: 0.09558070, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "resistors: bad let pass", Got: resistorsBad, Want: 0.01894221, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "resistors: good refused", Got: resistorsGood, Want: 0.03720780, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "sigma 1, u 0.25, +-2: bad let pass", Got: oneBad, Want: 0.00800608, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "9.5.2", What: "sigma 1, u 0.25, +-2: good refused", Got: oneGood, Want: 0.01485088, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "6.3", What: "usual N(0, 1), measured 1.8, u 0.5: mean", Got: u.Mean, Want: 1.44, Tolerance: 1e-12, Why: "exact"},
		{Source: "JCGM_106", Where: "6.3", What: "the same: sd", Got: u.SD, Want: 0.44721360, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
		{Source: "JCGM_106", Where: "6.3", What: "the same: chance within +-2", Got: u.WithinLimits, Want: 0.89475115, Tolerance: 5e-9, Why: "recomputed to 8 decimals"},
	}
	for inTolerance, want := range map[float64]float64{60: 4.83860, 70: 3.92234, 80: 2.85583, 90: 1.59995, 95: 0.87101, 99: 0.19992} {
		sd := 1 / component{1, inf}.reach((1-inTolerance/100)/2)
		_, bad, _ := Risks(Usual{0, sd}, sd/4, new(-1.0), new(1.0), new(-1.0), new(1.0))
		cases = append(cases, outside.Case{
			Source: "JCGM_106", Where: "9.5.2", What: fmt.Sprintf("%g %% in tolerance, u a quarter of the spread: bad let pass, per cent", inTolerance),
			Got: 100 * bad, Want: want, Tolerance: 5e-6, Why: "table of a laboratory's tests to 5 decimals",
		})
	}
	outside.Check(t, cases)
}

// TestAgainstSciPy holds whole cases against testdata/scipy_check.py.
func TestAgainstSciPy(t *testing.T) {
	limit := func(x float64) Instrument { return Instrument{Limit: &x} }
	sd := func(x float64) Instrument { return Instrument{SD: &x} }
	stepped := limit(0.01)
	stepped.Resolution = 0.01
	discs := []float64{24.31, 24.33, 24.30, 24.32}
	efforts := Case{
		Form: "efficiency", EffortUnit: "N", Instrument: limit(50), Lower: new(58.0),
		Parts: []Part{
			{Name: "front left", Readings: []float64{2800}},
			{Name: "front right", Readings: []float64{2700}},
			{Name: "rear left", Readings: []float64{1600}},
			{Name: "rear right", Readings: []float64{1500}},
			{Name: Massed, Readings: []float64{1500}, Instrument: limit(10)},
		},
	}
	sides := Case{Form: "imbalance", Instrument: limit(3), Upper: new(30.0), Parts: []Part{{Name: "left", Readings: []float64{240}}, {Name: "right", Readings: []float64{167}}}}
	gases := Case{Form: "lambda", Lower: new(0.97), Upper: new(1.03), Parts: []Part{
		{Name: "co_percent", Readings: []float64{0.1}, Instrument: limit(0.03)},
		{Name: "co2_percent", Readings: []float64{15}, Instrument: limit(0.4)},
		{Name: "o2_percent", Readings: []float64{0.2}, Instrument: limit(0.1)},
		{Name: "hc_ppm", Readings: []float64{50}, Instrument: limit(12)},
	}}
	var cases []outside.Case
	add := func(what string, got, want, tolerance float64, why string) {
		cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "bench/check/testdata/scipy_check.py", What: what, Got: got, Want: want, Tolerance: tolerance, Why: why})
	}
	const fine = "floating point"
	for _, tt := range []struct {
		name                     string
		c                        Case
		u, dof, chance, low, top float64 // 0 for none
	}{
		{"three timings", Case{Readings: []float64{11.8, 12.4, 12.1}, Instrument: sd(0), Upper: new(13.0)}, 0.173205080757, 2, 0.982450640677, 0, 12.494243661745575},
		{"instrument 0.25", single(0.5, 0.25, new(-1.0), new(1.0)), 0.25, 0, 0.977249867065, -0.58878659300976, 0.58878659300976},
		{"instrument 0.5", single(0, 0.5, new(-1.0), new(1.0)), 0.5, 0, 0.954499736104, -0.10189363970190153, 0.10189363970190153},
		{"instrument 0.55", single(0, 0.55, new(-1.0), new(1.0)), 0.55, 0, 0.930963652006, 0, 0},
		{"discs", Case{Readings: discs, Instrument: limit(0.01), Lower: new(24.3)}, 0.00866025403784, 9.72, 0.94259401137, 24.315742380880046, 0},
		{"discs with step", Case{Readings: discs, Instrument: stepped, Lower: new(24.3), Risk: 0.01}, 0.00912870929175, 12, 0.93686305592, 24.324474051289833, 0},
		{"charge", Case{Readings: []float64{14.1, 14.3, 14.2, 14.4, 14.0}, Instrument: sd(0.05), Lower: new(13.5), Upper: new(14.8)}, 0.0866025403784, 9, 0.999955566459, 13.65875242512901, 14.64124757487099},
		{"two readings", Case{Readings: []float64{1, 1.4}, Instrument: sd(0.02), Upper: new(2.0), Risk: 0.1}, 0.200997512422, 1.0201, 0.923554216349, 0, 1.3942783477522522},
		{"efficiency", efforts, 0.8165950433227697, 0, 0.7149424182250488, 0, 0},
		{"imbalance", sides, 0.879211302513561, 0, 0.3177821906253928, 0, 0},
	} {
		r := examined(t, tt.c)
		add(tt.name+": u", r.StandardUncertainty, tt.u, 1e-9, fine)
		add(tt.name+": chance", r.Chance, tt.chance, 1e-8, fine)
		if tt.dof > 0 {
			add(tt.name+": degrees of freedom", *r.DegreesOfFreedom, tt.dof, 1e-8, fine)
		}
		if tt.low != 0 {
			add(tt.name+": accept from", *r.AcceptLow, tt.low, 1e-8, fine)
		}
		if tt.top != 0 {
			add(tt.name+": accept up to", *r.AcceptHigh, tt.top, 1e-8, fine)
		}
	}
	add("lambda: u by draws", examined(t, gases).StandardUncertainty, 0.002745438600128679, 1e-5, "four million draws and a curved formula")
	for n, want := range []float64{1.1543048513440386, 1.48125, 1.7150373121065823, 1.8871451177924219, 2.019968507680656, 2.1266450871956257, 2.215004223325564, 2.28995408447961} {
		cases = append(cases, outside.Case{Source: "GRUBBS_1969", Where: "5 % points", What: fmt.Sprintf("%d readings, worked out by SciPy", n+3), Got: grubbs[n], Want: want, Tolerance: 6e-5, Why: "table to 4 decimals"})
	}
	outside.Check(t, cases)
}

// TestBrakes holds efficiency and imbalance against worked figures.
func TestBrakes(t *testing.T) {
	exact := Instrument{SD: new(0.0)}
	axle := func(left, right float64) Result {
		return examined(t, Case{Form: "imbalance", Instrument: exact, Upper: new(30.0), Parts: []Part{{Name: "left", Readings: []float64{left}}, {Name: "right", Readings: []float64{right}}}})
	}
	brake := func(mass float64, efforts ...float64) float64 {
		c := Case{Form: "efficiency", EffortUnit: "kgf", Instrument: exact, Lower: new(50.0), Parts: []Part{{Name: Massed, Readings: []float64{mass}}}}
		for i, e := range efforts {
			c.Parts = append(c.Parts, Part{Name: fmt.Sprint("wheel ", i), Readings: []float64{e}})
		}
		return examined(t, c).Mean
	}
	meter := examined(t, Case{Form: "deceleration", Readings: []float64{5}, Instrument: exact, Lower: new(50.0)})
	outside.Check(t, []outside.Case{
		{Source: "EU_2014_45", Where: "annex I 1.2.1", What: "imbalance of 310 and 200, %", Got: axle(310, 200).Mean, Want: 35.48, Tolerance: 0.005, Why: "worked to 2 decimals"},
		{Source: "EU_2014_45", Where: "annex I 1.2.1", What: "imbalance of 240 and 168 (70 % of the best), %", Got: axle(240, 168).Mean, Want: 30, Tolerance: 0, Why: "exact"},
		{Source: "EU_2014_45", Where: "annex I 1.2.1", What: "imbalance of 119 and 240, %", Got: axle(119, 240).Mean, Want: 50.42, Tolerance: 0.005, Why: "worked to 2 decimals"},
		{Source: "MOT_MANUAL", Where: "1.2.2 efficiency", What: "1,450 kg; 260/250, 150/140 kgf: %", Got: brake(1450, 260, 250, 150, 140), Want: 55.17, Tolerance: 0.005, Why: "worked to 2 decimals"},
		{Source: "MOT_MANUAL", Where: "1.2.2 efficiency", What: "1,500 kg; 310/200, 160/120 kgf: %", Got: brake(1500, 310, 200, 160, 120), Want: 52.67, Tolerance: 0.005, Why: "worked to 2 decimals"},
		{Source: "MOT_MANUAL", Where: "1.4.2 parking brake", What: "1,450 kg; 130/120 kgf: %", Got: brake(1450, 130, 120), Want: 17.24, Tolerance: 0.005, Why: "worked to 2 decimals"},
		{Source: "SI_BROCHURE_9", Where: "standard acceleration of gravity", What: "m/s2", Got: StandardGravity, Want: 9.80665, Tolerance: 0, Why: "by definition"},
		{Source: "STVZO", Where: "41(4)", What: "5 m/s2 as a share of gravity, %", Got: meter.Mean, Want: 50.99, Tolerance: 0.005, Why: "5 / 9.80665 to 2 decimals"},
	})
	outside.CheckText(t, []outside.TextCase{
		{Source: "EU_2014_45", Where: "annex I 1.2.1", What: "exactly 70 % of the best wheel", Got: axle(240, 168).Verdict, Want: Pass},
		{Source: "EU_2014_45", Where: "annex I 1.2.1", What: "below 70 % of the best wheel", Got: axle(240, 167).Verdict, Want: Fail},
	})
}

// TestLambda holds the equation against burnt fuel: gases of a complete lean
// burn, and of a rich one in the balance of water gas, give back the ratio of
// air that made them. Written-down figures beside it.
func TestLambda(t *testing.T) {
	const y, z = 1.7261, 0.0175
	need := 1 + y/4 - z/2
	var cases []outside.Case
	for _, want := range []float64{1, 1.02, 1.1, 1.3} {
		cases = append(cases, outside.Case{
			Source: "BRETTSCHNEIDER_1979", Where: "equation for petrol", What: fmt.Sprintf("complete burn at %g", want),
			Got: lambda(0, 15, 15*(want-1)*need, 0), Want: want, Tolerance: 1e-12, Why: "balance of atoms",
		})
	}
	for _, co := range []float64{0.01, 0.1, 0.3} { // of the carbon
		ratio := co / (3.5 * (1 - co)) // hydrogen to water
		water := y / 2 / (1 + ratio)
		want := (2*(1-co) + co + water - z) / (2 * need)
		cases = append(cases, outside.Case{
			Source: "BRETTSCHNEIDER_1979", Where: "equation for petrol", What: fmt.Sprintf("rich burn, %g of the carbon to CO", co),
			Got: lambda(15*co, 15*(1-co), 0, 0), Want: want, Tolerance: 1e-12, Why: "balance of atoms with water gas 3.5",
		})
	}
	for _, row := range [][5]float64{
		{0.1, 15, 0.2, 50, 1.0044},
		{0.15, 14.5, 0.9, 60, 1.0361},
		{0.3, 15.2, 0.1, 120, 0.9914},
		{0.5, 14.7, 0.5, 100, 1.004675105},
		{4, 12.2, 0.3, 200, 0.893645919},
	} {
		cases = append(cases, outside.Case{
			Source: "BRETTSCHNEIDER_1979", Where: "equation for petrol", What: fmt.Sprintf("CO %g, CO2 %g, O2 %g, HC %g ppm", row[0], row[1], row[2], row[3]),
			Got: lambda(row[0], row[1], row[2], row[3]), Want: row[4], Tolerance: 6e-5, Why: "worked apart, to 4 decimals",
		})
	}
	outside.Check(t, cases)
}

// TestTyreWeeks holds the week of a tyre against the calendar: week 1 is the
// first whole week, from Sunday to Saturday.
func TestTyreWeeks(t *testing.T) {
	day := func(code string) string {
		d, wanted := TyreWeek(code)
		if wanted != "" {
			return wanted
		}
		return d.Format(time.DateOnly)
	}
	outside.CheckText(t, []outside.TextCase{
		{Source: "CFR_49_574", Where: "574.5 date code", What: "week 1 of 2019: middle of 6 to 12 January", Got: day("0119"), Want: "2019-01-09"},
		{Source: "CFR_49_574", Where: "574.5 date code", What: "week 1 of 2017, which begins on a Sunday", Got: day("0117"), Want: "2017-01-04"},
		{Source: "CFR_49_574", Where: "574.5 date code", What: "a whole code", Got: day("DOT A1B2 C3D4 2319"), Want: "2019-06-12"},
	})
}

// TestClutch holds the line through wear against testdata/scipy_check.py.
func TestClutch(t *testing.T) {
	c := WearCase{Limit: 5, Risk: 0.025, Want: new(20.0)}
	for i, x := range []float64{0, 8, 15, 22, 30} {
		c.Points = append(c.Points, WearPoint{x, []float64{5.60, 5.51, 5.44, 5.35, 5.27}[i]})
	}
	r, err := Wear(c)
	if err != nil {
		t.Fatal(err)
	}
	c.Risk = 0.05
	wider, err := Wear(c)
	if err != nil {
		t.Fatal(err)
	}
	outside.Check(t, []outside.Case{
		{Source: "DRAPER_SMITH", Where: "straight line", What: "slope by SciPy's linregress", Got: r.PerThousand / 1000, Want: -0.011076642335766426, Tolerance: 1e-14, Why: "floating point"},
		{Source: "DRAPER_SMITH", Where: "straight line", What: "scatter about the line", Got: r.ReadingSD, Want: 0.005316045582254355, Tolerance: 1e-12, Why: "floating point"},
		{Source: "DRAPER_SMITH", Where: "inverse regression", What: "worn out at", Got: 30 + *r.Remaining.Likely, Want: 54.181548599670414, Tolerance: 1e-9, Why: "floating point"},
		{Source: "DRAPER_SMITH", Where: "inverse regression", What: "early, 2.5 %", Got: 30 + *r.Remaining.Low, Want: 51.282679816861645, Tolerance: 1e-8, Why: "floating point"},
		{Source: "DRAPER_SMITH", Where: "inverse regression", What: "late, 2.5 %", Got: 30 + *r.Remaining.High, Want: 57.41543455200025, Tolerance: 1e-8, Why: "floating point"},
		{Source: "DRAPER_SMITH", Where: "inverse regression", What: "early, 5 %", Got: 30 + *wider.Remaining.Low, Want: 52.00916762012748, Tolerance: 1e-8, Why: "floating point"},
		{Source: "DRAPER_SMITH", Where: "prediction interval", What: "chance of 20 more", Got: *r.Chance, Want: 0.990893543276921, Tolerance: 1e-9, Why: "floating point"},
	})
}
