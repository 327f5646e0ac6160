package faultmodel

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"wreckwright/casefile"
	"wreckwright/diagnose"
)

// unit is a case file with nothing but what must be there.
const unit = `symptom: pump re-primes too often
currency: EUR
hour_value: 30
faults:
  - {id: gas_loss, name: accumulator has lost gas, prior: 0.35}
  - {id: valve_leak, prior: 0.65}
tests:
  - id: gauge
    cost: 0
    minutes: 30
    outcomes: {gas_loss: {low: 0.9, ok: 0.1}, valve_leak: {low: 0.05, ok: 0.95}}
  - id: interval_s
    cost: 0
    minutes: 25
    measured: {gas_loss: {median: 70, spread: 1.6}, valve_leak: {mean: 60, sd: 8}}
repairs:
  - {id: new_accumulator, cost: 140, minutes: 90, fixes: {gas_loss: 0.97}}
  - {id: reseal, cost: 80, minutes: 240, fixes: {valve_leak: 0.9}}
replace_all: {cost: 9000, minutes: 300}
evidence:
  - {test: gauge, outcome: low}
  - {test: interval_s, value: 74, value_sd: 2}
  - {repair: new_accumulator, cured: false}
`

func TestPlainCase(t *testing.T) {
	m, err := Parse("case.yaml", []byte(unit))
	if err != nil {
		t.Fatal(err)
	}
	want := diagnose.Case{
		Symptom: "pump re-primes too often", Currency: "EUR", HourValue: 30, Several: 1,
		Faults: []diagnose.Fault{{ID: "gas_loss", Name: "accumulator has lost gas", Prior: 0.35}, {ID: "valve_leak", Prior: 0.65}},
		Tests: []diagnose.Test{
			{ID: "gauge", Minutes: 30, Outcomes: []string{"low", "ok"}, Chance: [][]float64{{0.9, 0.1}, {0.05, 0.95}}},
			{ID: "interval_s", Minutes: 25, Measured: []diagnose.Reading{{Shape: diagnose.Lognormal, Centre: 70, Spread: 1.6}, {Shape: diagnose.Normal, Centre: 60, Spread: 8}}},
		},
		Repairs: []diagnose.Repair{
			{ID: "new_accumulator", Cost: 140, Minutes: 90, Fixes: []float64{0.97, 0}},
			{ID: "reseal", Cost: 80, Minutes: 240, Fixes: []float64{0, 0.9}},
		},
		ReplaceAll: &diagnose.ReplaceAll{Cost: 9000, Minutes: 300},
		Evidence: []diagnose.Evidence{
			{Test: "gauge", Outcome: "low", Line: 21},
			{Test: "interval_s", Value: new(74.0), ValueSD: 2, Line: 22},
			{Repair: "new_accumulator", Line: 23},
		},
	}
	if !reflect.DeepEqual(m.Case, want) {
		t.Errorf("read\n%+v; want\n%+v", m.Case, want)
	}
}

// whole is a model with everything that a model can have.
const whole = `title: Hydraulic power unit re-primes too often
zone: gearbox
symptom: pump re-primes too often
asks: Does the pump run on its own, or only after use?
currency: EUR
hour_value: 30
several: 2
basis: own estimate
cautions: [stored-gas, fluid-injection]
faults:
  - {id: gas_loss, name: accumulator has lost gas, prior: 0.35, shared: accumulator, basis: "common practice, no source"}
  - {id: "12", prior: 0.2, basis: SOME_BOOK table 4}
tests:
  - id: gauge
    name: Read the gauge
    how: "Fit it to the test port, ignition off; pump once."
    tools: [gauge, adapter M10 x 1]
    cautions: [fluid-injection]
    cost: 1.5
    minutes: 30
    repeatable: true
    outcomes:
      gas_loss: {"<30": 0.9, ok: 0.1}
      "12": {"<30": 0.25, ok: 0.75}
    healthy: {"<30": 0.02, ok: 0.98}
    outcome_names: {"<30": below 30 bar}
    basis: own estimate
  - id: interval
    unit: s
    instrument: recharge
    figure: interval
    cost: 0
    minutes: 25
    measured:
      gas_loss: {median: 70, spread: 1.6}
      "12": {mean: -4.5, sd: 1e-07}
repairs:
  - id: new_accumulator
    name: New accumulator
    how: By the maker's procedure.
    kind: new
    cautions: [stored-gas]
    cost: 140
    minutes: 90
    fixes: {gas_loss: 0.97}
  - id: nothing
    cost: 0
    minutes: 0
    fixes: {}
replace_all: {name: complete power unit, cost: 9000, minutes: 300}
evidence:
  - {test: gauge, outcome: "<30", note: cold}
  - {likelihood: {gas_loss: 3, "12": 0.5}, note: road test}
  - {repair: replace_all, cured: true}
`

// TestCanonicalForm: what is in canonical form is written as it was read.
func TestCanonicalForm(t *testing.T) {
	m, err := Parse("model.yaml", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	got, err := m.YAML()
	if err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer("how: By the maker's procedure.", `how: "By the maker's procedure."`,
		"asks: Does the pump run on its own, or only after use?", `asks: "Does the pump run on its own, or only after use?"`).Replace(whole)
	if string(got) != want {
		t.Errorf("written\n%s\nwant\n%s", got, want)
	}
}

func TestFoldedText(t *testing.T) {
	text := strings.Replace(unit, "  - id: gauge\n", "  - id: gauge\n    how: >-\n      Ignition off.\n      Read it: low or not.\n", 1)
	m, err := Parse("case.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Tests[0].How; got != "Ignition off. Read it: low or not." {
		t.Errorf("how is %q", got)
	}
}

// TestMistakes changes one thing in a good file.
func TestMistakes(t *testing.T) {
	tests := []struct {
		name, old, now string
		line           int
		words          []string
	}{
		{"row that does not sum to one", "{low: 0.9, ok: 0.1}", "{low: 0.9, ok: 0.2}", 11, []string{"tests[1].outcomes.gas_loss", "add up to 1.1", "expected 1"}},
		{"nobody repairs it", "fixes: {valve_leak: 0.9}}\nreplace_all: {cost: 9000, minutes: 300}", "fixes: {gas_loss: 0.9}}", 6, []string{"faults[2]", "no repair cures it", "replace_all"}},
		{"unknown fault in a row", "valve_leak: {low: 0.05", "valve_leek: {low: 0.05", 11, []string{"tests[1].outcomes.valve_leek", "valve_leak, if that was meant"}},
		{"row missing", ", valve_leak: {low: 0.05, ok: 0.95}", "", 11, []string{"tests[1].outcomes.valve_leak", "is missing"}},
		{"unknown fault in a repair", "fixes: {valve_leak: 0.9}", "fixes: {valve: 0.9}", 18, []string{"repairs[2].fixes.valve", "is not a known key", "valve_leak"}},
		{"unknown test tried", "{test: gauge, outcome: low}", "{test: guage, outcome: low}", 21, []string{"evidence[1].test", `is "guage"`, "gauge, if that was meant"}},
		{"unknown outcome", "outcome: low}", "outcome: lwo}", 21, []string{"evidence[1].outcome", "low, if that was meant"}},
		{"unknown repair tried", "{repair: new_accumulator,", "{repair: accumulator,", 23, []string{"evidence[3].repair", "one of new_accumulator, reseal, replace_all"}},
		{"outcome spelt in two ways", "valve_leak: {low: 0.05, ok: 0.95}", "valve_leak: {lo: 0.05, ok: 0.95}", 11, []string{"outcomes.valve_leak.lo", "low, if that was meant"}},
		{"negative cost", "cost: 140", "cost: -140", 17, []string{"repairs[1].cost", "-140 is negative"}},
		{"negative price of the whole unit", "cost: 9000", "cost: -1", 19, []string{"replace_all.cost", "negative"}},
		{"negative prior", "prior: 0.65", "prior: -0.65", 6, []string{"faults[2].prior", "negative"}},
		{"no chance at all", "prior: 0.35}\n  - {id: valve_leak, prior: 0.65}", "prior: 0}\n  - {id: valve_leak, prior: 0}", 4, []string{"every prior is 0"}},
		{"chance above one", "gas_loss: 0.97", "gas_loss: 97", 17, []string{"repairs[1].fixes.gas_loss", "97 is above 1"}},
		{"impossible outcome", "{low: 0.9, ok: 0.1}, valve_leak: {low: 0.05, ok: 0.95}", "{low: 0, ok: 1}, valve_leak: {low: 0, ok: 1}", 21, []string{"this cannot happen in the model: gauge: low is impossible", "expected a result that"}},
		{"repair that cannot have failed", "fixes: {gas_loss: 0.97}", "fixes: {gas_loss: 1, valve_leak: 1}", 23, []string{"this cannot happen in the model", "yet the symptom is there"}},
		{"test done twice", "  - {test: interval_s, value: 74, value_sd: 2}", "  - {test: gauge, outcome: ok}", 22, []string{"evidence[2]", "done already", "repeatable"}},
		{"id twice", "id: valve_leak,", "id: gas_loss,", 6, []string{`"gas_loss" is given twice`}},
		{"id of the whole unit", "id: reseal", "id: replace_all", 18, []string{"means the whole unit"}},
		{"value for an outcome", "{test: gauge, outcome: low}", "{test: gauge, value: 3}", 21, []string{"evidence[1].value", "is not a known key"}},
		{"outcome for a value", "{test: interval_s, value: 74, value_sd: 2}", "{test: interval_s, outcome: low}", 22, []string{"evidence[2].outcome", "is not a known key"}},
		{"cured not said", "cured: false", "note: no", 23, []string{"evidence[3].cured", "is missing"}},
		{"two things in one", "{repair: new_accumulator, cured: false}", "{repair: new_accumulator, cured: false, test: gauge, outcome: low}", 23, []string{"more than one thing"}},
		{"nothing tried", "{repair: new_accumulator, cured: false}", "{note: cold}", 23, []string{"says nothing of what was tried"}},
		{"after the cure", "{test: interval_s, value: 74, value_sd: 2}", "{repair: reseal, cured: true}", 23, []string{"after the cure"}},
		{"spread not above one", "spread: 1.6", "spread: 0.6", 15, []string{"measured.gas_loss.spread", "0.6 is not above 1"}},
		{"sd of nothing", "sd: 8", "sd: 0", 15, []string{"measured.valve_leak.sd", "above 0"}},
		{"median of nothing", "median: 70", "median: 0", 15, []string{"measured.gas_loss.median"}},
		{"two kinds of distribution", "{mean: 60, sd: 8}", "{mean: 60, spread: 8}", 15, []string{"measured.valve_leak.spread", "sd"}},
		{"no distribution", "{mean: 60, sd: 8}", "{}", 15, []string{"measured.valve_leak.median", "is missing"}},
		{"no way to come out", "    outcomes: {gas_loss: {low: 0.9, ok: 0.1}, valve_leak: {low: 0.05, ok: 0.95}}\n", "", 8, []string{"does not say how the test comes out"}},
		{"both ways to come out", "    measured: {", "    outcomes: {gas_loss: {a: 1}, valve_leak: {a: 1}}\n    measured: {", 16, []string{"stands beside outcomes"}},
		{"no outcome", "{low: 0.9, ok: 0.1}, valve_leak: {low: 0.05, ok: 0.95}", "{}, valve_leak: {}", 11, []string{"names no outcome"}},
		{"several", "hour_value: 30", "hour_value: 30\nseveral: 3", 4, []string{"several", "1 to 2"}},
		{"prior above one with several", "hour_value: 30\nfaults:\n  - {id: gas_loss, name: accumulator has lost gas, prior: 0.35}", "hour_value: 30\nseveral: 2\nfaults:\n  - {id: gas_loss, prior: 35}", 6, []string{"35 is above 1"}},
		{"no value of an hour", "hour_value: 30\n", "", 1, []string{"hour_value", "is missing"}},
		{"currency", "EUR", "EUX", 2, []string{"ISO 4217"}},
		{"unknown key", "symptom:", "sympton: x\nsymptom:", 1, []string{"sympton", "symptom, if that was meant"}},
		{"no faults", "faults:\n  - {id: gas_loss, name: accumulator has lost gas, prior: 0.35}\n  - {id: valve_leak, prior: 0.65}", "faults: []", 4, []string{"faults: is empty"}},
		{"basis", "prior: 0.65}", "prior: 0.65, basis: guess}", 6, []string{`basis: is "guess"`, "own estimate"}},
		{"kind", "id: reseal,", "id: reseal, kind: repiar,", 18, []string{"kind", "repair, if that was meant"}},
		{"figure of no instrument", "    measured:", "    figure: interval\n    measured:", 15, []string{"belongs to no instrument"}},
		{"tool twice", "    measured:", "    tools: [watch, watch]\n    measured:", 15, []string{"tools[2]", "each word once"}},
		{"healthy row", "    outcomes:", "    healthy: {low: 0.5, ok: 0.4}\n    outcomes:", 11, []string{"tests[1].healthy", "0.9"}},
		{"name of no outcome", "    outcomes:", "    outcome_names: {high: x}\n    outcomes:", 11, []string{"outcome_names.high"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !strings.Contains(unit, tt.old) {
				t.Fatalf("the file has no %q", tt.old)
			}
			_, err := Parse("case.yaml", []byte(strings.Replace(unit, tt.old, tt.now, 1)))
			var wrong *casefile.Error
			if !errors.As(err, &wrong) {
				t.Fatalf("%v; want a mistake of the file", err)
			}
			if wrong.Line != tt.line {
				t.Errorf("line %d; want %d: %v", wrong.Line, tt.line, err)
			}
			for _, w := range append(tt.words, "expected") {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("%q lacks %q", err, w)
				}
			}
		})
	}
}

// TestLocate puts a mistake about a word of the model on its line.
func TestLocate(t *testing.T) {
	m, err := Parse("model.yaml", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]string{"cautions.1": "9:", "cautions.2": "9:", "tests.gauge.cautions.1": "18:", "repairs.new_accumulator.cautions.1": "42:"}
	for _, h := range m.Hazards() {
		err := Locate("model.yaml", []byte(whole), &diagnose.Mistake{Where: h.Where, What: "is not known; expected another"})
		if want := "model.yaml:" + lines[h.Where]; err == nil || !strings.HasPrefix(err.Error(), want) || !strings.HasSuffix(err.Error(), "; expected another") {
			t.Errorf("%s: %v; want %s", h.Where, err, want)
		}
		delete(lines, h.Where)
	}
	if len(lines) > 0 {
		t.Errorf("not among the hazards: %v", lines)
	}
	err = Locate("model.yaml", []byte(whole), &diagnose.Mistake{Where: "tests.gauge.nowhere.at.all", What: "is wrong"})
	if err == nil || !strings.HasPrefix(err.Error(), "model.yaml:14: tests[1]: is wrong") {
		t.Errorf("a path that is not there: %v", err)
	}
	other := errors.New("other")
	if got := Locate("model.yaml", []byte(whole), other); !errors.Is(got, other) {
		t.Errorf("another error became %v", got)
	}
}

// TestStopModel: a model that stops needs no faults, and keeps its hazard.
func TestStopModel(t *testing.T) {
	text := "title: Warning lamp after a crash\nsymptom: the lamp of the restraint system is on\ncurrency: EUR\nhour_value: 30\nstop: restraints\n"
	m, err := Parse("model.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if m.Stop != "restraints" || len(m.Hazards()) != 1 || m.Hazards()[0] != (Word{"stop", "restraints"}) {
		t.Errorf("stop %q, hazards %v", m.Stop, m.Hazards())
	}
	if _, err := Parse("model.yaml", []byte(strings.Replace(text, "stop: restraints\n", "", 1))); err == nil || !strings.Contains(err.Error(), "faults: is missing") {
		t.Errorf("without stop: %v", err)
	}
}

func TestReadingFromDisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "case.yaml")
	if err := os.WriteFile(path, []byte(unit), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(path); err != nil {
		t.Error(err)
	}
	if _, err := Read(path + "x"); err == nil || !strings.Contains(err.Error(), "there is no such file") {
		t.Errorf("no file: %v", err)
	}
}

func TestNotesMustFit(t *testing.T) {
	m, err := Parse("case.yaml", []byte(unit))
	if err != nil {
		t.Fatal(err)
	}
	m.Faults = m.Faults[:1]
	if _, err := m.YAML(); err == nil {
		t.Error("a model that lacks a note was written")
	}
}
