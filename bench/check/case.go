package check

import (
	"fmt"
	"math"
	"time"
)

// DefaultRisk is the risk of a wrong pass that is borne where none is named.
const DefaultRisk = 0.05

// Instrument is the doubt of what was measured with. One of SD and Limit is
// given.
type Instrument struct {
	SD         *float64 // standard uncertainty
	Limit      *float64 // the true value lies within +- this: rectangular
	Resolution float64  // step of the scale or display; 0 where it is within the others
}

// given reports whether anything was said of the instrument.
func (i Instrument) given() bool { return i.SD != nil || i.Limit != nil }

// reach is how far off a reading may be by the instrument alone.
func (i Instrument) reach() float64 {
	switch {
	case i.Limit != nil:
		return math.Max(*i.Limit, i.Resolution)
	case i.SD != nil:
		return math.Max(2**i.SD, i.Resolution)
	}
	return i.Resolution
}

// Part is one measured part of a derived quantity.
type Part struct {
	Name       string
	Readings   []float64
	Instrument Instrument // where it differs from the case's
}

// Case is one quantity to examine.
type Case struct {
	Name string
	Unit string
	Form string // a key of [Forms]; empty: the mean of the readings

	Readings   []float64  // the forms of one row of readings
	Parts      []Part     // the forms of several parts
	EffortUnit string     // form efficiency: N, kN or kgf
	WeekCode   string     // form tyre_age: the digits at the end of the DOT code, or all of it
	On         time.Time  // form tyre_age: the day that the age counts to
	Instrument Instrument // of the readings, and of every part without its own

	Lower, Upper *float64
	Risk         float64 // 0: DefaultRisk

	Usual *Usual // what such parts usually measure, where known
}

// Usual is the spread of a quantity over parts of its kind.
type Usual struct{ Mean, SD float64 }

// validate finds the first mistake that every form would make.
func (c Case) validate() error {
	if err := c.checkLimits(); err != nil {
		return err
	}
	if c.Risk <= 0 || c.Risk >= 0.5 {
		return &InputError{"risk", fmt.Sprintf("%g is no risk to decide by", c.Risk), "a number above 0 and below 0.5, such as 0.05"}
	}
	if err := c.Instrument.check(""); err != nil {
		return err
	}
	if u := c.Usual; u != nil {
		if err := checkNumber("usual.mean", u.Mean); err != nil {
			return err
		}
		if err := checkNumber("usual.sd", u.SD); err != nil {
			return err
		}
		if least := 1e-9 * math.Max(1, math.Abs(u.Mean)); u.SD < least {
			return &InputError{"usual.sd", fmt.Sprintf("%g is no spread", u.SD), fmt.Sprintf("a number from %g", least)}
		}
	}
	return nil
}

func (c Case) checkLimits() error {
	if c.Lower == nil && c.Upper == nil {
		return &InputError{"lower", "is missing, and so is upper", "a lower limit, an upper limit or both"}
	}
	for _, l := range []struct {
		key string
		at  *float64
	}{{"lower", c.Lower}, {"upper", c.Upper}} {
		if l.at == nil {
			continue
		}
		if err := checkNumber(l.key, *l.at); err != nil {
			return err
		}
	}
	if c.Lower != nil && c.Upper != nil && *c.Lower >= *c.Upper {
		return &InputError{"lower", fmt.Sprintf("%g is not below upper (%g)", *c.Lower, *c.Upper), "lower < upper"}
	}
	return nil
}

// check finds a mistake in an instrument; at is the part with its dot.
func (i Instrument) check(at string) error {
	if i.SD != nil && i.Limit != nil {
		return &InputError{at + "instrument_limit", "is given beside instrument_sd", "one of the two"}
	}
	if err := checkDoubt(at+"instrument_sd", i.SD); err != nil {
		return err
	}
	if err := checkDoubt(at+"instrument_limit", i.Limit); err != nil {
		return err
	}
	return checkDoubt(at+"resolution", &i.Resolution)
}
