package amount

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/bojanz/currency"
)

// MaxMinor bounds what one amount may hold, in minor units.
const MaxMinor = 1_000_000_000_000_000

// Amount is an exact sum of money. The zero value is "nothing, currency not
// known"; it may be added to any amount.
type Amount struct {
	Minor    int64  // whole minor units; negative is money that came back
	Currency string // ISO 4217 code
}

// New is an amount out of minor units.
func New(minor int64, code string) Amount { return Amount{minor, code} }

// FromFloat rounds v major units to the nearest minor unit, halves away from
// zero. For showing a forecast, never for the ledger.
func FromFloat(v float64, code string) Amount {
	return Amount{int64(math.Round(v * float64(scale(code)))), code}
}

// KnownCurrency reports whether code is an ISO 4217 code in use.
func KnownCurrency(code string) bool { return currency.IsValid(code) }

// Digits is the number of decimals of the currency: 2 for GBP, 0 for JPY.
func Digits(code string) int {
	d, ok := currency.GetDigits(code)
	if !ok {
		return 2
	}
	return int(d)
}

func scale(code string) int64 {
	s := int64(1)
	for range Digits(code) {
		s *= 10
	}
	return s
}

// Float is the amount in major units.
func (a Amount) Float() float64 { return float64(a.Minor) / float64(scale(a.Currency)) }

// IsZero reports whether nothing is owed either way.
func (a Amount) IsZero() bool { return a.Minor == 0 }

// Neg is the amount the other way round.
func (a Amount) Neg() Amount { return Amount{-a.Minor, a.Currency} }

// Plus adds two amounts of one currency.
func (a Amount) Plus(b Amount) (Amount, error) {
	switch {
	case a.Currency == "":
		a.Currency = b.Currency
	case b.Currency != "" && a.Currency != b.Currency:
		return Amount{}, fmt.Errorf("cannot add %s to %s: no exchange rate is known here", b.Currency, a.Currency)
	}
	sum := a.Minor + b.Minor
	if sum > MaxMinor || sum < -MaxMinor {
		return Amount{}, fmt.Errorf("the sum of %s and %s is too large", a, b)
	}
	return Amount{sum, a.Currency}, nil
}

// Number is the plain decimal, "-1234.50": a point, no grouping.
func (a Amount) Number() string {
	digits := Digits(a.Currency)
	sign, n := "", a.Minor
	if n < 0 {
		sign, n = "-", -n
	}
	s := strconv.FormatInt(n, 10)
	if digits == 0 {
		return sign + s
	}
	if len(s) <= digits {
		s = strings.Repeat("0", digits+1-len(s)) + s
	}
	return sign + s[:len(s)-digits] + "." + s[len(s)-digits:]
}

// String is the plain decimal with its currency, "-1234.50 GBP".
func (a Amount) String() string {
	if a.Currency == "" {
		return a.Number()
	}
	return a.Number() + " " + a.Currency
}

type jsonAmount struct {
	Number   string `json:"number"`
	Currency string `json:"currency"`
}

// MarshalJSON writes {"number":"12.50","currency":"GBP"}.
func (a Amount) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonAmount{a.Number(), a.Currency})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (a *Amount) UnmarshalJSON(b []byte) error {
	var j jsonAmount
	if err := json.Unmarshal(b, &j); err != nil {
		return fmt.Errorf("amount: %w", err)
	}
	if j.Currency == "" && j.Number == "0.00" {
		*a = Amount{}
		return nil
	}
	got, err := Parse(j.Number, j.Currency, '.')
	if err != nil {
		return err
	}
	*a = got
	return nil
}
