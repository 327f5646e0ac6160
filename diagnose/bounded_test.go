package diagnose

import (
	"context"
	"errors"
	"testing"
)

// freeAgain is a case with a test of many outcomes that costs nothing, tells
// little and can be repeated without end.
func freeAgain() Case {
	c := pump()
	c.Repairs = c.Repairs[:1]
	c.Tests = []Test{{
		ID: "look", Repeatable: true, Outcomes: []string{"a", "b", "c", "d"},
		Chance: [][]float64{{0.26, 0.25, 0.25, 0.24}, {0.24, 0.25, 0.25, 0.26}},
	}}
	return c
}

// TestRepeatedWithoutEnd: what repetitions may come to is bounded, and the case is
// looked ahead.
func TestRepeatedWithoutEnd(t *testing.T) {
	c := freeAgain()
	b, err := believe(c)
	if err != nil {
		t.Fatal(err)
	}
	p := newProblem(&c, b, lookBands, nil)
	if newTable(t.Context(), p, exactRepeats) == nil {
		t.Error("a few repetitions do not fit")
	}
	if table := newTable(t.Context(), p, mostRepeats); table != nil {
		t.Errorf("%d repetitions make a table of %d states", mostRepeats, table.states())
	}
	if a := mustAdvise(t, c); a.Method != LookAhead {
		t.Errorf("solved by %s", a.Method)
	}
}

// TestBreadth: a large case is looked at less broadly, an ordinary one wholly.
func TestBreadth(t *testing.T) {
	wide := func(c Case) int {
		b, err := believe(c)
		if err != nil {
			t.Fatal(err)
		}
		return newProblem(&c, b, lookBands, nil).breadth()
	}
	if got := wide(largeCase(3, 40, 30, 40, 0, 1)); got != widest {
		t.Errorf("40 x 30 x 40: %d actions two steps deep, want %d", got, widest)
	}
	c := largeCase(3, 100, 30, 100, 0, 1)
	for k := range c.Tests {
		t := &c.Tests[k]
		*t = Test{ID: t.ID, Cost: t.Cost, Chance: t.Chance}
		for o := range maxOutcomes {
			t.Outcomes = append(t.Outcomes, string(rune('A'+o)))
		}
		for f := range c.Faults {
			row := make([]float64, maxOutcomes)
			row[(f+k)%maxOutcomes] = 1
			t.Chance[f] = row
		}
	}
	if got := wide(c); got >= widest || got < 1 {
		t.Errorf("tests of %d outcomes: %d actions two steps deep", maxOutcomes, got)
	}
}

// TestGivenUp: whoever does not want the answer any more is not made to wait.
func TestGivenUp(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, c := range []Case{pump(), freeAgain(), largeCase(3, 40, 30, 40, 0, 1)} {
		if _, err := Advise(ctx, c); !errors.Is(err, context.Canceled) {
			t.Errorf("given up, it says %v", err)
		}
	}
}
