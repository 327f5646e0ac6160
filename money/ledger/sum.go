package ledger

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"wreckwright/money/amount"
)

// signCurrencies are the currencies that a sign may stand for, the most used
// first. A sign that cannot stand for the ledger's own currency is a problem:
// no exchange rate is known here.
//
// ref: CLDR currency symbols
var signCurrencies = map[rune][]string{
	'£': {"GBP", "GIP", "FKP", "SHP", "EGP", "LBP", "SYP"},
	'€': {"EUR"},
	'$': {"USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN", "TWD", "ARS", "CLP", "COP", "BRL"},
	'¥': {"JPY", "CNY"},
	'₹': {"INR"},
	'₽': {"RUB"},
	'₺': {"TRY"},
	'₴': {"UAH"},
	'₩': {"KRW"},
}

// readSum reads a sum of money in the ledger's currency: brackets, a minus sign
// before or after, or CR after it mean money that came back.
func readSum(text, code string, decimal rune) (amount.Amount, error) {
	s := strings.TrimSpace(text)
	if s == "" {
		return amount.Amount{}, fmt.Errorf("the amount is missing")
	}
	if err := Foreign(s, code); err != nil {
		return amount.Amount{}, err
	}
	body, credit := dropSuffix(s)
	if inner, ok := brackets(body); ok {
		body, credit = inner, true
	}
	a, err := amount.Parse(body, code, decimal)
	if err != nil {
		return amount.Amount{}, err
	}
	if credit {
		if a.Minor < 0 {
			return amount.Amount{}, fmt.Errorf("%q has two signs of money coming back: a minus and another", text)
		}
		a = a.Neg()
	}
	return a, nil
}

// dropSuffix takes off CR and DR as statements print them.
func dropSuffix(s string) (body string, credit bool) {
	upper := strings.ToUpper(s)
	switch {
	case strings.HasSuffix(upper, "CR"):
		return strings.TrimSpace(s[:len(s)-2]), true
	case strings.HasSuffix(upper, "DR"):
		return strings.TrimSpace(s[:len(s)-2]), false
	}
	return s, false
}

// brackets takes a pair of brackets off that holds all the digits.
func brackets(s string) (inner string, ok bool) {
	open, shut := strings.IndexByte(s, '('), strings.LastIndexByte(s, ')')
	if open < 0 || shut < open {
		return s, false
	}
	if strings.ContainsAny(s[:open]+s[shut+1:], "0123456789") {
		return s, false
	}
	return s[:open] + s[open+1:shut] + s[shut+1:], true
}

// Foreign refuses a sum that says another currency than the ledger's.
func Foreign(s, code string) error {
	for _, r := range s {
		if known, ok := signCurrencies[r]; ok && !slices.Contains(known, code) {
			return fmt.Errorf("%q is in %s, but this ledger is kept in %s; enter what it came to in %s", s, known[0], code, code)
		}
	}
	for _, w := range strings.FieldsFunc(strings.ToUpper(s), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if w != code && amount.KnownCurrency(w) {
			return fmt.Errorf("%q is in %s, but this ledger is kept in %s; enter what it came to in %s", s, w, code, code)
		}
	}
	return nil
}

// decimalOfColumn finds the decimal sign that a column of sums uses. sure is
// false where sums such as 1.234 leave it open or where both are used.
func decimalOfColumn(cells []string) (decimal rune, sure bool) {
	points, commas, open := 0, 0, 0
	for _, c := range cells {
		switch sign, known := decimalOf(c); {
		case !known && sign != 0:
			open++
		case known && sign == '.':
			points++
		case known && sign == ',':
			commas++
		}
	}
	switch {
	case points > 0 && commas == 0:
		return '.', true
	case commas > 0 && points == 0:
		return ',', true
	}
	return amount.Guess, open == 0 && points == 0
}

// decimalOf is the decimal sign of one sum; known is false where its only sign
// might also group thousands.
func decimalOf(cell string) (sign rune, known bool) {
	point, comma := strings.LastIndexByte(cell, '.'), strings.LastIndexByte(cell, ',')
	switch {
	case point < 0 && comma < 0:
		return 0, true
	case point >= 0 && comma >= 0:
		if point > comma {
			return '.', true
		}
		return ',', true
	}
	sign, other, at := '.', ',', point
	if comma >= 0 {
		sign, other, at = ',', '.', comma
	}
	if strings.Count(cell, string(sign)) > 1 {
		return other, true
	}
	digits := 0
	for _, r := range cell[at+1:] {
		if r < '0' || r > '9' {
			break
		}
		digits++
	}
	return sign, digits != 3
}
