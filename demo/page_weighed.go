package demo

import (
	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// appraisalPage is a car as it was weighed before it was bought. Sums are in the
// car's currency, shares in percent.
type appraisalPage struct {
	FirstUsed      int          `yaml:"first_used"` // days back
	Events         []pastPage   `yaml:"events"`
	Value          [3]float64   `yaml:"value"`
	MarkerDiscount [3]float64   `yaml:"marker_discount"` // shares, 0 to 1
	SellingPercent float64      `yaml:"selling_percent"`
	SellingFixed   string       `yaml:"selling_fixed"`
	Fees           []feePage    `yaml:"fees"`
	FeeTax         float64      `yaml:"fee_tax"` // share
	Other          []otherPage  `yaml:"other"`
	WantedProfit   string       `yaml:"wanted_profit"`
	Confidence     float64      `yaml:"confidence"` // share; 0 stands for the usual one
	Keep           bool         `yaml:"keep"`
	Asking         string       `yaml:"asking"`
	Walk           []lookPage   `yaml:"walk"`
	Purchase       purchasePage `yaml:"purchase"`
}

type pastPage struct {
	Day      int    `yaml:"day"`
	Kind     string `yaml:"kind"`
	Odometer int64  `yaml:"odometer"`
	Category string `yaml:"category"`
	Result   string `yaml:"result"`
	Note     string `yaml:"note"`
}

type feePage struct {
	From    string  `yaml:"from"`
	Fixed   string  `yaml:"fixed"`
	Percent float64 `yaml:"percent"`
	Minimum string  `yaml:"minimum"`
}

type otherPage struct {
	Name string `yaml:"name"`
	Cost string `yaml:"cost"`
}

// lookPage is one look at a zone on the walk round the car: keys of what was
// ticked.
type lookPage struct {
	Deed     `yaml:",inline"`
	Zone     string   `yaml:"zone"`
	Seen     []string `yaml:"seen"`
	Words    string   `yaml:"words"`
	Severity string   `yaml:"severity"`
	Depth    string   `yaml:"depth"` // empty: from outside
}

// purchasePage is empty for a car that is still being weighed.
type purchasePage struct {
	Price string `yaml:"price"`
	From  string `yaml:"from"`
}

// sums reads the page's sums; the first that is none is kept.
type sums struct {
	currency string
	err      error
}

func (s *sums) of(text string) amount.Amount {
	if text == "" || s.err != nil {
		return amount.Amount{}
	}
	var a amount.Amount
	a, s.err = amount.Parse(text, s.currency, '.')
	return a
}

// fill puts what the page says into an appraisal.
func (p appraisalPage) fill(a *rebuild.Appraisal, currency string, date func(int) string) error {
	s := sums{currency: currency}
	a.FirstUsed = date(p.FirstUsed)
	a.Value, a.MarkerDiscount, a.Keep = rangeOf(p.Value), rangeOf(p.MarkerDiscount), p.Keep
	a.SellingPercent, a.SellingFixed = p.SellingPercent, s.of(p.SellingFixed)
	a.FeeTax, a.WantedProfit, a.Asking = p.FeeTax, s.of(p.WantedProfit), s.of(p.Asking)
	if p.Confidence > 0 {
		a.Confidence = p.Confidence
	}
	for _, e := range p.Events {
		event := rebuild.HistoryEvent{On: date(e.Day), Kind: rebuild.HistoryKind(e.Kind), Category: e.Category, Result: e.Result, Note: e.Note}
		if e.Odometer > 0 {
			event.Odometer = new(e.Odometer)
		}
		a.Events = append(a.Events, event)
	}
	for _, f := range p.Fees {
		a.Fees = append(a.Fees, rebuild.FeeBand{From: s.of(f.From), Fixed: s.of(f.Fixed), Percent: f.Percent, Minimum: s.of(f.Minimum)})
	}
	for _, o := range p.Other {
		a.Other = append(a.Other, rebuild.OtherCost{Name: o.Name, Cost: s.of(o.Cost)})
	}
	return s.err
}
