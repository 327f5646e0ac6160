package track

import "fmt"

// Error is what is wrong with a file of speeds.
type Error struct {
	Line     int // 0: of the whole file
	Problem  string
	Expected string
}

func (e *Error) Error() string {
	if e.Line == 0 {
		return e.Problem + "; expected " + e.Expected
	}
	return fmt.Sprintf("line %d: %s; expected %s", e.Line, e.Problem, e.Expected)
}

func wrong(line int, expected, problem string, args ...any) *Error {
	return &Error{Line: line, Problem: fmt.Sprintf(problem, args...), Expected: expected}
}
