package workshop

import (
	"slices"
	"testing"
	"time"

	"wreckwright/bench/check"
	"wreckwright/knowledge"
)

// TestEveryQuantityCanBeExamined: each quantity of knowledge has a form that the
// instrument knows, with the parts that it asks for, and each of its limits can
// be held against a reading.
func TestEveryQuantityCanBeExamined(t *testing.T) {
	for _, q := range knowledge.Checks() {
		if q.Form == "wear" {
			continue
		}
		if !slices.Contains(check.FormKeys(), q.Form) {
			t.Errorf("%s: form %q is not known", q.Key, q.Form)
			continue
		}
		limits := q.Limits
		if len(limits) == 0 {
			limits = []knowledge.CheckLimit{{Lower: new(1.0)}}
		}
		for _, l := range limits {
			l = l.AtTemperature(20)
			c := check.Case{
				Name: q.Name, Unit: q.Unit, Form: q.Form, EffortUnit: "N", Lower: l.Lower, Upper: l.Upper,
				Instrument: check.Instrument{Limit: new(q.InstrumentLimit)},
				WeekCode:   "2319", On: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC),
			}
			for _, name := range q.Parts {
				c.Parts = append(c.Parts, check.Part{Name: name, Readings: []float64{5, 5.5}, Instrument: c.Instrument})
			}
			switch {
			case q.Form == "tyre_age":
			case q.Form == "spread" || q.Form == "mean" || q.Form == "deceleration":
				c.Readings = []float64{5, 5.5}
			case len(q.Parts) == 0: // as many as the car has
				c.Parts = []check.Part{{Name: "1", Readings: []float64{12.1}}, {Name: "2", Readings: []float64{11.8}}}
			}
			if _, err := check.Examine(c); err != nil {
				t.Errorf("%s (%s): %v", q.Key, l.Which(), err)
			}
		}
	}
}
