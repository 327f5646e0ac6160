package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// released holds the SHA-256 of each migration that went out: what is in
// somebody's book is never edited afterwards; a new form is a new file.
var released = []struct{ name, hash string }{
	{"0001_book.sql", "801d5dc9ae6d3119b8b584cc0090224d0836c7959bde805a99532216d86dd597"},
	{"0002_appraisal.sql", "b4362b414f603ea20649b5b19de2e6fbaa89c72b014828f7f04ffe14a2ee875d"},
	{"0003_evidence.sql", "03428d5fa496a9c4bebaa03007e19344ed60ecb42e0e5f3096de056265769958"},
	{"0004_case.sql", "7914dc0808b240b4bb8fada7c4a333867971b63a607e85aab86e6aa5c87bb5b4"},
	{"0005_strip.sql", "b6757e09a5f25ea67e2c55345ec1a9fdeec5ddd7fcfef0a94279440f2c3434d6"},
	{"0006_proof.sql", "1cb0513e4a2ca117b931e8e8bb53001fa5bec6eda8b60a9b4f5ccf41a33fbcc4"},
	{"0007_plan.sql", "fe13eb56a49b8bdc8d32b8a91bd1c40426026d5ee0a167001c6477f64964507d"},
}

func TestReleasedMigrationsStayAsTheyAre(t *testing.T) {
	list := migrations()
	if len(list) != len(released) {
		t.Fatalf("%d migrations, %d with a hash: add the new one and an example book of its form in testdata", len(list), len(released))
	}
	for i, m := range list {
		sum := sha256.Sum256([]byte(m.sql))
		if got := hex.EncodeToString(sum[:]); m.name != released[i].name || got != released[i].hash {
			t.Errorf("%s has the hash %s, not that of %s: %s", m.name, got, released[i].name, released[i].hash)
		}
	}
}

// TestExamplesOfEveryFormStillOpen opens a copy of the example book of each
// released form and looks at what is in it.
func TestExamplesOfEveryFormStillOpen(t *testing.T) {
	ctx := context.Background()
	for i := range released {
		name := "book-form-" + string(rune('1'+i))
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "book")
			if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", name))); err != nil {
				t.Fatal(err)
			}
			b, err := Open(ctx, dir, Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer b.Close()
			if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
				t.Errorf("verify: %q (%v)", problems, err)
			}
			r, err := b.Load(ctx, 1)
			if err != nil {
				t.Fatal(err)
			}
			checkExample(t, r)
			checkExampleAppraisals(t, b, i+1)
			checkExampleEvidence(t, b, i+1)
			checkExampleCases(t, b, i+1)
			checkExampleStrip(t, b, i+1)
			checkExampleProof(t, b, i+1)
			checkExamplePlan(t, b, i+1)
			if _, _, err := b.Redo(ctx, By{Who: "Ada"}, 1); err != nil {
				t.Errorf("redo of what was undone in the old form: %v", err)
			}
			if _, _, err := b.Undo(ctx, By{Who: "Ada"}, 1, 0); err != nil {
				t.Errorf("undo in the old form's journal: %v", err)
			}
		})
	}
}

// checkExample holds what example_book_test.go put into the example.
func checkExample(t *testing.T, r *rebuild.Rebuild) {
	t.Helper()
	if r.Car.Model != "Skua" || r.Car.Ceiling.String() != "38000.00 GBP" {
		t.Errorf("the car is %+v", r.Car)
	}
	if len(r.Findings) != 3 || len(r.Jobs) != 2 || len(r.Entries) != 3 || r.Zones[5].OpenShare != 0.5 {
		t.Errorf("%d findings, %d jobs, %d entries, zone %+v", len(r.Findings), len(r.Jobs), len(r.Entries), r.Zones[5])
	}
	if j := r.Jobs[0]; len(j.Routes) != 2 || j.ChosenRoute() == nil || j.Estimate == nil || j.Routes[0].Fallback == nil || j.State != rebuild.JobProven {
		t.Errorf("the job is %+v", j)
	}
	if r.Spent().String() != "8812.40 GBP" {
		t.Errorf("spent %s", r.Spent())
	}
}

// checkExampleAppraisals looks at what a book of the first form has got, and at
// what example_book_test.go put into the second.
func checkExampleAppraisals(t *testing.T, b *Book, form int) {
	t.Helper()
	ctx := context.Background()
	r, err := b.Load(ctx, 1)
	if err != nil || r.Car.Candidate || !rebuild.SameItem(r.Appraisal, rebuild.NewAppraisal()) {
		t.Errorf("the first rebuild's appraisal is %+v (%v)", r.Appraisal, err)
	}
	if form < 2 {
		return
	}
	r, err = b.Load(ctx, 2)
	if err != nil {
		t.Fatal(err)
	}
	a := r.Appraisal
	if len(a.Events) != 4 || len(a.Fees) != 2 || len(a.Other) != 1 || *a.Events[2].Odometer != 61200 || a.Events[0].From != "IE" || a.Fees[1].Minimum.String() != "200.00 GBP" {
		t.Errorf("the appraisal is %+v", a)
	}
	if a.Bought == nil || a.Bought.MaxBid.String() != "9150.00 GBP" || a.Bought.Cost.P80 != 7400 || r.Car.Candidate || r.Spent().String() != "9516.00 GBP" {
		t.Errorf("bought %+v, spent %s", a.Bought, r.Spent())
	}
	if r, err = b.Load(ctx, 3); err != nil || !r.Car.Candidate {
		t.Errorf("the candidate: %v", err)
	}
}

// checkExampleEvidence looks at what example_book_test.go put into the third form.
func checkExampleEvidence(t *testing.T, b *Book, form int) {
	t.Helper()
	if form < 3 {
		return
	}
	r, err := b.Load(context.Background(), 4)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Evidence) != 2 || len(r.EvidenceOf(r.Jobs[0].ID)) != 2 || r.Jobs[0].State != rebuild.JobProven {
		t.Fatalf("the measurements are %+v of %+v", r.Evidence, r.Jobs)
	}
	e := r.Evidence[0]
	if len(e.Raw) != 1 || len(e.Figures) != 2 || *e.Figures[0].High != 102 || e.Figures[1].Low != nil || e.Verdict != rebuild.VerdictFail || e.Phase != rebuild.PhaseBefore {
		t.Errorf("the measurement is %+v", e)
	}
}

// checkExampleCases looks at what example_book_test.go put into the fourth form.
func checkExampleCases(t *testing.T, b *Book, form int) {
	t.Helper()
	if form < 4 {
		return
	}
	r, err := b.Load(context.Background(), 5)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Cases) != 2 || len(r.CasesOf(1)) != 1 || len(r.CasesOfJob(r.Jobs[0].ID)) != 1 || len(r.CasesReading(r.Evidence[0].ID)) != 1 {
		t.Fatalf("the cases are %+v", r.Cases)
	}
	k := r.Cases[0]
	if len(k.Steps) != 4 || *k.Steps[0].Value != 12.3 || k.Steps[0].ValueSD != 0.1 || k.Steps[1].Value != nil || !k.Cured() || k.State != rebuild.CaseSolved || k.Cause != "unit" {
		t.Errorf("the solved case is %+v", k)
	}
	if !strings.HasPrefix(k.Model, "symptom: the radio is dead\n") || k.ModelFrom != "radio-dead" {
		t.Errorf("its fault model is %q from %q", k.Model, k.ModelFrom)
	}
	if open := r.Cases[1]; open.State != rebuild.CaseOpen || !open.Together || open.Model != "" || open.NotNow != nil {
		t.Errorf("the open case is %+v", open)
	}
}

// checkExampleStrip looks at what example_strip_test.go put into the fifth form.
func checkExampleStrip(t *testing.T, b *Book, form int) {
	t.Helper()
	if form < 5 {
		return
	}
	r, err := b.Load(context.Background(), 6)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Strip) != 6 || len(r.Joints) != 1 || len(r.Tools) != 1 || len(r.StillOff("")) != 4 {
		t.Fatalf("%d things came off, %d are off, %d joints, %d tools", len(r.Strip), len(r.StillOff("")), len(r.Joints), len(r.Tools))
	}
	if s := r.Strip[1]; s.What != "caliper" || len(s.Fasteners) != 1 || s.Fasteners[0].ArrivedOn != "2026-02-10" || len(s.Connectors) != 1 || len(s.Photos) != 1 || len(s.Marks) != 1 ||
		len(s.After) != 1 || len(s.Jobs) != 1 || !s.Undoes(r.Joints[0].ID) || s.BackAnyway == "" {
		t.Errorf("the caliper is %+v", s)
	}
	j := r.Joints[0]
	if len(j.Passes) != 2 || len(j.Undone) != 1 || len(j.Tightenings) != 1 || len(r.JointsOf(r.Jobs[0].ID)) != 1 || r.JointStand(j, "").State != rebuild.JointUndone || r.Jobs[0].State != rebuild.JobDone {
		t.Errorf("the joint is %+v", j)
	}
	if x := j.Tightenings[0]; x.CalibratedOn != "2025-11-03" || x.Tool != r.Tools[0].ID || x.AtKm == nil || *x.AtKm != 66_012.5 || len(x.Photos) != 1 || x.SecondBy != "Bo" {
		t.Errorf("its tightening is %+v", x)
	}
}

// checkExampleProof looks at what example_proof_test.go put into the sixth form.
func checkExampleProof(t *testing.T, b *Book, form int) {
	t.Helper()
	if form < 6 {
		return
	}
	r, err := b.Load(context.Background(), 7)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.GatePasses) != 2 || len(r.Shakedown) != 2 || len(r.Rehearsal) != 2 || len(r.OfficialTests) != 1 || len(r.Confirmations) != 2 {
		t.Fatalf("%d passes, %d runs, %d items, %d tests, %d confirmed", len(r.GatePasses), len(r.Shakedown), len(r.Rehearsal), len(r.OfficialTests), len(r.Confirmations))
	}
	if p := r.GatePasses[0]; p.Holds() || len(p.Against) != 2 || !p.Accepts(rebuild.GateAgainst{Rule: "case-open", Kind: "case", ItemID: 9, Text: "a case is open"}) || p.Reason == "" || p.WithdrawnWhy != "it drips" || r.PassOf(rebuild.GateRoadTest).ID != r.GatePasses[1].ID {
		t.Errorf("the pass is %+v", p)
	}
	if s := r.Shakedown[0]; s.Result != rebuild.RunStop || len(s.Findings) != 1 || len(s.Evidence) != 1 || len(s.Photos) != 1 || s.AtKm == nil || *s.AtKm != 66_020.5 || s.Smelt != "hot oil" {
		t.Errorf("the run is %+v", s)
	}
	if i := r.RehearsedItem("tyre-tread"); i == nil || i.Value == nil || *i.Value != 4.2 || i.EvidenceID != r.Evidence[0].ID || r.RehearsedItem("horn").Value != nil {
		t.Errorf("the item is %+v", i)
	}
	if x := r.OfficialTests[0]; x.Chance == nil || *x.Chance != 0.71 || len(x.Items) != 2 || x.Items[0].Rehearsed != rebuild.ItemAdvisory || len(x.Photos) != 1 || x.Where == "" {
		t.Errorf("the test is %+v", x)
	}
	if w := r.Confirmation(rebuild.ConfirmMustDo, "insured"); w == nil || w.By != "Ada" || r.Confirmation(rebuild.ConfirmCaution, "brakes") == nil || r.Confirmation(rebuild.ConfirmCaution, "insured") != nil {
		t.Errorf("confirmed %+v", r.Confirmations)
	}
}

// checkExamplePlan looks at what example_plan_test.go put into the seventh form.
func checkExamplePlan(t *testing.T, b *Book, form int) {
	t.Helper()
	if form < 7 {
		return
	}
	ctx := context.Background()
	r, err := b.Load(ctx, 8)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.People) != 2 || len(r.Things) != 1 || len(r.JobPlans) != 3 || len(r.Deliveries) != 2 || len(r.Milestones) != 2 || len(r.Timetables) != 1 || len(r.Sheets) != 1 {
		t.Fatalf("%d people, %d things, %d planned, %d deliveries, %d milestones, %d timetables, %d sheets", len(r.People), len(r.Things), len(r.JobPlans), len(r.Deliveries), len(r.Milestones), len(r.Timetables), len(r.Sheets))
	}
	if p := r.OwnHands(); p == nil || p.HoursPerWeek() != 10.5 || len(p.Away) != 1 || len(r.Helpers()) != 1 || len(r.Helpers()[0].Extra) != 1 {
		t.Errorf("own hands are %+v", p)
	}
	if p := r.PlanOfJob(r.Jobs[1].ID); p == nil || len(p.After) != 1 || len(p.Helpers) != 1 || len(p.Holds) != 1 || p.WaitDays != 1.5 || !p.Noisy {
		t.Errorf("the job's plan is %+v", p)
	}
	if p := r.PlanOfJob(r.Jobs[2].ID); p == nil || !p.Outside || !p.CarGoes || len(p.Slots) != 2 || p.OutsideDays.High != 12 || r.Jobs[0].State != rebuild.JobDone || r.Jobs[0].DoneOn != "2026-03-07" {
		t.Errorf("the outside job's plan is %+v", p)
	}
	if d := r.Deliveries[0]; d.Faster == nil || d.Faster.Cost.String() != "40.00 GBP" || d.LeadDays.Likely != 9 || r.Deliveries[1].Faster != nil || !r.Deliveries[1].Arrived() {
		t.Errorf("the deliveries are %+v", r.Deliveries)
	}
	if x := r.Timetable(); len(x.Costs) != 1 || x.Costs[0].Amount.String() != "90.00 GBP" || x.Kept == nil || *x.Kept.Reached[0].Chance != 0.42 || !x.QuietAt(1300) || x.QuietAt(600) {
		t.Errorf("the timetable is %+v", x)
	}
	if m := r.MilestoneOf(rebuild.GateBodyShop); m == nil || m.LatePerDay.String() != "5.00 GBP" || len(r.Milestones[1].Jobs) != 1 || r.Sheets[0].Told == "" {
		t.Errorf("the milestone is %+v", m)
	}
	marks, err := b.Marks(ctx, 8)
	if err != nil || len(marks) != 2 || marks[0].Plan == nil || marks[0].Plan.P80 != "2026-06-03" || marks[1].Plan != nil {
		t.Errorf("the marks are %+v (%v)", marks, err)
	}
}

// TestAStepToANewForm takes a book one form further than there is, once well and
// once with a fault in the middle.
func TestAStepToANewForm(t *testing.T) {
	ctx := context.Background()
	further := append(migrations(), migration{"next.sql", "create table hoist (id integer primary key) strict;"})
	faulty := append(migrations(), migration{"next.sql", "create table hoist (id integer primary key) strict; insert into nowhere values (1);"})
	cases := []struct {
		name string
		list []migration
		form int
	}{{"well", further, len(further)}, {"with a fault", faulty, len(faulty) - 1}}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			b, err := Open(ctx, dir, Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer b.Close()
			if _, err := b.Start(ctx, By{}, rebuild.Car{Name: "Skua", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP"}); err != nil {
				t.Fatal(err)
			}
			err = b.migrate(ctx, c.list)
			if (err == nil) != (c.form == len(c.list)) {
				t.Errorf("migrating: %v", err)
			}
			if form, err := formOf(ctx, b.write); err != nil || form != c.form {
				t.Errorf("the form is %d (%v), want %d", form, err, c.form)
			}
			var hoists int
			if err := b.read.QueryRowContext(ctx, "select count(*) from sqlite_schema where name = 'hoist'").Scan(&hoists); err != nil || hoists != c.form-len(c.list)+1 {
				t.Errorf("%d tables of the new form (%v)", hoists, err)
			}
			checkAside(t, dir, len(c.list))
		})
	}
}

// checkAside opens the copy that was put aside as a book of its own.
func checkAside(t *testing.T, dir string, form int) {
	t.Helper()
	ctx := context.Background()
	copied, err := os.ReadFile(filepath.Join(dir, fmt.Sprintf("book-before-form-%d.db", form)))
	if err != nil {
		t.Fatal(err)
	}
	old := t.TempDir()
	if err := os.WriteFile(filepath.Join(old, "book.db"), copied, 0o600); err != nil {
		t.Fatal(err)
	}
	b, err := Open(ctx, old, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if r, err := b.Load(ctx, 1); err != nil || r.Car.Name != "Skua" {
		t.Errorf("the copy put aside: %v", err)
	}
	if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
		t.Errorf("the copy put aside: %q (%v)", problems, err)
	}
}

// TestTablesAreStrict holds that every table refuses values of another type.
func TestTablesAreStrict(t *testing.T) {
	ctx := context.Background()
	b, err := Open(ctx, t.TempDir(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var name string
	var strict, tables int
	err = each(ctx, b.read, "select name, strict from pragma_table_list where schema = 'main' and name not like 'sqlite_%'", nil, []any{&name, &strict}, func() {
		tables++
		if strict != 1 {
			t.Errorf("table %s is not strict", name)
		}
	})
	if err != nil || tables < 15 {
		t.Errorf("%d tables (%v)", tables, err)
	}
	for setting, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1"} {
		var got string
		if err := b.write.QueryRowContext(ctx, "pragma "+setting).Scan(&got); err != nil || !strings.EqualFold(got, want) {
			t.Errorf("%s is %s (%v), want %s", setting, got, err, want)
		}
	}
}
