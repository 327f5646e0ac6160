package web

import (
	"fmt"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/working"
)

func TestLongWorkingFoldsItsItems(t *testing.T) {
	var w working.Working
	w.Add("spent so far", "given", 1, "GBP", "own record")
	w.Add("own bias: shift", "formula", 0, "sd", "DESIGN_BIAS")
	for i := range 20 {
		w.Add(fmt.Sprintf("expected: job %d", i), "mean of the cost", float64(i), "GBP", "DESIGN_FORECAST")
	}
	w.Add("total, mean", "spent + remaining", 191, "GBP", "DESIGN_FORECAST")
	got := foldWorking(w)
	if len(got.Lines) != 3 || len(got.Items) != 20 || got.Lines[2].What != "total, mean" {
		t.Errorf("%d lines and %d items, want 3 and 20: %+v", len(got.Lines), len(got.Items), got.Lines)
	}
	if short := foldWorking(w[:10]); len(short.Lines) != 10 || short.Items != nil {
		t.Errorf("a short working is folded: %+v", short)
	}
}

func TestSourcesOfAWorkingHaveTheirTitles(t *testing.T) {
	paper, ok := knowledge.SourceFor("HYNDMAN_FAN_1996")
	if !ok {
		t.Fatal("the register has lost HYNDMAN_FAN_1996")
	}
	if got, want := sourceOf("HYNDMAN_FAN_1996 definition 1"), (shownSource{paper.Title + ", definition 1", "HYNDMAN_FAN_1996 definition 1"}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	for _, plain := range []string{"own estimate", "common practice, no source", "own record", ""} {
		if got := sourceOf(plain); got != (shownSource{Words: plain}) {
			t.Errorf("%q became %+v", plain, got)
		}
	}
}
