package workshop

import (
	"math"
	"slices"
	"strings"
	"testing"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// slow is an invented symptom with two faults, a test that tells them apart, one
// measured test and a repair of each.
const slow = `
title: Window winds slowly
zone: left-door
symptom: window winds slowly
currency: GBP
hour_value: 30
several: 1
cautions: [springs]
faults:
  - {id: dry, name: dry runners, prior: 0.6, shared: runner}
  - {id: motor, name: tired motor, prior: 0.3}
  - {id: other, name: something else, prior: 0.1}
tests:
  - id: hand
    name: Move the glass by hand
    how: With the arm off.
    cost: 0
    minutes: 20
    outcomes: {dry: {stiff: 0.9, free: 0.1}, motor: {stiff: 0.1, free: 0.9}, other: {stiff: 0.5, free: 0.5}}
    outcome_names: {stiff: it is stiff, free: it runs freely}
  - id: current
    name: Measure the current
    unit: A
    instrument: recharge
    figure: Mean interval
    cost: 5
    minutes: 10
    measured: {dry: {median: 12, spread: 1.2}, motor: {median: 7, spread: 1.3}, other: {median: 9, spread: 1.5}}
repairs:
  - {id: clean, name: Clean and grease the runners, cost: 10, minutes: 60, fixes: {dry: 0.95}, kind: repair}
  - {id: renew, name: New motor, cost: 150, minutes: 120, fixes: {motor: 0.97}, kind: new}
replace_all: {name: complete regulator, cost: 600, minutes: 180}
`

// slowAgain is the same with a fresh reading each time the current is measured.
var slowAgain = strings.Replace(slow, "    unit: A\n", "    unit: A\n    repeatable: true\n", 1)

// sticks is another with the same runners.
const sticks = `
symptom: window sticks half way
currency: GBP
hour_value: 30
several: 1
faults:
  - {id: runners, name: dry runners, prior: 0.5, shared: runner}
  - {id: glass, name: glass out of line, prior: 0.5}
tests:
  - id: look
    cost: 0
    minutes: 10
    outcomes: {runners: {worn: 0.9, sound: 0.1}, glass: {worn: 0.1, sound: 0.9}}
repairs:
  - {id: grease, cost: 10, minutes: 60, fixes: {runners: 0.95}}
  - {id: line, cost: 20, minutes: 60, fixes: {glass: 0.95}}
replace_all: {cost: 900, minutes: 180}
`

func opens(k rebuild.Case) step {
	if k.On == "" {
		k.On = today
	}
	if k.Title == "" {
		k.Title = "Window winds slowly"
	}
	if k.State == "" {
		k.State = rebuild.CaseOpen
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddCase(k) }
}

func tested(what, outcome string) rebuild.CaseStep {
	return rebuild.CaseStep{At: "2026-06-29T10:00:00Z", Kind: rebuild.StepTest, What: what, Outcome: outcome}
}

func measured(what string, value, sd float64) rebuild.CaseStep {
	return rebuild.CaseStep{At: "2026-06-29T10:00:00Z", Kind: rebuild.StepTest, What: what, Value: &value, ValueSD: sd}
}

func mended(what string, cured bool) rebuild.CaseStep {
	return rebuild.CaseStep{At: "2026-06-29T12:00:00Z", Kind: rebuild.StepRepair, What: what, Cured: cured}
}

// diagnosed weighs the rebuild's case at that place.
func diagnosed(t testing.TB, r *rebuild.Rebuild, at int) *Diagnosis {
	t.Helper()
	d, err := open(t).Diagnose(t.Context(), r, &r.Cases[at])
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func fault(t testing.TB, d *Diagnosis, id string) FaultChance {
	t.Helper()
	f := d.Fault(id)
	if f == nil {
		t.Fatalf("there is no fault %q: %v", id, d.Wrong)
	}
	return *f
}

// By hand: stiff has 0.6 x 0.9 + 0.3 x 0.1 + 0.1 x 0.5 = 0.62, so dry runners are
// 0.54/0.62. Cleaned without a cure, they are 0.027/0.107 of what is left.
func TestTrailMovesTheChances(t *testing.T) {
	r := stand(t, opens(rebuild.Case{Model: slow, Steps: []rebuild.CaseStep{tested("hand", "stiff"), mended("clean", false)}}))
	d := diagnosed(t, r, 0)
	dry := fault(t, d, "dry")
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"before anything", dry.Prior, 0.6}, {"after the test", *dry.Before, 0.54 / 0.62}, {"after the repair", dry.Chance, 0.027 / 0.107},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s: %.15g, want %.15g", c.what, c.got, c.want)
		}
	}
	if len(d.Trail) != 2 || d.Trail[0].Came != "it is stiff" || d.Trail[0].Likeliest != "dry runners" || d.Trail[1].Came != "still there" || d.Trail[1].Name != "Clean and grease the runners" {
		t.Errorf("the trail is %+v", d.Trail)
	}
	if d.Next == nil || d.Next.ID == "clean" || d.Next.ID == "hand" {
		t.Errorf("next is %+v: it was done", d.Next)
	}
	if d.Whole.Total != 600+3*30 || d.Money.OwnHour {
		t.Errorf("the whole unit is %+v, money %+v", d.Whole, d.Money)
	}
}

// What the page advises is what the engine says of the file that it gives out.
func TestAdviceIsThatOfTheFile(t *testing.T) {
	model, ok := knowledge.FaultModelFor("hydraulic-recharge")
	if !ok {
		t.Fatal("the fault model is gone")
	}
	r := stand(t, opens(rebuild.Case{Model: string(model.YAML), NotNow: []string{"precharge", "specialist"}, Steps: []rebuild.CaseStep{measured("interval", 74, 4), tested("wet", "dry")}}))
	d := diagnosed(t, r, 0)
	text, err := d.Asked.YAML()
	if err != nil {
		t.Fatal(err)
	}
	read, err := faultmodel.Parse("case.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	a, err := diagnose.Advise(t.Context(), read.Case)
	if err != nil {
		t.Fatal(err)
	}
	if a.Next.ID != d.Next.ID || math.Abs(a.ExpectedCost-d.Advice.ExpectedCost) > 1e-6*a.ExpectedCost {
		t.Errorf("the file gives %+v, the page %+v", a.Next, d.Advice.Next)
	}
	if d.Money.Currency != "GBP" || d.Money.Rate != 1/1.2 || d.Money.AsAt == "" {
		t.Errorf("money: %+v", d.Money) // EUR to GBP by the rough rates of the knowledge
	}
	for _, c := range append(d.Others, *d.Next) {
		if c.ID == "precharge" || c.ID == "specialist" {
			t.Errorf("%s is advised although it cannot be done now", c.ID)
		}
	}
	if len(d.LeftOut) != 2 || d.LeftOut[0].Name != "Pre-charge of the accumulator from a cold fill" {
		t.Errorf("left out: %+v", d.LeftOut)
	}
}

// What cannot be done now keeps what it said before, and is not advised again.
func TestLeftOutKeepsItsEvidence(t *testing.T) {
	steps := []rebuild.CaseStep{measured("current", 12, 0), measured("current", 11, 0)}
	r := stand(t, opens(rebuild.Case{Model: slowAgain, Steps: steps}), opens(rebuild.Case{Model: strings.ReplaceAll(slowAgain, "shared: runner", "shared: none"), Steps: steps, NotNow: []string{"current"}, State: rebuild.CaseOpen}))
	with, without := diagnosed(t, r, 0), diagnosed(t, r, 1)
	if a, b := fault(t, with, "dry").Chance, fault(t, without, "dry").Chance; math.Abs(a-b) > 1e-12 {
		t.Errorf("left out, the two readings say %g instead of %g", b, a)
	}
	offered := func(d *Diagnosis) bool {
		return slices.ContainsFunc(append(d.Others, *d.Next), func(c Choice) bool { return strings.HasPrefix(c.ID, "current") })
	}
	if !offered(with) || offered(without) {
		t.Errorf("the repeatable test is advised: %t with, %t without", offered(with), offered(without))
	}
}

// A model edited after the trail began: what has no place in it any more is shown
// and not counted.
func TestStepsThatNoLongerFit(t *testing.T) {
	r := stand(t, opens(rebuild.Case{Model: slow, Steps: []rebuild.CaseStep{
		tested("gone", "stiff"), tested("hand", "loose"), tested("hand", "stiff"), tested("hand", "stiff"), mended("clean", false), mended("clean", false), tested("current", "high"),
	}}))
	d := diagnosed(t, r, 0)
	for i, unfit := range []bool{true, true, false, true, false, true, true} {
		if (d.Trail[i].Unfit != "") != unfit {
			t.Errorf("step %d: %q", i+1, d.Trail[i].Unfit)
		}
	}
	if got := fault(t, d, "dry").Chance; math.Abs(got-0.027/0.107) > 1e-12 {
		t.Errorf("dry runners are %g", got)
	}
}

// A gauge that shows 0 is common; the entry says what to write instead, before the
// case cannot be weighed at all.
func TestNoughtOfALognormalReading(t *testing.T) {
	w := open(t)
	gauge := strings.Replace(slow, "motor: {median: 7, spread: 1.3}", "motor: {mean: 7, sd: 2}", 1)
	for _, c := range []struct {
		model string
		value float64
		fits  bool
		sd    float64
	}{{slow, 0, false, 0}, {slow, -1, false, 0}, {slow, -1, false, 0.5}, {slow, 0.1, true, 0}, {slow, 0, true, 0.5}, {gauge, 0, true, 0}} {
		step := rebuild.CaseStep{Kind: rebuild.StepTest, What: "current", Value: &c.value, ValueSD: c.sd}
		err := w.StepFits(&rebuild.Case{Model: c.model}, step)
		if (err == nil) != c.fits || err != nil && !strings.Contains(err.Error(), "the least that it can show") {
			t.Errorf("%g gives %v", c.value, err)
		}
	}
}

// What would change the advice is told in words; a move too small to see is told as
// one.
func TestFlipsInWords(t *testing.T) {
	model, err := open(t).Model(slow)
	if err != nil {
		t.Fatal(err)
	}
	q, a := question{model: model}, diagnose.Advice{Currency: "GBP"}
	to := diagnose.Action{Kind: diagnose.KindReplace, ID: diagnose.WholeUnit}
	for _, c := range []struct {
		flip diagnose.Flip
		want string
	}{
		{diagnose.Flip{Input: "hour_value", Now: 20, FlipsAt: 30, Beyond: diagnose.Above}, "%s would come first if %s were above %s; now it is %s."},
		{diagnose.Flip{Input: "tests.hand.cost", Now: 20, FlipsAt: 10, Beyond: diagnose.Below}, "%s would come first if %s were below %s; now it is %s."},
		{diagnose.Flip{Input: "faults.dry.prior", Now: 0.2, FlipsAt: 0.2, Beyond: diagnose.Below}, "%s costs as good as the same on average; it would come first if %s were any less likely than the %s it is now."},
		{diagnose.Flip{Input: "tests.hand.minutes", Now: 0, FlipsAt: 0, Beyond: diagnose.Above}, "%s costs as good as the same on average; it would come first if %s were any more than the %s it is now."},
		{diagnose.Flip{Input: "tests.none.cost"}, ""},
	} {
		c.flip.To = to
		if got := q.flip(c.flip, &a).Pattern; got != c.want {
			t.Errorf("%s: %q\nexpected %q", c.flip.Input, got, c.want)
		}
	}
}

// What the model rules out is told with the step, and no advice is made up.
func TestWhatCannotBe(t *testing.T) {
	certain := strings.ReplaceAll(slow, "{stiff: 0.9, free: 0.1}", "{stiff: 1, free: 0}")
	certain = strings.ReplaceAll(certain, "{stiff: 0.1, free: 0.9}", "{stiff: 1, free: 0}")
	certain = strings.ReplaceAll(certain, "{stiff: 0.5, free: 0.5}", "{stiff: 1, free: 0}")
	r := stand(t, opens(rebuild.Case{Model: certain, Steps: []rebuild.CaseStep{tested("gone", "x"), tested("hand", "free")}}), opens(rebuild.Case{Model: "faults: 3\n"}), opens(rebuild.Case{Model: slow, NotNow: []string{"replace_all"}}))
	if d := diagnosed(t, r, 0); d.Wrong == nil || !strings.Contains(d.Wrong.Error(), "step 2 of the trail") || d.Advice != nil {
		t.Errorf("an impossible outcome gives %v", d.Wrong)
	}
	if d := diagnosed(t, r, 1); d.Wrong == nil || !strings.Contains(d.Wrong.Error(), ":1:") {
		t.Errorf("an unreadable model gives %v", d.Wrong)
	}
	if d := diagnosed(t, r, 2); d.Wrong == nil || len(d.LeftOut) != 1 {
		t.Errorf("with nothing that cures “something else”: %v, left out %+v", d.Wrong, d.LeftOut)
	}
}

func TestMeasurementIsOfferedNotCounted(t *testing.T) {
	keep := func(on string, value float64, unit string) step {
		low, high := value-1.959964, value+1.959964
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddEvidence(rebuild.Evidence{
				On: on, Instrument: rebuild.InstrumentRecharge, Title: "Timed " + on, Verdict: rebuild.VerdictFail, Why: "as measured", Engine: "recharge 1",
				Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: value, Low: &low, High: &high, Unit: unit}},
			})
		}
	}
	r := stand(t, keep("2026-06-03", 9, "A"), keep("2026-06-01", 5, "A"), keep("2026-06-09", 400, "bar"), opens(rebuild.Case{Model: slowAgain}))
	d := diagnosed(t, r, 0)
	if f := fault(t, d, "dry"); f.Chance != f.Prior || f.Before != nil {
		t.Error("a measurement counted without being taken")
	}
	find := func(d *Diagnosis) *Offer {
		for _, c := range append(d.Others, *d.Next) {
			if c.ID == "current" {
				return c.Offer
			}
		}
		return nil
	}
	o := find(d)
	if o == nil || o.Evidence.On != "2026-06-03" || o.Value != 9 || math.Abs(o.SD-1) > 1e-12 {
		t.Fatalf("offered is %+v; want the newest in the test's unit", o)
	}
	used := measured("current", 9, 1)
	used.EvidenceID = o.Evidence.ID
	r = more(t, r, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		k := r.Cases[0]
		k.Steps = append(k.Steps, used)
		return r.EditCase(k)
	})
	if next := find(diagnosed(t, r, 0)); next == nil || next.Evidence.On != "2026-06-01" {
		t.Errorf("after it was taken %+v is offered", next)
	}
}

// Two open cases with one fault in common, against the formula of the decision
// note by hand: Z = 0.6 x 0.5, the other's runners after "worn" are 0.9.
func TestOpenCasesMoveEachOther(t *testing.T) {
	for _, together := range []bool{false, true} {
		r := stand(t, opens(rebuild.Case{Model: slow, Together: together}), opens(rebuild.Case{Model: sticks, Title: "Window sticks", Steps: []rebuild.CaseStep{tested("look", "worn")}}))
		s := map[bool]float64{false: 0.1, true: 0.5}[together]
		l := 1 - s + s*0.9/0.3
		want := 0.6 * l / (0.6*l + 0.4*(1-s))
		d := diagnosed(t, r, 0)
		if got := fault(t, d, "dry").Chance; math.Abs(got-want) > 1e-12 {
			t.Errorf("together %t: dry runners are %g, want %g", together, got, want)
		}
		if len(d.Shared) != 1 || !d.Shared[0].Counts || d.Shared[0].Same != s || !slices.Equal(d.Shared[0].Names, []string{"dry runners"}) {
			t.Errorf("shared: %+v", d.Shared)
		}
	}
}

// A cause that was mended elsewhere is asked about and counts for nothing by
// itself.
func TestCauseMendedElsewhere(t *testing.T) {
	r := stand(t, opens(rebuild.Case{Model: slow}), opens(rebuild.Case{Model: sticks, State: rebuild.CaseSolved, Cause: "runners", Steps: []rebuild.CaseStep{mended("grease", true)}}))
	d := diagnosed(t, r, 0)
	if len(d.Shared) != 1 || d.Shared[0].Counts || d.Shared[0].Mended == nil || d.Shared[0].Mended.ID != "dry" || d.Shared[0].Repair != "clean" {
		t.Fatalf("shared: %+v", d.Shared)
	}
	if f := fault(t, d, "dry"); f.Chance != 0.6 {
		t.Errorf("dry runners are %g", f.Chance)
	}
}

func TestLicensedPracticeOnly(t *testing.T) {
	r := stand(t, opens(rebuild.Case{Model: strings.Replace(slow, "several: 1", "several: 1\nstop: restraints", 1)}))
	d := diagnosed(t, r, 0)
	if d.Stop == nil || d.Stop.Text == "" || d.Next != nil || d.Advice != nil || len(d.Others) > 0 {
		t.Errorf("a model that stops gives %+v", d)
	}
}

func TestHourAndCurrency(t *testing.T) {
	own := withCar(func(c *rebuild.Car) { c.HourValue = amount.New(4_500, "GBP") })
	r := stand(t, own, opens(rebuild.Case{Model: slow}), opens(rebuild.Case{Model: strings.Replace(slow, "currency: GBP", "currency: XAF", 1)}))
	if m := diagnosed(t, r, 0).Money; m.HourValue != 45 || !m.OwnHour || m.Foreign {
		t.Errorf("the car's own hour: %+v", m)
	}
	if m := diagnosed(t, r, 1).Money; m.Currency != "XAF" || m.HourValue != 30 || m.OwnHour || !m.Foreign {
		t.Errorf("a currency without a rate: %+v", m)
	}
}

func TestJobOfACase(t *testing.T) {
	r := stand(t, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{What: "Window crawls", Zone: "left-door", On: today, HowFound: rebuild.Seen, Severity: rebuild.Minor})
	})
	finding := r.Findings[0].ID
	r = more(t, r, opens(rebuild.Case{Model: slow, Findings: []int64{finding}, State: rebuild.CaseSolved, Cause: "dry", Steps: []rebuild.CaseStep{mended("clean", true)}}))
	w := open(t)
	job, err := w.JobOfCase(r, &r.Cases[0], "dry")
	if err != nil {
		t.Fatal(err)
	}
	change, err := AddJobOfCase(r, r.Cases[0], job)
	if err != nil {
		t.Fatal(err)
	}
	after, err := r.Apply(change)
	if err != nil {
		t.Fatal(err)
	}
	j := after.Jobs[0]
	if j.State != rebuild.JobDone || j.DoneOn != "2026-06-29" || !slices.Equal(j.Findings, []int64{finding}) || j.Reference.Float() != 600 || j.Zone != "left-door" {
		t.Errorf("the job is %+v", j)
	}
	route := j.ChosenRoute()
	if route == nil || route.Kind != rebuild.Repair || route.Works != 0.95 || route.Cost.Likely != 10 || route.Cost.Low != 7.5 || route.Cost.High != 15 || route.Hours.Likely != 1 || route.Fallback == nil {
		t.Errorf("the route is %+v", route)
	}
	if len(j.Routes) != 2 || j.Routes[1].Name != "complete regulator" || !slices.Equal(after.Cases[0].Jobs, []int64{j.ID}) {
		t.Errorf("routes %+v, the case names %v", j.Routes, after.Cases[0].Jobs)
	}
	back, err := change.Inverse(after)
	if err != nil {
		t.Fatal(err)
	}
	undone, err := after.Apply(back)
	if err != nil || len(undone.Jobs) != 0 || len(undone.Cases[0].Jobs) != 0 {
		t.Errorf("one undo leaves %d jobs (%v)", len(undone.Jobs), err)
	}
	if _, err := w.JobOfCase(r, &r.Cases[0], "ghost"); err == nil {
		t.Error("a job of a fault that is not there")
	}
}

// A job can be made of every fault of every fault model of the knowledge.
func TestJobOfEveryFault(t *testing.T) {
	w := open(t)
	for _, m := range knowledge.FaultModels() {
		r := stand(t, opens(rebuild.Case{Model: string(m.YAML)}))
		model, err := w.Model(string(m.YAML))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range model.Case.Faults {
			job, err := w.JobOfCase(r, &r.Cases[0], f.ID)
			if err == nil {
				_, err = AddJobOfCase(r, r.Cases[0], job)
			}
			if err != nil {
				t.Errorf("%s, %s: %v", m.Key, f.ID, err)
			}
		}
	}
}

func TestOpenCasesStandAmongTheNextSteps(t *testing.T) {
	r := stand(t, opens(rebuild.Case{Model: slow}), opens(rebuild.Case{Model: "faults: 3\n", Title: "Broken"}))
	actions, err := open(t).Next(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	d := diagnosed(t, r, 0)
	var of []Action
	for _, a := range actions {
		if a.Kind == FindOut {
			of = append(of, a)
		}
	}
	if len(of) != 2 || of[0].Title != d.Next.Name+" (Window winds slowly)" || of[0].Target != (Target{Page: "case", ID: r.Cases[0].ID}) || of[0].Stake != *d.Advice.ExpectedSaving || !slices.Contains(of[0].Hazards, "springs") {
		t.Errorf("next: %+v", of)
	}
	if of[1].Title != `Put the case "Broken" right` {
		t.Errorf("second: %+v", of[1])
	}
}
