package diagnose

import (
	"fmt"
	"testing"

	"wreckwright/outside"
)

// states is a published network as one fault per joint state of its hidden
// variables, so that each test is independent of the others given the fault.
type states struct {
	c     Case
	holds []map[string]bool // by fault
}

func (s *states) add(prior float64, holds map[string]bool) {
	s.holds = append(s.holds, holds)
	s.c.Faults = append(s.c.Faults, Fault{ID: fmt.Sprintf("s%d", len(s.holds)), Prior: prior})
}

// test adds a yes-or-no test with its chance of yes by state.
func (s *states) test(id string, yes func(map[string]bool) float64) {
	t := Test{ID: id, Outcomes: []string{"yes", "no"}}
	for _, h := range s.holds {
		p := yes(h)
		t.Chance = append(t.Chance, []float64{p, 1 - p})
	}
	s.c.Tests = append(s.c.Tests, t)
}

// chance is how likely a variable holds, given results such as "j": "yes".
func (s *states) chance(t *testing.T, variable string, results map[string]string) float64 {
	t.Helper()
	c := s.c
	c.Several, c.ReplaceAll, c.Evidence = 1, &ReplaceAll{Cost: 1}, nil
	for _, test := range c.Tests {
		if outcome, ok := results[test.ID]; ok {
			c.Evidence = append(c.Evidence, Evidence{Test: test.ID, Outcome: outcome})
		}
	}
	p, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	total := 0.0
	for i, h := range s.holds {
		if h[variable] {
			total += p[i]
		}
	}
	return total
}

// pick is the chance of a variable by whether it holds.
func pick(holds bool, p float64) float64 {
	if holds {
		return p
	}
	return 1 - p
}

func certain(variable string) func(map[string]bool) float64 {
	return func(h map[string]bool) float64 {
		if h[variable] {
			return 1
		}
		return 0
	}
}

var both = []bool{true, false}

func alarm() *states {
	var s states
	for _, b := range both {
		for _, e := range both {
			for _, a := range both {
				p := map[[2]bool]float64{{true, true}: .95, {true, false}: .94, {false, true}: .29, {false, false}: .001}[[2]bool{b, e}]
				s.add(pick(b, .001)*pick(e, .002)*pick(a, p), map[string]bool{"b": b, "e": e, "a": a})
			}
		}
	}
	by := func(yes, no float64) func(map[string]bool) float64 {
		return func(h map[string]bool) float64 {
			if h["a"] {
				return yes
			}
			return no
		}
	}
	s.test("j", by(.90, .05))
	s.test("m", by(.70, .01))
	s.test("b", certain("b"))
	s.test("e", certain("e"))
	return &s
}

func TestAlarmNetwork(t *testing.T) {
	s := alarm()
	called := map[string]string{"j": "yes", "m": "yes"}
	outside.Check(t, []outside.Case{
		{Source: "RUSSELL_NORVIG", Where: "burglary alarm network", What: "burglary, both call", Got: s.chance(t, "b", called), Want: 0.284171835364393, Tolerance: 1e-14, Why: "printed to 15 figures"},
		{Source: "RUSSELL_NORVIG", Where: "burglary alarm network", What: "earthquake, both call", Got: s.chance(t, "e", called), Want: .176066838405, Tolerance: 5e-13, Why: "printed to 12 decimals"},
		{Source: "RUSSELL_NORVIG", Where: "burglary alarm network", What: "alarm, both call", Got: s.chance(t, "a", called), Want: .760692038863, Tolerance: 5e-13, Why: "printed to 12 decimals"},
		{Source: "RUSSELL_NORVIG", Where: "burglary alarm network", What: "burglary, one calls", Got: s.chance(t, "b", map[string]string{"j": "yes"}), Want: .016283729947, Tolerance: 5e-13, Why: "printed to 12 decimals"},
		{Source: "RUSSELL_NORVIG", Where: "burglary alarm network", What: "alarm, both call, neither cause", Got: s.chance(t, "a", map[string]string{"j": "yes", "m": "yes", "b": "no", "e": "no"}), Want: 0.5577689243027888, Tolerance: 1e-14, Why: "printed to 16 figures"},
		{Source: "RUSSELL_NORVIG", Where: "burglary alarm network", What: "alarm", Got: s.chance(t, "a", nil), Want: .002516442, Tolerance: 1e-15, Why: "exact"},
	})
}

func asia() *states {
	var s states
	for bits := range 32 {
		on := func(k int) bool { return bits>>k&1 == 1 }
		h := map[string]bool{"asia": on(0), "smoke": on(1), "tub": on(2), "lung": on(3), "bronc": on(4)}
		tub, lung, bronc := .01, .01, .3
		if h["asia"] {
			tub = .05
		}
		if h["smoke"] {
			lung, bronc = .1, .6
		}
		s.add(pick(h["asia"], .01)*pick(h["smoke"], .5)*pick(h["tub"], tub)*pick(h["lung"], lung)*pick(h["bronc"], bronc), h)
	}
	s.test("xray", func(h map[string]bool) float64 {
		if h["tub"] || h["lung"] {
			return .98
		}
		return .05
	})
	s.test("dysp", func(h map[string]bool) float64 {
		return map[[2]bool]float64{{true, true}: .9, {true, false}: .8, {false, true}: .7, {false, false}: .1}[[2]bool{h["bronc"], h["tub"] || h["lung"]}]
	})
	s.test("asia", certain("asia"))
	s.test("smoke", certain("smoke"))
	return &s
}

func TestAsiaNetwork(t *testing.T) {
	s := asia()
	var cases []outside.Case
	for _, tt := range []struct {
		name             string
		results          map[string]string
		tub, lung, bronc float64
	}{
		{"nothing", nil, .0104, .055, .45},
		{"asia, dyspnoea", map[string]string{"asia": "yes", "dysp": "yes"}, .0877509650, .0995251451, .8114020716},
		{"asia, no smoke, dyspnoea", map[string]string{"asia": "yes", "smoke": "no", "dysp": "yes"}, .1128349788, .0225669958, .7179422463},
		{"no smoke, dyspnoea", map[string]string{"smoke": "no", "dysp": "yes"}, .0247670878, .0238145075, .7539449985},
		{"asia, dyspnoea, x-ray", map[string]string{"asia": "yes", "dysp": "yes", "xray": "yes"}, .3917117200, .4442705078, .6288217760},
	} {
		for variable, want := range map[string]float64{"tub": tt.tub, "lung": tt.lung, "bronc": tt.bronc} {
			cases = append(cases, outside.Case{
				Source: "LAURITZEN_1988", Where: "chest clinic network", What: variable + " given " + tt.name,
				Got: s.chance(t, variable, tt.results), Want: want, Tolerance: 6e-11, Why: "printed to 10 decimals",
			})
		}
	}
	outside.Check(t, cases)
}

// screening is a disease with a test, positive n times.
func screening(t *testing.T, prevalence, sensitivity, falsePositive float64, n int) float64 {
	t.Helper()
	c := Case{
		Several: 1, Faults: []Fault{{ID: "ill", Prior: prevalence}, {ID: "well", Prior: 1 - prevalence}},
		Tests: []Test{{
			ID: "test", Outcomes: []string{"pos", "neg"}, Repeatable: true,
			Chance: [][]float64{{sensitivity, 1 - sensitivity}, {falsePositive, 1 - falsePositive}},
		}},
		ReplaceAll: &ReplaceAll{Cost: 1},
	}
	for range n {
		c.Evidence = append(c.Evidence, Evidence{Test: "test", Outcome: "pos"})
	}
	p, err := Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	return p[0]
}

func TestMedicalTests(t *testing.T) {
	outside.Check(t, []outside.Case{
		{Source: "EDDY_1982", Where: "mammography", What: "1 in 100, 80 %, 9.6 %", Got: screening(t, .01, .8, .096, 1), Want: 25.0 / 322, Tolerance: 1e-14, Why: "a fraction"},
		{Source: "EDDY_1982", Where: "mammography", What: "1 in 100, 79.2 %, 9.6 %", Got: screening(t, .01, .792, .096, 1), Want: 1.0 / 13, Tolerance: 1e-14, Why: "a fraction"},
		{Source: "EDDY_1982", Where: "mammography", What: "two positives", Got: screening(t, .01, .8, .096, 2), Want: .4122691293, Tolerance: 6e-11, Why: "printed to 10 decimals"},
		{Source: "EDDY_1982", Where: "mammography", What: "three positives", Got: screening(t, .01, .8, .096, 3), Want: .8539184610, Tolerance: 6e-11, Why: "printed to 10 decimals"},
		{Source: "CASSCELLS_1978", Where: "the question put to physicians", What: "1 in 1000, 5 %", Got: screening(t, .001, 1, .05, 1), Want: 20.0 / 1019, Tolerance: 1e-14, Why: "a fraction"},
	})
}

// TestFever is the book's noisy-OR: what two causes do together.
func TestFever(t *testing.T) {
	test := Test{
		ID: "fever", Outcomes: []string{"fever", "none"}, Healthy: []float64{0, 1},
		Chance: [][]float64{{.4, .6}, {.8, .2}, {.9, .1}}, // cold, flu, malaria
	}
	s := newSets(3, 3)
	rows := test.setRows(&s)
	var cases []outside.Case
	for i, want := range []float64{.400, .800, .900, .880, .940, .980, .988} { // cold, flu, malaria, cold flu, cold malaria, flu malaria, all
		cases = append(cases, outside.Case{
			Source: "RUSSELL_NORVIG", Where: "noisy-OR of fever", What: fmt.Sprintf("causes %v", s.members[i]),
			Got: rows[0][i], Want: want, Tolerance: 1e-12, Why: "exact",
		})
	}
	outside.Check(t, cases)
}
