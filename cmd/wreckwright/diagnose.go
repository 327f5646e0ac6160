package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/working"
)

type diagnoseCommand struct {
	Case string `arg:"" name:"case.yaml" help:"Case file: the faults that it can be, tests, repairs, the price of the whole unit, what was tried so far."`
	JSON bool   `name:"json" help:"Print one JSON object and nothing else."`
}

// Run reads the case, asks for advice and prints it.
func (d diagnoseCommand) Run(ctx context.Context, out output) error {
	result, err := d.ask(ctx)
	if err != nil {
		return err
	}
	if d.JSON {
		return writeJSON(out.Result, result.forPrograms())
	}
	result.write(out.Result)
	return nil
}

// diagnosis is a case with the advice on it.
type diagnosis struct {
	model    faultmodel.Model
	advice   diagnose.Advice
	reason   diagnose.Reason     // for people only
	cautions []knowledge.Caution // at the next action
}

func (d diagnoseCommand) ask(ctx context.Context) (diagnosis, error) {
	m, err := faultmodel.Read(d.Case)
	if err != nil {
		return diagnosis{}, err
	}
	for _, hazard := range m.Hazards() {
		if _, ok := knowledge.CautionFor(hazard.Key); !ok {
			return diagnosis{}, d.onItsLine(&diagnose.Mistake{
				Where: hazard.Where, What: fmt.Sprintf("%q is no hazard that there is a caution for; expected one of %s", hazard.Key, hazardKeys()),
			})
		}
	}
	r := diagnosis{model: m}
	if m.Stop == "" {
		if r.advice, r.reason, err = d.consult(ctx, m.Case); err != nil {
			return diagnosis{}, d.onItsLine(err)
		}
	}
	for _, key := range r.hazards() {
		caution, _ := knowledge.CautionFor(key)
		r.cautions = append(r.cautions, caution)
	}
	return r, nil
}

// consult leaves out the reason where nobody reads it.
func (d diagnoseCommand) consult(ctx context.Context, c diagnose.Case) (a diagnose.Advice, r diagnose.Reason, err error) {
	if d.JSON {
		a, err = diagnose.Advise(ctx, c)
		return a, r, err
	}
	return diagnose.Consult(ctx, c)
}

// onItsLine gives a mistake of the case its file and line.
func (d diagnoseCommand) onItsLine(err error) error {
	var wrong *diagnose.Mistake
	if !errors.As(err, &wrong) {
		return err
	}
	data, readErr := os.ReadFile(d.Case)
	if readErr != nil {
		return fmt.Errorf("cannot read the case again: %w", readErr)
	}
	return faultmodel.Locate(d.Case, data, err)
}

func hazardKeys() string {
	var keys []string
	for _, c := range knowledge.Cautions() {
		keys = append(keys, c.Hazard)
	}
	return joinWords(keys)
}

// hazards are the hazards of the next action: of a model that stops, that one
// alone; else those of the whole model and of the step. Changing the whole unit
// has those of every repair.
func (r diagnosis) hazards() []string {
	if r.model.Stop != "" {
		return []string{r.model.Stop}
	}
	if kind := r.advice.Next.Kind; kind == diagnose.KindDone || kind == diagnose.KindNothing {
		return nil
	}
	keys := slices.Clone(r.model.Cautions)
	for i, t := range r.model.Tests {
		if r.isNext(diagnose.KindTest, r.model.Case.Tests[i].ID) {
			keys = append(keys, t.Cautions...)
		}
	}
	for i, rep := range r.model.Repairs {
		if r.isNext(diagnose.KindRepair, r.model.Case.Repairs[i].ID) || r.advice.Next.Kind == diagnose.KindReplace {
			keys = append(keys, rep.Cautions...)
		}
	}
	var once []string
	for _, key := range keys {
		if !slices.Contains(once, key) {
			once = append(once, key)
		}
	}
	return once
}

func (r diagnosis) isNext(kind diagnose.Kind, id string) bool {
	return r.advice.Next.Kind == kind && r.advice.Next.ID == id
}

// diagnosisJSON is what a program reads: the advice, the symptom, and the
// cautions at the next action.
type diagnosisJSON struct {
	Symptom string `json:"symptom"`
	diagnose.Advice
	Hazards []hazardJSON `json:"hazards"`
}

type hazardJSON struct {
	Hazard  string `json:"hazard"`
	Name    string `json:"name"`
	Text    string `json:"text"`
	DeferTo string `json:"defer_to"`
}

// stoppedJSON is the answer of a model that leaves the work to licensed people.
// It has no chances and no costs: null says so, where a zero would be a claim.
type stoppedJSON struct {
	Symptom  string             `json:"symptom"`
	Currency string             `json:"currency"`
	Chances  map[string]float64 `json:"posterior"`
	Next     struct {
		Kind string   `json:"kind"`
		ID   string   `json:"id"`
		Cost *float64 `json:"expected_cost"`
	} `json:"next"`
	Ranked         []diagnose.Action `json:"ranked"`
	ExpectedCost   *float64          `json:"expected_cost"`
	ReplaceAllCost *float64          `json:"replace_all_cost"`
	ExpectedSaving *float64          `json:"expected_saving"`
	Method         *string           `json:"method"`
	Flips          []diagnose.Flip   `json:"flips"`
	Why            string            `json:"why"`
	Hazards        []hazardJSON      `json:"hazards"`
	Working        working.Working   `json:"working"`
}

// kindStop is the kind of the next action where there is none of one's own.
const kindStop = "licensed practice"

// whyStop is said wherever a model stops.
const whyStop = "this is work for licensed practice: no test and no repair of one's own is advised"

func (r diagnosis) forPrograms() any {
	hazards := []hazardJSON{}
	for _, c := range r.cautions {
		hazards = append(hazards, hazardJSON{c.Hazard, c.Name, c.Text, c.DeferTo})
	}
	if r.model.Stop == "" {
		advice := r.advice
		if advice.Working == nil {
			advice.Working = working.Working{}
		}
		return diagnosisJSON{r.model.Case.Symptom, advice, hazards}
	}
	s := stoppedJSON{
		Symptom: r.model.Case.Symptom, Currency: r.model.Case.Currency, Chances: map[string]float64{}, Why: whyStop, Hazards: hazards,
		Ranked: []diagnose.Action{}, Flips: []diagnose.Flip{}, Working: working.Working{},
	}
	s.Next.Kind, s.Next.ID = kindStop, r.model.Stop
	return s
}
