package workshop

import (
	"wreckwright/diagnose"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// CaseMoney says in which currency a case is weighed and how its sums came there.
type CaseMoney struct {
	Currency string  // of all figures of the case
	Model    string  // in which the model gives its sums
	Rate     float64 // a unit of the model's currency in Currency; 1 where they are the same
	AsAt     string  // ISO date of the rough rates; empty where none was needed
	// HourValue is what an own hour counts, in Currency; OwnHour says that it is
	// the car's own figure and not the model's.
	HourValue float64
	OwnHour   bool
	// Foreign says that the figures stay in another currency than the rebuild's,
	// since no rate is known.
	Foreign bool
}

// caseMoney weighs in the rebuild's currency where a rate leads there: a model's
// sums are own estimates, for which the rough rates are made. The car's own value
// of an hour goes before the model's.
func caseMoney(car rebuild.Car, model diagnose.Case) CaseMoney {
	m := CaseMoney{Currency: car.Currency, Model: model.Currency, Rate: 1}
	if model.Currency != car.Currency && model.Currency != "" {
		from, known := knowledge.RoughRateFor(model.Currency)
		to, reached := knowledge.RoughRateFor(car.Currency)
		if !known || !reached {
			m.Currency, m.HourValue, m.Foreign = model.Currency, model.HourValue, true
			return m
		}
		m.Rate, m.AsAt = to.Factor/from.Factor, min(from.AsAt, to.AsAt)
	}
	m.HourValue = model.HourValue * m.Rate
	if !car.HourValue.IsZero() {
		m.HourValue, m.OwnHour = car.HourValue.Float(), true
	}
	return m
}

// into gives the case with its sums in the currency in which it is weighed.
func (m CaseMoney) into(c *diagnose.Case) {
	c.Currency, c.HourValue = m.Currency, m.HourValue
	for i := range c.Tests {
		c.Tests[i].Cost *= m.Rate
	}
	for i := range c.Repairs {
		c.Repairs[i].Cost *= m.Rate
	}
	if c.ReplaceAll != nil {
		whole := *c.ReplaceAll
		whole.Cost *= m.Rate
		c.ReplaceAll = &whole
	}
}
