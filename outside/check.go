package outside

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Case is one computed value beside one published value.
type Case struct {
	Source    string  // key in knowledge/sources.yaml, a string literal
	Where     string  // clause, table, equation, page, function or script; a string literal
	What      string  // what is compared, with its unit
	Got       float64 // what our code gives
	Want      float64 // what the source gives, never adjusted to our code
	Tolerance float64 // largest allowed |Got - Want|, same unit; 0 asks for equality
	Why       string  // why this tolerance: "printed to 4 figures", "4 standard errors at n = 1e5"
}

// TestingT is the part of *testing.T that Check needs.
type TestingT interface {
	Helper()
	Errorf(format string, args ...any)
}

var _ TestingT = (*testing.T)(nil)

// Check reports every case that is out of tolerance or does not say where its
// value comes from. An empty table is an error: it would pass for nothing.
func Check(t TestingT, cases []Case) {
	t.Helper()
	if len(cases) == 0 {
		t.Errorf("outside.Check: no cases; a table without cases checks nothing")
	}
	for i, c := range cases {
		if err := c.validate(); err != nil {
			t.Errorf("case %d (%s): %v", i+1, c.What, err)
			continue
		}
		if diff := math.Abs(c.Got - c.Want); !(diff <= c.Tolerance) {
			t.Errorf("%s: got %.10g, %s %s gives %.10g: off by %.3g, tolerance %.3g (%s)",
				c.What, c.Got, c.Source, c.Where, c.Want, diff, c.Tolerance, c.Why)
		}
	}
}

// validate says what a case lacks to count as a check against the outside.
func (c Case) validate() error {
	for _, f := range []struct{ name, text string }{
		{"Source", c.Source}, {"Where", c.Where}, {"What", c.What}, {"Why", c.Why},
	} {
		if strings.TrimSpace(f.text) == "" {
			return fmt.Errorf("%s is empty: say the source, the place in it, what is compared and why this tolerance", f.name)
		}
	}
	if math.IsNaN(c.Want) || math.IsInf(c.Want, 0) {
		return fmt.Errorf("wanted value is %v: a source gives a finite one", c.Want)
	}
	if !(c.Tolerance >= 0) || math.IsInf(c.Tolerance, 0) {
		return fmt.Errorf("tolerance is %v: it must be a finite number, zero or more", c.Tolerance)
	}
	return nil
}
