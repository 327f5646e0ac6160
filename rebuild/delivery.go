package rebuild

import (
	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// Delivery is something that a job waits for from outside: a part, a hired tool,
// an answer.
type Delivery struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	JobID    int64  `json:"job"` // that cannot begin without it; 0: none
	What     string `json:"what"`
	Supplier string `json:"supplier"`

	OrderedOn string `json:"ordered_on"` // ISO date; empty: not ordered yet
	// LeadDays is how long it takes from the order, in calendar days; zero: not
	// known. A day in ExpectedOn, once there is one, counts more.
	LeadDays   uncertain.Range `json:"lead_days"`
	ExpectedOn string          `json:"expected_on"` // ISO date that the supplier names; empty: none
	ArrivedOn  string          `json:"arrived_on"`  // ISO date; empty: still on its way

	Faster *Faster       `json:"faster"` // nil: no quicker way is known
	Amount amount.Amount `json:"amount"` // its price, where it is known
	Note   string        `json:"note"`
}

// Faster is a quicker way at a price.
type Faster struct {
	Days int           `json:"days"` // by which it comes earlier
	Cost amount.Amount `json:"cost"` // on top
}

// ItemKind is part of [Item].
func (d Delivery) ItemKind() Kind { return KindDelivery }

// ItemID is part of [Item].
func (d Delivery) ItemID() int64 { return d.ID }

// Revision is part of [Item].
func (d Delivery) Revision() int { return d.Rev }

// Label is part of [Item].
func (d Delivery) Label() string { return d.What }

// Arrived reports whether it has come.
func (d *Delivery) Arrived() bool { return d.ArrivedOn != "" }

// maxLeadDays bounds a lead time: two years.
const maxLeadDays = 730

// Validate checks the delivery by itself.
func (d Delivery) Validate(currency string) error {
	var c checks
	c.that(d.JobID >= 0, "job", "there is no job %d", d.JobID)
	c.text(d.What, "what", "what is to come", 1, 200)
	c.text(d.Supplier, "supplier", "the supplier", 0, 200)
	c.date(d.OrderedOn, "ordered_on", "the day it was ordered", false)
	c.rangeOf(d.LeadDays, "lead_days", "its lead time in days", maxLeadDays)
	c.date(d.ExpectedOn, "expected_on", "the day it is expected", false)
	c.date(d.ArrivedOn, "arrived_on", "the day it arrived", false)
	c.that(d.OrderedOn == "" || d.ArrivedOn == "" || d.OrderedOn <= d.ArrivedOn, "arrived_on", "it arrived on %s, before it was ordered on %s", d.ArrivedOn, d.OrderedOn)
	c.that(d.OrderedOn == "" || d.ExpectedOn == "" || d.OrderedOn <= d.ExpectedOn, "expected_on", "it is expected on %s, before it was ordered on %s", d.ExpectedOn, d.OrderedOn)
	if d.Faster != nil {
		c.that(d.Faster.Days >= 1 && d.Faster.Days <= maxLeadDays, "faster.days", "the quicker way must save 1 to %d days, not %d", maxLeadDays, d.Faster.Days)
		c.sumFromZero(d.Faster.Cost, currency, "faster.cost", "what the quicker way costs")
	}
	c.sumFromZero(d.Amount, currency, "amount", "its price")
	c.text(d.Note, "note", "the note", 0, 2000)
	return c.err()
}

// DeliveriesOf lists what a job waits for or waited for.
func (r *Rebuild) DeliveriesOf(job int64) []*Delivery {
	return those(r.Deliveries, func(d *Delivery) bool { return d.JobID == job })
}
