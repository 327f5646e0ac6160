package amount

import (
	"testing"

	"wreckwright/outside"
)

// TestMinorUnits holds the digits of a few currencies of each kind against the
// standard's list; the list was remembered, not read.
func TestMinorUnits(t *testing.T) {
	var cases []outside.Case
	for code, digits := range map[string]float64{
		"GBP": 2, "EUR": 2, "USD": 2, "CHF": 2, "PLN": 2, // pence, cents
		"JPY": 0, "KRW": 0, "ISK": 0, // none
		"KWD": 3, "BHD": 3, "TND": 3, "JOD": 3, // thousandths
	} {
		cases = append(cases, outside.Case{
			Source: "ISO_4217", Where: "minor units", What: "digits of " + code,
			Got: float64(Digits(code)), Want: digits, Tolerance: 0, Why: "a whole number",
		})
	}
	outside.Check(t, cases)
}
