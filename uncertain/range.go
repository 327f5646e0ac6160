package uncertain

import (
	"fmt"
	"math"
	"strconv"
)

// Range is what one person can say about a figure that is not known yet: its
// 10 %, 50 % and 90 % points. One chance in ten it is below Low, as likely
// above as below Likely, one chance in ten above High. The unit is the
// caller's (money, hours, days). Three equal numbers are a certain value.
//
// ref: DESIGN_RANGE
type Range struct {
	Low    float64 `json:"low" yaml:"low"`
	Likely float64 `json:"likely" yaml:"likely"`
	High   float64 `json:"high" yaml:"high"`
}

// Certain is the range of a value that is known.
func Certain(v float64) Range { return Range{v, v, v} }

// IsCertain reports whether the three points coincide.
func (r Range) IsCertain() bool { return r.Low == r.Likely && r.Likely == r.High }

// Times is the range of the same figure in another unit, or of factor such
// figures that are all alike. The factor must not be negative.
func (r Range) Times(factor float64) Range {
	return Range{r.Low * factor, r.Likely * factor, r.High * factor}
}

// Bounds are the least and the greatest value that a figure can have at all.
type Bounds struct{ Min, Max float64 }

var (
	// MoneyBounds hold for a cost in any currency.
	MoneyBounds = Bounds{Min: 0, Max: 1e12}
	// HoursBounds hold for the work of one job, in hours.
	HoursBounds = Bounds{Min: 0, Max: 1e6}
	// ChanceBounds hold for a chance.
	ChanceBounds = Bounds{Min: 0, Max: 1}
)

// RangeError says which number of a range is wrong, how, and what was
// expected of it.
type RangeError struct {
	Number   string  // "low", "likely" or "high"; "value" where one plain number was checked
	Value    float64 // that number
	Problem  string  // "is above likely (320)"
	Expected string  // "low <= likely <= high"
}

// Error words the mistake for the person who typed the number.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s (%s) %s; expected %s", e.Number, plain(e.Value), e.Problem, e.Expected)
}

// Validate reports the first number that cannot be: not a number, infinite,
// outside the bounds, or out of order. The error is a [*RangeError].
func (r Range) Validate(b Bounds) error {
	numbers := [3]struct {
		name  string
		value float64
	}{{"low", r.Low}, {"likely", r.Likely}, {"high", r.High}}
	for _, n := range numbers {
		if err := b.check(n.name, n.value); err != nil {
			return err
		}
	}
	const order = "low <= likely <= high"
	if r.Low > r.Likely {
		return &RangeError{"low", r.Low, "is above likely (" + plain(r.Likely) + ")", order}
	}
	if r.Likely > r.High {
		return &RangeError{"high", r.High, "is below likely (" + plain(r.Likely) + ")", order}
	}
	return nil
}

// Check reports a single number that is not finite or outside the bounds. The
// error is a [*RangeError].
func (b Bounds) Check(v float64) error {
	return b.check("value", v)
}

func (b Bounds) check(name string, v float64) error {
	switch {
	case math.IsNaN(v):
		return &RangeError{name, v, "is not a number", b.words()}
	case math.IsInf(v, 0):
		return &RangeError{name, v, "is infinite", b.words()}
	case v < b.Min && b.Min == 0:
		return &RangeError{name, v, "is negative", b.words()}
	case v < b.Min:
		return &RangeError{name, v, "is below " + plain(b.Min), b.words()}
	case v > b.Max:
		return &RangeError{name, v, "is above " + plain(b.Max), b.words()}
	}
	return nil
}

func (b Bounds) words() string {
	return "a number from " + plain(b.Min) + " to " + plain(b.Max)
}

// plain writes a number as a person would: no exponent within money's reach.
func plain(v float64) string {
	if a := math.Abs(v); a != 0 && (a >= 1e15 || a < 1e-6) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
