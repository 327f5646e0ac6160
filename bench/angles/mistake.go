package angles

import (
	"fmt"
	"math"
)

// InputError says what of a case is impossible.
type InputError struct {
	Key      string // as in a case file: "wheels.FL.sweep.in_deg"
	Problem  string
	Expected string
}

// Error words the mistake for the person who typed it.
func (e *InputError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.Key, e.Problem, e.Expected)
}

// within refuses a number that is none or lies outside its bounds.
func within(key string, x, low, high float64) error {
	if math.IsNaN(x) || x < low || x > high {
		return &InputError{key, fmt.Sprintf("%g is impossible", x), fmt.Sprintf("a number from %g to %g", low, high)}
	}
	return nil
}
