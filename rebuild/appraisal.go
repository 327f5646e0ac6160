package rebuild

import (
	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// Appraisal is what is known and wanted before the car is bought: its history,
// what it would be worth, what buying and selling cost. Every rebuild has one.
// The work to do stands in the findings, zones and jobs as in any rebuild.
type Appraisal struct {
	Rev int `json:"rev"`

	FirstUsed string         `json:"first_used"` // ISO date; empty: not known
	Events    []HistoryEvent `json:"events"`     // of the car's history, as entered

	// Value is what it sells for when done, as if it had never been damaged; to
	// keep it, what an equal undamaged car costs. Zero: not said.
	Value uncertain.Range `json:"value"`
	// MarkerDiscount is the share (0 to 1) of the value that the salvage marker takes.
	MarkerDiscount uncertain.Range `json:"marker_discount"`
	SellingPercent float64         `json:"selling_percent"` // of the price it sells for, 0 to 100
	SellingFixed   amount.Amount   `json:"selling_fixed"`

	Fees     []FeeBand   `json:"fees"`      // the buyer's, by hammer price; ascending, the first from zero
	FeeTax   float64     `json:"fee_tax"`   // share (0 to 1) on the fees
	PriceTax float64     `json:"price_tax"` // share (0 to 1) on the hammer price
	Other    []OtherCost `json:"other"`     // beside price, fees and jobs

	WantedProfit amount.Amount `json:"wanted_profit"`
	Confidence   float64       `json:"confidence"` // chance of the wanted profit, 0.5 to 0.99
	Step         amount.Amount `json:"step"`       // bids are multiples of this; see [Appraisal.BidStep]
	Keep         bool          `json:"keep"`       // it is not to be sold
	Asking       amount.Amount `json:"asking"`     // price asked, or a bid in mind; zero: none

	Bought *Bought `json:"bought"` // nil: not bought from this appraisal
}

// DefaultConfidence is the chance of the wanted profit when nobody says
// otherwise: an own choice, four times in five.
const DefaultConfidence = 0.8

// NewAppraisal is the one that a rebuild begins with: nothing is known yet.
func NewAppraisal() Appraisal { return Appraisal{Confidence: DefaultConfidence} }

// BidStep is the step in which bids go; 50 units of the currency where none was
// said.
func (a Appraisal) BidStep(currency string) amount.Amount {
	if a.Step.Minor > 0 {
		return a.Step
	}
	return amount.FromFloat(50, currency)
}

// HistoryKind is what happened to the car.
type HistoryKind string

// The kinds of history events.
const (
	EventRegistration   HistoryKind = "registration"
	EventInspection     HistoryKind = "inspection"
	EventService        HistoryKind = "service"
	EventRepair         HistoryKind = "repair"
	EventSale           HistoryKind = "sale"
	EventKeeperChange   HistoryKind = "keeper change"
	EventPlateChange    HistoryKind = "plate change"
	EventWriteOff       HistoryKind = "write-off"
	EventScrapped       HistoryKind = "scrapped"
	EventDestroyed      HistoryKind = "destroyed"
	EventExport         HistoryKind = "export"
	EventImport         HistoryKind = "import"
	EventStolen         HistoryKind = "stolen"
	EventRecovered      HistoryKind = "recovered"
	EventFinance        HistoryKind = "finance"
	EventFinanceSettled HistoryKind = "finance settled"
	EventOdometer       HistoryKind = "odometer" // a reading from anywhere else
)

// HistoryKinds lists them.
var HistoryKinds = []HistoryKind{
	EventRegistration, EventInspection, EventService, EventRepair, EventSale, EventKeeperChange, EventPlateChange, EventWriteOff, EventScrapped,
	EventDestroyed, EventExport, EventImport, EventStolen, EventRecovered, EventFinance, EventFinanceSettled, EventOdometer,
}

// HistoryEvent is one thing that happened to the car before it was appraised.
type HistoryEvent struct {
	On       string      `json:"on"` // ISO date
	Kind     HistoryKind `json:"kind"`
	Odometer *int64      `json:"odometer"` // nil: not read
	Unit     string      `json:"unit"`     // of the odometer, km or mi; empty: the car's
	Category string      `json:"category"` // of a write-off, or the mark in the papers at a registration or import, as the jurisdiction writes it
	Result   string      `json:"result"`   // of an inspection: pass or fail; empty: not known

	Jurisdiction string `json:"jurisdiction"` // where it happened, a code or plain words; empty: not said
	From         string `json:"from"`         // of an import: where it came from
	Note         string `json:"note"`
}

// FeeBand is the buyer's fee from a hammer price upwards: Fixed and Percent of
// the whole price, at least Minimum. The last band whose From is not above the
// price applies.
type FeeBand struct {
	From    amount.Amount `json:"from"`
	Fixed   amount.Amount `json:"fixed"`
	Percent float64       `json:"percent"` // 0 to 100
	Minimum amount.Amount `json:"minimum"`
}

// OtherCost is a cost of the purchase beside price and fees, such as transport.
type OtherCost struct {
	Name string        `json:"name"`
	Cost amount.Amount `json:"cost"`
}

// Bought is the purchase and what was expected of it on that day, kept as it
// stood whatever is edited afterwards.
type Bought struct {
	On    string        `json:"on"` // ISO date
	Price amount.Amount `json:"price"`
	Fees  amount.Amount `json:"fees"` // all of them, tax included

	MaxBid         amount.Amount `json:"max_bid"`         // not given: no bid reached the confidence
	SafeBid        amount.Amount `json:"safe_bid"`        // not given: none
	Chance         float64       `json:"chance"`          // of the wanted profit at that price, 0 to 1
	ExpectedProfit float64       `json:"expected_profit"` // major units; below zero: a loss
	Cost           ExpectedCost  `json:"cost"`            // of all work, price and fees left out
	JobCount       int           `json:"job_count"`       // jobs in that cost
}

// Weighed reports that the chance of the profit was worked out before the
// purchase: what the car would be worth had been said.
func (b Bought) Weighed() bool {
	return b.MaxBid.Currency != "" || b.Chance > 0 || b.ExpectedProfit != 0
}

// ExpectedCost is a forecast in five figures, in major units.
type ExpectedCost struct {
	Mean float64 `json:"mean"`
	P10  float64 `json:"p10"`
	P50  float64 `json:"p50"`
	P80  float64 `json:"p80"`
	P90  float64 `json:"p90"`
}

// ItemKind is part of [Item].
func (a Appraisal) ItemKind() Kind { return KindAppraisal }

// ItemID is part of [Item].
func (a Appraisal) ItemID() int64 { return 1 }

// Revision is part of [Item].
func (a Appraisal) Revision() int { return a.Rev }

// Label is part of [Item].
func (a Appraisal) Label() string { return "Before buying" }

// sums lists all exact sums in it.
func (a Appraisal) sums() []amount.Amount {
	sums := []amount.Amount{a.SellingFixed, a.WantedProfit, a.Step, a.Asking}
	for _, b := range a.Fees {
		sums = append(sums, b.From, b.Fixed, b.Minimum)
	}
	for _, o := range a.Other {
		sums = append(sums, o.Cost)
	}
	if b := a.Bought; b != nil {
		sums = append(sums, b.Price, b.Fees, b.MaxBid, b.SafeBid)
	}
	return sums
}
