package store_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// tree reads all files below a folder.
func tree(dir string) (map[string]string, error) {
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(at string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(at)
		files[strings.TrimPrefix(at, dir)] = string(data)
		return err
	})
	return files, err
}

// TestAnExportComesBackIdentical exports a random book, imports it and exports
// that again.
func TestAnExportComesBackIdentical(t *testing.T) {
	ctx := context.Background()
	folder := inMemory(t)
	var runs atomic.Int64
	var none atomic.Int64
	rapid.Check(t, func(rt *rapid.T) {
		dir := filepath.Join(folder, fmt.Sprint(runs.Add(1)))
		s := session{t: rt, book: openFor(rt, filepath.Join(dir, "book")), dir: dir, undone: &none, refused: &none, redone: &none}
		defer func() { _ = s.book.Close() }()
		fillRandomly(rt, &s)
		s.must(s.book.Export(ctx, filepath.Join(dir, "one")))
		s.must(store.Import(ctx, filepath.Join(dir, "one"), filepath.Join(dir, "copy"), store.Options{}))
		again := openFor(rt, filepath.Join(dir, "copy"))
		defer func() { _ = again.Close() }()
		s.must(again.Export(ctx, filepath.Join(dir, "two")))
		compareTrees(rt, filepath.Join(dir, "one"), filepath.Join(dir, "two"))
		sameBooks(rt, s.book, again)
		// The copy lives on: numbers go on where they were.
		_, _, err := again.Do(ctx, me, s.now.ID, addFinding(finding("after the import")))
		s.must(err)
	})
}

// fillRandomly makes two rebuilds with changes, undone ones, marks and settings.
func fillRandomly(rt *rapid.T, s *session) {
	ctx := context.Background()
	s.begin()
	_, err := s.book.Start(ctx, store.By{Who: "Bo", Request: "token"}, anyCar(rt))
	if !errors.As(err, new(*rebuild.Invalid)) {
		s.must(err)
	}
	for range rapid.IntRange(0, 12).Draw(rt, "steps") {
		switch rapid.SampledFrom([]string{"do", "do", "do", "undo", "redo"}).Draw(rt, "step") {
		case "do":
			s.do()
		case "undo":
			s.undo(0)
		case "redo":
			s.redo()
		}
	}
	for range rapid.IntRange(0, 2).Draw(rt, "marks") {
		m := store.Mark{On: rapid.SampledFrom([]string{"2026-03-01", "2026-03-02"}).Draw(rt, "day"), Mean: anyNumber(rt, 1e6), Plan: anyStand(rt), P90: rapid.Float64Range(0, 1e6).Draw(rt, "p90"), Version: 3}
		if chance := rapid.Float64Range(0, 1).Draw(rt, "chance"); chance > 0.5 {
			m.ChanceUnder = &chance
		}
		s.must(s.book.KeepMark(ctx, s.now.ID, m))
	}
	s.must(s.book.SetSetting(ctx, anyText(rt, 1, 10), anyText(rt, 0, 10)))
}

func compareTrees(rt *rapid.T, one, two string) {
	first, err := tree(one)
	if err != nil {
		rt.Fatal(err)
	}
	second, err := tree(two)
	if err != nil {
		rt.Fatal(err)
	}
	names := slices.Sorted(maps.Keys(first))
	if other := slices.Sorted(maps.Keys(second)); !slices.Equal(names, other) {
		rt.Fatalf("files %q, then %q", names, other)
	}
	for _, name := range names {
		if first[name] != second[name] {
			rt.Fatalf("%s was\n%s\nand is\n%s", name, first[name], second[name])
		}
	}
}

func sameBooks(rt *rapid.T, one, two *store.Book) {
	ctx := context.Background()
	yards := [2][]store.Summary{}
	for i, b := range []*store.Book{one, two} {
		yard, err := b.List(ctx)
		if err != nil {
			rt.Fatal(err)
		}
		if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
			rt.Fatalf("verify: %q (%v)", problems, err)
		}
		yards[i] = yard
	}
	if !reflect.DeepEqual(yards[0], yards[1]) {
		rt.Fatalf("listed %v, then %v", yards[0], yards[1])
	}
	for _, s := range yards[0] {
		r, err := one.Load(ctx, s.ID)
		r2, err2 := two.Load(ctx, s.ID)
		if err != nil || err2 != nil || !reflect.DeepEqual(r, r2) {
			rt.Fatalf("rebuild %d differs (%v, %v): %s", s.ID, err, err2, difference(saidBy(r2), saidBy(r)))
		}
	}
}

// exported is the export of a small book, to be hurt.
func exported(t *testing.T) string {
	t.Helper()
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	photo, err := b.PutFile(ctx, strings.NewReader("photo"), "photo", "", 0)
	must(t, err)
	seen := finding("dent")
	seen.Photos = []rebuild.Attachment{photo}
	do(t, b, r.ID, addFinding(seen))
	do(t, b, r.ID, addJob(hubJob(1)))
	do(t, b, r.ID, addCase(rebuild.Case{
		On: "2026-03-01", Title: "It pulls to the left", Model: "symptom: pulls\n", State: rebuild.CaseOpen,
		Steps: []rebuild.CaseStep{{At: "2026-03-01T10:00:00Z", Kind: rebuild.StepTest, What: "swap", Outcome: "same"}},
	}))
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddJoint(rebuild.Joint{Title: "Hub nut", Safety: rebuild.SafetyNone, Count: 1, TorqueNm: 200, Locking: rebuild.LockStaked})
	})
	do(t, b, r.ID, takeOff(rebuild.StripItem{At: "2026-03-01T10:00:00Z", What: "hub", Joints: []int64{6}, Fasteners: []rebuild.FastenerSet{{Count: 5, Bag: "B1"}}}))
	do(t, b, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddShakedownRun(rebuild.ShakedownRun{Stage: rebuild.ShakeSlow, At: "2026-03-01T10:00:00Z", By: "Ada", Smelt: "oil", Result: rebuild.RunStop})
	})
	must(t, b.KeepMark(ctx, r.ID, store.Mark{On: "2026-03-01", Mean: 1}))
	dir := filepath.Join(t.TempDir(), "export")
	must(t, b.Export(ctx, dir))
	return dir
}

func TestAnExportThatCannotBeImported(t *testing.T) {
	replace := func(name, old, new string) func(t *testing.T, dir string) {
		return func(t *testing.T, dir string) {
			text := string(content(t, filepath.Join(dir, name)))
			if !strings.Contains(text, old) {
				t.Fatalf("%s does not hold %q", name, old)
			}
			must(t, os.WriteFile(filepath.Join(dir, name), []byte(strings.Replace(text, old, new, 1)), 0o600))
		}
	}
	const r, j, m = "rebuilds/1/rebuild.json", "rebuilds/1/journal.json", "rebuilds/1/marks.json"
	cases := []struct {
		name string
		hurt func(t *testing.T, dir string)
		says string
	}{
		{"no book.json", func(t *testing.T, dir string) { must(t, os.Remove(filepath.Join(dir, "book.json"))) }, "book.json: it is missing"},
		{"no journal", func(t *testing.T, dir string) { must(t, os.Remove(filepath.Join(dir, j))) }, "journal.json: it is missing"},
		{"a comma too many", replace("book.json", `"version": 7,`, `"version": 7,,`), "book.json, line 3, column 17"},
		{"cut short", func(t *testing.T, dir string) { must(t, os.Truncate(filepath.Join(dir, r), 100)) }, r + ", line 7, column 5: it ends too early"},
		{"a word for a number", replace(r, `"year": 2019`, `"year": "new"`), "car.year cannot be a string"},
		{"an unknown field", replace(r, `"year": 2019`, `"age": 7`), `unknown field "age"`},
		{"an unknown field in the journal", replace(j, `"year": 2019`, `"age": 7`), `unknown field "age"`},
		{"more after the end", func(t *testing.T, dir string) {
			must(t, os.WriteFile(filepath.Join(dir, m), []byte("[]\n{}"), 0o600))
		}, "marks.json, line 1, column 3: more follows"},
		{"a newer format", replace("book.json", `"version": 7`, `"version": 8, "new": true`), "version 8 of the format"},
		{"another format", replace("book.json", "wreckwright book", "shopping list"), "its format is"},
		{"against the rules", replace(r, `"severity": "minor"`, `"severity": "awful"`), "how bad it is"},
		{"an appraisal against the rules", replace(r, `"confidence": 0.8`, `"confidence": 80`), "how sure the profit must be"},
		{"an unknown field in the appraisal", replace(j, `"confidence": 0.8`, `"confidences": 0.8`), `unknown field "confidences"`},
		{"an appraisal that nobody made", replace(r, `"keep": false`, `"keep": true`), "not what the journal says"},
		{"no appraisal", replace(r, `"appraisal"`, `"appraisals"`), "unknown field"},
		{"a finding that is not there", replace(r, "        1\n", "        7\n"), "finding 7 is not there"},
		{"a case against the rules", replace(r, `"kind": "test"`, `"kind": "guess"`), "what was tried"},
		{"an unknown field in a case", replace(j, `"not_now"`, `"not_yet"`), `unknown field "not_yet"`},
		{"a measurement that is not there", replace(r, `"evidence": 0`, `"evidence": 9`), "measurement 9 is not there"},
		{"a strip item against the rules", replace(r, `"bag": "B1"`, `"bag": "a bag too far away"`), "code on the bag"},
		{"a joint against the rules", replace(r, `"locking": "staked"`, `"locking": "glued"`), "the locking"},
		{"a joint that is not there", replace(r, "        6\n", "        9\n"), "joint 9 is not there"},
		{"an unknown field in a joint", replace(j, `"one_time"`, `"new_each_time"`), `unknown field "new_each_time"`},
		{"a run against the rules", replace(r, `"stage": "slow"`, `"stage": "fast"`), "the stage of the shakedown"},
		{"an unknown field in a run", replace(j, `"smelt"`, `"tasted"`), `unknown field "tasted"`},
		{"a number used twice", replace(r, `"next_id": 9`, `"next_id": 3`), "not below the next free number"},
		{"a rebuild in another's place", replace(r, `"id": 1`, `"id": 4`), "it holds rebuild 4, not 1"},
		{"a missing record", replace(r, `"version": 7`, `"version": 8`), "7 records for 8 versions"},
		{"an undo of nothing", replace(j, `"kind": "do",`, `"kind": "undo",`), "only an undo or redo"},
		{"what no record did", replace(r, `"what": "dent"`, `"what": "hole"`), "not what the journal says"},
		{"a mark of no day", replace(m, "2026-03-01", "someday"), "not a date"},
		{"a changed file", hurtFile("phot0"), "does not fit its hash"},
		{"a cut file", hurtFile("pho"), "does not fit its hash"},
		{"a missing file", hurtFile(""), "it is missing"},
		{"a path for a hash", replace("book.json", `"hash": "`, `"hash": "../../`), "no SHA-256"},
		{"a path for a hash of a photo", replace(r, `"hash": "`, `"hash": "../../`), "no content hash"},
		{"a file that the book does not list", func(t *testing.T, dir string) {
			head := string(content(t, filepath.Join(dir, "book.json")))
			must(t, os.WriteFile(filepath.Join(dir, "book.json"), []byte(head[:strings.Index(head, `"files": [`)]+`"files": []}`), 0o600))
		}, "did not arrive"},
		{"a link out of the export", func(t *testing.T, dir string) {
			name := filepath.Join(dir, m)
			outside := filepath.Join(t.TempDir(), "marks.json")
			must(t, os.WriteFile(outside, []byte("[]"), 0o600))
			must(t, os.Remove(name))
			must(t, os.Symlink(outside, name))
		}, "marks.json"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := exported(t)
			c.hurt(t, dir)
			to := filepath.Join(t.TempDir(), "book")
			err := store.Import(context.Background(), dir, to, store.Options{})
			var bad *store.BadExport
			if !errors.As(err, &bad) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v (%T), want %q", err, err, c.says)
			}
			if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("something was left behind (%v)", err)
			}
		})
	}
}

// TestExportsOfEarlierVersionsAreStillTaken imports what the program exported of
// testdata/book-form-1 while there were no appraisals, of book-form-2 while there
// were no measurements, of book-form-3 while there were no diagnoses, of
// book-form-4 while there was no strip trail, of book-form-5 while there were no
// gates, and of book-form-6 while there was no plan, and holds it against what that
// book becomes when it is opened today.
func TestExportsOfEarlierVersionsAreStillTaken(t *testing.T) {
	for _, c := range []struct{ form, has string }{{"1", `"confidence": 0.8`}, {"2", `"evidence": []`}, {"3", `"cases": []`}, {"4", `"joints": []`}, {"5", `"gate_passes": []`}, {"6", `"job_plans": []`}} {
		t.Run(c.form, func(t *testing.T) {
			dir := t.TempDir()
			must(t, store.Import(context.Background(), filepath.Join("testdata", "export-form-"+c.form), filepath.Join(dir, "imported"), store.Options{}))
			must(t, os.CopyFS(filepath.Join(dir, "opened"), os.DirFS(filepath.Join("testdata", "book-form-"+c.form))))
			imported, opened := exportedAnew(t, dir, "imported"), exportedAnew(t, dir, "opened")
			if !reflect.DeepEqual(imported, opened) {
				t.Error("the two books differ")
			}
			if !strings.Contains(imported["/rebuilds/1/rebuild.json"], c.has) {
				t.Errorf("there is no %s", c.has)
			}
		})
	}
}

// exportedAnew opens the book of that name, verifies it and gives what it exports.
func exportedAnew(t *testing.T, dir, name string) map[string]string {
	t.Helper()
	ctx := context.Background()
	b := open(t, filepath.Join(dir, name))
	if problems, err := b.Verify(ctx); err != nil || len(problems) > 0 {
		t.Errorf("%s: %q (%v)", name, problems, err)
	}
	out := filepath.Join(dir, name+"-export")
	must(t, b.Export(ctx, out))
	files, err := tree(out)
	must(t, err)
	return files
}

// hurtFile changes the one file of the export, or deletes it.
func hurtFile(to string) func(t *testing.T, dir string) {
	return func(t *testing.T, dir string) {
		found, err := filepath.Glob(filepath.Join(dir, "files", "*", "*"))
		if err != nil || len(found) != 1 {
			t.Fatalf("files %q (%v)", found, err)
		}
		must(t, os.Remove(found[0]))
		if to != "" {
			must(t, os.WriteFile(found[0], []byte(to), 0o600))
		}
	}
}

func TestAFolderThatIsNotEmptyStaysAsItIs(t *testing.T) {
	ctx := context.Background()
	dir := exported(t)
	full := t.TempDir()
	must(t, os.WriteFile(filepath.Join(full, "letter"), []byte("dear"), 0o600))
	var notEmpty *store.NotEmpty
	if err := store.Import(ctx, dir, full, store.Options{}); !errors.As(err, &notEmpty) {
		t.Errorf("import: %v", err)
	}
	b := open(t, t.TempDir())
	if err := b.Export(ctx, full); !errors.As(err, &notEmpty) {
		t.Errorf("export: %v", err)
	}
	if held, err := tree(full); err != nil || len(held) != 1 {
		t.Errorf("it holds %v (%v)", held, err)
	}
	// A folder that was there but empty is empty again after an import that fails.
	empty := t.TempDir()
	must(t, os.Remove(filepath.Join(dir, "rebuilds", "1", "marks.json")))
	if err := store.Import(ctx, dir, empty, store.Options{}); err == nil {
		t.Error("an export without marks was imported")
	}
	if held, err := os.ReadDir(empty); err != nil || len(held) != 0 {
		t.Errorf("it holds %v (%v)", held, err)
	}
}

// TestTablesHoldNoFormulas reads the two tables as a spreadsheet would.
func TestTablesHoldNoFormulas(t *testing.T) {
	ctx := context.Background()
	b := open(t, t.TempDir())
	r := start(t, b)
	texts := []struct{ text, cell string }{
		{`=HYPERLINK("http://example.com","x")`, `'=HYPERLINK("http://example.com","x")`},
		{"+44 20", "'+44 20"},
		{"-2+3", "'-2+3"},
		{"@SUM(A1)", "'@SUM(A1)"},
		{"\t=1", "'\t=1"},
		{"\n=1", "'\r\n=1"},
		{"\uff1d1", "'\uff1d1"},
		{"-12.50", "-12.50"},
		{"plain, with a comma", "plain, with a comma"},
		{`a "quote"`, `a "quote"`},
		{"'=1", "'=1"},
		{"two\nlines", "two\r\nlines"},
	}
	for _, c := range texts {
		do(t, b, r.ID, addEntry(rebuild.Entry{On: "2026-02-04", Amount: amount.New(-1250, "GBP"), Kind: rebuild.EntrySale, What: c.text, Supplier: c.text}))
	}
	job := hubJob()
	job.Title = "=1+1"
	do(t, b, r.ID, addJob(job))
	dir := filepath.Join(t.TempDir(), "export")
	must(t, b.Export(ctx, dir))
	raw := content(t, filepath.Join(dir, "ledger.csv"))
	lines := bytes.Split(bytes.TrimSuffix(raw, []byte("\r\n")), []byte("\n"))
	for _, l := range lines {
		if !bytes.HasSuffix(l, []byte("\r")) && !bytes.Equal(l, lines[len(lines)-1]) {
			t.Errorf("line %q does not end as RFC 4180 wants", l)
		}
	}
	rows := readTable(t, raw)
	if len(rows) != len(texts)+1 {
		t.Fatalf("%d rows", len(rows))
	}
	for i, c := range texts {
		// The reader turns \r\n inside of quotes into \n.
		want := strings.ReplaceAll(c.cell, "\r\n", "\n")
		if row := rows[i+1]; row[8] != want || row[9] != want || row[4] != "-12.50" {
			t.Errorf("%q became %q and %q, amount %q", c.text, row[8], row[9], row[4])
		}
	}
	if jobs := readTable(t, content(t, filepath.Join(dir, "jobs.csv"))); len(jobs) != 2 || jobs[1][3] != "'=1+1" || len(jobs[0]) != len(jobs[1]) {
		t.Errorf("jobs %q", jobs)
	}
}

func readTable(t *testing.T, raw []byte) [][]string {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
