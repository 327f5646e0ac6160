package rebuild

import (
	"fmt"
	"reflect"
	"strings"

	"wreckwright/money/amount"
)

// EditAppraisal replaces what is known and wanted before buying. a.Rev is the
// revision the form was opened with; what was frozen at a purchase stays. today
// is an ISO date after which nothing can have happened; empty: not checked.
func (r *Rebuild) EditAppraisal(a Appraisal, today string) (Change, error) {
	if err := fresh(r.Appraisal, a); err != nil {
		return Change{}, err
	}
	a.Bought = r.Appraisal.Bought
	if err := a.ValidateOn(r.Car.Currency, today); err != nil {
		return Change{}, err
	}
	return changed(whatChanged(r.Appraisal, a), r.Appraisal, a), nil
}

// whatChanged names the parts of an appraisal that an edit touches.
func whatChanged(before, after Appraisal) string {
	was, becomes := tidied(before), tidied(after)
	var parts []string
	for _, p := range []struct {
		name string
		of   func(Appraisal) any
	}{
		{"the car's history", func(a Appraisal) any { return []any{a.FirstUsed, a.Events} }},
		{"its value and sale", func(a Appraisal) any {
			return []any{a.Value, a.MarkerDiscount, a.SellingPercent, a.SellingFixed, a.Keep}
		}},
		{"the costs of buying", func(a Appraisal) any { return []any{a.Fees, a.FeeTax, a.PriceTax, a.Other} }},
		{"the profit wanted", func(a Appraisal) any { return []any{a.WantedProfit, a.Confidence} }},
		{"the bid in mind", func(a Appraisal) any { return []any{a.Step, a.Asking} }},
	} {
		if !reflect.DeepEqual(p.of(was), p.of(becomes)) {
			parts = append(parts, p.name)
		}
	}
	if len(parts) == 0 {
		return "changed the appraisal"
	}
	return "changed the appraisal: " + strings.Join(parts, ", ")
}

// Purchase is how a candidate was bought.
type Purchase struct {
	On     string        // ISO date
	Price  amount.Amount // the hammer price or what was agreed, its tax included; nothing was paid: zero, with a currency
	Fees   amount.Amount // the buyer's fees, tax included; not given: none
	Seller string        // who was paid; may be empty
	Bought Bought        // what was expected on that day; On, Price and Fees are filled in
}

// Buy turns a candidate into a rebuild: one change that keeps what was expected,
// enters price and fees in the ledger and has the stage Buy done. today is as in
// [Rebuild.EditAppraisal]. Refused where the car is no candidate.
func (r *Rebuild) Buy(p Purchase, today string) (Change, error) {
	if !r.Car.Candidate {
		return Change{}, &Invalid{[]Problem{{"candidate", fmt.Sprintf("%s is no candidate any more: it has been bought", r.Car.Name)}}}
	}
	bought := p.Bought
	bought.On, bought.Price, bought.Fees = p.On, p.Price, p.Fees
	var check checks
	check.problems = bought.problems(r.Car.Currency, today)
	check.text(p.Seller, "seller", "the seller", 0, 120)
	if err := check.err(); err != nil {
		return Change{}, err
	}
	c := Change{What: boughtInWords(r.Car.Name, p)}
	car, appraisal := r.Car, r.Appraisal
	car.Candidate, car.BoughtOn = false, p.On
	car.Rev++
	c.edit(r.Car, car)
	appraisal.Bought = &bought
	appraisal.Rev++
	c.edit(r.Appraisal, appraisal)
	if stage := lookup(r.Stages, stageBuy); stage != nil {
		done := *stage
		done.State, done.DoneOn = StageDone, p.On
		done.Rev++
		c.edit(*stage, done)
	}
	return c, r.enterPurchase(&c, p)
}

// enterPurchase adds the ledger lines of a purchase; a sum of nothing has none.
func (r *Rebuild) enterPurchase(c *Change, p Purchase) error {
	next := r.nextID()
	for _, e := range []Entry{
		{Kind: EntryPurchase, Amount: p.Price, What: "the car"},
		{Kind: EntryFee, Amount: p.Fees, What: "the buyer's fees"},
	} {
		if e.Amount.IsZero() {
			continue
		}
		e.ID, e.On, e.Supplier = next, p.On, p.Seller
		next++
		if err := r.checkEntry(e); err != nil {
			return err
		}
		c.add(e)
	}
	c.nextID = next
	return nil
}

func boughtInWords(name string, p Purchase) string {
	words := fmt.Sprintf("bought %s for %s", short(name), p.Price)
	if !p.Fees.IsZero() {
		words += fmt.Sprintf(" and %s of fees", p.Fees)
	}
	return words
}
