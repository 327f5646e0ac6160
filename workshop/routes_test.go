package workshop

import (
	"math"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// twoWays is a job of a repair at 120 that works 65 times in 100 with 700 on top
// when it does not, and a new part at 640.
func twoWays(change ...func(*rebuild.Job)) step {
	return aJob("upright", 120, append([]func(*rebuild.Job){mayFail(0.65, 700), func(j *rebuild.Job) {
		j.Chosen = 0
		j.Routes = append(j.Routes, aRoute("new part", uncertain.Certain(640)))
	}}, change...)...)
}

// Repair 120, fails .35, replacement 640 with 60 of lost work on top: expected
// 365; tried first as long as it fails less often than (640-120)/(640+60) =
// .742857. Told beforehand one pays .65 x 120 + .35 x 640 = 302, 63 less.
func TestRoutesByHand(t *testing.T) {
	r := stand(t, twoWays(func(j *rebuild.Job) { j.Reference = amount.New(90_000, "GBP") }))
	views := Routes(r, &r.Jobs[0])
	repair, part := views[0], views[1]
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	near("repair", repair.Total, 365)
	near("new part", part.Total, 640)
	near("saving", *repair.Saving, 535)
	near("break-even", repair.BreakEven.Works, 1-520.0/700)
	near("margin", repair.BreakEven.Margin, 0.65-(1-520.0/700))
	near("worth of a test", repair.BreakEven.TestWorth, 63)
	if !repair.Cheapest || part.Cheapest || !repair.Planned || repair.Chosen || part.BreakEven != nil || repair.BreakEven.Rival != "new part" {
		t.Errorf("%+v\n%+v", repair, part)
	}
	// 35 in 100 cost 820, the others 120: the 90 % point is the dear one.
	if repair.Doubt != (uncertain.Range{Low: 120, Likely: 120, High: 820}) || part.Doubt != uncertain.Certain(640) {
		t.Errorf("doubt %+v, %+v", repair.Doubt, part.Doubt)
	}
}

func TestRoutesCountHours(t *testing.T) {
	r := stand(t, withCar(func(c *rebuild.Car) { c.HourValue = amount.New(2_000, "GBP") }), aJob("upright", 100, mayFail(0.5, 300), func(j *rebuild.Job) {
		j.Routes[0].Hours, j.Routes[0].Fallback.Hours = uncertain.Certain(3), uncertain.Certain(4)
	}))
	// 100 + .5 x 300 = 250; 3 + .5 x 4 = 5 h at 20.
	if v := Routes(r, &r.Jobs[0])[0]; v.Cost != 250 || v.Hours != 5 || v.Total != 350 || v.Doubt.Low != 160 || v.Doubt.High != 540 {
		t.Errorf("%+v", v)
	}
}

// A barred route and doing nothing are shown but are nobody's rival.
func TestBarredRoutesAreNoRivals(t *testing.T) {
	r := stand(t, twoWays(func(j *rebuild.Job) {
		j.Safety = rebuild.SafetySteering
		j.Routes = append(j.Routes, aRoute("glue it", uncertain.Certain(5)), aRoute("leave it", uncertain.Certain(0)))
		j.Routes[2].Method, j.Routes[3].Kind = rebuild.MethodBonded, rebuild.Leave
	}))
	views := Routes(r, &r.Jobs[0])
	if views[2].Usable() || views[3].Usable() || !views[0].Cheapest || views[2].Cheapest || views[3].Cheapest {
		t.Errorf("%+v", views)
	}
	if views[0].BreakEven.Rival != "new part" || views[2].BreakEven != nil {
		t.Errorf("rival %+v, %+v", views[0].BreakEven, views[2].BreakEven)
	}
}

// The simulated doubt of a route that cannot fail is its range itself, and with
// hours at a price it lies where the forecast of that one job puts it.
func TestDoubtAgreesWithTheForecast(t *testing.T) {
	r := stand(t, withCar(func(c *rebuild.Car) { c.HourValue = amount.New(2_000, "GBP") }), aJob("upright", 0, func(j *rebuild.Job) {
		j.Routes[0].Cost, j.Routes[0].Hours = uncertain.Range{Low: 240, Likely: 320, High: 520}, uncertain.Range{Low: 3, Likely: 4, High: 7}
	}))
	v, o := Routes(r, &r.Jobs[0])[0], look(t, r)
	// 1,024 trials leave the 90 % point where between 88 % and 92 % lie below it.
	if low, high := o.Quantile(0.88), o.Quantile(0.92); v.Doubt.High < low || v.Doubt.High > high {
		t.Errorf("90 %% point %.1f, the forecast's lies between %.1f and %.1f", v.Doubt.High, low, high)
	}
	if math.Abs(v.Total-o.Total.Mean) > 4*o.Total.SD/math.Sqrt(usualTrials) {
		t.Errorf("expected %.2f, the forecast's mean is %.2f", v.Total, o.Total.Mean)
	}
}

func TestSavings(t *testing.T) {
	reference := func(minor int64) func(*rebuild.Job) {
		return func(j *rebuild.Job) { j.Reference = amount.New(minor, "GBP") }
	}
	r := stand(
		t,
		aJob("ahead", 300, reference(90_000)),
		aJob("done", 1, reference(40_000), inState(rebuild.JobDone)), pays(15_000, 3),
		aJob("proven, unwritten", 120, reference(30_000), inState(rebuild.JobProven)),
		aJob("proven", 1, reference(8_000), inState(rebuild.JobProven)), pays(1_250, 8),
		aJob("proven and dearer", 1, reference(50_000), inState(rebuild.JobProven)), pays(65_000, 11),
		aJob("for nothing", 1, reference(2_000), inState(rebuild.JobProven), func(j *rebuild.Job) { j.CostNothing = true }),
		aJob("no reference", 1),
		aJob("dropped", 1, reference(9_000), inState(rebuild.JobDropped)),
		aJob("no figure", 0, reference(9_000), func(j *rebuild.Job) { j.Chosen, j.Routes = 0, nil }),
	)
	list, err := savingsOf(r)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		title  string
		saving int64
	}{{"proven", 6_750}, {"for nothing", 2_000}, {"proven and dearer", -15_000}, {"done", 25_000}, {"proven, unwritten", 18_000}, {"ahead", 60_000}}
	if len(list.Jobs) != len(want) {
		t.Fatalf("%d savings, want %d", len(list.Jobs), len(want))
	}
	for i, w := range want {
		if got := list.Jobs[i]; got.Job.Title != w.title || got.Saving.Minor != w.saving {
			t.Errorf("place %d: %s %s (%s), want %s %d", i+1, got.Job.Title, got.Saving, got.State, w.title, w.saving)
		}
	}
	if list.Proven.Minor != -6_250 || list.Claimed.Minor != 43_000 || list.NotYet.Minor != 60_000 || len(list.WithoutReference) != 1 {
		t.Errorf("proven %s, claimed %s, not yet %s, without reference %d", list.Proven, list.Claimed, list.NotYet, len(list.WithoutReference))
	}
}
