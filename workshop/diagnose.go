package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// Diagnosis is one case as its page shows it. Sums are in Money.Currency.
type Diagnosis struct {
	Case  *rebuild.Case
	Model faultmodel.Model // the case's own copy, its sums as written
	Money CaseMoney

	// Wrong says why there is no advice: the model cannot be read, or what was
	// found cannot be in it. Nil where there is one, and where none is due.
	Wrong error
	// Stop is set where nobody but licensed practice may work on it.
	Stop *knowledge.Caution

	Faults  []FaultChance // likeliest first
	Advice  *diagnose.Advice
	Next    *Choice // what to do next; nil: nothing is advised
	Why     Phrase  // of Next
	Ways    []Way   // where Next may lead
	Others  []Choice
	LeftOut []Choice // what cannot be done now
	Whole   *Whole
	Flips   []Phrase // what would change the advice
	Trail   []Tried
	Shared  []Elsewhere
	// Asked is the case as the engine was asked, for a file of it.
	Asked faultmodel.Model
}

// Several reports whether two faults at once are weighed.
func (d *Diagnosis) Several() bool { return d.Model.Case.Several > 1 }

// FaultChance is how likely one fault is.
type FaultChance struct {
	ID, Name string
	Chance   float64
	Before   *float64 // before the last step that counts; nil: nothing was tried yet
	Prior    float64  // before anything was tried
	Shared   string
	Basis    string
}

// Whole is the whole unit.
type Whole struct {
	Name          string
	Cost, Minutes float64
	Total         float64 // own hours at their worth
	NotNow        bool
}

// Elsewhere is another case with a fault in common.
type Elsewhere struct {
	Case   *rebuild.Case
	Names  []string // of the faults here that are the same thing there
	Same   float64  // the chance of one cause that was counted with
	Counts bool     // what was found there moves this case
	// Mended is the fault here that was found there as the cause and cured.
	Mended *FaultChance
	// Repair is the repair here that does what was done there; empty: none.
	Repair string
}

// Diagnose weighs one case.
func (w *Workshop) Diagnose(ctx context.Context, r *rebuild.Rebuild, k *rebuild.Case) (*Diagnosis, error) {
	d := &Diagnosis{Case: k}
	q, err := w.questionOf(r, k)
	if err != nil {
		d.Wrong = err
		d.Trail = plainTrail(k)
		return d, nil
	}
	d.Model, d.Money = q.model, q.money
	if c, ok := knowledge.CautionFor(q.model.Stop); ok || q.model.Stop != "" {
		d.Stop = &c
		return d, nil
	}
	d.Shared = w.elsewhere(r, k, &q)
	d.Asked = q.asked
	d.Whole, d.LeftOut, d.Trail = q.whole(k), q.leftOut(k), q.trail(r, k)
	if err := d.weigh(&q); err != nil {
		return d, d.cannot(&q, err)
	}
	if k.State != rebuild.CaseOpen {
		return d, nil
	}
	said, err := w.advice.get(q.asked.Case, func() (advised, error) { return askEngine(ctx, q.asked.Case) })
	if err != nil {
		return d, d.cannot(&q, err)
	}
	d.advise(r, k, &q, said)
	return d, nil
}

// cannot keeps a mistake in the model or the trail for the page; anything else
// is an error.
func (d *Diagnosis) cannot(q *question, err error) error {
	var mistake *diagnose.Mistake
	if !errors.As(err, &mistake) {
		return err
	}
	d.Wrong = errors.New(q.mistakeInWords(mistake))
	return nil
}

// mistakeInWords says what cannot be; a piece of evidence is named by its step.
func (q *question) mistakeInWords(m *diagnose.Mistake) string {
	part := strings.Split(m.Where, ".")
	if part[0] != "evidence" || len(part) < 2 {
		return m.Error()
	}
	n, err := strconv.Atoi(part[1])
	n -= q.others + 1
	if err != nil || n < 0 || n >= len(q.steps) {
		return m.What
	}
	return fmt.Sprintf("step %d of the trail: %s", q.steps[n]+1, m.What)
}

// weigh gives the chances of the faults, now, before the last step and at first.
func (d *Diagnosis) weigh(q *question) error {
	now, err := diagnose.Posterior(q.asked.Case)
	if err != nil {
		return err
	}
	before, first := now, now
	if own := len(q.steps); own > 0 {
		if before, err = q.chancesAfter(own - 1); err != nil {
			return err
		}
		if first, err = q.chancesAfter(0); err != nil {
			return err
		}
	}
	for i, f := range q.asked.Case.Faults {
		chance := FaultChance{
			ID: f.ID, Name: q.model.FaultName(i), Chance: now[i], Prior: first[i],
			Shared: q.model.Faults[i].Shared, Basis: q.model.Faults[i].Basis,
		}
		if len(q.steps) > 0 {
			chance.Before = new(before[i])
		}
		d.Faults = append(d.Faults, chance)
	}
	sortBy(d.Faults, func(f FaultChance) float64 { return -f.Chance })
	return nil
}

// chancesAfter are the chances after the first n steps that count, with what
// other cases say.
func (q *question) chancesAfter(n int) ([]float64, error) {
	c := q.asked.Case
	c.Evidence = c.Evidence[:q.others+n]
	return diagnose.Posterior(c)
}

// whole is the whole unit, at its price in the currency of the case.
func (q *question) whole(k *rebuild.Case) *Whole {
	unit := q.model.Case.ReplaceAll
	if unit == nil {
		return nil
	}
	cost := unit.Cost * q.money.Rate
	return &Whole{
		Name: q.model.UnitName(), Cost: cost, Minutes: unit.Minutes, Total: cost + q.money.HourValue*unit.Minutes/60,
		NotNow: slices.Contains(k.NotNow, diagnose.WholeUnit),
	}
}

// advise takes over what the engine says.
func (d *Diagnosis) advise(r *rebuild.Rebuild, k *rebuild.Case, q *question, said advised) {
	a := said.advice
	d.Advice = &a
	choices := q.choices(r, k, &a)
	if len(choices) > 0 && a.Next.Kind != diagnose.KindDone {
		d.Next, d.Others = &choices[0], choices[1:]
		d.Why, d.Ways = q.why(d.Next, said), q.ways(d.Next, said.reason)
	}
	for _, f := range a.Flips {
		if said := q.flip(f, &a); said.Pattern != "" {
			d.Flips = append(d.Flips, said)
		}
	}
}

// Fault is the chance of that fault, or nil.
func (d *Diagnosis) Fault(id string) *FaultChance {
	for i := range d.Faults {
		if d.Faults[i].ID == id {
			return &d.Faults[i]
		}
	}
	return nil
}
