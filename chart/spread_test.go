package chart

import (
	"math"
	"reflect"
	"sort"
	"testing"

	"pgregory.net/rapid"
)

func TestSpreadByHand(t *testing.T) {
	for _, c := range []struct {
		name          string
		wishes, sizes []float64
		want          []float64
	}{
		{"apart already", []float64{20, 60}, []float64{10, 10}, []float64{20, 60}},
		{"two on one spot go half each way", []float64{50, 50}, []float64{10, 10}, []float64{44, 56}},
		{"held at the edge", []float64{0, 3}, []float64{10, 10}, []float64{5, 17}},
		{"order of wishes kept", []float64{99, 98}, []float64{10, 10}, []float64{95, 83}},
	} {
		got, ok := spread(c.wishes, c.sizes, 0, 100, 2)
		if !ok || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, %v, want %v", c.name, got, ok, c.want)
		}
	}
	if _, ok := spread([]float64{1, 2}, []float64{60, 60}, 0, 100, 2); ok {
		t.Error("two labels of 60 were said to fit into 100")
	}
}

func TestSpreadHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "n")
		wishes := rapid.SliceOfN(rapid.Float64Range(-20, 420), n, n).Draw(t, "wishes")
		sizes := rapid.SliceOfN(rapid.Float64Range(5, 90), n, n).Draw(t, "sizes")
		centres, ok := spread(wishes, sizes, 0, 400, 6)
		sum := 6 * float64(max(n-1, 0))
		for _, s := range sizes {
			sum += s
		}
		if ok != (sum <= 400) {
			t.Fatalf("fits: %v, but the labels need %v of 400", ok, sum)
		}
		if !ok {
			return
		}
		order := make([]int, n)
		for i := range order {
			order[i] = i
		}
		sort.SliceStable(order, func(a, b int) bool { return wishes[order[a]] < wishes[order[b]] })
		last := math.Inf(-1)
		for _, i := range order {
			if centres[i]-sizes[i]/2 < last-1e-6 {
				t.Fatalf("labels overlap or lost their order: %v", centres)
			}
			last = centres[i] + sizes[i]/2 + 6
			if centres[i]-sizes[i]/2 < -1e-6 || centres[i]+sizes[i]/2 > 400+1e-6 {
				t.Fatalf("label %d leaves 0..400: %v", i, centres)
			}
		}
	})
}

func TestWrapAndCut(t *testing.T) {
	lines, short := wrap("Gearbox and tunnel", 10, 75, 2)
	if !reflect.DeepEqual(lines, []string{"Gearbox and", "tunnel"}) || short {
		t.Errorf("wrapped to %q, %v", lines, short)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		width := rapid.Float64Range(20, 300).Draw(t, "width")
		got, short := cut(s, 13, width)
		if textWidth(got, 13) > width {
			t.Fatalf("%q is wider than %v", got, width)
		}
		if !short && got != s {
			t.Fatalf("%q became %q without notice", s, got)
		}
		lines, _ := wrap(s, 13, width, 3)
		if len(lines) > 3 {
			t.Fatalf("%d lines", len(lines))
		}
		for _, l := range lines {
			if textWidth(l, 13) > width {
				t.Fatalf("line %q is wider than %v", l, width)
			}
		}
	})
}
