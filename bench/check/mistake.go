package check

import (
	"fmt"
	"math"
)

// InputError says what of a case is impossible.
type InputError struct {
	Key      string // as in a case file: "readings[2]", "parts.left.readings[1]", "lower"
	Problem  string
	Expected string
}

// Error words the mistake for the person who typed it.
func (e *InputError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.Key, e.Problem, e.Expected)
}

// largest is beyond what any instrument of a workshop shows.
const largest = 1e12

// checkNumber refuses what is no measured value.
func checkNumber(key string, x float64) error {
	switch {
	case math.IsNaN(x):
		return &InputError{key, "is not a number", "a number"}
	case math.Abs(x) > largest:
		return &InputError{key, fmt.Sprintf("%g is too large", x), "a number from -1e12 to 1e12"}
	}
	return nil
}

// checkDoubt refuses what is no uncertainty.
func checkDoubt(key string, x *float64) error {
	if x == nil {
		return nil
	}
	if err := checkNumber(key, *x); err != nil {
		return err
	}
	if *x < 0 {
		return &InputError{key, fmt.Sprintf("%g is negative", *x), "a number from 0"}
	}
	return nil
}
