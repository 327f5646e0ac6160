package demo_test

import (
	"context"
	"encoding/xml"
	"errors"
	"image"
	_ "image/png" // the pictures are of that kind
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/demo"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

var (
	ctx   = context.Background()
	today = time.Date(2026, 3, 18, 11, 0, 0, 0, time.UTC) // a Wednesday
)

// build makes the demo book.
func build(t *testing.T, day time.Time) *store.Book {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "demo")
	start := time.Now()
	if err := demo.Build(ctx, dir, day); err != nil {
		t.Fatal(err)
	}
	t.Logf("built in %s", time.Since(start).Round(time.Millisecond))
	return reopen(t, dir)
}

func reopen(t *testing.T, dir string) *store.Book {
	t.Helper()
	book, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	return book
}

func load(t *testing.T, book *store.Book, model string) *rebuild.Rebuild {
	t.Helper()
	list, err := book.List(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range list {
		if s.Car.Model == model {
			r, err := book.Load(ctx, s.ID)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
	}
	t.Fatalf("no %s in the book", model)
	return nil
}

func TestBook(t *testing.T) {
	book := build(t, today)
	skua, dipper := load(t, book, "Skua"), load(t, book, "Dipper")
	t.Run("sound", func(t *testing.T) { checkSound(t, book) })
	t.Run("counts", func(t *testing.T) { checkCounts(t, skua, dipper) })
	t.Run("weighed", func(t *testing.T) { checkWeighed(t, book, skua) })
	t.Run("road", func(t *testing.T) { checkRoad(t, book, skua) })
	t.Run("variety", func(t *testing.T) { checkVariety(t, skua) })
	t.Run("days", func(t *testing.T) { checkDays(t, skua) })
	t.Run("money", func(t *testing.T) { checkMoney(t, book, skua) })
	t.Run("journal", func(t *testing.T) { checkJournal(t, book, skua) })
	t.Run("drawings", func(t *testing.T) { checkDrawings(t, book, skua) })
}

func checkSound(t *testing.T, book *store.Book) {
	found, err := book.Verify(ctx)
	if err != nil || len(found) > 0 {
		t.Errorf("verify: %v, %v", found, err)
	}
}

func checkCounts(t *testing.T, skua, dipper *rebuild.Rebuild) {
	got := []int{len(skua.Findings), len(skua.Jobs), len(skua.Entries), len(dipper.Findings), len(dipper.Jobs), len(dipper.Entries)}
	if want := []int{45, 38, 90, 0, 0, 1}; !slices.Equal(got, want) {
		t.Errorf("findings, jobs, entries of both: %v, want %v", got, want)
	}
	if n := len(skua.EntriesWithoutJob()); n < 2 {
		t.Errorf("%d costs without a job; some are to be forgotten", n)
	}
	if n := len(skua.JobsWithoutCost()); n != 2 {
		t.Errorf("%d finished jobs without a cost, want 2", n)
	}
	if skua.Car.Category != "S" || skua.Car.Ceiling.String() != "38000.00 GBP" {
		t.Errorf("category %s, ceiling %s", skua.Car.Category, skua.Car.Ceiling)
	}
}

// checkWeighed holds what the cars to be weighed are there to show.
func checkWeighed(t *testing.T, book *store.Book, skua *rebuild.Rebuild) {
	bench := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return today.Format(time.DateOnly) })
	defer func() {
		if err := bench.Close(); err != nil {
			t.Error(err)
		}
	}()
	weigh := func(model string) (*rebuild.Rebuild, workshop.Appraised) {
		t.Helper()
		r := load(t, book, model)
		a, err := bench.Appraise(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		if !r.Car.Candidate || a.Identity == nil || a.Story == nil || a.Bid == nil || a.Bid.MaxBid == nil || a.Asking == nil || len(r.Jobs) < 3 {
			t.Fatalf("%s: %+v", model, a)
		}
		return r, a
	}
	if _, a := weigh("Turnstone"); !a.Barred() || a.Story.Stops < 2 || a.Asking.Bid > *a.Bid.MaxBid {
		t.Errorf("the Turnstone must look cheap and not be bought: %+v, %v of %v", a.Story.Findings, a.Asking, *a.Bid.MaxBid)
	}
	if _, a := weigh("Garganey"); a.Barred() || a.Story.Stops > 0 || a.Asking.Bid > *a.Bid.MaxBid {
		t.Errorf("the Garganey must be a fair buy: %+v, %v of %v", a.Story.Findings, a.Asking, *a.Bid.MaxBid)
	}
	if r, a := weigh("Whinchat"); a.Barred() || !a.Bid.Keep || r.Car.Currency != "EUR" || r.Car.Jurisdiction != "DE" {
		t.Errorf("the Whinchat must be to be kept, in euros: %+v", r.Car)
	}
	if b := skua.Appraisal.Bought; b == nil || b.JobCount != 4 || b.Chance < 0.8 || b.Cost.Mean < 2000 || b.Fees.String() != "1248.00 GBP" {
		t.Errorf("of the Skua was expected %+v", b)
	}
	if e := skua.Entries[0]; e.Kind != rebuild.EntryPurchase || len(e.Receipts) != 1 {
		t.Errorf("the purchase is %+v", e)
	}
}

// checkRoad holds what the car that is on the road again is there to show, and that
// nobody is told the other one may be driven.
func checkRoad(t *testing.T, book *store.Book, skua *rebuild.Rebuild) {
	bench := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return today.Format(time.DateOnly) })
	defer bench.Close()
	gates := func(r *rebuild.Rebuild) []workshop.GateLine {
		lines, err := bench.Gates(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		return lines
	}
	for _, l := range gates(skua) {
		if l.Passed() || !l.HardStop() {
			t.Errorf("the Skua at the gate %s: %s", l.Which, l.State)
		}
	}
	r := load(t, book, "Whimbrel")
	advised := 0
	for _, p := range r.GatePasses {
		if p.AgainstAdvice() {
			advised++
		}
	}
	if len(r.GatePasses) != 5 || advised != 1 {
		t.Errorf("%d gates passed, %d against advice", len(r.GatePasses), advised)
	}
	if lines := gates(r); !lines[0].Passed() || !lines[3].Passed() {
		t.Errorf("road test %s, hand-over %s: new since %v, %v", lines[0].State, lines[3].State, lines[0].New, lines[3].New)
	}
	checkDriven(t, r)
	drives, err := bench.Shakedown(ctx, r)
	if err != nil || !drives.Over() {
		t.Errorf("%d stages passed, %v", drives.Passed, err)
	}
}

// checkDriven holds that a stop of the shakedown led to a case and to a job that
// was proven, and that an official test found what nobody had.
func checkDriven(t *testing.T, r *rebuild.Rebuild) {
	stopped := slices.IndexFunc(r.Shakedown, func(s rebuild.ShakedownRun) bool { return s.Result == rebuild.RunStop })
	if stopped < 0 || len(r.Shakedown[stopped].Findings) != 1 {
		t.Fatalf("the shakedown: %+v", r.Shakedown)
	}
	found := r.Shakedown[stopped].Findings[0]
	searched := slices.ContainsFunc(r.Cases, func(k rebuild.Case) bool { return k.Cured() && slices.Contains(k.Findings, found) })
	mended := slices.ContainsFunc(r.Jobs, func(j rebuild.Job) bool { return j.State == rebuild.JobProven && slices.Contains(j.Findings, found) })
	if !searched || !mended {
		t.Errorf("what stopped the drive: searched %v, mended %v", searched, mended)
	}
	if n := len(r.OfficialTests); n != 2 || r.OfficialTests[0].Result != rebuild.TestFail || r.OfficialTests[1].Result != rebuild.TestPass {
		t.Errorf("official tests: %+v", r.OfficialTests)
	}
}

func checkVariety(t *testing.T, r *rebuild.Rebuild) {
	states, kinds, bars, fallbacks := map[rebuild.JobState]int{}, map[rebuild.RouteKind]int{}, map[string]int{}, 0
	for _, j := range r.Jobs {
		states[j.State]++
		if c := j.ChosenRoute(); c != nil {
			kinds[c.Kind]++
		}
		for _, route := range j.Routes {
			for _, bar := range rebuild.Bars(j.Safety, route) {
				bars[bar.Reason]++
			}
			if route.Fallback != nil {
				fallbacks++
			}
		}
	}
	t.Logf("states %v, chosen routes %v, %d fallbacks, %d kinds of bars", states, kinds, fallbacks, len(bars))
	for _, s := range rebuild.JobStates {
		if states[s] == 0 {
			t.Errorf("no job is %s", s)
		}
	}
	for _, k := range rebuild.RouteKinds {
		if kinds[k] == 0 {
			t.Errorf("no job goes the route %s", k)
		}
	}
	if fallbacks < 10 || len(bars) < 4 {
		t.Errorf("%d fallbacks and %d kinds of bars are few", fallbacks, len(bars))
	}
}

func checkDays(t *testing.T, r *rebuild.Rebuild) {
	last, first := "", "9"
	for _, e := range r.Entries {
		last, first = max(last, e.On), min(first, e.On)
	}
	if last >= today.Format(time.DateOnly) || first > today.AddDate(0, -7, 0).Format(time.DateOnly) {
		t.Errorf("the ledger runs from %s to %s", first, last)
	}
}

func checkMoney(t *testing.T, book *store.Book, r *rebuild.Rebuild) {
	marks, err := book.Marks(ctx, r.ID)
	if err != nil || len(marks) < 28 {
		t.Errorf("%d earlier forecasts, %v", len(marks), err)
	}
	bench := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return today.Format(time.DateOnly) })
	o, err := bench.Forecast(ctx, r)
	if err := errors.Join(err, bench.Close()); err != nil {
		t.Fatal(err)
	}
	t.Logf("ledger %.0f, total %.0f (sd %.0f, 80 %% %.0f), chance under %.2f, bias %+v", o.Ledger, o.Total.Mean, o.Total.SD, o.Total.P80, *o.ChanceUnderCeiling, o.Bias)
	if c := *o.ChanceUnderCeiling; c < 0.55 || c > 0.80 {
		t.Errorf("the chance under the ceiling is %.2f: nothing to think about", c)
	}
	if o.Bias.N != 12 {
		t.Errorf("%d closed jobs to learn from, want 12", o.Bias.N)
	}
}

func checkJournal(t *testing.T, book *store.Book, r *rebuild.Rebuild) {
	records, err := book.Journal(ctx, r.ID, 0, 1000)
	if err != nil {
		t.Fatal(err)
	}
	people, kinds := map[string]int{}, map[string]int{}
	for i, record := range records {
		people[record.Who]++
		kinds[record.Kind]++
		if record.Who == "Jory" && record.At.Weekday() != time.Saturday {
			t.Errorf("Jory on a %s: %s", record.At.Weekday(), record.What)
		}
		if i > 0 && records[i-1].At.Before(record.At) {
			t.Errorf("the clock went back at %s: %s", record.At, record.What)
		}
		if !record.At.Before(today) {
			t.Errorf("in days to come: %s", record.What)
		}
	}
	t.Logf("%d records by %v: %v", len(records), people, kinds)
	if len(people) != 2 || kinds[store.KindUndo] < 4 || kinds[store.KindRedo] == 0 {
		t.Errorf("a dull journal: %v, %v", people, kinds)
	}
	if can, err := book.CanUndo(ctx, r.ID); err != nil || can == nil {
		t.Errorf("nothing to undo: %v, %v", can, err)
	}
}

func checkDrawings(t *testing.T, book *store.Book, r *rebuild.Rebuild) {
	var all []rebuild.Attachment
	for _, f := range r.Findings {
		all = append(all, f.Photos...)
	}
	for _, j := range r.Jobs {
		all = append(all, j.Proofs...)
	}
	photos := len(all)
	for _, e := range r.Entries {
		all = append(all, e.Receipts...)
	}
	t.Logf("%d photos, %d receipts", photos, len(all)-photos)
	for i, a := range all {
		kind, check := "image/png", checkPicture
		if i >= photos {
			kind, check = "image/svg+xml", checkDrawing
		}
		if a.MediaType != kind || !strings.HasPrefix(a.Caption, "Drawing: ") {
			t.Errorf("%s is %s, captioned %q", a.Name, a.MediaType, a.Caption)
			continue
		}
		check(t, book, a)
	}
}

// checkPicture reads a picture as any program would that shows photos.
func checkPicture(t *testing.T, book *store.Book, a rebuild.Attachment) {
	t.Helper()
	f, _, err := book.OpenFile(ctx, a.Hash)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if size, kind, err := image.DecodeConfig(f); err != nil || kind != "png" || size.Width != 800 || size.Height != 600 {
		t.Errorf("%s is %s, %d x %d: %v", a.Name, kind, size.Width, size.Height, err)
	}
}

// checkDrawing reads a drawing as XML and refuses what a strict content security
// policy would: styles, scripts, anything from outside.
func checkDrawing(t *testing.T, book *store.Book, a rebuild.Attachment) {
	t.Helper()
	f, _, err := book.OpenFile(ctx, a.Hash)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for d := xml.NewDecoder(f); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", a.Name, err)
		}
		element, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if !slices.Contains([]string{"svg", "title", "rect", "path", "ellipse", "text"}, element.Name.Local) {
			t.Errorf("%s has the element %s", a.Name, element.Name.Local)
		}
		for _, at := range element.Attr {
			if at.Name.Local == "style" || at.Name.Local == "href" || strings.HasPrefix(at.Name.Local, "on") {
				t.Errorf("%s has the attribute %s", a.Name, at.Name.Local)
			}
		}
	}
}

// TestPrepare also begins with a build that was cut short, and ends with the
// same book as another build of that day.
func TestPrepare(t *testing.T) {
	dir := t.TempDir()
	prepare := func(day time.Time, fresh, want bool) {
		t.Helper()
		built, err := demo.Prepare(ctx, dir, day, fresh)
		if err != nil || built != want {
			t.Fatalf("built %v, %v; want %v", built, err, want)
		}
	}
	alter(t, dir, func(b *store.Book) error { return b.SetSetting(ctx, "demo", "unfinished") })
	prepare(today.AddDate(0, 0, -1), false, true)
	prepare(today.AddDate(0, 0, -1), false, false)
	prepare(today, false, true) // its day has passed and nobody went on in it
	var first *rebuild.Rebuild
	alter(t, dir, func(b *store.Book) error { first = load(t, b, "Skua"); return nil })
	alter(t, dir, visit)
	if err := os.Mkdir(filepath.Join(dir, store.SmallPictures), 0o700); err != nil { // as the pages do for a photo
		t.Fatal(err)
	}
	prepare(today.AddDate(0, 0, 1), false, false) // somebody did
	prepare(today.Add(5*time.Hour), true, true)
	book := reopen(t, dir)
	if note := load(t, book, "Dipper").Stages[0].Note; note != "" {
		t.Errorf("fresh left the note %q", note)
	}
	if !reflect.DeepEqual(first, load(t, book, "Skua")) {
		t.Error("two builds for one day differ")
	}
}

// alter does something to the book in the folder, which is made when missing.
func alter(t *testing.T, dir string, how func(*store.Book) error) {
	t.Helper()
	book, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(how(book), book.Close()); err != nil {
		t.Fatal(err)
	}
}

// visit changes something, as somebody does who tries the book.
func visit(book *store.Book) error {
	list, err := book.List(ctx)
	if err != nil {
		return err
	}
	for _, s := range list {
		_, _, err := book.Do(ctx, store.By{Who: "visitor"}, s.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
			stage := r.Stages[0]
			stage.Note = "tried"
			return r.EditStage(stage)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func TestPrepareLeavesOthersAlone(t *testing.T) {
	cases := map[string]func(t *testing.T, dir string){
		"a book of one's own": func(t *testing.T, dir string) {
			alter(t, dir, func(b *store.Book) error {
				_, err := b.Start(ctx, store.By{}, rebuild.Car{Name: "mine", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP"})
				return err
			})
		},
		"other files": func(t *testing.T, dir string) {
			if err := os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("dear"), 0o600); err != nil {
				t.Fatal(err)
			}
		},
		"a demo book with other files": func(t *testing.T, dir string) {
			alter(t, dir, func(b *store.Book) error { return b.SetSetting(ctx, "demo", "unfinished") })
			if err := os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("dear"), 0o600); err != nil {
				t.Fatal(err)
			}
		},
	}
	for name, fill := range cases {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			fill(t, dir)
			before := names(t, dir)
			_, err := demo.Prepare(ctx, dir, today, true)
			var not *demo.NotADemo
			if !errors.As(err, &not) {
				t.Errorf("got %v", err)
			}
			if after := names(t, dir); !slices.Equal(before, after) {
				t.Errorf("the folder held %v and now %v", before, after)
			}
		})
	}
}

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}
