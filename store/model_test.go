package store_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// model knows only which changes stand. What the rebuild says must be what those
// say, one after the other; revisions and the program's own way back play no part.
type model struct {
	done []*standing
}

type standing struct {
	record   int64
	edits    []rebuild.Edit
	currency string // of the rebuild when it was made
	undone   int64  // number of the undo that holds; 0: it stands
}

type thing struct {
	kind rebuild.Kind
	id   int64
}

// says is what each thing is, in words without its revision.
func (m model) says() map[thing]string {
	said := map[thing]string{}
	for _, s := range m.done {
		if s.undone != 0 {
			continue
		}
		for _, e := range s.edits {
			at := thing{e.Kind(), e.ID()}
			delete(said, at)
			if e.After != nil {
				said[at] = inWords(e.After)
			}
		}
	}
	return said
}

// inWords prints an item without its revision.
func inWords(item rebuild.Item) string {
	words, err := json.Marshal(item)
	if err != nil {
		return err.Error()
	}
	before, after, _ := strings.Cut(string(words), `"rev":`)
	return before + strings.TrimLeft(after, "0123456789")
}

func saidBy(r *rebuild.Rebuild) map[thing]string {
	said := map[thing]string{}
	put := func(item rebuild.Item) { said[thing{item.ItemKind(), item.ItemID()}] = inWords(item) }
	put(r.Car)
	put(r.Appraisal)
	for _, z := range r.Zones {
		put(z)
	}
	for _, s := range r.Stages {
		put(s)
	}
	for _, f := range r.Findings {
		put(f)
	}
	for _, j := range r.Jobs {
		put(j)
	}
	for _, e := range r.Entries {
		put(e)
	}
	for _, e := range r.Evidence {
		put(e)
	}
	for _, k := range r.Cases {
		put(k)
	}
	for _, s := range r.Strip {
		put(s)
	}
	for _, j := range r.Joints {
		put(j)
	}
	for _, t := range r.Tools {
		put(t)
	}
	for _, x := range r.GatePasses {
		put(x)
	}
	for _, x := range r.Shakedown {
		put(x)
	}
	for _, x := range r.Rehearsal {
		put(x)
	}
	for _, x := range r.OfficialTests {
		put(x)
	}
	for _, x := range r.Confirmations {
		put(x)
	}
	for _, x := range r.Sheets {
		put(x)
	}
	for _, x := range r.People {
		put(x)
	}
	for _, x := range r.Things {
		put(x)
	}
	for _, x := range r.Milestones {
		put(x)
	}
	for _, x := range r.JobPlans {
		put(x)
	}
	for _, x := range r.Deliveries {
		put(x)
	}
	for _, x := range r.Timetables {
		put(x)
	}
	return said
}

func (m model) latest() *standing {
	for i := len(m.done) - 1; i > 0; i-- {
		if m.done[i].undone == 0 {
			return m.done[i]
		}
	}
	return nil
}

// next is what redo would do: the one undone last, if no change came after.
func (m model) next() *standing {
	var next *standing
	newest := m.done[len(m.done)-1].record
	for _, s := range m.done {
		if s.undone > newest && (next == nil || s.undone > next.undone) {
			next = s
		}
	}
	return next
}

// buried reports whether a later change that stands touched the same things.
func (m model) buried(target *standing) bool {
	touched := map[thing]bool{}
	for _, e := range target.edits {
		touched[thing{e.Kind(), e.ID()}] = true
	}
	for _, s := range m.done {
		if s.record <= target.record || s.undone != 0 {
			continue
		}
		for _, e := range s.edits {
			if touched[thing{e.Kind(), e.ID()}] {
				return true
			}
		}
	}
	return false
}

// whole reports whether the changes that stand make a rebuild that keeps its
// rules: built anew from nothing, and looked at as a whole.
func (m model) whole(id int64) bool {
	r := &rebuild.Rebuild{ID: id}
	for _, s := range m.done {
		if s.undone != 0 {
			continue
		}
		c := rebuild.Change{}
		for _, e := range s.edits {
			c.Edits = append(c.Edits, rebuild.Edit{Before: r.Item(e.Kind(), e.ID()), After: e.After})
		}
		next, err := r.Apply(c)
		if err != nil {
			return false
		}
		r = next
	}
	return r.Validate() == nil && m.oneCurrency(r.Car.Currency)
}

// oneCurrency reports whether all sums that stand were entered in it.
func (m model) oneCurrency(currency string) bool {
	entered := map[thing]string{}
	for _, s := range m.done {
		if s.undone != 0 {
			continue
		}
		for _, e := range s.edits {
			at := thing{e.Kind(), e.ID()}
			delete(entered, at)
			if e.After != nil && rebuild.HasMoney(e.After) {
				entered[at] = s.currency
			}
		}
	}
	for _, c := range entered {
		if c != currency {
			return false
		}
	}
	return true
}

// TestTheBookKeepsWhatStands makes random changes, undoes and redoes them, and
// opens the book again now and then.
func TestTheBookKeepsWhatStands(t *testing.T) {
	folder := inMemory(t)
	var runs atomic.Int64
	var undone, refused, redone, reopened atomic.Int64
	rapid.Check(t, func(rt *rapid.T) {
		dir := filepath.Join(folder, fmt.Sprint(runs.Add(1)))
		s := session{t: rt, book: openFor(rt, dir), dir: dir, undone: &undone, refused: &refused, redone: &redone}
		defer func() { _ = s.book.Close() }()
		s.begin()
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			switch rapid.SampledFrom([]string{"do", "do", "do", "undo", "undo an older", "redo", "reopen"}).Draw(rt, "step") {
			case "do":
				s.do()
			case "undo":
				s.undo(0)
			case "undo an older":
				s.undo(rapid.IntRange(0, len(s.model.done)-1).Draw(rt, "which"))
			case "redo":
				s.redo()
			case "reopen":
				reopened.Add(1)
				s.reopen()
			}
			s.compare()
		}
		s.reopen()
		if problems, err := s.book.Verify(context.Background()); err != nil || len(problems) > 0 {
			rt.Fatalf("verify: %q (%v)", problems, err)
		}
	})
	t.Logf("%d books; %d undone, %d refused, %d redone, %d reopened", runs.Load(), undone.Load(), refused.Load(), redone.Load(), reopened.Load())
}

// inMemory is a folder for hundreds of books, on a disk in memory where there is
// one, so that the test does not wait for a real one to sync.
func inMemory(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "book-test-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { must(t, os.RemoveAll(dir)) })
	return dir
}

type session struct {
	t     *rapid.T
	book  *store.Book
	dir   string
	files []rebuild.Attachment
	now   *rebuild.Rebuild
	model model

	undone, refused, redone *atomic.Int64
}

func openFor(t *rapid.T, dir string) *store.Book {
	b, err := store.Open(context.Background(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func (s *session) begin() {
	ctx := context.Background()
	for _, content := range []string{"one photo", "another photo"} {
		f, err := s.book.PutFile(ctx, strings.NewReader(content), content, "", 0)
		s.must(err)
		s.files = append(s.files, f)
	}
	car := skua
	car.Candidate = rapid.Bool().Draw(s.t, "candidate")
	r, err := s.book.Start(ctx, me, car)
	s.must(err)
	s.now = r
	journal, err := s.book.Journal(ctx, r.ID, 0, 1)
	s.must(err)
	s.model.done = []*standing{{record: journal[0].ID, edits: journal[0].Edits, currency: r.Car.Currency}}
}

func (s *session) do() {
	r, record, err := s.book.Do(context.Background(), me, s.now.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return anyRebuildChange(s.t, r, s.files) })
	if err != nil {
		if !expected(err) {
			s.t.Fatal(err)
		}
		return
	}
	s.now = r
	s.model.done = append(s.model.done, &standing{record: record.ID, edits: record.Edits, currency: r.Car.Currency})
}

// expected errors are refusals; anything else is a fault.
func expected(err error) bool {
	return errors.As(err, new(*rebuild.Invalid)) || errors.As(err, new(*rebuild.Conflict)) || errors.As(err, new(*rebuild.Missing))
}

// undo takes back the change at that place; 0: the latest that stands.
func (s *session) undo(place int) {
	target, asked := s.model.latest(), int64(0)
	if place > 0 {
		target = s.model.done[place]
		asked = target.record
	}
	r, record, err := s.book.Undo(context.Background(), me, s.now.ID, asked)
	if target == nil {
		if !errors.Is(err, store.ErrNothingToUndo) {
			s.t.Fatalf("undo of nothing: %v", err)
		}
		return
	}
	may := target.undone == 0 && !s.model.buried(target) && s.wouldBeWhole(target)
	if (err == nil) != may {
		s.t.Fatalf("undo of record %d (%d): may %v, got %v", target.record, asked, may, err)
	}
	if err != nil {
		s.refused.Add(1)
		if !expected(err) {
			s.t.Fatal(err)
		}
		return
	}
	s.undone.Add(1)
	s.now, target.undone = r, record.ID
}

func (s *session) wouldBeWhole(target *standing) bool {
	was := target.undone
	defer func() { target.undone = was }()
	target.undone = 1
	return s.model.whole(s.now.ID)
}

func (s *session) redo() {
	target := s.model.next()
	r, _, err := s.book.Redo(context.Background(), me, s.now.ID)
	if target == nil {
		if !errors.Is(err, store.ErrNothingToRedo) {
			s.t.Fatalf("redo of nothing: %v", err)
		}
		return
	}
	s.must(err)
	s.redone.Add(1)
	s.now, target.undone = r, 0
}

func (s *session) reopen() {
	s.must(s.book.Close())
	s.book = openFor(s.t, s.dir)
	again, err := s.book.Load(context.Background(), s.now.ID)
	s.must(err)
	if !reflect.DeepEqual(s.now, again) {
		s.t.Fatalf("reopened it differs: %s", difference(saidBy(again), saidBy(s.now)))
	}
}

func (s *session) compare() {
	if got, want := saidBy(s.now), s.model.says(); !reflect.DeepEqual(got, want) {
		s.t.Fatalf("the rebuild does not say what stands: %s", difference(got, want))
	}
	undo, err := s.book.CanUndo(context.Background(), s.now.ID)
	s.must(err)
	if latest := s.model.latest(); (undo == nil) != (latest == nil) || undo != nil && undo.ID != latest.record {
		s.t.Fatalf("can undo %+v, want %+v", undo, latest)
	}
}

func difference(got, want map[thing]string) string {
	for at, words := range want {
		if got[at] != words {
			return fmt.Sprintf("the %s %d is\n%s\nnot\n%s", at.kind, at.id, got[at], words)
		}
	}
	return fmt.Sprintf("%d things instead of %d, or a difference that words do not show", len(got), len(want))
}

func (s *session) must(err error) {
	if err != nil {
		s.t.Fatal(err)
	}
}
