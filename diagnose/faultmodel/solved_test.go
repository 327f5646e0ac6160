package faultmodel

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"wreckwright/diagnose"
	"wreckwright/outside"
)

// solved is a case with what the solver of ../testdata/solver.py makes of it.
// The names of actions are "test/t1", "repair/r2", "replace_all/replace_all".
type solved struct {
	Case     json.RawMessage `json:"case"`
	Expected struct {
		Posterior    map[string]float64 `json:"posterior"`
		ExpectedCost float64            `json:"expected_cost"`
		Best         []string           `json:"best"`
		Ranked       map[string]float64 `json:"ranked"`
		LowerBound   *float64           `json:"lower_bound"`
		NoTests      *float64           `json:"no_tests"`
		// Where no two best plans share the cost.
		Money   *float64 `json:"money"`
		Minutes *float64 `json:"minutes"`
		Whole   *float64 `json:"chance_replace_all"`
	} `json:"expected"`
}

// readSolved reads recorded cases and asks the engine about each.
func readSolved(t *testing.T, name string) ([]solved, []diagnose.Advice) {
	t.Helper()
	text, err := os.ReadFile("../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var all []solved
	if err := json.Unmarshal(text, &all); err != nil || len(all) == 0 {
		t.Fatalf("%s: %d cases, %v", name, len(all), err)
	}
	advice := make([]diagnose.Advice, 0, len(all))
	for i, s := range all {
		advice = append(advice, advise(t, fmt.Sprintf("%s, case %d", name, i+1), s.Case))
	}
	return all, advice
}

func advise(t *testing.T, name string, text []byte) diagnose.Advice {
	t.Helper()
	m, err := Parse(name, text)
	if err != nil {
		t.Fatal(err)
	}
	a, err := diagnose.Advise(context.Background(), m.Case)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return a
}

func key(a diagnose.Action) string { return string(a.Kind) + "/" + a.ID }

// figures is a figure of the engine's beside the solver's.
type figures struct {
	what      string
	got, want float64
}

// compare lists the figures of one case that both have.
func compare(t *testing.T, name string, s solved, a diagnose.Advice) []figures {
	t.Helper()
	e := s.Expected
	all := []figures{{"expected cost", a.ExpectedCost, e.ExpectedCost}, {"cost of the next action", a.Next.ExpectedCost, e.ExpectedCost}}
	for fault, p := range e.Posterior {
		all = append(all, figures{"chance of " + fault, a.Posterior[fault], p})
	}
	for _, r := range a.Ranked {
		want, known := e.Ranked[key(r)]
		if !known {
			t.Errorf("%s: %s is offered, and there is no plan that begins so", name, key(r))
		}
		all = append(all, figures{"cost when first is " + key(r), r.ExpectedCost, want})
	}
	for _, f := range []struct {
		what string
		got  float64
		want *float64
	}{
		{"lower bound", a.LowerBound, e.LowerBound},
		{"money", a.ExpectedMoney, e.Money},
		{"minutes", a.ExpectedMinutes, e.Minutes},
		{"chance of the whole unit", a.ChanceReplaceAll, e.Whole},
	} {
		if f.want != nil {
			all = append(all, figures{f.what, f.got, *f.want})
		}
	}
	if e.NoTests != nil && e.LowerBound != nil {
		all = append(all, figures{"value of perfect information", a.PerfectInformation, *e.NoTests - *e.LowerBound})
	}
	return all
}

// sameChoice holds the next action and the list of actions to the solver's.
func sameChoice(t *testing.T, name string, s solved, a diagnose.Advice) {
	t.Helper()
	if !slices.Contains(s.Expected.Best, key(a.Next)) {
		t.Errorf("%s: next is %s; want one of %v", name, key(a.Next), s.Expected.Best)
	}
	for i := 1; i < len(a.Ranked); i++ {
		if a.Ranked[i].ExpectedCost < a.Ranked[i-1].ExpectedCost {
			t.Errorf("%s: %v is not the cheapest first", name, a.Ranked)
		}
	}
	for action := range s.Expected.Ranked {
		offered := slices.ContainsFunc(a.Ranked, func(r diagnose.Action) bool { return key(r) == action })
		if !offered && !pointless(t, s, a, action) {
			t.Errorf("%s: %s is not among the actions offered", name, action)
		}
	}
}

// pointless reports a repair of nothing that can still be there.
func pointless(t *testing.T, s solved, a diagnose.Advice, action string) bool {
	t.Helper()
	m, err := Parse("case", s.Case)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range m.Case.Repairs {
		if "repair/"+r.ID != action {
			continue
		}
		cures := 0.0
		for f, p := range r.Fixes {
			cures += p * a.Posterior[m.Case.Faults[f].ID]
		}
		return cures == 0
	}
	return false
}

// TestAgainstExactSolver: cases with outcomes, one fault at a time.
func TestAgainstExactSolver(t *testing.T) {
	all, advice := readSolved(t, "solved_random.json")
	var cases []outside.Case
	for i, s := range all {
		name := fmt.Sprintf("random case %d", i)
		sameChoice(t, name, s, advice[i])
		if advice[i].Method != diagnose.Exact {
			t.Errorf("%s: the method is %s", name, advice[i].Method)
		}
		for _, f := range compare(t, name, s, advice[i]) {
			cases = append(cases, outside.Case{
				Source: "PYTHON_3_11", Where: "fractions, in diagnose/testdata/solver.py", What: name + ", " + f.what,
				Got: f.got, Want: f.want, Tolerance: 1e-9 * math.Max(1, math.Abs(f.want)), Why: "both exact; only the rounding of floats is left",
			})
		}
	}
	outside.Check(t, cases)
}

// TestSeveralAgainstExactSolver: up to two faults at once.
func TestSeveralAgainstExactSolver(t *testing.T) {
	all, advice := readSolved(t, "solved_several.json")
	var cases []outside.Case
	for i, s := range all {
		name := fmt.Sprintf("several, case %d", i)
		sameChoice(t, name, s, advice[i])
		for _, f := range compare(t, name, s, advice[i]) {
			cases = append(cases, outside.Case{
				Source: "PYTHON_3_11", Where: "fractions, in diagnose/testdata/solver.py", What: name + ", " + f.what,
				Got: f.got, Want: f.want, Tolerance: 1e-9 * math.Max(1, math.Abs(f.want)), Why: "both exact; only the rounding of floats is left",
			})
		}
	}
	outside.Check(t, cases)
}

// TestMeasuredAgainstFineGrid: readings, integrated on a grid far finer than the
// engine's.
func TestMeasuredAgainstFineGrid(t *testing.T) {
	all, advice := readSolved(t, "solved_measured.json")
	var cases []outside.Case
	for i, s := range all {
		name := fmt.Sprintf("measured, case %d", i)
		sameChoice(t, name, s, advice[i])
		for _, f := range compare(t, name, s, advice[i]) {
			cases = append(cases, outside.Case{
				Source: "SCIPY_1_10", Where: "stats.lognorm.pdf, stats.norm.pdf, in diagnose/testdata/solver.py", What: name + ", " + f.what,
				Got: f.got, Want: f.want, Tolerance: 1e-3 * math.Abs(f.want), Why: "the engine's own quadrature; a choice made on the wrong side of a band costs a small share of a percent",
			})
		}
	}
	outside.Check(t, cases)
}

// TestSolvedProblems reads the solved problems as the case files that they are
// and holds the advice to their values.
func TestSolvedProblems(t *testing.T) {
	names, err := filepath.Glob("../testdata/p*.json")
	if err != nil || len(names) != 6 {
		t.Fatalf("%d problems, %v", len(names), err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var problem struct {
			Case     json.RawMessage `json:"case"`
			Expected struct {
				Optimal float64            `json:"optimal"`
				Saving  float64            `json:"expected_saving"`
				Costs   map[string]float64 `json:"first_step_costs"`
			} `json:"expected"`
		}
		if err := json.Unmarshal(text, &problem); err != nil {
			t.Fatal(err)
		}
		a := advise(t, name, problem.Case)
		want := problem.Expected
		if math.Abs(a.ExpectedCost-want.Optimal) > 1e-9*want.Optimal || math.Abs(*a.ExpectedSaving-want.Saving) > 1e-9*want.Saving {
			t.Errorf("%s: costs %.12g, saves %.12g; want %+v", name, a.ExpectedCost, *a.ExpectedSaving, want)
		}
		if len(a.Ranked) != len(want.Costs) {
			t.Errorf("%s: %d actions; want %d", name, len(a.Ranked), len(want.Costs))
		}
		for _, r := range a.Ranked {
			if math.Abs(r.ExpectedCost-want.Costs[key(r)]) > 1e-9*r.ExpectedCost {
				t.Errorf("%s: %s costs %.12g; want %.12g", name, key(r), r.ExpectedCost, want.Costs[key(r)])
			}
		}
	}
}
