package forecast

import (
	"errors"
	"fmt"

	"wreckwright/uncertain"
)

const (
	// DefaultTrials gives a chance to a third of a point (95 %).
	DefaultTrials = 100_000
	// DefaultSeed is the seed where none is chosen.
	DefaultSeed = 1
	// MaxTrials bounds the memory of one run (80 MB for each column kept).
	MaxTrials = 10_000_000
	// MaxHidden bounds the expected number of hidden items in one zone.
	MaxHidden = 1000
)

// Case is what a forecast is made from. Money is in the one currency.
type Case struct {
	Currency    string   // ISO 4217
	Ceiling     *float64 // nil: none set
	Spent       float64  // may be negative where more was taken in than paid
	HourValue   float64  // worth of an own hour; 0 leaves hours out of the money
	Correlation float64  // of the scores of any two items, 0..0.95
	Trials      int
	Seed        uint64
	Jobs        []Job
	Hidden      []Hidden
	Other       []Other
	Closed      []uncertain.Closed
}

// NewCase is an empty case with the usual settings: correlation 0.25, 100,000
// trials, seed 1.
func NewCase(currency string) Case {
	return Case{
		Currency: currency, Correlation: uncertain.DefaultCorrelation,
		Trials: DefaultTrials, Seed: DefaultSeed,
	}
}

// Job is one open job on its chosen route.
type Job struct {
	Key      string // stable identity for the random numbers; the name where empty
	Name     string
	Cost     uncertain.Range  // still to pay; of the whole job where Paid is given
	Hours    *uncertain.Range // own hours; nil: none
	Needed   *float64         // chance that the job is needed at all; nil: certain
	Works    *float64         // chance that the route works; nil: certain
	Fallback *Fallback        // paid on top when it does not
	// Paid is what was paid on the job already. Cost and Fallback are then those
	// of the whole job: in each trial what is still to pay is the draw less Paid,
	// never below zero. HoursDone is the same for own hours.
	Paid      float64
	HoursDone float64
}

// Fallback is what a route that did not work costs on top.
type Fallback struct {
	Cost  uncertain.Range
	Hours *uncertain.Range
}

// Hidden is the reserve for damage not yet seen, in one zone or in the car.
type Hidden struct {
	Zone     string          // "" for the whole car
	Expected float64         // expected number of items
	Cost     uncertain.Range // of one item
}

// Other is money that was drawn elsewhere - what the days until the finish cost, by
// the plan: trial k takes ByTrial[k], beginning anew where there are fewer. It
// belongs to the draws of this case where it was drawn with the same seed and keys.
type Other struct {
	Name    string
	ByTrial []float64 // major units
}

// Name is how the item is called among the drivers.
func (h Hidden) Name() string {
	if h.Zone == "" {
		return "hidden damage"
	}
	return "hidden damage: " + h.Zone
}

// InputError says which figure of a case cannot be.
type InputError struct {
	Where string // `job "radiator", cost`
	Err   error
}

func (e *InputError) Error() string { return e.Where + ": " + e.Err.Error() }
func (e *InputError) Unwrap() error { return e.Err }

// Validate reports the first figure that cannot be, as an [*InputError].
func (c Case) Validate() error {
	anyMoney := uncertain.Bounds{Min: -uncertain.MoneyBounds.Max, Max: uncertain.MoneyBounds.Max}
	checks := []struct {
		where string
		value float64
		bound uncertain.Bounds
	}{
		{"spent", c.Spent, anyMoney},
		{"hour_value", c.HourValue, uncertain.Bounds{Max: 1e6}},
		{"correlation", c.Correlation, uncertain.Bounds{Max: uncertain.MaxCorrelation}},
		{"trials", float64(c.Trials), uncertain.Bounds{Min: 1, Max: MaxTrials}},
	}
	for _, k := range checks {
		if err := k.bound.Check(k.value); err != nil {
			return &InputError{k.where, err}
		}
	}
	if c.Ceiling != nil {
		if err := uncertain.MoneyBounds.Check(*c.Ceiling); err != nil {
			return &InputError{"ceiling", err}
		}
	}
	return c.validateItems()
}

func (c Case) validateItems() error {
	for _, j := range c.Jobs {
		if err := j.validate(); err != nil {
			return err
		}
	}
	for _, h := range c.Hidden {
		if err := (uncertain.Bounds{Max: MaxHidden}).Check(h.Expected); err != nil {
			return &InputError{h.Name() + ", expected", err}
		}
		if err := h.Cost.Validate(uncertain.MoneyBounds); err != nil {
			return &InputError{h.Name() + ", cost", err}
		}
	}
	for _, o := range c.Other {
		if err := o.validate(); err != nil {
			return err
		}
	}
	for i, k := range c.Closed {
		err := k.Validate(uncertain.MoneyBounds)
		if err == nil {
			err = uncertain.MoneyBounds.Check(k.Actual)
		}
		if err != nil {
			return &InputError{fmt.Sprintf("closed job %d", i+1), err}
		}
	}
	return nil
}

func (o Other) validate() error {
	if len(o.ByTrial) == 0 {
		return &InputError{o.Name, errors.New("holds no trials; expected one at least")}
	}
	for _, v := range o.ByTrial {
		if err := uncertain.MoneyBounds.Check(v); err != nil {
			return &InputError{o.Name, err}
		}
	}
	return nil
}

func (j Job) validate() error {
	at := func(what string, err error) error {
		return &InputError{fmt.Sprintf("job %q, %s", j.Name, what), err}
	}
	if err := j.Cost.Validate(uncertain.MoneyBounds); err != nil {
		return at("cost", err)
	}
	if j.Hours != nil {
		if err := j.Hours.Validate(uncertain.HoursBounds); err != nil {
			return at("hours", err)
		}
	}
	if j.Fallback != nil {
		if err := j.Fallback.Cost.Validate(uncertain.MoneyBounds); err != nil {
			return at("fallback cost", err)
		}
		if h := j.Fallback.Hours; h != nil {
			if err := h.Validate(uncertain.HoursBounds); err != nil {
				return at("fallback hours", err)
			}
		}
	}
	if err := uncertain.MoneyBounds.Check(j.Paid); err != nil {
		return at("paid", err)
	}
	if err := uncertain.HoursBounds.Check(j.HoursDone); err != nil {
		return at("hours done", err)
	}
	if j.Needed != nil {
		if err := uncertain.ChanceBounds.Check(*j.Needed); err != nil {
			return at("needed", err)
		}
	}
	if j.Works != nil {
		if err := uncertain.ChanceBounds.Check(*j.Works); err != nil {
			return at("works", err)
		}
	}
	return nil
}
