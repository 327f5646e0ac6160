package workshop

import (
	"encoding/json"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// told are the lists and items of rebuild.json by their names.
var told = map[string]any{
	"car": rebuild.Car{}, "appraisal": rebuild.Appraisal{}, "zones": rebuild.Zone{}, "stages": rebuild.Stage{}, "findings": rebuild.Finding{}, "jobs": rebuild.Job{},
	"entries": rebuild.Entry{}, "evidence": rebuild.Evidence{}, "cases": rebuild.Case{}, "strip": rebuild.StripItem{}, "joints": rebuild.Joint{}, "tools": rebuild.Tool{},
	"gate_passes": rebuild.GatePass{}, "shakedown": rebuild.ShakedownRun{}, "rehearsal": rebuild.Rehearsed{}, "official_tests": rebuild.OfficialTest{}, "confirmations": rebuild.Confirmation{},
	"sheets": rebuild.Sheet{}, "people": rebuild.Person{}, "things": rebuild.Thing{}, "milestones": rebuild.Milestone{}, "job_plans": rebuild.JobPlan{},
	"deliveries": rebuild.Delivery{}, "timetables": rebuild.Timetable{},
}

// walkType calls see for every text and every estimate below a type, by path.
func walkType(path string, of reflect.Type, see func(path string, of reflect.Type)) {
	switch {
	case of == reflect.TypeFor[amount.Amount](): // known by its form
	case of == reflect.TypeFor[uncertain.Range](), of.Kind() == reflect.String:
		see(path, of)
	case of.Kind() == reflect.Slice, of.Kind() == reflect.Pointer:
		walkType(path, of.Elem(), see)
	case of.Kind() == reflect.Struct:
		for i := range of.NumField() {
			name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
			walkType(path+"."+name, of.Field(i).Type, see)
		}
	}
}

// ruled reports whether the path or something above it has a rule, and which.
func ruled(rules map[string]buildfile.Rule, path string) buildfile.Rule {
	for p := path; p != ""; p = p[:max(strings.LastIndexByte(p, '.'), 0)] {
		if rule := rules[p]; rule != "" && (p == path || rule == buildfile.List || rule == buildfile.Sum) {
			return rule
		}
	}
	return ""
}

// TestEveryTextHasARule: a new text of the data must be thought about, and an
// estimate of money must be a sum.
func TestEveryTextHasARule(t *testing.T) {
	rules := editionRules()
	seen := map[string]bool{}
	for name, item := range told {
		walkType(name, reflect.TypeOf(item), func(path string, of reflect.Type) {
			seen[path] = true
			rule := ruled(rules, path)
			hours := strings.Contains(path, "hours") || strings.HasSuffix(path, "_days")
			if of.Kind() == reflect.String && rule == "" {
				t.Errorf("%s has no rule in editionRules: what becomes of it in a redacted edition?", path)
			}
			if of == reflect.TypeFor[uncertain.Range]() && !hours && rule != buildfile.Sum {
				t.Errorf("%s is an estimate of money without the rule of sums", path)
			}
		})
	}
	for path := range rules {
		known := slices.ContainsFunc(slices.Collect(maps.Keys(seen)), func(s string) bool { return s == path || strings.HasPrefix(s, path+".") })
		top, _, _ := strings.Cut(path, ".")
		if _, item := told[top]; item && !known && rules[path] != buildfile.Sum && rules[path] != buildfile.List {
			t.Errorf("the rule %s is of nothing", path)
		}
	}
}

func openShop(t *testing.T, dir string, o store.Options) (*Workshop, func()) {
	t.Helper()
	book, err := store.Open(t.Context(), dir, o)
	if err != nil {
		t.Fatal(err)
	}
	shop := New(book, nil, func() string { return "2026-05-04" })
	return shop, func() { _ = shop.Close(); _ = book.Close() }
}

// TestEveryListIsKnown: what rebuild.json holds is what the test above walks.
func TestEveryListIsKnown(t *testing.T) {
	shop, end := openShop(t, t.TempDir(), store.Options{})
	defer end()
	rb, err := shop.Book().Start(t.Context(), store.By{Who: "Kim"}, rebuild.Car{Name: "Skua", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP"})
	if err != nil {
		t.Fatal(err)
	}
	taken, err := shop.Book().Take(t.Context(), rb.ID)
	if err != nil {
		t.Fatal(err)
	}
	var top map[string]json.RawMessage
	if err := json.Unmarshal(taken.Rebuild, &top); err != nil {
		t.Fatal(err)
	}
	for name, text := range top {
		_, known := told[name]
		plain := len(text) > 0 && strings.ContainsRune("0123456789\"", rune(text[0]))
		if !known && !plain {
			t.Errorf("rebuild.json holds %s, which no rule knows", name)
		}
	}
	if _, err := shop.Book().Take(t.Context(), 99); !errors.Is(err, store.ErrNoRebuild) {
		t.Errorf("a rebuild that is not there: %v", err)
	}
	whole, err := store.ReadTaken(taken.Rebuild)
	if err != nil || !reflect.DeepEqual(whole.Car, rb.Car) {
		t.Errorf("%+v, %v", whole, err)
	}
	o := BuildFileOptions{Edition: buildfile.Redacted, Money: true, Originals: true, Positions: true, At: time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)}
	if p := o.Plain(); p.Money || p.Originals || p.Positions {
		t.Error("a redacted edition was given money or originals")
	}
}

// TestKeyIsMadeOnce: kept in the book, closed to others, not made by whoever only
// reads.
func TestKeyIsMadeOnce(t *testing.T) {
	dir := t.TempDir()
	shop, end := openShop(t, dir, store.Options{})
	var none *NoKey
	if _, err := shop.SigningKey(t.Context(), false); !errors.As(err, &none) || none.Hint() == "" {
		t.Errorf("%v", err)
	}
	key, err := shop.SigningKey(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	if at, err := os.Stat(filepath.Join(dir, "book.db")); err != nil || at.Mode().Perm() != 0o600 {
		t.Errorf("the book's file can be read by others: %v, %v", at.Mode(), err)
	}
	end()
	shop, end = openShop(t, dir, store.Options{ReadOnly: true})
	again, err := shop.SigningKey(t.Context(), false)
	if err != nil || !key.Equal(again) {
		t.Errorf("another key: %v", err)
	}
	end()
	shop, end = openShop(t, dir, store.Options{})
	defer end()
	if err := shop.Book().SetSetting(t.Context(), keySetting, "no key"); err != nil {
		t.Fatal(err)
	}
	if _, err := shop.SigningKey(t.Context(), true); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("a damaged key: %v", err)
	}
}

func TestBuiltNames(t *testing.T) {
	shop, end := openShop(t, t.TempDir(), store.Options{})
	defer end()
	for _, name := range []string{"", "x", "../x.zip", ".zip", "a/b.zip", "A.zip", `a\b.zip`} {
		if _, ok := shop.BuiltPath(name); ok {
			t.Errorf("%q is taken", name)
		}
	}
	if at, ok := shop.BuiltPath("build-file-1-full-20260504-120000.zip"); !ok || filepath.Dir(filepath.Dir(at)) != shop.Book().Dir() {
		t.Errorf("%s, %t", at, ok)
	}
	for i := range mostBuilt + 5 {
		if err := shop.KeepBuilt(t.Context(), 1, Built{Name: "a.zip", Version: int64(i)}); err != nil {
			t.Fatal(err)
		}
	}
	if list, err := shop.Built(t.Context(), 1); err != nil || len(list) != mostBuilt || list[0].Version != mostBuilt+4 {
		t.Errorf("%d, %v", len(list), err)
	}
}
