package faultmodel

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/casefile"
	"wreckwright/diagnose"
)

// awkward are characters that mean something in YAML, and some that do not.
var awkward = []rune("ab zé中:#{}[],&*!|>%@`\"'\\-?=+0189._~<^$;()/yn")

func drawText(t *rapid.T, label string) string {
	return strings.TrimSpace(rapid.StringOfN(rapid.RuneFrom(awkward), 0, 14, -1).Draw(t, label))
}

// drawID is unique by its number.
func drawID(t *rapid.T, n int) string {
	return strings.TrimSpace(fmt.Sprintf("%s%d", drawText(t, "id"), n))
}

func drawWords(t *rapid.T, label string) []string {
	var words []string
	for i := range rapid.IntRange(0, 2).Draw(t, label) {
		words = append(words, drawID(t, i))
	}
	return words
}

func drawBasis(t *rapid.T) string {
	return rapid.SampledFrom([]string{"", OwnEstimate, CommonPractice, "SOME_BOOK", "SOME_BOOK p. 4: \"x\" #2"}).Draw(t, "basis")
}

var (
	drawMoney  = rapid.Float64Range(0, 1e5)
	drawChance = rapid.Float64Range(0.001, 1)
)

// drawRow is chances above 0 that sum to 1.
func drawRow(t *rapid.T, n int) []float64 {
	row, total := make([]float64, n), 0.0
	for i := range row {
		row[i] = drawChance.Draw(t, "chance")
		total += row[i]
	}
	for i := range row {
		row[i] /= total
	}
	return row
}

func drawReading(t *rapid.T) diagnose.Reading {
	if rapid.Bool().Draw(t, "normal") {
		return diagnose.Reading{Shape: diagnose.Normal, Centre: rapid.Float64Range(-1e3, 1e3).Draw(t, "mean"), Spread: rapid.Float64Range(0.1, 100).Draw(t, "sd")}
	}
	return diagnose.Reading{Shape: diagnose.Lognormal, Centre: rapid.Float64Range(1, 1e3).Draw(t, "median"), Spread: rapid.Float64Range(1.1, 5).Draw(t, "spread")}
}

func drawTest(t *rapid.T, n, faults int) (diagnose.Test, TestNote) {
	test := diagnose.Test{ID: drawID(t, n), Name: drawText(t, "name"), Cost: drawMoney.Draw(t, "cost"), Minutes: drawMoney.Draw(t, "minutes"), Repeatable: rapid.Bool().Draw(t, "again")}
	note := TestNote{How: drawText(t, "how"), Unit: drawText(t, "unit"), Instrument: drawText(t, "instrument"), Basis: drawBasis(t), Tools: drawWords(t, "tools"), Cautions: drawWords(t, "cautions")}
	if note.Instrument != "" {
		note.Figure = drawText(t, "figure")
	}
	if rapid.Bool().Draw(t, "measured") {
		for range faults {
			test.Measured = append(test.Measured, drawReading(t))
		}
		return test, note
	}
	outcomes := rapid.IntRange(1, 3).Draw(t, "outcomes")
	for o := range outcomes {
		test.Outcomes = append(test.Outcomes, drawID(t, o))
	}
	for range faults {
		test.Chance = append(test.Chance, drawRow(t, outcomes))
	}
	if rapid.Bool().Draw(t, "healthy") {
		test.Healthy = drawRow(t, outcomes)
	}
	if rapid.Bool().Draw(t, "named") {
		for range outcomes {
			note.OutcomeNames = append(note.OutcomeNames, drawText(t, "outcome name"))
		}
	}
	return test, note
}

func drawModel(t *rapid.T) Model {
	m := Model{
		Title: drawText(t, "title"), Zone: drawText(t, "zone"), Asks: drawText(t, "asks"), Basis: drawBasis(t), Stop: drawText(t, "stop"), Cautions: drawWords(t, "cautions"),
		Case: diagnose.Case{Symptom: drawID(t, 0), Currency: "GBP", HourValue: rapid.Float64Range(0, 100).Draw(t, "hour value"), Several: rapid.IntRange(1, 2).Draw(t, "several")},
	}
	c, faults := &m.Case, rapid.IntRange(1, 4).Draw(t, "faults")
	for i := range faults {
		c.Faults = append(c.Faults, diagnose.Fault{ID: drawID(t, i), Name: drawText(t, "name"), Prior: drawChance.Draw(t, "prior")})
		m.Faults = append(m.Faults, FaultNote{Shared: drawText(t, "shared"), Basis: drawBasis(t)})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "tests") {
		test, note := drawTest(t, i, faults)
		c.Tests, m.Tests = append(c.Tests, test), append(m.Tests, note)
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "repairs") {
		r := diagnose.Repair{ID: drawID(t, i), Name: drawText(t, "name"), Cost: drawMoney.Draw(t, "cost"), Minutes: drawMoney.Draw(t, "minutes")}
		for range faults {
			r.Fixes = append(r.Fixes, rapid.SampledFrom([]float64{0, 0.3, 0.97}).Draw(t, "fixes"))
		}
		if i == 0 {
			r.Fixes = drawRow(t, faults)
		}
		c.Repairs = append(c.Repairs, r)
		m.Repairs = append(m.Repairs, RepairNote{How: drawText(t, "how"), Kind: rapid.SampledFrom(append(RouteKinds, "")).Draw(t, "kind"), Basis: drawBasis(t), Cautions: drawWords(t, "cautions")})
	}
	if rapid.Bool().Draw(t, "whole unit") {
		c.ReplaceAll = &diagnose.ReplaceAll{Cost: drawMoney.Draw(t, "cost"), Minutes: drawMoney.Draw(t, "minutes")}
		m.WholeName = drawText(t, "name")
	}
	c.Evidence = drawEvidence(t, *c)
	return m
}

// drawEvidence is something for each test, a finding from elsewhere, and a cure.
func drawEvidence(t *rapid.T, c diagnose.Case) []diagnose.Evidence {
	var all []diagnose.Evidence
	for _, test := range c.Tests {
		e := diagnose.Evidence{Test: test.ID, Note: drawText(t, "note")}
		if test.Measured != nil {
			e.Value, e.ValueSD = new(rapid.Float64Range(0.1, 1e3).Draw(t, "value")), rapid.SampledFrom([]float64{0, 2.5}).Draw(t, "value sd")
		} else {
			e.Outcome = rapid.SampledFrom(test.Outcomes).Draw(t, "outcome")
		}
		all = append(all, e)
	}
	if rapid.Bool().Draw(t, "finding") {
		e := diagnose.Evidence{Note: drawText(t, "note")}
		for range c.Faults {
			e.Likelihood = append(e.Likelihood, drawChance.Draw(t, "likelihood"))
		}
		all = append(all, e)
	}
	if c.ReplaceAll != nil && rapid.Bool().Draw(t, "replaced") {
		all = append(all, diagnose.Evidence{Repair: diagnose.WholeUnit, Cured: true})
	}
	return all
}

// TestRoundTrip: what is written is read as the same model, whatever its texts,
// and written the same again.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		if err := m.Case.Check(); err != nil {
			t.Skip(err) // a reading so far out that no fault gives it
		}
		text, err := m.YAML()
		if err != nil {
			t.Fatal(err)
		}
		back, err := Parse("model.yaml", text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for i := range back.Case.Evidence {
			back.Case.Evidence[i].Line = 0
		}
		if !reflect.DeepEqual(back, m) {
			t.Fatalf("written\n%+v\nread\n%+v\nfrom\n%s", m, back, text)
		}
	})
}

// FuzzParse: whatever the file, a model that is written and read the same, or
// one well-formed mistake.
func FuzzParse(f *testing.F) {
	f.Add(unit)
	f.Add(whole)
	f.Add("symptom: x\ncurrency: EUR\nhour_value: 0\nstop: restraints\n")
	solved, err := filepath.Glob("../testdata/p*.json")
	if err != nil || len(solved) == 0 {
		f.Fatalf("no solved problems: %v", err)
	}
	for _, name := range solved {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := Parse("case.yaml", []byte(text))
		if err != nil {
			var wrong *casefile.Error
			if !errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "" {
				t.Fatalf("not a mistake of the file: %v", err)
			}
			return
		}
		canonical, err := m.YAML()
		if err != nil {
			t.Fatal(err)
		}
		back, err := Parse("case.yaml", canonical)
		if err != nil {
			t.Fatalf("written, but not read: %v\n%s", err, canonical)
		}
		again, err := back.YAML()
		if err != nil || string(again) != string(canonical) {
			t.Fatalf("%v: written as\n%s\nthen as\n%s", err, canonical, again)
		}
		m.Implied()
	})
}
