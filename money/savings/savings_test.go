package savings

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestStates(t *testing.T) {
	r, err := Of([]Job{
		{Name: "pump", ReferenceMinor: 95_000, CostMinor: 21_050, Done: true, Evidence: 2},
		{Name: "arch", ReferenceMinor: 60_000, CostMinor: 72_500, Done: true, Evidence: 1}, // dearer than the trade
		{Name: "wiring", ReferenceMinor: 40_000, CostMinor: 9_999, Done: true},
		{Name: "paint", ReferenceMinor: 220_000, CostMinor: 180_000, Evidence: 3}, // photos, but still open
	}, "GBP", 2)
	if err != nil {
		t.Fatal(err)
	}
	want := []State{Proven, Proven, Claimed, NotYet}
	for i, s := range r.Savings {
		if s.State != want[i] {
			t.Errorf("%s is %s; want %s", s.Name, s.State, want[i])
		}
	}
	if r.ProvenMinor != 61_450 || r.ClaimedMinor != 30_001 || r.NotYetMinor != 40_000 {
		t.Errorf("proven %d, claimed %d, not yet %d; want 61450, 30001, 40000", r.ProvenMinor, r.ClaimedMinor, r.NotYetMinor)
	}
	if last := r.Working[len(r.Working)-3]; last.Value != 614.50 || last.Unit != "GBP" {
		t.Errorf("working shows %v %s proven; want 614.5 GBP", last.Value, last.Unit)
	}
}

func TestImpossibleAmounts(t *testing.T) {
	for _, j := range []Job{
		{Name: "lamp", ReferenceMinor: -1}, {Name: "lamp", CostMinor: -5}, {Name: "lamp", ReferenceMinor: maxMinor + 1},
	} {
		if _, err := Of([]Job{j}, "EUR", 2); err == nil || !strings.Contains(err.Error(), `"lamp"`) {
			t.Errorf("%+v: error %v; want one that names the job", j, err)
		}
	}
}

// Nothing without evidence is ever counted as proven, and no saving is lost.
func TestTotals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		jobs := rapid.SliceOf(rapid.Custom(func(t *rapid.T) Job {
			return Job{
				ReferenceMinor: rapid.Int64Range(0, 1e9).Draw(t, "reference"), CostMinor: rapid.Int64Range(0, 1e9).Draw(t, "cost"),
				Done: rapid.Bool().Draw(t, "done"), Evidence: rapid.IntRange(0, 3).Draw(t, "evidence"),
			}
		})).Draw(t, "jobs")
		r, err := Of(jobs, "EUR", 2)
		if err != nil {
			t.Fatal(err)
		}
		sum, proven := int64(0), int64(0)
		for _, j := range jobs {
			sum += j.ReferenceMinor - j.CostMinor
			if j.Done && j.Evidence > 0 {
				proven += j.ReferenceMinor - j.CostMinor
			}
		}
		if got := r.ProvenMinor + r.ClaimedMinor + r.NotYetMinor; got != sum || r.ProvenMinor != proven {
			t.Fatalf("total %d, proven %d; want %d, %d", got, r.ProvenMinor, sum, proven)
		}
	})
}
