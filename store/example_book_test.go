package store_test

import (
	"context"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

var makeExample = flag.Bool("make-example-book", false, "write the example book of the present form into testdata, once when the form is released")

// TestMakeExampleBook wrote testdata/book-form-7, book-form-6 while there was no
// plan, book-form-5 while there were no gates, book-form-4 while there was no strip trail, book-form-3 while there were
// no diagnoses, book-form-2 while there were no measurements and book-form-1 while
// there were no appraisals; it is kept to show what is in there and to make that
// of the next form. All of it is invented.
func TestMakeExampleBook(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "book-form-7")
	if *makeExample {
		dir = filepath.Join("testdata", "book-form-7")
	}
	ctx := context.Background()
	clock := time.Date(2026, 1, 5, 18, 0, 0, 0, time.UTC)
	b, err := store.Open(ctx, dir, store.Options{Now: func() time.Time { clock = clock.Add(26 * time.Hour); return clock }})
	must(t, err)
	fillExample(t, b)
	fillAppraisals(t, b)
	fillEvidence(t, b)
	fillCases(t, b)
	fillStrip(t, b)
	fillProof(t, b)
	fillPlan(t, b)
	must(t, b.Close())
	if *makeExample {
		must(t, os.Remove(filepath.Join(dir, "lock")))
		must(t, os.Remove(filepath.Join(dir, "files", ".incoming")))
	}
}

func fillExample(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	photo, err := b.PutFile(ctx, strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><circle cx="2" cy="1.5" r="1"/></svg>`), "bent-hub.svg", "", 0)
	must(t, err)
	r := start(t, b)
	hub := finding("the front left hub sits askew")
	hub.Zone, hub.Severity, hub.Safety, hub.Photos = "front-left-corner", rebuild.Danger, true, []rebuild.Attachment{photo}
	do(t, b, r.ID, addFinding(hub))
	do(t, b, r.ID, addFinding(finding("bonnet dented at the left edge")))
	lamp := finding("left lamp: two of three lugs broken")
	lamp.Dismissed = "came with a spare lamp"
	do(t, b, r.ID, addFinding(lamp))
	job := hubJob(1)
	job.Chosen = 1
	r, _ = do(t, b, r.ID, addJob(job))
	paint := rebuild.Job{Title: "Straighten and paint the bonnet", Zone: "bonnet", Findings: []int64{2}, Stage: 8, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen}
	r, _ = do(t, b, r.ID, addJob(paint))
	for _, e := range []rebuild.Entry{
		{On: "2026-01-06", Amount: amount.New(850_000, "GBP"), Kind: rebuild.EntryPurchase, Supplier: "Harbour Salvage", What: "the car"},
		{On: "2026-01-20", Amount: amount.New(12_000, "GBP"), Tax: amount.New(2_000, "GBP"), Kind: rebuild.EntryPart, Supplier: "Moor Breakers", What: "used hub", JobID: r.Jobs[0].ID, Receipts: []rebuild.Attachment{photo}},
		{On: "2026-01-21", Amount: amount.New(19_240, "GBP"), Kind: rebuild.EntryTransport, What: "=trailer for two days", General: true},
	} {
		r, _ = do(t, b, r.ID, addEntry(e))
	}
	zone := r.Zones[5]
	zone.OpenShare, zone.HiddenExpected, zone.HiddenCost = 0.5, 2, hubJob().Routes[0].Cost
	r, _ = do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditZone(zone) })
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.SetOutcome(r.Jobs[0].ID, r.Jobs[0].Rev, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-01-24", HoursSpent: 3.5, Proof: "run-out 0.02 mm at the rim", Proofs: []rebuild.Attachment{photo}})
	})
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.DeleteFinding(2, 0) })
	_, _, err = b.Undo(ctx, me, r.ID, 0)
	must(t, err)
	chance := 0.62
	must(t, b.KeepMark(ctx, r.ID, store.Mark{On: "2026-01-24", Spent: 8812.4, Mean: 31200, P10: 27000, P50: 30900, P80: 33500, P90: 36000, ChanceUnder: &chance, Version: r.Version}))
	must(t, b.SetSetting(ctx, "language", "en-GB"))
}

// fillAppraisals enters a second car that was appraised and bought, and a third
// that is a candidate still.
func fillAppraisals(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	tern := skua
	tern.Name, tern.Model, tern.Year, tern.Ceiling, tern.Candidate = "Tern", "Tern", 2012, amount.Amount{}, true
	r, err := b.Start(ctx, me, tern)
	must(t, err)
	seen := finding("right sill pushed in")
	seen.Zone = "right-sill"
	do(t, b, r.ID, addFinding(seen))
	do(t, b, r.ID, editAppraisal(exampleAppraisal()))
	do(t, b, r.ID, buyExample)
	tern.Name = "Tern, the blue one"
	_, err = b.Start(ctx, me, tern)
	must(t, err)
}

// fillEvidence enters a fourth car with a pump that was timed before and after
// its accumulator was renewed; the second measurement proves the job.
func fillEvidence(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	taps, err := b.PutFile(ctx, strings.NewReader("pump_on_s,pump_off_s\n0,6\n95,101\n190,196\n"), "taps.csv", "text/csv", 0)
	must(t, err)
	petrel := skua
	petrel.Name, petrel.Model, petrel.Ceiling = "Petrel", "Petrel", amount.Amount{}
	r, err := b.Start(ctx, me, petrel)
	must(t, err)
	job := rebuild.Job{Title: "Renew the accumulator", Stage: 6, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen}
	r, _ = do(t, b, r.ID, addJob(job))
	id := r.Jobs[0].ID
	low, high := 88.0, 102.0
	before := rebuild.Evidence{
		On: "2026-02-14", At: "2026-02-14T18:03:07+01:00", Instrument: rebuild.InstrumentRecharge, Title: "Pump timed", JobID: id, Phase: rebuild.PhaseBefore,
		Raw: []rebuild.Attachment{taps}, Settings: `{"ambient_c":15}`, Verdict: rebuild.VerdictFail, Why: "the pump starts again within two minutes",
		Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: 95, Low: &low, High: &high, Unit: "s"}, {Name: "Intervals", Value: 2}},
		Engine:  "recharge 1", Note: "engine off, nothing operated",
	}
	after := before
	after.On, after.At, after.Phase, after.Verdict, after.Why = "2026-02-21", "", rebuild.PhaseAfter, rebuild.VerdictPass, "the pump rests for six minutes"
	after.Figures = []rebuild.EvidenceFigure{{Name: "Mean interval", Value: 372, Unit: "s"}}
	for _, e := range []rebuild.Evidence{before, after} {
		do(t, b, r.ID, addEvidence(e))
	}
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.SetOutcome(id, 0, rebuild.Outcome{State: rebuild.JobProven, DoneOn: "2026-02-21", HoursSpent: 2})
	})
}

// exampleModel is the fault model of the example's first case.
const exampleModel = `symptom: the radio is dead
currency: GBP
hour_value: 15
faults:
  - {id: fuse, name: fuse blown, prior: 0.6}
  - {id: unit, name: unit broken, prior: 0.4}
tests:
  - {id: voltage, cost: 0, minutes: 10, measured: {fuse: {mean: 0, spread: 0.5}, unit: {mean: 12.4, spread: 0.3}}}
  - {id: look, cost: 0, minutes: 5, outcomes: {fuse: {burnt: 0.9, whole: 0.1}, unit: {burnt: 0.05, whole: 0.95}}}
repairs:
  - {id: new_fuse, cost: 1, minutes: 5, fixes: {fuse: 1}}
  - {id: used_unit, cost: 90, minutes: 40, fixes: {unit: 0.9}}
`

// fillCases enters a fifth car with a case that is solved, of which a step was
// taken back and entered again, and one that is open.
func fillCases(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	plover := skua
	plover.Name, plover.Model, plover.Ceiling = "Plover", "Plover", amount.Amount{}
	r, err := b.Start(ctx, me, plover)
	must(t, err)
	silent := finding("the radio is dead")
	silent.Zone = "cabin"
	do(t, b, r.ID, addFinding(silent))
	r, _ = do(t, b, r.ID, addJob(rebuild.Job{Title: "Fit a used radio", Findings: []int64{1}, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen}))
	job := r.Jobs[0].ID
	r, _ = do(t, b, r.ID, addEvidence(rebuild.Evidence{
		On: "2026-02-28", Instrument: rebuild.InstrumentRecharge, Title: "Supply at the plug", Verdict: rebuild.VerdictCannotTell, Why: "only to have a measurement here", Engine: "recharge 1",
		Figures: []rebuild.EvidenceFigure{{Name: "Voltage", Value: 12.3, Unit: "V"}},
	}))
	volts := 12.3
	k := rebuild.Case{On: "2026-02-27", Title: "The radio is dead", Findings: []int64{1}, ModelFrom: "radio-dead", Model: exampleModel, NotNow: []string{"look"}, State: rebuild.CaseOpen}
	r, _ = do(t, b, r.ID, addCase(k))
	do(t, b, r.ID, addCase(rebuild.Case{On: "2026-02-27", Title: "The clock is slow", Together: true, State: rebuild.CaseOpen}))
	k = r.Cases[0]
	k.Steps = []rebuild.CaseStep{{At: "2026-02-28T18:03:07+01:00", Kind: rebuild.StepTest, What: "voltage", Value: &volts, ValueSD: 0.1, EvidenceID: r.Evidence[0].ID}}
	do(t, b, r.ID, editCase(k))
	_, _, err = b.Undo(ctx, me, r.ID, 0)
	must(t, err)
	r, _, err = b.Redo(ctx, me, r.ID)
	must(t, err)
	k.Rev, k.NotNow, k.Jobs, k.State, k.Cause = r.Case(k.ID).Rev, nil, []int64{job}, rebuild.CaseSolved, "unit"
	k.Steps = append(k.Steps,
		rebuild.CaseStep{At: "2026-02-28T18:20:00Z", Kind: rebuild.StepTest, What: "look", Outcome: "whole"},
		rebuild.CaseStep{At: "2026-03-01T10:00:00Z", Kind: rebuild.StepRepair, What: "new_fuse", Note: "worth a try"},
		rebuild.CaseStep{At: "2026-03-02T10:00:00Z", Kind: rebuild.StepWhole, Cured: true},
	)
	do(t, b, r.ID, editCase(k))
}

func addCase(k rebuild.Case) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddCase(k) }
}

func editCase(k rebuild.Case) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.EditCase(k) }
}

func addEvidence(e rebuild.Evidence) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(e) }
}

func buyExample(r *rebuild.Rebuild) (rebuild.Change, error) {
	return r.Buy(rebuild.Purchase{
		On: "2026-02-10", Price: amount.New(880_000, "GBP"), Fees: amount.New(71_600, "GBP"), Seller: "Harbour Salvage",
		Bought: rebuild.Bought{
			MaxBid: amount.New(915_000, "GBP"), SafeBid: amount.New(900_000, "GBP"), Chance: 0.84, ExpectedProfit: 3150,
			Cost: rebuild.ExpectedCost{Mean: 6100, P10: 4200, P50: 5900, P80: 7400, P90: 8300}, JobCount: 4,
		},
	}, "2026-02-11")
}

func exampleAppraisal() rebuild.Appraisal {
	miles, kilometres := int64(61_200), int64(99_100)
	a := rebuild.NewAppraisal()
	a.FirstUsed = "2012-05-01"
	a.Events = []rebuild.HistoryEvent{
		{On: "2016-03-01", Kind: rebuild.EventImport, Jurisdiction: "UK", From: "IE"},
		{On: "2019-02-11", Kind: rebuild.EventWriteOff, Category: "S", Note: "hit on the right side"},
		{On: "2018-04-30", Kind: rebuild.EventInspection, Odometer: &miles, Unit: "mi", Result: "pass"},
		{On: "2018-12-02", Kind: rebuild.EventOdometer, Odometer: &kilometres, Unit: "km"},
	}
	a.Value = uncertain.Range{Low: 21_000, Likely: 23_500, High: 26_000}
	a.MarkerDiscount = uncertain.Range{Low: 0.15, Likely: 0.22, High: 0.3}
	a.SellingPercent, a.SellingFixed = 2, amount.New(30_000, "GBP")
	a.Fees = []rebuild.FeeBand{
		{Fixed: amount.New(15_000, "GBP")},
		{From: amount.New(250_000, "GBP"), Percent: 6, Minimum: amount.New(20_000, "GBP")},
	}
	a.FeeTax = 0.2
	a.Other = []rebuild.OtherCost{{Name: "transport", Cost: amount.New(45_000, "GBP")}}
	a.WantedProfit, a.Step, a.Asking = amount.New(200_000, "GBP"), amount.New(5_000, "GBP"), amount.New(950_000, "GBP")
	return a
}

func editAppraisal(a rebuild.Appraisal) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		a.Rev = r.Appraisal.Rev
		return r.EditAppraisal(a, "")
	}
}
