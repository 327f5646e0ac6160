package bond

import "fmt"

// InputError is a mistake in a case.
type InputError struct {
	Where    string // key of the case file: "adherends[1].modulus_gpa"
	Problem  string
	Expected string
}

func (e *InputError) Error() string {
	text := e.Problem
	if e.Where != "" {
		text = e.Where + ": " + text
	}
	if e.Expected != "" {
		text += "; expected " + e.Expected
	}
	return text
}

func wrong(where, expected, problem string, args ...any) *InputError {
	return &InputError{where, fmt.Sprintf(problem, args...), expected}
}

// Refusal says why a case is not reckoned at all.
type Refusal struct{ Because string }

func (r *Refusal) Error() string {
	return "refused: " + r.Because + ". A bond made at home cannot be proven without breaking it: preparation, mixing and cure do not show from outside, and it fails at once. " +
		"Such a part is renewed, or repaired by the maker's procedure in licensed practice"
}
