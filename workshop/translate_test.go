package workshop

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Worked out by hand: every range is one number, so that the total is a sum.
func TestTotalByHand(t *testing.T) {
	tests := []struct {
		name      string
		steps     []step
		wantTotal float64
		tolerance float64 // four standard errors where a chance is drawn
	}{
		{"an empty book", nil, 0, 0},
		{"ledger alone", []step{pays(10_000, 0), pays(-2_500, 0, func(e *rebuild.Entry) { e.Kind = rebuild.EntrySale })}, 75, 0},
		{"a job ahead", []step{pays(10_000, 0), aJob("a", 300)}, 400, 0},
		{"part of it paid", []step{aJob("a", 300), pays(12_000, 1)}, 300, 0},
		{"more paid than it should cost", []step{aJob("a", 300), pays(35_000, 1)}, 350, 0},
		{"an old part sold on it", []step{aJob("a", 300), pays(-5_000, 1, func(e *rebuild.Entry) { e.Kind = rebuild.EntrySale })}, 250, 0},
		{"a part sent back", []step{aJob("a", 300), pays(20_000, 1), pays(-20_000, 1)}, 300, 0},
		{"done, cost in the ledger", []step{aJob("a", 300, inState(rebuild.JobDone)), pays(8_000, 1)}, 80, 0},
		{"done, nothing written down", []step{aJob("a", 300, inState(rebuild.JobProven))}, 300, 0},
		{"done, nothing written down but an old part sold", []step{aJob("a", 300, inState(rebuild.JobProven)), pays(-5_000, 1, func(e *rebuild.Entry) { e.Kind = rebuild.EntrySale })}, 250, 0},
		{"done and cost nothing", []step{aJob("a", 300, inState(rebuild.JobDone), func(j *rebuild.Job) { j.CostNothing = true })}, 0, 0},
		{"done, unwritten: its fallback was not needed", []step{aJob("a", 300, inState(rebuild.JobDone), mayFail(0.5, 700))}, 300, 0},
		{"done, unwritten, failed", []step{aJob("a", 300, inState(rebuild.JobDone), mayFail(0.5, 700), func(j *rebuild.Job) { j.Failed = true })}, 1000, 0},
		{"ahead and known to have failed", []step{aJob("a", 300, mayFail(0.5, 700), func(j *rebuild.Job) { j.Failed = true })}, 1000, 0},
		{"dropped after a part was bought", []step{aJob("a", 300, inState(rebuild.JobDropped)), pays(4_000, 1)}, 40, 0},
		{"may fail: 300 + 0.4 x 700", []step{aJob("a", 300, mayFail(0.6, 700))}, 580, 4 * 700 * 0.4899 / math.Sqrt(usualTrials)},
		{"may not be needed: 0.5 x 300", []step{aJob("a", 300, func(j *rebuild.Job) { j.Needed = 0.5 })}, 150, 4 * 300 * 0.5 / math.Sqrt(usualTrials)},
		{"being done, so needed", []step{aJob("a", 300, inState(rebuild.JobDoing), func(j *rebuild.Job) { j.Needed = 0.5 })}, 300, 0},
		{"no route chosen: the cheapest", []step{aJob("a", 300, func(j *rebuild.Job) {
			j.Chosen, j.Routes = 0, append(j.Routes, aRoute("other", uncertain.Certain(200)))
		})}, 200, 0},
		{"no route at all", []step{aJob("a", 300, func(j *rebuild.Job) { j.Chosen, j.Routes = 0, nil })}, 0, 0},
		{"hidden: 2 x (1 - 0.75) x 400", []step{
			hides("boot", 2, uncertain.Certain(400)), func(r *rebuild.Rebuild) (rebuild.Change, error) {
				z := *r.Zone("boot")
				z.OpenShare = 0.75
				return r.EditZone(z)
			},
		}, 200, 4 * 400 * math.Sqrt(0.5) / math.Sqrt(usualTrials)},
		{"own hours at 20: 300 + 5 x 20, of which 2 done", []step{
			withCar(func(c *rebuild.Car) { c.HourValue = amount.New(2_000, "GBP") }),
			aJob("a", 300, func(j *rebuild.Job) { j.Routes[0].Hours, j.HoursSpent = uncertain.Certain(5), 2 }),
		}, 400, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := look(t, stand(t, tt.steps...)).Total.Mean; math.Abs(got-tt.wantTotal) > tt.tolerance+1e-9 {
				t.Errorf("total %.4f, want %.4f", got, tt.wantTotal)
			}
		})
	}
}

func TestHoursLeftByHand(t *testing.T) {
	hours := func(planned, spent float64) func(*rebuild.Job) {
		return func(j *rebuild.Job) { j.Routes[0].Hours, j.HoursSpent = uncertain.Certain(planned), spent }
	}
	r := stand(t, aJob("a", 1, hours(5, 2)), aJob("b", 1, hours(3, 4)), aJob("c", 1, hours(7, 7), inState(rebuild.JobDone)), aJob("d", 1, hours(6, 0), inState(rebuild.JobDropped)))
	if o := look(t, r); o.Hours.Mean != 3 || o.HoursSpent != 13 {
		t.Errorf("%g h left and %g spent, want 3 and 13", o.Hours.Mean, o.HoursSpent)
	}
}

// Independent normals: the mean is the sum of the means, the variance that of
// the variances; a symmetric range has sd (high - low)/(2 x 1.28155).
func TestSumOfIndependentNormals(t *testing.T) {
	steps := []step{withCar(func(c *rebuild.Car) { c.Correlation = 0 }), pays(100_000, 0)}
	mean, variance := 1000.0, 0.0
	for i := range 12 {
		likely, half := 500+40*float64(i), 30+5*float64(i)
		steps = append(steps, aJob("a", 0, func(j *rebuild.Job) {
			j.Routes[0].Cost = uncertain.Range{Low: likely - half, Likely: likely, High: likely + half}
		}))
		mean += likely
		variance += half * half / (1.2815515655 * 1.2815515655)
	}
	o := look(t, stand(t, steps...))
	sd, root := math.Sqrt(variance), math.Sqrt(float64(o.Trials))
	for _, c := range []struct {
		what                  string
		got, want, fourErrors float64
	}{
		{"mean", o.Total.Mean, mean, 4 * sd / root},
		{"sd", o.Total.SD, sd, 4 * sd / (math.Sqrt2 * root)},
		{"p10", o.Total.P10, mean - 1.2815515655*sd, 4 * sd * 1.71 / root},
		{"p90", o.Total.P90, mean + 1.2815515655*sd, 4 * sd * 1.71 / root},
	} {
		if math.Abs(c.got-c.want) > c.fourErrors {
			t.Errorf("%s %.2f, want %.2f within %.2f", c.what, c.got, c.want, c.fourErrors)
		}
	}
}

func TestOwnRecord(t *testing.T) {
	uncertainCost := func(j *rebuild.Job) { j.Routes[0].Cost = uncertain.Range{Low: 80, Likely: 100, High: 150} }
	failed := func(j *rebuild.Job) { j.Failed = true }
	r := stand(
		t,
		aJob("scored", 0, uncertainCost, inState(rebuild.JobDone)), pays(14_000, 1), pays(-3_000, 1, func(e *rebuild.Entry) { e.Kind = rebuild.EntrySale }),
		aJob("no cost", 0, uncertainCost, inState(rebuild.JobDone)),
		aJob("failed", 0, uncertainCost, mayFail(0.5, 100), failed, inState(rebuild.JobDone)), pays(10_000, 7),
		aJob("certain", 100, inState(rebuild.JobDone)), pays(10_000, 10),
		aJob("ahead", 0, uncertainCost), pays(5_000, 13),
	)
	closed := translate(r).Closed
	if len(closed) != 1 || closed[0].Actual != 140 || closed[0].High != 150 {
		t.Errorf("own record %+v (jobs %v), want one of 140", closed, r.Jobs)
	}
}

func TestGapsAreSaidAloud(t *testing.T) {
	noRoute := func(j *rebuild.Job) { j.Chosen, j.Routes = 0, nil }
	r := stand(
		t, aJob("a", 0, noRoute), aJob("b", 0, noRoute, inState(rebuild.JobDone)), aJob("c", 5, func(j *rebuild.Job) { j.Chosen = 0 }),
		aFinding("loose", rebuild.Minor, false), pays(1_000, 0), pays(1_000, 0, func(e *rebuild.Entry) { e.General = true }),
	)
	o := look(t, r)
	if got := jobNames(o.Gaps.JobsWithoutFigure); !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("without a figure: %v", got)
	}
	want := []string{
		"Not in the total: 2 jobs have no figure yet, 1 finding has no job yet.",
		"1 finished job has no cost written down and is counted with the estimate.",
		"1 cost belongs to no job: if one was for a job ahead, that job is counted twice.",
		"1 job has no route chosen and is planned with the cheapest.",
	}
	if !slices.Equal(o.Gaps.Sentences(), want) {
		t.Errorf("%q", o.Gaps.Sentences())
	}
	if !slices.Contains(o.Cautions, want[0]) {
		t.Errorf("the outlook does not say it: %q", o.Cautions)
	}
}

func TestTrialsFor(t *testing.T) {
	for _, tt := range []struct{ items, want int }{{0, 20_000}, {40, 20_000}, {200, 5_000}, {2_000, 1_000}, {9_000, 1_000}} {
		if got := trialsFor(tt.items); got != tt.want {
			t.Errorf("%d items: %d trials, want %d", tt.items, got, tt.want)
		}
	}
}

// anyStand draws a rebuild with jobs in all states.
func anyStand(t *rapid.T, tb testing.TB) *rebuild.Rebuild {
	var steps []step
	for range rapid.IntRange(1, 6).Draw(t, "jobs") {
		likely := rapid.Float64Range(10, 1000).Draw(t, "likely")
		low, high := likely*rapid.Float64Range(0.5, 1).Draw(t, "low"), likely*rapid.Float64Range(1, 2).Draw(t, "high")
		state := rapid.SampledFrom(rebuild.JobStates).Draw(t, "state")
		works := rapid.Float64Range(0, 1).Draw(t, "works")
		needed := rapid.SampledFrom([]float64{1, 1, 0.6}).Draw(t, "needed")
		steps = append(steps, aJob("job", 0, mayFail(works, 2*likely), inState(state), func(j *rebuild.Job) {
			j.Routes[0].Cost, j.Needed = uncertain.Range{Low: low, Likely: likely, High: high}, needed
		}))
	}
	if rapid.Bool().Draw(t, "hidden") {
		steps = append(steps, hides("boot", 2, uncertain.Range{Low: 50, Likely: 100, High: 400}))
	}
	return stand(tb, steps...)
}

func TestPaymentsMoveTheTotalByNoMoreThanThemselves(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		before := anyStand(rt, t)
		minor := rapid.Int64Range(1, 200_000).Draw(rt, "minor")
		was := look(t, before).Total
		general := look(t, more(t, before, pays(minor, 0, func(e *rebuild.Entry) { e.General = true }))).Total
		sum := float64(minor) / 100
		for _, p := range []struct{ was, is float64 }{{was.Mean, general.Mean}, {was.P10, general.P10}, {was.P90, general.P90}} {
			if math.Abs(p.is-p.was-sum) > 1e-6 {
				rt.Fatalf("a cost of %.2f on no job moved the total by %.6f", sum, p.is-p.was)
			}
		}
		j := rapid.SampledFrom(before.Jobs).Draw(rt, "job")
		if !j.Ahead() {
			return
		}
		paid := look(t, more(t, before, pays(minor, j.ID))).Total
		if rise := paid.Mean - was.Mean; rise < -1e-6 || rise > sum+1e-6 {
			rt.Fatalf("%.2f paid on a job ahead moved the total by %.6f", sum, rise)
		}
	})
}

func TestDroppingAJobNeverMakesTheCarDearer(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		before := anyStand(rt, t)
		j := rapid.SampledFrom(before.Jobs).Draw(rt, "job")
		after := more(t, before, func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.SetOutcome(j.ID, j.Rev, rebuild.Outcome{State: rebuild.JobDropped})
		})
		was, is := look(t, before), look(t, after)
		if is.Total.Mean > was.Total.Mean+1e-6 {
			rt.Fatalf("%.4f became %.4f", was.Total.Mean, is.Total.Mean)
		}
		// All other jobs keep their draws, and so their figures to the last digit.
		for _, d := range is.Drivers {
			if d.JobID != 0 && d.Expected != was.JobDriver(d.JobID).Expected {
				rt.Fatalf("dropping job %d changed job %d: %v, %v", j.ID, d.JobID, was.JobDriver(d.JobID).Expected, d.Expected)
			}
		}
	})
}
