package browsertest

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// car is an invented rebuild in a served book, with something of everything that
// pages show.
type car struct {
	t       *testing.T
	book    *store.Book
	id      int64
	upright int64 // a job with three ways, one barred, none chosen
	horn    int64 // a job that is proven
	finding int64 // safety-critical, with two photos
	entry   int64 // with a receipt
}

func (c *car) path(rest string) string { return fmt.Sprintf("/r/%d%s", c.id, rest) }

func (c *car) now() *rebuild.Rebuild {
	c.t.Helper()
	r, err := c.book.Load(c.t.Context(), c.id)
	if err != nil {
		c.t.Fatal(err)
	}
	return r
}

// do makes a change and gives the number of the item it touched first.
func (c *car) do(f func(*rebuild.Rebuild) (rebuild.Change, error)) int64 {
	c.t.Helper()
	_, record, err := c.book.Do(c.t.Context(), store.By{Who: "Ines"}, c.id, f)
	if err != nil {
		c.t.Fatal(err)
	}
	return record.Edits[0].ID()
}

// fill puts the invented car into the book.
func fill(t *testing.T, s *served) *car {
	t.Helper()
	r, err := s.book.Start(t.Context(), store.By{Who: "Ines"}, rebuild.Car{
		Name: "Norvane Skua", Maker: "Norvane", Model: "Skua", Year: 2021, Colour: "dark blue",
		Jurisdiction: "UK", Category: "S", DistanceUnit: "mi", Distance: 31_400, Currency: "GBP", BoughtOn: "2026-01-10",
		Ceiling: amount.New(3_800_000, "GBP"), Correlation: rebuild.DefaultCorrelation, HoursPerWeek: 12,
	})
	if err != nil {
		t.Fatal(err)
	}
	c := &car{t: t, book: s.book, id: r.ID}
	c.findings()
	c.jobs()
	c.entries()
	c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		z := *r.Zone("front-left-corner")
		z.OpenShare, z.HiddenExpected, z.HiddenCost = 0.5, 2, uncertain.Range{Low: 80, Likely: 200, High: 700}
		return r.EditZone(z)
	})
	c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		stage := r.Stages[0]
		stage.State, stage.DoneOn = rebuild.StageDone, "2026-01-12"
		return r.EditStage(stage)
	})
	return c
}

func (c *car) findings() {
	photos := []rebuild.Attachment{c.photo("corner.png"), c.photo("joint.png")}
	photos[0].Caption = "From below, with a rule beside it"
	c.finding = c.find(rebuild.Finding{Zone: "front-left-corner", What: "Upright cracked at the lower joint", HowFound: rebuild.Seen, Severity: rebuild.Danger, Safety: true, On: "2026-01-12", Photos: photos})
	c.find(rebuild.Finding{Zone: "front-bumper", What: "Horn does not sound", HowFound: rebuild.Heard, Severity: rebuild.Minor, On: "2026-01-13"})
	c.find(rebuild.Finding{Zone: "left-sill", What: "Paint scratched; a very long description that has to wrap on a narrow screen without pushing anything sideways, with-a-part-number-that-cannot-be-broken-0000000000000", HowFound: rebuild.Told, Severity: rebuild.Cosmetic, On: "2026-01-14"})
	id := c.find(rebuild.Finding{Zone: "roof", What: "A dent, or a shadow", HowFound: rebuild.Seen, Severity: rebuild.Cosmetic, On: "2026-01-14"})
	c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		f := *r.Finding(id)
		f.Dismissed = "A shadow in the photo"
		return r.EditFinding(f)
	})
}

func (c *car) find(f rebuild.Finding) int64 {
	return c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddFinding(f) })
}

func (c *car) jobs() {
	mend := rebuild.Route{
		Kind: rebuild.Repair, Method: rebuild.MethodMachined, Name: "Bush the bore", Cost: uncertain.Range{Low: 240, Likely: 320, High: 520},
		Hours: uncertain.Range{Low: 3, Likely: 4, High: 7}, Works: 0.8, Basis: "own estimate",
		Fallback: &rebuild.Fallback{Name: "a new one after all", Cost: uncertain.Certain(600), Hours: uncertain.Certain(2)},
	}
	fresh := rebuild.Route{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "New upright", Cost: uncertain.Certain(640), Hours: uncertain.Certain(2), Works: 1}
	glued := rebuild.Route{Kind: rebuild.Repair, Method: rebuild.MethodBonded, Name: "Fill the crack", Cost: uncertain.Certain(20), Works: 1}
	c.upright = c.work(rebuild.Job{Title: "Front left upright", Zone: "front-left-corner", Findings: []int64{c.finding}, Stage: 6, Safety: rebuild.SafetySuspension, State: rebuild.JobOpen, Reference: amount.New(140_000, "GBP"), ReferenceFrom: "Invented offer", Routes: []rebuild.Route{mend, fresh, glued}})
	cheap := rebuild.Route{Kind: rebuild.Used, Method: rebuild.MethodPlain, Name: "One from the breaker", Cost: uncertain.Range{Low: 15, Likely: 25, High: 60}, Works: 1}
	c.horn = c.work(rebuild.Job{Title: "Horn", Zone: "front-bumper", Safety: rebuild.SafetyNone, State: rebuild.JobProven, DoneOn: "2026-02-01", HoursSpent: 1.5, Proof: "Heard it", Routes: []rebuild.Route{cheap}, Chosen: 1, Reference: amount.New(12_000, "GBP"), ReferenceFrom: "Price list"})
	c.work(rebuild.Job{Title: "Wash pump", Safety: rebuild.SafetyNone, State: rebuild.JobDone, DoneOn: "2026-02-03", Routes: []rebuild.Route{cheap}, Chosen: 1})
	c.work(rebuild.Job{Title: "Seat belt pre-tensioner", Zone: "cabin", Safety: rebuild.SafetyRestraint, State: rebuild.JobWaiting, WaitingFor: "the part", Needed: 0.5, Routes: []rebuild.Route{{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "New belt", Cost: uncertain.Certain(310), Works: 1}}, Chosen: 1, Note: "Order by the end of the month"})
	c.work(rebuild.Job{Title: "Polish", Safety: rebuild.SafetyNone, State: rebuild.JobDropped})
	c.work(rebuild.Job{Title: "Bonnet", Safety: rebuild.SafetyNone, State: rebuild.JobDoing})
}

func (c *car) work(j rebuild.Job) int64 {
	if j.Needed == 0 {
		j.Needed = 1
	}
	return c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddJob(j) })
}

func (c *car) entries() {
	receipt := c.photo("receipt.png")
	c.pay(rebuild.Entry{On: "2026-01-10", Amount: amount.New(1_450_000, "GBP"), Kind: rebuild.EntryPurchase, What: "The car", Supplier: "An invented auction"})
	c.entry = c.pay(rebuild.Entry{On: "2026-02-01", Amount: amount.New(2_450, "GBP"), Tax: amount.New(408, "GBP"), Kind: rebuild.EntryPart, What: "Horn", Supplier: "An invented breaker", JobID: c.horn, Receipts: []rebuild.Attachment{receipt}})
	c.pay(rebuild.Entry{On: "2026-02-20", Amount: amount.New(8_999, "GBP"), Kind: rebuild.EntryPart, What: "Ball joint", Supplier: "An invented shop"})
	c.pay(rebuild.Entry{On: "2026-03-01", Amount: amount.New(-25_000, "GBP"), Kind: rebuild.EntrySale, What: "Old wheels"})
	c.pay(rebuild.Entry{On: "2026-03-02", Amount: amount.New(1_500, "GBP"), Kind: rebuild.EntryConsumable, What: "Rags", General: true})
}

func (c *car) pay(e rebuild.Entry) int64 {
	return c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEntries(e) })
}

// photo keeps a small picture in the book.
func (c *car) photo(name string) rebuild.Attachment {
	c.t.Helper()
	content, err := os.ReadFile(picture(c.t, name))
	if err != nil {
		c.t.Fatal(err)
	}
	a, err := c.book.PutFile(c.t.Context(), bytes.NewReader(content), name, "image/png", 1<<20)
	if err != nil {
		c.t.Fatal(err)
	}
	return a
}

// startEmpty starts a rebuild of which only the name is known.
func startEmpty(t *testing.T, s *served) *car {
	t.Helper()
	r, err := s.book.Start(t.Context(), store.By{Who: "Ines"}, rebuild.Car{
		Name: "The white one", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP", Correlation: rebuild.DefaultCorrelation,
	})
	if err != nil {
		t.Fatal(err)
	}
	return &car{t: t, book: s.book, id: r.ID}
}

// startCandidate starts a car that is only weighed, of which the name is known.
func startCandidate(t *testing.T, s *served) *car {
	t.Helper()
	r, err := s.book.Start(t.Context(), store.By{Who: "Ines"}, rebuild.Car{
		Name: "A red one at the sale", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP", Correlation: rebuild.DefaultCorrelation, Candidate: true,
	})
	if err != nil {
		t.Fatal(err)
	}
	return &car{t: t, book: s.book, id: r.ID}
}
