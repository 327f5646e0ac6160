package noise

import "fmt"

// InputError is a case that cannot be examined.
type InputError struct {
	What     string // "recording", "bearing", "shaft speed", "sample rate", "tyre"
	Problem  string
	Expected string
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.What, e.Problem, e.Expected)
}

func wrong(what, expected, problem string, args ...any) *InputError {
	return &InputError{what, fmt.Sprintf(problem, args...), expected}
}
