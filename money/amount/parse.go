package amount

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Guess as the decimal sign lets Parse work it out from the text.
const Guess rune = 0

// Parse reads a sum as people write it: "1,234.50", "1.234,50", "£ 1 234",
// "-12", "12-", "(12.00)", "GBP 12". decimal is '.' or ',' or [Guess].
//
// Guessing: where both signs occur the later one is the decimal sign; where one
// sign occurs several times, or once with exactly three digits after it and no
// nought before it, it groups thousands; otherwise it is the decimal sign. More decimals than the
// currency has are refused, for rounding is the person's choice, not ours.
func Parse(text, code string, decimal rune) (Amount, error) {
	if !KnownCurrency(code) {
		return Amount{}, fmt.Errorf("currency %q is not an ISO 4217 code such as GBP or EUR", code)
	}
	body, negative, err := strip(text, code)
	if err != nil {
		return Amount{}, err
	}
	whole, fraction, err := split(body, decimal)
	if err != nil {
		return Amount{}, fmt.Errorf("%q is not a sum of money: %w", text, err)
	}
	digits := Digits(code)
	fraction = strings.TrimRight(fraction, "0")
	if len(fraction) > digits {
		return Amount{}, fmt.Errorf("%q has more decimals than %s has (%d)", text, code, digits)
	}
	fraction += strings.Repeat("0", digits-len(fraction))
	minor, err := strconv.ParseInt(whole+fraction, 10, 64)
	if err != nil || minor > MaxMinor {
		return Amount{}, fmt.Errorf("%q is too large a sum", text)
	}
	if negative {
		minor = -minor
	}
	return Amount{minor, code}, nil
}

// Ambiguous reports whether [Guess] takes a lone point or comma for the sign
// between thousands: "12.345" is read as twelve thousand, and could be meant as
// twelve and a third.
func Ambiguous(text, code string) bool {
	body, _, err := strip(text, code)
	at := strings.IndexAny(body, ".,")
	return err == nil && at >= 0 && at == strings.LastIndexAny(body, ".,") && rune(body[at]) != guessDecimal(body)
}

// strip takes off sign, brackets, currency sign and spaces.
func strip(text, code string) (body string, negative bool, err error) {
	s := strings.TrimSpace(text)
	if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
		negative, s = true, s[1:len(s)-1]
	}
	s = strings.ReplaceAll(strings.ToUpper(s), code, "")
	var b strings.Builder
	signs, behind := 0, false
	for _, r := range s {
		switch {
		case unicode.IsSpace(r) || r == '\'' || r == '\u2019' || r == '+' && b.Len() == 0:
		case r == '-' || r == '\u2212':
			signs++
			behind = b.Len() > 0
		case unicode.Is(unicode.Sc, r):
		case behind:
			return "", false, fmt.Errorf("%q is not a sum of money: a minus sign stands in the middle", text)
		case r >= '0' && r <= '9' || r == '.' || r == ',':
			b.WriteRune(r)
		case unicode.IsLetter(r):
			return "", false, fmt.Errorf("%q is not a sum of money", text)
		default:
			return "", false, fmt.Errorf("%q is not a sum of money: unexpected %q", text, r)
		}
	}
	if signs > 1 || (signs == 1 && negative) {
		return "", false, fmt.Errorf("%q is not a sum of money: more than one sign", text)
	}
	if b.Len() == 0 {
		return "", false, fmt.Errorf("%q is not a sum of money: no digits", text)
	}
	return b.String(), negative || signs == 1, nil
}

// split parts the digits before the decimal sign from those after it and takes
// the grouping signs out.
func split(body string, decimal rune) (whole, fraction string, err error) {
	if decimal == Guess {
		decimal = guessDecimal(body)
	}
	group := ","
	if decimal == ',' {
		group = "."
	}
	whole, fraction, found := strings.Cut(body, string(decimal))
	if strings.ContainsAny(fraction, ".,") {
		return "", "", fmt.Errorf("the decimal sign %q is followed by another sign", decimal)
	}
	if found && fraction == "" && whole == "" {
		return "", "", fmt.Errorf("no digits")
	}
	if err := checkGroups(whole, group); err != nil {
		return "", "", err
	}
	whole = strings.ReplaceAll(whole, group, "")
	if whole == "" {
		whole = "0"
	}
	return whole, fraction, nil
}

// checkGroups refuses "12,34.00": groups after the first have two digits in
// some countries and three in most, so anything from two to three passes, but
// the last one has three.
func checkGroups(whole, group string) error {
	parts := strings.Split(whole, group)
	if len(parts) == 1 {
		return nil
	}
	for i, p := range parts {
		last := i == len(parts)-1
		if (i == 0 && (p == "" || len(p) > 3)) || (i > 0 && !last && (len(p) < 2 || len(p) > 3)) || (last && len(p) != 3) {
			return fmt.Errorf("%q does not group thousands", whole)
		}
	}
	return nil
}

func guessDecimal(body string) rune {
	point, comma := strings.LastIndexByte(body, '.'), strings.LastIndexByte(body, ',')
	switch {
	case point < 0 && comma < 0:
		return '.'
	case point >= 0 && comma >= 0:
		if point > comma {
			return '.'
		}
		return ','
	}
	sign, other, at := '.', ',', point
	if comma >= 0 {
		sign, other, at = ',', '.', comma
	}
	grouped := strings.Count(body, string(sign)) > 1 || (len(body)-at-1 == 3 && at > 0 && at <= 3 && body[0] != '0')
	if grouped {
		return other
	}
	return sign
}
