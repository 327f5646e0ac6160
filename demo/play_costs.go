package demo

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// costEvents enter the ledger. What is written down one after the other on one
// day by one person from one supplier is entered together.
func (p *player) costEvents() []event {
	var all []event
	ledger := p.story.Ledger
	for from := 0; from < len(ledger); {
		to := from + 1
		for to < len(ledger) && together(ledger[from], ledger[to]) {
			to++
		}
		bill := ledger[from:to]
		all = append(all, event{Deed{bill[0].enteredOn(), bill[0].By}, orderCost, "cost " + bill[0].What, func(ctx context.Context, who by) error {
			return p.addCosts(ctx, who, bill)
		}})
		from = to
	}
	for _, e := range ledger {
		if e.Assigned != nil {
			all = append(all, event{Deed{*e.Assigned, e.By}, orderCost, "cost " + e.What, func(ctx context.Context, who by) error { return p.assign(ctx, who, e) }})
		}
	}
	return all
}

func together(a, b entryPage) bool {
	return a.enteredOn() == b.enteredOn() && a.By == b.By && a.From == b.From && !a.Bought && !b.Bought
}

func (p *player) addCosts(ctx context.Context, who by, bill []entryPage) error {
	if bill[0].Bought {
		return p.writeOut(ctx, who, bill[0])
	}
	entries := make([]rebuild.Entry, len(bill))
	for i, page := range bill {
		var err error
		if entries[i], err = p.entry(ctx, page); err != nil {
			return err
		}
	}
	record, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEntries(entries...) })
	if err != nil {
		return err
	}
	for i, page := range bill {
		p.entries[page.name()] = record.Edits[i].ID()
	}
	return nil
}

// writeOut says more of a cost that the purchase entered.
func (p *player) writeOut(ctx context.Context, who by, page entryPage) error {
	e, err := p.entry(ctx, page)
	if err != nil {
		return err
	}
	_, err = p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		at := slices.IndexFunc(r.Entries, func(now rebuild.Entry) bool { return now.Kind == e.Kind && now.On == e.On && now.Amount == e.Amount })
		if at < 0 {
			return rebuild.Change{}, fmt.Errorf("the purchase entered no %s of %s", e.Kind, e.Amount)
		}
		e.ID, e.Rev = r.Entries[at].ID, r.Entries[at].Rev
		p.entries[page.name()] = e.ID
		return r.EditEntry(e)
	})
	return err
}

// name is what the story calls an entry: its key, or what it was for.
func (e entryPage) name() string {
	if e.Key != "" {
		return e.Key
	}
	return e.What
}

func (p *player) entry(ctx context.Context, page entryPage) (rebuild.Entry, error) {
	sum, err := amount.Parse(page.Sum, p.story.Car.Currency, '.')
	if err != nil {
		return rebuild.Entry{}, err
	}
	e := rebuild.Entry{
		On: p.clock.date(page.Day), Amount: sum, Kind: rebuild.EntryKind(page.Kind),
		Supplier: page.From, What: page.What, General: page.General,
	}
	if page.VAT {
		e.Tax = taxWithin(sum)
	}
	if page.Assigned == nil {
		e.JobID = p.jobs[page.Job]
	}
	if page.Receipt {
		sheet := receiptOf(page, e)
		a, err := p.book.PutFile(ctx, bytes.NewReader(sheet), fileName(page.From)+"-"+e.On+".svg", "image/svg+xml", 0)
		if err != nil {
			return e, err
		}
		a.Caption = "Drawing: receipt of " + page.From
		e.Receipts = []rebuild.Attachment{a}
	}
	return e, nil
}

// taxWithin is the part of a sum that is 20 % tax on the rest, rounded to the
// nearest penny.
func taxWithin(sum amount.Amount) amount.Amount {
	half := int64(3)
	if sum.Minor < 0 {
		half = -half
	}
	return amount.New((sum.Minor+half)/6, sum.Currency)
}

// assign names the job of a cost that was entered without one.
func (p *player) assign(ctx context.Context, who by, page entryPage) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		entry := *r.Entry(p.entries[page.name()])
		entry.JobID = p.jobs[page.Job]
		return r.EditEntry(entry)
	})
	return err
}

func fileName(words string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return !unicode.IsLetter(r) }), "-")
}
