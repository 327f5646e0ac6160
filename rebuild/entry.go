package rebuild

import "wreckwright/money/amount"

// EntryKind is what money went to.
type EntryKind string

// The kinds of ledger entries.
const (
	EntryPurchase   EntryKind = "purchase" // the car itself
	EntryFee        EntryKind = "fee"      // auction, registration, inspection
	EntryTransport  EntryKind = "transport"
	EntryPart       EntryKind = "part"
	EntryConsumable EntryKind = "consumable"
	EntryTool       EntryKind = "tool"
	EntryOutside    EntryKind = "outside work"
	EntryStorage    EntryKind = "storage"
	EntrySale       EntryKind = "sale" // of a part that came off; money back
	EntryOther      EntryKind = "other"
)

// EntryKinds lists them.
var EntryKinds = []EntryKind{EntryPart, EntryConsumable, EntryOutside, EntryTool, EntryFee, EntryTransport, EntryStorage, EntryPurchase, EntrySale, EntryOther}

// WantsJob reports whether money of that kind usually belongs to a job.
func (k EntryKind) WantsJob() bool {
	return k == EntryPart || k == EntryConsumable || k == EntryOutside || k == EntryOther
}

// Entry is one line of the ledger.
type Entry struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	On       string        `json:"on"`     // ISO date
	Amount   amount.Amount `json:"amount"` // what was paid, tax included; below zero: money back
	Tax      amount.Amount `json:"tax"`    // of which tax
	Kind     EntryKind     `json:"kind"`
	Supplier string        `json:"supplier"`
	What     string        `json:"what"`
	JobID    int64         `json:"job"` // 0: none
	// General says that it belongs to no job on purpose.
	General  bool         `json:"general"`
	Receipts []Attachment `json:"receipts"`
}

// ItemKind is part of [Item].
func (e Entry) ItemKind() Kind { return KindEntry }

// ItemID is part of [Item].
func (e Entry) ItemID() int64 { return e.ID }

// Revision is part of [Item].
func (e Entry) Revision() int { return e.Rev }

// Label is part of [Item].
func (e Entry) Label() string {
	if e.What != "" {
		return e.What
	}
	if e.Supplier != "" {
		return e.Supplier
	}
	return e.Amount.String()
}

// Validate checks the entry by itself.
func (e Entry) Validate(currency string) error {
	var c checks
	c.date(e.On, "on", "the date", true)
	c.that(e.Amount.Currency != "", "amount", "the amount is missing")
	c.money(e.Amount, currency, "amount", "the amount")
	c.money(e.Tax, currency, "tax", "the tax")
	c.that(abs(e.Tax.Minor) <= abs(e.Amount.Minor), "tax", "the tax %s is more than the amount %s it is part of", e.Tax, e.Amount)
	c.that(e.Tax.Minor == 0 || (e.Tax.Minor < 0) == (e.Amount.Minor < 0), "tax", "tax and amount must have the same sign")
	c.oneOf(string(e.Kind), "kind", "the kind of cost", names(EntryKinds)...)
	c.text(e.Supplier, "supplier", "the supplier", 0, 120)
	c.text(e.What, "what", "what it was for", 0, 300)
	c.that(e.What != "" || e.Supplier != "", "what", "say what it was for, or at least who was paid")
	c.attachments(e.Receipts, "receipts")
	return c.err()
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}
