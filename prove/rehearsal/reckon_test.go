package rehearsal_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/prove/rehearsal"
)

var plain = rehearsal.Estimates{Pass: 0.9, Advisory: 0.5, Fail: 0.1}

func TestReckon(t *testing.T) {
	half := 0.5
	item := func(r rehearsal.Result, measured *float64) rehearsal.Item {
		return rehearsal.Item{Key: "k", Name: "K", Result: r, InLimits: measured, Unseen: 0.8}
	}
	cases := []struct {
		name            string
		items           []rehearsal.Item
		chance, looking float64
		looked, failing int
	}{
		{"nothing to look at", nil, 1, 1, 0, 0},
		{"one of each", []rehearsal.Item{item("pass", nil), item("advisory", nil), item("fail", nil), item("", nil)}, 0.9 * 0.5 * 0.1 * 0.8, 0.9 * 0.5 * 0.1 * 0.9, 3, 1},
		{"a figure that may be out", []rehearsal.Item{item("pass", &half)}, 0.45, 0.45, 1, 0},
		{"a figure of what nobody called", []rehearsal.Item{item("", &half)}, 0.4, 0.4, 1, 0},
		{"not for this car, though limits and open things say else", []rehearsal.Item{{Result: "does not apply", Unseen: 0.8, InLimits: &half, Stale: true, Against: "smoke"}}, 1, 1, 1, 0},
		{"beside one not looked at", []rehearsal.Item{item("does not apply", nil), item("", nil)}, 0.8, 0.9, 1, 0},
		{"a figure helps no failure", []rehearsal.Item{item("fail", &half)}, 0.1, 0.1, 1, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r, err := rehearsal.Reckon(c.items, plain)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(r.Chance-c.chance) > 1e-12 || math.Abs(r.Looking-c.looking) > 1e-12 || r.Looked != c.looked || r.Failing != c.failing {
				t.Errorf("chance %g, looking %g, %d looked, %d failing; want %g, %g, %d, %d", r.Chance, r.Looking, r.Looked, r.Failing, c.chance, c.looking, c.looked, c.failing)
			}
			if last := r.Working[len(r.Working)-1]; last.Value != r.Chance {
				t.Errorf("the working ends in %g", last.Value)
			}
		})
	}
}

func TestWeakestFirst(t *testing.T) {
	r, err := rehearsal.Reckon([]rehearsal.Item{
		{Key: "a", Result: "pass", Unseen: 1}, {Key: "b", Unseen: 0.7}, {Key: "c", Result: "fail", Unseen: 1}, {Key: "d", Unseen: 0.8},
	}, plain)
	var keys []string
	for _, w := range r.Weakest {
		keys = append(keys, w.Key)
	}
	if err != nil || !slices.Equal(keys, []string{"c", "b", "d"}) {
		t.Errorf("weakest %v (%v)", keys, err)
	}
}

func TestItemsThatAreNone(t *testing.T) {
	nan, more := math.NaN(), 1.2
	for _, it := range []rehearsal.Item{{Unseen: 0}, {Unseen: 1.1}, {Unseen: nan}, {Unseen: 1, InLimits: &more}, {Unseen: 1, InLimits: &nan}, {Unseen: 1, Result: "good"}} {
		var bad *rehearsal.InputError
		if _, err := rehearsal.Reckon([]rehearsal.Item{it}, plain); !errors.As(err, &bad) {
			t.Errorf("%+v: %v", it, err)
		}
	}
}

// TestMoreIsNeverBetter holds that one item more never raises the chance, and that
// a better result never lowers it.
func TestMoreIsNeverBetter(t *testing.T) {
	results := []rehearsal.Result{"fail", "advisory", "pass"}
	any := rapid.Custom(func(t *rapid.T) rehearsal.Item {
		it := rehearsal.Item{Result: rapid.SampledFrom(append(results, "")).Draw(t, "result"), Unseen: rapid.Float64Range(0.01, 1).Draw(t, "unseen")}
		if rapid.Bool().Draw(t, "measured") {
			it.InLimits = rapid.Ptr(rapid.Float64Range(0, 1), false).Draw(t, "in limits")
		}
		return it
	})
	rapid.Check(t, func(t *rapid.T) {
		items := rapid.SliceOfN(any, 1, 10).Draw(t, "items")
		all, err := rehearsal.Reckon(items, rehearsal.Own)
		fewer, err2 := rehearsal.Reckon(items[1:], rehearsal.Own)
		if err != nil || err2 != nil || all.Chance > fewer.Chance || all.Chance < 0 || all.Looked > len(items) {
			t.Fatalf("%v with an item more than %v (%v, %v)", all.Chance, fewer.Chance, err, err2)
		}
		chances := []float64{}
		for _, r := range results {
			items[0].Result = r
			with, _ := rehearsal.Reckon(items, rehearsal.Own)
			chances = append(chances, with.Chance)
		}
		if items[0].InLimits == nil && !slices.IsSorted(chances) {
			t.Fatalf("fail, advisory, pass give %v", chances)
		}
	})
}

func TestCompare(t *testing.T) {
	quarter := 0.25
	got := rehearsal.Compare([]rehearsal.Tested{
		{"a", "pass", "pass"}, {"b", "pass", "fail"}, {"c", "fail", "advisory"}, {"d", "", "advisory"}, {"e", "", "pass"}, {"f", "advisory", "fail"}, {"g", "does not apply", "fail"}, {"h", "does not apply", "pass"},
	}, true, &quarter)
	if !slices.Equal(got.Agreed, []string{"a"}) || !slices.Equal(got.Missed, []string{"b", "f", "g"}) || !slices.Equal(got.Harsh, []string{"c"}) || !slices.Equal(got.Unlooked, []string{"d"}) {
		t.Errorf("%+v", got)
	}
	if got.Surprise == nil || *got.Surprise != 2 {
		t.Errorf("a chance of a quarter that came is %v bits, want 2", got.Surprise)
	}
	if none := rehearsal.Compare(nil, true, nil); none.Surprise != nil {
		t.Error("a surprise out of nothing")
	}
}

// A look that is stale counts as none, and something open as a failure; what was
// seen to fail stays so.
func TestStaleAndOpen(t *testing.T) {
	limits := 0.5
	for _, c := range []struct {
		it              rehearsal.Item
		want            float64
		looked, failing int
	}{
		{rehearsal.Item{Result: "pass", Unseen: 0.7, Stale: true}, 0.7, 0, 0},
		{rehearsal.Item{Result: "pass", Unseen: 0.7, Stale: true, InLimits: &limits}, 0.7, 0, 0},
		{rehearsal.Item{Result: "fail", Unseen: 0.7, Stale: true}, plain.Fail, 1, 1},
		{rehearsal.Item{Result: "pass", Unseen: 0.7, Against: "a cut hose"}, plain.Fail, 1, 1},
		{rehearsal.Item{Unseen: 0.7, Against: "a cut hose"}, plain.Fail, 0, 1},
	} {
		r, err := rehearsal.Reckon([]rehearsal.Item{c.it}, plain)
		if err != nil || r.Chance != c.want || r.Looked != c.looked || r.Failing != c.failing {
			t.Errorf("%+v: %g, looked %d, failing %d (%v)", c.it, r.Chance, r.Looked, r.Failing, err)
		}
	}
}
